"""The files of a first course, from answers and the templates in ``templates/begin``."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cache
from itertools import pairwise
from pathlib import Path
from tempfile import TemporaryDirectory

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from lessonplan.beginning.constructions import MADE, OTHER, Body, bodies
from lessonplan.beginning.questions import AnswerError, Answers
from lessonplan.beginning.written.file import set_aside, write
from lessonplan.beginning.written.given import Episode, quoted
from lessonplan.beginning.written.materials import hexes_of
from lessonplan.beginning.written.pattern import Pattern
from lessonplan.course.files import write_new
from lessonplan.course.problems import Problem
from lessonplan.craft.gauge import Fabric
from lessonplan.craft.lengths import INCH, inches
from lessonplan.craft.words import common_words, craft_named
from lessonplan.pattern.colour import ends_left
from lessonplan.planning.plan import plan
from lessonplan.planning.worked import Result, load
from lessonplan.reference.schema import FOLDER, MODELS, modeline, write_schemas
from lessonplan.render.pages import templates_folder

_LETTERS = "AB"
_WEEKS = (8, 10, 12, 16, 20, 26, 34, 44, 52, 78, 104)
"""Weeks from today to the first day of filming, tried one after the other (a guess at what people plan)."""


@cache
def _templates() -> Environment:
    environment = Environment(
        loader=FileSystemLoader(templates_folder() / "begin"),
        undefined=StrictUndefined,
        autoescape=False,
        trim_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters["text"] = lambda value: quoted(str(value))
    return environment


@dataclass(frozen=True)
class From:
    """What a course is begun from besides the answers: a written pattern, and episodes (titles and segments)."""

    pattern: Pattern | None = None
    episodes: tuple[Episode, ...] = ()


NOTHING = From()


def files(answers: Answers, given: From = NOTHING) -> Mapping[str, str]:
    """Give the text of every file of the course by its path in the folder; ``answers.days`` must be set."""
    if given.pattern is not None:
        name, (values, more) = "pattern", _written(answers, given.pattern)
        pattern = write(given.pattern).text
    else:
        name = craft_named(answers.craft) if answers.made == OTHER else answers.made.replace(" ", "-")
        name = "other" if f"{name}.yaml" not in _templates().list_templates() else name
        values, more = _other(answers) if answers.made == OTHER else _knitted(answers)
        pattern = _text("head.yaml", values) + _text(f"{name}.yaml", values)
    found = {"course.yaml": _text("course.yaml", values, days=_days(answers), **more), "pattern.yaml": pattern}
    episodes = given.episodes or _episodes(_lessons(_text(f"{name}-lessons.yaml", values)), answers.episodes)
    for number, episode in enumerate(episodes, 1):
        text = _text("episode.yaml", values, number=number, title=episode.title, segments="\n\n".join(episode.segments))
        found[f"episodes/{number:02}.yaml"] = text.rstrip() + "\n"
    return found


def _episodes(lessons: Sequence[str], count: int) -> tuple[Episode, ...]:
    """Share the segments of a whole course out over its episodes, each called after its first part of its own."""
    if count > len(lessons):
        raise AnswerError(
            "episodes", f"There are {len(lessons)} parts to show, so there are {len(lessons)} episodes at most."
        )
    shared = _shared(lessons, count)
    return tuple(
        Episode(_title(segments[1 if not number and len(segments) > 1 else 0]), tuple(segments))
        for number, segments in enumerate(shared)
    )


def begin(folder: Path, answers: Answers, given: From = NOTHING) -> tuple[tuple[Path, ...], tuple[date, ...]]:
    """Write a first course into a folder that is new or empty, and give its files and the days of its shoot.

    Raises ``FileExistsError`` otherwise: no file is ever written over.
    """
    check_free(folder)
    if not answers.days:
        answers = replace(answers, days=_soonest(answers, given))
    return _write(folder, answers, given, helped=True), answers.days


def check_free(folder: Path) -> None:
    """Raise ``FileExistsError`` unless a folder is new or empty."""
    if folder.exists() and not (folder.is_dir() and is_free(folder)):
        raise FileExistsError(f"{folder} is there and not empty: name a new folder, so that nothing is written over.")


def is_free(folder: Path) -> bool:
    """Tell whether nothing of anybody's is in a folder.

    What a system or a desk keeps hidden there does not count, nor do schemas that a course left that was undone.
    """
    return all(path.name.startswith(".") or _is_schemas(path) for path in folder.iterdir())


def _is_schemas(path: Path) -> bool:
    return (
        path.name == FOLDER
        and path.is_dir()
        and {one.name for one in path.iterdir()} <= {f"{one}.json" for one in MODELS}
    )


def settle(pattern: Pattern, answers: Answers) -> None:
    """Let a written pattern be worked by the course, and set aside what that cannot work though the print is sound.

    What the print itself has wrong is left for its author, who finds it by ``check``.
    """
    for _ in range(sum(len(stage.works) for stage in pattern.stages) + 1):
        loaded = tried(answers, From(pattern))
        if loaded.worked is not None:
            pattern.count_ends(max(ends_left(loaded.worked.pattern, size) for size in range(len(pattern.sizes))))
        if not _set_aside(pattern, loaded.problems):
            return


def tried(answers: Answers, given: From = NOTHING) -> Result:
    """Load the course that comes of answers, in one episode, from a folder that goes again."""
    days = answers.days[:1] or (answers.today + timedelta(days=365),)
    some = replace(answers, days=days, shoot_days=1, episodes=1)
    with TemporaryDirectory() as folder:
        _write(Path(folder), some, given)
        return load(folder)


def _set_aside(pattern: Pattern, problems: Sequence[Problem]) -> bool:
    """Set aside the first work that has an error of the course's own making; whether there was one.

    Behind a work that the print has wrong nothing is: what does not fit there may come from that slip alone.
    """
    errors = [one for one in problems if one.severity == "error" and one.where.file == "pattern.yaml"]
    for first, last, stage, place in write(pattern).works:
        work = pattern.stages[stage].works[place]
        here = [one for one in errors if first <= one.where.line <= last]
        if here and pattern.faulty(work):
            return False
        if here and "minutes" not in work.keys:
            set_aside(pattern, stage, place, here[0].message)
            return True
    return False


def _write(folder: Path, answers: Answers, given: From, *, helped: bool = False) -> tuple[Path, ...]:
    """Write the files; ``helped``: with the schemas by which an editor helps, and a first line that names them."""
    texts = files(answers, given)
    if helped:
        texts = {path: modeline(path) + text for path, text in texts.items()}
    for name, text in texts.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        write_new(folder / name, text.encode())
    return (*(folder / name for name in texts), *(write_schemas(folder) if helped else ()))


def _soonest(answers: Answers, given: From) -> tuple[date, ...]:
    """The first days of filming, in whole weeks from today, for which a plan has every sample ready."""
    for weeks in _WEEKS:
        first = answers.today + timedelta(weeks=weeks)
        days = tuple(first + timedelta(days=number) for number in range(answers.shoot_days))
        with TemporaryDirectory() as folder:
            _write(Path(folder), replace(answers, days=days), given)
            planned = plan(folder).plan
        if planned is None or not planned.calendar.late:
            break  # where there are errors, no day is better than another
    return days


def _knitted(answers: Answers) -> tuple[dict[str, object], dict[str, object]]:
    """What the files of a knitted thing print, and what only ``course.yaml`` prints."""
    made = MADE[answers.made]
    sizes = [body for body in bodies(answers.made) if body.size in answers.sizes]
    over = float(answers.over.split()[0]) * (INCH if answers.over.endswith("in") else 10.0)
    two = len(answers.colours) > 1
    numbers = made.numbers(Fabric.of(float(answers.stitches), float(answers.rounds), over), sizes, two)
    values: dict[str, object] = {
        **numbers,
        "answers": answers,
        "made": made,
        "two": two,
        "ends": 4 if two else 2,
        "sizes": [_fits(body, "wide" if "scarf" in answers.made else "around") for body in sizes],
        "yarns": _yarns(answers),
        "words": common_words(made.craft),
    }
    camera = max(4, round(float(answers.pace) / 2))
    return values, {
        "summary": made.summary,
        "film_size": sizes[len(sizes) // 2].size,
        "camera_pace": camera,
        "rights": "",
        "recipient": _recipient(answers.sizes),
    }


def _recipient(sizes: Sequence[str]) -> str:
    """Say for whom it is, where a size is a child's: its cautions then stand on all papers."""
    if any(re.search(r"\b(?:months?|newborn|toddler|[12]\b(?=.*\b(?:years?|yrs?)))\b", size.lower()) for size in sizes):
        return "child under 3"
    return "child" if any(re.search(r"\bchild|\byears?\b", size.lower()) for size in sizes) else ""


