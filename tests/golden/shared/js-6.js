"use strict";
/* The handout: what a reader picks, ticks and types, kept on her device; and what another gauge changes, worked out by
   the program's own rules (lessonplan/pattern/owngauge.py). Without this script the page can be read all the same. */

const given = JSON.parse(document.getElementById("data").textContent);
const kept = { size: "", unit: "", ticks: {}, gauge: ["", ""] };
const named = (id) => document.getElementById(id);

function load() {
  try {
    Object.assign(kept, JSON.parse(localStorage.getItem("handout: " + given.name) || "{}"));
  } catch {
    say("This browser keeps nothing: ticks are lost when the page is closed.");
  }
<<<<<<< HEAD:tests/golden/shared/js-6.js

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
=======
}
function keep() {
  try {
    localStorage.setItem("handout: " + given.name, JSON.stringify(kept));
  } catch {
    say("This browser keeps nothing: ticks are lost when the page is closed.");
>>>>>>> handout:tests/golden/shared/js-3.js
  }
}
function say(text) {
  named("kept").textContent = text;
}

/* Rounding as the program does it: halves up, with a little slack for what is a half but for the last digit. */
const halfUp = (value) => Math.floor(value + 0.5 + 1e-9);
function rounded(value, how) {
  if (how === "up") return Math.ceil(value - 1e-9);
  if (how === "down") return Math.floor(value + 1e-9);
  if (how === "even") return 2 * halfUp(value / 2);
  return halfUp(value);
}
function landing(wanted, ends, period) {
  const base = Math.floor(wanted / period) * period;
  const counts = [];
  for (const turn of [-1, 0, 1]) for (const end of ends) if (base + turn * period + end >= 1) counts.push(base + turn * period + end);
  return counts.sort((a, b) => Math.abs(a - wanted) - Math.abs(b - wanted) || b - a)[0];
}
function roundsOf(free, perMm, size) {
  const wanted = free.length[size] * perMm * free.ratio;
  return free.ends.length ? landing(wanted, free.ends, free.period) : Math.max(1, rounded(wanted, free.rounding));
}

<<<<<<< HEAD:tests/golden/shared/js-6.js
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
    const log = lasting ? read(logKey()) : null;
    if (isLog(log)) state = log;
    for (const take of state.takes) {
      // A later edition of this page may have another number for the same slate.
      take.shot = plan.shots.find((shot) => shot.slate && shot.slate === take.slate)?.number ?? take.shot;
    }
    filming = { ...NOWHERE, ...((lasting && read(`${PREFIX}camera`)) || filming) };
    const stored = lasting ? read(`${PREFIX}device`) : null;
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
=======
/* Rounds of each stretch from a length, and metres of each yarn, at so many stitches and rounds to the swatch. */
function atGauge(form, stitches, rounds, size) {
  const s = stitches / form.over, r = rounds / form.over, data = form.data;
  const loop = data.constant / (data.crochet ? s : Math.sqrt(s * r));
  const counts = data.free.map((free) => roundsOf(free, r, size));
  const metres = {};
  for (const yarn of data.yarns) {
    let loops = data.loops[size][yarn] || 0;
    data.free.forEach((free, place) => {
      const every = free.loops[size];
      for (let n = 0; n < counts[place]; n += 1) loops += every[n % every.length][yarn] || 0;
>>>>>>> handout:tests/golden/shared/js-3.js
    });
    const ends = (data.tails[size][yarn] || 0) + (data.wide[size][yarn] || 0) / s;
    metres[yarn] = ((loops * loop + ends) / 1000) * data.factor;
  }
  const parts = form.parts.map((part) => {
    const all = part.rounds[size] + part.free.reduce((sum, place) => sum + counts[place], 0);
    return { title: part.title, rounds: all, round: part.stitches[size] / (s * part.stitch_ratio), long: all / (r * part.round_ratio) };
  });
  return { counts, metres, parts };
}

function lengthWords(mm) {
  if (given.gauge.inches) return (halfUp((mm / 25.4) * 4) / 4).toString() + "\u00a0in";
  return ((mm >= 100 ? 5 * halfUp(mm / 5) : halfUp(mm)) / 10).toString() + "\u00a0cm";
}
function row(cells, kind, heads) {
  const line = document.createElement("tr");
  cells.forEach((text, place) => {
    const cell = document.createElement(kind || (place ? "td" : "th"));
    if (cell.tagName === "TH") cell.scope = kind ? "col" : "row";
    cell.textContent = text;
    if (heads && place) cell.dataset.head = heads[place - 1];
    line.append(cell);
  });
  return line;
}
function showGauge() {
  const [stitches, rounds] = ["own-stitches", "own-rounds"].map((id) => Number(named(id).value.replace(",", ".")));
  const place = named("own-result");
  place.replaceChildren();
  if (!(stitches >= 1 && stitches <= 200 && rounds >= 1 && rounds <= 200)) {
    place.textContent = "Type both numbers, from 1 to 200.";
    return;
  }
  const sizes = picked() === null ? given.sizes.map((_, size) => size) : [picked()];
  const found = sizes.map((size) => atGauge(given.gauge, stitches, rounds, size));
  const table = document.createElement("table");
  const heads = sizes.map((size) => given.sizes[size]);
  table.className = "stack";
  const body = document.createElement("tbody");
  const head = document.createElement("thead");
  head.append(row(["Part", ...heads], "th"));
  const words = (one) => one.rounds + " rounds, " + lengthWords(one.round) + " round, " + lengthWords(one.long) + " long";
  given.gauge.parts.forEach((part, at) => body.append(row([part.title, ...found.map((one) => words(one.parts[at]))], "", heads)));
  for (const yarn of given.gauge.data.yarns) {
    body.append(row([yarn + ", with the reserve", ...found.map((one) => Math.ceil(one.metres[yarn]) + "\u00a0m")], "", heads));
  }
  table.append(head, body);
  place.append(table);
}

