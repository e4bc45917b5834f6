// Trunks on a picture: a tap, or the crosshair and Enter, sets the place that is asked for at once and asks for the
// next. Without this script the picture is a button that the server answers.
(function () {
  "use strict";
  var each = function (list, work) { Array.prototype.forEach.call(list, work); };
  var form = document.getElementById("marking");
  if (!form) { return; }
  var box = JSON.parse(form.getAttribute("data-box")), NEXT = { left: "right", right: "foot", foot: "foot" };
  var SAID = { left: "Left edge", right: "Right edge", foot: "Foot" };
  var reading = document.getElementById("reading"), hair = null;

  function asked() { return form.querySelector("input[name=sets]:checked"); }
  function read(text) {
    var parts = text.replace(",", " ").trim().split(/\s+/).map(Number);
    return parts.length === 2 && isFinite(parts[0]) && isFinite(parts[1]) ? parts : null;
  }
  function part(svg, name, wanted) {
    var made = document.createElementNS("http://www.w3.org/2000/svg", name);
    Object.keys(wanted).forEach(function (key) { made.setAttribute(key, wanted[key]); });
    svg.appendChild(made);
  }
  function draw() {
    each(form.querySelectorAll(".marked"), function (svg) {
      var now = svg.querySelector(".now"), ring = svg.getAttribute("data-ring"), reach = 4 * Number(ring);
      now.textContent = "";
      Object.keys(SAID).forEach(function (key) {
        var place = read(document.getElementById("b-" + key).value);
        if (place) { part(now, "circle", { "class": key, cx: place[0], cy: place[1], r: ring }); }
      });
      svg.querySelector(".hair").setAttribute("d", hair ? "M" + hair.x + " " + (hair.y - reach) + "v" + 2 * reach + "M" + (hair.x - reach) + " " + hair.y + "h" + 2 * reach : "");
    });
  }
  function set(x, y) {
    var key = asked().value, next = form.querySelector("input[name=sets][value=" + NEXT[key] + "]");
    document.getElementById("b-" + key).value = x.toFixed(1) + " " + y.toFixed(1);
    reading.textContent = SAID[key] + " at column " + Math.round(x) + ", row " + Math.round(y) + ". " + (key === "foot" ? "Now its name; then write it down." : "Now the " + SAID[NEXT[key]].toLowerCase() + ".");
    next.checked = true;
    draw();
  }
  each(form.querySelectorAll(".tap"), function (picture) {
    picture.addEventListener("click", function (event) {
      var shown = picture.getBoundingClientRect();
      event.preventDefault();
      if (!event.clientX && !event.clientY) { return; }
      set(box[0] + (event.clientX - shown.left) / shown.width * box[2], box[1] + (event.clientY - shown.top) / shown.height * box[3]);
    });
    picture.addEventListener("keydown", function (event) {
      var by = (event.shiftKey ? 1 : 10) * box[2] / picture.getBoundingClientRect().width;
      var way = { ArrowLeft: [-by, 0], ArrowRight: [by, 0], ArrowUp: [0, -by], ArrowDown: [0, by] }[event.key];
      if (!hair && (way || event.key === "Enter")) { hair = { x: box[0] + box[2] / 2, y: box[1] + box[3] / 2 }; }
      if (way) {
        hair.x = Math.max(box[0], Math.min(box[0] + box[2], hair.x + way[0]));
        hair.y = Math.max(box[1], Math.min(box[1] + box[3], hair.y + way[1]));
        reading.textContent = "Crosshair at column " + Math.round(hair.x) + ", row " + Math.round(hair.y) + "; Enter sets the " + SAID[asked().value].toLowerCase() + ".";
        draw();
      } else if (event.key === "Enter" && !event.ctrlKey) { set(hair.x, hair.y);
      } else { return; }
      event.preventDefault();
      event.stopPropagation();
    });
  });
  each(["b-left", "b-right", "b-foot"], function (id) { document.getElementById(id).addEventListener("input", draw); });
})();
