/* What others decide, measure, or change for the house is drawn as it is told. A part bears in
   data-follows the marks that it was drawn with; what somebody is typing in it stays. */
(() => {
  "use strict";
  const parts = () => [...document.querySelectorAll("[data-follows]")];

  function isTyped(field) {
    if (field.type === "checkbox" || field.type === "radio") return field.checked !== field.defaultChecked;
    if (field.tagName !== "SELECT") return field.value !== field.defaultValue;
    const first = [...field.options].findIndex((option) => option.defaultSelected);
    return field.selectedIndex !== Math.max(0, first);
  }

  function draw(part) {
    const address = part.dataset.from || location.href;
    return window.htmx.ajax("GET", address, { target: `#${part.id}`, select: `#${part.id}`, swap: "outerMorph" });
  }

  /* Whoever is typing says when the others' changes may be drawn. */
  function offer(part) {
    if (part.querySelector(":scope > .meanwhile")) return;
    const bar = document.createElement("p"), show = document.createElement("button");
    bar.className = "banner meanwhile";
    bar.setAttribute("role", "status");
    bar.append("Somebody has changed this meanwhile. What you typed is kept until you look. ", show);
    show.type = "button";
    show.textContent = "Look";
    show.addEventListener("click", () => draw(part));
    part.prepend(bar);
  }

  function isOld(part, marks) {
    return Object.entries(JSON.parse(part.dataset.follows)).some(([name, mark]) => name in marks && marks[name] !== mark);
  }

  document.addEventListener("stream-news", (event) => {
    const marks = event.detail.marks || {};
    for (const part of parts().filter((each) => isOld(each, marks))) {
      const fields = [...part.querySelectorAll("input:not([type=hidden]), textarea, select")];
      if (fields.some(isTyped)) offer(part);
      else draw(part);
    }
  });

  document.addEventListener("DOMContentLoaded", () => {
    const isFloor = document.querySelector("#floor[data-production]");
    const isHeard = document.querySelector("[data-follows], [data-live]");
    if (isHeard && !isFloor) window.stream.follow(() => document.body.dataset.stream);
  });
})();
