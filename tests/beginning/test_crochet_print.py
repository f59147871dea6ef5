"""A crocheted hat as a teacher prints and scripts it becomes a course; its numbers are worked out by hand here.

Crown: 12 stitches, and 12 more in every round, so 60 after round 5; one more such round for a child, two for an adult
(common practice). At 9 rounds to 10 cm the crown is 5, 6 or 7 rounds long, 5.56, 6.67 or 7.78 cm, so that 14, 17 and
20 cm "from the crown" leave 8.4, 10.3 and 12.2 cm for the sides.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

import lessonplan
from lessonplan.beginning.sources import Sources, begin_from
from lessonplan.documents.countedpattern import pattern_table
from lessonplan.documents.handout import handout_view
from lessonplan.documents.knitpaper import knitter_paper
from lessonplan.needle.pattern import Whole, work_whole
from lessonplan.planning.worked import Plan
from lessonplan.printed.leaflet.contents import read_whole
from lessonplan.printed.line import parse_line
from lessonplan.printed.piece import begins_piece
from lessonplan.samples.knitters import who_knits

HAT = """# Fellside Beanie
**Sizes:** Baby (Child, Adult)
**Yarn:** DK weight wool, 120 m per 50 g: 1 (2, 2) balls in heather
**Hook:** 4.5 mm
**Gauge:** 16 dc and 9 rounds = 10 cm

## Crown
Ch 4, join with a sl st to form a ring.
Rnd 1: Ch 3 (counts as first dc here and throughout), 11 dc in ring, join with sl st to top of ch-3. (12 dc)
Rnd 2: Ch 3, dc in same st, 2 dc in each dc around, join. (24 dc)
Rnd 3: Ch 3, 2 dc in next st, *dc in next st, 2 dc in next st; rep from * around, join. (36 dc)
Rnd 4: Ch 3, dc in next st, 2 dc in next st, *dc in each of next 2 sts, 2 dc in next; rep from * around, join. (48 dc)
Rnd 5: Ch 3, dc in next 2 sts, 2 dc in next st, *dc in next 3 sts, 2 dc in next st; rep from * around, join. (60 dc)
Child and Adult only
Rnd 6: Ch 3, dc in next 3 sts, 2 dc in next st, *dc in next 4 sts, 2 dc in next st; rep from * around, join. (72 dc)
Adult only
Rnd 7: Ch 3, dc in next 4 sts, 2 dc in next st, *dc in next 5 sts, 2 dc in next st; rep from * around, join. (84 dc)

## Sides
Next rnd: Ch 3, dc in each st around, join.
Rep last rnd until hat measures 14 (17, 20) cm from crown.

## Brim
Rnd 1: Ch 2 (does not count as a st), *FPdc around next st, BPdc around next st; rep from * around, join.
Rep Rnd 1 3 (4, 4) more times.
Fasten off and weave in ends.
"""
SCRIPT = """Episode 1: A hat from the very crown down to its brim

1.1 Welcome
Shot: Hello
"Good afternoon, and welcome."

