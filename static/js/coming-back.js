// While a backup takes the shop's place its server is down: ask until it answers something else than "wait".
(function () {
  "use strict";
  const waiting = document.querySelector("[data-waiting-for]");
  async function ask() {
    try {
      const answer = await fetch(location.href, { redirect: "manual", cache: "no-store" });
      if (answer.status !== 200) { location.href = waiting.dataset.waitingFor; return; }
    } catch (error) { /* it is down just now */ }
    setTimeout(ask, 1500);
  }
  setTimeout(ask, 1500);
})();
