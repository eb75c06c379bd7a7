"use strict";
// Progress of work, and answers that say what is wrong. Without script the pages do the same, one load at a time.
(() => {
  // An answer that says what is wrong takes the place of the result as any other.
  document.addEventListener("htmx:beforeSwap", (event) => {
    const kind = event.detail.xhr.getResponseHeader("content-type") || "";
    if (event.detail.xhr.status >= 400 && kind.startsWith("text/html")) {
      event.detail.shouldSwap = true;
      event.detail.isError = false;
    }
  });

  function again(panel) {
    const address = panel.dataset.again;
    if (window.htmx && document.getElementById("result")) {
      window.htmx.ajax("GET", address, { target: "#result", select: "#result", swap: "outerHTML" });
    } else {
      window.location.reload();
    }
  }

  function follow(panel) {
    if (panel.dataset.followed) return;
    panel.dataset.followed = "yes";
    const progress = new EventSource(panel.dataset.progress);
    const stop = () => progress.close();
    progress.addEventListener("told", (event) => {
      if (!document.contains(panel)) return stop();
      const told = JSON.parse(event.data);
      const doing = panel.querySelector(".doing");
      if (doing.textContent !== told.doing) doing.textContent = told.doing;
      panel.querySelector("progress").value = told.share;
    });
    progress.addEventListener("done", () => {
      stop();
      if (document.contains(panel)) again(panel);
    });
    progress.onerror = () => {
      stop();
      if (document.contains(panel)) window.setTimeout(() => again(panel), 2000);
    };
    window.addEventListener("pagehide", stop);
  }

  function followAll() {
    document.querySelectorAll(".working").forEach(follow);
  }

  document.addEventListener("htmx:afterSettle", followAll);
  followAll();
})();
