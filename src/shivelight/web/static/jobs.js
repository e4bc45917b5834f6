// The page of a job looks again by itself, and goes on when the job is done.
(function () {
  "use strict";
  var job = document.getElementById("job");
  if (!job) { return; }
  if (job.getAttribute("data-state") === "done") { window.location.replace(job.getAttribute("data-then")); return; }
  if (job.getAttribute("data-state") !== "working") { return; }
  var step = document.getElementById("step"), bar = document.getElementById("bar");
  function look() {
    fetch(job.getAttribute("data-job"), { headers: { Accept: "application/json" } }).then(function (answer) {
      return answer.json();
    }).then(function (state) {
      if (state.state === "done") { window.location.replace(state.then); return; }
      if (state.state !== "working") { window.location.reload(); return; }
      step.textContent = (state.step || "beginning") + (state.total ? ", " + state.done + " of " + state.total : "");
      if (state.total) { bar.max = state.total; bar.value = state.done; }
      window.setTimeout(look, 300);
    }).catch(function () { window.setTimeout(look, 1500); });
  }
  window.setTimeout(look, 150);
})();
