// Taps: a form with data-taps is sent with its last tap and keeps its place; times step by minutes; text is copied.
(function () {
  "use strict";
  var store = window.sessionStorage, kept = "shivelight-place";
  function each(parent, what, work) { Array.prototype.forEach.call(parent.querySelectorAll(what), work); }
  each(document, "form[data-taps]", function (form) {
    var names = form.getAttribute("data-taps").split(" ");
    form.addEventListener("change", function (event) {
      if (event.target.type !== "radio") { return; }
      var lacks = names.filter(function (name) { return !form.querySelector("input[name=" + name + "]:checked"); });
      if (lacks.length) { return; }
      try { store.setItem(kept, String(window.scrollY)); store.setItem(kept + "-on", event.target.name + "=" + event.target.value); } catch (closed) { /* then the page begins at its top */ }
      form.requestSubmit();
    });
    try {
      var at = store.getItem(kept), on = (store.getItem(kept + "-on") || "").split("=");
      store.removeItem(kept);
      store.removeItem(kept + "-on");
      if (at !== null) {
        window.scrollTo(0, Number(at));
        each(form, "input[type=radio]", function (one) { if (one.name === on[0] && one.value === on[1]) { one.focus({ preventScroll: true }); } });
      }
    } catch (closed) { return; }
  });
  each(document, "[data-minutes]", function (button) {
    button.hidden = false;
    button.addEventListener("click", function () {
      var box = document.getElementById(button.getAttribute("data-for")), held = /^(\d{1,2})[:.](\d{2})$/.exec(box.value.trim());
      var at = held ? Number(held[1]) * 60 + Number(held[2]) + Number(button.getAttribute("data-minutes")) : 8 * 60;
      at = Math.max(0, Math.min(24 * 60 - 1, at));
      box.value = ("0" + Math.floor(at / 60)).slice(-2) + ":" + ("0" + at % 60).slice(-2);
    });
  });
  each(document, "[data-copy]", function (button) {
    var from = document.getElementById(button.getAttribute("data-copy")), told = document.getElementById(button.getAttribute("data-copy") + "-told");
    button.hidden = false;
    button.addEventListener("click", function () {
      from.focus();
      from.select();
      told.textContent = document.execCommand("copy") ? "Copied." : "Not copied; it is marked, copy it by hand.";
    });
  });
})();
