"use strict";
// What is ticked off is kept on this device, for this very plan. Where nothing may be kept the boxes work all the same.
(() => {
  const lists = document.getElementById("gear").parentElement;
  const key = `handline-ticked-${lists.dataset.plan}`;
  const boxes = [...lists.querySelectorAll(".checks input")];

  function kept() {
    try {
      return new Set(JSON.parse(window.localStorage.getItem(key)));
    } catch {
      return new Set();
    }
  }

  function keep() {
    try {
      const ticked = boxes.filter((box) => box.checked).map((box) => box.id);
      window.localStorage.setItem(key, JSON.stringify(ticked));
    } catch {
      // Nothing may be kept here.
    }
  }

  const ticked = kept();
  for (const box of boxes) {
    box.checked = ticked.has(box.id);
    box.addEventListener("change", keep);
  }
})();
