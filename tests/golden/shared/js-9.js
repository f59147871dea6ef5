"use strict";
// The takes of a shoot day without their page. The truth is in localStorage: every tap reads it, changes it and writes
// it back, so that a reload, a second window or a flat battery loses nothing.
//
// plan: the data of the page; keeps(yes): tells whether this browser keeps anything; tell(text): what a tap did.
const takeLog = (plan, keeps, tell) => {
  const PREFIX = "lessonplan.table.";
  const NIGHT = 4 * 3600; // until four in the morning takes belong to the day before: 24:10:00
  const LONGEST = 12 * 3600; // the log accepts no longer take, so an older start has no known end
  const PAUSE = 20 * 60; // a longer gap between two takes is a pause and no part of the shot
  const TWICE = 700; // two taps on Undo within so many milliseconds are meant as one
  const FRESH = 60; // a start may be taken back within so many seconds; later the take has to be removed

  // ---- Time: seconds on a day by the device's own clock, so that daylight saving cannot change what was logged

  /** Now as local wall clock in milliseconds, counted as if it were UTC. */
  function wall() {
    const now = new Date();
    return now.getTime() - now.getMilliseconds() - now.getTimezoneOffset() * 60000;
  }

  const today = () => new Date(wall() - NIGHT * 1000).toISOString().slice(0, 10);
  const secondsOn = (day) => Math.round((wall() - Date.parse(day)) / 1000);
  const clock = (seconds) =>
    [seconds / 3600, (seconds / 60) % 60, seconds % 60].map((part) => String(Math.floor(part)).padStart(2, "0")).join(":");

  // ---- Store

  const NOWHERE = { camera: plan.cameras[0] ?? "", card: "", clip: "", ahead: null };
  let filming = NOWHERE; // what the next take is filmed with; ahead: the camera's clock before this one's, in seconds
  let device = null; // { id, count }: the count goes over all days, so that ids stay unique
  let state = { present: null, takes: [], undo: null };
  let lasting = true; // false: this browser keeps nothing, and the page's own memory is the truth

  const isLog = (value) => Boolean(value) && Array.isArray(value.takes);
  const logKey = () => `${PREFIX}log.${plan.day}.${device.id}.${plan.course}`;

  function keep(yes) {
    lasting = yes;
    keeps(yes);
  }

  function read(key) {
    try {
      return JSON.parse(localStorage.getItem(key));
    } catch (wrong) {
      if (!(wrong instanceof SyntaxError)) keep(false);
      return null;
    }
  }

  function write(key, value) {
    try {
      localStorage.setItem(key, JSON.stringify(value));
      keep(true);
    } catch {
      keep(false);
    }
  }

  function openDevice() {
    device = read(`${PREFIX}device`);
    if (!device || typeof device.id !== "string" || !(device.count >= 0)) {
      const signs = "bcdfghjkmnpqrstvwxz23456789"; // no vowels: no words by chance; nothing that looks alike
      const random = [...crypto.getRandomValues(new Uint8Array(6))];
      device = { id: "table-" + random.map((one) => signs[one % signs.length]).join(""), count: 0 };
    }
    write(`${PREFIX}device`, device);
  }

  /** What cannot be read is kept under another name before anything is written over it. */
  function putUnreadableAside() {
    let text = null;
    try {
      text = localStorage.getItem(logKey());
      if (text === null || isLog(JSON.parse(text))) return;
    } catch {
      if (text === null) return;
    }
    write(`${PREFIX}unreadable.${Date.now()}`, text);
  }

  /** Read the newest state, and count on from the highest number that this device ever gave. */
  function load() {
    const stored = lasting ? read(`${PREFIX}device`) : null;
    // Windows that were opened at once have a name each: one without takes goes by the name that is kept.
    if (typeof stored?.id === "string" && !state.takes.length) device = { ...device, id: stored.id };
    const log = lasting ? read(logKey()) : null;
    if (isLog(log)) state = log;
    for (const take of state.takes) {
      // A later edition of this page may have another number for the same slate.
      take.shot = plan.shots.find((shot) => shot.slate && shot.slate === take.slate)?.number ?? take.shot;
    }
    filming = { ...NOWHERE, ...((lasting && read(`${PREFIX}camera`)) || filming) };
    const given = state.takes.map((take) => Number(take.id.slice(device.id.length + 1)));
    if (stored?.id === device.id) given.push(stored.count);
    device.count = Math.max(device.count, ...given.filter(Number.isFinite));
  }

  /** Do what a tap asks for on the newest state, and keep it. */
  function act(change) {
    load();
    change();
    write(logKey(), state);
  }

  // ---- The camera: its name, the card in it, and the clip that it writes next

  function setCamera(values) {
    filming = { ...filming, ...values };
    write(`${PREFIX}camera`, filming);
  }

  /** The name of the clip after this one: its last number counted up, as C0013 after C0012. */
  const following = (clip) =>
    clip.replace(/^(.*?)(\d+)(\D*(?:\.\w+)?)$/, (_, head, number, end) =>
      head + String(Number(number) + 1).padStart(number.length, "0") + end);

  /** Where the take that starts now will lie, and the camera's clock at its start. */
  function clipNow(start) {
    const { camera, card, clip, ahead } = filming;
    if (clip) setCamera({ clip: following(clip) });
    return { camera, card, clip, timecode: ahead === null ? "" : clock((((start + ahead) % 86400) + 86400) % 86400) };
  }

  /** Say what a take's card or clip really is; after the newest take the counter goes on from there. */
  function setClip(id, values) {
    const take = find(id);
    if (!take) return;
    Object.assign(take, values);
    if (take === state.takes[state.takes.length - 1]) setCamera({ card: take.card, clip: following(take.clip) });
  }

  /** Logs of other days and courses on this device, so that none is forgotten. */
  function others() {
    if (!lasting) return [];
    const keys = Object.keys(localStorage).filter((key) => key.startsWith(`${PREFIX}log.`) && key !== logKey());
    return keys.sort().flatMap((key) => {
      const [day, name, ...course] = key.slice(PREFIX.length + 4).split(".");
      const log = read(key);
      return isLog(log) && log.takes.length ? [{ day, name, course: course.join("."), takes: log.takes }] : [];
    });
  }

  // ---- Takes. Taps are given ids, not takes: reading the newest state makes new objects of them.

  let warned = null; // the shot of which a start was held up once, since no fresh piece is left
  let picked = null; // the id of an earlier take whose verdict or note is being changed
  const present = () => plan.shots.find((shot) => shot.number === state.present) || plan.shots[0];
  const place = () => plan.shots.indexOf(present());
  const find = (id) => state.takes.find((take) => take.id === id);
  const running = () => state.takes.find((take) => take.stop === null && !take.open);
  const named = (take) => `Take ${take.take} of ${take.shot}`;
  const inOrder = (takes) => [...takes].sort((a, b) => a.day.localeCompare(b.day) || a.start - b.start);

  /** The take that verdict and note belong to: the running one, the one picked, or the last of the present shot. */
  function current() {
    const here = state.takes.filter((take) => take.shot === present().number && !take.removed);
    return running() || here.find((take) => take.id === picked) || here[here.length - 1] || null;
  }

  /** Change some values of a take so that just these can be undone, not what was written into it since. */
  function tap(label, take, after) {
    const before = Object.fromEntries(Object.keys(after).map((name) => [name, take[name]]));
    Object.assign(take, after);
    state.undo = { id: take.id, label, before, after, made: null, undone: false, at: 0 };
    tell(`${named(take)}: ${label}.`);
  }

  function start() {
    const going = running();
    if (going) return tell(`${named(going)} is running since ${clock(going.start)}; stop it first.`);
    const [{ number: shot, slate, title, fresh }, day] = [present(), today()];
    const before = state.takes.filter((one) => one.shot === shot);
    const take = Math.max(0, ...before.map((one) => one.take)) + 1;
    const piece = fresh[before.filter((one) => !one.removed).length] ?? ""; // a move for good has one for each take
    if (fresh.length && !piece && warned !== shot) {
      warned = shot;
      return tell(`No fresh piece is left for take ${take}: ${fresh.join(", ")} used up. Start again if there is another.`);
    }
    warned = null;
    device.count += 1;
    write(`${PREFIX}device`, device);
    const made = { id: `${device.id}-${device.count}`, day, shot, slate, title, take, start: secondsOn(day), stop: null };
    Object.assign(made, { open: false, verdict: "", slip: "", note: piece && `piece ${piece}`, removed: false }, clipNow(made.start));
    state.takes.push(made);
    state.undo = { id: made.id, label: "start", before: {}, after: {}, made, undone: false, at: 0 };
    picked = null;
    return tell(`${named(made)} started at ${clock(made.start)}.`);
  }

  function stop() {
    const take = running();
    if (!take) return tell("No take is running.");
    const end = secondsOn(take.day);
    if (end >= take.start && end - take.start <= LONGEST) return tap("stop", take, { stop: end });
    return tap("stop, end not known", take, { open: true });
  }

  function leaveOpen(id) {
    const take = find(id);
    if (take && take === running()) tap("end not known", take, { open: true });
  }

  function judge(verdict) {
    const take = current();
    if (!take) return tell("This shot has no take yet.");
    if (take === running()) return tell("Stop the take first.");
    if (take.verdict === verdict) return tell(`${named(take)} is “${verdict}” already.`);
    return tap(verdict, take, { verdict });
  }

  function slip() {
    // On to the next shot, the slip was in the take before: so here the last take of all will do.
    const take = current() || inOrder(state.takes.filter((one) => !one.removed)).pop();
    if (!take) return tell("There is no take yet.");
    if (take.slip) return tell(`${named(take)} has its slip marked already.`);
    return tap("slip", take, { slip: "yes" });
  }

  function noSlip(id) {
    if (find(id)?.slip) tap("no slip", find(id), { slip: "" });
  }

  /** Undo the last tap; once more puts it back. A take itself goes only while its start is fresh. */
  function undo() {
    const last = state.undo;
    const take = last && find(last.id);
    if (!last || Date.now() - last.at < TWICE) return;
    if (last.made && !last.undone) {
      if (!take || secondsOn(take.day) - take.start > FRESH) {
        return tell("This take has run for over a minute: stop it, then remove it in the list.");
      }
      last.made = take;
      state.takes = state.takes.filter((one) => one !== take);
      if (take.clip) setCamera({ clip: take.clip });
    } else if (last.made) {
      state.takes.push(last.made);
      if (last.made.clip) setCamera({ clip: following(last.made.clip) });
    } else if (take) {
      const now = Object.fromEntries(Object.keys(last.after).map((name) => [name, take[name]]));
      Object.assign(take, last.undone ? last.after : last.before);
      if (!last.undone) last.after = now; // with what was written since, so that putting back loses nothing
    }
    last.undone = !last.undone;
    last.at = Date.now();
    tell(`${last.undone ? "Undone" : "Put back"}: ${last.label}.`);
  }

  /** A removed take stays in the log, as one that must not be used. */
  function remove(id) {
    const take = find(id);
    const note = take.note ? `removed; ${take.note}` : "removed";
    if (!take.removed && take !== running()) tap("removed", take, { removed: true, verdict: "again", note });
    picked = null;
  }

  /** Give a take, tapped at another shot, to the shot that it is of; it counts on there. */
  function give(id, number) {
    const take = find(id), shot = plan.shots.find((one) => one.number === number);
    if (!take || !shot || take.shot === number) return;
    const next = Math.max(0, ...state.takes.filter((one) => one.shot === number).map((one) => one.take)) + 1;
    tap("moved to its shot", take, { shot: number, slate: shot.slate, title: shot.title, take: next });
    picked = null;
  }

  function go(index) {
    const shot = plan.shots[Math.min(Math.max(index, 0), plan.shots.length - 1)];
    [state.present, picked] = [shot.number, null];
    tell(`Shot ${shot.number}.`);
  }

  // ---- What a shot still lacks

  const isUsable = (take) => ["best", "usable", "good"].includes(take.verdict); // good: of an older page

  /** What is wanting of a shot that has takes: a verdict, or a take that can be used; nothing: empty. */
  function lacks(shot) {
    const taken = state.takes.filter((take) => take.shot === shot.number && !take.removed);
    if (!taken.length || taken.some(isUsable)) return "";
    return taken.some((take) => !take.verdict) ? "no verdict" : "no usable take";
  }

  // ---- Plan and real, in minutes

  /** How far the day is behind its plan (negative: ahead); null while a day that is not the planned one is unbegun.

   Judged by the takes, whatever page is open: nothing is early before the first one. On another day the plan is moved
   so that the first shot filmed begins as planned. A shot is as late as its first start, and later once it runs over;
   after its good take it is as early or late as it ended, and later once the next shot should have begun. */
  function late() {
    const day = today();
    const planned = (take) => plan.shots.find((shot) => shot.number === take.shot);
    const taken = inOrder(state.takes.filter((take) => take.day === day && planned(take)));
    if (!taken.length) return day === plan.day ? Math.max(0, secondsOn(day) / 60 - plan.shots[0].start) : null;
    const moved = day === plan.day ? 0 : taken[0].start / 60 - planned(taken[0]).start;
    const now = secondsOn(day) / 60 - moved;
    const shot = planned(taken[taken.length - 1]);
    const here = taken.filter((take) => take.shot === shot.number);
    const last = here[here.length - 1];
    if (last === running() || !here.some(isUsable)) {
      const begun = here[0].start / 60 - moved;
      return Math.max(begun > shot.start ? begun - shot.start : Math.min(0, begun - shot.ready), now - shot.end);
    }
    const done = (last.stop ?? last.start) / 60 - moved - shot.end;
    const following = plan.shots[plan.shots.indexOf(shot) + 1];
    return following ? Math.max(done, now - following.start) : done;
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

  // ---- The log as a file: columns and rules are those of lessonplan/shoot/takes/log.py

  const oneLine = (text) => text.replace(/[\p{Z}\p{Cc}\p{Cs}]+/gu, " ").replace(/^ | $/g, "");

  function cell(value) {
    let text = oneLine(String(value));
    const formula = /^'*\s*[=+\-@\uff1d\uff0b\uff0d\uff20]/; // what a spreadsheet would take for one, as in cells.py
    if (formula.test(text) && !/^-?\d+(\.\d*)?$/.test(text)) text = "'" + text;
    return /[",]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
  }

  function csv(takes = state.takes, name = device.id) {
    const row = (take) => {
      const said = oneLine(take.slip);
      const slipped = /^(no|-|0)$/i.test(said) ? `“${said}”` : said; // bare, these mean that nothing was wrong
      const end = take.stop === null ? "" : clock(take.stop);
      const values = { ...take, device: name, start: clock(take.start), stop: end, slip: slipped };
      return plan.columns.map((column) => cell(values[column] ?? ""));
    };
    return [plan.columns, ...inOrder(takes).map(row)].map((cells) => cells.join(",") + "\r\n").join("");
  }

  openDevice();
  putUnreadableAside();
  load();
  const asks = { present, place, find, running, named, current, late, real, csv, others, load, today, secondsOn, clock, wall };
  const taps = { start, stop, leaveOpen, judge, slip, noSlip, undo, remove, give, go, setClip, setCamera };
  return {
    ...asks,
    lacks,
    camera: () => filming,
    lasts: () => lasting,
    takes: () => state.takes,
    device: () => device.id,
    lastTap: () => state.undo,
    pick: (id) => (picked = id),
    write: (id, values) => act(() => find(id) && Object.assign(find(id), values)),
    ...Object.fromEntries(Object.entries(taps).map(([name, one]) => [name, (...given) => act(() => one(...given))])),
  };
};

// The page on the table: shows the takes that takeLog (table-takes.js) keeps, and hands taps on to it. All text reaches
// the page as textContent or as text nodes, so no text of the course or of a note can become markup.
(() => {
  const $ = (id) => document.getElementById(id);
  const plan = JSON.parse($("plan").textContent);
  const log = takeLog(plan, showKept, (text) => say($("status"), text));
  const sender = plan.sends ? logSender(plan, log, (text) => $("sent") && say($("sent"), text)) : null;
  const VERDICTS = ["best", "usable", "again"];
  const pages = [...document.querySelectorAll("article")];

  /** Set a text only where it differs: a screen reader reads out what changes. */
  function say(element, text) {
    if (element.textContent !== text) element.textContent = text;
  }

  function showKept(kept) {
    $("warning").hidden = kept;
    $("kept").hidden = !kept;
    say($("warning"), kept ? "" : "This browser keeps nothing: takes are lost when the page closes. Save every take as a file.");
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

  /** Minutes in words, as every paper has them. */
  function hours(minutes) {
    const rest = minutes % 60 ? ` ${String(minutes % 60).padStart(2, "0")} min` : "";
    return minutes < 60 ? `${minutes} min` : `${Math.floor(minutes / 60)} h${rest}`;
  }

  const length = (seconds) => `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
  const counted = (count) => `${count} ${count === 1 ? "take" : "takes"}`;

  // ---- The takes of the present shot

  let asked = null; // the id of the take that is about to be removed

  function inWords(take) {
    const end = take.stop === null ? (take.open ? "end not known" : "running") : length(take.stop - take.start);
    const slipped = take.slip && (take.slip === "yes" ? "slip" : `slip: ${take.slip}`);
    const clip = [take.card, take.clip].filter(Boolean).join(" ");
    return [log.clock(take.start), end, clip, take.verdict, slipped, take.note].filter(Boolean).join(" · ");
  }

  function takeRow(take) {
    const here = take.shot === log.present().number;
    const name = here ? `Take ${take.take}` : log.named(take);
    if (take.removed) return make("li", "removed", make("span", "", `${name} · ${inWords(take)}`));
    const pick = button(name, `pick-${take.id}`, () => shown(log.pick(take.id)));
    pick.setAttribute("aria-pressed", String(take === log.current()));
    const row = make("li", "", pick, make("span", "", inWords(take)));
    const more = (text, key, press) => {
      const one = button(text, `${key}-${take.id}`, press);
      one.setAttribute("aria-label", `${text}: ${log.named(take)}`);
      row.append(one);
    };
    if (take === log.running()) {
      more("End not known", "open", () => shown(log.leaveOpen(take.id)));
    } else if (asked === take.id) {
      // Keep stands where Remove stood, so that a second tap on the same place removes nothing.
      more("Yes, remove", "yes", () => shown(log.remove(take.id)));
      more("Keep", "remove", () => shown((asked = null)));
    } else {
      more("Remove", "remove", () => shown((asked = take.id)));
    }
    return row;
  }

  /** Show the takes anew; the focus goes back to the button that had it, or to one that is always there. */
  function showTakes() {
    const held = $("takes").contains(document.activeElement) ? document.activeElement.dataset.key : null;
    const shown = log.takes().filter((take) => take.shot === log.present().number || take === log.running());
    $("takes").replaceChildren(...shown.map(takeRow));
    $("no-takes").hidden = shown.length > 0;
    if (held) ([...$("takes").querySelectorAll("button")].find((one) => one.dataset.key === held) || $("undo")).focus();
  }

  function showFields(take) {
    $("fields").hidden = !take;
    $("slip-field").hidden = !take?.slip;
    if (!take) return;
    say($("note-label"), `Note on ${log.named(take).toLowerCase()}`);
    const said = take.slip === "yes" ? "" : take.slip;
    for (const [id, text] of [["note", take.note], ["slip-text", said], ["card", take.card], ["clip", take.clip]]) {
      // What is being typed is not set anew: the cursor would jump.
      if ($(id).dataset.take !== take.id || $(id) !== document.activeElement) $(id).value = text ?? "";
      $(id).dataset.take = take.id;
    }
    $("of").value = take.shot;
  }

  // ---- Buttons, next shot, list of shots

  /** Dim a button that can do nothing now. It keeps the focus, and when it is pressed it says why. */
  function able(id, can) {
    $(id).setAttribute("aria-disabled", String(!can));
  }

  function press(id, pressed) {
    $(id).setAttribute("aria-pressed", String(Boolean(pressed)));
  }

  function showButtons(take) {
    const going = Boolean(log.running());
    able("start", !going);
    able("stop", going);
    for (const verdict of VERDICTS) {
      able(verdict, take && !going);
      press(verdict, take?.verdict === verdict);
    }
    able("slip", log.takes().some((one) => !one.removed));
    press("slip", take?.slip);
    const { card, clip } = log.camera();
    say($("open-camera"), card || clip ? `Next clip: ${[card, clip].filter(Boolean).join(" ")}` : "Card and clip");
    const last = log.lastTap();
    able("undo", Boolean(last));
    say($("undo"), last ? `${last.undone ? "Put back" : "Undo"}: ${last.label}` : "Undo");
    document.body.classList.toggle("running", going);
    document.body.classList.toggle("unjudged", Boolean(take && !going && !take.verdict));
  }

  function showNext() {
    const next = plan.shots[log.place() + 1];
    say($("next-before"), next && next.before.length ? `Then ${next.before.join("; ")}` : "");
    say($("next-time"), next ? `Next, ${next.time}` : "Next");
    say($("next-title"), next ? `${next.number} ${next.title}` : "Wrap: no shot is left on this day");
    say($("next-view"), next ? next.view : "");
    able("back", log.place() > 0);
    able("on", Boolean(next));
    const lacking = log.lacks(log.present());
    say($("left"), lackingShots((shot) => shot !== log.present()));
    say($("on"), lacking ? `Next, ${lacking}` : "Next");
    $("on").classList.toggle("lacking", Boolean(lacking));
  }

  function listOfShots() {
    const lines = plan.shots.map((shot, index) => {
      const line = button("", `shot-${index}`, () => goTo(index));
      line.append(make("b", "", shot.number), make("span", "", shot.title), make("small", "", ""));
      return make("li", "", line);
    });
    $("all-shots").replaceChildren(...lines);
  }

  function showList() {
    plan.shots.forEach((shot, index) => {
      const taken = log.takes().filter((take) => take.shot === shot.number && !take.removed);
      const lacking = log.lacks(shot);
      const line = $("all-shots").children[index].firstChild;
      const state = lacking ? `! ${lacking}` : taken.length ? "filmed" : "";
      say(line.lastChild, [shot.time, shot.view, taken.length ? counted(taken.length) : "", state].filter(Boolean).join(" · "));
      line.classList.toggle("done", Boolean(taken.length) && !lacking);
      line.classList.toggle("lacking", Boolean(lacking));
      line.setAttribute("aria-current", shot === log.present() ? "step" : "false");
    });
  }

  /** Say which shots have takes and none that can be used, each with what it lacks. */
  function lackingShots(wanted = () => true) {
    const found = plan.shots.filter((shot) => wanted(shot) && log.lacks(shot));
    return found.length ? `! ${found.map((shot) => `${shot.number} has ${log.lacks(shot)}`).join(", ")}.` : "";
  }

  // ---- The camera and the slate

  function openCamera() {
    log.load();
    for (const name of ["camera", "card", "clip"]) $(`next-${name}`).value = log.camera()[name];
    say($("ahead"), aheadInWords());
    $("filming").showModal();
  }

  function aheadInWords() {
    const { ahead } = log.camera();
    if (ahead === null) return "Not compared: the editor’s sheet goes by the course’s cameras.";
    return ahead ? `The camera’s clock is ${length(Math.abs(ahead))} ${ahead > 0 ? "ahead" : "behind"}.` : "Both clocks agree.";
  }

  /** Compare the camera's clock, as it was typed, with this device's now. */
  function compareClocks() {
    const found = /^(\d{1,2}):([0-5]\d):([0-5]\d)$/.exec($("camera-clock").value.trim());
    if (!found || found[1] > 23) return say($("ahead"), "Type the camera’s clock as 09:31:05, then tap when it shows just that.");
    const here = Math.floor(log.wall() / 1000) % 86400;
    const apart = found[1] * 3600 + found[2] * 60 + Number(found[3]) - here;
    log.setCamera({ ahead: ((apart + 129600) % 86400) - 43200 }); // the shorter way round midnight
    return say($("ahead"), aheadInWords());
  }

  function showSlate() {
    const [shot, going, taken] = [log.present(), log.running(), log.takes().filter((take) => take.shot === log.present().number)];
    const take = going ?? { take: Math.max(0, ...taken.map((one) => one.take)) + 1, ...log.camera() };
    say($("slate-name"), shot.slate ? `Slate ${shot.slate}` : `Shot ${shot.number}`);
    say($("slate-take"), `Take ${take.take}`);
    say($("slate-shot"), [shot.number, shot.title].join(" "));
    say($("slate-clip"), [plan.day, take.camera && `camera ${take.camera}`, take.card, take.clip].filter(Boolean).join(" · "));
    able("slate-start", !going);
  }

  // ---- The take log as a file

  let filed = log.csv(); // what was last saved as a file

  /** Offer the takes as a file where the browser keeps none, until they are saved. */
  function showOffer() {
    const open = !log.lasts() && log.takes().length > 0 && log.csv() !== filed;
    $("offer").hidden = !open;
    say($("offer"), `Save ${counted(log.takes().length)} as a file now`);
  }

  function download(takes, day, device) {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob(["\ufeff", log.csv(takes, device)], { type: "text/csv;charset=utf-8" }));
    link.download = `takes-${day}-${device}.csv`;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000); // not at once: a slow device has not read it yet
    if (takes === log.takes()) filed = log.csv();
    showOffer();
    const lacking = takes === log.takes() ? lackingShots() : "";
    say($("log-status"), `${link.download} with ${counted(takes.length)} goes to the downloads of this device. ${lacking}`);
  }

  async function copy() {
    $("csv").select();
    try {
      await navigator.clipboard.writeText($("csv").value);
      say($("log-status"), "Copied.");
    } catch {
      say($("log-status"), "The text is selected; copy it as you copy any text on this device.");
    }
  }

  function openLog() {
    log.load();
    $("csv").value = log.csv();
    say($("log-status"), `${counted(log.takes().length)} logged on this device for this day. ${lackingShots()}`);
    const found = log.others();
    const lines = found.map(({ day, name, course, takes }) =>
      make("li", "", button(`Save ${day}`, "", () => download(takes, day, name)), ` ${course}, ${counted(takes.length)}`),
    );
    $("others").hidden = !found.length;
    $("other-logs").replaceChildren(...lines);
    $("log").showModal();
  }

  // ---- All of it

  function show() {
    pages.forEach((one, index) => one.classList.toggle("present", index === log.place()));
    if (!log.takes().some((take) => take.id === asked && !take.removed)) asked = null;
    showTakes();
    showFields(log.current());
    showButtons(log.current());
    showNext();
    showList();
    showOffer();
    showSlate();
    sender?.changed();
    tick();
  }

  /** Show what the change that was just made has changed. */
  const shown = (_change) => show();

  /** What changes by itself every second. */
  function tick() {
    const [take, going, late, spent] = [log.current(), log.running(), log.late(), log.real()];
    for (const id of ["clock", "slate-clock"]) say($(id), log.clock(Math.floor(log.wall() / 1000) % 86400));
    const open = going ? `${log.named(going)} is running: ${length(Math.max(0, log.secondsOn(going.day) - going.start))}` : "";
    say($("now"), open || (take ? log.named(take) : "No take of this shot yet"));
    const minutes = Math.trunc(late ?? 0);
    const words = minutes > 0 ? `${hours(minutes)} late` : minutes < 0 ? `${hours(-minutes)} early` : "On time";
    say($("late"), late === null ? "Other day" : words);
    $("late").classList.toggle("is-late", minutes > 0);
    $("late").classList.toggle("is-early", minutes < 0);
    const [shot, filmed] = [log.present(), plan.shots.filter((one) => spent.has(one.number))];
    say($("this-real"), `${Math.round(spent.get(shot.number) || 0)} of ${hours(shot.end - shot.start)}`);
    const planned = filmed.reduce((sum, one) => sum + one.end - one.start, 0);
    const real = filmed.reduce((sum, one) => sum + spent.get(one.number), 0);
    say($("all-real"), `${hours(Math.round(real))}, planned ${hours(planned)}`);
  }

  function goTo(index) {
    $("shots").close();
    log.go(index);
    asked = null;
    show();
    scrollTo(0, 0);
  }

  function on(event, id, change) {
    $(id).addEventListener(event, () => {
      change();
      asked = null;
      show();
    });
  }

  function listen() {
    for (const name of ["start", "stop", "slip", "undo"]) on("click", name, () => log[name]());
    for (const verdict of VERDICTS) on("click", verdict, () => log.judge(verdict));
    on("click", "no-slip", () => {
      log.noSlip($("slip-text").dataset.take);
      $("slip").focus(); // the button that was pressed goes away
    });
    $("of").append(...plan.shots.map((shot) => new Option(`${shot.number} ${shot.title}`, shot.number)));
    on("change", "of", () => log.give($("note").dataset.take, $("of").value));
    $("back").addEventListener("click", () => goTo(log.place() - 1));
    $("on").addEventListener("click", () => goTo(log.place() + 1));
    $("note").addEventListener("input", () => shown(log.write($("note").dataset.take, { note: $("note").value })));
    $("slip-text").addEventListener("input", () => {
      shown(log.write($("slip-text").dataset.take, { slip: $("slip-text").value.trim() ? $("slip-text").value : "yes" }));
    });
    for (const name of ["card", "clip"]) {
      $(name).addEventListener("input", () => shown(log.setClip($(name).dataset.take, { [name]: $(name).value })));
    }
    for (const name of ["camera", "card", "clip"]) {
      $(`next-${name}`).addEventListener("input", () => shown(log.setCamera({ [name]: $(`next-${name}`).value.trim() })));
    }
    on("click", "slate-start", () => log.start());
    const opens = { shots: () => $("shots").showModal(), log: openLog, camera: openCamera, slate: () => $("slate").showModal() };
    for (const [name, open] of Object.entries(opens)) $(`open-${name}`).addEventListener("click", open);
    for (const name of ["save", "offer"]) $(name).addEventListener("click", () => download(log.takes(), plan.day, log.device()));
    $("copy").addEventListener("click", copy);
    $("compare").addEventListener("click", compareClocks);
    for (const [id, name] of [["bigger", "big"], ["fold", "folded"]]) {
      $(id).addEventListener("click", () => press(id, document.body.classList.toggle(name)));
    }
    addEventListener("beforeunload", (leaving) => $("offer").hidden || leaving.preventDefault());
    document.querySelectorAll("[data-close]").forEach((one) => {
      one.addEventListener("click", () => $(one.dataset.close).close());
    });
    // Another window of the same page, or a page that the device had put to sleep.
    for (const [target, name] of [[window, "storage"], [window, "pageshow"], [document, "visibilitychange"]]) {
      target.addEventListener(name, () => shown(log.load()));
    }
  }

  document.body.classList.add("works");
  listOfShots();
  listen();
  show();
  setInterval(tick, 1000);
})();
