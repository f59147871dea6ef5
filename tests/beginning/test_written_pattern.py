"""A written pattern becomes a course: nothing of it is lost, it checks, and the handout says what the print says."""

from __future__ import annotations

import json
import re
from collections import Counter
from datetime import date
from functools import cache
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

import docx
import pytest
import typst
from hypothesis import given, settings, strategies as st
from typer.testing import CliRunner

import lessonplan
from lessonplan.beginning.sources import Begun, Sources, begin_from
from lessonplan.beginning.written.file import write
from lessonplan.beginning.written.given import Given
from lessonplan.beginning.written.materials import Materials, yarn_of
from lessonplan.beginning.written.pattern import read_pattern
from lessonplan.cli import app
from lessonplan.course.files import UnfitError
from lessonplan.planning.worked import Result
from tests.patterns import BACK, CARDIGAN, COWL, MOTIF, MOUSE, SOCK

HERE = Path(__file__).parent / "given"
TODAY = date(2027, 1, 4)
PRINTED = ["hat.txt", "mittens.md", "granny.txt", "cowl.txt"]
OTHERS = {"back.md": BACK, "leaf.txt": COWL, "motif.txt": MOTIF, "mouse.txt": MOUSE}


def words(text: str) -> Counter[str]:
    return Counter(re.findall(r"\w+", text))


def read(folder: Path) -> str:
    return "\n".join(path.read_text(encoding="utf-8") for path in sorted(folder.rglob("*.yaml")))


def from_text(folder: Path, text: str, **said: str) -> tuple[Begun, Result]:
    (folder / "pattern.txt").write_text(text, encoding="utf-8")
    begun = begin_from(folder / "course", said, TODAY, Sources(pattern=folder / "pattern.txt"), lambda texts: texts)
    return begun, lessonplan.load(folder / "course")


@cache
def begun(name: str) -> tuple[Path, Begun, Result]:
    """One of the printed patterns, begun once."""
    folder = Path(mkdtemp()) / "course"
    done = begin_from(folder, {}, TODAY, Sources(pattern=HERE / name), lambda texts: texts)
    return folder, done, lessonplan.load(folder)


def stitches(name: str, stage: str) -> list[int]:
    worked = begun(name)[2].worked
    assert worked
    return [one.stitches for one in worked.pattern.stages[stage]]


@pytest.mark.parametrize("name", PRINTED)
def test_every_word_is_in_the_folder_and_the_course_is_sound(name: str) -> None:
    folder, done, result = begun(name)
    assert words((HERE / name).read_text(encoding="utf-8")) - words(read(folder)) == Counter()
    assert [str(one) for one in result.problems if one.severity == "error"] == []
    assert result.worked
    assert not [one for one in done.taken[name] if "not worked" in one.kind]


def test_the_hat_is_what_the_print_says_in_five_sizes() -> None:
    """The counts are those printed; the rounds of lengths are counted here by 2.6 rounds to the centimetre."""
    worked = begun("hat.txt")[2].worked
    assert worked
    pattern = worked.course.pattern
    assert [size.name for size in pattern.sizes] == ["Baby", "Child", "Adult S", "Adult M", "Adult L"]
    assert [size.fits for size in pattern.sizes] == [
        "head 40 cm",
        "head 46 cm",
        "head 51 cm",
        "head 56 cm",
        "head 61 cm",
    ]
    assert (pattern.gauge.stitches, pattern.gauge.rounds, pattern.gauge.over) == (20, 26, 100)
    assert pattern.gauge.fabric == "stockinette stitch"
    (yarn,) = pattern.yarns.values()
    assert (yarn.name, yarn.colour, yarn.metres, yarn.grams, yarn.fibre) == (
        "Quernwool Aran",
        "Heather",
        170,
        100,
        "wool",
    )
    assert pattern.needles == (
        "4.5 mm (US 7) circular needles, 40 cm long",
        "5 mm (US 8) circular needles, 40 cm long",
        "5 mm double-pointed needles",
    )
    assert pattern.skill == "adventurous beginner"
    assert "Tove Marrowby" in worked.course.course.copyright
    assert "eight lines of decreases" in worked.course.course.summary
    assert stitches("hat.txt", "brim") == [72, 80, 88, 96, 104]
    assert stitches("hat.txt", "crown") == [8] * 5
    assert stitches("hat.txt", "finishing") == [0] * 5
    rounds = {key: [len(one.rounds) for one in worked.pattern.stages[key]] for key in ("brim", "body")}
    assert rounds["brim"] == [16, 18, 21, 23, 26]  # 6 (7, 8, 9, 10) cm
    assert rounds["body"] == [18, 21, 23, 26, 29]  # 13 (15, 17, 19, 21) cm from the cast-on, less the brim


