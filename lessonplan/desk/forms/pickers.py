"""What a field may be, from the other files of the course: states, stages, yarns, knitters, shots, facts and more."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from lessonplan.course.model.lesser import KINDS
from lessonplan.craft import tables
from lessonplan.craft.techniques import all_techniques
from lessonplan.craft.words import OTHER
from lessonplan.desk.forms.sources import Folder
from lessonplan.desk.forms.values import Path

MOMENTS = ("the start", "the end")


class Pickers:
    """Offers for fields."""

    def __init__(self, folder: Folder) -> None:
        self.folder = folder
        self.pattern, self.course = folder.data("pattern.yaml"), folder.data("course.yaml")

    def offers(self, path: Path) -> tuple[str, ...]:
        """Give what a field may be; nothing where anything may be typed."""
        key = str(path[-1])
        holder = next((str(step) for step in reversed(path[:-1]) if isinstance(step, str)), "")
        return tuple(dict.fromkeys(self._offers(key, holder)))

    def _offers(self, key: str, holder: str) -> Iterator[str]:
        match (holder, key):
            case ("pieces" | "drawer", "needs" | "leaves" | "state" | "stop"):
                yield from self.states()
            case ("pieces", "shows"):
                yield from (f"{state} or later" for state in self.states() if state not in ("nothing", "finished"))
            case ("pieces", "kinds"):
                yield from KINDS
            case (_, "stage") | ("stages", "after"):
                yield from _keys(self.pattern.get("stages"))
            case ("shots", "after") | ("shoot", "films") | ("drawer", "not_in"):
                yield from self.numbers()
            case (_, "view" | "views"):
                yield from self.views()
            case ("shots", "tools") | ("tools", "holds"):
                yield from (*_keys(self.course.get("tools")), *_keys(self.pattern.get("yarns")))
            case ("works", "yarn" | "carry"):
                yield from (*_keys(self.pattern.get("yarns")), "waste")
            case ("works", "chart"):
                yield from _keys(self.pattern.get("charts"))
            case ("works", "take_up" | "open" | "to"):
                yield from self._held()
            case (_, "when") | ("kits", "choices"):
                yield from self._choices()
            case (_, "film_size") | ("kits", "size"):
                yield from self._sizes()
            case ("shoot", "helpers") | ("pieces", "knitter"):
                yield from self._knitters()
            case ("holds", "what"):
                yield from (*_keys(self.pattern.get("yarns")), *_texts(self.pattern.get("notions")))
                yield from (*_texts(self.pattern.get("needles")), *_keys(self.course.get("tools")))
            case ("", "craft"):
                yield from (row["craft"] for row in tables.rows("crafts") if row["craft"] != OTHER)
            case ("progress", _):
                yield from self.states()
            case ("errata", "where"):
                yield from (f"shot {number}" for number in self.numbers() if number.count(".") == 2)
            case ("cues", "at"):
                yield from MOMENTS

    def names(self, path: Path) -> tuple[str, ...]:
        """Give the names that entries under names of the teacher's own may have, where others know of them too."""
        match path[-1]:
            case "techniques":
                return tuple(all_techniques())
            case "uses":
                return _keys(self.pattern.get("materials"))
            case "progress":
                pieces = _list(self.folder.data("agreed.yaml").get("pieces"))
                return tuple(str(one.get("letter", "")) for one in pieces if isinstance(one, dict))
            case "kit":
                return tuple(self._choices())
        return ()

    def states(self) -> Iterator[str]:
        """Name the states of a piece in the order of the stages: before and after each, and its points."""
        yield "nothing"
        stages = self.pattern.get("stages")
        for key, stage in stages.items() if isinstance(stages, dict) else ():
            yield f"before {key}"
            for work in _list(stage.get("works")) if isinstance(stage, dict) else ():
                if isinstance(work, dict) and isinstance(work.get("point"), str):
                    yield work["point"]
            yield key
        yield "finished"

    def numbers(self) -> Iterator[str]:
        """Name the episodes, segments and shots by their numbers."""
        for file in self.folder.episodes:
            episode = self.folder.data(file)
            number = str(episode.get("episode", ""))
            yield number
            for place, segment in enumerate(_list(episode.get("segments")), 1):
                yield f"{number}.{place}"
                shots = _list(segment.get("shots")) if isinstance(segment, dict) else []
                yield from (f"{number}.{place}.{shot}" for shot, _ in enumerate(shots, 1))

    def views(self) -> Iterator[str]:
        """Name the views that the course lists and those that its shots have."""
        yield from _texts(self.course.get("views"))
        for file in self.folder.episodes:
            for segment in _list(self.folder.data(file).get("segments")):
                for shot in _list(segment.get("shots")) if isinstance(segment, dict) else ():
                    if isinstance(shot, dict) and isinstance(shot.get("view"), str):
                        yield shot["view"]

    def _held(self) -> Iterator[str]:
        stages = self.pattern.get("stages")
        for stage in stages.values() if isinstance(stages, dict) else ():
            for work in _list(stage.get("works")) if isinstance(stage, dict) else ():
                if isinstance(work, dict):
                    names = (work.get("holds"), work.get("name") if "hold" in work or "placeholder" in work else None)
                    yield from (name for name in names if isinstance(name, str))

    def _choices(self) -> Iterator[str]:
        options = self.pattern.get("options")
        for one in options.values() if isinstance(options, dict) else ():
            told = one.get("choices") if isinstance(one, dict) else one
            if isinstance(told, str):
                told = told.replace(" or ", ", ")
            yield from _texts(told)

    def _sizes(self) -> Iterator[str]:
        for one in _list(self.pattern.get("sizes")):
            yield str(one.get("name", "")) if isinstance(one, dict) else str(one)
        if isinstance(self.pattern.get("sizes"), str):
            yield from _texts(self.pattern["sizes"])

    def _knitters(self) -> Iterator[str]:
        for one in _list(self.course.get("knitters") or self.course.get("makers")):
            if isinstance(one, dict) and isinstance(one.get("name"), str):
                yield one["name"]


def _list(value: Any) -> list[Any]:
    return value if isinstance(value, list) else []


def _keys(value: Any) -> tuple[str, ...]:
    return tuple(value) if isinstance(value, dict) else ()


def _texts(value: Any) -> tuple[str, ...]:
    if isinstance(value, str):
        return tuple(part.strip() for part in value.split(",") if part.strip())
    return tuple(one for one in _list(value) if isinstance(one, str))
