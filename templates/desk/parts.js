"use strict";
// Parts of a page that are renewed ([data-live] says from where): what is the same stays the very element, so that
// nothing is taken from under the hand: no field that is being typed in, no half of a date, no list that is unfolded.
const parts = (() => {
  const FIELDS = "input[id]:not([type=hidden]), textarea[id], select[id]";
  const FOCUS = "a, button, input, textarea, select, summary, [tabindex]";
  const defaultOf = (one) => (one.options ? ([...one.options].find((o) => o.defaultSelected) ?? one.options[0])?.value : one.defaultValue);
  const nameOf = (one) => one.id || one.getAttribute("href") || one.closest("[id]")?.id + one.tagName + one.textContent; // a button may say what its summary says

  // ---- One tree made like another

  const TOLD = ".form-said:not([hidden])"; // what was refused is told until it is sent again
  const NAMED = "[id], [href]";

  /** What an element is known by: its kind, and its own name or the first in it, if there is one. */
  function sign(one) {
    const named = one.nodeType !== 1 || one.matches(NAMED) ? one : one.querySelector(NAMED);
    return [one.nodeName, named?.id || named?.getAttribute?.("href") || ""].join(" ");
  }

  /** Find the child to go on with that a new one continues; none where one must be passed over that comes later. */
  function match(from, wanted, coming) {
    for (let one = from; one; one = one.nextSibling) {
      const found = sign(one);
      if (found === wanted) return one;
      if (coming.has(found)) return null;
    }
    return null;
  }

  function likeChildren(old, made) {
    let at = old.firstChild;
    const next = [...made.childNodes], signs = next.map(sign);
    const coming = new Set(signs.filter((one) => !one.endsWith(" ")));
    next.forEach((one, number) => {
      coming.delete(signs[number]);
      const found = match(at, signs[number], coming);
      if (!found) return old.insertBefore(one, at);
      while (at !== found) at = gone(at);
      like(found, one);
      at = found.nextSibling;
    });
    while (at) at = gone(at);
  }

  function gone(one) {
    const next = one.nextSibling;
    if (!one.matches?.(TOLD) && ![...stay].some((form) => one.contains(form))) one.remove();
    return next;
  }

  /** Make an element like another. What is unfolded stays so; a field has the new value unless something else was typed. */
  function like(old, made) {
    if (stay.has(old) || old.matches?.(TOLD)) return;
    if (old.nodeType !== 1) {
      if (old.data !== made.data) old.data = made.data;
      return;
    }
    const field = old.matches(FIELDS), [value, was] = field ? [old.value, defaultOf(old)] : [];
    for (const { name } of [...old.attributes]) if (!made.hasAttribute(name) && name !== "open") old.removeAttribute(name);
    for (const { name, value: text } of made.attributes) if (name !== "open" && old.getAttribute(name) !== text) old.setAttribute(name, text);
    likeChildren(old, made);
    if (!field) return;
    const now = value === was ? defaultOf(old) : value;
    if (old.value !== now) old.value = now;
  }

  // ---- What is typed at a place at which something else stands by now

  let stay = new Set();

  const typed = (one) => one.value !== defaultOf(one);

  /** What a field belongs to: what stands at the head of its page, and at that of its entry. */
  const placeOf = (field, part) => [part.querySelector("h1"), field.closest("li")?.querySelector(".entry-title")].map((one) => one?.textContent).join(" / ");

  /** Whether a field stands in a part as it is now as it stood when something was typed in it. */
  function asBefore(field, part, made, was = defaultOf(field)) {
    const now = made.querySelector(`[id="${CSS.escape(field.id)}"]`);
    return Boolean(now) && defaultOf(now) === was && placeOf(now, made) === placeOf(field, part);
  }

  /** The forms that stay as they are, with what the file was when it was typed: that is told of once it is sent. */
  function apart(part, made) {
    const fields = [...part.querySelectorAll("form[data-field] [name=value]")];
    const stays = (one) => one.form.querySelector(".theirs") || (typed(one) && !asBefore(one, part, made));
    return new Set(fields.filter(stays).map((one) => one.form));
  }

  // ---- Renewing

  /** Note what is typed and focused in a part; gives what puts it back where its element was not kept. */
  function hold(part) {
    const texts = new Map([...part.querySelectorAll(FIELDS)].filter(typed).map((one) => [one.id, one.value]));
    const active = part.contains(document.activeElement) ? document.activeElement : null;
    const [focused, from, to] = active ? [nameOf(active), active.selectionStart, active.selectionEnd] : [];
    return () => {
      for (const one of part.querySelectorAll(FIELDS)) if (texts.has(one.id) && one.value !== texts.get(one.id)) one.value = texts.get(one.id);
      if (!active || document.activeElement === active) return;
      const again = [...part.querySelectorAll(FOCUS)].find((one) => nameOf(one) === focused);
      for (let around = again?.closest("details:not([open])"); around; around = around.parentElement.closest("details:not([open])")) around.open = true;
      again?.focus({ preventScroll: true });
      if (Number.isInteger(from)) again?.setSelectionRange?.(from, to);
    };
  }

  const came = new Map(); // parts as they came from the desk: what is the same is not put there again
  document.querySelectorAll("[data-live]").forEach((one) => came.set(one, one.innerHTML));

  let calls = 0, written = 0;
  const answered = new Map(); // by part, the latest call that was answered: an earlier one knows less

  /** Give a part as the desk has it now; null where it has none. */
  async function now(part) {
    const answer = await fetch(part.dataset.live);
    const made = part.cloneNode(false);
    made.innerHTML = await answer.text();
    return answer.ok ? made : null;
  }

  /** Renew a part; asked again where this page changed something meanwhile, which the answer may not know of. */
  async function renew(part) {
    const call = (calls += 1), before = written;
    const made = await now(part).catch(() => null); // the desk does not answer: what is seen stays
    if (call < (answered.get(part) ?? 0)) return;
    if (written !== before) return renew(part);
    answered.set(part, call);
    if (!made || made.innerHTML === came.get(part)) return;
    const back = hold(part);
    stay = apart(part, made);
    came.set(part, stay.size ? "" : made.innerHTML);
    likeChildren(part, made);
    back();
  }

  // What is answered first changes what is asked further down.
  document.addEventListener("change", (event) => {
    const part = event.target.closest("[data-live]");
    if (!part || !event.target.name || event.target.name !== event.target.form?.dataset.asks) return;
    part.dataset.live = `${part.dataset.live.split("?")[0]}?${new URLSearchParams({ [event.target.name]: event.target.value })}`;
    renew(part);
  });

  return { renew, now, defaultOf, asBefore, wrote: () => (written += 1) };
})();
