// Forms for cold hands: Enter goes to the next value, Ctrl+Enter sends; after an answer the focus lands on it.
// A form is sent once, however often its button is tapped; an empty clock is offered this machine's.
(function () {
  "use strict";
  var said = document.getElementById("said"), refused = document.querySelector("[aria-invalid=true]") || document.querySelector(".error[role=alert]");
  if (refused) {
    if (!refused.matches("input,textarea,select")) { refused.setAttribute("tabindex", "-1"); }
    refused.focus();
  } else if (said) { said.focus(); }
  var sent = [], clock = document.querySelector("input[name=zone_name]");
  if (clock && !clock.value) {
    try { clock.value = Intl.DateTimeFormat().resolvedOptions().timeZone || ""; } catch (none) { clock.value = ""; }
    if (clock.value.indexOf("/") < 0) { clock.value = ""; }
  }
  document.addEventListener("submit", function (event) {
    if (event.defaultPrevented || event.target.method !== "post") { return; }
    if (sent.indexOf(event.target) >= 0) { event.preventDefault(); return; }
    sent.push(event.target);
    window.setTimeout(function () { sent = []; }, 8000);
  });
  window.addEventListener("pageshow", function () { sent = []; });
  // What was typed and not sent comes back with the page; pages are not stored, so it is kept for this tab alone.
  var typed = "typed " + window.location.pathname + window.location.search, came = (window.performance.getEntriesByType("navigation")[0] || {}).type;
  function each(work) {
    Array.prototype.forEach.call(document.querySelectorAll("form[method=post] input:not([type]), form[method=post] textarea"), function (one, at) {
      if (one.name && !one.readOnly) { work(one, at + " " + one.name); }
    });
  }
  try {
    var kept = JSON.parse(window.sessionStorage.getItem(typed) || "{}");
    window.sessionStorage.removeItem(typed);
    if (came === "back_forward" || came === "reload") { each(function (one, key) { if (key in kept) { one.value = kept[key]; } }); }
  } catch (none) { kept = {}; }
  window.addEventListener("pagehide", function () {
    var left = {};
    if (sent.length) { return; }
    each(function (one, key) { if (one.value !== one.defaultValue) { left[key] = one.value; } });
    try { if (Object.keys(left).length) { window.sessionStorage.setItem(typed, JSON.stringify(left)); } } catch (none) { left = {}; }
  });
  document.addEventListener("keydown", function (event) {
    var here = event.target;
    if (event.key !== "Enter" || !here.form || here.tagName === "BUTTON") { return; }
    if (event.ctrlKey) { here.form.requestSubmit(); event.preventDefault(); return; }
    if (here.tagName !== "INPUT" || here.type === "radio" || here.type === "file") { return; }
    var boxes = Array.prototype.filter.call(here.form.elements, function (one) {
      return one.type !== "hidden" && !one.disabled && one.offsetParent !== null && (one.type !== "radio" || one.checked);
    });
    var next = boxes[boxes.indexOf(here) + 1];
    if (next && next.tagName !== "BUTTON") { next.focus(); event.preventDefault(); }
  });
  // Steppers: a button with data-by adds that much to the box it names.
  Array.prototype.forEach.call(document.querySelectorAll("[data-by]"), function (button) {
    button.hidden = false;
    button.addEventListener("click", function () {
      var box = document.getElementById(button.getAttribute("data-for")), by = button.getAttribute("data-by");
      var places = (by.split(".")[1] || "").length, held = parseFloat(box.value.replace(",", "."));
      box.value = ((isNaN(held) ? 0 : held) + Number(by)).toFixed(places);
      box.dispatchEvent(new Event("input", { bubbles: true }));
    });
  });
})();
