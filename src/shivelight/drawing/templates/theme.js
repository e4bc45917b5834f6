(function () {
  // Runs before the first paint: what was chosen by hand, else the clock, else as written.
  var root = document.documentElement, chosen = null;
  try { chosen = window.localStorage.getItem("shivelight-theme"); } catch (closed) { chosen = null; }
  var from = Number(root.getAttribute("data-paper-from")), now = Date.now();
  if (chosen !== "dim" && chosen !== "paper") {
    chosen = from && now >= from && now < from + 28800000 ? "paper" : root.getAttribute("data-theme");
  }
  root.setAttribute("data-theme", chosen);
  var bar = document.querySelector("meta[name=theme-color]");
  if (bar) { bar.setAttribute("content", chosen === "dim" ? "#000000" : "#F1F1E8"); }
})();
