// Typing a skyline on its drawing, by keys, buttons or taps; and wishes added by one tap.
(function () {
  "use strict";
  Array.prototype.forEach.call(document.querySelectorAll("button[data-line]"), function (button) {
    button.type = "button";
    button.addEventListener("click", function () {
      var box = document.getElementById(button.getAttribute("data-to")), line = button.getAttribute("data-line");
      var held = box.value.replace(/\s+$/, "");
      if (held.split(/\r?\n/).indexOf(line) < 0) { box.value = held ? held + "\n" + line : line; }
      box.focus();
    });
  });

  var form = document.getElementById("skyline");
  if (!form) { return; }
  var figure = form.querySelector(".sketch"), drawn = figure.querySelector(".drawn"), list = form.querySelector(".heights");
  var reading = figure.querySelector(".reading"), steers = figure.querySelector(".steers");
  var finger = Number(form.getAttribute("data-finger")), widest = Number(form.getAttribute("data-gap"));
  var blank = list.lastElementChild.cloneNode(true), at = { bearing: 120, height: 5 }, changed = false;
  var SVG = "http://www.w3.org/2000/svg", BY = 5, UP = 0.5, LOWEST = -30, HIGHEST = 90;
  var POINTS = ["N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"];

  function turn(angle) { return ((angle % 360) + 360) % 360; }
  function number(text) {
    var said = text.trim().replace(",", ".").replace("−", "-").replace(/\s*(°|deg|degrees?)$/, "");
    return /^-?(\d+\.?\d*|\.\d+)$/.test(said) ? Number(said) : NaN;
  }
  function bearing(text) {
    var point = POINTS.indexOf(text.trim().toUpperCase());
    return point >= 0 ? point * 22.5 : turn(number(text));
  }
  // The hand: fingers grow from one to five as one's own little finger does (1, 3, 5 for one to three).
  function height(text) {
    var plain = number(text), total = 0, found = false;
    if (!isNaN(plain)) { return plain; }
    var left = text.toLowerCase().replace(/(half|an?|one|two|three|four|five|[\d.,½]+)?(?:\s+an?)?\s*(finger|fist|span|spread)s?/g, function (all, count, part) {
      var words = { half: 0.5, "½": 0.5, a: 1, an: 1, one: 1, two: 2, three: 3, four: 4, five: 5 };
      var many = count === undefined ? 1 : words[count] || Number(count.replace(",", "."));
      found = true;
      total += part === "finger" ? (many <= 1 ? many : 1 + (many - 1) * 2) * finger : many * (part === "fist" ? 10 : 20) * finger;
      return "";
    });
    return found && /^(and|hand|little|[\s,+&-])*$/.test(left) ? total : NaN;
  }
  function rows() { return Array.prototype.slice.call(list.children); }
  function boxes(row) { return { was: row.querySelector("[name=was]"), bearing: row.querySelector("[name=bearing]"), height: row.querySelector("[name=height]") }; }
  function typed() {
    return rows().map(function (row) {
      var held = boxes(row);
      return { row: row, bearing: bearing(held.bearing.value), height: height(held.height.value) };
    }).filter(function (one) { return !isNaN(one.bearing) && !isNaN(one.height); }).sort(function (one, other) { return one.bearing - other.bearing; });
  }
  function rowAt(angle) { return typed().filter(function (one) { return Math.abs(turn(one.bearing - angle + 180) - 180) < BY / 2; })[0]; }
  function lineAt(angle) {
    var all = typed(), exact = all.filter(function (one) { return Math.abs(one.bearing - angle) < 1e-6; })[0];
    if (exact) { return exact.height; }
    if (all.length < 2) { return NaN; }
    var after = all.filter(function (one) { return one.bearing > angle; })[0] || all[0];
    var before = all.filter(function (one) { return one.bearing < angle; }).pop() || all[all.length - 1];
    var gap = turn(after.bearing - before.bearing);
    return gap > widest ? NaN : before.height + (after.height - before.height) * turn(angle - before.bearing) / gap;
  }
  function renumber() {
    rows().forEach(function (row, index) {
      var words = row.querySelectorAll("label .unseen"), drop = row.querySelector(".drop");
      words[0].textContent = "Bearing " + (index + 1) + ", degrees";
      words[1].textContent = "Height " + (index + 1) + ", degrees or hand-spans";
      drop.value = index + 1;
      drop.setAttribute("aria-label", "Drop height " + (index + 1));
    });
  }
  function newRow() {
    var row = blank.cloneNode(true), held = boxes(row);
    held.was.value = held.bearing.value = held.height.value = "";
    return row;
  }
  function set() {
    var known = rowAt(at.bearing), row, held;
    if (known) {
      boxes(known.row).height.value = String(at.height);
      at.bearing = known.bearing;
    } else {
      row = rows().filter(function (one) { var of = boxes(one); return !of.bearing.value && !of.height.value; })[0] || newRow();
      held = boxes(row);
      held.bearing.value = String(at.bearing);
      held.height.value = String(at.height);
      held.was.value = String(at.bearing); // read off the drawing, whose north is true
      var later = typed().filter(function (one) { return one.row !== row && one.bearing > at.bearing; })[0];
      list.insertBefore(row, later ? later.row : typed().length ? typed().filter(function (one) { return one.row !== row; }).map(function (one) { return one.row.nextSibling; }).pop() || null : list.firstChild);
      renumber();
    }
    changed = true;
    draw("Set");
  }
  function drop() {
    var known = rowAt(at.bearing);
    if (!known) { draw("Nothing to drop"); return; }
    list.removeChild(known.row);
    if (!rows().length) { list.appendChild(newRow()); }
    renumber();
    changed = true;
    draw("Dropped");
  }
  function scale(held) {
    var of = {};
    ["start", "span", "top", "left", "right", "high", "low"].forEach(function (name) { of[name] = Number(held.getAttribute("data-" + name)); });
    of.x = function (angle) { return of.left + turn(angle - of.start) / of.span * (of.right - of.left); };
    of.y = function (up) { return of.low - Math.min(Math.max((up + 1) / (of.top + 1), 0), 1) * (of.low - of.high); };
    return of;
  }
  function put(group, name, values) {
    var made = document.createElementNS(SVG, name);
    Object.keys(values).forEach(function (key) { made.setAttribute(key, values[key]); });
    group.appendChild(made);
  }
  function stroke(group, route, token, width, dash) {
    put(group, "path", { d: route, fill: "none", stroke: "var(--" + token + ")", "stroke-width": width, "stroke-dasharray": dash || "none" });
  }
  function drawLine(group, of, all) {
    all.forEach(function (one, index) {
      var next = all[(index + 1) % all.length], gap = turn(next.bearing - one.bearing);
      if (all.length < 2 || gap > widest) { return; }
      var from = turn(one.bearing - of.start), to = from + gap, wide = of.right - of.left;
      function part(low, high) {
        function point(angle) { return (of.left + (angle > 360 || low >= 360 ? angle - 360 : angle) / of.span * wide).toFixed(1) + " " + of.y(one.height + (next.height - one.height) * (angle - from) / gap).toFixed(1); }
        var route = "M" + point(low) + "L" + point(high);
        stroke(group, route, "sheet", 6);
        stroke(group, route, "ink", 2.6);
      }
      if (to <= 360) { part(from, to); } else {
        part(from, 360);
        part(360, to);
      }
    });
    all.forEach(function (one) { put(group, "circle", { cx: of.x(one.bearing).toFixed(1), cy: of.y(one.height).toFixed(1), r: 3.6, fill: "var(--ink)" }); });
  }
  function draw(word) {
    var all = typed();
    Array.prototype.forEach.call(drawn.children, function (held) {
      var svg = held.querySelector("svg"), group = held.querySelector(".typed"), of = scale(held), x = of.x(at.bearing).toFixed(1), y = of.y(at.height).toFixed(1);
      if (!group) { return; }
      while (group.firstChild) { group.removeChild(group.firstChild); }
      drawLine(group, of, all);
      stroke(group, "M" + x + " " + of.high + "V" + of.low, "ink", 1.2, "5 4");
      stroke(group, "M" + of.left + " " + y + "H" + of.right, "ink", 0.8, "2 5");
      put(group, "circle", { cx: x, cy: y, r: 8, fill: "none", stroke: "var(--ink)", "stroke-width": 2.2 });
      svg.setAttribute("focusable", "false");
    });
    var known = lineAt(at.bearing);
    reading.textContent = (word ? word + ": " : "") + at.bearing + "° true, " + at.height.toFixed(1) + "° high. " +
      (isNaN(known) ? "Nothing typed there" : "Typed line there: " + known.toFixed(1) + "°") + (changed ? ". Not kept yet." : ".");
  }
  function move(along, up) {
    at.bearing = turn(Math.round((at.bearing + along) / BY) * BY);
    at.height = Math.min(HIGHEST, Math.max(LOWEST, Math.round((at.height + up) / UP) * UP));
    draw();
  }
  var does = {
    left: function () { move(-BY, 0); }, right: function () { move(BY, 0); },
    up: function () { move(0, UP); }, down: function () { move(0, -UP); }, set: set, drop: drop
  };
  var keys = { ArrowLeft: "left", ArrowRight: "right", ArrowUp: "up", ArrowDown: "down", Enter: "set", Delete: "drop", Backspace: "drop" };
  drawn.setAttribute("tabindex", "0");
  drawn.setAttribute("role", "application");
  drawn.setAttribute("aria-label", "Skyline being typed: arrows move, Enter sets a height, Delete drops it");
  steers.hidden = false;
  form.querySelector(".keys").hidden = false;
  drawn.addEventListener("keydown", function (event) {
    var what = keys[event.key];
    if (!what || event.ctrlKey || event.altKey || event.metaKey) { return; }
    does[what]();
    event.preventDefault();
  });
  drawn.addEventListener("click", function (event) {
    var held = Array.prototype.filter.call(drawn.children, function (one) { return one.getBoundingClientRect().width > 0; })[0];
    var svg = held.querySelector("svg"), box = svg.getBoundingClientRect(), of = scale(held), wide = svg.viewBox.baseVal.width;
    var x = (event.clientX - box.left) / box.width * wide, y = (event.clientY - box.top) / box.width * wide;
    if (x < of.left || x > of.right || y < of.high - 8 || y > of.low + 8) { return; }
    at.bearing = turn(Math.round((of.start + (x - of.left) / (of.right - of.left) * of.span) / BY) * BY);
    at.height = Math.max(-1, Math.round(((of.low - y) / (of.low - of.high) * (of.top + 1) - 1) / UP) * UP);
    set();
  });
  Array.prototype.forEach.call(steers.querySelectorAll("button"), function (button) {
    button.addEventListener("click", function () { does[button.getAttribute("data-do")](); });
  });
  list.addEventListener("input", function () { changed = true; draw(); });
  list.addEventListener("click", function (event) {
    if (!event.target.matches(".drop")) { return; }
    event.preventDefault();
    var row = event.target.parentNode, next = row.nextElementSibling || row.previousElementSibling;
    list.removeChild(row);
    if (!rows().length) { list.appendChild(newRow()); }
    renumber();
    changed = true;
    (next || list.firstElementChild).querySelector(".drop").focus();
    draw("Dropped");
  });
  var first = typed()[0];
  if (first) { at.height = lineAt(at.bearing) || first.height; }
  at.height = Math.round(at.height / UP) * UP;
  draw();
})();