def test_mittens_are_a_pair_with_a_thumb_that_can_be_worked_early() -> None:
    worked = begun("mittens.md")[2].worked
    assert worked
    pattern = worked.course.pattern
    assert pattern.make == 2
    assert list(pattern.stages) == ["cuff", "thumb_gusset", "hand", "top", "thumb", "finishing"]
    assert pattern.stages["thumb"].after == ("thumb_gusset",)
    assert pattern.stages["finishing"].after == ("top", "thumb")
    assert [len(one.rounds) for one in worked.pattern.stages["cuff"]] == [20] * 3
    yarns = [step.yarns[0][0] for step in worked.pattern.stages["cuff"][0].rounds]
    assert yarns == ["CC"] * 4 + ["MC"] * 16
    assert [one.stitches for one in worked.pattern.stages["thumb_gusset"]] == [40, 44, 48]
    assert [one.start for one in worked.pattern.stages["top"]] == [40, 44, 48]
    assert pattern.needles == ("3.5 mm double-pointed needles", "4 mm double-pointed needles")
    assert getattr(pattern.stages["cuff"].works[0], "join", False)
    thumb = worked.pattern.stages["thumb"]
    assert [one.steps[1].after for one in thumb] == [14, 16, 18]
    assert [len(one.rounds) for one in thumb] == [16, 18, 19]  # 5 (5.5, 6) cm at 3 to the cm, and one more


def test_crochet_and_flat_pieces_and_what_the_tables_guess() -> None:
    granny, cowl = begun("granny.txt")[2].worked, begun("cowl.txt")[2].worked
    assert granny
    assert cowl
    assert granny.course.pattern.craft == "crochet"
    assert list(granny.course.pattern.yarns) == ["A", "B", "C"]
    assert {step.yarns[0][0] for step in granny.pattern.stages["square"][0].rounds[-2:]} == {"B"}
    assert cowl.course.pattern.gauge.over == pytest.approx(101.6)
    rows = cowl.pattern.stages["directions"][0].rounds
    assert all(step.flat for step in rows)
    assert len(rows) == 116 + 2  # 23 inches at 5 rows to the inch is 115, and the wrong side ends; two more rows
    asked = [one.left for one in begun("granny.txt")[1].taken["granny.txt"] if one.left]
    assert any("type gauge" in one for one in asked)


JOINED = """Slippers

Gauge: 18 sts and 26 rounds = 10 cm

Heel
With A and leaving a 40 cm tail for the seam, cast on 28 sts.
Row 1 (RS): Knit.
Row 2 (WS): Knit.
Rep rows 1 and 2 nine times more.

Instep
Next row (RS): Knit to end, cast on 4 sts, pm and join to work in the round. 32 sts.
{lines}

Foot
Knit 12 rounds.
Bind off all sts.

Making up
Sew the heel.
Make a second slipper the same.
"""


@pytest.mark.parametrize("lines", ["Rnd 1: Knit.\nRnd 2: *K2, p2; rep from * to end.", "Knit 2 rounds.", "*K2, p2*."])
def test_what_comes_after_a_row_that_joins_are_rounds(tmp_path: Path, lines: str) -> None:
    result = from_text(tmp_path, JOINED.format(lines=lines))[1]
    assert result.worked
    steps = [step for stage in ("instep", "foot") for step in result.worked.pattern.stages[stage][0].rounds]
    rounds = 1 if lines.startswith("*") else 2
    assert [step.flat for step in steps[: 1 + rounds + 12]] == [True] + [False] * (rounds + 12)
    assert len(result.worked.pattern.stages["heel"][0].rounds) == 20


