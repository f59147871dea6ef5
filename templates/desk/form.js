"use strict";
// A form of the desk: a field is saved when it was changed. What is typed is kept in this browser until the desk has it,
// so that a page that is closed, or a desk that does not answer, loses nothing.
(() => {
  document.documentElement.classList.add("has-script");
  const KEY = `desk.typed.${location.pathname}${location.search}`;
  const FIELDS = "form[data-field] [name=value]";

  // ---- What is typed and not saved yet, by the fields' ids

  function kept() {
    try {
      return JSON.parse(localStorage.getItem(KEY)) ?? {};
    } catch {
      return {};
    }
  }

  function keep(id, text) {
    const all = { ...kept(), [id]: text };
    if (text === null) delete all[id];
    try {
      if (Object.keys(all).length) localStorage.setItem(KEY, JSON.stringify(all));
      else localStorage.removeItem(KEY);
    } catch {
      // this browser keeps nothing: what is typed stays in the page
    }
  }

  // ---- Saving, one after the other: each carries the digest that the one before gave

  async function save(id, text) {
    const field = document.getElementById(id); // the page may have been renewed since
    if (!field) return;
    const form = field.form;
    const said = form.querySelector("[role=status]") ?? form.appendChild(document.createElement("p"));
    said.setAttribute("role", "status");
    said.className = "help";
    said.textContent = "Saving";
    const values = desk.withNewest(new URLSearchParams(new FormData(form)));
    values.set("value", text);
    const answer = await desk.send(form.action, values);
    if (answer.status === 200) {
      desk.changed(values, answer);
      if (kept()[field.id] === text) keep(field.id, null);
      const now = document.getElementById(id);
      if (now?.options) [...now.options].forEach((one) => (one.defaultSelected = one.value === text));
      else if (now) now.defaultValue = text; // it is as the desk has it: the page may be renewed
      said.textContent = "Saved";
    } else {
      said.textContent = answer.status ? answer.said : "Not saved: the desk does not answer. It is sent when it does.";
    }
  }

  const then = ({ id, value }) => desk.inTurn(() => save(id, value));

  /** Put back what was typed here and never reached the desk, and send it. */
  function bringBack() {
    for (const [id, text] of Object.entries(kept())) {
      const field = document.getElementById(id);
      if (!field?.matches(FIELDS)) continue;
      if (field === document.activeElement && field.value !== field.defaultValue) continue; // it is being typed
      if (field.value === text && field.defaultValue === text) {
        keep(id, null);
        continue;
      }
      field.value = text;
      then(field);
    }
  }

  document.addEventListener("input", (event) => event.target.matches(FIELDS) && keep(event.target.id, event.target.value));
  for (const name of ["change", "submit"]) {
    document.addEventListener(name, (event) => {
      const form = event.target.closest("form[data-field]");
      if (!form) return;
      event.preventDefault();
      then(form.querySelector("[name=value]"));
    });
  }
  document.addEventListener("answers", bringBack);
  bringBack();
})();
