"""Changes that a host may make to a course: each takes a course's files as data, and says what it changed.

Each is drawn by its own lot, so that one can be left out without changing the others.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from random import Random
from typing import Any

import yaml

from tests.walk.stages import RESTS

Data = dict[str, Any]


@dataclass
class Files:
    """A course as data: every value a text, as it was typed."""

    course: Data
    pattern: Data
    episodes: dict[str, Data]

    @classmethod
    def read(cls, folder: Path) -> Files:
        """The files of a course; what was agreed is left behind, since it belongs to one plan."""

        def one(path: Path) -> Data:
            return dict(yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader))

        episodes = {path.name: one(path) for path in sorted((folder / "episodes").glob("*.yaml"))}
        return cls(one(folder / "course.yaml"), one(folder / "pattern.yaml"), episodes)

    def write(self, folder: Path) -> None:
        (folder / "episodes").mkdir(parents=True, exist_ok=True)
        parts = {"course.yaml": self.course, "pattern.yaml": self.pattern}
        parts |= {f"episodes/{name}": data for name, data in self.episodes.items()}
        for name, data in parts.items():
            text = yaml.safe_dump(data, sort_keys=False, allow_unicode=True, width=100)
            (folder / name).write_text(text, encoding="utf-8")

    def shots(self) -> Iterator[tuple[str, Data]]:
        for data in self.episodes.values():
            for place, segment in enumerate(data["segments"], 1):
                for number, shot in enumerate(segment["shots"], 1):
                    yield f"{data['episode']}.{place}.{number}", shot

    def pieces(self) -> list[tuple[str, Data, Data]]:
        return [(number, shot, piece) for number, shot in self.shots() for piece in shot.get("pieces", ())]

    def segments(self) -> list[str]:
        return list(dict.fromkeys(number.rpartition(".")[0] for number, _ in self.shots()))

    @property
    def samples(self) -> Data:
        found: Data = self.course.setdefault("samples", {})
        return found


GAP = {
    "Small": "gusset round 17, 31 sts on",
    "Medium": "gusset round 19, 35 sts on",
    "Large": "gusset round 21, 39 sts on",
}
"""The round that puts the thumb aside, by size: a first one, two for each increase, five, and itself; half the
stitches and the thumb's."""


def film_size(files: Files, lot: Random) -> str:
    """Another size; where rounds are named that a smaller one has not, the pattern is asked for fewer."""
    names = [one["name"] for one in files.pattern.get("sizes", ())]
    if not names:
        return ""
    files.course["film_size"] = lot.choice(names)
    if "thumb" in files.pattern["stages"]:
        files.pattern["stages"]["thumb"]["short"] = "leave out rounds 6 to 13"
        for _, _, piece in files.pieces():
            for key in {"needs", "leaves"} & piece.keys():
                piece[key] = (
                    piece[key]
                    .replace("thumb round 18", "thumb round 13")
                    .replace("gusset round 18", "gusset round 16")
                    .replace("gusset round 19, 35 sts on", GAP[files.course["film_size"]])
                )
    return f"film_size {files.course['film_size']}"


def paces(files: Files, lot: Random) -> str:
    host = lot.choice((14, 20, 28, 36, 45))
    files.course.setdefault("pace", {})["knitting"] = str(host)
    people = [str(lot.choice((10, 16, 22, 30, 42))) for _ in files.course.get("knitters", ())]
    for one, pace in zip(files.course.get("knitters", ()), people, strict=True):
        one["pace"] = pace
    return f"pace of the host {host}, of the knitters {', '.join(people)}"


def hours(files: Files, lot: Random) -> str:
    first = date.fromisoformat(files.course["shoot"][0]["day"])
    told = []
    for one in files.course.get("knitters", ()):
        one["hours_per_week"] = str(lot.choice((2, 4, 6.5, 10, 18, 30)))
        one["starts"] = str(first - timedelta(lot.randint(10, 60)))
        begin = first - timedelta(lot.randint(1, 30))
        one["away"] = [f"{begin} to {begin + timedelta(lot.randint(0, 6))}"] * lot.randint(0, 1)
        told.append(f"{one['hours_per_week']} h from {one['starts']}, away {one['away']}")
    return "; ".join(told)


def helpers(files: Files, lot: Random) -> str:
    known = [one["name"] for one in files.course.get("knitters", ())]
    told = []
    for day in files.course["shoot"]:
        some = lot.choice(([], known[:1], known[-1:], [*known[-1:], "Sunniva Rook"]))
        day.pop("helpers", None)
        if some:
            day["helpers"] = list(some)
        told.append(" and ".join(some) or "none")
    return f"helpers: {', then '.join(told)}"


def waiting(files: Files, lot: Random) -> str:
    files.samples["camera_may_wait"] = f"{lot.randint(0, 10)} min"
    return f"camera_may_wait {files.samples['camera_may_wait']}"


def lunch(files: Files, lot: Random) -> str:
    told = []
    for day in files.course["shoot"]:
        day.pop("lunch", None)
        if lot.random() < 0.75:
            at = lot.randint(11 * 60, 14 * 60)
            day["lunch"] = f"{at // 60}:{at % 60:02d} for {lot.choice((30, 45, 60))} min"
        told.append(day.get("lunch", "none"))
    return f"lunch: {', then '.join(told)}"


def takes(files: Files, lot: Random) -> str:
    some = lot.sample([one for one in files.shots() if one[1].get("pieces")], 4)
    for _, shot in some:
        shot["takes"] = str(lot.randint(1, 5))
    return ", ".join(f"{number} takes {shot['takes']}" for number, shot in some)