def test_a_second_gauge_is_left_for_the_stage_that_is_worked_so(tmp_path: Path) -> None:
    text = JOINED.format(lines="Knit 2 rounds.").replace("= 10 cm", "= 10 cm in stocking stitch", 1)
    text = text.replace("stitch\n", "stitch\nGauge: 18 sts and 36 rows = 10 cm in garter stitch\n", 1)
    begun, result = from_text(tmp_path, text)
    assert result.worked
    assert result.worked.course.pattern.gauge.rounds == 26
    left = next(one.left for one in begun.taken["pattern.txt"] if "36 rows" in one.text)
    assert left == "another gauge than the first: type it as gauge: of the stage that is worked so"


def test_whom_the_sizes_fit_keeps_how_it_is_measured(tmp_path: Path) -> None:
    text = "Socks\n\nSizes: Small (Large)\nTo fit a foot 23 (25) cm long.\n\nGauge: 20 sts = 10 cm\n\nCuff\n"
    result = from_text(tmp_path, text + "CO 20 (24) sts.\nKnit 2 rows.\nBO all sts.\n")[1]
    assert result.worked
    assert [size.fits for size in result.worked.course.pattern.sizes] == ["a foot 23 cm long", "a foot 25 cm long"]


def test_a_heading_in_capitals_is_a_title_as_others_are(tmp_path: Path) -> None:
    result = from_text(tmp_path, JOINED.format(lines="Knit 2 rounds.").replace("Heel\n", "HEEL (worked flat)\n"))[1]
    assert result.worked
    assert next(iter(result.worked.course.pattern.stages.values())).title == "Heel (worked flat)"


@pytest.mark.parametrize(
    ("joining", "rows"),
    [
        ("Join in the round and knit 5 rounds.", 4),
        ("Next row: Knit to end, join in the round.\nKnit 5 rounds.", 5),
    ],
)
def test_rows_before_a_line_that_joins_stay_rows(tmp_path: Path, joining: str, rows: int) -> None:
    text = "Band\n\nGauge: 20 sts and 28 rows = 10 cm\n\nCast on 20 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\n"
    text += f"Rep rows 1 and 2 once more.\n{joining}\nBind off all sts.\n"
    result = from_text(tmp_path, text)[1]
    assert result.worked
    (stage,) = result.worked.pattern.stages.values()
    assert [step.flat for step in stage[0].rounds] == [True] * rows + [False] * 5


def test_a_second_piece_is_made_and_no_handwork(tmp_path: Path) -> None:
    begun, result = from_text(tmp_path, JOINED.format(lines="Knit 2 rounds."))
    assert result.worked
    pattern = result.worked.course.pattern
    assert pattern.make == 2
    assert [getattr(work, "what", "") for work in pattern.stages["making_up"].works] == ["Sew the heel"]
    assert "pattern.yaml: make" in [one.stands for one in begun.taken["pattern.txt"]]


def test_the_yarn_is_taken_out_of_a_sentence_and_leaves_a_sentence(tmp_path: Path) -> None:
    text = JOINED.format(lines="Knit 2 rounds.").replace("Heel\n", "Yarn\nA: Heather, 100 g = 166 m\n\nHeel\n", 1)
    result = from_text(tmp_path, text)[1]
    assert result.worked
    assert result.worked.course.pattern.stages["heel"].works[0].before == "Leaving a 40 cm tail for the seam."


def test_the_handout_is_built(tmp_path: Path) -> None:
    result = lessonplan.build(begun("mittens.md")[0], tmp_path / "papers")
    assert result.plan
    page = re.sub(r"<[^>]+>", "", (tmp_path / "papers" / "handout.html").read_text(encoding="utf-8")).replace(
        "\xa0", " "
    )
    for printed in (
        "Rep Rnds 2 and 3 4 (5, 6) times more",
        "Change to MC.",
        "second one in the same way",
        "Block lightly.",
    ):
        assert printed in page


