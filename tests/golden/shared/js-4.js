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
}
function keep() {
  try {
    localStorage.setItem("handout: " + given.name, JSON.stringify(kept));
  } catch {
    say("This browser keeps nothing: ticks are lost when the page is closed.");
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
    });
    const ends = (data.tails[size][yarn] || 0) + (data.wide[size][yarn] || 0) / s;
    metres[yarn] = ((loops * loop + ends) / 1000) * data.factor;
  }
  const parts = form.parts.map((part) => {
    const all = part.rounds[size] + part.free.reduce((sum, place) => sum + counts[place], 0);
    return { title: part.title, counted: part.counted, across: part.across, rounds: all, round: part.stitches[size] / (s * part.stitch_ratio), long: part.asked[size] || all / (r * part.round_ratio) };
  });
  return { counts, metres, parts };
}

/* A computed length as the program prints it (lessonplan/craft/lengths.py), in the units that are picked. */
function lengthWords(mm) {
  const alone = given.gauge.inches, shown = mm >= 100 ? 5 * halfUp(mm / 5) : halfUp(mm), from = alone ? mm : shown;
  const eighths = from < 100 ? halfUp((from / 25.4) * 8) : 2 * halfUp((from / 25.4) * 4);
  const whole = Math.floor(eighths / 8), part = ["", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞"][eighths % 8];
  const inches = (whole || !part ? whole : "") + part + "\u00a0in";
  if (alone || (named("unit-in") && named("unit-in").checked)) return inches;
  const cm = shown / 10 + "\u00a0cm";
  return named("unit-both") && named("unit-both").checked ? cm + " (" + inches + ")" : cm;
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
  const words = (one) => one.rounds + " " + one.counted + ", " + lengthWords(one.round) + " " + one.across + ", " + lengthWords(one.long) + " long";
  given.gauge.parts.forEach((part, at) => body.append(row([part.title, ...found.map((one) => words(one.parts[at]))], "", heads)));
  for (const yarn of given.gauge.data.yarns) {
    body.append(row([[yarn, given.gauge.way, "with the reserve"].filter(Boolean).join(", "), ...found.map((one) => Math.ceil(one.metres[yarn]) + "\u00a0m")], "", heads));
  }
  table.append(head, body);
  place.append(table);
}

/* The size that is picked, 0-based; the only one where there is one; null for all. */
function picked() {
  if (given.sizes.length === 1) return 0;
  const at = given.sizes.findIndex((_, size) => named("size-" + size).checked);
  return at < 0 ? null : at;
}

function showTicks() {
  const size = picked();
  document.querySelectorAll(".work[data-rounds]").forEach((work, place) => {
    const box = work.querySelector(".ticks");
    box.replaceChildren();
    if (size === null) return;
    const [firsts, after, colours] = given.works[place];
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
      const beside = [colours.length ? colours[size][n] : "", count ? count + "\u00a0sts" : ""].filter(Boolean);
      if (beside.length) {
        const small = document.createElement("small");
        small.textContent = " " + beside.join(", ");
        label.append(small);
      }
      box.append(label);
    });
  });
  named("clear").hidden = !Object.keys(kept.ticks).length;
  if (size === null && given.works.length) say("Pick your size, and there is a box to tick for every round.");
  else if (named("kept").textContent.startsWith("Pick")) say("");
}

function begin() {
  document.querySelectorAll(".live").forEach((one) => one.classList.add("on"));
  load();
  for (const key of ["size", "unit"]) {
    if (kept[key] && named(kept[key])) named(kept[key]).checked = true;
    document.querySelectorAll("input[name=" + key + "]").forEach((one) =>
      one.addEventListener("change", () => {
        kept[key] = one.id;
        keep();
        showTicks();
        if (given.gauge) showGauge();
      }),
    );
  }
  named("clear").addEventListener("click", () => {
    if (!confirm("Clear all ticks, of every part and size? They cannot be brought back.")) return;
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
    });
    named("gauge").addEventListener("submit", (event) => event.preventDefault());
    showGauge();
  }
  showTicks();
  if (matchMedia("(min-width: 62rem)").matches) document.querySelectorAll("details.fold:not(#own)").forEach((one) => (one.open = true));
  addEventListener("beforeprint", () => document.querySelectorAll("details.fold:not(#own)").forEach((one) => (one.open = true)));
}
begin();
