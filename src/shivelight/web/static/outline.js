// A wood's ground: places read off by arrow keys or a tap; and the page on which an outline is drawn, where a tap
// or the crosshair sets corners at once. Without this script the picture is a button that the server answers.
(function () {
  "use strict";
  var each = function (list, work) { Array.prototype.forEach.call(list, work); };

  each(document.querySelectorAll(".ground[data-marks]"), function (figure) {
    var words = JSON.parse(figure.getAttribute("data-marks")), at = -1;
    var xs = JSON.parse(figure.getAttribute("data-xs")), ys = JSON.parse(figure.getAttribute("data-ys"));
    var line = figure.querySelector(".reading"), drawn = figure.querySelector(".drawn");
    if (!words.length) { return; }
    function show(next) { at = (next + words.length) % words.length; line.textContent = words[at]; }
    drawn.addEventListener("keydown", function (event) {
      var next = { ArrowRight: at + 1, ArrowDown: at + 1, ArrowLeft: at - 1, ArrowUp: at - 1, Home: 0, End: -1 }[event.key];
      if (next === undefined) { return; }
      show(next);
      event.preventDefault();
    });
    drawn.addEventListener("click", function (event) {
      var box = shown(drawn.querySelectorAll(".laid")).getBoundingClientRect(), best = 0, least = Infinity;
      each(words, function (one, place) {
        var far = Math.hypot(xs[place] - (event.clientX - box.left) / box.width, ys[place] - (event.clientY - box.top) / box.height);
        if (far < least) { least = far; best = place; }
      });
      show(best);
    });
  });

  var form = document.getElementById("drawing");
  if (!form) { return; }
  var SIDE = 720, fit = JSON.parse(form.getAttribute("data-degrees")), whole = fit[1] * fit[5] - fit[2] * fit[4];
  var pixel = 2 * Number(form.getAttribute("data-radius")) / SIDE;
  var steps = Number(form.getAttribute("data-steps")), heights = JSON.parse(form.getAttribute("data-heights"));
  var typed = document.getElementById("b-outline"), parked = document.getElementById("b-parking");
  var reading = document.getElementById("reading"), answer = document.getElementById("answer");
  var hair = { x: SIDE / 2, y: SIDE / 2 }, lead = false;

  function shown(list) {
    return Array.prototype.filter.call(list, function (one) { return one.getBoundingClientRect().width > 0; })[0];
  }
  function placeAt(x, y) {
    return { lat: fit[0] + fit[1] * x + fit[2] * y, lon: fit[3] + fit[4] * x + fit[5] * y };
  }
  function pixelOf(place) {
    var north = place.lat - fit[0], east = (((place.lon - fit[3] + 180) % 360) + 360) % 360 - 180;
    return { x: (north * fit[5] - fit[2] * east) / whole, y: (fit[1] * east - fit[4] * north) / whole };
  }
  function heightAt(x, y) {
    if (!steps || x < 0 || y < 0 || x > SIDE || y > SIDE) { return null; }
    var across = x / SIDE * steps, down = y / SIDE * steps;
    var column = Math.min(Math.floor(across), steps - 1), row = Math.min(Math.floor(down), steps - 1);
    var right = across - column, low = down - row, at = row * (steps + 1) + column;
    var four = [heights[at], heights[at + 1], heights[at + steps + 1], heights[at + steps + 2]];
    if (four.indexOf(null) >= 0) { return null; }
    return (four[0] * (1 - right) + four[1] * right) * (1 - low) + (four[2] * (1 - right) + four[3] * right) * low;
  }
  // Only plain degrees are followed while drawing; other ways of writing a place are read by the server.
  function read(text) {
    var found = /^\s*([-+−]?\d+(?:\.\d+)?)\s*[,;\s]\s*([-+−]?\d+(?:\.\d+)?)\s*$/.exec(text);
    if (!found) { return null; }
    var place = { lat: Number(found[1].replace("−", "-")), lon: Number(found[2].replace("−", "-")) };
    return Math.abs(place.lat) <= 90 && Math.abs(place.lon) <= 360 ? place : null;
  }
  function lines() { return typed.value.split(/\r?\n/).filter(function (one) { return one.trim(); }); }
  function corners() { return lines().map(read).filter(Boolean); }
  function write(place) { return place.lat.toFixed(7) + ", " + place.lon.toFixed(7); }
  function said(place) {
    return Math.abs(place.lat).toFixed(5) + (place.lat < 0 ? " S, " : " N, ") + Math.abs(place.lon).toFixed(5) + (place.lon < 0 ? " W" : " E");
  }
  function apart(one, other) {
    var a = pixelOf(one), b = pixelOf(other);
    return Math.hypot(a.x - b.x, a.y - b.y) * pixel;
  }
  function far(metres) { return metres < 1000 ? Math.round(metres) + " m" : (metres / 1000).toFixed(1) + " km"; }
  function height(x, y) {
    var found = heightAt(x, y);
    return found === null ? "" : "; ground about " + Math.round(found) + " m";
  }
  function tell(words) { reading.textContent = words; }
  function part(svg, name, wanted) {
    var made = document.createElementNS("http://www.w3.org/2000/svg", name);
    Object.keys(wanted).forEach(function (key) { made.setAttribute(key, wanted[key]); });
    svg.appendChild(made);
  }
  function draw() {
    var unread = lines().length - corners().length, places = corners(), points = places.map(pixelOf), car = read(parked.value);
    var route = points.map(function (one) { return one.x.toFixed(1) + "," + one.y.toFixed(1); }).join(" ");
    each(form.querySelectorAll(".draft"), function (svg) {
      var ring = svg.getAttribute("data-ring"), trunk = svg.getAttribute("data-trunk"), dots = svg.querySelector(".dots"), spot = car && pixelOf(car);
      each(svg.querySelectorAll("polygon"), function (one) { one.setAttribute("points", route); });
      dots.textContent = "";
      points.forEach(function (one) { part(dots, "circle", { cx: one.x.toFixed(1), cy: one.y.toFixed(1), r: ring }); });
      if (spot) { svg.querySelector(".car").setAttribute("d", "M" + spot.x.toFixed(1) + " " + spot.y.toFixed(1) + "v-" + trunk); each(svg.querySelectorAll(".named"), function (one) { one.setAttribute("x", spot.x.toFixed(1)); one.setAttribute("y", spot.y.toFixed(1)); }); }
      svg.querySelector(".hair").setAttribute("d", lead ? "M" + hair.x + " " + (hair.y - 26) + "v52M" + (hair.x - 26) + " " + hair.y + "h52" : "");
    });
    var words = places.length + (places.length === 1 ? " corner" : " corners");
    if (places.length > 2) {
      words += ", " + far(places.reduce(function (sum, one, at) { return sum + apart(one, places[(at + 1) % places.length]); }, 0)) + " round. Nothing is kept before you say so.";
    } else { words = (places.length ? words : "No corner yet") + "; three or more make an outline."; }
    if (unread) { words += " " + unread + (unread === 1 ? " line is" : " lines are") + " only read when it is drawn or kept."; }
    answer.textContent = words;
  }
  function setsParking() { return form.querySelector("input[name=sets]:checked").value === "parking"; }
  function addCorner(x, y) {
    var place = placeAt(x, y), before = corners(), last = before[before.length - 1];
    typed.value = lines().concat(write(place)).join("\n");
    draw();
    tell("Corner " + (before.length + 1) + ": " + said(place) + height(x, y) + (last ? "; " + far(apart(last, place)) + " from the last" : "") + ".");
  }
  function setCar(x, y) {
    var place = placeAt(x, y);
    parked.value = write(place);
    draw();
    tell("Parking: " + said(place) + height(x, y) + ".");
  }
  function takeBack() {
    var held = lines();
    tell(held.length ? "Corner " + held.length + " is taken back." : "There is no corner to take back.");
    typed.value = held.slice(0, -1).join("\n");
    draw();
  }
  each(form.querySelectorAll(".tap"), function (picture) {
    picture.addEventListener("click", function (event) {
      event.preventDefault();
      var box = picture.getBoundingClientRect();
      if (event.clientX || event.clientY) { hair = { x: Math.round((event.clientX - box.left) / box.width * SIDE), y: Math.round((event.clientY - box.top) / box.height * SIDE) }; }
      if (setsParking()) { setCar(hair.x, hair.y); } else { addCorner(hair.x, hair.y); }
    });
    picture.addEventListener("keydown", function (event) {
      var by = event.shiftKey ? 1 : 10, way = { ArrowLeft: [-by, 0], ArrowRight: [by, 0], ArrowUp: [0, -by], ArrowDown: [0, by] }[event.key];
      if (way) {
        hair = { x: Math.max(0, Math.min(SIDE, hair.x + way[0])), y: Math.max(0, Math.min(SIDE, hair.y + way[1])) };
        lead = true;
        draw();
        tell("Crosshair: " + said(placeAt(hair.x, hair.y)) + height(hair.x, hair.y) + ".");
      } else if (event.key === "Enter" && !event.ctrlKey) { addCorner(hair.x, hair.y);
      } else if (event.key === "Backspace") { takeBack();
      } else if (event.key === "p" || event.key === "P") { setCar(hair.x, hair.y);
      } else { return; }
      event.preventDefault();
      event.stopPropagation();
    });
    picture.addEventListener("focus", function () {
      if (picture.matches(":focus-visible")) { lead = true; draw(); }
    });
    picture.addEventListener("blur", function () { lead = false; draw(); });
  });
  form.addEventListener("submit", function (event) {
    var by = event.submitter && event.submitter.value;
    if (by === "back") { takeBack(); event.preventDefault(); }
    if (by === "clear") { typed.value = ""; draw(); tell("All corners are taken off."); event.preventDefault(); }
  });
  typed.addEventListener("input", draw);
  parked.addEventListener("input", draw);
  draw();
})();