@pytest.mark.parametrize("name", OTHERS)
def test_other_patterns_lose_nothing_either(tmp_path: Path, name: str) -> None:
    _, result = from_text(tmp_path, OTHERS[name])
    assert words(OTHERS[name]) - words(read(tmp_path / "course")) == Counter()
    assert [str(one) for one in result.problems if one.severity == "error"] == []


def test_a_pattern_in_capitals_with_lines_of_its_own_making() -> None:
    """Half of it is put so that no list of headings tells what it is; one line cannot be worked, and says so."""
    folder, done, result = begun("mitts.txt")
    assert words((HERE / "mitts.txt").read_text(encoding="utf-8")) - words(read(folder)) == Counter()
    assert not [one for one in result.problems if one.severity == "error"]
    assert result.worked
    pattern = result.worked.course.pattern
    assert (pattern.make, pattern.notions, [one.name for one in pattern.sizes]) == (
        2,
        ("Tapestry needle",),
        ["one size"],
    )
    assert [one.text for one in done.taken["mitts.txt"] if "not worked" in one.kind] == [
        "Work 6 more rows in ribbing as at the beginning."
    ]
    (stage, *_) = result.worked.pattern.stages.values()
    # 2 inches at 6 rows to the inch, then 5½ inches from the beginning, less these
    assert len(stage[0].rounds) == 12 + 21


def test_the_same_pattern_as_word_and_as_pdf(tmp_path: Path) -> None:
    text = (HERE / "hat.txt").read_text(encoding="utf-8")
    page = docx.Document()
    for line in text.split("\n"):
        page.add_paragraph(line)
    page.save(str(tmp_path / "hat.docx"))
    source = "\n".join(
        re.sub(r"([*#$_@<>\[\]/])", r"\\\1", line) + (" \\" if line else "\n") for line in text.split("\n")
    )
    (tmp_path / "hat.typ").write_text(source, encoding="utf-8")
    typst.compile(tmp_path / "hat.typ", output=tmp_path / "hat.pdf")
    for name in ("hat.docx", "hat.pdf"):
        done = begin_from(
            tmp_path / name[4:], {"shoot": "2027-03-13"}, TODAY, Sources(pattern=tmp_path / name), lambda texts: texts
        )
        worked = lessonplan.load(tmp_path / name[4:]).worked
        assert worked
        assert [one.stitches for one in worked.pattern.stages["crown"]] == [8] * 5
        assert len(worked.course.pattern.sizes) == 5
        assert words(text) - words(read(tmp_path / name[4:])) == Counter()
        assert not [one for one in done.taken[name] if "not worked" in one.kind]


def test_pieces_that_are_alike_have_stages_of_their_own(tmp_path: Path) -> None:
    _, result = from_text(tmp_path, BACK)
    assert result.worked
    assert list(result.worked.course.pattern.stages)[3:6] == ["front", "front_shape_armholes", "front_shape_shoulders"]
    assert result.worked.course.pattern.stages["front"].after == ()
    assert [one.stitches for one in result.worked.pattern.stages["front_shape_armholes"]] == [80, 84, 88, 92]
    text = "Doll\n\nBody\nCO 20 sts.\nRow 1: Knit.\nBO all sts.\n\nSleeves (make 2)\nCO 8 sts.\nRow 1: Knit.\n"
    (tmp_path / "doll").mkdir()
    _, result = from_text(tmp_path / "doll", text + "\nCuff\nRow 1: Purl.\nBO all sts.\n")
    assert result.worked
    stages = result.worked.course.pattern.stages  # a cuff for each sleeve
    assert [*stages] == ["body", "sleeves", "cuff", "sleeves_2", "cuff_2"]
    assert stages["cuff_2"].after == ("sleeves_2",)


