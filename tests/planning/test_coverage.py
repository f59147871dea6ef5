"""How the parts of a pattern come up in the video: one small course, each way worked out by hand."""

from __future__ import annotations

from pathlib import Path

import lessonplan
from lessonplan.planning.coverage import coverage
from tests.small_course import write_course

PATTERN = """\
title: Ring cowl
gauge: {stitches: 20, rounds: 28}
yarns:
  MC: {name: Plain wool, metres: 200, grams: 100}
options:
  trim: cord or ribbon
stages:
  edge: {title: Edge, works: [{cast_on: 40, join: yes}]}
  lace:
    title: Lace
    after: edge
    works:
      - rounds: 2
        lines: "*Yo, k2tog; rep from * to end"
  top:
    title: Top
    after: lace
    works:
      - rounds: 1
        lines: "*Ssk, k2; rep from * to end"
  rim:
    title: Rim
    after: top
    works: [{rounds: 3, lines: Purl}]
"""
EPISODE = """\
episode: 1
title: All of it
segments:
  - title: One
    shots:
      - view: overhead
        pieces: [{needs: edge, leaves: lace round 1}]
        hands: [{work: "yo, k2tog"}]
        takes: 1
      - view: face
        pieces: [{needs: lace round 1, leaves: lace}]
        takes: 1
      - view: face
        say: And then the top, which I shall not show.
"""


def covered(folder: Path) -> dict[str, tuple[str, list[str]]]:
    worked = lessonplan.load(write_course(folder, {"pattern.yaml": PATTERN, "episodes/01.yaml": EPISODE})).worked
    assert worked is not None
    return {one.name: (one.how, [str(shot) for shot in one.shots]) for one in coverage(worked)}


def test_each_way_of_coming_up(tmp_path: Path) -> None:
    found = covered(tmp_path)
    assert found["Lace"] == ("on camera", ["1.1.1"])  # the second round is worked without hands, but the first is seen
    assert found["Edge"] == ("on a piece", ["1.1.1", "1.1.2"])
    assert found["Top"] == ("told", ["1.1.3"])
    assert found["Rim"] == ("nowhere", [])
    assert found["yo"] == ("on camera", ["1.1.1"])
    assert found["ssk"] == ("nowhere", [])
    assert found["trim: ribbon"] == ("nowhere", [])


def test_what_comes_up_nowhere_is_a_note(tmp_path: Path) -> None:
    result = lessonplan.plan(write_course(tmp_path, {"pattern.yaml": PATTERN, "episodes/01.yaml": EPISODE}))
    found = [problem.message for problem in result.problems if problem.code == "not-covered"]
    assert found == [
        "No shot shows or tells of stage “Rim”.",
        "No shot shows or tells of technique “ssk”.",
        "No shot shows or tells of choice “trim: ribbon”.",
    ]
    assert all(problem.hint for problem in result.problems if problem.code == "not-covered")


TOLD = """\
title: Cosy
gauge: {stitches: 20, rounds: 28}
yarns:
  MC: {name: Plain wool, metres: 200, grams: 100}
stages:
  edge: {title: Edge, works: [{cast_on: 40, join: yes}]}
  graft:
    title: Body
    after: edge
    works:
      - lines: ["K10, pm, k to end", "K to marker, rm, k to end", Knit]
      - pick_up: 3
        along: the edge
  ends: {title: Ends, after: graft, works: [{weave_ends: 2}]}
  bath: {title: Bath, after: ends, works: [{block: 10 min, drying: 4 h, method: wet}]}
"""
SHOWN = """\
episode: 1
title: All of it
segments:
  - title: One
    shots:
      - view: overhead
        hands: [{do: cast a few stitches on slowly, time: 20 s}]
        takes: 1
      - view: overhead
        pieces: [{needs: edge}]
        hands: [{do: point at the cast-on edge, time: 5 s}, {work: "k4"}]
        takes: 1
      - view: overhead
        pieces: [{needs: graft round 1, leaves: graft}]
        hands: [{do: "take out the marker, knit on quickly, and pick three stitches up", time: 30 s}]
        takes: 1
      - view: face
        pieces: [{needs: graft}]
        hands: [{do: say that the ends are woven in later, time: 5 s}]
        takes: 1
      - view: overhead
        pieces: [{needs: graft}]
        hands: [{do: weave the first tail in, time: 30 s}]
        takes: 1
      - view: sink
        pieces: [{needs: ends}]
        hands: [{do: press it under the water, time: 30 s}]
        takes: 1
      - view: sink
        pieces: [{needs: finished}]
        hands: [{do: hold it under the water once more, time: 30 s}]
        takes: 1
"""


def test_hands_that_are_told_to_do_it_show_it(tmp_path: Path) -> None:
    """What is filmed is what hands do: a line on a piece that stays, or words that tell to do what comes next there.

    Who points at an edge casts nothing on, and what is washed is not washed again. A stage that is called as a work is
    its own: nobody grafts here.
    """
    worked = lessonplan.load(write_course(tmp_path, {"pattern.yaml": TOLD, "episodes/01.yaml": SHOWN})).worked
    assert worked is not None
    found = {one.name: (one.how, [str(shot) for shot in one.shots]) for one in coverage(worked)}
    assert found == {
        "Edge": ("on camera", ["1.1.1"]),
        "Body": ("on camera", ["1.1.2", "1.1.3"]),
        "Ends": ("on camera", ["1.1.5"]),
        "Bath": ("on camera", ["1.1.6"]),
        "pm": ("on a piece", ["1.1.3", "1.1.4", "1.1.5", "1.1.6", "1.1.7"]),
        "rm": ("on camera", ["1.1.3"]),
        "pu&k": ("on camera", ["1.1.3"]),
    }
