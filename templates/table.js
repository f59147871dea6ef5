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
