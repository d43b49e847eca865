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

  // A swap chart or a time line that is wider than the screen begins shortly before the next run, else
  // the first; once somebody has moved it, it stays where they left it.
  const WIDE = [[".swap-scroll", ".swap-lines", ".swap-run", 64], [".runline", "svg", ".runline-grasp", 120]];
  const stands = new WeakMap();
  const overAt = ({ dataset }) => dataset.endsS ? Number(dataset.endsS) * 1000 : Date.parse(dataset.starts);
  function beginAtRun() {
    for (const [wide, drawn, one, beforePx] of WIDE) for (const box of document.querySelectorAll(wide)) {
      if (box.scrollLeft !== (stands.get(box) || 0)) continue;
      const runs = [...box.querySelectorAll(one)];
      const next = runs.find((run) => overAt(run.closest("[data-starts]") || run) > Date.now()) || runs[0];
      if (next) box.scrollLeft = next.getBoundingClientRect().left - box.querySelector(drawn).getBoundingClientRect().left - beforePx;
      stands.set(box, box.scrollLeft);
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
