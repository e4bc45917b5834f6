// The reading line of a figure: arrow keys, the two buttons, or a tap on the figure.
(function () {
  "use strict";
  Array.prototype.forEach.call(document.querySelectorAll("[data-readings]"), function (figure) {
    var lines = JSON.parse(figure.getAttribute("data-readings")), at = -1;
    var line = figure.querySelector(".reading"), drawn = figure.querySelector(".drawn"), step = figure.querySelector(".step");
    if (!lines.length || !step) { return; }
    step.hidden = false;
    function show(next) {
      at = Math.max(0, Math.min(lines.length - 1, next));
      line.textContent = lines[at];
    }
    drawn.addEventListener("keydown", function (event) {
      var next = { ArrowRight: at + 1, ArrowLeft: at - 1, Home: 0, End: lines.length - 1 }[event.key];
      if (next === undefined) { return; }
      show(next);
      event.preventDefault();
    });
    drawn.addEventListener("click", function (event) {
      var svg = Array.prototype.filter.call(drawn.querySelectorAll("svg"), function (one) { return one.getBoundingClientRect().width > 0; })[0];
      if (!svg) { return; }
      var box = svg.getBoundingClientRect(), held = svg.parentNode, wide = svg.viewBox.baseVal.width;
      var left = Number(held.getAttribute("data-left")), right = Number(held.getAttribute("data-right"));
      show(Math.floor(((event.clientX - box.left) / box.width * wide - left) / (wide - left - right) * lines.length));
    });
    step.querySelector(".earlier").addEventListener("click", function () { show(at - 1); });
    step.querySelector(".later").addEventListener("click", function () { show(at + 1); });
  });
})();
