/* The producer's screens: sums open in place, and a plan that somebody publishes shows itself. */
(() => {
  "use strict";
  // A number opens its sum in place; without script the link does.
  document.addEventListener("click", (event) => {
    const cell = event.target.closest && event.target.closest(".counts tr:not(.sum) td");
    const link = cell && cell.parentElement.querySelector("a[data-opens]");
    if (!link) return;
    event.preventDefault();
    const sum = document.getElementById(link.dataset.opens);
    sum.hidden = !sum.hidden;
    link.setAttribute("aria-expanded", String(!sum.hidden));
  });

  // What acts as a button answers to the space bar as well.
  document.addEventListener("keydown", (event) => {
    if (event.key === " " && event.target.matches("a[role=button]")) {
      event.preventDefault();
      event.target.click();
    }
  });

  // A slider over rows says the sentence of its row, and marks it.
  document.addEventListener("input", (event) => {
    const slide = event.target;
    if (!slide.dataset || !slide.dataset.slides) return;
    const rows = document.querySelectorAll(`#${slide.dataset.slides} tr[data-says]`);
    rows.forEach((row, number) => row.classList.toggle("is-chosen", number === Number(slide.value)));
    const says = rows[Number(slide.value)].dataset.says;
    slide.setAttribute("aria-valuetext", says);
    slide.labels[0].parentElement.querySelector("output").textContent = says;
  });

  // Where a swap chart is wider than the screen it begins shortly before the next run, else the
  // first; once somebody has moved it, it stays where they left it.
  const BEFORE_PX = 64, stands = new WeakMap();
  function beginAtRun() {
    for (const chart of document.querySelectorAll(".swap-scroll")) {
      if (chart.scrollLeft !== (stands.get(chart) || 0)) continue;
      const runs = [...chart.querySelectorAll(".swap-run")];
      const next = runs.find((run) => Number(run.dataset.endsS) * 1000 > Date.now()) || runs[0];
      const lines = chart.querySelector(".swap-lines").getBoundingClientRect();
      if (next) chart.scrollLeft = next.getBoundingClientRect().left - lines.left - BEFORE_PX;
      stands.set(chart, chart.scrollLeft);
    }
  }
  document.addEventListener("DOMContentLoaded", beginAtRun);
  document.addEventListener("htmx:after:swap", beginAtRun);

  // Whoever pressed a button of the plan that is gone goes on from there, not from the top.
  let wasInPlan = false;
  document.addEventListener("htmx:before:swap", () => {
    wasInPlan = Boolean(document.activeElement?.closest("#plan"));
  });
  document.addEventListener("htmx:after:swap", () => {
    if (wasInPlan && document.activeElement === document.body) document.getElementById("plan")?.focus();
  });

  // A new plan's part is fetched; what is being typed elsewhere stays.
  document.addEventListener("stream-news", (event) => {
    const place = document.querySelector("[data-live]"), told = event.detail;
    if (!place || told.plan === undefined || told.plan === Number(place.dataset.plan)) return;
    place.dataset.plan = told.plan;
    window.htmx.ajax("GET", place.dataset.part, { target: place.dataset.target, swap: "outerHTML" });
  });
})();