@pytest.mark.parametrize(
    "sleeve",
    [
        "Place 36 (42, 46) sts of a sleeve onto the double pointed needles, pick up and knit 4 sts from the underarm.",
        "Return 36 (42, 46) held sts to the needles, pick up and knit 4 sts along the underarm and join in the round.",
        "RS facing, slip 36 (42, 46) sts from waste yarn to a needle; join yarn, pick up and knit 4 sts, k to end.",
    ],
)
def test_sleeves_from_the_top_down_each_take_up_half_of_what_is_held(tmp_path: Path, sleeve: str) -> None:
    """By hand: 62 + 14 x 8 = 174, less 2 x 36, with 2 x 4 cast on: 110; a sleeve 36 + 4 - 4 x 2 = 32."""
    done, result = from_text(tmp_path, CARDIGAN.format(sleeve=sleeve))
    assert [str(one) for one in result.problems if one.severity == "error"] == []
    assert [one for one in done.taken["pattern.txt"] if one.kind in ("not placed", "line not read, not worked")] == []
    assert result.worked
    worked, pattern = result.worked.pattern, result.worked.course.pattern
    ends = {key: [one.rounds[-1].after for one in worked.stages[key]] for key in worked.order}
    assert ends == {
        "yoke": [174, 194, 214],
        "divide": [110, 118, 130],
        "body": [110, 118, 130],
        "sleeves": [32, 36, 38],
        "sleeves_2": [32, 36, 38],
    }
    # 13, 15 and 18 cm are 46.8, 54 and 64.8 rounds at 36 to 10 cm, of which 31, 39 and 47 are worked to be shaped
    assert [len(one.rounds) for one in worked.stages["sleeves"]] == pytest.approx([47, 54, 65], abs=1)
    assert not any(step.flat for step in worked.stages["sleeves_2"][0].rounds)
    assert pattern.stages["sleeves_2"].after == ("divide",)
    assert pattern.notions == ("4 markers", "waste yarn", "5 buttons of 12 mm", "tapestry needle")
    assert pattern.needles == ("3.25 mm circular, 60 cm", "3.25 mm double pointed needles")


def test_what_the_course_cannot_work_is_set_aside_and_said(tmp_path: Path) -> None:
    text = (
        "Bag\n\nBody\nCO 20 sts.\nRow 1: Knit.\nRow 2: Wibble 3, k to the wobble.\nRow 3: Knit. 20 sts\nBO all sts.\n"
    )
    done, result = from_text(tmp_path, text)
    assert not [one for one in result.problems if one.severity == "error"]
    (one,) = [one for one in done.taken["pattern.txt"] if "Wibble" in one.text]
    assert ("not worked" in one.kind, "minutes" in one.left) == (True, True)
    assert "Wibble 3, k to the wobble" in read(tmp_path / "course")


def test_a_heel_on_half_of_the_round_and_all_of_it_again(tmp_path: Path) -> None:
    """By hand: (28 - 10) / 2 = 9 stitches are wrapped at each side, each in a row; 18 more rows lift the wraps."""
    done, result = from_text(tmp_path, SOCK)
    assert [str(one) for one in result.problems if one.severity != "note"] == []
    assert not [one for one in done.taken["pattern.txt"] if "not" in one.kind]
    assert result.worked
    stages = result.worked.pattern.stages
    assert [len(one.rounds) for one in stages["heel"]] == [2 * 18, 2 * 20, 2 * 24]
    small = stages["heel"][0]
    assert sum(dict(step.techniques).get("w&t", 0) for step in small.rounds) == 18
    assert sum(dict(step.techniques).get(f"{side} wrap", 0) for step in small.rounds for side in "kp") == 18
    assert [[one.rounds[0].before, one.rounds[-1].after] for one in stages["leg"]] == [[56, 56], [64, 64], [72, 72]]
    assert [one.stitches for one in stages["leg"]] == [0, 0, 0]


