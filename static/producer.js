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

  // One stream a page. A new plan's part is fetched; what is being typed elsewhere stays.
  let stream = null;

  function follow() {
    const place = document.querySelector("[data-live]");
    if (stream && stream.place === place) return;
    if (stream) stream.close();
    stream = null;
    if (!place || !window.EventSource) return;
    stream = new EventSource(`${place.dataset.live}?plan=${place.dataset.plan}`);
    stream.place = place;
    stream.onopen = () => window.stagelarder.found();
    stream.onerror = () => window.stagelarder.lost();
    stream.onmessage = (event) => {
      const told = JSON.parse(event.data);
      if (told.plan === undefined || told.plan === Number(place.dataset.plan)) return;
      place.dataset.plan = told.plan;
      window.htmx.ajax("GET", place.dataset.part, { target: place.dataset.target, swap: "outerHTML" });
    };
  }

  document.addEventListener("htmx:after:settle", follow);
  document.addEventListener("DOMContentLoaded", follow);
  window.addEventListener("pagehide", () => stream && stream.close());
})();
