// Forms for cold hands: Enter goes to the next value, Ctrl+Enter sends; after an answer the focus lands on it.
(function () {
  "use strict";
  var said = document.getElementById("said"), refused = document.querySelector("[aria-invalid=true]") || document.querySelector(".error[role=alert]");
  if (refused) {
    if (!refused.matches("input,textarea,select")) { refused.setAttribute("tabindex", "-1"); }
    refused.focus();
  } else if (said) { said.focus(); }
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
