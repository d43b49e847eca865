/* The shelf map: all that stands there in the day is on the page, so sliding needs no network.
   The server draws the first minute, and any minute where there is no script. */
(() => {
  "use strict";
  const $ = (selector, of = document) => of.querySelector(selector);
  const all = (selector, of = document) => [...of.querySelectorAll(selector)];
  const stands = (each, minute) => Number(each.dataset.starts) <= minute && minute < Number(each.dataset.ends);

  function draw(minute) {
    const { changes, hours } = JSON.parse($("#hours").textContent);
    const here = all(".stay", $("#stays").content).filter((stay) => stands(stay, minute));
    all("table.shelf").forEach((unit) => fill(unit, here));
    $("#hour").textContent = hours[minute];
    lead($("#before"), "Change before", changes.filter((each) => each < minute).pop(), hours);
    lead($("#after"), "Next change", changes.find((each) => each > minute), hours);
    for (const place of all(".place")) {
      const isHere = stands(place, minute);
      place.classList.toggle("is-here", isHere);
      $(".is-now", place).hidden = !isHere;
      $("a", place).hidden = isHere;
    }
    const nowhere = $(".found-nowhere");
    if (nowhere) nowhere.hidden = Boolean($(".place.is-here"));
    history.replaceState(history.state, "", address(minute));
  }

  function fill(unit, here) {
    let taken = 0;
    for (const level of all("tr", unit)) {
      const mine = here.filter(({ dataset }) => dataset.shelf === unit.dataset.shelf && dataset.level === level.dataset.level);
      all("td", level).forEach((cell) => cell.remove());
      for (let slot = 1, wide; slot <= Number(level.dataset.slots); slot += wide) {
        const inside = mine.filter(({ dataset }) => Number(dataset.slot) === slot);
        wide = Math.max(1, ...inside.map(({ dataset }) => Number(dataset.wide)));
        level.append(cellOf(slot, wide, inside));
        if (inside.length) taken += wide;
      }
    }
    $(".taken", unit).textContent = taken;
  }

  function cellOf(slot, wide, inside) {
    const cell = document.createElement("td"), said = document.createElement("span");
    cell.colSpan = wide;
    cell.classList.toggle("free", !inside.length);
    said.className = "hide-sight";
    said.textContent = `Slot ${slot}: ${inside.length ? "" : "free"}`;
    cell.append(said, ...inside.map((stay) => stay.cloneNode(true)));
    return cell;
  }

  function lead(link, words, minute, hours) {
    link.hidden = minute === undefined;
    if (link.hidden) return;
    link.href = address(minute);
    link.setAttribute("aria-label", `${words}, ${hours[minute]}`);
    $("span", link).textContent = hours[minute];
  }

  function address(minute) {
    const asked = new URLSearchParams(location.search);
    asked.set("day", $("#slide").elements.day.value);
    asked.set("at", minute);
    return `?${asked}`;
  }

  document.addEventListener("input", (event) => {
    if (event.target.id === "at") draw(Number(event.target.value));
  });

  /* A link to a minute of the day that is on the page. */
  document.addEventListener("click", (event) => {
    const link = event.target.closest && event.target.closest("#before, #after, .place a");
    if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
    const asked = new URL(link.href).searchParams;
    if (asked.get("day") !== $("#slide").elements.day.value) return;
    event.preventDefault();
    $("#at").value = asked.get("at");
    draw(Number(asked.get("at")));
  });

  /* What was lost meanwhile is marked. */
  document.addEventListener("floor-news", (event) => {
    const lost = event.detail.lost, told = JSON.parse($("#floor-told").textContent).lost;
    if (!lost || JSON.stringify(lost) === JSON.stringify(told)) return;
    window.htmx.ajax("GET", location.href, { target: "#floor", swap: "outerMorph" });
  });
})();
