"""The errata log kept: an entry put below the others, or a value of one changed, and nothing else in the file."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path

from lessonplan.course.byplace import EditError, changed, with_item, with_value
from lessonplan.course.files import UnfitError, inside, locked, read_plain, write_file
from lessonplan.course.model.publishing import Errata, Erratum
from lessonplan.course.problems import Problem, Where, error, has_errors
from lessonplan.course.read import read_one
from lessonplan.course.yamltext import MAX_BYTES
from lessonplan.planning.worked import Worked
from lessonplan.shoot.takes.compare import slips_kept
from lessonplan.shoot.takes.log import Take

FILE = "errata.yaml"
_RIGHT = re.compile(r".*\S (?:for|instead of|in place of|should be) (\S.*)", re.IGNORECASE)
"""A note of a slip that also tells what is right, last: "says 46 for 45"."""


def note_erratum(folder: Path | str, values: Mapping[str, str]) -> tuple[int, tuple[Problem, ...]]:
    """Put an erratum at the end of a course's log, its values by their keys; empty ones are left out.

    Gives its number, or 0 with the problems for which nothing was written. Raises ``OSError`` when the file cannot be
    read or written.
    """
    given = {key: value for key, value in values.items() if value}

    def put(text: str, _: tuple[Erratum, ...]) -> str:
        """The log's text with the erratum at its end."""
        return with_item(text, ("errata",), given)

    return _written(Path(folder), put)


def change_erratum(folder: Path | str, number: int, values: Mapping[str, str]) -> tuple[int, tuple[Problem, ...]]:
    """Change values of an erratum by its number in the log, the first is 1. Gives and raises as `note_erratum`."""

    def put(text: str, log: tuple[Erratum, ...]) -> str:
        """The log's text with the new values; raises `EditError` where the erratum is not there."""
        if not 1 <= number <= len(log):
            raise EditError(f"There is no erratum {number}; the log has {len(log)}.")
        for key, value in values.items():
            if value:
                text = with_value(text, ("errata", number - 1, key), value)
        return text

    _, problems = _written(Path(folder), put)
    return 0 if has_errors(problems) else number, problems


def slips_of(worked: Worked, takes: Iterable[Take]) -> tuple[Mapping[str, str], ...]:
    """Give the slips in the takes that will be used as errata would have them, but for those that the log has.

    What is right only the host can say, as a note may: “says 46 for 45”, “left instead of right”.
    """
    log = {(one.where, one.said) for one in worked.course.errata.errata}
    found = []
    for take in slips_kept(takes):
        where = f"slate {take.slate}" if take.slate else f"shot {take.shot}"
        said = take.note or "a slip of the tongue" if take.slip == "yes" else take.slip
        if (where, said) not in log:
            told = {"found": take.day.isoformat(), "by": worked.course.course.host, "role": "host"}
            right = _RIGHT.fullmatch(said)
            found.append({**told, "where": where, "said": said} | ({"right": right[1]} if right else {}))
    return tuple(found)


def _written(folder: Path, put: Callable[[str, tuple[Erratum, ...]], str]) -> tuple[int, tuple[Problem, ...]]:
    """Write the log as ``put`` changes it, unless it has errors before or after; give how many errata it has."""
    with locked(folder):
        try:
            path = inside(folder, FILE)
            before = read_plain(path, Where(FILE), MAX_BYTES) if path.exists() else b""
            log, problems = read_one(before, FILE, Errata) if before.strip() else (None, ())
            if has_errors(problems):
                return 0, problems
            data = changed(before, lambda text: put(text, log.errata if log else ()))
            log, problems = read_one(data, FILE, Errata)
            if log is None or has_errors(problems):
                return 0, problems
            write_file(path, data)
            return len(log.errata), problems
        except UnfitError as bad:
            return 0, (bad.problem,)
        except EditError as bad:
            return 0, (error(Where(FILE), "erratum", str(bad)),)
