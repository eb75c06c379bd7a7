"use strict";
// Draws each picture live over its still image, at the width that fits. Without script the stills remain.
(() => {
  const data = JSON.parse(document.getElementById("picture-data").textContent);
  const narrow = window.matchMedia("(max-width: 619px)");

  // The narrow spec is told as changes of the wide one: ways into it, each with the value to put there. An empty way
  // is the whole.
  function narrowed(picture) {
    const whole = { spec: structuredClone(picture.wide) };
    for (const [way, value] of picture.narrow) {
      const steps = ["spec", ...way];
      const last = steps.pop();
      steps.reduce((inner, step) => inner[step], whole)[last] = value;
    }
    return whole.spec;
  }

  async function draw(figure) {
    const picture = data[figure.dataset.picture];
    const spec = narrow.matches ? narrowed(picture) : picture.wide;
    const live = figure.querySelector(".live");
    const options = {
      actions: false,
      ast: true, // expressions are interpreted, so that the page's policy can forbid eval
      renderer: "svg",
      defaultStyle: false,
      tooltip: { disableDefaultStyle: true },
    };
    try {
      await window.handlineEmbed(live, { ...spec, datasets: picture.datasets }, options);
      figure.classList.add("is-live");
    } catch (problem) {
      figure.classList.remove("is-live");
      console.error(problem);
    }
  }

  function drawAll() {
    document.querySelectorAll("figure[data-picture]").forEach(draw);
  }

  narrow.addEventListener("change", drawAll);
  drawAll();
})();
