"""Read a course folder into a `Course`, reporting everything that is wrong with it in one go."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import reduce
from pathlib import Path
from typing import Any, TypeVar, cast

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from lessonplan.course.files import UnfitError, inside, read_plain
from lessonplan.course.model.agreed import Agreed
from lessonplan.course.model.episodes import Episode
from lessonplan.course.model.pattern import Pattern
from lessonplan.course.model.publishing import Decisions, Errata, Published
from lessonplan.course.model.settings import CourseFile
from lessonplan.course.model.together import Course
from lessonplan.course.model.works import TAG, WORK_KEYS
from lessonplan.course.names.errataplaces import in_todays_episodes
from lessonplan.course.problems import (
    Problem,
    Where,
    did_you_mean,
    error,
    first_of,
    has_errors,
    in_reading_order,
    nearest,
    warning,
)
from lessonplan.course.rules.crosschecks import RULES
from lessonplan.course.values.fields import Item
from lessonplan.course.words import capital
from lessonplan.course.yamltext import MAX_BYTES, MarkedMap, read_yaml
from lessonplan.remembered import remembered

Model = TypeVar("Model", bound=Item)
MAX_FILES, MAX_SHOTS = 500, 5_000


@dataclass(frozen=True)
class Loaded:
    """What reading a folder gave: the course, unless a file has errors in it; all problems; the files in order.

    ``rest``: the course without what could not be read, if enough is left to look for what else is wrong.
    """

    course: Course | None
    problems: tuple[Problem, ...]
    files: tuple[str, ...]
    rest: Course | None = None


def load(folder: Path) -> Loaded:
    """Read a course folder.

    Raises ``OSError`` when a file or the folder of episodes is there and cannot be read. Everything else that is wrong
    comes back as problems.
    """
    missing = _not_a_course(folder)
    if missing:
        return Loaded(None, (missing,), ())
    problems = [*_misnamed(folder)]
    course_file = _read(folder / "course.yaml", "course.yaml", CourseFile, problems)
    pattern = _read(folder / "pattern.yaml", "pattern.yaml", Pattern, problems)
    episode_files = _episode_files(folder / "episodes", problems)
    read = (_read(path, f"episodes/{path.name}", Episode, problems) for path in episode_files)
    episodes = [episode for episode in read if episode]
    errata: Errata | None = Errata()
    if (folder / "errata.yaml").exists():
        errata = _read(folder / "errata.yaml", "errata.yaml", Errata, problems)
    agreed: Agreed | None = None
    if (folder / "agreed.yaml").exists():
        agreed = _read(folder / "agreed.yaml", "agreed.yaml", Agreed, problems) or Agreed()
    decided: Decisions | None = Decisions()
    if (folder / "proofed.yaml").exists():
        decided = _read(folder / "proofed.yaml", "proofed.yaml", Decisions, problems)
    records = sorted((folder / "published").glob("[!.]*.yaml"))[:MAX_FILES]
    published = [_read(path, f"published/{path.name}", Published, problems) for path in records]
    named = (f"episodes/{path.name}" for path in episode_files)
    kept = (f"published/{path.name}" for path in records)
    files = ("course.yaml", "pattern.yaml", *named, "errata.yaml", "agreed.yaml", "proofed.yaml", *kept)
    whole = not has_errors(problems)
    course = None
    shots = sum(len(segment.shots) for episode in episodes for segment in episode.segments)
    if shots > MAX_SHOTS:
        what = f"There are {shots:,} shots; a course may have {MAX_SHOTS:,} at most."
        problems.append(error(Where("episodes", 0, 0), "too-many", what))
    elif course_file and pattern and errata and episodes:
        course = Course(
            name=folder.resolve().name,
            course=course_file,
            pattern=pattern,
            episodes=tuple(episodes),
            errata=errata,
            agreed=agreed,
            decided=decided or Decisions(),
            published=tuple(sorted((one for one in published if one), key=lambda one: one.edition)),
        )
        course, moved = in_todays_episodes(course)
        told = [*moved, *(problem for rule in RULES for problem in first_of(rule(course)))]
        unread = len(episodes) < len(episode_files)  # then a shot that is not there may stand in what was not read
        problems += [one for one in told if not (unread and one.code in ("unknown-shot", "lost-slate"))]
        in_order = tuple(sorted(episodes, key=lambda episode: episode.episode))
        course = course.model_copy(update={"episodes": in_order})
    return Loaded(course if whole else None, in_reading_order(problems, files), files, course)


def _episode_files(place: Path, problems: list[Problem]) -> list[Path]:
    """Give the files of episodes in order; none where there are too many, and none there are is a problem too."""
    found = sorted(place.iterdir()) if place.is_dir() else []
    files = [path for path in found if path.suffix in (".yaml", ".yml") and not path.name.startswith(".")]
    if not files:
        texts = any(path.suffixes[-2:] in ([".yaml", ".txt"], [".yml", ".txt"]) for path in found)
        hint = "" if texts else (not found and _otherwise(place)) or "Add episodes/01-….yaml."
        problems.append(error(Where("episodes", 0, 0), "no-episodes", "There is no episode yet.", hint))
    if len(files) > MAX_FILES:
        what = f"There are {len(files)} episode files."
        problems.append(error(Where("episodes", 0, 0), "too-many-files", what))
        return []
    return files


def _misnamed(folder: Path) -> Iterator[Problem]:
    """Warn of files that a text editor gave another ending, which are not read."""
    for path in sorted((*folder.glob("*.txt"), *folder.glob("episodes/*.txt"))):
        if path.suffixes[-2:] in ([".yaml", ".txt"], [".yml", ".txt"]):
            what = f"This file is not read, since its name ends in .txt; call it {path.stem}."
            if (folder / path.stem).exists() or path.parent != folder:  # otherwise the missing file is told of
                yield warning(Where(path.relative_to(folder).as_posix(), 0, 0), "file-name", what)


def _otherwise(path: Path) -> str:
    """Say how to name what is there under nearly the name of a file or folder that is missing."""
    alike = {path.name, f"{path.stem}.yml", f"{path.name}.txt", f"{path.stem}.yml.txt", f"{path.stem}.txt"}
    near = (one.name for one in sorted(path.parent.glob("*")) if one.name.lower() in alike)
    found = next((name for name in near if name != path.name), "")  # a link that leads nowhere bears the very name
    return f"{found} is there: call it {path.name}." if found else ""


def _not_a_course(folder: Path) -> Problem | None:
    shown = str(folder)
    if not folder.exists():
        return error(Where(shown, 0, 0), "no-folder", "There is no such folder.")
    if not folder.is_dir():
        hint = f"Give its folder: {folder.parent}." if (folder.parent / "course.yaml").exists() else ""
        return error(Where(shown, 0, 0), "no-folder", "This is a file; a course is a folder.", hint)
    if not (folder / "course.yaml").exists() and not (folder / "pattern.yaml").exists():
        return error(
            Where(shown, 0, 0),
            "not-a-course",
            "This folder is not a course: it holds neither course.yaml nor pattern.yaml.",
            _course_near(folder),
        )
    return None


def _course_near(folder: Path) -> str:
    """Name a course within a folder or around it, or the file that only needs another name."""
    below = sorted(one for one in folder.glob("*/course.yaml"))
    around = [one for one in (folder.resolve().parent / "course.yaml",) if one.exists()]
    if near := [*below, *around][:1]:
        return f"There is one in {near[0].parent}."
    return _otherwise(folder / "course.yaml")


def _read(path: Path, name: str, model: type[Model], problems: list[Problem]) -> Model | None:
    if not path.exists():
        hint = _otherwise(path)
        problems.append(error(Where(name, 0, 0), "missing-file", f"The file {name} is missing.", hint))
        return None
    try:
        data = read_plain(inside(path.parents[name.count("/")], name), Where(name), MAX_BYTES)
    except UnfitError as bad:
        problems.append(bad.problem)
        return None
    value, found = read_one(data, name, model)
    problems.extend(found)
    return value


def read_one(data: bytes, name: str, model: type[Model]) -> tuple[Model | None, tuple[Problem, ...]]:
    """Read the bytes of one file of a course: what it holds, and what is wrong with it."""
    value, problems = _parsed(data, name, model)
    return cast("Model | None", value), problems


@remembered(32, equal=True)
def _parsed(data_read: bytes, name: str, model: type[Item]) -> tuple[Item | None, tuple[Problem, ...]]:
    """Read the bytes of a file: the same bytes of a file give the very same value."""
    data, problems = read_yaml(data_read, name)
    if data is None:
        return None, tuple(problems)
    _in_words_of_any_craft(data)
    try:
        return model.model_validate(data), tuple(problems)
    except ValidationError as bad:
        details = bad.errors(include_url=False)
    problems.extend(first_of(_told(details, data, model)))
    return _without_what_is_wrong(data, [one["loc"] for one in details], model), tuple(problems)


def _told(details: Sequence[ErrorDetails], data: MarkedMap, model: type[Item]) -> Iterator[Problem]:
    """Explain the errors of the model, without those that only follow from others."""
    places = [one["loc"] for one in details]
    for one in details:
        follows = one["type"] == "too_short" and any(
            len(loc) > len(one["loc"]) and loc[: len(one["loc"])] == one["loc"] for loc in places
        )
        if not follows and not _meant(one, details):
            yield _explain(one, data, model)


def _meant(missing: ErrorDetails, details: Sequence[ErrorDetails]) -> bool:
    """Tell whether a key is missing only since it is misspelt beside, which is told of there."""
    if missing["type"] != "missing":
        return False
    *place, key = missing["loc"] or ("",)
    beside = [
        str(one["loc"][-1]) for one in details if one["type"] == "extra_forbidden" and [*one["loc"][:-1]] == place
    ]
    return any(nearest(one, [str(key)]) for one in beside)


def _in_words_of_any_craft(value: Any, holder: str = "") -> None:
    """Read ``makers`` for ``knitters`` and the like, where a key of the program speaks of knitting."""
    if isinstance(value, list):
        for one in value:
            _in_words_of_any_craft(one, holder)
    elif isinstance(value, MarkedMap):
        for old, new in SAME_KEYS.get(holder, {}).items():
            value.rename(old, new)
        for key in ("shoot", "segments", "shots", "notes", *(() if holder else ("pieces",))):  # those agreed
            if key in value:
                _in_words_of_any_craft(value[key], key)


def _without_what_is_wrong(data: MarkedMap, places: list[tuple[int | str, ...]], model: type[Model]) -> Model | None:
    """Leave out each value that could not be read, so that the rules between files can still be tried on the rest."""
    for place in sorted(places, key=str, reverse=True):
        path = [part for part in place if not (isinstance(part, str) and part.startswith(TAG))]
        if not path:
            return None  # all of it
        holder = _at(data, path[:-1])
        if isinstance(holder, dict):
            holder.pop(str(path[-1]), None)
        elif isinstance(holder, list) and isinstance(path[-1], int) and path[-1] < len(holder):
            del holder[path[-1]]
    try:
        return model.model_validate(data)
    except ValidationError:
        return None


def _explain(details: ErrorDetails, data: MarkedMap, model: type[Item]) -> Problem:
    """Turn one error of the model into a problem at the right place."""
    path = [part for part in details["loc"] if not (isinstance(part, str) and part.startswith(TAG))]
    kind = details["type"]
    key = str(path[-1]) if path else ""
    holder, where = _find(data, path)
    if kind == "extra_forbidden":
        where = holder.marks.keys.get(key, where)
        hint = did_you_mean(key, _keys_at(details["loc"], model))
        if "works" in path and key in WORK_KEYS:
            hint = f"What is done next is an entry of its own, in a line that begins with a hyphen: “- {key}: ...”."
        return error(where, "unknown-key", f"“{key}” is not a key that is known here.", hint)
    if kind == "missing":
        around = _at(data, path[:-1])
        here = (around if isinstance(around, MarkedMap) else data).marks.here
        return error(here, "missing-key", f"“{key}” is missing here.")
    if kind == "work":
        keys = ", ".join(dict.fromkeys(WORK_KEYS))
        typed = _at(data, path)
        names = list(typed) if isinstance(typed, dict) else []
        hints = [hint for name in names if (hint := did_you_mean(name, WORK_KEYS)).startswith("Did")]
        hint = hints[0] if hints else f"A work has one of these keys: {keys}."
        return error(where, "no-work", "This work does not say what is done.", hint)
    curly = str(details.get("input")).strip()[:1] in {*"“”„‘’"}
    hint = 'A word processor made these quotation marks curly: type straight ones, "…".' if curly else ""
    return error(where, _CODES.get(kind, "wrong-value"), _sentence(details, key), hint)


SAME_KEYS = {
    "": {"makers": "knitters"},
    "shoot": {"night_work": "night_knitting"},
    "notes": {"maker": "knitter"},
    "pieces": {"maker": "knitter"},
}
"""Keys that mean the same in any craft, by the key whose mapping they stand in."""
_CODES = {"value_error": "wrong-value", "literal_error": "wrong-choice"}


def _sentence(details: ErrorDetails, key: str) -> str:
    kind, given, context = details["type"], details.get("input"), details.get("ctx", {})
    shown = f"“{given}”" if isinstance(given, (str, int, float)) else "What stands here"
    match kind:
        case "value_error":
            text = str(context.get("error", details["msg"]))
            return capital(text) + "."
        case "literal_error":
            return f"{shown} is none of the choices: {str(context['expected']).replace(chr(39), '')}."
        case "bool_parsing" | "bool_type":
            return f"{shown} should be yes or no."
        case "int_parsing" | "int_type" | "int_from_float":
            return f"{shown} is not a whole number."
        case "float_parsing" | "float_type" | "finite_number":
            return f"{shown} is not a number."
        case "greater_than" | "greater_than_equal" | "less_than" | "less_than_equal":
            bound = next(iter(context.values()))
            word = {
                "greater_than": "more than",
                "greater_than_equal": "at least",
                "less_than": "less than",
                "less_than_equal": "at most",
            }[kind]
            return f"{shown} should be {word} {bound}."
        case "too_short":
            return f"“{key}” should hold at least {context['min_length']}, and holds {context['actual_length']}."
        case "too_long":
            return f"“{key}” may hold {context['max_length']} at most."
        case "tuple_type" | "list_type":
            return f"“{key}” should be a list (lines that start with a hyphen)."
        case "model_type" | "dict_type" | "model_attributes_type":
            return f"{shown} should be a group of “key: value” lines."
        case "string_pattern_mismatch":
            return f"{shown} does not have the form expected for “{key}”."
    return f"{shown} cannot be used for “{key}” ({details['msg'].lower()})."


def _at(data: Any, path: list[int | str]) -> Any:
    for part in path:
        try:
            data = data[part]
        except (KeyError, IndexError, TypeError):
            return None
    return data


def _find(data: MarkedMap, path: list[int | str]) -> tuple[MarkedMap, Where]:
    """Give the innermost mapping around the value that a path names, and the place of that value."""
    holder, inside = data, []
    value: Any = data
    for number, part in enumerate(path):
        inside.append(part)
        try:
            value = value[part]
        except (KeyError, IndexError, TypeError):
            break
        if isinstance(value, MarkedMap) and number < len(path) - 1:
            holder, inside = value, []
    for end in range(len(inside), 0, -1):
        where = holder.marks.values.get(tuple(inside[:end]))
        if where:
            return holder, where
    return holder, holder.marks.here


def _keys_at(path: tuple[int | str, ...], model: type[Item]) -> list[str]:
    """List the keys that are known where the last part of an error path stands."""
    return list(getattr(reduce(_step, path[:-1], cast("Any", model)), "model_fields", {}))


def _step(current: Any, part: int | str) -> Any:
    """Go one part of an error path down in the types of the model."""
    if isinstance(part, str) and part.startswith(TAG):
        kinds = {kind.__name__: kind for kind in WORK_KEYS.values()}
        return kinds[part[1:]]
    if isinstance(part, str) and isinstance(current, type) and issubclass(current, Item):
        field = current.model_fields.get(part)
        return _model_in(field.annotation) if field else current  # a name that the teacher gave, as of a stage
    return current


def _model_in(annotation: Any) -> Any:
    """Find the model inside a type such as ``tuple[Shot, ...]`` or ``Lunch | None``."""
    if isinstance(annotation, type) and issubclass(annotation, Item):
        return annotation
    for inner in getattr(annotation, "__args__", ()):
        found = _model_in(inner)
        if found:
            return found
    return None
