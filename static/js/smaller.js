// Photos made smaller on the phone, upright, as JPEG: 2048 pixels are plenty for the shop and a fifth of the bytes. What is
// small already, or can't be read here, stays as it is; the shop says what is wrong with it. Nothing is made smaller twice.
(function () {
  "use strict";
  const LARGE = 2048, made = new Set(), key = (one) => [one.name, one.size, one.lastModified].join();

  async function smaller(file) {
    const heic = /^image\/hei[cf]$/.test(file.type);
    if (made.has(key(file)) || !/^image\/(jpeg|png|webp|heic|heif)$/.test(file.type) || !window.createImageBitmap) return file;
    try {
      const whole = await createImageBitmap(file, { imageOrientation: "from-image" });
      const scale = Math.min(1, LARGE / Math.max(whole.width, whole.height));
      if (scale === 1 && file.size < 1500000 && !heic) return file;
      const canvas = document.createElement("canvas");
      canvas.width = Math.round(whole.width * scale);
      canvas.height = Math.round(whole.height * scale);
      canvas.getContext("2d").drawImage(whole, 0, 0, canvas.width, canvas.height);
      whole.close();
      const blob = await new Promise((done) => canvas.toBlob(done, "image/jpeg", 0.82));
      if (!blob) return file;
      const small = new File([blob], file.name.replace(/\.\w+$/, "") + ".jpg", { type: "image/jpeg", lastModified: file.lastModified });
      made.add(key(small));
      return small;
    } catch (error) {
      return file;
    }
  }
  window.Gusset = Object.assign(window.Gusset || {}, { smaller });

  // As soon as they are picked, in the fields that ask for it; where their button counts them, it says how many.
  document.addEventListener("change", async ({ target: input }) => {
    if (!input.matches("input[data-shrink]")) return;
    const picked = Array.from(input.files), small = new DataTransfer();
    const says = input.form.querySelector("[data-count]"), button = input.form.querySelector("button.btn-primary");
    if (says) {
      says.dataset.word = says.dataset.word || says.textContent;
      says.textContent = picked.length ? `${picked.length} photo${picked.length === 1 ? "" : "s"}` : says.dataset.word;
    }
    button.disabled = true; // until they are small: a second or two at the most
    try {
      for (const file of picked) small.items.add(await Gusset.smaller(file)); // another may stand there by then
      const same = input.files.length === picked.length && picked.every((file, n) => input.files[n] === file);
      if (same) input.files = small.files; // unless others were picked in the meantime
    } finally { button.disabled = false; }
  });
})();