<<<<<<< HEAD:tests/golden/shared/js-6.js
  function start() {
    const going = running();
    if (going) return tell(`${named(going)} is running since ${clock(going.start)}; stop it first.`);
    const [{ number: shot, slate, title }, day] = [present(), today()];
    const take = Math.max(0, ...state.takes.filter((one) => one.shot === shot).map((one) => one.take)) + 1;
    device.count += 1;
    write(`${PREFIX}device`, device);
    const made = { id: `${device.id}-${device.count}`, day, shot, slate, title, take, start: secondsOn(day), stop: null };
    Object.assign(made, { open: false, verdict: "", slip: "", note: "", removed: false }, clipNow(made.start));
    state.takes.push(made);
    state.undo = { id: made.id, label: "start", before: {}, after: {}, made, undone: false, at: 0 };
    picked = null;
    return tell(`${named(made)} started at ${clock(made.start)}.`);
  }
=======
/* The size that is picked, 0-based; the only one where there is one; null for all. */
function picked() {
  if (given.sizes.length === 1) return 0;
  const at = given.sizes.findIndex((_, size) => named("size-" + size).checked);
  return at < 0 ? null : at;
}
>>>>>>> handout:tests/golden/shared/js-3.js

function showTicks() {
  const size = picked();
  document.querySelectorAll(".work[data-rounds]").forEach((work, place) => {
    const box = work.querySelector(".ticks");
    box.replaceChildren();
    if (size === null) return;
    const [firsts, after] = given.works[place];
    after[size].forEach((count, n) => {
      const label = document.createElement("label");
      const input = document.createElement("input");
      const name = place + "." + size + "." + n;
      input.type = "checkbox";
      input.checked = Boolean(kept.ticks[name]);
      input.addEventListener("change", () => {
        if (input.checked) kept.ticks[name] = 1;
        else delete kept.ticks[name];
        keep();
        named("clear").hidden = !Object.keys(kept.ticks).length;
      });
      label.append(input, String(firsts[size] + n));
      if (count) {
        const small = document.createElement("small");
        small.textContent = " " + count + "\u00a0sts";
        label.append(small);
      }
<<<<<<< HEAD:tests/golden/shared/js-6.js
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
=======
      box.append(label);
>>>>>>> handout:tests/golden/shared/js-3.js
    });
  });
  named("clear").hidden = !Object.keys(kept.ticks).length;
  if (size === null) say("Pick your size, and there is a box to tick for every round.");
  else if (named("kept").textContent.startsWith("Pick")) say("");
}

function begin() {
  document.querySelectorAll(".live").forEach((one) => one.classList.add("on"));
  load();
<<<<<<< HEAD:tests/golden/shared/js-6.js
  const asks = { present, place, find, running, named, current, late, real, csv, others, load, today, secondsOn, clock, wall };
  const taps = { start, stop, leaveOpen, judge, slip, noSlip, undo, remove, go, setClip, setCamera };
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
=======
  for (const key of ["size", "unit"]) {
    if (kept[key] && named(kept[key])) named(kept[key]).checked = true;
    document.querySelectorAll("input[name=" + key + "]").forEach((one) =>
      one.addEventListener("change", () => {
        kept[key] = one.id;
        keep();
        showTicks();
        if (given.gauge) showGauge();
      }),
>>>>>>> handout:tests/golden/shared/js-3.js
    );
  }
<<<<<<< HEAD:tests/golden/shared/js-6.js

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

  function onClick(id, change) {
    $(id).addEventListener("click", () => {
      change();
      asked = null;
      show();
=======
  named("clear").addEventListener("click", () => {
    kept.ticks = {};
    keep();
    showTicks();
  });
  if (given.gauge) {
    ["own-stitches", "own-rounds"].forEach((id, place) => {
      if (kept.gauge[place]) named(id).value = kept.gauge[place];
      named(id).addEventListener("input", () => {
        kept.gauge[place] = named(id).value;
        keep();
        showGauge();
      });
>>>>>>> handout:tests/golden/shared/js-3.js
    });
    named("gauge").addEventListener("submit", (event) => event.preventDefault());
    showGauge();
  }
<<<<<<< HEAD:tests/golden/shared/js-6.js

  function listen() {
    for (const name of ["start", "stop", "slip", "undo"]) onClick(name, () => log[name]());
    for (const verdict of VERDICTS) onClick(verdict, () => log.judge(verdict));
    onClick("no-slip", () => {
      log.noSlip($("slip-text").dataset.take);
      $("slip").focus(); // the button that was pressed goes away
    });
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
    onClick("slate-start", () => log.start());
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
=======
  showTicks();
  if (matchMedia("(min-width: 62rem)").matches) document.querySelectorAll("details.fold:not(#own)").forEach((one) => (one.open = true));
  addEventListener("beforeprint", () => document.querySelectorAll("details.fold:not(#own)").forEach((one) => (one.open = true)));
}
begin();
>>>>>>> handout:tests/golden/shared/js-3.js
