/* Editors: every field is saved as it is left, one after another, and what was typed stays until it
   is. Needs #editor with data-edit (where to send), data-seen (the last change that it shows) and
   data-part (where its part comes from); #beside, if there is one, is fetched after each change. */
(() => {
  "use strict";
  const QUIET_MS = 350, LOOK_MS = 2000, ANSWERED_MS = 200, AGAIN_MS = 1500, TOLD_MS = 12000, TOLD = "told-of-what-is-gone";
  const editor = () => document.getElementById("editor");
  const control = (cell) => cell.querySelector("input, select, textarea");
  const textOf = (field) => field.type === "checkbox" ? (field.checked ? "yes" : "no") : field.value;
  let chain = Promise.resolve(), waiting = 0, quiet = 0, told = 0, refreshing = null, stale = false, held = false, isGone = false, isTheirs = false, heardLast = "";

  function onceKey() {
    return [...crypto.getRandomValues(new Uint8Array(12))].map((n) => n.toString(16).padStart(2, "0")).join("");
  }

  const rest = (ms) => new Promise((done) => setTimeout(done, ms));

  /* Sends until it is answered; the key makes a repeated sending the same change. */
  async function post(step, values) {
    const body = new URLSearchParams({ ...values, once: onceKey() });
    for (;;) {
      try {
        const headers = { Accept: "application/json" };
        const answer = await fetch(`${editor().dataset.edit}/${step}`, { method: "POST", body, headers });
        window.stagelarder.found();
        const said = await answer.json();
        if (answer.ok && said.n) { follow(said.n); heardLast = said.words; }
        return { status: answer.status, said };
      } catch {
        window.stagelarder.lost();
        inHand().forEach((cell) => cell.classList.add("is-unsaved"));
        say("Not saved yet: the network is gone. What you typed is kept here.");
        await rest(AGAIN_MS);
      }
    }
  }

  /* The page has seen a change of its own if it knew all before it; else the others' are fetched. */
  function follow(n) {
    const box = editor();
    if (n && n === Number(box.dataset.seen) + 1) box.dataset.seen = n;
  }

  function enqueue(work) {
    waiting += 1;
    say("Saving");
    chain = chain.then(work).catch(() => say("That went wrong. Load the page again.")).then(() => {
      waiting -= 1;
      if (!waiting) say(document.querySelector(".cell.is-unsaved") ? "Not all is saved" : "All saved");
    });
    return chain;
  }

  function say(words) {
    const place = document.getElementById("saved");
    if (place) place.textContent = words;
  }

  /* What an undo took back may be on another screen, so it is told. */
  function did(words) {
    const place = document.getElementById("did");
    if (!place) return;
    place.textContent = words.charAt(0).toUpperCase() + words.slice(1);
    clearTimeout(told);
    told = setTimeout(() => { place.textContent = ""; }, TOLD_MS);
  }

  /* Fields */
  function isDirty(cell) {
    return textOf(control(cell)) !== cell.dataset.shown;
  }

  function save(cell) {
    const id = cell.id;
    if (!isDirty(cell) && cell.closest(".is-gone")) refresh();
    if (!isDirty(cell) || cell.dataset.theirs !== undefined) return;
    enqueue(async () => {
      const now = document.getElementById(id);
      if (!now || !isDirty(now)) return;
      const text = textOf(control(now));
      const { place, field, began } = now.dataset;
      const { status, said } = await post("fill", { place, field, text, began });
      taken(document.getElementById(id) || now, text, status, said);
    });
  }

  function taken(cell, text, status, said) {
    const field = control(cell);
    cell.classList.remove("is-unsaved");
    if (status === 409) return clash(cell, said);
    if (status !== 200) {
      cell.classList.add("is-unsaved");
      return wrong(cell, said.error);
    }
    cell.dataset.began = said.began;
    cell.dataset.shown = said.text;
    if (textOf(field) === text) put(field, said.text);
    cell.querySelector(".meant").textContent = said.meant;
    cell.dataset.fault = said.fault;
    wrong(cell, said.fault || cell.dataset.broken);
    if (editor().dataset.whole === undefined && !said.redraws) soon(); else refresh();
  }

  function put(field, text) {
    if (field.type === "checkbox") field.checked = text === "yes";
    else field.value = text;
  }

  function wrong(cell, words) {
    cell.classList.toggle("is-wrong", Boolean(words));
    const field = control(cell), place = cell.querySelector(".cell-fault");
    place.textContent = words || "";
    if (words) { field.setAttribute("aria-invalid", "true"); place.setAttribute("role", "alert"); }
    else { field.removeAttribute("aria-invalid"); place.removeAttribute("role"); }
  }

  /* Two people, one field: both values, and a button for each. */
  function clash(cell, said) {
    cell.classList.add("is-unsaved");
    cell.dataset.theirs = said.text;
    wrong(cell, `${said.error} Theirs: ${said.text || "nothing"}. Yours: ${said.yours || "nothing"}.`);
    cell.querySelector(".which")?.remove();
    const which = document.createElement("span");
    which.className = "which";
    for (const [words, keepsMine] of [["Keep theirs", false], ["Keep mine", true]]) {
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = words;
      button.addEventListener("click", () => {
        which.remove();
        delete cell.dataset.theirs;
        cell.dataset.began = said.began;
        cell.dataset.shown = said.text;
        cell.classList.remove("is-unsaved");
        wrong(cell, "");
        if (keepsMine) save(cell); else put(control(cell), said.text);
        control(cell).focus();
        soon();
      });
      which.append(button);
    }
    cell.append(which);
  }

  /* Rows. What is sent may be told only when its turn has come. */
  function step(name, told, then, failed) {
    return enqueue(async () => {
      const values = typeof told === "function" ? told() : told;
      document.querySelector("#banner > [data-loud]")?.remove();
      const { status, said } = await post(name, values);
      if (status === 409 && said.seen && window.confirm(said.error)) {
        const again = await post(name, { ...values, seen: said.seen, sure: "yes" });
        if (again.status !== 200) return loud(again.said.error);
      } else if (status !== 200) {
        if (failed) failed();
        return loud(said.error);
      }
      await refresh();
      if (then) then(said);
    });
  }

  function loud(words) {
    if (!words) return;
    const banner = document.getElementById("banner"), box = document.createElement("div"), line = document.createElement("p");
    box.className = "banner wrong";
    box.dataset.loud = "";
    line.className = "what";
    line.textContent = words;
    box.append(line);
    banner.replaceChildren(box);
    setTimeout(() => box.remove(), TOLD_MS);
  }

  function rowOf(place) {
    return document.querySelector(`[data-row="${place}"]`);
  }

  function focusOn(place) {
    const row = rowOf(place);
    const field = row?.querySelector(".cell input, .cell select, .cell textarea") || row?.querySelector(".handle");
    field?.closest("details")?.setAttribute("open", "");
    if (field) { field.focus(); field.select?.(); }
  }

  /* The places of the rows around one, the next first: where to go on if it is gone. */
  function nearTo(row) {
    if (!row) return [];
    const above = row.parentElement.closest("[data-row]"), table = row.closest("[data-grid]");
    const around = [...(above || !table ? row.parentElement : table).querySelectorAll("[data-row]")].filter((each) => !row.contains(each));
    const follows = (each) => row.compareDocumentPosition(each) & Node.DOCUMENT_POSITION_FOLLOWING;
    const rows = [...around.filter(follows), ...around.filter((each) => !follows(each)).reverse(), above];
    return rows.map((each) => each?.dataset.row).filter(Boolean);
  }

  /* Of the sections that hold nothing yet, the one after this, or else the first. */
  function nextBare(form) {
    const bare = [...document.querySelectorAll(`[data-add="${form.dataset.add}"][data-onward]`)].filter((each) => each !== form);
    const after = bare.find((each) => form.compareDocumentPosition(each) & Node.DOCUMENT_POSITION_FOLLOWING);
    return (after || bare[0])?.elements.name;
  }

  /* Whoever has gone on to another field by the time that a step is done is not called back. */
  function stays() {
    const from = document.activeElement;
    return () => document.activeElement === from || document.activeElement === document.body;
  }

  function onStep(button) {
    const menu = document.getElementById("row-menu");
    const place = menu.dataset.place, act = button.dataset.step;
    if (menu.matches(":popover-open")) menu.hidePopover();
    actOn(place, act);
  }

  function actOn(place, act, back) {
    const seen = editor().dataset.seen;
    const values = act === "up" || act === "down" ? { place, by: act === "up" ? -1 : 1 } : { place, seen };
    const near = nearTo(rowOf(place));
    const name = act === "up" || act === "down" ? "move" : act, hasStayed = stays();
    step(name, values, (said) => {
      if (!hasStayed()) return;
      if (act === "delete") focusOn(near.find(rowOf));
      else if (act === "duplicate") focusOn(said.place);
      else (back ? document.getElementById(back) : document.querySelector(`[data-handle="${place}"]`))?.focus();
    });
  }

  /* What the page shows is brought up to date; fields in hand are left alone. A field that somebody
     only stands in is not: what was pasted there, or what another changed, would not be seen. */
  function inHand() {
    return [...document.querySelectorAll("#editor .cell")].filter(
      (cell) => isDirty(cell) || cell.dataset.theirs !== undefined);
  }

  function formsInHand() {
    const isTyped = (field) => field.matches("input:not([type=hidden])")
      && (field.value !== field.defaultValue || field.checked !== field.defaultChecked);
    return [...document.querySelectorAll("#editor form")].filter(
      (form) => form.contains(document.activeElement) || [...form.elements].some(isTyped));
  }

  /* At the moment of the swap, since what is typed while the answer is on its way is in hand too. */
  function keepInHand(box) {
    let kept = [], skipped = [], putBack = () => {};
    const before = (event) => {
      if (event.detail.ctx.target !== box) return;
      kept = inHand();
      skipped = [...kept, ...formsInHand()];
      putBack = placesOf(skipped);
      skipped.forEach((each) => each.setAttribute("hx-morph-skip", ""));
    };
    const after = (event) => {
      if (event.detail.ctx.target !== box) return;
      document.querySelectorAll("#editor .cell").forEach((cell) => {
        if (!kept.includes(cell) && isDirty(cell)) put(control(cell), cell.dataset.shown);
      });
      skipped.forEach((each) => each.removeAttribute("hx-morph-skip"));
      putBack();
    };
    document.addEventListener("htmx:before:swap", before);
    document.addEventListener("htmx:after:swap", after);
    return () => {
      document.removeEventListener("htmx:before:swap", before);
      document.removeEventListener("htmx:after:swap", after);
    };
  }

  /* What another deleted stays as long as something that was typed is in it, with the hand where it
     was: else the next letters would go somewhere else. */
  function placesOf(typed) {
    const above = (at) => [...at.parentElement.children].slice(0, [...at.parentElement.children].indexOf(at)).reverse();
    const chains = typed.map((each) => {
      const chain = [];
      for (let at = each; at.id !== "editor"; at = at.parentElement) chain.push({ at, parent: at.parentElement, above: above(at) });
      return chain;
    });
    const active = document.activeElement, from = active?.selectionStart, to = active?.selectionEnd;
    return () => {
      for (const chain of chains.filter(([{ at }]) => !at.isConnected)) {
        const gone = chain.findLast(({ at }) => !at.isConnected), [{ at }] = chain;
        const after = gone.above.find((each) => each.parentElement === gone.parent);
        if (after) after.after(gone.at); else gone.parent.prepend(gone.at);
        gone.at.classList.add("is-gone");
        if (at.matches(".cell")) at.classList.add("is-unsaved");
        if (at.matches(".cell")) wrong(at, "This was deleted meanwhile, so nothing was changed. What you typed is still on this page.");
        if (!gone.at.contains(active)) continue;
        active.focus({ preventScroll: true });
        if (Number.isInteger(from)) active.setSelectionRange(from, to);
      }
    };
  }

  /* Whoever asks while the page is being drawn waits until it is drawn once more. */
  function refresh() {
    if (refreshing || held) stale = true;
    if (!editor() || held) return refreshing || Promise.resolve();
    refreshing ||= drawAnew().finally(() => { refreshing = null; soon(); });
    return refreshing;
  }

  async function drawAnew() {
    const box = editor();
    stale = false;
    const focused = document.activeElement && document.activeElement.id, isUndo = document.activeElement?.matches("[data-undo]");
    const near = nearTo(document.activeElement?.closest("[data-row]"));
    const opened = [...document.querySelectorAll("#editor details[id][open]")].map((each) => each.id);
    const handedBack = keepInHand(box), heard = statusOf(box);
    await window.htmx.ajax("GET", box.dataset.part, { source: box, target: box, swap: "outerMorph" });
    handedBack();
    const wasGone = isGone;
    isGone = heard() === 404;
    if (wasGone && !isGone) document.getElementById("banner").replaceChildren();
    if (isGone && goesUp(box)) return;
    opened.forEach((each) => document.getElementById(each)?.setAttribute("open", ""));
    if (document.activeElement === document.body) {
      const same = focused && document.getElementById(focused);
      const next = near.find(rowOf);
      // Where another's change took the field away, the next letters must not fill in another one.
      // Whoever takes back the last that can be goes on from the button that makes it again.
      if (isUndo) document.querySelector("[data-undo]:enabled")?.focus();
      else if (same) same.focus(); else if (isTheirs) document.querySelector(`[data-handle="${next}"]`)?.focus(); else focusOn(next);
    }
    if (stale && !held) await drawAnew();
  }

  function statusOf(box) {
    let status = 0;
    const hear = ({ detail: { ctx } }) => { if (ctx.sourceElement === box) status = ctx.response?.status; };
    document.addEventListener("htmx:after:request", hear);
    return () => { document.removeEventListener("htmx:after:request", hear); return status; };
  }

  /* What the page is of is gone, by an undo or by another's hand: it leads to where that was listed,
     unless something typed is still on it. What happened is told there. */
  function goesUp(box) {
    if (!box.dataset.up || inHand().length || formsInHand().some((form) => form.elements.name?.value)) return false;
    sessionStorage.setItem(TOLD, heardLast);
    location.replace(box.dataset.up);
    return true;
  }

  document.addEventListener("DOMContentLoaded", () => {
    const last = sessionStorage.getItem(TOLD);
    sessionStorage.removeItem(TOLD);
    if (last) did(last);
  });

  function soon() {
    clearTimeout(quiet);
    quiet = setTimeout(() => {
      if (held) return soon();
      const beside = document.getElementById("beside");
      if (beside) window.htmx.ajax("GET", beside.dataset.part, { source: beside, target: beside, swap: "outerMorph" });
    }, QUIET_MS);
  }

  /* What the list of faults says stands beside its field as well. */
  document.addEventListener("htmx:after:swap", () => {
    if (waiting) say("Saving");
    // A draft that is ready, or gone again, is drawn in the picture, too.
    const picture = document.getElementById("picture"), plan = document.getElementById("plan");
    if (picture && plan && picture.dataset.mark !== plan.dataset.mark) refresh();
    if (!document.getElementById("beside")) return;
    const told = new Map([...document.querySelectorAll("#faults [data-about]")].map((line) => [line.dataset.about, line.dataset.words]));
    document.querySelectorAll("#editor .cell:not(.is-unsaved)").forEach((cell) => {
      const words = told.get(cell.id) || "";
      if (words === cell.dataset.broken) return;
      cell.dataset.broken = words;
      wrong(cell, cell.dataset.fault || words);
    });
  });

  /* While something is dragged, nothing on the page moves away from under it. */
  function hold(isHeld) {
    held = isHeld;
    if (!held && stale) { stale = false; refresh(); }
  }

  /* The server works out a draft once edits have stopped; the page shows it as it comes. */
  function planStands(mark) {
    const plan = document.getElementById("plan");
    if (!plan || plan.dataset.mark === mark || plan.contains(document.activeElement)) return;
    window.htmx.ajax("GET", editor().dataset.edit.replace(/edit$/, "plan"), { target: "#plan", swap: "outerHTML" });
  }

  /* What others changed here, or in a kitchen that another production shares. */
  const kitchenMark = () => document.getElementById("edit-bar")?.dataset.kitchen;

  function isOld(n, kitchen) {
    const mark = kitchenMark();
    return n > Number(editor().dataset.seen) || (mark !== undefined && kitchen !== mark);
  }

  async function look() {
    const box = editor();
    if (!box || document.hidden || waiting || refreshing || held || isGone) return;
    try {
      const answer = await fetch(`${box.dataset.edit}/news?seen=${box.dataset.seen}&kitchen=${kitchenMark() || ""}`, { cache: "no-store" });
      if (!answer.ok) return;
      const told = await answer.json();
      planStands(told.plan);
      if (waiting || !isOld(told.n, told.kitchen)) return;
      heardLast = told.words[0] || "";
      isTheirs = true;
      await refresh().finally(() => { isTheirs = false; });
      if (told.words[0]) say(told.words[0]);
    } catch { /* the network is told of by whoever saves */ }
  }

  function undo(way, n) {
    document.querySelector(".said")?.remove();
    step(way, n ? { n } : {}, (said) => did(said.words));
  }

  document.addEventListener("change", (event) => {
    const cell = event.target.closest && event.target.closest(".cell");
    if (cell) save(cell);
  });
  document.addEventListener("focusout", (event) => {
    const cell = event.target.closest && event.target.closest(".cell");
    if (cell) save(cell);
  });
  document.addEventListener("click", (event) => {
    const button = event.target.closest && event.target.closest("button");
    if (!button) return;
    if (button.dataset.undo) undo(button.dataset.undo, button.dataset.n);
    else if (button.dataset.step) onStep(button);
    else if (button.dataset.handle) {
      const menu = document.getElementById("row-menu"), box = button.getBoundingClientRect();
      menu.dataset.place = button.dataset.handle;
      const only = button.dataset.only;
      menu.querySelectorAll("[data-step]").forEach((each) => {
        each.hidden = Boolean(only) && !only.split(" ").includes(each.dataset.step);
      });
      menu.style.top = `${Math.min(box.bottom, innerHeight - 220)}px`;
      menu.style.left = `${Math.max(8, Math.min(box.left, innerWidth - 200))}px`;
    }
  });
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!form.dataset || !form.dataset.add) return;
    event.preventDefault();
    const named = form.elements.name, name = named ? named.value : "";
    const field = named && named.type !== "hidden" ? named : null;
    const values = { table: form.dataset.add, below: form.dataset.below, name, ...(form.dataset.more ? JSON.parse(form.dataset.more) : {}) };
    // The next line may be typed before this one is saved, so the hand moves on at once.
    const next = (form.matches("[data-onward]") && nextBare(form)) || field;
    form.removeAttribute("data-onward");
    if (field) { field.value = ""; next.focus(); }
    const hasStayed = stays();
    step("add", values, (said) => {
      loud(said.heed);
      if (!field) { if (hasStayed()) focusOn(said.place); }
      else if (document.activeElement === document.body) next.focus();
    }, () => { if (field && !field.value) { field.value = name; field.focus(); } });
  });
  /* Enter on a line in which nothing is typed adds nothing; the button beside it adds an empty row. */
  document.addEventListener("keydown", (event) => {
    const isEmpty = event.key === "Enter" && event.target.matches("[data-add] input:not([type=hidden])") && !event.target.value.trim();
    if (isEmpty) event.preventDefault();
  });
  document.addEventListener("keydown", (event) => {
    const isUndo = (event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "z";
    if (!isUndo || !editor()) return;
    const cell = event.target.closest && event.target.closest(".cell");
    const isTyping = cell ? isDirty(cell) : event.target.matches("input, textarea") && event.target.value !== "";
    if (isTyping) return;
    event.preventDefault();
    undo(event.shiftKey ? "redo" : "undo");
  });
  addEventListener("beforeunload", (event) => {
    const active = document.activeElement && document.activeElement.closest && document.activeElement.closest(".cell");
    if (active) save(active);
    if (waiting || document.querySelector(".cell.is-unsaved")) event.preventDefault();
  });
  /* What is this page's own is answered in a moment; what is not by then, others did. */
  document.addEventListener("stream-news", ({ detail: { marks } }) => {
    const isNews = () => editor() && marks && marks.changes && isOld(Number(marks.changes), marks.kitchen);
    if (isNews()) setTimeout(() => isNews() && look(), ANSWERED_MS);
  });
  setInterval(look, LOOK_MS);
  window.edits = { step, save, actOn, isDirty, control, refresh, loud, hold };
})();
