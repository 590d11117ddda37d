// The button beside a password shows what was typed, and hides it again; also before the form is sent, so that a
// password manager sees a password field.
(function () {
  "use strict";
  const buttons = document.querySelectorAll("[data-show]");
  function show(button, on) {
    const input = document.getElementById(button.dataset.show);
    input.type = on ? "text" : "password";
    button.setAttribute("aria-pressed", String(on));
  }
  buttons.forEach(function (button) {
    button.hidden = false;
    button.addEventListener("click", () => show(button, button.getAttribute("aria-pressed") !== "true"));
    button.form.addEventListener("submit", () => show(button, false));
  });
})();
