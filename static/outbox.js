/* Ticks wait here until the server has said that it keeps them: in the page's own database, so that
   they outlive a reload, a dead battery and a server that is gone. Each has a key, so that sending
   it twice stores it once. Works on plain HTTP: no worker, no randomUUID. */
(() => {
  "use strict";
  const NAME = "stagelarder", STORE = "ticks", MOST = 50;
  const FIRST_WAIT_MS = 500, LONGEST_WAIT_MS = 8000, GIVE_UP_MS = 10000;
  const gone = new Set();
  let waiting = [], database = null, sending = false, timer = 0, wait = FIRST_WAIT_MS;
  const others = "BroadcastChannel" in window ? new BroadcastChannel("stagelarder-ticks") : null;

  function key() {
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  }

  function tell(name, detail) {
    document.dispatchEvent(new CustomEvent(name, { detail }));
  }

  function open() {
    return new Promise((resolve, reject) => {
      const asking = indexedDB.open(NAME, 1);
      asking.onupgradeneeded = () =>
        asking.result.createObjectStore(STORE, { keyPath: "seq", autoIncrement: true });
      asking.onsuccess = () => resolve(asking.result);
      asking.onerror = () => reject(asking.error);
    });
  }

  function change(work) {
    return new Promise((resolve, reject) => {
      const turn = database.transaction(STORE, "readwrite", { durability: "strict" });
      const asked = work(turn.objectStore(STORE));
      turn.oncomplete = () => resolve(asked && asked.result);
      turn.onerror = turn.onabort = () => reject(turn.error);
    });
  }

  function read() {
    return new Promise((resolve, reject) => {
      const asked = database.transaction(STORE).objectStore(STORE).getAll();
      asked.onsuccess = () => resolve(asked.result);
      asked.onerror = () => reject(asked.error);
    });
  }

  const ready = open()
    .then((opened) => { database = opened; return read(); })
    .then((kept) => { waiting = kept.concat(waiting); })
    .catch(() => tell("outbox-unsafe"))
    .then(() => { tell("outbox"); send(); });

  /* The row shows the tick at once; it is kept before it is sent. `shows` is for the page alone. */
  async function add(production, event, shows) {
    const tick = { production, event: { once: key(), ...event }, shows, tapped: Date.now() };
    waiting.push(tick);
    tell("outbox");
    await ready;
    if (database) {
      try { tick.seq = await change((store) => store.add(tick)); } catch { tell("outbox-unsafe"); }
    }
    if (others) others.postMessage("added");
    send();
    return tick.event.once;
  }

  async function drop(ticks) {
    waiting = waiting.filter((each) => !ticks.includes(each));
    if (database) await change((store) => ticks.forEach((each) => each.seq && store.delete(each.seq)));
    if (others) others.postMessage("sent");
  }

  function later() {
    clearTimeout(timer);
    timer = setTimeout(send, wait * (0.75 + Math.random() / 2));
    wait = Math.min(wait * 2, LONGEST_WAIT_MS);
  }

  function soon() {
    wait = FIRST_WAIT_MS;
    clearTimeout(timer);
    timer = setTimeout(send, 0);
  }

  async function send() {
    clearTimeout(timer);
    const next = waiting.find((each) => !gone.has(each.production));
    if (sending || !next) return;
    sending = true;
    try {
      const production = next.production;
      const ticks = waiting.filter((each) => each.production === production).slice(0, MOST);
      await sent(production, ticks);
      wait = FIRST_WAIT_MS;
      tell("outbox");
      if (waiting.length) timer = setTimeout(send, 0);
    } catch (error) {
      tell("outbox-stuck", error);
      later();
    } finally {
      sending = false;
    }
  }

  async function sent(production, ticks) {
    const giveUp = new AbortController();
    const clock = setTimeout(() => giveUp.abort(), GIVE_UP_MS);
    const body = JSON.stringify(ticks.map((each) =>
      ({ ...each.event, ago_s: Math.max(0, (Date.now() - each.tapped) / 1000) })));
    try {
      const answer = await fetch(`/productions/${production}/ticks`, {
        method: "POST", body, signal: giveUp.signal,
        headers: { "Content-Type": "application/json", "Accept": "application/json" },
      });
      await heard(answer, production, ticks);
    } finally {
      clearTimeout(clock);
    }
  }

  async function heard(answer, production, ticks) {
    if (answer.status === 200) {
      const answers = new Map((await answer.json()).answers.map((each) => [each.once, each]));
      tell("ticked", ticks.filter((each) => answers.has(each.event.once))
        .map((tick) => ({ tick, answer: answers.get(tick.event.once) })));
      await drop(ticks.filter((each) => answers.has(each.event.once)));
      return;
    }
    const said = await answer.json().catch(() => ({}));
    const error = { status: answer.status, words: said.error || "" };
    if (answer.status === 404) {
      gone.add(production);
      return;
    }
    if (answer.status === 413 || answer.status === 422) {
      tell("ticked", ticks.map((tick) => ({ tick, answer: { error: error.words } })));
      await drop(ticks);
      return;
    }
    throw error;
  }

  async function readAgain() {
    if (!database || sending) return;
    const unsaved = waiting.filter((each) => !each.seq);
    const kept = await read();
    waiting = kept.concat(unsaved.filter((each) => !kept.some((k) => k.event.once === each.event.once)));
    tell("outbox");
  }

  if (others) others.onmessage = readAgain;
  window.addEventListener("online", soon);
  document.addEventListener("network-back", soon);
  document.addEventListener("visibilitychange", () => { if (!document.hidden) soon(); });
  window.outbox = { add, soon, of: (production) => waiting.filter((each) => each.production === production), ready };
})();
