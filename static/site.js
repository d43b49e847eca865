/* Small: the network that is gone is said, and a part that could not be fetched loses nothing. */
(() => {
  "use strict";
  const old = () => document.getElementById("old");
  let since = null;

  function clock(moment) {
    return String(moment.getHours()).padStart(2, "0") + ":" + String(moment.getMinutes()).padStart(2, "0");
  }

  function lost() {
    if (since) return;
    since = new Date();
    const box = old();
    if (!box) return;
    const time = document.getElementById("old-since");
    time.textContent = clock(since);
    time.dateTime = clock(since);
    box.hidden = false;
    document.documentElement.classList.add("is-old");
  }

  function found() {
    if (!since) return;
    since = null;
    if (old()) old().hidden = true;
    document.documentElement.classList.remove("is-old");
    document.dispatchEvent(new CustomEvent("network-back"));
  }

  // A server on this machine answers without any network, so asking it decides.
  function ask() {
    fetch("/static/mark.svg", { cache: "no-store" }).then(found, lost);
  }

  window.stagelarder = { lost, found, isOld: () => since !== null };
  // The browser may hear of it before the network is really gone: so it is asked once more.
  window.addEventListener("offline", () => { ask(); setTimeout(ask, 1500); });
  window.addEventListener("online", ask);
  document.addEventListener("htmx:after:request", (event) => {
    const response = event.detail.ctx && event.detail.ctx.response;
    if (response) found();
  });
  document.addEventListener("htmx:error", (event) => {
    const ctx = event.detail.ctx;
    if (ctx && ctx.response) return;
    ask();
  });
  setInterval(() => {
    if (since) ask();
  }, 3000);

  // The first production is begun in the time zone of whoever begins it.
  document.addEventListener("DOMContentLoaded", () => {
    const field = document.querySelector("[data-own-zone]");
    const own = Intl.DateTimeFormat().resolvedOptions().timeZone || "";
    if (field && own.includes("/")) field.value = own;
  });

  // On a screen that is empty the hand is where the first thing is typed; what is fetched later
  // leaves it where it is.
  document.addEventListener("DOMContentLoaded", () => document.querySelector("[data-first]")?.focus());

  // What somebody opened to read stays open when the part is drawn anew.
  let opened = [];
  document.addEventListener("htmx:before:swap", () => {
    opened = [...document.querySelectorAll("details[data-stays][open]")].map((each) => each.dataset.stays);
  });
  document.addEventListener("htmx:after:swap", () => {
    for (const each of document.querySelectorAll("details[data-stays]")) each.open ||= opened.includes(each.dataset.stays);
  });

  // A screen chosen from the menu closes it, also when the page is the same.
  document.addEventListener("click", (event) => {
    const link = event.target.closest && event.target.closest("#screens a");
    const menu = document.getElementById("screens");
    if (link && menu && menu.matches(":popover-open")) menu.hidePopover();
  });
})();
