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