def test_a_line_that_is_not_read_takes_no_other_with_it(tmp_path: Path) -> None:
    """The count printed behind it is where the next line goes on, in the course as in the print."""
    text = (
        "Bag\n\nBody\nCO 20 sts.\nRow 1: Knit.\nRow 2: Wibble 3, k to the wobble. 24 sts\n"
        "Row 3: K2tog, k to end. 23 sts\nBO all sts.\n"
    )
    done, result = from_text(tmp_path, text)
    assert [str(one) for one in result.problems if one.severity == "error"] == []
    assert [one.text for one in done.taken["pattern.txt"] if one.kind == "line not read, not worked"] == [
        "Row 2: Wibble 3, k to the wobble. 24 sts"
    ]
    assert result.worked
    assert [step.after for step in result.worked.pattern.stages["body"][0].steps] == [20, 20, 24, 23, 0]


def test_what_the_print_has_wrong_is_left_for_its_author(tmp_path: Path) -> None:
    text = "Bag\n\nBody\nCO 20 sts.\nRow 1: *K2tog; rep from * to end. 11 sts\nBO all sts.\n"
    _, result = from_text(tmp_path, text)
    (one,) = [one for one in result.problems if one.severity == "error"]
    assert "prints 11 stitches after this line, but there are 10" in one.message
    line = (tmp_path / "course" / "pattern.yaml").read_text(encoding="utf-8").split("\n")[one.where.line - 1]
    assert "K2tog" in line


def test_a_list_with_a_number_too_few_is_told_and_never_cut_to_its_first(tmp_path: Path) -> None:
    begun, result = from_text(tmp_path, "Hat\n\nSizes: S (M, L)\n\nBrim\nCO 40 (44) sts.\nRnd 1: K.\n")
    (told,) = [one.left for one in next(iter(begun.taken.values())) if one.text.startswith("CO")]
    assert told == "a list of 2 numbers, 1 too few: the pattern has 3 sizes"
    assert [one.message for one in result.problems if one.severity == "error"] == [
        "2 values are given here, but there are 3 sizes."
    ]


def test_what_does_not_fit_behind_a_slip_of_the_print_stays_as_lines(tmp_path: Path) -> None:
    """28 stitches, printed as 26: 1 is left then for the k3tog behind 25; put right, the row is worked as it stands."""
    text = "Bag\n\nBody\nCO 28 sts.\nRow 1: K. 26 sts\n\nTop\nRow 1: K25, k3tog. 26 sts\nBO all sts.\n"
    _, result = from_text(tmp_path, text)
    wrong = [one.message for one in result.problems if one.severity == "error"]
    assert "prints 26 stitches after this line, but there are 28" in wrong[0]
    file = tmp_path / "course" / "pattern.yaml"
    file.write_text(file.read_text(encoding="utf-8").replace("K. 26 sts", "K. 28 sts"), encoding="utf-8")
    mended = lessonplan.load(file.parent)
    assert not [one for one in mended.problems if one.severity == "error"]
    assert mended.worked
    top = mended.worked.pattern.stages["top"][0].steps
    assert [(one.is_round, one.after) for one in top] == [(True, 26), (False, 0)]


def test_answers_go_with_the_pattern(tmp_path: Path) -> None:
    text = "Bag\n\nYarn: DK wool\n\nBody\nCO 20 sts.\nKnit 10 rows.\nBO all sts.\n"
    _, result = from_text(tmp_path, text, gauge="18 x 24 to 4 in", host="Ada", title="A Bag", episodes="1", pace="31")
    assert result.worked
    course = result.worked.course
    assert (course.course.title, course.pattern.title, course.course.host) == ("A Bag", "A Bag", "Ada")
    assert (course.pattern.gauge.stitches, course.course.pace.knitting, len(course.episodes)) == (18, 31, 1)
    (tmp_path / "other").mkdir()
    _, result = from_text(tmp_path / "other", text)
    assert result.worked
    assert result.worked.course.pattern.gauge.stitches == 23  # 21 to 24 in the yarn council's table for its weight 3
    text = (tmp_path / "other" / "course" / "pattern.yaml").read_text(encoding="utf-8")
    assert "a guess: type what your washed swatch has" in text


