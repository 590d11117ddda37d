// Before and after: one over the other, with a slider that a finger, a mouse and the arrow keys move. Without this script
// the two stand side by side.
(function () {
  "use strict";
  document.querySelectorAll("[data-pair]").forEach(function (pair) {
    const slider = Object.assign(document.createElement("input"), { type: "range", className: "slide", min: 0, max: 100, value: 50 });
    slider.setAttribute("aria-label", "How much of before is shown, in per cent");
    slider.addEventListener("input", () => pair.style.setProperty("--at", slider.value + "%"));
    pair.classList.add("slides");
    pair.after(slider);
  });
})();
