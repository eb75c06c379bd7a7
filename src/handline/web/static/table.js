"use strict";
// What is asked above a page, progress of work, and answers that say what is wrong. Without script the pages do the
// same, one load at a time.
(() => {
  // An answer that says what is wrong takes the place of the result as any other.
  document.addEventListener("htmx:beforeSwap", (event) => {
    const kind = event.detail.xhr.getResponseHeader("content-type") || "";
    if (event.detail.xhr.status >= 400 && kind.startsWith("text/html")) {
      event.detail.shouldSwap = true;
      event.detail.isError = false;
    }
  });

  // The address of what is asked: what is left empty is not.
  function addressOf(path, fields) {
    const asked = new URLSearchParams([...fields].filter(([, value]) => value.trim()));
    return path + (asked.size ? `?${asked}` : "");
  }
  const askedAbove = (form) => addressOf(form.getAttribute("action"), new FormData(form));
  const askedLast = () => addressOf(window.location.pathname, new URLSearchParams(window.location.search));

  // While a value is typed, only a whole one is asked about; left as it is or sent, any is.
  function halfTyped(field) {
    const whole = field.dataset.whole, value = field.value.trim();
    return Boolean(whole && value) && !new RegExp(`^(?:${whole})$`).test(value);
  }

  document.addEventListener("htmx:confirm", (event) => {
    const { elt: form, triggeringEvent: by } = event.detail;
    if (form.id !== "controls" || !by || by.type === "submit") return;
    if ((by.type === "input" && halfTyped(by.target)) || askedAbove(form) === askedLast()) event.preventDefault();
  });

  // What is asked stands in the address, to be kept, sent and loaded again; back leads to the page before.
  document.addEventListener("htmx:beforeRequest", (event) => {
    const form = event.detail.elt;
    if (form.id === "controls") window.history.replaceState(null, "", askedAbove(form));
  });

  // The answer in a few words for who listens: the page itself would be read from its top each time.
  document.addEventListener("htmx:afterSettle", () => {
    const says = document.getElementById("answered");
    const answer = document.querySelector("#result .problems .sentence, #result .decision h2");
    if (says && answer && says.textContent !== answer.textContent) says.textContent = answer.textContent;
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
