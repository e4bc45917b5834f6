// A form with a file tells how far it has come, and can be stopped; without this script it is sent as it is.
(function () {
  "use strict";
  Array.prototype.forEach.call(document.querySelectorAll("form[data-upload]"), function (form) {
    var told = form.querySelector(".sending"), bar = form.querySelector(".sending progress"), words = form.querySelector(".sending p"), stop = form.querySelector(".sending button"), busy = false;
    function refuse() { busy = false; bar.hidden = true; stop.hidden = true; words.classList.add("refused"); }
    form.addEventListener("submit", function (event) {
      var file = form.querySelector("input[type=file]").files[0], most = Number(form.getAttribute("data-most"));
      if (!file) { return; }
      event.preventDefault();
      if (busy) { return; }
      told.hidden = false;
      words.classList.remove("refused");
      if (most && file.size > most) {
        words.textContent = "The file has " + Math.ceil(file.size / 1e6) + " MB; " + Math.floor(most / 1e6) + " MB is the most.";
        refuse();
        return;
      }
      bar.hidden = false; stop.hidden = false;
      busy = true;
      var sent = new XMLHttpRequest();
      sent.open("POST", form.action);
      sent.setRequestHeader("Accept", "application/json");
      sent.setRequestHeader("X-Form-Token", form.querySelector("input[name=form_token]").value);
      sent.upload.addEventListener("progress", function (now) {
        bar.max = now.total; bar.value = now.loaded;
        words.textContent = now.loaded < now.total ? "Sending, " + (now.loaded / 1e6).toFixed(1) + " of " + (now.total / 1e6).toFixed(1) + " MB" : "Sent; being read";
      });
      sent.addEventListener("load", function () {
        var answer = {};
        try { answer = JSON.parse(sent.responseText); } catch (odd) { answer = {}; }
        if (sent.status < 300 && answer.next) { window.location.assign(answer.next); return; }
        refuse();
        words.textContent = answer.error ? answer.error.sentence : "The file was not taken; try once more.";
      });
      sent.addEventListener("error", function () { refuse(); words.textContent = "The connection broke off; nothing was kept. Send it once more."; });
      sent.addEventListener("abort", function () { busy = false; bar.hidden = true; stop.hidden = true; words.textContent = "Stopped; nothing was kept."; });
      stop.onclick = function () { sent.abort(); };
      sent.send(new FormData(form));
    });
  });
})();
