/* The time line of a rundown: a run is dragged to another time by mouse or finger, moved by the
   arrow keys, or by buttons. Nothing is saved before it is let go of, left or entered. */
(() => {
  "use strict";
  const STEP_MIN = 5, FAR_MIN = 30, SLACK_PX = 4, EDGE_PX = 24, PUSH_PX = 12;
  const BY_KEY = { ArrowLeft: -STEP_MIN, ArrowDown: -STEP_MIN, ArrowRight: STEP_MIN, ArrowUp: STEP_MIN, PageDown: -FAR_MIN, PageUp: FAR_MIN };
  let hand = null, isAll = false;

  const line = () => document.getElementById("runline");
  const barOf = (event) => event.target.closest && event.target.closest(".runline-bar");
  const two = (number) => String(number).padStart(2, "0");
  const hourOf = (minute) => `${two(Math.floor(minute / 60) % 24)}:${two(minute % 60)}`;
  const minuteOf = (bar) => Number(bar.dataset.minute);

  function say(words) {
    const place = document.getElementById("runline-said");
    if (place) place.textContent = words;
  }

  function draw(bar, minute) {
    const { called, said } = bar.dataset, by = minute - minuteOf(bar);
    bar.classList.toggle("is-moved", by !== 0);
    bar.setAttribute("transform", `translate(${by * Number(line().dataset.scale)} 0)`);
    bar.setAttribute("aria-valuenow", minute);
    bar.setAttribute("aria-valuetext", hourOf(minute));
    bar.querySelector("text").textContent = by ? `${hourOf(minute)} ${called}` : said;
    if (by) say(`${called}: ${hourOf(minute)}, before ${hourOf(minuteOf(bar))}`);
  }

  /* `minute` snaps to the next five minutes, within what the line shows. */
  function move(minute) {
    const { first, last } = line().dataset;
    const snapped = Math.round(minute / STEP_MIN) * STEP_MIN;
    hand.minute = Math.max(Number(first), Math.min(Number(last), snapped));
    draw(hand.bar, hand.minute);
  }

  function take(bar, more) {
    hand = { bar, minute: minuteOf(bar), ...more };
    window.edits.hold(true);
  }

  function letGo() {
    const { bar } = hand;
    hand = null;
    window.edits.hold(false);
    return bar;
  }

  function giveUp() {
    draw(hand.bar, minuteOf(hand.bar));
    say(`${hand.bar.dataset.called} stays at ${hourOf(minuteOf(hand.bar))}.`);
    letGo();
  }

  function set() {
    const by = hand.minute - minuteOf(hand.bar), bar = letGo();
    if (by) send(bar.id, by, isAll ? "after" : "one");
  }

  /* What a run starts from is read when its turn has come: the step before may have moved it. */
  function send(id, by, which) {
    const values = () => {
      const { run, starts } = document.getElementById(id).dataset;
      return { run, by, which, seen: starts };
    };
    return window.edits.step("shift", values, (said) => {
      if (said.go) location.assign(said.go);
      else say(said.words);
    }).then(() => {
      const bar = document.getElementById(id);
      if (bar && !(hand && hand.bar === bar)) draw(bar, minuteOf(bar));
    });
  }

  /* The dates stay at the left edge while the line moves. */
  document.addEventListener("scroll", ({ target }) => {
    if (!target.matches?.(".runline")) return;
    const by = target.scrollLeft * line().viewBox.baseVal.width / line().getBoundingClientRect().width;
    target.querySelectorAll(".runline-date").forEach((date) => date.setAttribute("x", by));
  }, true);

  function open(bar) {
    const more = document.getElementById(`move-${bar.dataset.run}`);
    if (!more) return;
    more.open = true;
    more.scrollIntoView({ block: "center" });
    more.querySelector("summary").focus({ preventScroll: true });
  }

  /* By mouse and by finger */
  const rolled = () => line().parentElement.scrollLeft;

  document.addEventListener("pointerdown", (event) => {
    const bar = barOf(event);
    if (!bar || event.button !== 0 || !event.isPrimary) return;
    if (hand) set();
    take(bar, { pointer: event.pointerId, from: event.clientX + rolled(), isDragged: false });
    bar.setPointerCapture(event.pointerId);
  });
  // A finger on a bar drags it; beside the bars it rolls the line, as ever.
  document.addEventListener("touchstart", (event) => {
    if (barOf(event) && event.touches.length === 1) event.preventDefault();
  }, { passive: false });
  document.addEventListener("pointermove", (event) => {
    if (!hand || hand.pointer !== event.pointerId) return;
    const roll = line().parentElement, box = roll.getBoundingClientRect();
    const wide = line().getBoundingClientRect().width / line().viewBox.baseVal.width;
    if (hand.isDragged && event.clientX > box.right - EDGE_PX) roll.scrollLeft += PUSH_PX;
    if (hand.isDragged && event.clientX < box.left + EDGE_PX) roll.scrollLeft -= PUSH_PX;
    const by = event.clientX + rolled() - hand.from;
    if (!hand.isDragged && Math.abs(by) < SLACK_PX) return;
    hand.isDragged = true;
    move(minuteOf(hand.bar) + by / wide / Number(line().dataset.scale));
  });
  document.addEventListener("pointerup", (event) => {
    if (!hand || hand.pointer !== event.pointerId) return;
    if (hand.isDragged) set();
    else open(letGo());
  });
  document.addEventListener("pointercancel", (event) => {
    if (hand && hand.pointer === event.pointerId) giveUp();
  });

  /* By keyboard */
  document.addEventListener("keydown", (event) => {
    if (hand && event.key === "Escape") { event.preventDefault(); giveUp(); return; }
    const bar = barOf(event);
    if (!bar || event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key === "Enter") {
      event.preventDefault();
      if (hand) set(); else open(bar);
    } else if (BY_KEY[event.key] && (!hand || hand.pointer === undefined)) {
      event.preventDefault();
      if (!hand) take(bar, {});
      const by = BY_KEY[event.key], snap = by > 0 ? Math.floor : Math.ceil;
      move(snap(hand.minute / STEP_MIN) * STEP_MIN + by);
    }
  });
  document.addEventListener("focusout", (event) => {
    if (hand && hand.pointer === undefined && event.target === hand.bar) set();
  });

  /* By buttons */
  document.addEventListener("click", (event) => {
    const button = event.target.closest && event.target.closest("[data-by]");
    if (button) send(button.dataset.of, Number(button.dataset.by), "one");
  });

  document.addEventListener("change", (event) => {
    if (event.target.id === "all-after") isAll = event.target.checked;
  });
  document.addEventListener("htmx:after:swap", () => {
    const box = document.getElementById("all-after");
    if (box) box.checked = isAll;
  });
})();