1.2 The ring and the first rounds
Shot: Closing the ring
"Chain four, and slip into the first chain."
Shot: Two in each
"Now two into every stitch."
"""


@pytest.fixture(scope="module")
def plan(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    """The plan of the course that is begun from the print alone."""
    folder = tmp_path_factory.mktemp("hat")
    (folder / "hat.md").write_text(HAT, encoding="utf-8")
    said = {"made": "hat", "craft": "crochet", "host": "Una Pellowe", "knitters": "Una Pellowe, Tam Grice"}
    begin_from(
        folder / "course",
        {**said, "shoot": "2027-03-13"},
        date(2027, 1, 4),
        Sources(pattern=folder / "hat.md"),
        lambda texts: texts,
    )
    result = lessonplan.plan(folder / "course")
    assert result.problems == ()
    assert result.plan
    return result.plan


def after(whole: Whole, begins: str) -> tuple[int | None, ...]:
    return next(line.counted.stitches for line in whole.lines if line.counted.text.startswith(begins))


@pytest.mark.parametrize("between", ["", "\n"])
def test_lines_for_sizes_by_their_names_are_for_these_alone(between: str) -> None:
    """With empty lines between all of the print too; the lines after the heading are for every size again."""
    whole = work_whole(read_whole(HAT.replace("\n", f"\n{between}")))
    assert whole.printed.sizes == ("Baby", "Child", "Adult")
    assert after(whole, "Rnd 5") == (60, 60, 60)
    assert after(whole, "Rnd 6") == (60, 72, 72)
    assert after(whole, "Rnd 7") == (60, 72, 84)
    assert after(whole, "Next rnd") == (60, 72, 84)
    assert after(whole, "Rnd 1: Ch 2") == (60, 72, 84)
    assert {problem.kind for problem in whole.problems} == {"asked"}  # the length alone, which hangs on the gauge


@pytest.mark.parametrize(
    "told", ["Child and Adult only:", "For Child & Adult only", "Child to Adult only", "Sizes 2-3 only:"]
)
def test_sizes_are_told_in_many_ways(told: str) -> None:
    assert after(work_whole(read_whole(HAT.replace("Child and Adult only", told))), "Rnd 6") == (60, 72, 72)


def test_a_line_for_two_of_three_sizes_has_two_numbers() -> None:
    """A wrong one of them is found in its own size."""
    text = "Sizes: S (M, L)\n\n## Yoke\nCast on 40 (50, 60) sts.\nSizes M and L only:\n"
    text += "Row 1: K1, m1, k to end. 51 (61) sts.\n"
    whole = work_whole(read_whole(text))
    assert after(whole, "Row 1") == (40, 51, 61)
    assert whole.problems == ()
    wrong = work_whole(read_whole(text.replace("(61)", "(62)"))).problems
    assert [(one.kind, one.size) for one in wrong] == [("disagrees", 3)]
    many = work_whole(read_whole(text.replace("51 (61)", "41 (51, 61, 71)"))).problems
    assert "a list of 4 numbers, 2 too many" in many[0].sentence


@pytest.mark.parametrize(
    ("begins", "text"),
    [
        (False, "Ch 3, dc in each st around, join."),
        (False, "Ch 1, turn, sc in each st"),
        (False, "Ch 4, sk next 2 sts, *dc in next st, ch 1, sk 1; rep from * to end"),
        (False, "Ch 5 (counts as dc and ch 2), dc in same sp"),
        (False, "Join yarn with sl st in any st, ch 1, sc in each st around"),
        (True, "Ch 42."),
        (True, "Ch 4, join with a sl st to form a ring."),
        (True, "Ch 15, turn. Sc in second ch from hook and across"),
        (True, "Ch 30, sc in each ch across"),
        (True, "Make a magic ring, ch 1, 6 sc in ring"),
        (True, "Fsc 40"),
        (True, "Cast on 40 sts."),
        (False, "K2, p2 around"),
    ],
)
def test_a_foundation_begins_a_piece_and_a_turning_chain_goes_on(begins: bool, text: str) -> None:
    """Common practice: a turning chain is as high as the stitch after it, a foundation is worked into."""
    assert begins_piece(parse_line(text)) is begins


def test_the_course_counts_as_the_print_does(plan: Plan) -> None:
    """Its rounds have the print's numbers, so that the ring before round 1 is none."""
    crown, sides, brim = (list(plan.worked.kinds["full"].stages[key]) for key in ("crown", "sides", "brim"))
    assert [len(stage.rounds) for stage in crown] == [5, 6, 7]
    assert [stage.stitches for stage in crown] == [60, 72, 84]
    assert [step.after for step in crown[2].rounds] == [12, 24, 36, 48, 60, 72, 84]
    assert [stage.stitches for stage in sides] == [60, 72, 84]
    assert [len(stage.rounds) for stage in sides] == [round(cm * 0.9) for cm in (8.4, 10.3, 12.2)]
    assert [len(stage.rounds) for stage in brim] == [4, 5, 5]


def test_the_handout_names_the_sizes_and_the_stitch_of_the_gauge(plan: Plan) -> None:
    view = handout_view(plan)
    told = [line.text for stage in view.stages for work in stage.works for line in work.lines]
    assert [text[:24] for text in told if " only:" in text] == ["Child and Adult only: Rn", "Adult only: Rnd 7: Ch 3,"]
    assert plan.course.pattern.gauge.fabric == "dc"


def test_a_piece_that_is_only_shown_before_it_is_begun_has_its_yarn_laid_ready(plan: Plan) -> None:
    """The first shot of the crown is filmed with nothing but yarn and hook."""
    host = next(one for one in who_knits(plan.course) if one.name == "Una Pellowe")
    ready = [text for text in knitter_paper(plan, host).on_set if text.startswith("Lay ready")]
    assert len(ready) == 1
    assert "yarn and a 4.5 mm hook for" in ready[0].replace("\u00a0", " ")


