/* One stream a page: it brings what the others did, comes back after a gap from the last number
   seen, and rests while nobody looks at the page, because a browser opens six at most. */
(() => {
  "use strict";
  const QUIET_MS = 35000, HIDDEN_MS = 30000, SLOW_MS = 1500;
  const FIRST_WAIT_MS = 5000, LONGEST_WAIT_MS = 60000;
  let addressNow = null, source = null, resting = false, heardAt = 0, wait = FIRST_WAIT_MS;
  let reopen = 0, slow = 0, hide = 0;
  const house = () => window.stagelarder || { lost() {}, found() {} };

  function listen() {
    clearTimeout(reopen);
    if (source) source.close();
    resting = false;
    heardAt = Date.now();
    source = new EventSource(addressNow());
    source.onopen = opened;
    source.onerror = failed;
    source.addEventListener("beat", () => { heardAt = Date.now(); });
    source.onmessage = (message) => {
      heardAt = Date.now();
      document.dispatchEvent(new CustomEvent("stream-news", { detail: JSON.parse(message.data) }));
    };
  }

  function opened() {
    heardAt = Date.now();
    wait = FIRST_WAIT_MS;
    clearTimeout(slow);
    slow = 0;
    house().found();
    document.dispatchEvent(new CustomEvent("stream-open"));
  }

  /* A short gap is mended by the browser itself; a longer one is told. */
  function failed() {
    slow ||= setTimeout(() => {
      slow = 0;
      if (source.readyState !== EventSource.OPEN && !resting) house().lost();
    }, SLOW_MS);
    if (source.readyState !== EventSource.CLOSED) return;
    clearTimeout(reopen);
    reopen = setTimeout(listen, wait * (1 + Math.random()));
    wait = Math.min(wait * 2, LONGEST_WAIT_MS);
  }

  function rest() {
    resting = true;
    clearTimeout(reopen);
    source.close();
  }

  function follow(address) {
    addressNow = address;
    listen();
    setInterval(() => {
      if (resting || Date.now() - heardAt < QUIET_MS) return;
      house().lost();
      listen();
    }, 5000);
  }

  document.addEventListener("visibilitychange", () => {
    clearTimeout(hide);
    if (!addressNow) return;
    if (document.hidden) hide = setTimeout(rest, HIDDEN_MS);
    else if (resting) listen();
  });
  // The network is back: nobody waits until the next try is due.
  addEventListener("online", () => {
    if (!addressNow || resting) return;
    wait = FIRST_WAIT_MS;
    listen();
  });
  addEventListener("pagehide", () => addressNow && rest());
  addEventListener("pageshow", (event) => { if (event.persisted && addressNow) listen(); });
  window.stream = { follow };
})();
