"""The handout prints what the pattern gives, in all sizes, and a change of the pattern changes every document alike."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import lessonplan
from lessonplan.craft.lengths import NO_BREAK
from lessonplan.documents.handout import HandoutView, handout_view
from lessonplan.documents.instructions import StageView
from lessonplan.documents.materials import materials
from lessonplan.documents.rounds import LineView
from tests import pdf
from tests.documents import timed
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


def read(page: str) -> str:
    """Give what a page says, without its tags."""
    return re.sub(r"<[^>]+>", "", re.sub(r"<(style|svg)\b.*?</\1>", "", page, flags=re.DOTALL))


def test_a_cast_on_and_rounds_from_a_length(tmp_path: Path) -> None:
    cast_on, rib = stage(tmp_path, "edge").works
    # 40 sts at 20 to 10 cm are 20 cm: the tail of a long-tail cast-on is three times that and a tenth more.
    assert cast_on.lead == (
        "With MC (grey), using the long-tail method and a tail of 66\u00a0(79)\u00a0cm, 26\u00a0(31)\u00a0in,"
        " cast on 40\u00a0(48)\u00a0sts, join in the round."
    )
    assert (rib.yarn, rib.lead) == ("Join CC (red).", "Work 2\u00a0cm, ¾\u00a0in (6 rounds at the given gauge):")
    assert rib.lines == (LineView("*K2, p2; rep from * to end", "", "Rnds\u00a01 to\u00a06 (CC)"),)


def test_counts_stand_after_the_lines_that_change_them(tmp_path: Path) -> None:
    once, repeated, off = stage(tmp_path, "body").works
    assert once.yarn == "Join MC (grey)."
    assert once.lines == (
        LineView("[K8, m1] to end", "45\u00a0(54)\u00a0sts", "Rnd\u00a01 (MC)"),
        LineView("Knit", "", "Rnd\u00a02 (MC)"),
    )
    assert repeated.lines == (
        LineView("K1, k2tog, k to end", "44\u00a0(53)\u00a0sts", "Rnd\u00a03 (MC)"),
        LineView("Knit", "", "Rnd\u00a04 (MC)"),
    )
    # Two rounds twice (thrice) after the first two: to round 6 (8), a stitch fewer each time.
    assert (repeated.end, repeated.end_count) == (
        "Work these 2 rounds 2\u00a0(3) times in all, to rnd\u00a06\u00a0(8); 1\u00a0st fewer each time.",
        "43\u00a0(51)\u00a0sts",
    )
    assert (off.lead, off.one_way) == ("Bind off 43\u00a0(51)\u00a0sts.", True)


def test_only_what_is_used_is_explained_and_how_it_is_done(tmp_path: Path) -> None:
    found = {one.short: one for one in view(tmp_path).abbreviations}
    assert set(found) == {"k", "p", "k2tog", "m1", "rep", "rnd", "st", "MC", "CC", "join in the round"}
    assert found["k2tog"].how == "knit the next 2 stitches as one; leans to the right"
    assert found["MC"].meaning == "main colour (grey)"


def test_measures_are_given_in_both_units(tmp_path: Path) -> None:
    found = {measure.name: measure.values for measure in view(tmp_path).measurements.parts}
    assert found["Edge: length"] == ("2\u00a0cm, ¾\u00a0in", "2\u00a0cm, ¾\u00a0in")
    assert found["Body: around"][1] == "27\u00a0cm, 10¾\u00a0in"  # 54 sts at 20 to 10 cm


def test_the_stage_names_the_segment_that_shows_it(tmp_path: Path) -> None:
    assert stage(tmp_path, "edge").shown == ("Episode 1, planned at 0:00: The edge",)
    assert stage(tmp_path, "body").after == "", "it stands behind what it comes after"


def test_a_stage_is_shown_where_its_yarn_is_joined_and_where_its_rounds_are_worked(tmp_path: Path) -> None:
    """CC is on the table while the first stitches of the body are tried; its round is left in the next segment."""
    shots = (
        (timed.shot("face", pieces="[{needs: edge}]", hands='[{work: "k5"}]', tools="[CC]"),),
        (timed.shot("face", pieces="[{needs: edge, leaves: body round 1}]", hands='[{work: "k5"}]'),),
    )
    pattern = timed.PATTERN.replace("  MC: {name", "  CC: {name: Plain wool, metres: 200, grams: 100}\n  MC: {name")
    pattern = pattern.replace("lines: Knit", "lines: Knit\n        yarn: CC").replace(
        "cast_on: 110", "cast_on: 110\n        yarn: MC"
    )
    made = timed.plan(tmp_path, timed.episode(*shots), files={"pattern.yaml": pattern})
    assert [one.rpartition(": ")[2] for one in stage_of(handout_view(made), "body").shown] == ["A", "B"]


def test_wool_brings_its_caution_and_all_defer_to_local_rules(tmp_path: Path) -> None:
    cautions = view(tmp_path).cautions
    assert any("lanolin" in text for text in cautions)
    assert "local rules" in cautions[-1]


def test_one_changed_value_changes_every_document(tmp_path: Path) -> None:
    def pages(folder: Path, pattern: str) -> dict[str, str]:
        files = {"pattern.yaml": pattern, "course.yaml": COURSE + "film_size: M\n", "episodes/01.yaml": EPISODE}
        lessonplan.build(write_course(folder, files), folder / "out")
        return {path.name: read(path.read_text(encoding="utf-8")) for path in (folder / "out").glob("*.html")}

    before = pages(tmp_path / "a", PATTERN + "measures:\n  head: 50 (55.5) cm\n")
    assert re.search(r"To fit: Head\s*50\scm", before["handout.html"]), "no size says whom it fits"
    after = pages(tmp_path / "b", PATTERN.replace("40 (48)", "56 (64)"))
    for name in ("run-sheet-1.html", "table-1.html", "cue-cards-1.html"):
        assert "We cast on 48 stitches" in re.sub("</?b>", "", before[name])
        assert "We cast on 48 stitches" not in re.sub("</?b>", "", after[name])
    assert "We cast on 64 stitches" in after["run-sheet-1.html"]
    assert "56\u00a0(64)\u00a0sts" in after["handout.html"]
    assert "40\u00a0(48)" not in after["handout.html"]


def test_the_rounds_of_a_chart_are_printed_as_they_are_worked(tmp_path: Path) -> None:
    charts = "charts:\n  waves:\n    colours: {M: MC, C: CC}\n    rows: [MMCC, CCMM]\n"
    pattern = PATTERN.replace("stages:\n", charts + "stages:\n").replace(
        '- lines:\n          - "[K8, m1] to end"\n          - "Knit"', "- chart: waves"
    )
    chart, *_ = view(tmp_path, pattern).stages[1].works
    assert [(line.label, line.text) for line in chart.lines] == [
        # Alike in their stitches, but not in their colours.
        ("Rnd\u00a01 (MC, CC)", "*k2 MC, k2 CC; rep from * to end"),
        ("Rnd\u00a02 (MC, CC)", "*k2 CC, k2 MC; rep from * to end"),
    ]
    assert chart.chart is not None
    # The lower row is worked first, and of each row the stitch at the right; it is drawn as it was typed.
    assert [[cell.yarn for cell in row.cells] for row in chart.chart.rows] == [
        ["MC", "MC", "CC", "CC"],
        ["CC", "CC", "MC", "MC"],
    ]


def test_a_chart_that_ends_as_it_begins_has_a_line_for_its_last_round(tmp_path: Path) -> None:
    charts = "charts:\n  waves:\n    colours: {M: MC, C: CC}\n    rows: [MMMC, MMCC, MMMC]\n"
    pattern = PATTERN.replace("stages:\n", charts + "stages:\n").replace(
        '- lines:\n          - "[K8, m1] to end"\n          - "Knit"', "- chart: waves"
    )
    chart, *_ = view(tmp_path, pattern).stages[1].works
    assert [(line.label.replace("\u00a0", " "), line.text) for line in chart.lines] == [
        ("Rnd 1 (MC, CC)", "*k1 CC, k3 MC; rep from * to end"),
        ("Rnd 2 (MC, CC)", "*k2 CC, k2 MC; rep from * to end"),
        ("Rnd 3 (MC, CC)", "*k1 CC, k3 MC; rep from * to end"),
    ]
    assert chart.end == ""


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
        assert {m.name: m.values for m in made.measurements.parts}["Edge: length"][0].startswith(said)


def test_an_inch_course_prints_no_centimetres(tmp_path: Path) -> None:
    text = PATTERN.replace("{stitches: 20, rounds: 30}", "{stitches: 20, rounds: 30, over: 4 in}") + "units: in\n"
    course = write_course(
        tmp_path, {"pattern.yaml": text, "course.yaml": COURSE + "film_size: M\n", "episodes/01.yaml": EPISODE}
    )
    lessonplan.build(course, tmp_path / "out")
    page = read((tmp_path / "out" / "handout.html").read_text(encoding="utf-8"))
    assert "20\u00a0sts and 30 rounds to 4\u00a0in" in page
    assert "\u00a0cm" not in page


def test_a_note_of_a_work_names_facts(tmp_path: Path) -> None:
    text = PATTERN.replace(
        "        yarn: CC\n", '        yarn: CC\n        note: "{{ edge.cast_on }} sts all the way"\n'
    )
    assert stage_of(view(tmp_path, text), "edge").works[1].note == "40\u00a0(48)\u00a0sts all the way"


def test_stitches_picked_up_and_opened_are_counted_and_told_apart(tmp_path: Path) -> None:
    text = PATTERN.replace("      - bind_off: all\n        one_way: yes\n", "      - {placeholder: 8, name: gap}\n")
    text += "      - {rounds: 2, lines: Knit}\n  gap:\n    title: Gap\n    after: body\n    works:\n"
    text += "      - {open: gap}\n      - {pick_up: 2, along: the corners}\n"
    opened, picked = stage_of(view(tmp_path, text), "gap").works
    assert opened.lead == "Pull the waste yarn of “gap” out and take up 8\u00a0sts below and 7 above."
    assert (opened.count, opened.one_way) == ("15\u00a0sts", True)
    assert (picked.lead, picked.count) == (
        "With MC (grey), pick up and knit 2\u00a0sts along the corners.",
        "17\u00a0sts",
    )


def stage_of(made: HandoutView, key: str) -> StageView:
    return next(one for one in made.stages if one.key == key)


MATERIALS = """\
title: Ring
sizes: [{name: S, fits: small heads}, {name: M, fits: large heads}]
gauge: {stitches: 20, rounds: 30, over: 10 cm, fabric: stockinette, needle: 4 mm}
needles: 4 mm
notions: [marker, tape measure]
make: 2
measures:
  head: 50 (55.5) cm
  ease: 2 cm
