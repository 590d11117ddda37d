// The outbox. What is done on this phone is written here first, on line or not, and then sent to the shop: in order, one
// at a time, each with a number of its own by which the shop takes it once. It leaves only when the shop says that it
// has it. What the shop refuses stays, to be looked at. Gusset.outbox is all there is to it.
(function () {
  "use strict";
  const here = document.currentScript.dataset, { open, value, done } = Gusset.db, { number } = Gusset;
  const FORMAT = 1, IDLE = 30000, TICK = 15000, PAUSES = [5, 15, 60, 300], BREAKS = 6, REMEMBER = 30;
  if (here.person) Gusset.remember("gusset-person", here.person);
  const person = Number(here.person || Gusset.recall("gusset-person")); // the page without signal was kept for anybody
  const channel = "BroadcastChannel" in window ? new BroadcastChannel("gusset-outbox") : null;
  const watched = new Map(), listeners = [];
  let sending = null, next = null, pausedUntil = 0, failures = 0, trouble = "";

  // ---- the store
  async function writing(...stores) {
    return (await open()).transaction(stores, "readwrite", { durability: "strict" });
  }
  async function all(store = "outbox") {
    return value((await open()).transaction(store).objectStore(store).getAll());
  }
  const mine = async () => (await all()).filter((op) => op.person === person);
  async function find(uid) { return (await all()).find((op) => op.uid === uid); }
  async function photo(uid) { return value((await open()).transaction("photos").objectStore("photos").get(uid)); }
  async function put(op) {
    const transaction = await writing("outbox");
    transaction.objectStore("outbox").put(op);
    await done(transaction);
  }

  // Resolves once it is safe on this phone. `made`: {uid, url, page, what, fields, photos: [{field, name, taken, bytes}]},
  // and `made`, when it was done, where that is not now, `quiet` where no page is to speak of it; `replaces`: the number of
  // one that this is the corrected form of. Its photos are taken over.
  async function add(made, replaces) {
    const old = replaces ? await find(replaces) : null;
    const photos = made.photos.map((one) => ({ uid: number(), ...one }));
    const op = {
      ...made, person, made: made.made || Date.now(), format: FORMAT, state: "waits", tries: 0, refused: null, short: null,
      photos: [...(old ? old.photos.map((one) => ({ ...one, sent: false })) : []), ...photos.map(({ uid, field, name }) => ({ uid, field, name }))],
    };
    const transaction = await writing("outbox", "photos");
    if (old) transaction.objectStore("outbox").delete(old.id);
    transaction.objectStore("outbox").add(op);
    for (const one of photos) transaction.objectStore("photos").put(one, one.uid);
    await done(transaction);
    if (!Gusset.recall("gusset-asked-to-keep") && navigator.storage && navigator.storage.persist) {
      Gusset.remember("gusset-asked-to-keep", "1");
      navigator.storage.persist().catch(() => {});
    }
    changed("added");
    return op;
  }
  async function drop(op, sent) {
    const transaction = await writing("outbox", "photos", "sent"), store = transaction.objectStore("sent");
    transaction.objectStore("outbox").delete(op.id);
    for (const one of op.photos) transaction.objectStore("photos").delete(one.uid);
    if (sent) {
      store.add({ person: op.person, what: op.what, made: op.made, at: Date.now(), says: sent.says, to: sent.to });
      store.getAllKeys().onsuccess = (event) => event.target.result.slice(0, -REMEMBER).forEach((key) => store.delete(key));
    }
    await done(transaction);
    changed("gone");
  }
  async function retry(op) {
    await put({ ...op, state: "waits", tries: 0, refused: null, short: null });
    changed("added");
    return flush(true);
  }

  // ---- news, to this page and to others that are open
  function changed(what) {
    listeners.forEach((one) => one(what));
    if (channel) channel.postMessage({ what });
  }
  function outcome(uid, result) {
    if (watched.has(uid)) { watched.get(uid)(result); watched.delete(uid); }
  }
  if (channel) channel.onmessage = (event) => {
    if (event.data.what) listeners.forEach((one) => one(event.data.what));
    if (event.data.what === "added") flush();
    if (event.data.uid) outcome(event.data.uid, event.data.result);
  };
  function settled(op, result) {
    outcome(op.uid, result);
    if (channel) channel.postMessage({ uid: op.uid, result });
  }
  // What becomes of one within the time: {taken}, {refused}, or null when it has not been sent.
  function watch(uid, ms) {
    return new Promise((resolve) => { watched.set(uid, resolve); setTimeout(() => { watched.delete(uid); resolve(null); }, ms); });
  }

  // ---- sending. It is given up when nothing moves for half a minute, however long it takes in all.
  // `tell` hears how much is on its way, of 1.
  function post(url, body, headers, tell) {
    return new Promise((resolve) => {
      const request = new XMLHttpRequest();
      let idle = 0;
      const moving = () => { clearTimeout(idle); idle = setTimeout(() => request.abort(), IDLE); };
      moving();
      request.onprogress = moving;
      request.upload.onprogress = (event) => {
        moving();
        if (tell && event.lengthComputable) tell(event.loaded / event.total);
      };
      request.onloadend = () => {
        clearTimeout(idle);
        let json = null;
        try { json = JSON.parse(request.responseText); } catch (error) { /* a page: not from where we sent it */ }
        resolve({ status: request.status, json, said: json && json.outbox ? json : null });
      };
      request.open("POST", url);
      for (const [name, text] of Object.entries({ Accept: "application/json", ...headers })) request.setRequestHeader(name, text);
      request.send(body);
    });
  }
  // Who is signed in at the shop, with a token for this sending: none is ever kept.
  async function greet() {
    const stop = new AbortController(), late = setTimeout(() => stop.abort(), IDLE);
    try {
      const answer = await fetch(here.hello, { cache: "no-store", redirect: "manual", signal: stop.signal, headers: { Accept: "application/json" } });
      if (answer.type === "opaqueredirect" || answer.status === 401 || answer.status === 403) return { trouble: "login" };
      const said = answer.ok ? await answer.json() : null;
      if (!said || !said.outbox) return { trouble: "signal" };
      if (!said.may_change) return { trouble: "guest" };
      return said;
    } catch (error) {
      return { trouble: "signal" };
    } finally { clearTimeout(late); }
  }
  // What there is of one just now, and what is done about it, in one step.
  async function still(op, act) {
    const transaction = await writing("outbox"), store = transaction.objectStore("outbox"), there = store.get(op.id);
    there.onsuccess = () => there.result && act(store, there.result);
    await done(transaction);
    return there.result;
  }
  // From here on the shop may have it. Nothing where it was taken back before that.
  function trying(op) {
    op.tried = true;
    return still(op, (store) => store.put(op));
  }
  // Only what was never tried can be dropped unasked: of anything else the shop may have it, also when its answer was lost.
  async function dropUntried(uid) {
    const op = await find(uid), there = op && await still(op, (store, now) => now.tried || store.delete(op.id));
    if (!there || there.tried) return false;
    await drop(op);
    return true;
  }
  async function send(op, hello) {
    const head = { "X-CSRFToken": hello.csrf };
    for (const one of op.photos.filter((one) => !one.sent)) {
      const kept = await photo(one.uid);
      if (!kept) return look(op, [{ text: `The photo “${one.name}” could not be read from this phone.` }]);
      const body = new FormData();
      body.append("photo", new Blob([kept.bytes], { type: kept.type }), kept.name);
      body.append("taken", new Date(kept.taken).toISOString());
      const answer = await post(`${here.photo}${one.uid}/`, body, head);
      if (!answer.said || !answer.said.kept) return untaken(op, answer);
      one.sent = true;
      await put(op);
    }
    if (!(await trying(op))) return "gone";
    const answer = await post(op.url, new URLSearchParams(op.fields), {
      ...head, "X-Outbox": op.uid, "X-Outbox-Format": op.format, "X-Outbox-Person": op.person, "X-Outbox-Age": Math.max(0, Date.now() - op.made),
      "X-Outbox-Photos": JSON.stringify(op.photos.map((one) => [one.field, one.uid])), ...(watched.has(op.uid) && !op.quiet ? {} : { "X-Outbox-Quiet": "1" }),
    });
    if (!answer.said || !answer.said.taken) return untaken(op, answer);
    await drop(op, answer.said.taken);
    settled(op, { taken: answer.said.taken });
    return "taken";
  }
  async function look(op, refused, short) {
    await put({ ...op, state: "look", refused, short: short || null });
    settled(op, { refused });
    changed("look");
    return "look";
  }
  async function untaken(op, { status, said }) {
    if (said && said.refused) return look(op, said.refused, said.short);
    if (said && said.missing) {
      op.photos.forEach((one) => { if (said.missing.includes(one.uid)) one.sent = false; });
      await put(op);
      return "later";
    }
    if ((said && said.other) || (status >= 200 && status < 300) || status === 401 || status === 403) { trouble = "login"; return "stop"; }
    if (status >= 400 && status < 500 && status !== 408 && status !== 429) {
      return look(op, [{ text: status === 413 ? "It is too large for the shop." : "The shop did not know what to do with this. Make it anew, or export it." }]);
    }
    if (status >= 500 && status !== 503) { // 503: busy, which passes
      await put({ ...op, tries: op.tries + 1 });
      if (op.tries + 1 >= BREAKS) return look(op, [{ text: `The shop broke on this ${BREAKS} times. What it is about may have to be put right there first.` }]);
    }
    trouble = status ? "shop" : "signal";
    return "later";
  }

  async function run() {
    for (;;) {
      const queue = (await mine()).filter((op) => op.state === "waits");
      if (!queue.length) { trouble = ""; return; }
      const hello = await greet();
      trouble = hello.trouble || (hello.person === person ? "" : "login");
      if (trouble) return pause(queue);
      for (const op of queue) {
        const result = await send(op, hello);
        if (result === "later" || result === "stop") return pause(queue);
        failures = 0;
      }
    }
  }
  function pause(queue) {
    pausedUntil = Date.now() + PAUSES[Math.min(failures, PAUSES.length - 1)] * 1000;
    failures += 1;
    queue.forEach((op) => outcome(op.uid, null));
    changed("paused");
  }
  // One page sends at a time. Where there are no Web Locks, a lease; were two to send all the same, the shop takes each once.
  function alone(work) {
    if (navigator.locks) return navigator.locks.request("gusset-outbox", work);
    const until = Number(Gusset.recall("gusset-lease")) || 0;
    if (until > Date.now()) return Promise.resolve();
    const renew = () => Gusset.remember("gusset-lease", Date.now() + 2 * IDLE);
    renew();
    const timer = setInterval(renew, IDLE);
    return work().finally(() => { clearInterval(timer); Gusset.remember("gusset-lease", 0); });
  }
  function flush(now) {
    if (sending) return (next = next || sending.then(() => { next = null; return flush(now); }));
    if (!now && Date.now() < pausedUntil) return Promise.resolve();
    sending = alone(run).catch(() => {}).finally(() => { sending = null; });
    return sending;
  }

  // Pages that are wanted at the bench are kept before they are; the worker fetches them.
  async function keepForTheBench() {
    const worker = navigator.serviceWorker && (await navigator.serviceWorker.ready).active;
    const answer = await fetch(`${here.hello}?keep`, { cache: "no-store", redirect: "manual", headers: { Accept: "application/json" } });
    if (!answer.ok) return; // signed out: nothing to keep
    const said = await answer.json();
    if (worker) worker.postMessage({ keep: said.keep });
  }

  Gusset.outbox = {
    keepForTheBench, add, drop, dropUntried, retry, flush, watch, photo, find, mine, all, person, greet, post, waiting: here.waiting,
    why: ({ label, text }) => (label ? `${label}${/[?!.]$/.test(label) ? "" : ":"} ${text}` : text), trouble: () => trouble, onchange: (listener) => listeners.push(listener),
  };
  if (!window.indexedDB) return;
  if (Gusset.recall("gusset-originals")) Gusset.index.script(here.originals).catch(() => {});
  flush();
  window.addEventListener("pageshow", (event) => { if (event.persisted) flush(); });
  window.addEventListener("online", () => flush(true));
  document.addEventListener("visibilitychange", () => { if (document.visibilityState === "visible") flush(); });
  setInterval(() => { if (document.visibilityState === "visible") flush(); }, TICK);
})();