GAUGES = {
    "20 sts and 28 rnds = 10 cm in st st": ("20", "28", "10 cm", "st st"),
    "18 sts x 24 rows = 4\" in garter stitch on US 8 needles": ("18", "24", "4 in", "garter stitch"),
    "5.5 stitches and 7 rows per inch": ("5.5", "7", "1 in", ""),
    "22 x 30 over 10 x 10 cm in k2, p2 rib": ("22", "30", "10 cm", "k2, p2 rib"),
    "16½ sts to 4 inches": ("16.5", "23", "4 in", ""),
}  # fmt: skip


@pytest.mark.parametrize("text", GAUGES)
def test_gauges_as_they_are_printed(text: str) -> None:
    stuff = Materials(("one size",), "knitting")
    told = stuff.take("Gauge", text)
    assert stuff.gauge
    assert told
    assert (stuff.gauge.stitches, stuff.gauge.rounds, stuff.gauge.over, stuff.gauge.fabric) == GAUGES[text]
    assert bool(told.left) == stuff.gauge.guessed == ("16½" in text)


def test_yarns_as_they_are_printed() -> None:
    yarn = yarn_of("2 skeins of Marsh Sock (75% merino, 25% nylon; 400 m per 100 g), colour: Reed")
    assert (yarn.name, yarn.colour, yarn.metres, yarn.grams, yarn.fibre) == ("Marsh Sock", "Reed", 400, 100, "merino")
    yarn = yarn_of("approx 220 yds / 201 metres of worsted weight yarn")
    assert (yarn.metres, yarn.weight, yarn.asked) == (201, "worsted", ("grams",))
    assert yarn_of("Bulky wool, 106 yds").metres == 97
    for text, weight in (
        ("Harrowfen Baby DK (100% wool, 50 g = 120 m)", "dk"),
        ("Moorland Baby Merino, 50 g = 175 m", ""),
        ("any baby weight yarn", "baby"),
        ("Fell Super Bulky, 100 g", "super bulky"),
    ):
        assert yarn_of(text).weight.lower() == weight
    told = [
        Materials(("S", "M"), "knitting").take("Yarn", text)
        for text in ("MC: oat cream, 50 g = 120 m, 2 (3) balls", "MC: oat cream, 50 g = 120 m")
    ]
    assert [one and one.left for one in told] == ["compare “2 (3) balls” with what the handout asks for", ""]


def test_bad_input_and_files_that_are_there(tmp_path: Path) -> None:
    path = tmp_path / "letter.txt"
    path.write_text("Dear aunt,\n\nall is well here.\n", encoding="utf-8")
    run = CliRunner().invoke(app, ["begin", str(tmp_path / "own"), "--pattern", str(path), "--yes"])
    assert (run.exit_code, "is no pattern" in run.stderr, (tmp_path / "own").exists()) == (3, True, False)
    run = CliRunner().invoke(app, ["begin", str(tmp_path), "--pattern", str(HERE / "hat.txt"), "--yes"])
    assert (run.exit_code, [one.name for one in tmp_path.iterdir()]) == (2, ["letter.txt"])


def test_the_table_and_the_same_for_programs(tmp_path: Path) -> None:
    words = ["--pattern", str(HERE / "hat.txt"), "--today", "2027-01-04"]
    run = CliRunner().invoke(app, ["begin", str(tmp_path / "one"), *words, "--yes"])
    assert run.exit_code == 0
    row = next(line for line in run.stdout.splitlines() if line.startswith("37 "))
    assert "cast-on" in row
    assert "pattern.yaml: stages, brim" in row
    assert run.stdout.endswith(f"Next: lessonplan check {tmp_path / 'one'}\n")  # what was taken over is looked at first
    run = CliRunner().invoke(app, ["begin", str(tmp_path / "two"), *words, "--json"])
    found: Any = json.loads(run.stdout)
    files = [one for one in found["files"] if not one.startswith("schema/")]
    assert files == ["course.yaml", "pattern.yaml", "episodes/01.yaml", "episodes/02.yaml"]
    assert {"file", "line", "text", "kind", "stands", "left"} == set(found["taken"][0])
    assert len(found["taken"]) == 47
    assert {one["left"] for one in found["taken"]} >= {"say how long yours takes to dry"}