def test_a_numbered_script_keeps_its_segments_and_shots(tmp_path: Path) -> None:
    """Lines below each other, as a plain text has them: headings by their numbers, shots and words by their signs."""
    (tmp_path / "script.txt").write_text(SCRIPT, encoding="utf-8")
    said = {"made": "hat", "craft": "crochet", "shoot": "2027-03-13"}
    begin_from(tmp_path / "c", said, date(2027, 1, 4), Sources(script=tmp_path / "script.txt"), lambda texts: texts)
    worked = lessonplan.load(tmp_path / "c").worked
    assert worked
    (episode,) = worked.course.episodes
    assert episode.title == "A hat from the very crown down to its brim"
    assert [segment.title for segment in episode.segments] == ["Welcome", "The ring and the first rounds"]
    shots = [shot for segment in episode.segments for shot in segment.shots]
    assert [(shot.title, str(shot.say).strip()) for shot in shots] == [
        ("Hello", "Good afternoon, and welcome."),
        ("Closing the ring", "Chain four, and slip into the first chain."),
        ("Two in each", "Now two into every stitch."),
    ]


MITTS = """# Harbour Wrist Warmers
UK terms are used throughout.
Tension: 24 sts and 12 rows to 10 cm
3 mm crochet hook

Hand
Make 40 ch, ss in first ch to form a ring.
Round 1: 2 ch (counts as first htr), 1 htr in each ch around, ss to top of 2 ch. 40 sts
Round 2: 1 ch, 1 dc in each st around, ss to first dc.
Rounds 3 to 12: As round 2.
Fasten off.
"""


@pytest.mark.parametrize("made", ["hat", "mittens", "bag"])
def test_uk_print_is_explained_in_its_own_terms(tmp_path: Path, made: str) -> None:
    """UK double crochet is US single crochet, and "ss" is a slip stitch (common practice), whatever is made."""
    (tmp_path / "mitts.md").write_text(MITTS, encoding="utf-8")
    said = {"made": made, "craft": "crochet", "shoot": "2027-03-13"}
    begin_from(tmp_path / "c", said, date(2027, 1, 4), Sources(pattern=tmp_path / "mitts.md"), lambda texts: texts)
    if made != "bag":
        return
    planned = lessonplan.plan(tmp_path / "c").plan
    assert planned
    explained = {one.short: one.meaning for one in handout_view(planned).abbreviations}
    assert explained["dc"] == "double crochet"
    assert explained["htr"] == "half treble"
    assert explained["ss"] == "slip stitch"
    assert not {"sc", "hdc"} & set(explained)
    whole = work_whole(read_whole(MITTS))
    assert "Techniques: dc 440, ch 53, htr 39" in pattern_table(whole)


YOKE = """# Little Pebble Cardigan
**Sizes:** 2 yrs (4 yrs, 6 yrs)

## Notes
The ch 2 at the beginning of a row does not count as a stitch.

## Yoke
Foundation: Ch 49 (53, 57).
Row 1 (RS): Hdc in 3rd ch from hook and in each ch across, turn. (47, 51, 55 hdc)
Row 2: Ch 2, hdc in first 7 (8, 9) sts, (hdc, ch 1, hdc) in next st, hdc in next 6 sts, (hdc, ch 1, hdc) in next st, hdc
in next 17 (19, 21) sts, (hdc, ch 1, hdc) in next st, hdc in next 6 sts, (hdc, ch 1, hdc) in next st, hdc in last 7 (8,
9) sts, turn.
Row 3: Ch 2, *hdc in each st to ch-1 sp, (hdc, ch 1, hdc) in ch-1 sp; repeat from * 3 more times, hdc in each st to end.
Next row: Ch 2, hdc in each st to first ch-1 sp, ch 4, skip all sts to next ch-1 sp, hdc in each st to next ch-1 sp, ch
4, skip all sts to next ch-1 sp, hdc in each st to end, turn.

## Sleeves (make 2)
Rnd 1: Ch 2, hdc evenly around armhole, join. 30 (32, 36) sts
Rnd 2: Ch 2, hdc in each st around, join.

## Button band
Row 1: With RS facing, sc evenly along front edge.
"""


def test_sleeves_are_skipped_from_space_to_space_and_edges_have_what_is_printed() -> None:
    """By hand: fronts of 7 (8, 9) and 2 more and a back of 17 (19, 21) and 4 more are left once the sleeves are not."""
    whole = work_whole(read_whole(YOKE))
    counts = [line.counted.stitches for line in whole.lines]
    assert counts == [
        (49, 53, 57), (47, 51, 55), (51, 55, 59), (59, 63, 67),
        tuple(2 * (front + 2) + back + 4 for front, back in ((7, 17), (8, 19), (9, 21))),
        (30, 32, 36), (30, 32, 36), (None, None, None),
    ]  # fmt: skip
    assert [(one.line, one.severity) for one in whole.problems if one.kind == "unread"] == [(22, "warning")]
    assert not [one for one in whole.problems if one.severity == "error"]