def kinds(files: Files, lot: Random) -> str:
    """Full, or full and short; small where the course has it."""
    able = files.pieces()
    if not any("short" in stage for stage in files.pattern["stages"].values()):
        return ""
    told = []
    for number, _, piece in lot.sample(able, min(6, len(able))):
        if "apart" in piece or "thumb round" in piece.get("needs", ""):
            continue  # a short thumb has not that round
        small = ["small"] if "small" in piece.get("kinds", "") else []
        piece["kinds"] = ["full", *lot.sample(["short", *small], lot.randint(0, 1 + len(small)))]
        told.append(f"{number} {'/'.join(piece['kinds'])}")
    return "kinds: " + ", ".join(told)


def days(files: Files, lot: Random) -> str:
    """The segments in another order, on one, two or three days; the first day's terms hold for all."""
    segments = files.segments()
    if lot.random() < 0.6:
        lot.shuffle(segments)
    count = lot.randint(1, 3)
    cuts = sorted(lot.sample(range(1, len(segments)), count - 1))
    old = files.course["shoot"]
    shoot, day = [], date.fromisoformat(old[0]["day"])
    for number, (begin, end) in enumerate(zip([0, *cuts], [*cuts, len(segments)], strict=True)):
        terms = old[min(number, len(old) - 1)]
        shoot.append({**terms, "day": str(day), "films": segments[begin:end]})
        day += timedelta(lot.choice((1, 1, 2)))
    files.course["shoot"] = shoot
    return "films: " + " | ".join(f"{one['day']} {', '.join(one['films'])}" for one in shoot)


def order(files: Files, lot: Random) -> str:
    """Mostly as it was: to look for another order takes many times as long as all else."""
    files.course["order"] = lot.choice((*["as listed"] * 12, "as told", "by view", "cheapest"))
    return f"order {files.course['order']}"


def weights(files: Files, lot: Random) -> str:
    one = {
        "piece": f"{lot.choice((0, 5, 20, 60))} min",
        "floor": str(lot.choice((0.5, 1, 1.5, 3))),
        "waiting": str(lot.choice((1, 4, 8, 20))),
    }
    files.samples["weights"] = one
    return f"weights {one}"


def night(files: Files, lot: Random) -> str:
    for day in files.course["shoot"]:
        day["night_knitting"] = f"{lot.choice((0, 20, 60, 90, 180, 420))} min"
    return f"night_knitting {', '.join(day['night_knitting'] for day in files.course['shoot'])}"


def ranges(files: Files, lot: Random) -> str:
    """Some pieces that are only shown accept what is further, too."""
    still = [one for one in files.pieces() if "leaves" not in one[2] and "needs" in one[2]]
    later = {"cuff": "gusset", "gusset": "band", "hand": "top", "edge": "brim", "brim": "body"}
    told = []
    for number, _, piece in lot.sample(still, min(3, len(still))):
        if piece["needs"] == "finished":
            continue
        state = piece.pop("needs")
        to = later.get(state, "")
        known = to in files.pattern["stages"] and lot.random() < 0.5
        piece["shows"] = f"{state} to {to}" if known else f"{state} or later"
        told.append(f"{number} shows {piece['shows']}")
    return ", ".join(told)


def drawer(files: Files, lot: Random) -> str:
    states = [piece.get("needs") or piece["leaves"] for _, _, piece in files.pieces() if "shows" not in piece]
    some = lot.sample(states, lot.randint(0, 2))
    files.samples["drawer"] = [{"name": f"an old one, number {n}", "state": one} for n, one in enumerate(some, 1)]
    return f"drawer: {'; '.join(some) or 'empty'}"


def lengths(files: Files, lot: Random) -> str:
    told = []
    for key, stage in files.pattern["stages"].items():
        for work in stage["works"]:
            if str(work.get("rounds", "")).endswith("cm"):
                work["rounds"] = f"{lot.randint(50, 110) / 10} cm"
                told.append(f"{key} {work['rounds']}")
            for rest in RESTS:
                if rest in work:
                    work[rest] = f"{lot.choice((1, 3, 8, 14, 30))} h"
                    told.append(f"{key}: {rest} {work[rest]}")
    return ", ".join(told)


def spares(files: Files, lot: Random) -> str:
    able = [one for one in files.pieces() if "apart" not in one[2]]
    told = []
    for number, _, piece in lot.sample(able, 2):
        piece["spare"] = str(lot.randint(0, 2))
        told.append(f"{number} spare {piece['spare']}")
    files.samples["days_to_spare"] = str(lot.randint(0, 5))
    return ", ".join((*told, f"days_to_spare {files.samples['days_to_spare']}"))


def moves(files: Files, lot: Random) -> str:
    """Some shots work on a piece, a round or two, which the next take needs back."""
    told = []
    able = [one for one in files.pieces() if re.search(r" round \d+$", one[2].get("needs", ""))]
    able = [one for one in able if "leaves" not in one[2]]
    for number, _, piece in lot.sample(able, min(2, len(able))):
        state, _, last = piece["needs"].rpartition(" ")
        if int(last) > 12:
            continue
        piece["leaves"] = f"{state} {int(last) + 1}"
        piece["kinds"] = "full"
        told.append(f"{number} leaves {piece['leaves']}")
    return ", ".join(told)


EDITS: tuple[Callable[[Files, Random], str], ...] = (
    film_size, paces, hours, days, helpers, waiting, lunch, takes, kinds, order, weights, night, moves, ranges, drawer,
    lengths, spares,
)  # fmt: skip
"""In the order in which they are made."""
