// Forms marked data-outbox go by way of the outbox; what the mark says, with the form's own words for {names}, is how the
// thing is called while it waits. Every page says what waits. Without IndexedDB the forms are sent as ever.
(function () {
  "use strict";
  const box = Gusset.outbox, { make, button } = Gusset, PATIENCE = 5000, LONG = 24 * 3600 * 1000, BIG = 1500000, AGAIN = 3000;
  if (!box || !window.indexedDB) return;
  const SHOWN = "gusset-refused-here";

  // ---- what a form says
  function said(form, name) {
    const ticked = form.querySelector(`[name="${name}"]:checked`), text = form.elements[`${name}_text`];
    if ([ticked, text, form.elements[name]].some((one) => one && one.getClientRects && one.type !== "hidden" && !(one.closest("label") || one).getClientRects().length)) return ""; // left over in a box that is shut
    if (ticked && ticked.type === "radio") {
      const label = ticked.closest("label");
      return (label.querySelector("b") || label).textContent.trim();
    }
    if (text) return text.value.trim();
    const one = form.elements[name];
    if (!one) return "";
    return one.selectedOptions ? [...one.selectedOptions].map((option) => option.value && option.textContent.trim()).join() : String(one.value || "").trim();
  }
  // What stands in [] is said only where all of its names are.
  const NAME = /\{(\w+)\}/g, called = (form, submitter) => ((submitter && submitter.dataset.outbox) || form.dataset.outbox)
    .replace(/\[([^\][]*\{[^\][]*)\]/g, (all, some) => ([...some.matchAll(NAME)].every(([, name]) => said(form, name)) ? some : ""))
    .replace(NAME, (all, name) => said(form, name)).replace(/\s+/g, " ").replace(/[\s:,]+$/, "").slice(0, 300);

  async function read(form, submitter) {
    const data = new FormData(form), fields = [], photos = [];
    if (!form.elements.uid) data.append("uid", "");
    if (submitter && submitter.name) data.append(submitter.name, submitter.value);
    const uid = Gusset.number();
    for (const [name, got] of data) {
      if (name === "csrfmiddlewaretoken") continue;
      if (typeof got === "string") fields.push([name, name === "uid" ? uid : got]);
      else if (got.name) { // an empty one too: the shop says so
        const file = got.size > BIG && Gusset.smaller ? await Gusset.smaller(got) : got;
        photos.push({ field: name, name: file.name, type: file.type, taken: got.lastModified || Date.now(), bytes: await file.arrayBuffer() });
      }
    }
    const url = new URL((submitter && submitter.getAttribute("formaction")) || form.getAttribute("action") || location.href, location.href);
    return { uid, url: url.pathname + url.search, page: location.pathname + location.search, what: called(form, submitter), shown: shown(form), fields, photos };
  }
  // What a person sees of it: [[label, words], ...].
  function shown(form) {
    const found = new Map();
    for (const one of form.elements) {
      const name = (one.name || "").replace(/_text$/, "");
      const tick = one.type === "checkbox", group = one.type === "radio" && one.closest("fieldset, [aria-label]"), key = tick ? `${name} ${one.value}` : name;
      if (!name || one.type === "hidden" || one.type === "file" || one.tagName === "BUTTON" || found.has(key) || !one.getClientRects().length) continue;
      const label = group ? group.querySelector("legend") : one.labels && one.labels[0], called = label ? (tick ? label.innerText : label.firstChild.textContent) : (group && group.ariaLabel) || name;
      const text = tick ? (one.checked ? "✓" : "") : said(form, name);
      if (text) found.set(key, [called.trim().replace(/\s+/g, " "), text.slice(0, 500)]);
    }
    return [...found.values()];
  }

  // ---- a form is sent
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!(form instanceof HTMLFormElement) || form.dataset.outbox === undefined || form.dataset.plain) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    if (form.dataset.busy) return;
    form.dataset.busy = "1";
    take(form, event.submitter).finally(() => { delete form.dataset.busy; });
  }, true);

  async function take(form, submitter) {
    let op;
    try {
      op = await box.add({ ...await read(form, submitter), made: Number(form.dataset.made) }, form.dataset.replaces);
    } catch (error) {
      return plainly(form, submitter); // the phone could not keep it: the shop may
    }
    const wait = box.watch(op.uid, navigator.onLine ? PATIENCE : 0);
    box.flush(true);
    if (form.dataset.outboxAgain !== undefined) {
      ready(form); // for the next one, whatever becomes of this
      wait.then((result) => follow(form, op, submitter, result));
      return null;
    }
    form.dataset.replaces = op.uid;
    const note = make("p", "✓ Saved on this phone", "kept-note");
    note.setAttribute("role", "status");
    form.append(note);
    const result = await wait;
    note.remove();
    if (result && result.taken) return go(result.taken.to);
    if (result && result.refused) return showRefusal(form, op, submitter);
    standsForNone(form);
    return keptHere(form, op);
  }
  // A form that is ready for the next: what became of the last.
  async function follow(form, op, submitter, result) {
    if (result && result.taken) return renew(form, result.taken.to);
    if (result && result.refused && untouched(form)) {
      fill(form, op.fields);
      chosen(form, op.fields);
      await giveBack(form, op);
      return showRefusal(form, op, submitter);
    }
    return null;
  }
  function untouched(form) {
    return [...form.elements].every((one) => (one.type === "file" ? !one.files.length : !/^(text|textarea)$/.test(one.type) || one.value === one.defaultValue));
  }
  // The shop has something to say: its own page says it best. What was typed stays in Needs a look until it is mended.
  function showRefusal(form, op, submitter) {
    if (form.elements.uid) form.elements.uid.value = op.uid; // one thing, whichever way it comes
    Gusset.remember(SHOWN, op.uid);
    return plainly(form, submitter);
  }
  async function giveBack(form, op) {
    const fields = new Map();
    for (const one of op.photos) {
      const kept = await box.photo(one.uid);
      if (!kept || !form.elements[one.field]) continue;
      if (!fields.has(one.field)) fields.set(one.field, new DataTransfer());
      fields.get(one.field).items.add(new File([kept.bytes], kept.name, { type: kept.type, lastModified: kept.taken }));
    }
    for (const [name, files] of fields) form.elements[name].files = files.files;
  }
  const offered = new Map(); // what a box for picking offers before anything is typed
  document.querySelectorAll("form[data-outbox-again] .picks").forEach((one) => offered.set(one, [...one.childNodes].map((node) => node.cloneNode(true))));
  function ready(form) {
    standsForNone(form);
    const refused = form.querySelector(".error"); // what was refused is no default
    if (refused) form.querySelectorAll("textarea, input[type=text]:not([inputmode])").forEach((one) => { one.defaultValue = ""; });
    const used = [...form.querySelectorAll("select[data-fresh]")].map((one) => [one, one.value]);
    form.reset();
    used.forEach(([one, value]) => { one.value = value; settle(one); });
    form.querySelectorAll(".picks").forEach((one) => { if (refused) offered.set(one, []); if (offered.has(one)) one.replaceChildren(...offered.get(one).map((node) => node.cloneNode(true))); });
    form.querySelectorAll("input[type=file], textarea").forEach((one) => one.dispatchEvent(new Event("change", { bubbles: true })));
    form.querySelectorAll(".error").forEach((one) => one.remove());
    form.querySelectorAll(".wrong").forEach((one) => one.classList.remove("wrong"));
    let note = form.querySelector(".kept-note");
    if (!note) {
      note = make("p", "", "kept-note");
      note.setAttribute("role", "status");
      form.append(note);
    }
    note.textContent = "✓ Saved on this phone";
    waitingLines();
  }
  // A choice that the shop guesses (data-fresh) stays at what was chosen last, until the page comes anew with a guess.
  const settle = (one) => [...one.options].forEach((option) => { option.defaultSelected = option.selected; });
  function refresh(form, made) {
    made.querySelectorAll("select[data-fresh]").forEach((fresh) => {
      const one = form.elements[fresh.name], guessed = [...one.options].every((option) => option.selected === option.defaultSelected);
      const value = guessed && untouched(form) ? fresh.value : one.value;
      one.replaceChildren(...fresh.options);
      one.value = value;
      if (guessed) settle(one);
    });
  }
  let renewing = 0, renewed = 0;
  function soon(form) {
    clearTimeout(renewing);
    renewing = setTimeout(() => { if (Date.now() - renewed > 2000) renew(form); }, 200);
  }
  // The page anew around the form, which stays as it is: somebody may be writing in it already.
  async function renew(form, to) {
    renewed = Date.now();
    const there = new URL(to || location.href, location.href), focused = document.activeElement, main = document.getElementById("main");
    if (there.pathname + there.search !== location.pathname + location.search) return untouched(form) ? location.assign(there) : null;
    const answer = await fetch(location.pathname + location.search, { redirect: "manual" }).catch(() => null);
    const made = answer && answer.ok && new DOMParser().parseFromString(await answer.text(), "text/html");
    const place = made && made.getElementById(form.id), inside = form.contains(focused);
    if (!place) { // the shop is busy, or somebody writes: later. Else it says itself what it wants first.
      const later = !answer || answer.status >= 500 || inside || !untouched(form);
      return later ? setTimeout(() => renew(form, to), AGAIN) : location.assign(there.pathname + there.search); // not posted again
    }
    const box = form.elements.text, begun = to && box && !box.autofocus && place.querySelector("[autofocus]"); // with this tap
    const at = inside && focused.selectionStart !== undefined ? [focused.selectionStart, focused.selectionEnd] : null;
    form.querySelectorAll(".kept-note").forEach((one) => one.remove());
    const top = form.getBoundingClientRect().top;
    refresh(form, place);
    place.replaceWith(document.adoptNode(form));
    const told = to ? [] : main.querySelectorAll(".flash:not(#trouble)"); // said of what was just done, with its Undo
    if (told.length && !made.querySelector(".flash:not(#trouble)")) made.querySelector("#main .flash-area").prepend(...told);
    main.replaceChildren(...[...made.getElementById("main").childNodes].map((node) => document.adoptNode(node)));
    if (window.htmx) window.htmx.process(main);
    if (begun) box.autofocus = true;
    scrollBy(0, form.getBoundingClientRect().top - top); // it stays where it was on the screen
    if (inside) focused.focus({ preventScroll: true });
    else if (begun) box.focus();
    if (at && at[0] !== null) focused.setSelectionRange(...at);
    Gusset.asItIs();
    sessionHere();
    Gusset.saidHere();
    return waitingLines();
  }
  // By itself, later: within its own submit event a form can't be submitted again.
  async function plainly(form, submitter) {
    await new Promise((resolve) => setTimeout(resolve));
    form.dataset.plain = "1";
    form.requestSubmit(submitter || undefined);
    delete form.dataset.plain;
  }
  function go(to) {
    const there = new URL(to || location.href, location.href);
    if (there.pathname + there.search !== location.pathname + location.search) return location.assign(there);
    const writing = document.querySelector("form[data-outbox-again][id]");
    if (writing) return renew(writing, to).then(() => document.querySelector(".flash:not(#trouble)")?.scrollIntoView({ block: "nearest" })); // what it frees, and its Undo
    if (there.hash) history.replaceState(null, "", there);
    location.reload();
  }
  // Saved here, not there yet: the form makes room, or is ready for another.
  function keptHere(form, op) {
    if (MARK.test(op.url)) {
      delete form.dataset.busy;
      form.reset();
      return Gusset.saidHere(op.uid);
    }
    const note = make("div", "", "kept-here");
    note.setAttribute("role", "status");
    note.tabIndex = -1;
    note.append(make("b", "✓ Saved on this phone"), make("p", `${op.what}. Not in the shop yet: it goes there by itself when there is signal.`));
    document.querySelectorAll(".kept-here.again").forEach((old) => old.remove());
    if (form.querySelector(".btn-primary") && form.dataset.outboxOnce === undefined) {
      note.classList.add("again");
      form.reset();
    } else form.hidden = true;
    form.parentNode.insertBefore(note, form); // not form.before: a field may be called so
    return lead(note);
  }
  function lead(note) {
    note.scrollIntoView({ block: "nearest" });
    note.focus({ preventScroll: true });
  }

  // A choice whose box has left the page meanwhile goes along all the same.
  function chosen(form, fields) {
    for (const [name, text] of fields) {
      const there = [...form.elements].filter((one) => one.name === name);
      if (PRIVATE.includes(name) || there.some((one) => !/^(radio|checkbox)$/.test(one.type) || one.value === text)) continue;
      form.append(Object.assign(make("input"), { type: "hidden", name, value: text }));
    }
  }

  // ---- a form that stands for one the shop refused: filled with what was typed, and taking its place when sent again
  const PRIVATE = ["csrfmiddlewaretoken", "uid", "saw"];
  function fill(form, fields) {
    const given = new Map();
    for (const [name, text] of fields) given.set(name, [...(given.get(name) || []), text]);
    for (const one of form.elements) {
      if (!one.name || PRIVATE.includes(one.name) || one.type === "file" || !given.has(one.name)) continue;
      if (one.type === "radio" || one.type === "checkbox") one.checked = given.get(one.name).includes(one.value);
      else one.value = given.get(one.name)[0];
    }
  }
  async function standIn() {
    const asked = (/^#mend=([0-9a-f-]{36})$/.exec(location.hash) || [])[1];
    const shown = Gusset.recall(SHOWN);
    Gusset.remember(SHOWN, "");
    const op = (asked || shown) && await box.find(asked || shown);
    if (!op) return;
    const mark = MARK.exec(op.url), its = mark && `/tasks/${mark[1]}/`;
    const found = [...document.querySelectorAll("form[data-outbox]")].find((one) => same(one, op.url));
    const form = found || (!mark && document.querySelector("form[data-outbox] .btn-primary")?.form);
    if (asked && its && !form && location.pathname !== its) return location.replace(its + location.hash); // where it is said too
    const taken = document.querySelector(`.flash:not(.error-flash), [data-uid="${op.uid}"]`);
    if (!asked && taken) return box.drop(op); // the shop took it after all
    if (!asked && !form?.querySelector(".error")) return;
    if (asked) history.replaceState(null, "", location.pathname + location.search);
    document.querySelectorAll(".mending").forEach((old) => old.remove());
    const note = make("div", "", "bar-note mending");
    if (!form) return noneHere(op, note);
    const busy = asked && !untouched(form) && form.dataset.replaces !== op.uid;
    if (!busy) {
      if (asked && untouched(form)) fill(form, op.fields);
      form.dataset.replaces = op.uid;
      show();
      waitingLines();
    }
    if (!asked) return;
    form.hidden = false;
    form.closest("details")?.setAttribute("open", "");
    if (busy) note.append(make("p", "Save what is in the box first. Then this one can be corrected in it."));
    for (const one of op.refused || []) note.append(make("p", box.why(one)));
    if (op.photos.length) note.append(make("p", `${op.photos.length === 1 ? "Its photo is" : `Its ${op.photos.length} photos are`} kept with it.`));
    if (!busy) note.append(whenDone(form, op));
    form.parentNode.insertBefore(note, form); // not form.before: a field may be called so
    if (mark) note.scrollIntoView({ block: "center" });
  }
  // What it was about has gone on or is not there any more: the page says why, and what can be done.
  function noneHere(op, note) {
    const look = make("a", "See what is kept here", "btn");
    look.href = box.waiting;
    note.append(make("b", op.what), ...(op.refused || []).map((one) => make("p", box.why(one))), look);
    document.querySelector("#main .flash-area").after(note);
  }
  // A slip of the pen does not change when it was done. What was looked at again, counted anew, fetched from elsewhere or
  // said again of a task is done now: the shop holds it against what it knows of that moment.
  function whenDone(form, op) {
    const label = make("label", "", "check"), tick = make("input");
    tick.type = "checkbox";
    tick.checked = Boolean(op.short) || MARK.test(op.url) || /^\/move\/(count|correct)\//.test(op.url);
    const say = () => { form.dataset.made = tick.checked ? 0 : op.made; };
    tick.addEventListener("change", say);
    say();
    label.append(tick, make("span", `Done just now, not ${Gusset.when(op.made)}`));
    label.hidden = Date.now() - op.made < 5 * 60000; // so lately that it is the same
    return label;
  }
  function standsForNone(form) {
    delete form.dataset.replaces;
    delete form.dataset.made;
    if (form.previousElementSibling && form.previousElementSibling.matches(".mending")) form.previousElementSibling.remove();
  }
  // What is said of a task on Tonight is said on its own page too.
  const MARK = /^\/(?:tonight\/task|tasks)\/(\d+)\/(?:mark\/)?([a-z-]+)\/$/;
  function same(form, url) {
    const there = new URL(form.getAttribute("action") || location.href, location.href), address = there.pathname + there.search;
    const [one, other] = [MARK.exec(address), MARK.exec(url)];
    return address === url || Boolean(one && other) && one[1] === other[1] && one[2] === other[2];
  }

  // ---- what waits, on every page; but not what a form on it stands for
  async function waiting() {
    const here = [...document.querySelectorAll("form[data-replaces]")].map((form) => form.dataset.replaces);
    return (await box.mine().catch(() => [])).filter((op) => op.state === "waits" || !here.includes(op.uid));
  }
  const strip = make("a", "", "outbox-strip");
  strip.href = box.waiting;
  const many = (count, one, more) => `${count} ${count === 1 ? one : more}`;
  async function show() {
    const ops = await waiting(), waits = ops.filter((op) => op.state === "waits"), look = ops.filter((op) => op.state === "look");
    const old = waits.length && Date.now() - waits[0].made > LONG, words = [];
    if (look.length) words.push(make("b", `✕ ${many(look.length, "thing needs", "things need")} a look.`, "held"));
    if (waits.length) {
      words.push(make("span", `▲ ${many(waits.length, "thing", "things")} saved on this phone, not in the shop yet, ${waits.length === 1 ? "" : "the oldest "}since ${Gusset.when(waits[0].made)}.`));
      if (box.trouble() === "login") words.push(make("b", "Sign in to send."));
      else if (old) words.push(make("b", "Bring the phone to the shop’s Wi-Fi.", "held"));
    }
    strip.href = box.trouble() === "login" ? `/login/?next=${encodeURIComponent(location.pathname + location.search)}` : box.waiting;
    strip.replaceChildren(...words.flatMap((one) => [one, " "]));
    if (!words.length) strip.remove();
    else if (!strip.isConnected) document.getElementById("main").before(strip);
  }
  // A session that was started here and is not in the shop yet is stopped here too; so is one on a page that was kept.
  async function sessionHere() {
    const stop = document.getElementById("stop-here");
    if (!stop) return;
    const start = document.querySelector("[data-session-start]"), link = document.querySelector("[data-session-stop]");
    const told = (await box.mine().catch(() => [])).filter((op) => op.state === "waits" && [start, stop].some((one) => same(one, op.url))).pop();
    const running = told ? same(start, told.url) : stop.dataset.running !== undefined, blind = running && Boolean(told || Gusset.kept);
    start.hidden = running;
    if (link) link.hidden = blind || !running;
    stop.hidden = !blind && !stop.querySelector(".error") && !stop.dataset.replaces;
    const began = stop.querySelector("[data-began]");
    began.textContent = told && running ? `● Started on this phone at ${Gusset.when(told.made)}.` : "";
    began.hidden = !began.textContent;
    if (location.hash === "#stop-here" && !stop.hidden) stop.scrollIntoView({ block: "center" });
  }
  // Under a form that is ready for the next one: those of it that wait.
  async function waitingLines() {
    const form = document.querySelector("form[data-outbox-again]");
    if (!form) return;
    const url = new URL(form.action).pathname, ops = (await waiting()).filter((op) => op.url.split("?")[0] === url);
    let list = document.getElementById("waiting-lines");
    if (!list) {
      list = make("ol", "", "waiting-lines");
      list.id = "waiting-lines";
      form.after(list);
    }
    if (list.children.length && !ops.length && !form.dataset.replaces && !Gusset.kept) soon(form); // they are in the shop now: shown as such
    list.replaceChildren(...ops.reverse().map((op) => {
      const line = make("li"), body = make("div"), look = op.state === "look";
      const state = make(look ? "a" : "span", look ? "✕ Needs a look: correct it" : "▲ On this phone, not in the shop yet", look ? "held" : "soft");
      if (look) state.href = `${op.page}#mend=${op.uid}`;
      body.append(make("b", op.what), " ", state);
      line.append(make("time", Gusset.when(op.made).slice(-5), "num soft"), body);
      return line;
    }));
    list.hidden = !ops.length;
  }

  // ---- signing out with things that wait: asked first
  document.addEventListener("submit", async (event) => {
    const form = event.target;
    if (!/\/logout\/$/.test(form.action || "") || form.dataset.plain) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    const ops = await box.mine().catch(() => []);
    if (!ops.length) return plainly(form, event.submitter);
    const note = make("div", "", "bar-note"), stay = make("a", "See what waits", "btn btn-primary"), leave = button("Sign out all the same", () => plainly(form, event.submitter)), row = make("div", "", "actions");
    stay.href = box.waiting;
    row.append(stay, leave);
    note.setAttribute("role", "alert");
    note.append(make("p", `${many(ops.length, "thing is", "things are")} on this phone only. They stay on it, and go to the shop when you sign in here again.`), row);
    form.parentNode.insertBefore(note, form); // not form.before: a field may be called so
  }, true);

  Object.assign(Gusset, { outboxForms: { MARK, PATIENCE, same, lead, renew } });
  let drawing = 0;
  box.onchange(() => { drawing = drawing || setTimeout(() => { drawing = 0; show(); waitingLines(); sessionHere(); Gusset.saidHere(); }, 40); });
  document.addEventListener("DOMContentLoaded", () => { show(); waitingLines(); standIn().then(() => { sessionHere(); Gusset.saidHere(); }); }); // once drafts are back
  window.addEventListener("hashchange", standIn);
})();
