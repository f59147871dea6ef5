"use strict";
// What every page of the desk does: send forms, show the document that is looked at and renew it in its place, and hear
// from the desk when the course was planned anew. It stands on parts.js.
const desk = (() => {
  const $ = (id) => document.getElementById(id);
  const narrow = matchMedia("(max-width: 62rem)");
  let saying = 0;
  const SAID = "desk.said", LOOKED = "desk.looked", PANE = "desk.pane";

  // ---- What is said, also by the page before this one

  function say(text, good = false) {
    $("said").textContent = text;
    $("said").hidden = !text;
    $("said").classList.toggle("is-good", good);
    clearTimeout(saying);
    if (good) saying = setTimeout(() => say(""), 10000); // it is good news, and may stand before something
  }

  function sayNext(text) {
    if (text) sessionStorage.setItem(SAID, text);
  }

  // ---- What is typed and not saved yet, kept in this browser by page and field, each with what stood there before

  const TYPED = "desk.typed.", DRAFT = "desk.draft."; // a draft is the text of a file: text.js keeps it
  const HERE = `${TYPED}${location.pathname}${location.search}`;
  const ASKED = "form[method=post]:not([data-field], #editor) :is(input:not([type=hidden], [type=file]), textarea, select)[id]";

  function kept(key = HERE) {
    try {
      return JSON.parse(localStorage.getItem(key)) ?? {};
    } catch {
      return {};
    }
  }

  function keep({ id }, text, was) {
    const all = { ...kept(), [id]: { text, was } };
    if (text === null) delete all[id];
    try {
      if (Object.keys(all).length) localStorage.setItem(HERE, JSON.stringify(all));
      else localStorage.removeItem(HERE);
    } catch {
      // this browser keeps nothing: what is typed stays in the page
    }
  }

  document.addEventListener("input", ({ target }) => target.matches(ASKED) && keep(target, typed(target) ? target.value : null));
  const typed = (field) => field.value !== parts.defaultOf(field);

  /** Put back into its form what was typed there and never sent. */
  function bringBack(field, text) {
    if (!typed(field)) field.value = text;
    if (!typed(field)) return keep(field, null); // it stands there by now
    unfold(field);
    if (field.options) field.dispatchEvent(new Event("change", { bubbles: true }));
  }

  /** Tell what was typed and not saved: in a form of this page, to which it is put back, or on another page. */
  function tellTyped() {
    document.querySelectorAll("main > .typed-before").forEach((one) => one.remove());
    const here = Object.entries(kept()), fields = here.filter(([id]) => $(id)?.matches(ASKED)).map(([id, one]) => [$(id), one]);
    fields.forEach(([field, one]) => bringBack(field, one.text));
    const back = fields.filter(([field]) => typed(field));
    if (back.length) told("What you typed here and did not send is back in its place.", "", () => back.forEach(([field]) => keep(field, null)));
    for (const key of Object.keys(localStorage).filter((one) => one.startsWith(TYPED) || one.startsWith(DRAFT)).sort()) {
      const draft = key.startsWith(DRAFT), name = key.slice(DRAFT.length);
      const address = draft ? `/file/${name.split("/").map(encodeURIComponent).join("/")}` : key.slice(TYPED.length);
      if (draft && location.pathname === address) continue; // it is back there
      const away = draft ? [name] : (key === HERE ? here.filter(([id]) => !$(id)) : Object.entries(kept(key))).map(([, one]) => one.text);
      if (away.length) told(`Typed and not saved: “${away.join("”, “")}”.`, key === HERE ? "" : address, () => localStorage.removeItem(key));
    }
  }

  function told(words, address, drop) {
    const line = document.createElement("p"), go = document.createElement("a"), button = document.createElement("button");
    line.className = "form-said typed-before";
    [go.href, go.textContent] = [address, "Go there"];
    [button.type, button.textContent] = ["button", "Drop it"];
    button.addEventListener("click", () => (drop(), location.reload()));
    line.append(words, " ", ...(address ? [go, " "] : []), button);
    $("main").prepend(line);
  }

  // ---- Sending

  /** Send a form's values; gives the status and what the desk answered. A desk that does not answer has status 0. */
  async function send(address, body) {
    try {
      const answer = await fetch(address, { method: "POST", body, headers: { accept: "application/json" } });
      const text = await answer.text();
      parts.wrote();
      const undo = document.querySelector('form[action="/undo"] button');
      if (answer.ok && undo?.disabled) undo.disabled = false; // there is something to undo by now
      try {
        return { status: answer.status, ...JSON.parse(text) };
      } catch {
        return { status: answer.status, said: text };
      }
    } catch {
      return { status: 0, said: "The desk does not answer: is it still running in the terminal?" };
    }
  }

  /** The page of an address, which may name the whole of a file or leave that out. */
  function pageOf(address) {
    const one = new URL(address, location.href);
    return `${one.pathname} ${one.searchParams.get("path") ?? "[]"}`;
  }

  let last = Promise.resolve(), waiting = 0;
  const newer = new Map(); // the digest that a file had before a change of this page, and the one that it had then

  /** Send one after the other: each with the digest that its file has by what was sent before from this page. */
  function inTurn(work) {
    waiting += 1;
    last = last.then(work, work);
    const done = () => (waiting -= 1);
    last.then(done, done);
    return last;
  }

  // A page is left once all that was typed there is sent: a browser gives up what a page that it leaves still waits for.
  addEventListener("click", (event) => {
    const link = event.target.closest?.("a[href]");
    if (link && !link.target) show("main"); // what is chosen is seen, whatever document stood before it
    if (!link || link.target || !waiting || event.defaultPrevented || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    const go = () => (waiting ? last.then(go, go) : location.assign(link.href));
    go();
  });

  const state = (values, digest) => `${values.get("file")} ${digest}`;

  function withNewest(values) {
    while (newer.has(state(values, values.get("digest")))) values.set("digest", newer.get(state(values, values.get("digest"))));
    return values;
  }

  function changed(values, answer) {
    if (answer.digest === undefined || answer.digest === values.get("digest")) return;
    newer.delete(state(values, answer.digest)); // it is the newest, also where it was there before
    newer.set(state(values, values.get("digest")), answer.digest);
  }

  async function submit(form, part, body) {
    if (body instanceof URLSearchParams) withNewest(body);
    const pressed = [...form.querySelectorAll("button")].filter((one) => !one.disabled);
    pressed.forEach((one) => (one.disabled = true));
    form.querySelectorAll(".form-said").forEach((one) => (one.hidden = true));
    form.querySelectorAll("[aria-invalid]").forEach((one) => one.removeAttribute("aria-invalid"));
    const answer = await send(form.action, body);
    pressed.forEach((one) => (one.disabled = false));
    if (answer.status === 200) {
      if (body instanceof URLSearchParams) changed(body, answer);
      [...form.elements].filter((one) => one.id).forEach((one) => keep(one, null));
      const stays = !answer.to || pageOf(answer.to) === pageOf(location.href);
      if (stays && part && !form.dataset.asks) { // once a course is begun there are documents too
        if (answer.to) history.replaceState(null, "", answer.to);
        form.reset(); // what was sent is not typing that must be kept
        if (body.get("kind") === "move") takeAlong(form.closest("li"), answer.to);
        await parts.renew(part);
        if (answer.said) say(answer.said, true);
        return goToField();
      }
      sayNext(answer.said);
      if (form.dataset.asks) scrollTo(0, 0);
      if (answer.to) location.assign(answer.to);
      if (stays) location.reload();
      return;
    }
    const field = answer.field ? $(answer.field) : null;
    refuse(field?.closest(".field") ?? form, answer.said);
    if (answer.status === 409) say(answer.said); // the page is renewed, and what stands at the form goes
    if (!field) return;
    field.setAttribute("aria-invalid", "true");
    field.focus();
  }

  /** Let an entry that is moved be unfolded or folded as it was. */
  function takeAlong(entry, to) {
    const [one, other] = [entry, $(decodeURIComponent(to.split("#")[1] ?? ""))].map((at) => at?.querySelector("details.inside"));
    if (one && other) [one.open, other.open] = [other.open, one.open];
  }

  /** Say what is refused where it was asked for, not at the top of a page that is scrolled. */
  function refuse(where, said) {
    const place = where.querySelector(".form-said") ?? where.appendChild(document.createElement("p"));
    place.className = "form-said";
    place.setAttribute("role", "alert");
    place.textContent = said;
    place.hidden = false;
  }

  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (form.method !== "post" || form.dataset.field !== undefined || form.id === "editor") return;
    event.preventDefault();
    const values = new FormData(form, event.submitter);
    const part = form.closest("[data-live]"); // it may be renewed before its turn, and the form be gone
    inTurn(() => submit(form, part, form.dataset.upload === undefined ? new URLSearchParams(values) : values.get("zip")));
  });

  // ---- The document beside the course

  const frames = $("frames");
  const path = (file) => `/paper/${file.split("/").pop()}`;
  let frame = null, tag = "", asked = "", looks = 0;

  function looked() {
    try {
      return frame.contentWindow.location.pathname + frame.contentWindow.location.hash;
    } catch {
      return frame.dataset.path;
    }
  }

  function place(where) {
    try {
      return [where.contentWindow.scrollX, where.contentWindow.scrollY];
    } catch {
      return [0, 0];
    }
  }

  function note(address) {
    const file = decodeURIComponent(address.split("#")[0].split("/").pop());
    if ([...$("which").options].some((one) => one.value === file)) $("which").value = file;
    $("alone").href = address;
    sessionStorage.setItem(LOOKED, address);
  }

  /** Load an address behind the frame that is seen, and show it in the same place once it is there. */
  function load(address, stay) {
    const next = document.createElement("iframe");
    next.title = "Document";
    next.className = "coming";
    next.dataset.path = address;
    const before = frame;
    next.addEventListener("load", () => {
      if (next.classList.contains("coming")) {
        if (stay && before) {
          const [x, y] = place(before);
          next.contentWindow.scrollTo({ left: x, top: y, behavior: "instant" });
        }
        while (next.previousElementSibling) next.previousElementSibling.remove(); // not what was asked for since
        next.classList.remove("coming");
        frame = next;
        frames.dataset.number = document.body.dataset.number;
      }
      note(looked());
    });
    next.src = address;
    frames.append(next);
  }

  const hidden = () => narrow.matches && !document.body.classList.contains("shows-paper");

  /** Renew the document where what is seen is not of the newest plan and differs from it. */
  async function renew() {
    const newest = document.body.dataset.number;
    if (!frames || hidden() || [frames.dataset.number, asked].includes(newest)) return;
    asked = newest;
    const before = looks, coming = frames.querySelector(".coming:last-child"); // what was chosen last and is not there yet
    const address = coming ? coming.dataset.path : frame ? looked() : sessionStorage.getItem(LOOKED) || path($("which").value);
    try {
      const answer = await fetch(address, { method: "HEAD" });
      const now = answer.headers.get("etag");
      if (looks !== before) return; // another document was chosen meanwhile
      if (!answer.ok && !frame) return load(path($("which").options[0].value), false);
      if (frame && !coming && now === tag) frames.dataset.number = newest;
      else load(address, !coming);
      tag = now;
    } catch {
      asked = ""; // the desk does not answer; what is seen stays
    }
  }

  function look(address) {
    show("paper");
    looks += 1;
    tag = "";
    load(address, false);
  }

  document.addEventListener("click", (event) => {
    const link = event.target.closest?.('a[target="paper"]');
    if (!link || !frames || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    look(link.getAttribute("href"));
  });
  $("which")?.addEventListener("change", () => look(path($("which").value)));

  // ---- One pane at a time where there is no room for two

  function show(pane) {
    document.body.classList.toggle("shows-paper", pane === "paper");
    for (const one of document.querySelectorAll("[data-pane]")) one.setAttribute("aria-pressed", String(one.dataset.pane === pane));
    sessionStorage.setItem(PANE, pane);
  }

  for (const one of document.querySelectorAll("[data-pane]")) {
    one.addEventListener("click", () => {
      show(one.dataset.pane);
      if (!one.checkVisibility()) document.querySelector('[data-pane][aria-pressed="false"]').focus();
      renew();
    });
  }
  narrow.addEventListener("change", renew);

  // ---- Hearing from the desk

  function listen() {
    let heard = null, silent = false;

    function hear() {
      heard = new EventSource("/events");
      heard.addEventListener("open", () => {
        if (silent) document.dispatchEvent(new CustomEvent("answers"));
        silent = false;
      });
      heard.addEventListener("message", (event) => {
        const now = JSON.parse(event.data);
        $("state").textContent = now.state;
        $("state").classList.toggle("is-wrong", now.wrong);
        document.querySelector(".course bdi").textContent = now.title;
        for (const way of ["undo", "redo"]) {
          const button = document.querySelector(`form[action="/${way}"] button`);
          [button.disabled, button.title, button.querySelector(".unseen").textContent] = [!now[way], now[way], ` ${now[way]}`];
        }
        const newer = document.body.dataset.number !== String(now.number);
        document.body.dataset.number = now.number;
        renew();
        if (newer || now.whole) document.querySelectorAll("[data-live]").forEach((one) => parts.renew(one));
        document.dispatchEvent(new CustomEvent("planned", { detail: now }));
      });
      heard.addEventListener("error", () => {
        silent = true;
        $("state").textContent = "The desk does not answer";
        $("state").classList.add("is-wrong");
      });
    }

    // A browser keeps six lines open to one place: pages that nobody sees must not take them all.
    function turn() {
      if (!document.hidden) return heard ?? hear();
      heard?.close();
      heard = null;
    }

    document.addEventListener("visibilitychange", turn);
    turn();
  }

  function unfold(one) {
    for (let around = one.parentElement; around; around = around.parentElement) if (around.tagName === "DETAILS") around.open = true;
  }

  /** Go to the field that an address names, unfolding what it lies in. */
  function goToField() {
    const name = decodeURIComponent(location.hash.slice(1));
    // A field is named after its place as an entry is, with another beginning.
    const one = document.getElementById(name.replace(/^at\./, "in.")) ?? document.getElementById(name);
    if (!one) return;
    unfold(one);
    const takes = one.matches("input, textarea, select, [tabindex]"); // else it is a list, of which one was removed
    (takes ? one : one.querySelector("a, summary")).focus({ preventScroll: true });
    one.scrollIntoView({ block: "center" });
  }

  tellTyped();
  addEventListener("pageshow", ({ persisted }) => persisted && tellTyped());
  goToField();
  addEventListener("hashchange", goToField);
  const before = sessionStorage.getItem(SAID);
  sessionStorage.removeItem(SAID);
  if (before) say(before, true);
  show(sessionStorage.getItem(PANE) === "paper" ? "paper" : "main");
  document.querySelectorAll("[data-now]").forEach((one) => parts.renew(one));
  listen();
  return { say, sayNext, kept, keep, send, inTurn, withNewest, changed };
})();
