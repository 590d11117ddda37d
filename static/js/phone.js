// On every page of somebody signed in: the worker is asked to keep pages, and a kept page says so.
(function () {
  "use strict";
  const touched = "gusset-last-touch";

  function remember(key, value) {
    try { localStorage.setItem(key, value); } catch (error) { /* private window: nothing is lost by it */ }
  }
  function recall(key) {
    try { return localStorage.getItem(key); } catch (error) { return null; }
  }
  function when(iso) {
    const at = new Date(iso), now = new Date();
    const clock = at.toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
    return at.toDateString() === now.toDateString() ? clock : `${at.toLocaleDateString([], { day: "numeric", month: "short" })}, ${clock}`;
  }

  // What the scripts of the phone make their pages of.
  function make(name, text, className) {
    const one = document.createElement(name);
    if (text) one.textContent = text;
    if (className) one.className = className;
    return one;
  }
  function button(text, act, className) {
    const one = make("button", text, className);
    one.type = "button";
    one.addEventListener("click", act);
    return one;
  }
  // A number of its own for what is done here (RFC 9562, version 4). crypto.randomUUID is not there on the plain address.
  function number() {
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    bytes[6] = (bytes[6] & 0x0f) | 0x40;
    bytes[8] = (bytes[8] & 0x3f) | 0x80;
    const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
    return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
  }

  // Resolves to "" when pages open without signal here, else to the reason why not.
  async function ready() {
    if (!("serviceWorker" in navigator)) {
      return location.protocol === "http:" ? "address" : "browser";
    }
    try {
      const registration = await navigator.serviceWorker.register("/sw.js", { scope: "/", updateViaCache: "none" });
      await navigator.serviceWorker.ready;
      const worker = registration.active;
      if (worker) worker.postMessage("tidy");
      return "";
    } catch (error) {
      return error && error.name === "SecurityError" ? "certificate" : navigator.onLine ? "refused" : "signal";
    }
  }

  const kept = document.body.dataset.kept;
  if (kept) {
    const late = document.body.dataset.late !== undefined, again = make("a", "Look again");
    const line = make("p", `${late ? "No answer from the shop yet." : "No signal."} This page is as it was at ${when(kept)}. `, "kept");
    line.setAttribute("role", "status");
    again.href = location.pathname + location.search;
    if (late) line.append(again);
    document.getElementById("main").before(line);
  } else if (!document.body.querySelector("[data-no-signal]")) {
    remember(touched, new Date().toISOString());
  }

  window.Gusset = Object.assign(window.Gusset || {}, { ready: ready(), when, recall, remember, make, button, number, kept: Boolean(kept), lastTouch: () => recall(touched) });
  document.addEventListener("visibilitychange", async () => {
    if (document.visibilityState !== "visible" || !navigator.serviceWorker) return;
    const registration = await navigator.serviceWorker.getRegistration();
    if (registration) registration.update().catch(() => {});
  });
})();
