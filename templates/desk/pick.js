"use strict";
// What a field may be is put into it by a button; a number that a text can name, where the text is being typed.
(() => {
  const names = (field) => field.value.split(",").map((one) => one.trim()).filter(Boolean);
  let typed = null; // the text that was typed in last

  document.addEventListener("focusin", (event) => {
    if (event.target.matches("textarea")) typed = event.target;
  });

  document.addEventListener("click", (event) => {
    const pick = event.target.closest("[data-pick]");
    const fact = event.target.closest("[data-fact]");
    if (pick) choose(pick, document.getElementById(pick.dataset.pick));
    if (fact && typed?.isConnected) {
      typed.setRangeText(fact.textContent, typed.selectionStart, typed.selectionEnd, "end");
      typed.focus();
      typed.dispatchEvent(new Event("input", { bubbles: true }));
    }
  });

  function choose(pick, field) {
    const one = pick.textContent, held = names(field);
    const now = held.includes(one) ? held.filter((other) => other !== one) : [...held, one];
    field.value = now.join(", ");
    for (const kind of ["input", "change"]) field.dispatchEvent(new Event(kind, { bubbles: true }));
    for (const other of document.querySelectorAll("[data-pick]"))
      if (other.dataset.pick === field.id) other.setAttribute("aria-pressed", String(now.includes(other.textContent)));
  }
})();
