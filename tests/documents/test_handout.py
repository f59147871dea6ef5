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


def test_a_landing_is_printed_as_long_as_it_is_everywhere(tmp_path: Path) -> None:
    # 9 cm at 28 rounds to 10 cm are 25.2; the stripes end after 24, which are 8.57 cm, 3.375 in from the printed 8.6.
    text = PATTERN.replace("rounds: 30", "rounds: 28").replace(
        "rounds: 2 cm\n", "rounds: 9 cm\n        stripes: 6 MC, 2 CC\n        ends_with: stripe\n"
    )
    files = {"pattern.yaml": text, "course.yaml": COURSE + "film_size: M\n", "episodes/01.yaml": EPISODE}
    result = lessonplan.plan(write_course(tmp_path, files))
    assert result.plan is not None
    (remark,) = [problem for problem in result.problems if problem.code == "landing"]
    assert remark.message == "24 rounds end the stripe: 8.6 cm instead of 9 cm."
    made = next(one for one in handout_view(result.plan).stages if one.key == "edge")
    assert made.works[1].lead == "Work 8.6\u00a0cm, 3⅜\u00a0in (24 rounds at the given gauge):"
    assert result.plan.worked.facts["edge.length"].at(0) == "8.6\u00a0cm"


def test_a_typed_length_stays_as_typed_everywhere(tmp_path: Path) -> None:
    # 5.7 cm at 30 rounds to 10 cm are 17 rounds, which measure 5.67 cm; 4½ in are 34 rounds, 11.33 cm.
    for number, (typed, lead, said) in enumerate(
        (
            ("5.7 cm", "Work 5.7\u00a0cm, 2¼\u00a0in (17 rounds at the given gauge):", "5.7\u00a0cm"),
            ("4 1/2 in", "Work 11.4\u00a0cm, 4½\u00a0in (34 rounds at the given gauge):", "11.4\u00a0cm"),
        )
    ):
        text = PATTERN.replace("rounds: 2 cm\n", f"rounds: {typed}\n")
        made = view(tmp_path / str(number), text)
        assert next(one for one in made.stages if one.key == "edge").works[1].lead == lead
        assert {m.name: m.values for m in made.measures}["Edge: length"][0].startswith(said)


def test_an_inch_course_prints_no_centimetres(tmp_path: Path) -> None:
    text = PATTERN.replace("{stitches: 20, rounds: 30}", "{stitches: 20, rounds: 30, over: 4 in}") + "units: in\n"
    course = write_course(
        tmp_path, {"pattern.yaml": text, "course.yaml": COURSE + "film_size: M\n", "episodes/01.yaml": EPISODE}
    )
    lessonplan.build(course, tmp_path / "out")
    page = (tmp_path / "out" / "handout.html").read_text(encoding="utf-8")
    assert "20 sts and 30 rounds to 4\u00a0in" in page
    assert "\u00a0cm" not in page


def test_a_note_of_a_work_names_facts(tmp_path: Path) -> None:
    text = PATTERN.replace(
        "        yarn: CC\n", '        yarn: CC\n        note: "{{ edge.cast_on }} sts all the way"\n'
    )
    assert stage_of(view(tmp_path, text), "edge").works[1].note == "40\u00a0(48)\u00a0sts all the way"


def test_carried_yarn_and_lines_of_a_stripe_are_printed(tmp_path: Path) -> None:
    text = PATTERN.replace(
        "rounds: 2 cm\n", "rounds: 4\n        stripes: 2 MC, 2 CC\n        in_stripe: {2 CC: Purl}\n"
    ).replace('          - "Knit"\n', '          - "Knit"\n        carry: CC\n', 1)
    made = view(tmp_path, text)
    assert [line.text for line in stage_of(made, "edge").works[1].lines][1:] == ["Round 2 of every stripe in CC: Purl"]
    assert stage_of(made, "body").works[0].yarn == "With MC (grey). Carry CC along; do not cut it."


def test_stitches_picked_up_and_opened_are_counted_and_told_apart(tmp_path: Path) -> None:
    text = PATTERN.replace("      - bind_off: all\n        one_way: yes\n", "      - {placeholder: 8, name: gap}\n")
    text += "      - {rounds: 2, lines: Knit}\n  gap:\n    title: Gap\n    after: body\n    works:\n"
    text += "      - {open: gap}\n      - {pick_up: 2, along: the corners}\n"
    opened, picked = stage_of(view(tmp_path, text), "gap").works
    assert opened.lead == "Pull the waste yarn of gap out and take up 8\u00a0sts below and 7 above."
    assert (opened.end, opened.one_way) == ("15\u00a0sts.", True)
    assert picked.lead == "Pick up and knit 2\u00a0sts along the corners."


def stage_of(made: HandoutView, key: str) -> StageView:
    return next(one for one in made.stages if one.key == key)
