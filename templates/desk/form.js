"use strict";
// A form of the desk: a field is saved when it was changed. What is typed is kept in this browser until the desk has it,
// so that a page that is closed, or a desk that does not answer, loses nothing.
(() => {
  document.documentElement.classList.add("has-script");
  const FIELDS = "form[data-field] [name=value]";

  // ---- Saving, one after the other: each carries the digest that the one before gave

  /** Say something below a field; gives where. */
  function tell(field, words, wrong = true) {
    const said = field.form.querySelector("[role=status]") ?? field.form.appendChild(document.createElement("div"));
    said.setAttribute("role", "status");
    said.className = wrong ? "form-said" : "help";
    said.textContent = words;
    return said;
  }

  async function save(id, text) {
    const field = document.getElementById(id); // the page may have been renewed since
    if (!field) return;
    tell(field, "Saving", false);
    const values = desk.withNewest(new URLSearchParams(new FormData(field.form)));
    values.set("value", text);
    const answer = await desk.send(field.form.action, values);
    const now = document.getElementById(id);
    if (answer.status === 409 && now) return meanwhile(now, text);
    if (answer.status === 200) {
      desk.changed(values, answer);
      if (desk.kept()[id]?.text === text) desk.keep({ id }, null);
      if (now?.options) [...now.options].forEach((one) => (one.defaultSelected = one.value === text));
      else if (now) now.defaultValue = text; // it is as the desk has it: the page may be renewed
      tell(now ?? field, "Saved", false);
    } else {
      tell(now ?? field, answer.status ? answer.said : "Not saved: the desk does not answer. It is sent when it does.");
    }
  }

  const then = ({ id, value }) => desk.inTurn(() => save(id, value));

  // ---- The file was changed meanwhile: at another place, or here

  async function meanwhile(field, text, was = parts.defaultOf(field)) {
    const part = field.closest("[data-live]");
    const made = await parts.now(part).catch(() => null);
    const there = made?.querySelector(`[id="${CSS.escape(field.id)}"]`);
    if (!there) return tell(field, "Not saved: this place is not in the course any more. What you typed stays here until you leave the page.");
    const digest = there.form.elements.namedItem("digest").value;
    const over = () => {
      field.form.elements.namedItem("digest").value = digest;
      return save(field.id, field.value);
    };
    if (parts.asBefore(field, part, made, was)) return over(); // what was changed is something else
    const theirs = parts.defaultOf(there);
    if (theirs === text) return take(field, part);
    const told = tell(field, "Not saved: something else stands here by now. It is:");
    const shown = document.createElement("pre");
    shown.className = "theirs";
    shown.textContent = theirs || "(nothing)";
    const choices = document.createElement("p");
    choices.className = "rowed";
    for (const [words, act] of [["Take what stands there", () => take(field, part)], ["Write mine over it", () => (field.focus(), over())]]) {
      const button = document.createElement("button");
      [button.type, button.textContent] = ["button", words];
      button.addEventListener("click", () => desk.inTurn(act));
      choices.append(button);
    }
    told.append(shown, choices);
  }

  /** Take what the file has in the place of what was typed. */
  async function take(field, part) {
    desk.keep(field, null);
    tell(field, "", false);
    if (field.options) field.value = parts.defaultOf(field);
    else field.value = field.defaultValue;
    await parts.renew(part);
    document.getElementById(field.id)?.focus();
  }

  /** Put back what was typed here and never reached the desk, and send it: unless something else stands there now. */
  function bringBack() {
    for (const [id, { text, was }] of Object.entries(desk.kept())) {
      const field = document.getElementById(id);
      if (!field?.matches(FIELDS)) continue;
      if (field === document.activeElement && field.value !== parts.defaultOf(field)) continue; // it is being typed
      if (parts.defaultOf(field) === text) {
        desk.keep(field, null);
        continue;
      }
      field.value = text;
      if (parts.defaultOf(field) === was) then(field);
      else meanwhile(field, text, was);
    }
  }

  document.addEventListener("input", ({ target }) => target.matches(FIELDS) && desk.keep(target, target.value, desk.kept()[target.id]?.was ?? parts.defaultOf(target)));
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