def _written(answers: Answers, pattern: Pattern) -> tuple[dict[str, object], dict[str, object]]:
    """What the files of a course from a written pattern print."""
    values: dict[str, object] = {
        "answers": answers,
        "made": pattern,
        "two": False,
        "stages": pattern.shown(),
        "words": common_words(pattern.materials.craft),
    }
    summary = "\n\n".join(pattern.summary) or "What we make together."
    camera = max(4, round(float(answers.pace) / 2))
    size = pattern.film_size if len(pattern.sizes) > 1 else ""
    return values, {
        "summary": summary, "film_size": size, "camera_pace": camera, "rights": pattern.materials.rights,
        "recipient": _recipient(pattern.for_whom),
    }  # fmt: skip


def _other(answers: Answers) -> tuple[dict[str, object], dict[str, object]]:
    words = common_words(craft_named(answers.craft))
    values: dict[str, object] = {"answers": answers, "made": None, "two": False, "words": words}
    return values, {
        "summary": f"A first course in {answers.craft}.",
        "film_size": "",
        "rights": "",
        "recipient": "",
    }


def _text(name: str, values: Mapping[str, object], **more: object) -> str:
    return _templates().get_template(name).render(values, **more)


def _lessons(text: str) -> list[str]:
    """The segments of a whole course, each as the lines of its list entry."""
    return [part.rstrip() for part in re.split(r"^(?=  - title:)", text, flags=re.M) if part.strip()]


