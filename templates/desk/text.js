"use strict";
// A file as text: what is typed is kept in this browser until the desk has it, and nothing is written over what another
// program wrote meanwhile.
(() => {
  const $ = (id) => document.getElementById(id);
  const form = $("editor"), text = $("text");
  const KEY = `desk.draft.${form.dataset.name}`;
  const AGAIN = 3000; // a desk that does not answer is asked again after so many milliseconds
  let digest = form.dataset.digest, saved = text.value, sending = false, more = false, again = 0, gone = false;

  const dirty = () => text.value !== saved;

  function say(words) {
    $("kept").textContent = words;
  }

  // ---- Typing that is not saved yet

  function keep(sent) {
    try {
      if (dirty()) localStorage.setItem(KEY, JSON.stringify({ digest, text: text.value, sent }));
      else localStorage.removeItem(KEY);
    } catch {
      say("Not saved, and this browser keeps nothing: save before you leave");
    }
  }

  function bringBack() {
    let draft = null;
    try {
      draft = JSON.parse(localStorage.getItem(KEY));
    } catch {
      return;
    }
    if (typeof draft?.text !== "string") return;
    if (draft.text === text.value) return localStorage.removeItem(KEY);
    text.value = draft.text;
    digest = draft.digest;
    $("draft").hidden = false;
    $("draft-said").textContent = "Typing that was not saved is back.";
    say("Not saved");
    if (draft.sent) save();
  }

  // ---- Saving

  async function save(over = digest) {
    if (sending) {
      more = true; // what was typed since is sent too
      return;
    }
    clearTimeout(again);
    [sending, more] = [true, false];
    const mine = text.value;
    keep(true);
    say("Saving");
    const answer = await desk.send(form.action, new URLSearchParams({ digest: over, text: mine }));
    sending = false;
    if (answer.status === 200) {
      [digest, saved, gone] = [answer.digest, mine, false];
      $("draft").hidden = $("apart").hidden = true;
      desk.say("");
      keep(false);
      if (more && dirty()) return save();
      return say(dirty() ? "Not saved" : "Saved");
    }
    if (answer.status === 409) return showApart(answer);
    say("Not saved");
    if (answer.status !== 0) {
      keep(false);
      return desk.say(answer.said);
    }
    desk.say("The desk does not answer. What you typed is kept in this browser and sent when it does.");
    again = setTimeout(save, AGAIN);
  }

  let theirs = null;

  /** The number of the first line, from 0, in which two texts differ. */
  function differAt(one, other) {
    const [lines, others] = [one.split("\n"), other.split("\n")];
    const found = lines.findIndex((line, number) => line !== others[number]);
    return found < 0 ? lines.length : found;
  }

  function showApart(answer) {
    theirs = answer;
    $("apart").hidden = false;
    const first = differAt(text.value, answer.text ?? "");
    $("apart-said").textContent = answer.text === null ? answer.said : `${answer.said} They differ from line ${first + 1} on.`;
    const gone = answer.text === null; // there is nothing to choose from: it is written anew, or stays away
    $("there").hidden = gone;
    $("theirs").value = answer.text ?? "";
    $("take-theirs").textContent = gone ? "Leave it away" : "Go on with the one in the folder";
    $("keep-mine").textContent = gone ? "Write mine anew" : "Write mine over it";
    keep(false);
    say("Not saved");
    $("theirs").scrollTop = ($("theirs").scrollHeight / $("theirs").value.split("\n").length) * (first - 1);
    $("apart-head").focus();
  }

  $("keep-mine").addEventListener("click", () => save(theirs.digest));
  $("take-theirs").addEventListener("click", async () => {
    // Mine is kept among the older versions too: it is put there before it is let go.
    await desk.send("/keep", new URLSearchParams({ name: form.dataset.name, text: text.value }));
    localStorage.removeItem(KEY);
    if (theirs.digest) location.reload();
    else location.assign("/");
  });
  $("draft-drop").addEventListener("click", () => {
    localStorage.removeItem(KEY);
    location.reload();
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    save();
  });
  document.addEventListener("keydown", (event) => {
    if ((event.ctrlKey || event.metaKey) && event.key === "s") {
      event.preventDefault();
      save();
    }
  });

  // ---- Lines: their numbers, and the way to one

  function number() {
    const count = text.value.split("\n").length;
    const wrong = new Set([...document.querySelectorAll(".problems [data-line]")].map((one) => Number(one.dataset.line)));
    const lines = document.createDocumentFragment();
    for (let line = 1; line <= count; line += 1) {
      const name = document.createElement(wrong.has(line) ? "b" : "span");
      name.textContent = `${wrong.has(line) ? "! " : ""}${line}\n`;
      lines.append(name);
    }
    $("lines").replaceChildren(lines);
    text.rows = count + 1;
  }

  function goTo(line) {
    const lines = text.value.split("\n");
    const start = lines.slice(0, line - 1).reduce((sum, one) => sum + one.length + 1, 0);
    text.focus({ preventScroll: true });
    text.setSelectionRange(start, start + (lines[line - 1] ?? "").length);
    text.scrollLeft = 0;
    $("lines").children[line - 1]?.scrollIntoView({ block: "center" });
  }

  document.addEventListener("click", (event) => {
    const link = event.target.closest?.(".problems a[data-line]");
    if (!link || new URL(link.href).pathname !== new URL(form.action).pathname) return;
    event.preventDefault();
    goTo(Number(link.dataset.line) || 1);
  });
  text.addEventListener("input", () => {
    keep(false);
    say(dirty() ? "Not saved" : "As saved");
    number();
  });

  // ---- Another program wrote the file: shown at once unless something was typed here

  document.addEventListener("planned", async () => {
    if (sending) return;
    const before = digest;
    try {
      const answer = await fetch(`/part/text?file=${encodeURIComponent(form.dataset.name)}`);
      if (!answer.ok) return;
      const now = await answer.json();
      if (sending || digest !== before) return; // saved meanwhile: that answer is older
      const back = gone;
      gone = !now.digest;
      if (gone) return say("The file was deleted or renamed meanwhile; its text stays here, to be saved anew");
      if (now.digest === digest) return back && say(dirty() ? "Not saved" : "As saved");
      if (dirty()) return say("Not saved; the file was changed elsewhere meanwhile");
      const at = text.selectionStart;
      [digest, saved, text.value] = [now.digest, now.text, now.text];
      text.setSelectionRange(at, at);
      number();
      say("As saved elsewhere");
    } catch {
      // the desk does not answer
    }
  });
  new MutationObserver(number).observe(document.querySelector("[data-live]"), { childList: true });

  number();
  bringBack();
  number();
  if (Number(form.dataset.at)) goTo(Number(form.dataset.at));
})();