yarns:
  MC: {name: Plain wool, colour: grey, weight: DK, metres: 50, grams: 25, fibre: wool}
stages:
  edge:
    title: Edge
    watch_for: Not {{ edge.cast_on }} too tight.
    works:
      - cast_on: 100 (200)
        note: Loosely.
      - rows: 30
        lines: Knit
      - bind_off: all
  cord:
    title: Cord
    after: edge
    works:
      - cast_on: 3
      - rows: 2
        lines: Knit
      - bind_off: all
"""


def test_materials_of_every_size_in_every_unit(tmp_path: Path) -> None:
    # l = sqrt(23.1 / (2 x 3)) = 1.9621 cm. Small: 100 loops cast on, 3,000 knitted; the edges take tails of 3.3 and 5
    # times 50 cm and 15 cm more: 60.83 + 1.65 + 2.65 m, and the cord some 0.5 m.
    found = view(tmp_path, MATERIALS)
    (yarn,) = found.materials.yarns
    assert (yarn.key, yarn.name, yarn.colour, yarn.details) == (
        "MC",
        "Plain wool",
        "grey",
        "wool; weight DK; each 25\u00a0g, 50\u00a0m",
    )
    metres, yards, grams, balls = (
        [int(number) for number in re.findall(r"\d+", part)] for part in re.split(", |: ", yarn.amount)
    )
    for size, stitches in enumerate((100, 200)):
        loops = (stitches + 30 * stitches) * 0.019621
        net = 2 * (loops + 8.3 * stitches * 0.005 + 0.15)
        assert net * 1.1 < metres[size] < net * 1.1 + 3, "the cord takes little"
        assert yards[size] == pytest.approx(metres[size] / 0.9144, abs=1.2)
        assert grams[size] == pytest.approx(metres[size] / 2, abs=1)
        assert balls[size] == -(-metres[size] // 50)
    assert yarn.amount.endswith(" balls")


def test_the_head_of_the_handout(tmp_path: Path) -> None:
    found = view(tmp_path, MATERIALS)
    assert (found.title, found.course, found.host, found.edition) == ("Ring", "Ring cowl", "Ada Example", 1)
    assert (found.notes, found.sizes) == (("Both are worked alike: make two.",), ("S", "M"))
    things = found.materials
    assert (things.for_all, found.measurements.fits) == (
        "for the pair, 10\u00a0% in reserve included",
        ("small heads", "large heads"),
    )
    # It is worked flat, so in rows. A swatch leaves out its edges: 10 cm of 20 sts in the middle of half as many again.
    assert things.gauges == (
        "20\u00a0sts and 30 rows to 10\u00a0cm (4\u00a0in) in stockinette, on 4 mm needles",
        # 15 cm are 45 rows of 30 loops of 19.6 mm (the root of 23.1 / (2 x 3), in cm), with a tenth more 29.1 m.
        "Your swatch: 30\u00a0sts or more, some 15\u00a0cm (6\u00a0in) wide, counted in its middle; as high as wide it "
        "takes 30\u00a0m beside the yarn of the pattern",
    )
    # 200 sts at 20 to 10 cm are a metre wide, and the next circular that shops have has a metre.
    assert things.needles == (
        "4 mm (US 6, UK 8)",
        "straight, or as a circular of 100\u00a0cm (39¼\u00a0in)",
    )
    assert things.notions == ("marker", "tape measure")
    # 50 m to 25 g are 200 m to 100 g; published tables give 11 to 15 wraps for DK.
    assert [text.replace("\u00a0", " ") for text in things.instead] == [
        "Instead, take a yarn that knits to 20 sts to 10 cm (4 in), is called DK (weight 3, Light), wraps 11 to 15"
        " times round 2.5 cm (1 in) of a ruler and has about 200 m to 100 g; then knit a swatch."
    ]
    assert things.care[0].startswith("Wash by hand in cool water")
    assert found.terms == "Terms are US: gauge (UK tension), stockinette (UK stocking stitch), bind off (UK cast off)."


ROUNDS = """\
title: Tube
sizes: S, M
gauge: {stitches: 20, rounds: 30, over: 10 cm, fabric: lace in the round, needle: 5 mm}
needles: [4 mm for the rib, 5 mm for the rest]
yarns:
  MC: {name: Plain wool, metres: 50, grams: 25}
