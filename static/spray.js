// Each answer of the emission step is drawn on the nozzle beside it, so that nobody marks the wrong hole.
// Without this script the drawing shows where the holes are, and the answers stand as they do.
"use strict";

(() => {
  const DRAWN = { yes: ["conforms", "C"], no: ["does-not-conform", "X"], unclear: ["not-proven", "P"] };
  const fillOf = (state) => ({ conforms: "currentColor", "not-measured": "none" }[state] ?? `url(#nozzle-${state})`);

  const draw = () => document.querySelectorAll(".spray .nozzle > svg > g").forEach((hole) => {
    const number = hole.querySelector(".nozzle-hole-number").textContent;
    const answer = document.querySelector(`.spray [name=hole-${number}]:checked`)?.value;
    const sign = hole.querySelector(".nozzle-hole-letter");
    hole.dataset.was ??= `${hole.getAttribute("class").replace("hole-", "")} ${sign.textContent}`; // as it was drawn
    const [state, letter] = DRAWN[answer] ?? hole.dataset.was.split(" ");
    hole.setAttribute("class", `hole-${state}`);
    hole.querySelector(".nozzle-hole").setAttribute("fill", fillOf(state));
    sign.textContent = letter;
  });

  document.addEventListener("change", draw);
  document.addEventListener("reset", () => setTimeout(draw)); // after the fields have changed
  document.addEventListener("htmx:after:swap", draw);
  draw();
})();
