"""The courses that are damaged: small ones with all that is kept beside them, made by the commands themselves."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping
from datetime import date
from functools import cache
from pathlib import Path

import lessonplan
from tests.small_course import COURSE, EPISODE, write_course

ROOT = Path(__file__).resolve().parent.parent.parent
KNITTERS = """\
knitters:
  - name: Bodil
    pace: 30
    starts: 2027-01-04
    away: [2027-01-22 to 2027-01-24]
tools: {scissors: sharp ones}
release: {first: 2027-04-01, days_between: 7, hours_per_week: 5}
kit: {holds: [MC, {what: markers, number: 3, price: 1.20}], kits: [{number: 40}], spare: 5 %}
"""
ERRATA = """\
errata:
  - found: 2027-04-01
    by: Jorun A.
    where: shot 1.1.1
    said: fifteen stitches
    right: "{{ edge.cast_on }} stitches"
    remedy: pick-up shot
    state: open
"""
TAKES = """\
id,device,day,shot,take,start,stop,verdict,slip,note
a-1,a,2027-03-06,1.1.1,1,09:51:00,09:51:40,again,said fifteen,étape
a-2,a,2027-03-06,1.1.1,2,09:53:00,09:53:40,good,,
"""
CAPTIONS = """\
WEBVTT

00:00:01.000 --> 00:00:04.000
We cast on forty stitches and join them,

00:00:04.000 --> 00:00:08.500
then knit one, purl one for four rounds.

00:00:08.500 --> 00:00:12.000
No, sorry, that was fifteen stitches.
"""
PRINT = """\
Ring cowl

Gauge: 20 sts and 28 rounds = 10 cm. Sizes S (M, L).
Cast on 40 (44, 48) sts, join in the round.
Round 1: *K1, p1; rep from * to end.
Repeat round 1 until piece measures 5 cm.
Dec round: *K8 (9, 10), k2tog; rep from * to end. 36 (40, 44) sts.
Bind off.
"""
SCRIPT = """\
Episode 1: The edge

[Overhead, hands and needles]
We cast on forty stitches, and we join.

[Face]
Then we knit ten rounds. Mind the tail!
"""
BESIDE = {"log.csv": TAKES, "captions.vtt": CAPTIONS, "print.txt": PRINT, "script.txt": SCRIPT}
"""Files that commands take beside a course."""


@cache
def bases() -> tuple[Mapping[str, bytes], ...]:
    """Each course as bytes by name, with the files beside it under ``beside/``."""
    return tuple(_with_beside(files) for files in (_rich(), _rich(), _folder(ROOT / "tests/courses/hat")))


def _with_beside(files: Mapping[str, bytes]) -> Mapping[str, bytes]:
    return {**files, **{f"beside/{name}": text.encode() for name, text in BESIDE.items()}}


def _rich() -> Mapping[str, bytes]:
    """The small course once agreed on, filmed, captioned and published."""
    with tempfile.TemporaryDirectory() as made:
        folder = write_course(
            Path(made) / "course",
            {
                "course.yaml": COURSE + KNITTERS,
                "errata.yaml": ERRATA,
                "episodes/01.yaml": EPISODE.replace("say: ", "must_say: [Mind the tail.]\n        say: "),
                "takes/takes.csv": TAKES,
                "captions/01.vtt": CAPTIONS,
            },
        )
        lessonplan.agree(folder, date(2027, 1, 2))
        built = lessonplan.build(folder, Path(made) / "out", today=date(2027, 1, 2), publish=date(2027, 1, 2))
        assert built.plan is not None, built.problems
        return _folder(folder)


def _folder(folder: Path) -> Mapping[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()
    }
