"""The handout prints what the pattern gives, in all sizes, and a change of the pattern changes every document alike."""

from __future__ import annotations

from pathlib import Path

import lessonplan
from lessonplan.documents.handout import HandoutView, handout_view
from lessonplan.documents.instructions import StageView
from tests.small_course import COURSE, EPISODE, write_course

PATTERN = """\
title: Two-size ring
sizes: [S, M]
gauge: {stitches: 20, rounds: 30}
needles: 4 mm
yarns:
  MC: {name: Plain wool, colour: grey, metres: 200, grams: 100, fibre: wool}
  CC: {name: Plain wool, colour: red, metres: 200, grams: 100, fibre: wool}
stages:
  edge:
    title: Edge
    works:
      - cast_on: 40 (48)
        join: yes
      - rounds: 2 cm
        lines: "*K2, p2; rep from * to end"
        yarn: CC
  body:
    title: Body
    after: edge
    works:
      - lines:
          - "[K8, m1] to end"
          - "Knit"
      - times: 2 (3)
        lines:
          - "K1, k2tog, k to end"
          - "Knit"
      - bind_off: all
        one_way: yes
"""


def view(folder: Path, pattern: str = PATTERN) -> HandoutView:
    course = write_course(
        folder, {"pattern.yaml": pattern, "course.yaml": COURSE + "film_size: M\n", "episodes/01.yaml": EPISODE}
    )
    result = lessonplan.plan(course)
    assert result.plan is not None, [str(problem) for problem in result.problems]
    return handout_view(result.plan)


def stage(folder: Path, key: str) -> StageView:
    return next(one for one in view(folder).stages if one.key == key)


def test_a_cast_on_and_rounds_from_a_length(tmp_path: Path) -> None:
    cast_on, rib = stage(tmp_path, "edge").works
    assert cast_on.lead == "Cast on 40\u00a0(48)\u00a0sts, join in the round."
    assert cast_on.yarn == "With MC (grey)."
    assert (rib.yarn, rib.lead, rib.lines[0].text) == (
        "With CC (red).",
        "Work 2\u00a0cm, ¾\u00a0in (6 rounds at the given gauge):",
        "*K2, p2; rep from * to end",
    )


def test_counts_stand_after_the_lines_that_change_them(tmp_path: Path) -> None:
    once, repeated, off = stage(tmp_path, "body").works
    assert [(line.text, line.count) for line in once.lines] == [
        ("[K8, m1] to end", "45\u00a0(54)\u00a0sts"),
        ("Knit", ""),
    ]
    assert repeated.lead == "Work these 2 rounds 2\u00a0(3) times (4\u00a0(6) rounds in all):"
    assert repeated.end == "43\u00a0(51)\u00a0sts."
    assert (off.lead, off.one_way) == ("Bind off 43\u00a0(51)\u00a0sts.", True)


def test_only_what_is_worked_is_explained(tmp_path: Path) -> None:
    assert {name for name, _ in view(tmp_path).abbreviations} >= {"k", "p", "k2tog", "m1", "rep"}
    assert "ssk" not in {name for name, _ in view(tmp_path).abbreviations}


def test_measures_are_given_in_both_units(tmp_path: Path) -> None:
    found = {measure.name: measure.values for measure in view(tmp_path).measures}
    assert found["Edge: length"] == ("2\u00a0cm, ¾\u00a0in", "2\u00a0cm, ¾\u00a0in")
    assert found["Body: round the widest place"][1] == "27\u00a0cm, 10¾\u00a0in"  # 54 sts at 20 to 10 cm


def test_the_stage_names_the_segment_that_shows_it(tmp_path: Path) -> None:
    assert stage(tmp_path, "edge").shown == ("Episode 1, The edge",)
    assert stage(tmp_path, "body").after == "After Edge."


def test_wool_brings_its_caution_and_all_defer_to_local_rules(tmp_path: Path) -> None:
    cautions = view(tmp_path).cautions
    assert any("lanolin" in text for text in cautions)
    assert "local rules" in cautions[-1]


def test_one_changed_value_changes_every_document(tmp_path: Path) -> None:
    def pages(folder: Path, pattern: str) -> dict[str, str]:
        files = {"pattern.yaml": pattern, "course.yaml": COURSE + "film_size: M\n", "episodes/01.yaml": EPISODE}
        lessonplan.build(write_course(folder, files), folder / "out")
        return {path.name: path.read_text(encoding="utf-8") for path in (folder / "out").glob("*.html")}

    before = pages(tmp_path / "a", PATTERN)
    after = pages(tmp_path / "b", PATTERN.replace("40 (48)", "56 (64)"))
    for name in ("run-sheet-1.html", "table-1.html", "cue-cards-1.html"):
        assert "We cast on 48 stitches" in before[name]
        assert "We cast on 48 stitches" not in after[name]
    assert "We cast on 64 stitches" in after["run-sheet-1.html"]
    assert "56\u00a0(64)\u00a0sts" in after["handout.html"]
    assert "40\u00a0(48)" not in after["handout.html"]


def test_the_rounds_of_a_chart_are_printed_as_they_are_worked(tmp_path: Path) -> None:
    charts = "charts:\n  waves:\n    colours: {M: MC, C: CC}\n    rows: [MMCC, CCMM]\n"
    pattern = PATTERN.replace("stages:\n", charts + "stages:\n").replace(
        '- lines:\n          - "[K8, m1] to end"\n          - "Knit"', "- chart: waves"
    )
    chart, *_ = view(tmp_path, pattern).stages[1].works
    assert [line.text for line in chart.lines] == ["*k2, k2; rep from * to end", "*k2, k2; rep from * to end"]
