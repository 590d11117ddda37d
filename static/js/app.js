// Small comforts that every page may use. Pages work without them.
(function () {
  "use strict";

  // Steppers: − and + beside a number. The buttons are hidden until this has run.
  function step(button) {
    const input = button.closest("[data-stepper]").querySelector("input");
    const by = Number(button.dataset.step);
    const low = Number(input.dataset.low || 0);
    const high = input.dataset.high ? Number(input.dataset.high) : Infinity;
    const now = Number(String(input.value).replace(",", ".")) || 0;
    const next = Math.min(high, Math.max(low, Math.round((now + by) * 1000) / 1000));
    input.value = String(next);
    input.dispatchEvent(new Event("input", { bubbles: true }));
    input.dispatchEvent(new Event("change", { bubbles: true }));
  }
  document.addEventListener("click", function (event) {
    const button = event.target.closest("[data-step]");
    if (button) step(button);
    const secret = event.target.closest("[data-show]");
    if (secret) reveal(secret, secret.getAttribute("aria-pressed") !== "true");
    const all = event.target.closest("[data-tick-all]");
    if (all) {
      const boxes = document.querySelectorAll(all.dataset.tickAll);
      const on = Array.from(boxes).some((box) => !box.checked);
      boxes.forEach((box) => { box.checked = on; });
    }
  });
  // The button beside a password shows what was typed, and hides it again; also before the form is sent, so that a
  // password manager sees a password field.
  function reveal(button, on) {
    document.getElementById(button.dataset.show).type = on ? "text" : "password";
    button.setAttribute("aria-pressed", String(on));
  }
  document.addEventListener("submit", (event) => event.target.querySelectorAll("[data-show]").forEach((button) => reveal(button, false)));
  function wake(root) {
    root.querySelectorAll("[data-step][hidden], [data-tick-all][hidden], [data-show][hidden]").forEach((button) => { button.hidden = false; });
  }
  document.addEventListener("DOMContentLoaded", () => wake(document));
  document.addEventListener("htmx:load", (event) => wake(event.target));

  // A box for picking: what is done last counts. Typing unticks what stands there until the shop has answered it; a tap on
  // one that was not offered for the typed words puts these away, and what is answered to them later.
  const picks = (text) => (text.form && /_text$/.test(text.name) ? [...text.form.querySelectorAll(`.picks [name="${text.name.slice(0, -5)}"]`)] : []);
  document.addEventListener("input", ({ target }) => {
    picks(target).forEach((one) => { one.checked = !target.value.trim() && !(target.dataset.answered ?? target.defaultValue) && one.defaultChecked; });
  });
  document.addEventListener("change", ({ target }) => {
    const typed = target.closest(".picks") && target.form.elements[target.name + "_text"];
    if (typed && typed.value !== (typed.dataset.answered ?? typed.defaultValue)) typed.value = "";
  });
  document.addEventListener("htmx:beforeRequest", (event) => {
    const text = event.target;
    if (!text.value && picks(text).some((one) => one.checked)) event.preventDefault();
  });
  document.addEventListener("htmx:beforeSwap", ({ detail }) => {
    const { elt, parameters } = detail.requestConfig;
    if (!/_text$/.test(elt.name)) return;
    if (elt.value === parameters[elt.name]) elt.dataset.answered = elt.value;
    else detail.shouldSwap = false;
  });

  // A form is sent once, however often a cold finger taps.
  document.addEventListener("submit", function (event) {
    const form = event.target;
    if (form.method !== "post" || form.hasAttribute("hx-post")) return;
    if (form.dataset.sent) { event.preventDefault(); return; }
    form.dataset.sent = "1";
  });
  window.addEventListener("pageshow", () => document.querySelectorAll("form[data-sent]").forEach((form) => { delete form.dataset.sent; }));

  // A part of the page that could not be fetched: say so, keep what is there.
  function trouble(text) {
    const place = document.getElementById("trouble");
    if (!place) return;
    place.querySelector("p").textContent = text;
    place.hidden = !text;
  }
  // A form that is kept on the phone does without the suggestions to what is typed in it.
  document.addEventListener("htmx:sendError", (event) => event.target.closest("[data-outbox]") || trouble("No connection to the shop. What you typed is still here; try again when there is signal."));
  document.addEventListener("htmx:responseError", () => trouble("The shop could not answer that. What you typed is still here; try again, or reload the page."));
  document.addEventListener("htmx:afterOnLoad", () => trouble(""));
})();
