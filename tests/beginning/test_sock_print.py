"""A sock from the cuff down, as it is mostly printed, becomes a course whose every count is worked out by hand here.

The heel of 28 (32, 36) stitches is turned over 18 + 2 = 20 (22, 24) of them first, so that 8 (10, 12) wait at either
side, two of which each row takes in: 10 (12, 14) rows, a decrease in each, leave 18 (20, 22). With 14 (16, 18)
picked up along both sides of the flap and the instep that is 74 (84, 94), and two fewer in every other round.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

import lessonplan
from lessonplan.beginning.sources import Begun, Sources, begin_from
from lessonplan.course.model.works import Knit
from lessonplan.needle.count import count_lines
from lessonplan.pattern.colour import ends_left
from lessonplan.planning.worked import Worked

SOCK = """# Millrace Socks
Sizes: Women's S (M, L)
Yarn: fingering weight, 420 yds / 100 g, 1 skein
Needles: US 1 (2.25 mm) circular
Gauge: 32 sts and 44 rounds = 4 inches in stockinette

CUFF
CO 56 (64, 72) sts. Join to work in the rnd being careful not to twist.
Work in k2, p2 rib for 1.5 inches.

HEEL FLAP
The heel is worked back and forth over half of the sts, 28 (32, 36) sts.
Row 1 (RS): *Sl 1 wyib, k1; rep from * to end of heel sts, turn.
Row 2 (WS): Sl 1 wyif, purl to end, turn.
Rep these 2 rows 13 (15, 17) more times.

TURN HEEL
Row 1 (RS): Sl 1, k16 (18, 20), ssk, k1, turn.
Row 2: Sl 1, p7, p2tog, p1, turn.
Row 3: Sl 1, knit to 1 st before gap, ssk, k1, turn.
Row 4: Sl 1, purl to 1 st before gap, p2tog, p1, turn.
Repeat Rows 3 and 4 until all heel sts have been worked. 18 (20, 22) heel sts remain.

GUSSET
Next rnd: Knit across heel sts, pick up and knit 14 (16, 18) sts along side of heel flap, work 28 (32, 36) instep sts in patt, pick up and knit 14 (16, 18) sts along other side of flap, k9 (10, 11). 74 (84, 94) sts.
Rnd 1: N1: knit to last 3 sts, k2tog, k1; N2: work in patt; N3: k1, ssk, knit to end. 2 sts dec'd.
Rnd 2: Work even in patt.
Rep Rnds 1 and 2 until 56 (64, 72) sts remain.

FOOT
Continue working even until foot measures 7 (7.5, 8) inches from back of heel.
Graft toe closed.
"""  # noqa: E501 lines of print are as long as they are


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> tuple[Begun, Worked]:
    """What is begun from the print, and the course worked."""
    folder: Path = tmp_path_factory.mktemp("sock")
    (folder / "sock.md").write_text(SOCK, encoding="utf-8")
    said = {"made": "socks"}
    made = begin_from(folder / "c", said, date(2027, 1, 4), Sources(pattern=folder / "sock.md"), lambda texts: texts)
    worked = lessonplan.load(folder / "c").worked
    assert worked
    return made, worked


def test_every_part_has_its_rows_and_stitches(begun: tuple[Begun, Worked]) -> None:
    stages = begun[1].kinds["full"].stages
    assert [len(stage.rounds) for stage in stages["heel_flap"]] == [28, 32, 36]
    assert [stage.rounds[-1].after for stage in stages["heel_flap"]] == [28, 32, 36]
    assert [len(stage.rounds) for stage in stages["turn_heel"]] == [10, 12, 14]
    assert [stage.rounds[-1].after for stage in stages["turn_heel"]] == [18, 20, 22]
    assert [stage.rounds[0].after for stage in stages["gusset"]] == [74, 84, 94]
    assert [stage.stitches for stage in stages["gusset"]] == [56, 64, 72]
    assert [len(stage.rounds) for stage in stages["gusset"]] == [1 + 2 * (n - 1) + 1 for n in (9, 10, 11)]


def test_a_foot_measured_from_the_heel_is_left_to_the_teacher(begun: tuple[Begun, Worked]) -> None:
    left = [one.left for one in begun[0].taken["sock.md"] if "from back of heel" in one.text]
    assert left == ["it is measured from elsewhere: type how much of it is worked here"]


@pytest.mark.parametrize(
    "text",
    [
        "The heel flap is worked back and forth over the next 28 sts.",
        "Heel flap is worked over 28 sts.",
        "Working back and forth over 28 heel sts only:",
        "The heel is worked on the last 28 sts of the round",
        "Heel is worked flat over the first 28 sts",
    ],
)
def test_a_heel_goes_on_with_its_own_stitches(text: str) -> None:
    counted = count_lines(["Rnd 1: Knit.", text, "Row 1: *Sl 1, k1; rep from * to end, turn."], [56])
    assert [line.stitches for line in counted.lines] == [(56,), (28,), (28,)]


def test_a_pattern_over_so_many_stitches_keeps_the_others() -> None:
    """Common practice: `over` tells a stitch pattern how far it goes, and the round goes on behind it."""
    assert count_lines(["Work in rib over 28 sts"], [56]).lines[0].stitches != (28,)


def test_rows_that_are_joined_into_a_round_are_rounds_from_there_on(tmp_path: Path) -> None:
    text = "Sleeve\nGauge: 22 sts and 30 rounds = 10 cm\nMC: DK wool, 225 m per 100 g\n\nSLEEVE\nWith MC, CO 40 sts.\n"
    text += "Knit 1 row.\nPm and join to work in the rnd.\nKnit 6 rnds.\nBO all sts.\n"
    (tmp_path / "sleeve.md").write_text(text, encoding="utf-8")
    begin_from(tmp_path / "c", {}, date(2027, 1, 4), Sources(pattern=tmp_path / "sleeve.md"), lambda texts: texts)
    worked = lessonplan.load(tmp_path / "c").worked
    assert worked
    works = worked.course.pattern.stages["sleeve"].works
    assert [work.before for work in works] == ["", "", "Pm and join to work in the rnd.", ""]
    kinds = [step.kind for step in worked.pattern.stages["sleeve"][0].rounds]
    assert (kinds.count("row"), kinds.count("round")) == (1, 6)


TOE_UP = """# Tarnside Socks

