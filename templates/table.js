"use strict";
// The take log on the table. The truth is in localStorage: every tap reads it, changes it and writes it back, so
// that a reload, a second window or a flat battery loses nothing. All text reaches the page as textContent.
(() => {
  const $ = (id) => document.getElementById(id);
  const plan = JSON.parse($("plan").textContent);
  const PREFIX = "lessonplan.table.";
  const NIGHT = 4 * 3600; // until four in the morning takes belong to the day before: 24:10:00
  const LONGEST = 12 * 3600; // the log takes no longer take, so an older start has no known end
  const PAUSE = 20 * 60; // a longer gap between two takes is a pause and no part of the shot
  const TWICE = 700; // two taps on Undo within so many milliseconds are meant as one
  const FRESH = 60; // a start may be taken back within so many seconds; later the take has to be removed

  // ---- Time: seconds on a day by the device's own clock, so that daylight saving cannot change what was logged.

  /** Now as local wall clock in milliseconds, counted as if it were UTC. */
  function wall() {
    const now = new Date();
    return now.getTime() - now.getMilliseconds() - now.getTimezoneOffset() * 60000;
  }

  const dayOf = (time) => new Date(time - NIGHT * 1000).toISOString().slice(0, 10);
  const today = () => dayOf(wall());
  const secondsOn = (day) => Math.round((wall() - Date.parse(day)) / 1000);
  const two = (number) => String(number).padStart(2, "0");

  function clock(seconds) {
    return [seconds / 3600, (seconds / 60) % 60, seconds % 60].map((part) => two(Math.floor(part))).join(":");
  }

  function length(seconds) {
    return `${Math.floor(seconds / 60)}:${two(Math.floor(seconds % 60))}`;
  }

  // ---- Store

  let device = null; // { id, count }: the count goes over all days, so that ids stay unique
  let state = { present: null, takes: [], undo: null };
  let lasting = true; // false: this browser keeps nothing, and the page's own memory is the truth

  function read(key) {
    try {
      return JSON.parse(localStorage.getItem(key));
    } catch (wrong) {
      if (!(wrong instanceof SyntaxError)) keepsNothing();
      return null;
    }
  }

  function write(key, value) {
    try {
      localStorage.setItem(key, JSON.stringify(value));
      lasting = true;
      $("warning").hidden = true;
    } catch {
      keepsNothing();
    }
  }

  function keepsNothing() {
    lasting = false;
    $("warning").hidden = false;
    say($("warning"), "This browser keeps nothing: takes are lost when the page closes. Save the take log often.");
  }

  const isLog = (value) => Boolean(value) && Array.isArray(value.takes);
  const logKey = () => `${PREFIX}log.${plan.day}.${device.id}.${plan.course}`;

  function openDevice() {
    device = read(`${PREFIX}device`);
    if (!device || typeof device.id !== "string" || !(device.count >= 0)) {
      const signs = "bcdfghjkmnpqrstvwxz23456789"; // no vowels: no words by chance; nothing that looks alike
      const random = [...crypto.getRandomValues(new Uint8Array(6))];
      device = { id: "table-" + random.map((one) => signs[one % signs.length]).join(""), count: 0 };
    }
    write(`${PREFIX}device`, device);
    putUnreadableAside();
  }

  /** What cannot be read is kept under another name before anything is written over it. */
  function putUnreadableAside() {
    let text = null;
    try {
      text = localStorage.getItem(logKey());
      if (text === null || isLog(JSON.parse(text))) return;
    } catch {
      if (text === null) return keepsNothing();
    }
    write(`${PREFIX}unreadable.${Date.now()}`, text);
  }

  function load() {
    const kept = lasting ? read(logKey()) : null;
    if (isLog(kept)) state = kept;
    const number = (take) => (take.id.startsWith(device.id + "-") ? Number(take.id.slice(device.id.length + 1)) : 0);
    const stored = lasting ? read(`${PREFIX}device`) : null;
    const counts = [device.count, stored && stored.id === device.id ? stored.count : 0, ...state.takes.map(number)];
    device.count = Math.max(...counts.filter(Number.isFinite));
  }

  /** Do what a tap asks for on the newest state, keep it, and show it. */
  function act(change) {
    load();
    change();
    write(logKey(), state);
    show();
  }

  // ---- Takes

  const present = () => plan.shots.find((shot) => shot.number === state.present) || plan.shots[0];
  const place = () => plan.shots.indexOf(present());
  const running = () => state.takes.find((take) => take.stop === null && !take.open && !take.removed);
  const takesOf = (number) => state.takes.filter((take) => take.shot === number);
  const named = (take) => `Take ${take.take} of ${take.shot}`;
  const inOrder = (takes) => [...takes].sort((a, b) => a.day.localeCompare(b.day) || a.start - b.start);
  let picked = null; // the id of an earlier take whose verdict or note is being changed

  /** The take that verdict and note belong to: the running one, the one picked, or the last of the present shot. */
  function current() {
    const here = takesOf(present().number).filter((take) => !take.removed);
    return running() || here.find((take) => take.id === picked) || here[here.length - 1] || null;
  }

  function tell(text) {
    say($("status"), text);
  }

  /** Change some values of a take so that just these can be undone, not what was written into it since. */
  function tap(label, take, after) {
    const before = Object.fromEntries(Object.keys(after).map((name) => [name, take[name]]));
    Object.assign(take, after);
    state.undo = { id: take.id, label, before, after, made: null, undone: false, at: 0 };
    tell(`${named(take)}: ${label.toLowerCase()}.`);
  }

  function start() {
    const going = running();
    if (going) return tell(`${named(going)} is running since ${clock(going.start)}; stop it first.`);
    const shot = present().number;
    const day = today();
    const take = Math.max(0, ...takesOf(shot).map((one) => one.take)) + 1;
    device.count += 1;
    write(`${PREFIX}device`, device);
    const made = { id: `${device.id}-${device.count}`, day, shot, take, start: secondsOn(day), stop: null };
    Object.assign(made, { open: false, verdict: "", slip: "", note: "", removed: false });
    state.takes.push(made);
    state.undo = { id: made.id, label: "Start", before: {}, after: {}, made, undone: false, at: 0 };
    picked = null;
    return tell(`${named(made)} started at ${clock(made.start)}.`);
  }

  function stop() {
    const take = running();
    if (!take) return tell("No take is running.");
    const end = secondsOn(take.day);
    if (end >= take.start && end - take.start <= LONGEST) return tap("Stop", take, { stop: end });
    return tap("Stop, end not known", take, { open: true });
  }

  function judge(verdict) {
    const take = current();
    if (!take) return tell("This shot has no take yet.");
    if (take === running()) return tell("Stop the take first.");
    if (take.verdict === verdict) return tell(`${named(take)} is “${verdict}”.`);
    return tap(verdict === "good" ? "Good" : "Again", take, { verdict });
  }

  function slip() {
    // On to the next shot, the slip was in the take before: so here the last take of all will do.
    const take = current() || inOrder(state.takes.filter((one) => !one.removed)).pop();
    if (!take) return tell("There is no take yet.");
    if (take.slip) return tell(`A slip is marked in ${named(take).toLowerCase()}.`);
    return tap("Slip of the tongue", take, { slip: "yes" });
  }

  /** Undo the last tap; once more puts it back. A take itself goes only while its start is fresh. */
  function undo() {
    const last = state.undo;
    if (!last || Date.now() - last.at < TWICE) return;
    const take = state.takes.find((one) => one.id === last.id);
    if (last.made && !last.undone) {
      if (!take || secondsOn(take.day) - take.start > FRESH) {
        tell("This take has run for over a minute: stop it, then remove it in the list.");
        return;
      }
      last.made = take;
      state.takes = state.takes.filter((one) => one !== take);
    } else if (last.made) {
      state.takes.push(last.made);
    } else if (take) {
      Object.assign(take, last.undone ? last.after : last.before);
    }
    last.undone = !last.undone;
    last.at = Date.now();
    tell(last.undone ? `Undone: ${last.label}.` : `Put back: ${last.label}.`);
  }

  /** A removed take stays in the log, as one that must not be used. */
  function remove(take) {
    const note = take.note ? `removed; ${take.note}` : "removed";
    const ended = take.stop === null ? { open: true } : {};
    tap("Removed", take, { removed: true, verdict: "again", note, ...ended });
    picked = null;
  }

  function go(index) {
    state.present = plan.shots[Math.min(Math.max(index, 0), plan.shots.length - 1)].number;
    picked = null;
  }

  // ---- Plan and real, in minutes

  /** How far the day is behind its plan (negative: ahead), or null while a day that is not the planned one is unbegun.

   On another day the plan is moved so that the first shot filmed begins as planned. A shot is late from its start;
   it gets later when it runs over. After a good take only the next shot can be late. */
  function late() {
    const day = today();
    const now = secondsOn(day) / 60;
    const known = (take) => take.day === day && plan.shots.some((shot) => shot.number === take.shot);
    const taken = inOrder(state.takes.filter(known));
    const planned = (take) => plan.shots.find((shot) => shot.number === take.shot);
    if (day !== plan.day && !taken.length) return null;
    const moved = day === plan.day ? 0 : taken[0].start / 60 - planned(taken[0]).start;
    const off = (shot, at) => {
      const time = at - moved;
      return time > shot.start ? time - shot.start : Math.min(0, time - shot.ready);
    };
    const mine = taken.filter((take) => take.shot === present().number);
    const goods = taken.filter((take) => take.verdict === "good" && take.stop !== null);
    if (mine.length && !mine.some((take) => goods.includes(take))) {
      return Math.max(off(present(), mine[0].start / 60), now - moved - present().end);
    }
    if (!mine.length) return off(present(), now);
    const last = goods[goods.length - 1];
    const following = plan.shots[plan.shots.indexOf(planned(last)) + 1];
    const done = last.stop / 60 - moved - planned(last).end;
    return following ? Math.max(done, now - moved - following.start) : done;
  }

  /** Real minutes of each shot filmed today: its takes and the gaps between takes that follow each other. */
  function real() {
    const day = today();
    const taken = inOrder(state.takes.filter((take) => take.day === day));
    const minutes = new Map();
    taken.forEach((take, index) => {
      const end = take === running() ? secondsOn(day) : (take.stop ?? take.start);
      const after = taken[index + 1];
      const gap = after && after.shot === take.shot ? after.start - end : 0;
      const spent = end - take.start + (gap > 0 && gap <= PAUSE ? gap : 0);
      minutes.set(take.shot, (minutes.get(take.shot) || 0) + spent / 60);
    });
    return minutes;
  }

  // ---- The log as a file (columns and rules: lessonplan/shoot/takelog.py)

  const oneLine = (text) => text.replace(/[\p{Z}\p{Cc}\p{Cs}]+/gu, " ").replace(/^ | $/g, "");

  function cell(value) {
    let text = oneLine(String(value));
    if (/^'?[=+\-@]|^''/.test(text)) text = "'" + text; // a spreadsheet must not take it for a formula
    return /[",]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
  }

  function csv(takes, name) {
    const row = (take) => {
      const said = oneLine(take.slip);
      const wrong = /^(no|-|0)$/i.test(said) ? `“${said}”` : said; // without quotes these mean that nothing was wrong
      const end = take.stop === null ? "" : clock(take.stop);
      const values = { ...take, device: name, start: clock(take.start), stop: end, slip: wrong };
      return plan.columns.map((column) => cell(values[column]));
    };
    return [plan.columns, ...inOrder(takes).map(row)].map((cells) => cells.join(",") + "\r\n").join("");
  }

  function download(takes, day, name) {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob(["\ufeff", csv(takes, name)], { type: "text/csv;charset=utf-8" }));
    link.download = `takes-${day}-${name}.csv`;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
    say($("log-status"), `Saving ${link.download} with ${takes.length} ${takes.length === 1 ? "take" : "takes"}.`);
  }

  async function copy() {
    $("csv").select();
    try {
      await navigator.clipboard.writeText($("csv").value);
      say($("log-status"), "Copied.");
    } catch {
      say($("log-status"), "The text is selected: copy it with the device’s own command.");
    }
  }

  /** Logs of other days and courses on this device, so that none is forgotten. */
  function others() {
    const found = [];
    try {
      for (const key of Object.keys(localStorage)) {
        const parts = key.startsWith(`${PREFIX}log.`) && key !== logKey() ? key.split(".") : [];
        const log = parts.length ? read(key) : null;
        if (isLog(log) && log.takes.length) found.push([parts[3], parts[4], parts.slice(5).join("."), log.takes]);
      }
    } catch {
      keepsNothing();
    }
    $("others").hidden = !found.length;
    $("other-logs").replaceChildren(
      ...found.map(([day, name, course, takes]) => {
        const save = button(`Save ${day}`, "other-" + day + course, () => download(takes, day, name));
        return make("li", "", save, ` ${course}, takes: ${takes.length}`);
      }),
    );
  }

  // ---- The page

  /** Set a text only where it differs: a screen reader reads out what changes. */
  function say(element, text) {
    if (element.textContent !== text) element.textContent = text;
  }

  function make(tag, kind, ...children) {
    const element = document.createElement(tag);
    if (kind) element.className = kind;
    element.append(...children);
    return element;
  }

  function button(text, key, press) {
    const element = make("button", "", text);
    element.type = "button";
    element.dataset.key = key;
    element.addEventListener("click", press);
    return element;
  }

  /** Dimmed, but it keeps the focus and says why when it is pressed. */
  function able(id, can) {
    $(id).setAttribute("aria-disabled", String(!can));
  }

  function inWords(take) {
    const end = take.stop === null ? (take.open ? "end not known" : "running") : length(take.stop - take.start);
    const slipped = take.slip && `slip of the tongue${take.slip === "yes" ? "" : `: ${take.slip}`}`;
    return [clock(take.start), end, take.verdict, slipped, take.note].filter(Boolean).join(" · ");
  }

  let asked = null; // the id of the take that is about to be removed

  function takeRow(take) {
    const row = make("li", take.removed ? "removed" : take === current() ? "current" : "");
    const pick = button(take.shot === present().number ? `Take ${take.take}` : named(take), `pick-${take.id}`, () => {
      picked = take.id;
      show();
    });
    pick.setAttribute("aria-pressed", String(take === current()));
    if (take.removed) return make("li", "removed", `Take ${take.take} · ${inWords(take)}`);
    row.append(pick, make("span", "", inWords(take)));
    if (take === running()) {
      const open = () => act(() => take.id === running()?.id && tap("End not known", running(), { open: true }));
      row.append(button("End not known", `open-${take.id}`, open));
    } else if (asked === take.id) {
      const yes = () => act(() => remove(state.takes.find((one) => one.id === take.id)));
      row.append(button("Yes, remove", `yes-${take.id}`, yes), button("Keep", `remove-${take.id}`, () => ask(null)));
    } else {
      row.append(button("Remove", `remove-${take.id}`, () => ask(take.id)));
    }
    return row;
  }

  function ask(id) {
    asked = id;
    show();
  }

  /** Show the takes anew; the focus goes back to the button that had it, or to the buttons that are always there. */
  function showTakes() {
    const held = $("takes").contains(document.activeElement) ? document.activeElement.dataset.key : null;
    const shown = state.takes.filter((take) => take.shot === present().number || take === running());
    $("takes").replaceChildren(...shown.map(takeRow));
    if (!held) return;
    const again = [...$("takes").querySelectorAll("button")].find((one) => one.dataset.key === held);
    (again || $("undo")).focus();
  }

  function showFields(take) {
    $("fields").hidden = !take;
    $("slip-field").hidden = !take?.slip;
    if (!take) return;
    const which = take.shot === present().number ? `take ${take.take}` : named(take).toLowerCase();
    say(document.querySelector("label[for=note]"), `Note on ${which}`);
    for (const [id, text] of [["note", take.note], ["slip-text", take.slip === "yes" ? "" : take.slip]]) {
      if ($(id).dataset.take !== take.id || $(id) !== document.activeElement) $(id).value = text;
      $(id).dataset.take = take.id; // what is typed goes to the take that the field was shown for
    }
  }

  function showNext() {
    const next = plan.shots[place() + 1];
    say($("next-before"), next && next.before.length ? `Then: ${next.before.join(", ")}` : "");
    say($("next"), next ? `Next, ${next.time}: ${next.number} ${next.title} (${next.view})` : "Next: wrap");
    able("back", place() > 0);
    able("on", Boolean(next));
  }

  function showButtons(take) {
    const going = Boolean(running());
    able("start", !going);
    able("stop", going);
    able("good", take && !going);
    able("again", take && !going);
    able("slip", state.takes.some((one) => !one.removed));
    $("good").setAttribute("aria-pressed", String(take?.verdict === "good"));
    $("again").setAttribute("aria-pressed", String(take?.verdict === "again"));
    $("slip").setAttribute("aria-pressed", String(Boolean(take?.slip)));
    const last = state.undo;
    able("undo", last);
    say($("undo"), last ? `${last.undone ? "Put back" : "Undo"} ${last.label.toLowerCase()}` : "Undo");
    document.body.classList.toggle("running", going);
  }

  function showList() {
    plan.shots.forEach((shot, index) => {
      const taken = takesOf(shot.number).filter((take) => !take.removed);
      const good = taken.some((take) => take.verdict === "good") ? "good" : "";
      const count = taken.length ? `${taken.length} ${taken.length === 1 ? "take" : "takes"}` : "";
      const line = $("all-shots").children[index].firstChild;
      say(line.lastChild, [shot.time, shot.view, count, good].filter(Boolean).join(" · "));
      line.classList.toggle("done", Boolean(good));
      line.toggleAttribute("aria-current", shot === present());
      if (shot === present()) line.setAttribute("aria-current", "step");
    });
  }

  function show() {
    document.querySelectorAll("article").forEach((one, index) => one.classList.toggle("present", index === place()));
    const take = current();
    showTakes();
    showFields(take);
    showNext();
    showButtons(take);
    showList();
    if ($("log").open) say($("csv"), csv(state.takes, device.id));
    tick();
  }

  /** What changes by itself every second. */
  function tick() {
    const take = current();
    say($("clock"), clock(secondsOn(new Date(wall()).toISOString().slice(0, 10))));
    const seconds = running() ? secondsOn(take.day) - take.start : 0;
    const nothing = "No take of this shot yet";
    say($("now"), running() ? `${named(take)} running ${length(seconds)}` : take ? named(take) : nothing);
    const behind = late();
    const minutes = behind === null ? 0 : Math.trunc(behind);
    const words = minutes > 0 ? `${minutes} min late` : minutes < 0 ? `${-minutes} min early` : "On time";
    say($("late"), behind === null ? "Not the planned day" : words);
    $("late").classList.toggle("is-late", minutes > 0);
    const spent = real();
    const filmed = plan.shots.filter((shot) => spent.has(shot.number));
    const sum = (values) => Math.round(values.reduce((total, value) => total + value, 0));
    const here = `This shot: ${sum([spent.get(present().number) || 0])} of ${present().end - present().start} min`;
    const real_ = sum(filmed.map((shot) => spent.get(shot.number)));
    say($("times"), `${here}. Shots so far: planned ${sum(filmed.map((shot) => shot.end - shot.start))}, real ${real_} min`);
  }
