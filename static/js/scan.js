// Scanning inside the page. What reads a symbol is the browser's own detector where it has one, else a library of ours
// that is fetched only when it is needed. Whatever is read goes to the Scan page as if it had been typed; or, where a page
// takes it (the event "gusset:read"), the camera goes on to the next.
(function () {
  "use strict";
  // As inventory/labels/codes.py: look-alikes folded, and the check of ISO/IEC 7064, MOD 37,36.
  const READS_AS = { B: "8", S: "5", Z: "2", G: "6", U: "V", O: "D", 0: "D", Q: "D" }, SIGNS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
  const tidy = (text) => text.replace(/[\s\-·.]/g, "").toUpperCase().replace(/[BSZGUO0Q]/g, (sign) => READS_AS[sign]);
  function good(code) {
    if (!/^[23456789CDFHJKMNPRTVWXY]{7}$/.test(code)) return false;
    let check = 36;
    for (const sign of code.slice(0, -1)) check = (((check + SIGNS.indexOf(sign)) % 36 || 36) * 2) % 37;
    return (check + SIGNS.indexOf(code.at(-1))) % 36 === 1;
  }
  const spaced = (code) => `${code.slice(0, 3)} ${code.slice(3)}`;
  window.Gusset = Object.assign(window.Gusset || {}, { label: { tidy, good, spaced } });

  const box = document.querySelector("[data-scanner]");
  if (!box) return;
  const video = box.querySelector("video"), frame = box.querySelector("[data-frame]");
  const status = box.querySelector("[data-status]"), several = box.querySelector("[data-several]");
  const buttons = {};
  for (const name of ["start", "stop", "light", "again"]) buttons[name] = box.querySelector(`[data-${name}]`);
  const SETTLE = 350; // ms to look on after the first code, in case a second label is in the picture
  const PACE = 90; // ms between looks, so that the phone stays cool
  const AWAY = 1500; // ms of looks without it before a code that was taken counts as read anew
  let stream = null, sound = null, eye = null, lit = false;
  const taken = new Map(); // codes that were taken: since which look each is out of the picture, 0 while it is in it

  function say(text, trouble) {
    status.textContent = text;
    status.classList.toggle("error", Boolean(trouble));
  }
  function show(name, on) { buttons[name].hidden = !on; }

  // ---- what reads a symbol
  async function detector() {
    if ("BarcodeDetector" in window) {
      const formats = await window.BarcodeDetector.getSupportedFormats().catch(() => []);
      if (formats.includes("qr_code")) return new window.BarcodeDetector({ formats: ["qr_code"] });
    }
    await script(box.dataset.library);
    const library = window.BarcodeDetectionAPI;
    await library.prepareZXingModule({ overrides: { locateFile: () => box.dataset.wasm }, fireImmediately: true });
    return new library.BarcodeDetector({ formats: ["qr_code"] });
  }
  function script(src) {
    return new Promise((resolve, reject) => {
      const one = document.createElement("script");
      one.src = src;
      one.onload = resolve;
      one.onerror = () => reject(new Error("library"));
      document.head.append(one);
    });
  }
  function look() {
    if (!eye) eye = detector().catch((error) => { eye = null; throw error; });
    return eye;
  }

  // ---- the camera
  const REFUSED = {
    NotAllowedError: "The camera was refused. Allow it in the browser’s settings for this site, or type the code.",
    NotFoundError: "No camera found. Type the code instead.",
    NotReadableError: "Another program has the camera. Close it and try again, or type the code.",
  };
  async function start() {
    show("start", false);
    several.hidden = true;
    show("again", false);
    frame.hidden = false;
    say("Waking the camera…");
    try {
      sound = sound || (window.AudioContext ? new AudioContext() : null);
      stream = await navigator.mediaDevices.getUserMedia({
        audio: false, video: { facingMode: { ideal: "environment" }, width: { ideal: 1280 }, height: { ideal: 720 } },
      });
    } catch (error) {
      stop();
      return say(REFUSED[error.name] || "The camera did not start. Try again, or type the code.", true);
    }
    video.srcObject = stream;
    await video.play().catch(() => {});
    show("stop", true);
    aids();
    let reader;
    try { reader = await look(); } catch (error) {
      stop();
      return say("The part that reads symbols could not be fetched. Try again with signal, or type the code.", true);
    }
    if (stream) watch(reader);
  }
  function aids() {
    const track = stream.getVideoTracks()[0], can = track.getCapabilities ? track.getCapabilities() : {};
    show("light", Boolean(can.torch));
    if ((can.focusMode || []).includes("continuous")) track.applyConstraints({ advanced: [{ focusMode: "continuous" }] }).catch(() => {});
  }
  async function light() {
    lit = !lit;
    await stream.getVideoTracks()[0].applyConstraints({ advanced: [{ torch: lit }] }).catch(() => { lit = false; });
    buttons.light.setAttribute("aria-pressed", String(lit));
  }
  function release() {
    if (stream) stream.getTracks().forEach((track) => track.stop());
    stream = null;
    lit = false;
    show("light", false);
    show("stop", false);
  }
  function stop() {
    release();
    video.srcObject = null;
    frame.hidden = true;
    several.hidden = true;
    show("again", false);
    show("start", true);
    say("");
  }

  // ---- looking until there is something, then a moment longer
  async function watch(reader) {
    if (!taken.size) say("Hold it over the square, a hand’s breadth to two away.");
    const mine = stream, seen = new Map();
    let first = 0;
    while (stream === mine && mine) {
      const began = performance.now();
      let found = [];
      try { found = await reader.detect(video); } catch (error) { /* no picture yet */ }
      if (stream !== mine) return;
      const now = performance.now(), texts = found.map((code) => code.rawValue);
      for (const [text, since] of taken) if (!since && !texts.includes(text)) taken.set(text, now);
      for (const code of found) {
        const text = code.rawValue, since = taken.get(text);
        if (!text) continue;
        if (since === 0 || now - since < AWAY) { taken.set(text, 0); continue; } // it never left, however slow the phone looks
        if (!first) first = now;
        seen.set(text, code.cornerPoints);
      }
      if (first && performance.now() - first > SETTLE) return got(seen);
      await new Promise((go) => setTimeout(go, Math.max(0, PACE - (performance.now() - began))));
    }
  }
  function got(seen) {
    signal();
    video.pause();
    if (seen.size === 1) return go([...seen.keys()][0]);
    say(`${seen.size} labels in the picture. Which one?`);
    several.replaceChildren(...[...seen].sort(asRead).map(([text]) => {
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = short(text);
      button.addEventListener("click", () => go(text));
      return button;
    }));
    several.hidden = false;
    release();
    show("again", true);
    several.querySelector("button").focus();
  }
  // From the top left, as one reads: what is about level counts as one line.
  function asRead([, [a]], [, [b]]) {
    return Math.abs(a.y - b.y) > 60 ? a.y - b.y : a.x - b.x;
  }
  // 7K3 F9CM of …/L/7K3F9CM; anything else as it is.
  function short(text) {
    const code = (/\/L\/([0-9A-Za-z]{7})\/?$/i.exec(text) || /^([0-9A-Za-z]{7})$/.exec(text) || [])[1];
    return code ? `${code.slice(0, 3)} ${code.slice(3)}`.toUpperCase() : text.slice(0, 40);
  }
  function go(text) {
    if (!box.dispatchEvent(new CustomEvent("gusset:read", { detail: text, bubbles: true, cancelable: true }))) return next(text);
    release();
    box.classList.add("read");
    say(`✓ ${short(text)}`);
    location.assign(`${box.dataset.go}?code=${encodeURIComponent(text)}`);
  }
  // It was taken: a tick, and on to the next.
  function next(text) {
    several.hidden = true;
    show("again", false);
    say(`✓ ${short(text)}`);
    box.classList.add("read");
    setTimeout(() => box.classList.remove("read"), 500);
    taken.set(text, 0);
    if (stream) video.play().then(() => look()).then(watch).catch(() => {});
    else if (live && video.srcObject) start();
    else show("start", live);
  }
  // Felt, heard and seen: none of them alone.
  function signal() {
    if (navigator.vibrate) navigator.vibrate(60);
    if (!sound) return;
    const tone = sound.createOscillator(), volume = sound.createGain();
    tone.frequency.value = 1320;
    volume.gain.setValueAtTime(0.15, sound.currentTime);
    volume.gain.exponentialRampToValueAtTime(0.001, sound.currentTime + 0.12);
    tone.connect(volume).connect(sound.destination);
    tone.start();
    tone.stop(sound.currentTime + 0.13);
  }

  // ---- a photo of the code: for a camera that pages may not use, or a label out of reach
  async function photo(file) {
    say("Looking at the picture…");
    try {
      const picture = await createImageBitmap(file);
      const found = (await (await look()).detect(picture)).filter((code) => code.rawValue);
      if (!found.length) return say("No code to be read in that picture. Closer and sharper, with the light from the side; or type the code.", true);
      got(new Map(found.map((code) => [code.rawValue, code.cornerPoints])));
    } catch (error) {
      say("That picture could not be read. Take another, or type the code.", true);
    }
  }

  const live = Boolean(navigator.mediaDevices && navigator.mediaDevices.getUserMedia);
  show("start", live);
  box.hidden = false;
  const alone = !box.closest("form"); // a page's own button stays the first where scanning only helps to fill it in
  if (live && alone) document.querySelectorAll("main .btn-primary:not([data-start])").forEach((one) => one.classList.remove("btn-primary"));
  buttons.start.addEventListener("click", start);
  buttons.again.addEventListener("click", start);
  buttons.stop.addEventListener("click", stop);
  buttons.light.addEventListener("click", light);
  box.querySelector("input[type=file]").addEventListener("change", (event) => {
    if (event.target.files.length) photo(event.target.files[0]);
    event.target.value = "";
  });
  document.addEventListener("visibilitychange", () => { if (document.visibilityState === "hidden" && stream) stop(); });
  window.addEventListener("pagehide", stop);
})();
