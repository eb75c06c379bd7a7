"use strict";
// Beside the fields: says to a screen reader which are wrong after a check, and finds a line of the file.
(() => {
  function mark() {
    document.querySelectorAll(".wrong").forEach((slot) => {
      const entry = document.getElementById(slot.id.replace("wrong-", ""));
      if (!entry || !entry.matches("input, select, textarea")) return;
      if (slot.textContent.trim()) entry.setAttribute("aria-invalid", "true");
      else entry.removeAttribute("aria-invalid");
    });
  }
  document.addEventListener("htmx:afterSettle", mark);

  document.addEventListener("click", (event) => {
    const link = event.target.closest("a[data-line]");
    const text = document.getElementById("text");
    if (!link || !text) return;
    const lines = text.value.split("\n");
    const number = Math.min(Number(link.dataset.line), lines.length);
    const start = lines.slice(0, number - 1).join("\n").length + (number > 1 ? 1 : 0);
    text.focus({ preventScroll: true });
    text.setSelectionRange(start, start + lines[number - 1].length);
  });
})();