stages:
  edge: {title: Edge, works: [{cast_on: MOST}]}
  rib:
    title: Rib
    after: edge
    gauge: {stitches: 30, rounds: 30, needle: 4 mm}
    works: [{rounds: 3, lines: Knit}]
  body:
    title: Body
    after: rib
    works: [{rounds: 3, lines: Knit}]
  tip:
    title: Tip
    after: body
    works: [{lines: [K2tog around]}, {rounds: 2, lines: Knit}]
"""
OTHERS = "double-pointed needles, two circulars, or one of 80 cm (31½ in) or longer for magic loop"


@pytest.mark.parametrize(
    ("stitches", "needles"),
    [
        # 60 sts at 20 to 10 cm are 30 cm, half of them 15: they do not reach round a circular of 40 cm anywhere.
        (60, [f"in 4 mm and 5 mm, from the cast-on on (no part is over 30 cm, 11¾ in around): {OTHERS}"]),
        # 100 sts: the rib draws in to 33.5 cm at rest, and lies on the needle over 50 cm; 50 sts are 25 cm.
        (
            100,
            [
                "in 4 mm and 5 mm as a circular of 40 cm (15¾ in)",
                f"in 5 mm, where that is too long (Tip, down to 25 cm, 9¾ in around): {OTHERS}",
            ],
        ),
        # 200 sts are a metre, the tip is half of it.
        (200, ["as a circular of 40 cm (15¾ in)"]),
    ],
)
def test_every_size_of_needle_says_on_which_kind_its_rounds_are_worked(
    tmp_path: Path, stitches: int, needles: list[str]
) -> None:
    things = view(tmp_path, ROUNDS.replace("MOST", str(stitches))).materials
    assert [text.replace("\u00a0", " ") for text in things.needles[2:]] == needles
    # 10 cm of 20 sts in the middle of half as many again: a tube lies double.
    assert things.gauges[1].replace("\u00a0", " ") == (
        "Your swatch: 60 sts or more joined in the round, or 30 flat, each row from the right side, yarn loose across "
        "the back; some 15 cm (6 in) wide, counted in its middle; as high as wide it takes 59 m joined, 37 m flat "
        "beside the yarn of the pattern"  # 29.1 m of loops, twice in a tube; flat 45 strands of 15 cm besides
    )


def test_body_measures_are_given_as_typed_and_finished_ones_as_knitted(tmp_path: Path) -> None:
    made = view(tmp_path, MATERIALS).measurements
    body = {measure.name: measure.values for measure in made.body}
    parts = {measure.name: measure.values for measure in made.parts}
    # 50, 55.5 and 2 cm are 19.69, 21.85 and 0.79 in: to a quarter 19¾, 21¾ and ¾. 100 and 200 sts are 50 and 100 cm.
    assert body["Head"] == ("50\u00a0cm, 19¾\u00a0in", "55.5\u00a0cm, 21¾\u00a0in")
    assert body["Ease"] == ("2\u00a0cm, ¾\u00a0in", "2\u00a0cm, ¾\u00a0in")
    assert parts["Edge: width"] == ("50\u00a0cm, 19¾\u00a0in", "100\u00a0cm, 39¼\u00a0in")
    assert parts["Edge: length"][0] == "10\u00a0cm, 4\u00a0in"


def test_what_is_knitted_for_a_measure_stands_first_with_its_ease(tmp_path: Path) -> None:
    text = MATERIALS.replace("  ease: 2 cm\n", "  edge circumference: 48 (94) cm\n")
    made = view(tmp_path, text).measurements
    assert [one.name for one in made.finished] == ["Edge circumference", "Length of the whole"]
    assert made.finished[0].values[0] == "50\u00a0cm, 19¾\u00a0in"
    # 50 and 100 cm round 48 and 94, printed as 19¾ and 39¼ in round 19 and 37 in: whoever subtracts has these.
    assert made.ease == (
        "Ease (finished less body): edge circumference 2\u00a0(6)\u00a0cm, ¾\u00a0(2¼)\u00a0in,"
        " for one of 48\u00a0(94)\u00a0cm, 19\u00a0(37)\u00a0in."
    )


def test_stages_with_their_order_and_remarks(tmp_path: Path) -> None:
    edge, cord = view(tmp_path, MATERIALS).stages
    assert (edge.title, edge.after, edge.watch_for) == ("Edge", "", "Not 100\u00a0(200) too tight.")
    assert edge.works[0].lead.endswith("cast on 100\u00a0(200)\u00a0sts.")
    assert edge.works[0].note == "Loosely."
    assert edge.works[1].lines[0].label == "Rows\u00a01 to\u00a030"
    assert (cord.after, cord.shown) == ("", ())


def test_every_text_for_the_handout_is_printed_once(tmp_path: Path) -> None:
    segment = "  - title: TITLE\n    handout: For TITLE.\n    shots:\n      - {view: face, pieces: [{needs: NEEDS}]}\n"
    shown = [("Half an edge", "edge round 3"), ("The edge", "edge"), ("Half a body", "body round 2")]
    more = "".join(segment.replace("TITLE", title).replace("NEEDS", needs) for title, needs in shown)
    more += "  - title: Last\n    stage: body\n    handout: For last.\n    shots: [{view: face}]\n"
    files = {"pattern.yaml": PATTERN, "course.yaml": COURSE + "film_size: M\n", "episodes/01.yaml": EPISODE + more}
    plan = lessonplan.plan(write_course(tmp_path, files)).plan
    assert plan is not None
    made = handout_view(plan)
    edge, body = made.stages
    # The first segment casts on; a piece that lies there finished is not worked, so its text stands in the notes.
    assert [text.partition(": ")[2] for text in edge.shown] == ["The edge", "Half an edge"]
    assert edge.told == ("For Half an edge.",)
    assert made.notes == ("For The edge.",)
    assert body.told == ("For Half a body.", "For last.")
    assert [text.partition(": ")[2] for text in body.shown] == ["Half a body", "Last"]


def test_a_text_at_a_stage_that_is_none_is_a_problem(tmp_path: Path) -> None:
    episode = EPISODE + "  - title: Last\n    stage: bdy\n    handout: For last.\n    shots: [{view: face}]\n"
    files = {"pattern.yaml": PATTERN, "course.yaml": COURSE + "film_size: M\n", "episodes/01.yaml": episode}
    (problem,) = lessonplan.plan(write_course(tmp_path, files)).problems
    assert (problem.code, problem.message) == ("unknown-stage", "There is no stage “bdy”.")
    assert problem.hint == "Did you mean “body”?"


def test_what_must_be_done_first_stands_first(tmp_path: Path) -> None:
    text = PATTERN.replace(
        "        yarn: CC\n", "        yarn: CC\n        before: Change to {{ gauge.stitches }} mm.\n"
    )
    assert stage_of(view(tmp_path, text), "edge").works[1].before == "Change to 20\u00a0mm."


def test_a_stage_that_can_wait_says_so(tmp_path: Path) -> None:
    more = "  gap:\n    title: Gap\n    after: edge\n    works:\n      - {minutes: 5, what: Rest}\n"
    assert stage_of(view(tmp_path, PATTERN + more), "gap").after == "Any time after: Edge."


def test_spread_increases_are_written_out_for_each_size(tmp_path: Path) -> None:
    pattern = PATTERN.replace('- lines:\n          - "[K8, m1] to end"\n          - "Knit"', "- increase: 5 (8)")
    spread, *_ = view(tmp_path, pattern).stages[1].works
    # 40 stitches in five parts of eight, 48 in eight parts of six.
    assert spread.lead == "The line of your size:"
    assert [line.label for line in spread.lines] == ["S", "M"]
    assert [re.findall(r"[kK](\d+)", line.text)[:1] for line in spread.lines] == [["8"], ["6"]]
    assert spread.end_count == "45\u00a0(56)\u00a0sts"


def test_whom_it_is_for_whom_to_write_to_and_whose_it_is(tmp_path: Path) -> None:
    course = COURSE + "film_size: M\ncontact: ada@example.org\ncopyright: (c) 2027 Ada Example\n"
    files = {"pattern.yaml": PATTERN + "skill: knit and purl\n", "course.yaml": course, "episodes/01.yaml": EPISODE}
    lessonplan.build(write_course(tmp_path, files), tmp_path / "out")
    page = read((tmp_path / "out" / "handout.html").read_text(encoding="utf-8"))
    paper = " ".join(pdf.pages((tmp_path / "out" / "handout.pdf").read_bytes()))
    for text in ("For whom: knit and purl", "Questions and mistakes: ada@example.org", "(c) 2027 Ada Example"):
        assert text in page
        assert text in paper


SLEEVE = """\
title: Two-size tube
sizes: [S, M]
gauge: {stitches: 20, rounds: 30}
needles: 4 mm
yarns:
  MC: {name: Plain wool, colour: grey, metres: 200, grams: 100, fibre: wool}
