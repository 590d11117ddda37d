// The page about this phone tries each thing out: what a browser claims and what it does are not the same.
(function () {
  "use strict";
  const WORDS = { good: ["done", "✓ Works"], look: ["ready", "▲ Look"], bad: ["held", "✕ Missing"] };
  const WHY = {
    address: "This is the plain address. Pages need a signal here; open the secure address and they won’t.",
    certificate: "The phone doesn’t trust the shop’s certificate yet. Go through the steps for letting it in; going past the warning is not enough.",
    browser: "This browser can’t keep pages. Each page needs a signal. A private window can’t either: try a normal one.",
    refused: "The browser didn’t keep the pages. Reload this page; if it stays so, restart the browser.",
    signal: "No signal just now, and nothing kept yet. Come back here with signal.",
  };
  let worst = "good";

  function say(key, level, text) {
    const row = document.querySelector(`[data-try="${key}"]`);
    const tag = row.querySelector("[data-tag]");
    row.querySelector("[data-says]").textContent = text;
    tag.className = `tag ${WORDS[level][0]}`;
    tag.textContent = WORDS[level][1];
    tag.hidden = false;
    if (level === "bad") worst = "bad";
  }
  const show = (name, on) => { const one = document.querySelector(`[data-${name}]`); if (one) one.hidden = !on; };

  async function address() {
    const local = ["localhost", "127.0.0.1", "[::1]"].includes(location.hostname);
    if (location.protocol === "https:") say("address", "good", "You came by the secure address.");
    else if (local) say("address", "good", "You are at the shop’s own computer.");
    else say("address", "bad", "You came by the plain address. Camera and pages without signal need the secure one.");
    show("trust", location.protocol === "http:" && !local);
  }
  async function pages() {
    const why = await Gusset.ready;
    if (why) return say("pages", "bad", WHY[why]);
    const kept = await count("gusset-pages-");
    say("pages", "good", `Tried just now: the phone keeps pages. ${kept} ${kept === 1 ? "page is" : "pages are"} on it, and the ones you open next.`);
  }
  async function list() {
    if (!window.indexedDB) return say("list", "bad", "This browser can’t keep the list of things. Finding needs a signal.");
    if (!Gusset.kept) await Gusset.index.sync().catch(() => {});
    const kept = await Gusset.index.load().catch(() => null);
    if (!kept) return say("list", "bad", "The list of things isn’t here yet. Reload this page with signal.");
    const many = (some, word) => `${some.size} ${word}${some.size === 1 ? "" : "s"}`;
    say("list", "good", `${many(kept.parts, "part")} and ${many(kept.places, "place")} are on the phone, as of ${Gusset.when(kept.at)}.`);
  }
  async function outbox() {
    if (!window.indexedDB) return say("outbox", "look", "This browser keeps nothing: what you do goes to the shop at once, and needs a signal.");
    const ops = await Gusset.outbox.mine(), look = ops.filter((op) => op.state === "look").length;
    if (!ops.length) return say("outbox", "good", "Nothing: all that was done on this phone is in the shop.");
    say("outbox", "look", `${ops.length} since ${Gusset.when(ops[0].made)}${look ? `; ${look} to be looked at` : ""}. The line at the top leads there.`);
  }
  async function count(prefix) {
    let found = 0;
    for (const name of (await caches.keys()).filter((one) => one.startsWith(prefix))) found += (await (await caches.open(name)).keys()).length;
    return found;
  }
  async function installed() {
    const on = matchMedia("(display-mode: standalone)").matches || navigator.standalone === true;
    if (on) say("home", "good", "Opened from the home screen.");
    else say("home", "look", "Opened in the browser. The steps are below.");
  }
  async function keeping() {
    if (!navigator.storage || !navigator.storage.persisted) {
      return say("keeping", "look", "The browser doesn’t say. It may clear what is kept when the phone is full.");
    }
    const on = await navigator.storage.persisted();
    const room = navigator.storage.estimate ? await navigator.storage.estimate() : {};
    const used = room.usage ? ` It uses ${(room.usage / 1e6).toFixed(1)} MB.` : "";
    show("persist", !on);
    say("keeping", on ? "good" : "look", on
      ? `The browser has promised not to clear it.${used}`
      : `The browser may clear it when the phone is full. On the home screen it is safer.${used}`);
  }
  async function camera() {
    if (!navigator.mediaDevices || !navigator.mediaDevices.getUserMedia) {
      return say("camera", "bad", "Pages can’t use the camera here. The phone’s own camera app reads labels too, and codes can be typed.");
    }
    let state = "";
    try { state = (await navigator.permissions.query({ name: "camera" })).state; } catch (error) { /* not every browser tells */ }
    const cameras = (await navigator.mediaDevices.enumerateDevices()).filter((one) => one.kind === "videoinput");
    if (!cameras.length) say("camera", "look", "No camera found. Codes can be typed.");
    else if (state === "denied") say("camera", "look", "The camera was refused to this site. Allow it in the browser’s site settings; until then codes can be typed.");
    else say("camera", "good", state === "granted" ? "Allowed." : "There. The phone asks once, on the Scan page.");
  }
  async function touch() {
    const at = Gusset.lastTouch();
    if (Gusset.kept) say("touch", "look", at ? `No signal now. Last in touch ${Gusset.when(at)}.` : "No signal now.");
    else say("touch", "good", "Just now.");
  }

  // ---- originals: wanted or not, and what of them waits
  async function originals() {
    const some = Gusset.originals, at = (name) => document.querySelector(`[data-originals${name}]`);
    if (!some || !some.able) return;
    const all = await some.mine(), rows = all.filter((one) => !one.refused), size = (rows.reduce((sum, one) => sum + one.size, 0) / 1e6).toFixed(1), busy = at("-send").disabled;
    const why = some.unmetered() === null ? " This browser doesn’t say whether it is on Wi-Fi: send them by hand." : some.unmetered() ? "" : " Not on Wi-Fi just now.";
    at("-part").hidden = false;
    at("-on").checked = some.on();
    const not = all.filter((one) => one.refused).map((one) => ` ✕ “${one.name}” was not taken: ${one.refused} The small one is in the shop.`);
    at("-say").textContent = (!rows.length ? "None waits here." : `${rows.length === 1 ? "1 waits" : `${rows.length} wait`} here, ${size} MB.${busy ? " Being sent…" : why}`) + not.join("");
    at("-say").hidden = !some.on() && !all.length;
    at("-send").hidden = !rows.length;
    at("-let-go").hidden = !all.length;
  }
  document.addEventListener("change", (event) => {
    if (!event.target.matches("[data-originals-on]")) return;
    Gusset.originals.set(event.target.checked);
    originals();
  });
  document.addEventListener("click", async (event) => {
    if (event.target.closest("[data-originals-let-go]")) await Gusset.originals.letAllGo();
    const send = event.target.closest("[data-originals-send]");
    if (!send) return;
    send.disabled = true;
    await originals();
    await Gusset.originals.send(true);
    send.disabled = false;
    await originals();
  });
  if (Gusset.originals) Gusset.originals.onchange(originals);

  let offer = null;
  window.addEventListener("beforeinstallprompt", (event) => { event.preventDefault(); offer = event; show("install", true); });
  document.addEventListener("click", async (event) => {
    if (event.target.closest("[data-install]") && offer) { offer.prompt(); offer = null; show("install", false); }
    if (event.target.closest("[data-persist]")) {
      const on = await navigator.storage.persist();
      await keeping();
      if (!on) say("keeping", "look", "The browser said no. It says yes more readily to what is on the home screen and often used.");
    }
  });

  (async function () {
    for (const one of [address, installed, outbox, keeping, camera, touch, originals, list, pages]) await one().catch(() => {});
    document.querySelector("[data-verdict]").textContent = worst === "good" ? "Ready for the steel box" : "Not ready for the steel box yet";
  })();
})();
