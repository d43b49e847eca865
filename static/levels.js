/* A shelf unit grows and shrinks by a tap: a level at the bottom, or a slot on each level. */
(() => {
  "use strict";
  const MOST = { levels: 40, slots: 200 };

  /* What stands in the field, or else what is drawn: of a tap before, nothing is drawn yet. */
  function slotsOf(field, drawn) {
    const text = /^\d+(, \d+)*$/.test(field.value) ? field.value : drawn;
    return text.split(", ").map(Number);
  }

  function reshaped(slots, what, by) {
    if (what === "slots") return slots.map((count) => Math.min(MOST.slots, Math.max(1, count + by)));
    if (by > 0) return slots.length < MOST.levels ? [...slots, slots[slots.length - 1]] : slots;
    return slots.length > 1 ? slots.slice(0, -1) : slots;
  }

  document.addEventListener("click", (event) => {
    const button = event.target.closest && event.target.closest("[data-shape]");
    if (!button) return;
    const unit = button.closest("[data-levels]"), field = document.getElementById(unit.dataset.of);
    const { shape, by } = button.dataset;
    field.value = reshaped(slotsOf(field, unit.dataset.levels), shape, Number(by)).join(", ");
    field.dispatchEvent(new Event("change", { bubbles: true }));
  });
})();
