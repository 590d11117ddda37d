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
    const line = document.createElement("p");
    line.className = "kept";
    line.setAttribute("role", "status");
    const late = document.body.dataset.late !== undefined;
    line.textContent = `${late ? "No answer from the shop yet." : "No signal."} This page is as it was at ${when(kept)}. `;
    const again = document.createElement("a");
    again.href = location.pathname + location.search;
    again.textContent = "Look again";
    if (late) line.append(again);
    document.getElementById("main").before(line);
  } else if (!document.body.querySelector("[data-no-signal]")) {
    remember(touched, new Date().toISOString());
  }

  window.Gusset = Object.assign(window.Gusset || {}, { ready: ready(), when, recall, remember, kept: Boolean(kept), lastTouch: () => recall(touched) });
  document.addEventListener("visibilitychange", async () => {
    if (document.visibilityState !== "visible" || !navigator.serviceWorker) return;
    const registration = await navigator.serviceWorker.getRegistration();
    if (registration) registration.update().catch(() => {});
  });
})();
