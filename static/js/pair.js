// A phone that was sent here by a scanned code has the code behind the # of the address: put it into the form, so
// that one button is left. Without a code, or without this script, it is typed.
(function () {
  "use strict";
  const form = document.querySelector("[data-pair]");
  const code = decodeURIComponent(location.hash.slice(1));
  if (!code || form.querySelector(".error")) return;
  form.elements.code.value = code;
  form.querySelector("[data-typed]").hidden = true;
  form.querySelector("[data-scanned]").hidden = false;
})();
