// Photos are made smaller on the phone and sent one at a time, with progress. Without this script the form sends them as
// they are. A photo that fails stays listed; what was kept is kept.
(function () {
  "use strict";
  // Resolves to a list of messages, empty when the photo is kept.
  async function send(form, file, blob, tell) {
    const data = new FormData();
    data.append("csrfmiddlewaretoken", form.querySelector("[name=csrfmiddlewaretoken]").value);
    data.append("uid", Gusset.number());
    data.append("taken", new Date(file.lastModified || Date.now()).toISOString());
    data.append("photos", blob, file.name || "photo.jpg");
    const { status, json } = await Gusset.outbox.post(form.action, data, {}, tell);
    if (status === 201) return [];
    if (status === 422) return json.errors;
    return [file.name + (status === 413 ? ": too large." : ": no answer from the shop. Try again when there is signal.")];
  }

  document.querySelectorAll("form[data-photos]").forEach(function (form) {
    const input = form.querySelector("input[type=file]");
    const area = form.querySelector("[data-progress]");
    form.addEventListener("submit", async function (event) {
      if (!input.files.length) return;
      event.preventDefault();
      event.stopImmediatePropagation();
      const button = form.querySelector("button.btn-primary");
      const files = Array.from(input.files);
      const bar = area.querySelector("progress");
      const words = area.querySelector("[role=status]");
      const sending = area.querySelector("label");
      const wrong = [];
      let kept = 0;
      words.className = "";
      sending.hidden = bar.hidden = false;
      bar.value = 0;
      area.hidden = false;
      button.disabled = true;
      for (let n = 0; n < files.length; n += 1) {
        words.textContent = "Photo " + (n + 1) + " of " + files.length;
        const blob = await Gusset.smaller(files[n]);
        const said = await send(form, files[n], blob, (part) => { bar.value = (n + part) / files.length; });
        if (!said.length) kept += 1;
        wrong.push(...said.map((one) => (files.length === 1 || one.includes(files[n].name) ? one : files[n].name + ": " + one)));
        bar.value = (n + 1) / files.length;
      }
      button.disabled = false;
      if (!wrong.length) { location.assign(form.dataset.next || location.href); return; }
      sending.hidden = bar.hidden = true;
      words.className = "error several";
      words.textContent = wrong.concat(kept ? kept + " of " + files.length + " are kept." : []).join("\n");
      const told = document.querySelector("[data-kept-count]");
      if (told) told.textContent = Number(told.textContent) + kept;
      input.value = "";
    }, true);
  });
})();
