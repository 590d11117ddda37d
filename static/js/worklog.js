// Tonight: what is typed outlives a closed page, a running clock, quarter hours. Works without.
(function () {
  "use strict";

  // Drafts. What is typed is kept on this device with the number of its line; it goes when the shop shows that line.
  const form = document.querySelector("form[data-draft]");
  const KEPT = ["text", "part_text", "quantity", "place_text", "task"], TICKED = ["kind", "happened", "part"];
  const key = form && "gusset-draft-" + form.dataset.draft, says = form && form.querySelector("[data-draft-says]");

  function keep() {
    const draft = { uid: form.elements.uid.value };
    TICKED.forEach((name) => { draft[name] = (form.querySelector("[name=" + name + "]:checked") || {}).value; });
    KEPT.forEach((name) => { draft[name] = form.elements[name] ? form.elements[name].value : ""; });
    draft.photos = form.elements.photos.files.length;
    draft.replaces = form.dataset.replaces || ""; // the refused one that this corrects
    Gusset.remember(key, draft.text || draft.part_text || draft.part || draft.photos ? JSON.stringify(draft) : "");
  }
  function tick(name, value) {
    const box = value && form.querySelector("[name=" + name + "][value=" + CSS.escape(value) + "]");
    if (box) box.checked = true;
  }
  function restore() {
    let draft = JSON.parse(Gusset.recall(key) || "null");
    if (!draft) return;
    if (document.querySelector("[data-uid='" + CSS.escape(draft.uid) + "']")) return Gusset.remember(key, "");
    if (form.elements.text.value || form.querySelector(".error")) return; // the shop sent it back itself
    form.elements.uid.value = draft.uid;
    if (draft.replaces) form.dataset.replaces = draft.replaces;
    if (form.hasAttribute("data-scanned")) draft = { ...draft, kind: "part", part: "", part_text: "" }; // came back with a label's code
    KEPT.forEach((name) => { if (draft[name] && form.elements[name]) form.elements[name].value = draft[name]; });
    const ticks = () => TICKED.forEach((name) => tick(name, draft[name])), part = form.elements.part_text;
    ticks();
    if (draft.part_text) part.addEventListener("gusset:picked", ticks, { once: true }); // without signal the phone answers
    if (draft.part_text) htmx.ajax("GET", part.getAttribute("hx-get"), { source: part, target: ".if-part .picks" }).then(ticks);
    says.textContent = "Not saved yet: what you typed before." + (draft.photos ? " Its photo has to be picked again." : "");
    says.hidden = false;
  }
  // A page kept by the browser's way back still has the number of a line that may be saved by now.
  if (form) window.addEventListener("pageshow", (event) => { if (event.persisted) location.reload(); });
  if (form) {
    restore();
    form.addEventListener("input", keep);
    form.addEventListener("change", keep);
    // Saved: the next one can be typed. Where no word was, a phone's keyboard stays away.
    form.addEventListener("reset", () => {
      says.hidden = true;
      const typed = form.elements.text.value || matchMedia("(hover: hover)").matches;
      if (typed) setTimeout(() => form.elements.text.focus()); // once it is empty, or it scrolls to where the last word was
    });
    form.addEventListener("keydown", (event) => { if (event.key === "Enter" && (event.ctrlKey || event.metaKey)) form.requestSubmit(); });
  }

  // What a kept page knew of a night that goes on is old by now: Tonight asks for no more than this phone can know.
  const ending = document.querySelector("form[data-elsewhere]");
  if (ending && window.Gusset.kept) location.replace(ending.dataset.elsewhere);

  // How long the session has run.
  const clock = (minutes) => Math.floor(minutes / 60) + ":" + String(minutes % 60).padStart(2, "0");
  setInterval(() => {
    const since = document.querySelector("[data-since]");
    if (since) since.textContent = clock(Math.max(0, Math.floor((Date.now() - Date.parse(since.dataset.since)) / 60000)));
  }, 20000);

  // Quarter hours beside a field of hours and minutes.
  document.querySelectorAll("[data-quarter]").forEach((button) => {
    button.hidden = false;
    button.addEventListener("click", () => {
      const input = button.parentElement.querySelector("input"), [hours, rest] = input.value.split(":");
      input.value = clock(Math.max(0, Math.round(Number(hours) * 60 + Number(rest || 0)) + Number(button.dataset.quarter)) || 0);
    });
  });
})();
