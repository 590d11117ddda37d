// What was said of tasks on this phone stands at them until the shop has it; then, and once a page that was kept can be had
// anew, the page gives way to the shop's own.
(function () {
  "use strict";
  const box = Gusset.outbox, { make, button } = Gusset;
  if (!box || !window.indexedDB) return;
  const { MARK, PATIENCE, same, lead, renew } = Gusset.outboxForms;

  // What was said of a task here and is not in the shop yet stands at the task, and what is done with is not offered again.
  const SAID = { start: "▲ Started", finish: "✓ Finished", "put-back": "Put back", hold: "✕ Put on hold" };
  let told = [];
  async function saidHere(uid) {
    const ops = (await box.mine().catch(() => [])).filter((op) => op.state === "waits"), tasks = new Map();
    const now = ops.filter((op) => [...document.querySelectorAll("[data-session-start], #stop-here")].some((form) => !form.dataset.busy && same(form, op.url)));
    for (const form of document.querySelectorAll("form[data-outbox]")) {
      const mark = MARK.exec(new URL(form.getAttribute("action") || "", location.href).pathname);
      if (mark && !form.closest(".said-here")) tasks.set(mark[1], [...(tasks.get(mark[1]) || []), [form, mark[2]]]);
    }
    for (const [task, forms] of tasks) {
      const op = ops.filter((one) => (MARK.exec(one.url) || [])[1] === task).pop(), verb = op && MARK.exec(op.url)[2], over = verb === "finish" || verb === "put-back";
      const row = forms[0][0].closest("li"), tag = row && row.querySelector(".tag"), old = document.querySelector(`.said-here[data-task="${task}"]`);
      if (forms.some(([form]) => form.dataset.busy) || old && old.querySelector("[data-busy]")) continue; // its answer is on the way
      if (op) now.push(op);
      for (const [form, does] of forms) if (!form.dataset.replaces) (form.closest("details") || form).hidden = Boolean(op) && (over || does === verb);
      if (tag) tag.hidden = Boolean(op);
      if (old && op && old.dataset.op === op.uid) continue;
      if (old) old.remove();
      if (op) (row || forms[0][0].parentNode).insertBefore(standing(op, verb, task, forms), row ? row.children[1] : forms[0][0]);
    }
    const note = uid && document.querySelector(`.said-here[data-op="${uid}"]`);
    if (note) lead(note);
    stale = stale || told.some((one) => !ops.some((op) => op.uid === one));
    told = now.map((op) => op.uid);
    if (stale) lookAgain();
  }
  function standing(op, verb, task, forms) {
    const note = make("div", "", "said-here"), does = make("div", "", "actions quiet"), [, words] = op.fields.find(([name]) => name === "words") || [];
    const says = make("p", `${SAID[verb] || op.what} on this phone at ${Gusset.when(op.made)}${words ? `: ${words}` : ""}. Not in the shop yet.`);
    says.setAttribute("role", "status");
    Object.assign(note.dataset, { task, op: op.uid });
    note.tabIndex = -1;
    if (verb === "start" && !forms.some(([, one]) => one === "finish")) { // what was started can be finished
      const form = forms[0][0].cloneNode(true), tap = form.querySelector("button");
      form.setAttribute("action", op.url.replace(/start\/$/, "finish/"));
      form.dataset.outbox = form.dataset.outbox.replace(/^Start/, "Finished");
      form.hidden = false;
      tap.className = "";
      tap.firstChild.data = "✓ Finished";
      does.append(form);
    }
    if (!op.tried) does.append(button("Take back", ({ target }) => { target.remove(); box.dropUntried(op.uid); }));
    note.append(says, does);
    return note;
  }

  // ---- the shop is reached again: a page as it was gives way to the page as it is, once no hand is on it. These are not
  // fetched anew: they say what is so by themselves, and a camera may be on.
  const LIVE = "[data-scanner], [data-run], [data-waiting-says]", HANDS = 4000, typed = new WeakSet();
  let touched = 0, looking = false, stale = false; // stale: what this page says of a task or the session is in the shop by now
  for (const name of ["pointerdown", "keydown"]) document.addEventListener(name, () => { touched = Date.now(); }, true);
  for (const name of ["input", "change"]) document.addEventListener(name, ({ target }) => target.form && typed.add(target.form));
  document.addEventListener("reset", (event) => typed.delete(event.target));
  async function lookAgain() {
    if (!(Gusset.kept || stale) || looking || document.visibilityState !== "visible") return;
    looking = true;
    try {
      const { trouble } = await box.greet();
      if (trouble === "signal" || trouble === "login") return;
      await box.flush(true); // what waits goes first
      while (Date.now() - touched < HANDS) await new Promise((resolve) => setTimeout(resolve, 500)); // nor is a tapped link overtaken
      await giveWay();
    } finally { looking = false; }
  }
  function giveWay() {
    const { kept, late } = document.body.dataset, writing = document.querySelector("form[data-outbox-again][id]");
    const begun = [...document.forms].some((form) => form !== writing && !form.hidden && (typed.has(form) || form.dataset.replaces || form.dataset.busy));
    if (!(Gusset.kept || stale) || writing && writing.dataset.busy) return null;
    if (document.querySelector(LIVE)) return asItIs();
    if (!begun && writing) return renew(writing);
    if (!begun && late === undefined) return location.reload(); // where the shop is slow it would come late again
    const again = make("a", "Look again");
    again.href = location.pathname + location.search;
    return document.querySelector("p.kept")?.replaceChildren(`The shop answers again. This page${begun ? ", with what you typed," : ""} is still as it was at ${Gusset.when(kept)}. `, again);
  }
  window.addEventListener("online", lookAgain);
  document.addEventListener("visibilitychange", lookAgain);
  setInterval(lookAgain, 3 * PATIENCE);
  box.onchange((what) => { if (what === "gone") lookAgain(); });
  function asItIs() {
    Gusset.kept = stale = false;
    document.querySelector("p.kept")?.remove();
  }
  Object.assign(Gusset, { saidHere, asItIs });
})();
