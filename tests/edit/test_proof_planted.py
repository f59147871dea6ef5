"""The captions of the sample course, with slips planted that are listed apart: all of them found, nothing else."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import yaml

from lessonplan.edit.captions.reading import read_file
from lessonplan.edit.proof.episode import proof
from lessonplan.planning.worked import load

HERE = Path(__file__).parent
COURSE = HERE.parent.parent / "sample_course"
PLANTED: dict[str, Any] = yaml.safe_load((HERE / "planted.yaml").read_text(encoding="utf-8"))
NEAR = 15.0
"""Seconds: what was planted is told by where its sentence begins; what was never said, by where its segment ends."""


def test_every_slip_is_found_and_nothing_else() -> None:
    worked = load(COURSE).worked
    assert worked is not None
    episode = next(one for one in worked.course.episodes if one.episode == PLANTED["episode"])
    left = list(proof(worked, episode, read_file(COURSE / "captions" / PLANTED["captions"])).findings)
    for slip in PLANTED["slips"]:
        hits = [
            one
            for one in left
            if (one.kind, one.segment) == (slip["kind"], slip["segment"])
            and (one.kind == "never said" or abs(one.start - slip["at"]) <= NEAR)
        ]
        assert hits, slip
        left.remove(hits[0])
    again = [one["at"] for one in PLANTED["cuts"] if one["kind"] == "said again"]
    assert [one.kind for one in left] == ["said twice"] * len(again)  # a sentence for the cut list is told of here too
    assert all(abs(one.start - at) <= NEAR for one, at in zip(left, again, strict=True))


def test_of_numbers_alike_the_one_is_named_that_the_script_has_there() -> None:
    """The gusset has 51 stitches after rounds 7 and 8; the shot says how many there are after round 8."""
    worked = load(COURSE).worked
    assert worked is not None
    episode = next(one for one in worked.course.episodes if one.episode == PLANTED["episode"])
    found = proof(worked, episode, read_file(COURSE / "captions" / PLANTED["captions"])).findings
    (right,) = (one.right for one in found if "fifty one stitches" in one.said)
    assert right.startswith("51 stitches (Thumb gusset: stitches after round 8)")
