"""A small course with pieces, knitters and errata, to be agreed on and then changed as a teacher changes hers."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from lessonplan.planning.agreed.noting import agree
from lessonplan.planning.plan import plan
from lessonplan.planning.worked import Plan
from tests.small_course import COURSE, write_course

DAY = date(2027, 1, 2)
KNITTERS = """\
knitters:
  - {name: Ada, pace: 20, hours_per_week: 7, starts: 2027-01-04}
  - {name: Bo, pace: 25, hours_per_week: 7, starts: 2027-01-04}
samples: {days_to_spare: 1, camera_may_wait: 0 min}
"""
EDGE = """\
  - title: The edge
    shots:
      - {view: overhead, title: A first round, takes: 1, pieces: [{needs: edge round 2}], say: Here it begins}
      - {view: overhead, title: The whole edge, takes: 1, pieces: [{needs: edge}], say: And here it ends}
"""
BODY = """\
  - title: The body
    shots:
      - {view: overhead, title: Half way, takes: 1, pieces: [{needs: body round 5}], say: Up and up}
      - {view: overhead, title: Bound off, takes: 1, pieces: [{needs: finished}], say: There it is}
"""
HELLO = """\
  - title: Hello
    shots:
      - {view: face, title: Good morning, takes: 1, say: Good morning}
"""
ERRATA = """\
errata:
  - {found: 2027-05-01, by: A, where: "episode 1, shot 1.1.2", said: x, right: y}
  - {found: 2027-05-02, by: B, where: slate 3, said: x, right: y}
"""


def course(folder: Path, segments: str = EDGE + BODY, **files: str) -> Path:
    """Write the course with these segments; ``course_yaml``, ``agreed_yaml`` and others replace whole files."""
    every = {"course.yaml": COURSE + KNITTERS, "episodes/01.yaml": f"episode: 1\ntitle: All\nsegments:\n{segments}"}
    return write_course(folder, every | {name.replace("_yaml", ".yaml"): text for name, text in files.items()})


def planned(folder: Path) -> Plan:
    """Plan the course in a folder."""
    result = plan(folder)
    assert result.plan is not None, [str(problem) for problem in result.problems]
    return result.plan


def agreed(folder: Path, on: date = DAY) -> str:
    """Agree on the course in a folder, and give the text that was written."""
    result, agreement = agree(folder, on)
    assert agreement is not None, [str(problem) for problem in result.problems]
    return (folder / "agreed.yaml").read_text(encoding="utf-8")


def refused(folder: Path) -> list[tuple[str, int, int, str, str]]:
    """Agree where that must be refused, and give the errors: file, line, column, code and sentence."""
    result, agreement = agree(folder, DAY)
    assert agreement is None
    wrong = [one for one in result.problems if one.severity == "error"]
    return [(one.where.file, one.where.line, one.where.column, one.code, one.message) for one in wrong]
