"""How often what is printed as “nine times in ten” is passed, over random courses whose host has one pace a day.

Run by hand: ``python -m tests.benchmarks.sums``. A day is drawn here from the course's own figures (words, stitches,
seconds, takes) and from the spreads that the tables name, by another way than the program's: each pace of the host
once for the whole day from the beta distribution of the PERT formulas, all else shot by shot. Printed and real are
compared for screen time of an episode and for the wrap of the day, over courses of all sorts and over courses in which
the host only speaks. Aim: passed in 8 to 12 of 100 days.
"""

from __future__ import annotations

import csv
import random
import tempfile
from pathlib import Path

import lessonplan
from lessonplan.shoot.clocks import on_screen
from lessonplan.shoot.day import lay_out

COURSES, DAYS, SEED = 200, 400, 20270306
PATTERN = """\
title: Ring cowl
gauge: {stitches: 20, rounds: 28}
yarns:
  MC: {name: Plain wool, metres: 200, grams: 100}
stages:
  edge:
    title: Edge
    works: [{cast_on: 400, join: yes}]
"""
PACE = {"speech": 132.0, "on_camera": 14.0, "opening": 5 / 60, "hold": 4 / 60, "reset": 2.0, "set_up": 45.0}


def spreads() -> dict[str, tuple[float, float]]:
    """Low and high factor of the minutes, from the table as it lies in the package; a pace is turned over."""
    table = Path(lessonplan.__file__).parent / "craft" / "tables" / "filming_paces.csv"
    found = {}
    for row in csv.DictReader(table.open(encoding="utf-8")):
        low, likely, high = (float(row[key]) for key in ("low", "likely", "high"))
        found[row["name"]] = (likely / low, likely / high) if "a minute" in row["unit"] else (low, high)
    return found


def drawn(chance: random.Random, low: float, high: float, likely: float = 1.0) -> float:
    """Draw from the beta distribution that PERT stands for."""
    wide = high - low
    return low + wide * chance.betavariate(1 + 4 * (likely - low) / wide, 1 + 4 * (high - likely) / wide)


def course(chance: random.Random, speech_only: bool) -> tuple[list[dict[str, float]], str]:
    """Make up the shots of one episode, and its file."""
    shots, lines = [], []
    for _ in range(chance.randint(6, 24)):
        words = chance.choice([0, 20, 60, 90, 140])
        doing = 0 if words and chance.random() < 0.3 else chance.choice([10, 25, 50, 90])
        stitches = chance.choice([0, 0, 0, 6, 16])
        if speech_only:
            words, doing, stitches = words or 40, 0, 0
        takes, view = chance.choice([1, 2, 2, 3]), chance.choice(["face", "overhead"])
        shots.append({"words": words, "doing": doing / 60, "stitches": stitches, "takes": takes, "view": hash(view)})
        lines += [f"      - view: {view}", f"        takes: {takes}"]
        lines += [f"        say: {'word ' * words}"] if words else []
        lines += ["        hands:"] if doing or stitches else []
        lines += [f"          - {{do: show it, time: {doing} s}}"] if doing else []
        lines += [f'          - work: "k{stitches}"'] if stitches else []
    return shots, "\n".join(["episode: 1", "title: All of it", "segments:", "  - title: One", "    shots:", *lines, ""])


def one_course(
    chance: random.Random, place: Path, spread: dict[str, tuple[float, float]], speech_only: bool
) -> tuple[float, float]:
    """Give the share of days on which the printed screen time, and the printed wrap, is passed."""
    shots, episode = course(chance, speech_only)
    pace = ", ".join(
        f"{key}: {value if key in ('speech', 'on_camera') else f'{value} min'}" for key, value in PACE.items()
    )
    files = {
        "course.yaml": "title: T\nhost: H\nshoot:\n  - {day: 2027-03-06, call: 6:00, wrap: 23:00, films: [1]}\n"
        f"pace: {{{pace}}}\n",
        "pattern.yaml": PATTERN,
        "episodes/01.yaml": episode,
    }
    for name, text in files.items():
        (place / name).parent.mkdir(exist_ok=True)
        (place / name).write_text(text, encoding="utf-8")
    worked = lessonplan.load(place).worked
    assert worked is not None
    printed = on_screen(worked.clocks.values()).nine_in_ten
    day = lay_out(worked.course, 0, worked.listed, worked.clocks, {})
    between = [entry for entry in day.entries if entry.kind in ("set-up", "change", "rest")]
    over = late = 0
    for _ in range(DAYS):
        speech, hands = drawn(chance, *spread["speech"]), drawn(chance, *spread["on_camera"])
        screen = floor = 0.0
        for shot in shots:
            said = shot["words"] / PACE["speech"] * speech * drawn(chance, *spread["speech_within"])
            work = shot["stitches"] / PACE["on_camera"] * hands * drawn(chance, *spread["on_camera_within"])
            doing = shot["doing"] * drawn(chance, *spread["doing"])
            takes = shot["takes"] + chance.choices([-1, 0, 1], [1, 4, 1])[0]
            takes = max(1, takes)
            length = max(said, work + doing)
            still = 0.0 if said or work or doing else PACE["hold"]
            screen += length + still
            floor += takes * (length + PACE["opening"] + PACE["hold"])
            floor += PACE["reset"] * (takes - 1) * drawn(chance, *spread["change"])
        floor += sum((entry.end - entry.start) * drawn(chance, *spread[entry.kind]) for entry in between)
        over += screen > printed
        late += floor > day.late_wrap - day.call
    return over / DAYS, late / DAYS


def main() -> None:
    """Print how often printed values are passed."""
    for speech_only, sort in ((False, "all sorts"), (True, "speech only")):
        chance, spread = random.Random(SEED), spreads()
        with tempfile.TemporaryDirectory() as folder:
            found = [one_course(chance, Path(folder), spread, speech_only) for _ in range(COURSES)]
        named = zip(("screen time of an episode", "wrap of the day"), zip(*found, strict=True), strict=True)
        for name, shares in named:
            told(f"{sort}, {name}", sorted(shares))


def told(name: str, shares: list[float]) -> None:
    """Print how the courses fared."""
    tenth, middle, ninth = (shares[int(len(shares) * part)] for part in (0.1, 0.5, 0.9))
    mean = sum(shares) / len(shares)
    print(f"{name}: passed in {mean:.1%} of {COURSES * DAYS} days; courses {tenth:.1%} / {middle:.1%} / {ninth:.1%}")


if __name__ == "__main__":
    main()