A pair of toe-up socks with a band of dots.

Sizes: S (M)
Gauge: 28 sts and 40 rounds to 10 cm in stockinette in the round, washed, on 2.75 mm needles.
MC: Tarn Sock in moss, 400 m per 100 g
CC: Tarn Sock in apricot, 400 m per 100 g

TOE
With MC, cast on 56 (64) sts, half of them on each needle, and join in the round.
Knit 4 rounds.

LEG
Knit 2 rounds.
Dotted band: work Rounds 1-3 of the chart, in MC and CC.
Knit 3 rounds with MC.
Bind off.

FINISHING
Weave in the ends.

Dotted chart (8 sts, 3 rounds)
Round 1: *K1 CC, k7 MC; rep from * to end.
Round 2: *K7 MC, k1 CC; rep from * to end.
Round 3: *K8 MC; rep from * to end.
"""


def test_socks_told_of_as_a_pair_are_made_twice_and_coloured_stitches_cost_their_yarn(tmp_path: Path) -> None:
    (tmp_path / "print.md").write_text(TOE_UP, encoding="utf-8")
    made = begin_from(tmp_path / "c", {}, date(2027, 1, 4), Sources(pattern=tmp_path / "print.md"), lambda texts: texts)
    worked = lessonplan.load(tmp_path / "c").worked
    assert worked
    pattern, facts = worked.course.pattern, worked.facts
    assert (pattern.make, [(one.name, one.colour) for one in pattern.yarns.values()]) == (
        2,
        [("Tarn Sock", "moss"), ("Tarn Sock", "apricot")],
    )
    assert pattern.gauge.fabric == "stockinette in the round, washed"
    # Seven (eight) repeats, one stitch of CC in each of two rounds; eight rounds in all, of 56 (64).
    assert facts["leg.with.CC"].values == (14, 16)
    assert facts["leg.with.MC"].values == (8 * 56 - 14, 8 * 64 - 16)
    assert facts["leg.rounds"].values == (8, 8)
    # CC is joined where the band begins, and both leave two ends.
    assert [(work.yarn, len(work.lines)) for work in pattern.stages["leg"].works[:2] if isinstance(work, Knit)] == [
        (("MC",), 1),
        (("MC",), 2),
    ]
    assert ends_left(worked.pattern, 0) == 4
    toe = pattern.stages["toe"].works[0]
    assert (toe.note, [one.left.partition(":")[0] for one in made.taken["print.md"] if one.kind == "cast-on"]) == (
        "Half of them on each needle.",
        ["both needles are cast on at once"],
    )


@pytest.mark.parametrize(
    ("title", "summary", "make"),
    [
        ("Tarnside Socks", "Warm ones.", 2),
        ("Tarnside Socks", "The left sock has a pocket.", 1),
        ("Hat and Mittens", "Warm ones.", 1),
        ("Tarnside Cowl", "Take a pair of needles.", 1),
    ],
)
def test_when_a_begun_pattern_is_made_twice(tmp_path: Path, title: str, summary: str, make: int) -> None:
    text = TOE_UP.replace("Tarnside Socks", title).replace("A pair of toe-up socks with a band of dots.", summary)
    (tmp_path / "print.md").write_text(text, encoding="utf-8")
    begin_from(tmp_path / "c", {}, date(2027, 1, 4), Sources(pattern=tmp_path / "print.md"), lambda texts: texts)
    worked = lessonplan.load(tmp_path / "c").worked
    assert worked
    assert worked.course.pattern.make == make
