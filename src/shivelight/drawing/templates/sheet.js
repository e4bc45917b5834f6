(function () {
  "use strict";
  var root = document.documentElement;
  var data = JSON.parse(document.getElementById("data").textContent);
  var store = {
    get: function (name) { try { return window.localStorage.getItem(name); } catch (closed) { return null; } },
    set: function (name, value) { try { window.localStorage.setItem(name, value); } catch (closed) { return; } }
  };

  // Theme by hand.
  var button = document.getElementById("theme");
  function named() { button.textContent = root.getAttribute("data-theme") === "dim" ? "Paper light" : "Dim light"; }
  button.hidden = false;
  button.addEventListener("click", function () {
    var next = root.getAttribute("data-theme") === "dim" ? "paper" : "dim";
    root.setAttribute("data-theme", next);
    document.querySelector("meta[name=theme-color]").setAttribute("content", next === "dim" ? "#000000" : "#F1F1E8");
    store.set("shivelight-theme", next);
    named();
  });
  named();

  // A sheet of another day says so.
  if (Date.now() > data.day[1]) {
    document.getElementById("age").textContent = "This sheet was for that day; it is over. Look again.";
  }

  // The reading line of the figure: a tap, the two buttons or the arrow keys.
  Array.prototype.forEach.call(document.querySelectorAll("[data-readings]"), function (figure) {
    var lines = JSON.parse(figure.getAttribute("data-readings"));
    var line = figure.querySelector(".reading"), strip = figure.querySelector(".strip"), at = -1;
    function show(next) {
      at = Math.max(0, Math.min(lines.length - 1, next));
      line.textContent = lines[at];
    }
    strip.addEventListener("keydown", function (event) {
      if (event.key === "ArrowRight") { show(at + 1); event.preventDefault(); }
      if (event.key === "ArrowLeft") { show(at - 1); event.preventDefault(); }
    });
    strip.addEventListener("click", function (event) {
      var drawn = Array.prototype.filter.call(strip.querySelectorAll("svg"), function (one) { return one.getBoundingClientRect().width > 0; })[0];
      var box = drawn.getBoundingClientRect(), right = Number(drawn.parentNode.getAttribute("data-right"));
      var wide = drawn.viewBox.baseVal.width, x = (event.clientX - box.left) / box.width * wide;
      show(Math.floor((x - 2) / (wide - 2 - right) * lines.length));
    });
    figure.querySelector(".earlier").addEventListener("click", function () { show(at - 1); });
    figure.querySelector(".later").addEventListener("click", function () { show(at + 1); });
  });

  // On arrival: three taps look up a row; what is over by the clock is dropped.
  var form = document.getElementById("taps");
  if (!form) { return; }
  var out = document.getElementById("found"), seen = document.getElementById("seen");
  var kept = "shivelight-taps-" + data.made;
  function word(name) {
    var on = form.querySelector("input[name=" + name + "]:checked");
    return on ? on.value : "";
  }
  function add(parent, kind, text, name) {
    var made = document.createElement(kind);
    made.textContent = text;
    if (name) { made.className = name; }
    parent.appendChild(made);
    return made;
  }
  function isOver(choice, now) {
    if (choice[5] === null || now < data.day[0] || now > data.day[1]) { return false; }
    return now + choice[2] * 60000 >= choice[5];
  }
  function show() {
    var mist = word("mist"), air = word("air"), light = word("light"), now = Date.now();
    out.textContent = "";
    seen.textContent = mist && data.seen[mist] ? data.seen[mist] : "";
    if (!mist || !air || !light) {
      add(out, "p", "Tap what you find: " + [mist ? "" : "mist", air ? "" : "air", light ? "" : "sky"].filter(Boolean).join(", ") + ".");
      return;
    }
    var all = data.rows[mist + " " + air + " " + light] || [];
    var left = all.filter(function (choice) { return !isOver(choice, now); });
    if (!left.length) {
      add(out, "p", all.length ? "By the clock every window here is over, or over before you would be there." : "No place here suits what you found.", "answer");
      return;
    }
    var list = document.createElement("ol");
    left.forEach(function (choice) {
      var item = document.createElement("li"), said = document.createElement("div");
      add(item, "b", data.strings[choice[0]]);
      if (data.strings[choice[4]]) { add(said, "span", data.strings[choice[4]], "when"); }
      add(said, "span", choice[2] > 0 ? choice[2] + " min on foot, " + data.strings[choice[1]] : "you are there, " + data.strings[choice[1]], "walk");
      item.appendChild(said);
      add(item, "div", data.strings[choice[3]]);
      list.appendChild(item);
    });
    out.appendChild(list);
    if (left.length < all.length) { add(out, "p", "Over by the clock: " + (all.length - left.length) + ".", "small"); }
  }
  form.addEventListener("change", function () {
    store.set(kept, [word("mist"), word("air"), word("light")].join(" "));
    show();
    var first = out.querySelector("li");
    if (first) { first.scrollIntoView({ block: "nearest" }); }
  });
  document.getElementById("again").addEventListener("click", function () {
    form.reset();
    store.set(kept, "");
    show();
  });
  (store.get(kept) || "").split(" ").forEach(function (value, place) {
    var box = value && form.querySelector("input[name=" + ["mist", "air", "light"][place] + "][value=" + value + "]");
    if (box) { box.checked = true; }
  });
  show();
  window.setInterval(function () { if (word("mist") && word("air") && word("light")) { show(); } }, 60000);
})();
