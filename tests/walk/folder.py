"""The course's own files, read as plain texts: shots with their tables, people, shoot days. Nothing is worked out."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import yaml

from tests.walk.paper import clock_of, minutes_of


@dataclass(frozen=True)
class Asked:
    """A piece as a shot asks for it: states and ranges in the teacher's words."""

    state: str
    leaves: str
    kinds: tuple[str, ...]
    spare: int
    apart: bool


@dataclass(frozen=True)
class Shot:
    number: str
    view: str
    takes: int
    one_way: bool
    runs_on: bool
    pieces: tuple[Asked, ...]
    tools: str

    @property
    def segment(self) -> str:
        return self.number.rpartition(".")[0]


@dataclass(frozen=True)
class Day:
    """A shoot day; times in minutes after midnight. ``lunch`` is when and how long, where there is any."""

    day: date
    call: int
    lunch: tuple[int, float] | None
    helpers: tuple[str, ...]
    films: tuple[str, ...]
    night: float


@dataclass(frozen=True)
class Person:
    name: str
    pace: float
    week: float
    starts: date
    away: tuple[tuple[date, date], ...]


@dataclass(frozen=True)
class Folder:
    """What the teacher wrote. ``begun`` has the state of what exists, by its name; ``fixed`` the minutes on set."""

    host: str
    size: str
    pace: float
    order: str
    shots: tuple[Shot, ...]
    days: tuple[Day, ...]
    people: tuple[Person, ...]
    begun: Mapping[str, str]
    spare_days: int
    may_wait: float
    fixed: Mapping[str, float]
    pattern: Mapping[str, Any]


def read_folder(path: Path) -> Folder:
    """Read the course of a folder; every value stays the text that was typed."""
    file = _yaml(path / "course.yaml")
    pace, samples = file.get("pace") or {}, file.get("samples") or {}
    days = tuple(_day(one) for one in file["shoot"])
    return Folder(
        host=file["host"],
        size=file.get("film_size", ""),
        pace=float(pace.get("knitting", 25)),
        order=file.get("order", "as listed"),
        shots=tuple(shot for name in sorted((path / "episodes").glob("*.yaml")) for shot in _shots(_yaml(name))),
        days=days,
        people=tuple(_person(one, days[0].day) for one in file.get("knitters") or ()),
        begun={**{one["name"]: one["state"] for one in samples.get("drawer") or ()}, **_progress(path)},
        spare_days=int(samples.get("days_to_spare", 2)),
        may_wait=time_of(samples.get("camera_may_wait", "3 min")),
        fixed={
            name: time_of(pace.get(name, usual))
            for name, usual in (
                ("set_up", "45 min"), ("view_change", "4 min"), ("tray_change", "2 min"), ("reset", "1 min"),
                ("swap", "30 s"),
            )
        },
        pattern=_yaml(path / "pattern.yaml"),
    )  # fmt: skip


def _yaml(path: Path) -> dict[str, Any]:
    found = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
    return dict(found or {})


def _progress(path: Path) -> dict[str, str]:
    """How far the pieces are that were agreed, by their letters; those not begun are not there."""
    agreed = _yaml(path / "agreed.yaml") if (path / "agreed.yaml").exists() else {}
    return {
        letter: re.sub(r",\s*[\dh ]+min$|,\s*\d+ h$", "", text)
        for letter, text in (agreed.get("progress") or {}).items()
    }


def names(value: Any) -> tuple[str, ...]:
    """A list typed as one: ``1.1, 3.5`` or an item a line."""
    if not value:
        return ()
    items = value if isinstance(value, list) else str(value).split(",")
    return tuple(str(one).strip() for one in items)


def time_of(text: str) -> float:
    """Minutes of a time as typed."""
    return minutes_of(text) if re.search("[a-z]", text) else float(text)


def _shots(episode: Mapping[str, Any]) -> list[Shot]:
    return [
        Shot(
            f"{episode['episode']}.{place}.{number}",
            shot["view"],
            int(shot.get("takes", 2)),
            shot.get("one_way", "no") == "yes",
            shot.get("runs_on", "no") == "yes",
            tuple(_asked(piece) for piece in shot.get("pieces") or ()),
            ", ".join(names(shot.get("tools"))).lower(),
        )
        for place, segment in enumerate(episode["segments"], 1)
        for number, shot in enumerate(segment["shots"], 1)
    ]


def _asked(piece: Mapping[str, Any]) -> Asked:
    return Asked(
        piece.get("needs") or piece["shows"],
        piece.get("leaves", ""),
        names(piece.get("kinds")) or ("full",),
        int(piece.get("spare", 0)),
        piece.get("apart", "no") == "yes",
    )


def _day(one: Mapping[str, Any]) -> Day:
    lunch = None
    if one.get("lunch"):
        at, _, length = one["lunch"].partition(" for ")
        lunch = (clock_of(at), time_of(length or "45 min"))
    return Day(
        date.fromisoformat(one["day"]),
        clock_of(one.get("call", "9:00")),
        lunch,
        names(one.get("helpers")),
        names(one["films"]),
        time_of(one.get("night_knitting", "0 min")),
    )


def _person(one: Mapping[str, Any], first: date) -> Person:
    away = []
    for period in one.get("away") or ():
        begin, _, end = period.partition(" to ")
        away.append((date.fromisoformat(begin), date.fromisoformat(end or begin)))
    starts = date.fromisoformat(one["starts"]) if "starts" in one else date.fromordinal(first.toordinal() - 56)
    hours = re.match(r"[\d.]+", one.get("hours_per_week", "5"))
    return Person(one["name"], float(one.get("pace", 25)), 60 * float(hours[0] if hours else 5), starts, tuple(away))
