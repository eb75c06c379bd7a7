"use strict";
// Beside the fields: says to a screen reader which are wrong after a check, finds a line of the file, and asks before
// what was typed and not saved is left.
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

  function differs(field) {
    if (!field.name || field.name === "unfinished" || field.type === "hidden") return false;
    if (field.type === "checkbox") return field.checked !== field.defaultChecked;
    if (field.matches("select")) {
      return field.selectedIndex !== Math.max(0, [...field.options].findLastIndex((one) => one.defaultSelected));
    }
    return field.matches("input, textarea") && field.value !== field.defaultValue;
  }

  // What is sent comes back, saved or with what is wrong; everything else that leads away loses it.
  const form = document.querySelector("#trip-form, #file-form");
  let sent = false;
  form.addEventListener("submit", () => { sent = true; });
  window.addEventListener("pageshow", () => { sent = false; });
  window.addEventListener("beforeunload", (event) => {
    const unsaved = form.dataset.unsaved || [...form.elements].some(differs);
    if (unsaved && !sent) event.preventDefault();
  });
})();