stages:
  edge:
    title: Edge
    works:
      - cast_on: 40 (48)
        join: yes
      - lines:
          - "Knit 3 rounds."
          - "Dec round: K1, k2tog, k to last 3 sts, ssk, k1. 38 (46) sts."
          - "Repeat Dec round every 4th round 1 (2) times more."
      - bind_off: all
"""


def test_shaping_that_is_repeated_is_printed_as_it_is_worked(tmp_path: Path) -> None:
    """By hand: the count printed in the line holds the first time only; rounds 9 to 12 are in the second size alone."""
    page = view(tmp_path, SLEEVE)
    lines = [line for stage in page.stages for work in stage.works for line in work.lines]
    decrease = "Dec round: K1, k2tog, k to last 3 sts, ssk, k1."
    rows = [tuple(one.replace(NO_BREAK, " ") for one in (line.label, line.text, line.count)) for line in lines]
    assert rows == [
        ("Rnds 1 to 3", "Knit.", ""),
        ("Rnd 4", decrease, "38 (46) sts"),
        ("Rnds 5 to 7", "Work even", ""),
        ("Rnd 8", decrease, "36 (44) sts"),
        ("Rnds – (9) to – (11)", "Work even", ""),
        ("Rnd – (12)", decrease, "– (42) sts"),
    ]
    assert [line.without for line in lines] == [(), (), (), (), (0,), (0,)]


def test_a_length_is_printed_once_as_it_is_typed_with_its_rounds_beside_it(tmp_path: Path) -> None:
    """15 cm are 45 rounds at 30 to 10 cm and 17 cm are 51: the even numbers are 46 and 52, what is typed stays.

    1 cm is 3 rounds: after 15 (17) cm the body then measures 16 (18) cm.
    """
    more = """\
      - rounds: 15 (17) cm
        rounding: even
        lines: "Work in St st until the body measures {{ length }} from the underarm."
      - rounds: 1 cm
        lines: "Work in rib until the body measures 16 (18) cm."
      - rounds: 10 cm
        lines: "Work in St st for 9 cm."
