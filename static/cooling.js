/* The cooling log follows: after each reading, and each minute, because time runs. */
(() => {
  "use strict";
  const MINUTE_MS = 60000;
  const anew = () => window.htmx.ajax("GET", location.href, { target: "#floor", swap: "outerMorph" });
  document.addEventListener("floor-news", (event) => {
    if (event.detail.changed || event.detail.batches) anew();
  });
  setInterval(() => { if (!document.hidden) anew(); }, MINUTE_MS);
})();
