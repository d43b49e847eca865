/* What others tell of the day, and what becomes of it, is drawn as it comes. */
(() => {
  "use strict";
  document.addEventListener("floor-news", () => {
    window.htmx.ajax("GET", location.href, { target: "#floor", swap: "outerMorph" });
  });
})();
