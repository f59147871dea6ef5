"""What a course asks of the texts over the picture: the kinds that there are, and rules about what is asked."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from lessonplan.course.model.together import Course
from lessonplan.course.problems import Problem, did_you_mean, error

TOOLS = ("needle and yarn", "hook and yarn")
"""One kind of text in the words of two crafts; either may be written."""
COMPUTED = (*TOOLS, "round", "stitches", "abbreviation", "sequence")
"""The kinds of texts that are computed from the pattern."""
MOST_SECONDS = 60
"""A text stays for so long at most: nobody reads longer (a guess)."""


def is_kind(name: str, kind: str) -> bool:
    """Whether a name that is written means a kind of text."""
    return name == kind or {name, kind} <= {*TOOLS}


def cue_kinds_known(course: Course) -> Iterator[Problem]:
    """The kinds of computed texts that a course wants are among those there are, or all, or none."""
    wanted = course.course.cues
    for place, name in enumerate(wanted):
        where = course.course.mark("cues", place)
        if name not in (*COMPUTED, "all", "none"):
            known = (*COMPUTED, "all", "none")
            yield error(where, "unknown-cue", f"“{name}” is no kind of cue.", did_you_mean(name, known))
        elif name in ("all", "none") and len(wanted) > 1:
            yield error(where, "unknown-cue", f"“{name}” stands alone, or not at all.")


def cues_say_one_thing(course: Course) -> Iterator[Problem]:
    """What a shot asks is a text to show, with its when and how long, or one to leave out."""
    for _, _, _, shot in course.shots():
        for asked in shot.cues:
            if bool(asked.show) == bool(asked.leave_out):
                yield error(asked.mark(), "cue", "Give either “show” (a text) or “leave_out” (which cue) here.")
            for key in ("at", "stays", "instead_of"):
                if asked.leave_out and asked.stands(key):
                    yield error(asked.mark(key), "cue", f"“{key}” goes with “show”: nothing is shown here.")
            if asked.stays is not None and not 0 < asked.stays * 60 <= MOST_SECONDS:
                what = f"A text stays for more than nothing and for {MOST_SECONDS} s at most."
                yield error(asked.mark("stays"), "cue", what)


CUE_RULES: tuple[Callable[[Course], Iterator[Problem]], ...] = (cue_kinds_known, cues_say_one_thing)
"""The rules about texts over the picture that need no arithmetic."""
