/* How much has happened that the plan does not know: the bar that leads to mending. */
(() => {
  "use strict";
  function paint(count, plan) {
    const bar = document.querySelector("#unknown");
    if (!bar) return;
    bar.hidden = !count;
    const words = `${count} ${count === 1 ? "thing" : "things"} happened that plan ${plan} does not know.`;
    if (bar.firstElementChild.textContent !== words) bar.firstElementChild.textContent = words;
  }
  document.addEventListener("floor-news", (event) => paint(event.detail.unknown, event.detail.plan));
})();
