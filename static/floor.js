/* The crew's screens: rows are painted from what the server told and from what waits here; one
   stream a page brings what the others tick. A tap says the state that is wanted. */
(() => {
  "use strict";
  const MINUTE_MS = 60000, DOUBLE_TAP_MS = 700, LEFT_ALONE_MS = 180000, wide = matchMedia("(min-width: 62rem)"), touched = new Map();
  let floor, told, hours, days, ahead = 0, touchedAt = Date.now(), unsafe = "";
  const $ = (selector, of = document) => of.querySelector(selector);
  const all = (selector, of = document) => [...of.querySelectorAll(selector)];
  const house = () => window.stagelarder || { lost() {}, found() {} };
  const now = () => Date.now() + ahead;
  const production = () => Number(floor.dataset.production);
  const plan = () => Number(floor.dataset.plan);

  function clock(ms) {
    return hours.format(new Date(ms));
  }

  /* The day of the week before an hour that is not of today. */
  function dayOf(ms) {
    return days.format(ms) === days.format(now()) ? "" : `${days.format(ms)} `;
  }

  /* What holds for a batch: what the server told, then what waits here on top of it. */
  function stateOf(batch) {
    let state = told.batches[batch] || { state: "planned", lost: [] };
    for (const { event, shows, tapped } of window.outbox.of(production())) {
      if (shows.batch !== batch) continue;
      const mine = { at: clock(tapped + ahead), by: event.by || "you", once: event.once, waits: true };
      if (event.event === "undone") {
        state = { ...mine, state: shows.back, lost: [], at: state.at, by: state.by };
      } else if (event.event === "staged") {
        state = { ...mine, state: "staged", lost: event.lost, started: state.started };
      } else if (event.event === "started" && state.state === "planned") {
        state = { ...mine, state: "started", lost: [], started: mine };
      }
    }
    return state;
  }

  function shown(state, first, last) {
    if (state === "staged" || (state === "started" && first && !last)) return "done";
    return state === "started" && last ? "begun" : "open";
  }

  function said(state, first, last) {
    if (state.state === "staged" && last) {
      const lost = state.lost.length ? `, ${state.lost.length} lost` : "";
      return `staged ${state.at}, ${state.by}${lost}`;
    }
    if (state.state === "planned" || !first) return "";
    const begun = state.started || state;
    return `started ${begun.at}, ${begun.by}`;
  }

  function text(node, words) {
    if (node && node.textContent !== words) node.textContent = words;
  }

  function paintJob(job) {
    const state = stateOf(job.dataset.batch);
    const part = job.dataset.part.split(" ");
    const first = part.includes("first"), last = part.includes("last");
    const look = shown(state.state, first, last);
    if (job.dataset.shown !== look) {
      job.dataset.shown = look;
      if (job.dataset.painted) mark(job);
    }
    job.dataset.painted = "yes";
    job.classList.toggle("is-done", look === "done");
    job.toggleAttribute("data-waits", Boolean(state.waits));
    job.toggleAttribute("hx-morph-skip", Boolean(state.waits));
    const tap = $("[data-tap]", job);
    if (!tap) return;
    text($(".job-said", job), said(state, first, last) + (state.waits ? " · waits here" : ""));
    text($(".job-ask", job), look === "done" ? "" : look === "begun" || !first ? "staged?" : "started?");
    tap.toggleAttribute("data-done", look === "done");
    tap.setAttribute("aria-disabled", String(look === "done"));
    const more = $(".job-undo", job), lost = $(".job-lost", job);
    more.hidden = !said(state, first, last);
    if (lost) lost.hidden = look !== "begun" || !JSON.parse(job.dataset.losable).length;
  }

  function mark(job) {
    job.classList.remove("changed");
    void job.offsetWidth;
    job.classList.add("changed");
  }

  /* Nobody ticks a reminder: it is past when what it reminds of should be there. */
  function paintPast(job) {
    job.classList.toggle("is-past", now() >= Number(job.dataset.ends));
  }

  function paintLate(job) {
    const badge = $(".job-late", job);
    if (!badge) return;
    const part = (job.dataset.part || "").split(" ");
    const state = job.dataset.batch ? stateOf(job.dataset.batch).state : "";
    const due = state === "planned" && part.includes("first") ? Number(job.dataset.starts)
      : state === "started" && part.includes("last") ? Number(job.dataset.ends) : Infinity;
    const late = Math.floor((now() - due) / MINUTE_MS);
    badge.hidden = !(late >= 1);
    if (late >= 1) text(badge, late < 120 ? `${late} min late` : `late since ${dayOf(due)}${clock(due)}`);
  }

  function paintNow(timeline) {
    all(".now-row", timeline).forEach((row) => row.remove());
    const rows = all("[data-starts]", timeline).filter((row) => row.matches("tr, li"));
    if (!rows.length) return;
    const at = now(), starts = rows.map((row) => Number(row.dataset.starts));
    const ends = all(".job[data-ends]", timeline).map((job) => Number(job.dataset.ends));
    if (at < starts[0] - 60 * MINUTE_MS || at > Math.max(...starts, ...ends) + 60 * MINUTE_MS) return;
    const next = rows.find((row) => Number(row.dataset.starts) > at);
    const parent = rows[0].parentNode, isTable = rows[0].matches("tr");
    const line = document.createElement(isTable ? "tr" : "li");
    line.className = "now-row";
    const cell = isTable ? line.appendChild(document.createElement("td")) : line;
    if (isTable) cell.colSpan = all("thead th", timeline).length;
    const words = cell.appendChild(document.createElement("span"));
    words.className = "is-now";
    words.textContent = `now ${clock(at)}`;
    parent.insertBefore(line, next || null);
  }

  /* One bar that stays in sight: since when there is no network, how many wait, and why. */
  function paintWaiting() {
    const bar = $("#waiting"), since = $("#old") && !$("#old").hidden && $("#old-since").textContent;
    const count = window.outbox.of(production()).length;
    const parts = [];
    if (since) parts.push(`Not connected since ${since}.`);
    if (count) parts.push(`${count} ${count === 1 ? "tick waits" : "ticks wait"} on this device.`);
    if (bar.dataset.why) parts.push(bar.dataset.why);
    else if (since) parts.push("What you tick is kept here and sent when the network is back.");
    else if (count) parts.push("Being sent.");
    bar.hidden = !parts.length;
    bar.classList.toggle("is-old", Boolean(since));
    text(bar, parts.join(" "));
  }

  function paint() {
    all(".job[data-batch]", floor).forEach(paintJob);
    all(".job", floor).forEach(paintLate);
    all(".job-heat", floor).forEach(paintPast);
    all("[data-timeline]", floor).forEach(paintNow);
    paintWaiting();
  }

  function begin() {
    floor = $("#floor[data-production]");
    if (!floor) return false;
    const fresh = JSON.parse($("#floor-told").textContent);
    if (!told || fresh.plan !== told.plan || fresh.n >= told.n) told = fresh;
    ahead = fresh.now - Date.now();
    hours = new Intl.DateTimeFormat("en-GB", { timeZone: floor.dataset.zone, hour: "2-digit", minute: "2-digit" });
    days = new Intl.DateTimeFormat("en-GB", { timeZone: floor.dataset.zone, weekday: "short" });
    return true;
  }

  /* Taps */
  function tick(event, shows) {
    const by = floor.dataset.person;
    window.outbox.add(production(), { ...event, plan: plan(), ...(by ? { by } : {}) }, shows);
  }

  function tapped(job) {
    const batch = job.dataset.batch, state = stateOf(batch);
    const part = job.dataset.part.split(" ");
    const look = shown(state.state, part.includes("first"), part.includes("last"));
    if (look === "done") return;
    if (navigator.vibrate) navigator.vibrate(15);
    if (look === "open" && part.includes("first")) tick({ event: "started", batch }, { batch });
    else tick({ event: "staged", batch, lost: lostOf(job) }, { batch });
  }

  function lostOf(job) {
    return JSON.parse(job.dataset.losable).slice(0, Number(job.dataset.lost || 0));
  }

  function lost(job, step) {
    const most = JSON.parse(job.dataset.losable).length;
    const count = Math.min(most, Math.max(0, Number(job.dataset.lost || 0) + step));
    job.dataset.lost = count;
    text($("output", job), `${count} lost`);
  }

  function undo(job) {
    const batch = job.dataset.batch, state = stateOf(batch);
    if (!state.n && !state.once) return;
    const which = state.waits ? { undoes_once: state.once } : { undoes: state.n };
    const back = state.state === "staged" && state.started && state.started.n !== state.n ? "started" : "planned";
    tick({ event: "undone", ...which }, { batch, back });
  }

  document.addEventListener("click", (event) => {
    const job = event.target.closest && event.target.closest(".job[data-batch]");
    if (!job) return;
    const step = event.target.closest("[data-step]");
    if (step) return lost(job, Number(step.dataset.step));
    if (event.detail > 1 || Date.now() - (touched.get(job.dataset.batch) || 0) < DOUBLE_TAP_MS) return;
    touched.set(job.dataset.batch, Date.now());
    if (event.target.closest("[data-undo]")) undo(job);
    else if (event.target.closest("[data-tap]")) tapped(job);
  });
  document.addEventListener("floor-tick", (event) => tick(event.detail, {}));

  /* What came of a tick */
  document.addEventListener("ticked", (event) => {
    house().found();
    $("#waiting").dataset.why = unsafe;
    for (const { tick: sent, answer } of event.detail) {
      if (answer.error) refused(answer.error);
      else if (sent.production === production()) keep(sent, answer.n);
    }
    paint();
  });

  function keep(sent, n) {
    const { event, shows, tapped: at } = sent;
    if (!shows.batch || told.n >= n) return;
    const { batch, back } = shows, before = told.batches[batch];
    const mine = { at: clock(at + ahead), by: event.by || "you", n };
    if (event.event === "started") told.batches[batch] = { ...mine, state: "started", lost: [], started: mine };
    if (event.event === "staged") told.batches[batch] = { ...mine, state: "staged", lost: event.lost, started: before && before.started };
    if (event.event === "undone" && back === "planned") delete told.batches[batch];
    if (event.event === "undone" && back === "started" && before) told.batches[batch] = { ...before, ...before.started, state: "started", lost: [] };
  }

  function refused(words) {
    const box = $("#refused"), said = document.createElement("p");
    said.className = "banner wrong";
    said.textContent = words;
    box.append(said);
    setTimeout(() => said.remove(), 60000);
  }

  document.addEventListener("outbox", () => {
    if (!floor) return;
    if (!window.outbox.of(production()).length) $("#waiting").dataset.why = unsafe;
    paint();
  });
  document.addEventListener("outbox-unsafe", () => {
    unsafe = "This browser keeps nothing; leave the page open until all is sent.";
    if (floor) { $("#waiting").dataset.why = unsafe; paint(); }
  });
  document.addEventListener("outbox-stuck", (event) => {
    const error = event.detail || {};
    const why = { 401: "This phone has to join the kitchen again: reload the page.", 503: error.words };
    $("#waiting").dataset.why = why[error.status] || "It is sent when the network is back.";
    if (!error.status) house().lost();
    paint();
  });

  /* What the stream brings */
  document.addEventListener("stream-open", () => window.outbox.soon());
  document.addEventListener("stream-news", (event) => heard(event.detail));

  function heard(news) {
    ahead = news.now - Date.now();
    if (news.plan !== plan()) return drawAnew(news.plan);
    if (news.batches) told.batches = news.batches;
    for (const [batch, state] of Object.entries(news.changed || {})) {
      if (state) told.batches[batch] = state; else delete told.batches[batch];
    }
    told.n = news.n;
    document.dispatchEvent(new CustomEvent("floor-news", { detail: news }));
    paint();
  }

  /* A new plan: the part is drawn anew; rows whose ticks wait are left as they are. */
  async function drawAnew(number) {
    await window.htmx.ajax("GET", location.href, { target: "#floor", swap: "outerMorph" });
    told = null;
    if (!begin()) return location.reload();
    text($("#news"), `Plan ${number} holds now.`);
    paint();
  }

  function start() {
    if (!begin()) return;
    paint();
    window.stream.follow(() => `/productions/${production()}/live?since=${told.n}&plan=${plan()}`);
    if ($("#old")) new MutationObserver(paintWaiting).observe($("#old"), { attributes: true });
    if (!location.hash && scrollY === 0) toNow();
    setInterval(() => { paint(); if (wide.matches && Date.now() - touchedAt > LEFT_ALONE_MS) toNow(); }, 15000);
  }

  /* A screen that nobody touches, such as the one on the wall, keeps the now line in sight. */
  function toNow() {
    const line = $(".now-row");
    if (line) line.scrollIntoView({ block: "center" });
  }

  for (const kind of ["pointerdown", "keydown", "wheel", "touchmove"]) {
    addEventListener(kind, () => { touchedAt = Date.now(); }, { passive: true });
  }

  document.addEventListener("DOMContentLoaded", start);
})();