"""
    begin, end = PATTERN.split("      - bind_off: all")
    made = view(tmp_path, begin + more + "      - bind_off: all" + end)
    *_, own, whole, other, _off = stage_of(made, "body").works
    plain = [text.replace(NO_BREAK, " ") for work in (own, whole, other) for text in (work.lead, work.lines[0].text)]
    assert plain == [
        "",
        "Work in St st until the body measures 15 (17) cm, 6 (6¾) in from the underarm (46 (52) rounds at the"
        " given gauge).",
        "",
        "Work in rib until the body measures 16 (18) cm, 6¼ (7) in (3 rounds from here at the given gauge).",
        "Work 10 cm, 4 in (30 rounds at the given gauge):",  # the line disagrees, of which check tells
        "Work in St st for 9 cm.",
    ]


def test_ones_own_gauge_asks_and_tells_rows_of_what_is_flat(tmp_path: Path) -> None:
    """A scarf has no rounds and is not round; a sleeve of a flat yoke is, and the swatch serves both."""
    flat = (
        "gauge: {stitches: 20, rounds: 28}\nyarns:\n  MC: {name: Wool, metres: 200, grams: 100}\ntitle: A\nstages:\n"
        "  strip:\n    title: Strip\n    works:\n      - cast_on: 40\n      - rows: 10 cm\n        lines: Knit\n"
    )
    tube = (
        "  cuff:\n    title: Cuff\n    works:\n      - cast_on: 40\n        join: yes\n"
        "      - rounds: 5 cm\n        lines: Knit\n"
    )
    mixed = "      - rows: 4\n        lines: Knit\n      - rounds: 5 cm\n        lines: Knit\n"
    shots = "episode: 1\ntitle: All\nsegments:\n  - title: One\n    shots:\n      - {view: face, say: Hello.}\n"

    def told(name: str, pattern: str) -> tuple[str, str, list[tuple[str, str]]]:
        folder = write_course(tmp_path / name, {"pattern.yaml": pattern, "episodes/01.yaml": shots})
        plan = lessonplan.plan(folder).plan
        assert plan is not None
        form, things = handout_view(plan).own_gauge, materials(plan)
        assert form is not None
        given = things.gauges[0].replace("\u00a0", " ")
        return given, form.counted, [(part.counted, part.across) for part in form.parts]

    rows, rounds = (f"20 sts and 28 {high} to 10 cm (4 in) in stockinette" for high in ("rows", "rounds"))
    assert told("flat", flat) == (rows, "rows", [("rows", "wide")])
    assert told("both", flat + tube) == (rows, "rows or rounds", [("rows", "wide"), ("rounds", "round")])
    assert told("joined", flat.replace("10 cm", "4") + mixed[mixed.index("      - rounds") :]) == (
        rounds,
        "rows or rounds",
        [("rows and rounds", "round")],
    )


def test_another_yarn_is_told_once_for_yarns_that_are_alike_and_by_their_keys_otherwise(tmp_path: Path) -> None:
    def told(folder: str, ball: str) -> list[str]:
        pattern = PATTERN.replace("colour: red, metres: 200, grams: 100", f"colour: red, {ball}")
        return [one.partition(", take")[0] for one in view(tmp_path / folder, pattern).materials.instead]

    assert told("a", "metres: 100, grams: 50") == ["Instead"]  # as long to the gram, in smaller balls
    assert told("b", "metres: 400, grams: 100") == ["Instead of MC", "Instead of CC"]


def test_waste_yarn_that_stands_among_the_yarns_is_no_notion_too(tmp_path: Path) -> None:
    notions = "notions: [smooth waste yarn, waste yarn for the swatch, a blunt needle]\n"
    pattern = PATTERN.replace("stages:\n", notions + "stages:\n")
    held = pattern.replace(
        '          - "Knit"\n      - times', '          - "Knit"\n      - {placeholder: 4, name: gap}\n      - times'
    )
    assert view(tmp_path / "a", pattern).materials.notions == (
        "smooth waste yarn",
        "waste yarn for the swatch",
        "a blunt needle",
    )
    assert view(tmp_path / "b", held).materials.notions == ("waste yarn for the swatch", "a blunt needle")
