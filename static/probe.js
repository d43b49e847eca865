/* What a thermometer shows: typed or tapped with wet hands, said like any tick. */
(() => {
  "use strict";
  const COLDEST_C = -80, HOTTEST_C = 300;
  const say = (event) => document.dispatchEvent(new CustomEvent("floor-tick", { detail: event }));

  function celsius(text, unit) {
    const plain = text.trim().replace("−", "-").replace(",", ".");
    if (!/^-?\d+(\.\d+)?$/.test(plain)) return null;
    const shown = Number(plain);
    return unit === "°F" ? (shown - 32) / 1.8 : shown;
  }

  function tell(form, words) {
    form.querySelector("#probe-fault").textContent = words;
    form.elements.shown.setAttribute("aria-invalid", String(Boolean(words)));
  }

  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (form.id !== "probe") return;
    event.preventDefault();
    const input = form.elements.shown, read = celsius(input.value, form.dataset.unit);
    if (read === null) return tell(form, `A number of ${form.dataset.unit}, like 4.5.`);
    if (read < COLDEST_C || read > HOTTEST_C) return tell(form, "No food is that cold or that hot.");
    tell(form, "");
    if (navigator.vibrate) navigator.vibrate(15);
    say({ event: "measured", copy: document.querySelector("#floor").dataset.copy, celsius: Math.round(read * 100) / 100 });
    input.value = "";
    const button = form.querySelector("[type=submit]");
    button.disabled = true;
    setTimeout(() => { button.disabled = false; }, 1000);
  });

  document.addEventListener("click", (event) => {
    const key = event.target.closest && event.target.closest("[data-key]");
    const undo = event.target.closest && event.target.closest("[data-unread]");
    if (undo) {
      undo.disabled = true;
      say({ event: "undone", undoes: Number(undo.dataset.unread) });
    }
    if (!key) return;
    const input = key.form.elements.shown;
    tell(key.form, "");
    if (key.dataset.key === "back") input.value = "";
    else if (key.dataset.key === "−") input.value = input.value.startsWith("−") ? input.value.slice(1) : `−${input.value}`;
    else if (input.value.length < input.maxLength) input.value += key.dataset.key;
  });
})();