def test_the_interview_asks_only_what_the_pattern_does_not_tell(tmp_path: Path) -> None:
    words = ["begin", str(tmp_path / "own"), "--pattern", str(HERE / "cowl.txt"), "--today", "2027-01-04"]
    run = CliRunner().invoke(app, words, input="Ada\n1\n\n\n\n\n")
    assert run.exit_code == 0, run.output
    assert "Your gauge" not in run.stdout
    assert "What is made" not in run.stdout
    assert "Who teaches it?" in run.stdout
    assert 'host: "Ada"' in (tmp_path / "own" / "course.yaml").read_text(encoding="utf-8")


LINES = """\
Body
## Thumb
CO 20 sts.
Cast on 20 (24, 28) sts. Join.
Rnd 1: *K2, p2; rep from * to end.
Knit.
Rep Rnd 1 until piece measures 5 cm.
Row 2 (WS): Purl.
BO all sts.
Weave in ends.
Next row: K5, place next 5 sts on holder, k to end.
Sizes: S (M, L)
Yarn: 2 balls of "wool" at 5% {off}, #3 \\ weight
Gauge: 20 sts = 10 cm
k = knit: all
Work as for Body.
Make 2.
{{ body.rounds }} {% x %}
Abbreviations
- needle: 4 mm
Chart A
Place held sts back on needles, pick up and knit 3 sts.
Change to MC.
With MC, knit 2 rows.
To fit head: 51 (55, 59) cm
½: no"""


@settings(max_examples=12)
@given(
    st.lists(st.one_of(st.sampled_from(LINES.split("\n")), st.text(max_size=40), st.just("")), min_size=1, max_size=14)
)
def test_whatever_is_taken_in_is_read_again(tmp_path_factory: pytest.TempPathFactory, lines: list[str]) -> None:
    """No syntax problem, no unknown key, and every word there, whatever stands in the print."""
    folder = tmp_path_factory.mktemp("any")
    (folder / "any.txt").write_text("\n".join([*lines, "CO 8 sts.", "Knit 3 rows."]), encoding="utf-8", errors="ignore")
    try:
        begin_from(
            folder / "c",
            {"episodes": "1", "shoot": "2027-03-13"},
            TODAY,
            Sources(pattern=folder / "any.txt"),
            lambda texts: texts,
        )
    except UnfitError:
        return
    found = lessonplan.load(folder / "c").problems
    odd = (
        "yaml",
        "unknown-key",
        "missing-key",
        "no-work",
        "duplicate",
        "wrong-value",
        "wrong-choice",
        "too-big",
        "braces",
    )
    assert [
        str(one) for one in found if one.severity == "error" and (one.code in odd or one.where.file != "pattern.yaml")
    ] == []
    given = re.sub(r"[^\t\n\x20-\x7e\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]", " ", "\n".join(lines))
    assert words(given.replace("\ufeff", "")) - words(read(folder / "c").replace('\\"', '"')) == Counter()


def test_the_file_is_the_same_each_time() -> None:
    given = Given("hat.txt", (HERE / "hat.txt").read_text(encoding="utf-8"))
    assert write(read_pattern(given)) == write(read_pattern(given))


@pytest.mark.parametrize(
    "gauge",
    [
        "0 sts and 0 rows = 0 cm", "22 sts and 30 rows over 99999 cm", "22 sts and 1/0 rows = 10 cm",
        "22 sts and 30 rows = 1/0 in", "22 sts and 30 rows = 99999999999999999999 cm", "9999 sts = 1 inch",
    ],
)  # fmt: skip
def test_a_gauge_that_nobody_can_have_meant_is_not_read(tmp_path: Path, gauge: str) -> None:
    done, result = from_text(tmp_path, f"Cowl\n\nGauge: {gauge}\n\nCast on 40 sts.\nRound 1: knit.\nBind off.\n")
    assert "gauge, not read" in str(done)
    assert result.worked is not None
