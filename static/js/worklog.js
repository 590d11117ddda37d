// Tonight: what is typed outlives a closed page, a running clock, quarter hours. Works without.
(function () {
  "use strict";

  // Drafts. What is typed is kept on this device with the number of its line; it goes when the shop shows that line.
  const form = document.querySelector("form[data-draft]");
  const KEPT = ["text", "part_text", "quantity", "place_text", "task"];
  const key = form && "gusset-draft-" + form.dataset.draft;

  function keep() {
    const draft = { uid: form.elements.uid.value, kind: (form.querySelector("[name=kind]:checked") || {}).value };
    draft.happened = (form.querySelector("[name=happened]:checked") || {}).value;
    KEPT.forEach((name) => { draft[name] = form.elements[name] ? form.elements[name].value : ""; });
    draft.photos = form.elements.photos.files.length;
    draft.replaces = form.dataset.replaces || ""; // the refused one that this corrects
    Gusset.remember(key, draft.text || draft.part_text || draft.photos ? JSON.stringify(draft) : "");
  }
  function tick(name, value) {
    const box = value && form.querySelector("[name=" + name + "][value=" + CSS.escape(value) + "]");
    if (box) box.checked = true;
  }
  function restore() {
    let draft = JSON.parse(Gusset.recall(key) || "null");
    if (!draft) return;
    if (document.querySelector("[data-uid='" + CSS.escape(draft.uid) + "']")) { Gusset.remember(key, ""); return; }
    if (form.elements.text.value || form.querySelector(".error")) return; // the shop sent it back itself
    form.elements.uid.value = draft.uid;
    if (draft.replaces) form.dataset.replaces = draft.replaces;
    if (form.hasAttribute("data-scanned")) draft = { ...draft, kind: "part", part_text: "" }; // came back with a label's code
    tick("kind", draft.kind);
    tick("happened", draft.happened);
    KEPT.forEach((name) => { if (draft[name] && form.elements[name]) form.elements[name].value = draft[name]; });
    const says = form.querySelector("[data-draft-says]");
    says.textContent = "Not saved yet: what you typed before." + (draft.photos ? " Its photo has to be picked again." : "");
    says.hidden = false;
  }
  // A page kept by the browser's way back still has the number of a line that may be saved by now.
  if (form) window.addEventListener("pageshow", (event) => { if (event.persisted) location.reload(); });
  if (form) {
    restore();
    form.addEventListener("input", keep);
    form.addEventListener("change", keep);
  }

  // What a kept page knew of a night that goes on is old by now: Tonight asks for no more than this phone can know.
  const ending = document.querySelector("form[data-elsewhere]");
  if (ending && window.Gusset.kept) location.replace(ending.dataset.elsewhere);

  // How long the session has run.
  setInterval(function () {
    const since = document.querySelector("[data-since]");
    if (!since) return;
    const minutes = Math.max(0, Math.floor((Date.now() - Date.parse(since.dataset.since)) / 60000));
    since.textContent = Math.floor(minutes / 60) + ":" + String(minutes % 60).padStart(2, "0");
  }, 20000);

  // Quarter hours beside a field of hours and minutes.
  document.querySelectorAll("[data-quarter]").forEach(function (button) {
    button.hidden = false;
    button.addEventListener("click", function () {
      const input = button.parentElement.querySelector("input");
      const [hours, rest] = (input.value || "0").split(":");
      const minutes = Math.max(0, Math.round(Number(hours) * 60 + Number(rest || 0)) + Number(button.dataset.quarter)) || 0;
      input.value = Math.floor(minutes / 60) + ":" + String(minutes % 60).padStart(2, "0");
    });
  });
})();
