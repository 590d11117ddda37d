// Photos are made smaller on the phone and sent one at a time, with progress. Without this script the form sends them as
// they are. A photo that fails stays listed; what was kept is kept.
(function () {
  "use strict";
  const smaller = (file) => window.Gusset.smaller(file); // another may stand there by then

  function number() {
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    bytes[6] = (bytes[6] & 0x0f) | 0x40;
    bytes[8] = (bytes[8] & 0x3f) | 0x80;
    const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
    return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
  }

  // Resolves to a list of messages, empty when the photo is kept.
  function send(form, file, blob, tell) {
    return new Promise(function (done) {
      const data = new FormData();
      data.append("csrfmiddlewaretoken", form.querySelector("[name=csrfmiddlewaretoken]").value);
      data.append("uid", number());
      data.append("taken", new Date(file.lastModified || Date.now()).toISOString());
      data.append("photos", blob, file.name || "photo.jpg");
      const request = new XMLHttpRequest();
      let idle = setTimeout(() => request.abort(), 30000); // by no progress, not by total time
      request.upload.onprogress = function (event) {
        clearTimeout(idle);
        idle = setTimeout(() => request.abort(), 30000);
        if (event.lengthComputable) tell(event.loaded / event.total);
      };
      request.onloadend = function () {
        clearTimeout(idle);
        if (request.status === 201) return done([]);
        if (request.status === 422) return done(JSON.parse(request.responseText).errors);
        if (request.status === 413) return done([file.name + ": too large."]);
        done([file.name + ": no answer from the shop. Try again when there is signal."]);
      };
      request.open("POST", form.action);
      request.setRequestHeader("Accept", "application/json");
      request.send(data);
    });
  }

  // Photos that are one field among others of a form: made smaller as soon as they are picked.
  document.querySelectorAll("input[type=file][data-smaller]").forEach(function (input) {
    input.addEventListener("change", async function () {
      const picked = Array.from(input.files);
      const less = new DataTransfer();
      for (const file of picked) less.items.add(await smaller(file));
      const same = input.files.length === picked.length && picked.every((file, n) => input.files[n] === file);
      if (same) input.files = less.files; // unless others were picked in the meantime
    });
  });

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
        const blob = await smaller(files[n]);
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
