// The stand point: arrows, buttons, or a tap on the ruler move the lens, and the second frame is drawn anew from
// there. Without this script the same places are links and a form.
(function () {
  "use strict";
  var each = function (list, work) { Array.prototype.forEach.call(list, work); };
  var moving = document.getElementById("moving"), ruler = document.getElementById("ruler");
  if (!moving) { return; }
  var MOST = 100, SVG = "http://www.w3.org/2000/svg";
  function held(name) { return Number(moving.getAttribute("data-" + name)); }
  var best = { x: held("x"), y: held("y") }, at = { x: best.x, y: best.y }, asked = false, again = false;

  function address() {
    var said = moving.getAttribute("data-address") + "&x=" + at.x.toFixed(3) + "&y=" + at.y.toFixed(3);
    each(["z", "focal", "off", "pitch"], function (name) { said += "&" + name + "=" + encodeURIComponent(moving.getAttribute("data-" + name)); });
    return said;
  }
  function draw() {
    if (asked) { again = true; return; }
    asked = true;
    window.fetch(address()).then(function (answer) {
      return answer.text().then(function (text) { return { ok: answer.ok, text: text }; });
    }).then(function (came) {
      if (came.ok) { moving.querySelector(".drawn").innerHTML = came.text; }
      else {
        var said = new window.DOMParser().parseFromString(came.text, "text/html").querySelector(".error p");
        moving.querySelector(".reading").textContent = said ? said.textContent : "No frame can be drawn from there.";
      }
    }, function () { moving.querySelector(".reading").textContent = "The connection broke off; move once more."; }).then(function () {
      asked = false;
      if (again) { again = false; draw(); }
    });
  }
  function line() {
    if (!ruler) { return; }
    var low = Number(ruler.getAttribute("data-low")), high = Number(ruler.getAttribute("data-high"));
    var words = JSON.parse(ruler.getAttribute("data-lines")), share = (at.x - low) / (high - low);
    var inside = share >= -1e-6 && share <= 1 + 1e-6;
    each(ruler.querySelectorAll(".page svg, .phone svg"), function (svg) {
      var kept = svg.parentNode, wide = svg.viewBox.baseVal.width, tall = svg.viewBox.baseVal.height;
      var left = Number(kept.getAttribute("data-left")), right = Number(kept.getAttribute("data-right"));
      var mark = svg.querySelector(".here");
      if (!mark) { mark = document.createElementNS(SVG, "path"); mark.setAttribute("class", "here"); svg.appendChild(mark); }
      mark.setAttribute("d", inside ? "M" + (left + share * (wide - left - right)).toFixed(1) + " 0V" + tall : "");
    });
    if (inside) { ruler.querySelector(".reading").textContent = words[Math.round(share * (words.length - 1))]; }
  }
  function go(x, y) {
    at.x = Math.max(-MOST, Math.min(MOST, Math.round(x * 1000) / 1000));
    at.y = Math.max(-MOST, Math.min(MOST, Math.round(y * 1000) / 1000));
    each([["m-x", at.x], ["m-y", at.y]], function (one) { document.getElementById(one[0]).value = one[1].toFixed(3); });
    line();
    draw();
  }
  function keyed(event) {
    var by = event.shiftKey ? 0.1 : 0.01;
    var way = { ArrowLeft: [-by, 0], ArrowRight: [by, 0], ArrowUp: [0, by], ArrowDown: [0, -by] }[event.key];
    if (event.ctrlKey || event.altKey || event.metaKey) { return; }
    if (way) { go(at.x + way[0], at.y + way[1]);
    } else if (event.key === "Home") { go(0, 0);
    } else if (event.key === "End") { go(best.x, best.y);
    } else { return; }
    event.preventDefault();
  }
  moving.querySelector(".drawn").addEventListener("keydown", keyed);
  each(document.querySelectorAll(".moves a"), function (link) {
    var by = { "10 cm left": -0.1, "1 cm left": -0.01, "1 cm right": 0.01, "10 cm right": 0.1 }[link.textContent], to = link.getAttribute("data-to");
    link.addEventListener("click", function (event) {
      if (event.ctrlKey || event.metaKey || event.shiftKey) { return; }
      event.preventDefault();
      if (to === "mark") { go(0, 0); } else if (to === "best") { go(best.x, best.y); } else { go(at.x + by, at.y); }
    });
  });
  if (!ruler) { return; }
  var plate = ruler.querySelector(".drawn"), pressed = false;
  function tapped(event) {
    var svg = Array.prototype.filter.call(plate.querySelectorAll("svg"), function (one) { return one.getBoundingClientRect().width > 0; })[0];
    if (!svg) { return; }
    var box = svg.getBoundingClientRect(), kept = svg.parentNode, wide = svg.viewBox.baseVal.width;
    var left = Number(kept.getAttribute("data-left")), right = Number(kept.getAttribute("data-right"));
    var low = Number(ruler.getAttribute("data-low")), high = Number(ruler.getAttribute("data-high"));
    var share = ((event.clientX - box.left) / box.width * wide - left) / (wide - left - right);
    go(Math.round((low + Math.max(0, Math.min(1, share)) * (high - low)) * 100) / 100, at.y);
  }
  plate.addEventListener("keydown", keyed);
  plate.addEventListener("pointerdown", function (event) { pressed = event.button === 0; });
  plate.addEventListener("pointermove", function (event) { if (pressed && event.buttons) { tapped(event); } });
  window.addEventListener("pointerup", function () { pressed = false; });
  window.addEventListener("pointercancel", function () { pressed = false; });
  plate.addEventListener("click", tapped);
  document.getElementById("ruler-hint").hidden = false;
})();
