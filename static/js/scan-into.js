// A label scanned for a field of a form: its code is typed into the field, which then offers what it stands for.
(function () {
  "use strict";
  const box = document.querySelector("[data-scan-into]");
  if (!box) return;
  const field = box.closest("form").elements[box.dataset.scanInto + "_text"];
  box.hidden = false;
  box.addEventListener("toggle", () => { // opened by hand: no second press to wake the camera
    const start = box.querySelector("[data-start]");
    if (box.open && !start.hidden) start.click();
  });
  box.addEventListener("gusset:read", (event) => {
    event.preventDefault();
    field.value = event.detail;
    field.dispatchEvent(new Event("input", { bubbles: true }));
    setTimeout(() => { // one is enough: the camera is let go of
      box.querySelector("[data-stop]").click();
      box.open = false;
      field.scrollIntoView({ block: "center" });
    });
  });
})();
