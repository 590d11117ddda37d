// A photo made smaller on the phone, upright, as JPEG: 2048 pixels are plenty for the shop and a fifth of the bytes. What is
// small already, or can't be read here, stays as it is; the shop says what is wrong with it. Nothing is made smaller twice.
window.Gusset = Object.assign(window.Gusset || {}, {
  smaller: async function (file) {
    "use strict";
    const made = (Gusset.made = Gusset.made || new Set()), key = (one) => [one.name, one.size, one.lastModified].join();
    if (made.has(key(file))) return file;
    const LARGE = 2048, heic = /^image\/hei[cf]$/.test(file.type);
    if (!/^image\/(jpeg|png|webp|heic|heif)$/.test(file.type) || !window.createImageBitmap) return file;
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
  },
});
