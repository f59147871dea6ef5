"""What stands in the way of publishing: each thing planted alone is told, and a course that is ready is silent."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest
from typer.testing import CliRunner

from lessonplan.cli import app
from tests.small_course import COURSE, PATTERN, write_course

EPISODE = """\
episode: 1
title: All of it
segments:
  - title: The edge of the cowl
    shots:
      - view: overhead
        pieces:
          - needs: before edge
            leaves: edge round 1
        hands:
          - do: cast on and join
            time: 40 s
        say: We cast on {{ edge.cast_on }} stitches with the long tail and join them without a twist.
        must_say: Do not twist the round
  - title: The plain body
    shots:
      - view: overhead
        pieces:
          - shows: body
        hands: [{do: run a hand over it, time: 30 s}]
        say: The body is plain knitting, round after round after round, and nothing else happens.
        mentions: the handout
  - title: Casting off loosely
    shots:
      - view: overhead
        pieces:
          - needs: finished
        hands: [{do: run a hand over it, time: 30 s}]
        say: Bind off loosely so that the cowl goes over your head and ears.
"""
KEPT = "kept:\n  the handout: linked in the description\n"
CAPTIONS = """\
WEBVTT

00:00:01.000 --> 00:00:20.000
we cast on forty stitches with the long tail and join them without a twist the edge of the cowl do not twist the round

00:00:45.000 --> 00:01:05.000
now the plain body is plain knitting round after round after round and nothing else happens

00:01:20.000 --> 00:01:40.000
casting off loosely so bind off loosely so that the cowl goes over your head and ears
"""
READY: Mapping[str, str] = {
    "course.yaml": COURSE,
    "pattern.yaml": PATTERN,
    "episodes/01.yaml": EPISODE + KEPT,
    "captions/01-all.vtt": CAPTIONS,
}


def told(folder: Path, files: Mapping[str, str]) -> tuple[int, str]:
    (folder / "captions").mkdir(exist_ok=True)
    done = CliRunner().invoke(app, ["check", str(write_course(folder, {**READY, **files})), "--publish"])
    assert done.stdout == ""
    return done.exit_code, done.stderr


def test_a_course_that_is_ready_is_silent(tmp_path: Path) -> None:
    assert told(tmp_path, {}) == (0, "")


ERRATUM = "errata:\n  - {found: 2027-05-01, by: Tove, where: shot 1.1.1, said: thirty, right: forty}\n"


@pytest.mark.parametrize(
    ("files", "place", "says"),
    [
        ({"errata.yaml": ERRATUM}, "errata.yaml:2:", "has no remedy yet: thirty."),
        ({"captions/01-all.vtt": ""}, "episodes/01.yaml:1:", "was never proofed: the course has no captions of it."),
        (
            {"captions/01-all.vtt": CAPTIONS.replace("forty", "fourteen")},
            "episodes/01.yaml:1:",
            "1 finding wait for a word.",
        ),
        (
            {"episodes/01.yaml": EPISODE},
            "episodes/01.yaml:1:",
            "mentions the handout (description), and it is not kept yet",
        ),
        (
            {"captions/01-all.vtt": CAPTIONS.replace("do not twist the round", "")},
            "episodes/01.yaml:",
            "must say “Do not twist the round”, and it is not heard",
        ),
        (
            # The last chapter of the video begins at 1:20 and ends with its captions.
            {"captions/01-all.vtt": CAPTIONS.replace("--> 00:01:40.000", "--> 00:01:29.000")},
            "episodes/01.yaml:",
            "10 s are needed",
        ),
    ],
)
def test_each_thing_in_the_way_is_told(tmp_path: Path, files: dict[str, str], place: str, says: str) -> None:
    status, text = told(tmp_path, files)
    assert status == 1
    assert [line for line in text.splitlines() if line.startswith(place) and says in line], text


def test_a_handout_with_other_numbers_is_old(tmp_path: Path) -> None:
    (tmp_path / "captions").mkdir()
    folder = write_course(tmp_path, READY)
    assert CliRunner().invoke(app, ["build", str(folder)]).exit_code == 0
    assert told(tmp_path, {}) == (0, "")
    status, text = told(tmp_path, {"pattern.yaml": PATTERN.replace("rounds: 10", "rounds: 12")})
    assert status == 1
    assert "out/handout.html is edition 1 (" in text