def _title(segment: str) -> str:
    return segment.split("title:", 1)[1].split("\n", 1)[0].strip().strip('"')


def _shared(lessons: Sequence[str], episodes: int) -> list[list[str]]:
    """Share the segments out over the episodes in their order, as evenly as may be."""
    cuts = [round(len(lessons) * number / episodes) for number in range(episodes + 1)]
    return [list(lessons[first:last]) for first, last in pairwise(cuts)]


def _days(answers: Answers) -> list[Mapping[str, str]]:
    """Each day of the shoot with the episodes that are filmed on it."""
    cuts = [round(answers.episodes * number / len(answers.days)) for number in range(len(answers.days) + 1)]
    return [
        {"date": str(day), "films": ", ".join(str(number + 1) for number in range(first, last))}
        for day, (first, last) in zip(sorted(answers.days), pairwise(cuts), strict=True)
    ]


def _fits(body: Body, how_measured: str) -> Mapping[str, str]:
    ends = [body.around_from, body.around_to] if body.around_to > body.around_from else [body.around_to]
    cm, inch = (" to ".join(how(one) for one in ends) for how in (_cm, inches))
    return {"name": body.size, "fits": f"{cm} cm ({inch} in) {how_measured}"}


def _cm(length: float) -> str:
    return f"{length / 10:.1f}".removesuffix(".0")


def _yarns(answers: Answers) -> list[Mapping[str, object]]:
    return [
        {"key": key, "name": "a yarn that suits the gauge", "colour": colour, "hex": shown, "metres": 200}
        for key, colour, shown in zip(_LETTERS, answers.colours, hexes_of(answers.colours), strict=False)
    ]
