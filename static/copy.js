/* A copy is lost, or is not after all: said like any tick, and the page follows. */
(() => {
  "use strict";
  const say = (event) => document.dispatchEvent(new CustomEvent("floor-tick", { detail: event }));
  const copy = () => document.querySelector("#floor").dataset.copy;

  document.addEventListener("submit", (event) => {
    if (event.target.id !== "lose") return;
    event.preventDefault();
    const why = event.target.elements.why.value.trim();
    event.target.querySelector("button").disabled = true;
    say({ event: "lost", copy: copy(), why });
  });
  document.addEventListener("click", (event) => {
    const button = event.target.closest && event.target.closest("#unlose");
    if (!button) return;
    button.disabled = true;
    say({ event: "undone", undoes: Number(button.dataset.undoes) });
  });
  document.addEventListener("floor-news", (event) => {
    if (event.detail.changed || event.detail.batches) {
      window.htmx.ajax("GET", location.href, { target: "#floor", swap: "outerMorph" });
    }
  });
})();
