"""Whole patterns worked: every count by hand, every planted fault in its line and size, and nothing else said."""

from __future__ import annotations

import random

import pytest

from lessonplan.needle.count import count_lines
from lessonplan.needle.pattern import Whole, work_whole
from lessonplan.printed.leaflet.contents import read_whole
from tests.patterns import BACK, COWL, HAT, MOTIF, MOUSE, SCHAL


def whole(text: str, language: str = "en", *, flat: bool = False) -> Whole:
    return work_whole(read_whole(text, language), flat=flat)


def line_of(text: str, words: str) -> int:
    """The line of a text that begins with these words, counted from 1."""
    return next(number for number, line in enumerate(text.splitlines(), 1) if line.strip().startswith(words))


def counts(found: Whole) -> list[tuple[int | None, ...]]:
    return [line.counted.stitches for line in found.lines]


def faults(found: Whole) -> list[tuple[int, int | None, str]]:
    """Everything said but what depends on the gauge: line, size, kind."""
    return [(each.line, each.size, each.kind) for each in found.problems]


def changed(text: str, old: str, new: str) -> str:
    assert text.count(old) == 1, old
    return text.replace(old, new)


def test_a_hat_in_three_sizes() -> None:
    found = whole(HAT)
    assert found.printed.sizes == ("S", "M", "L")
    assert counts(found) == [
        *[(80, 88, 96)] * 5,
        (72, 80, 88),
        (72, 80, 88),
        (64, 72, 80),
        (64, 72, 80),
        (32, 36, 40),
        (0, 0, 0),
    ]
    assert faults(found) == []
    assert found.rounds == (8 + 30 + 6, 8 + 32 + 6, 8 + 34 + 6), "drawing the yarn through counts as one"
    techniques = dict(found.techniques)
    assert techniques["k2tog"] == (8 + 8 + 32, 8 + 8 + 36, 8 + 8 + 40)
    assert techniques["p"] == (8 * 40, 8 * 44, 8 * 48)
    sections = [(found.printed.sections[each.section].name, each.flat) for each in found.sections]
    assert sections == [("Brim", False), ("Body", False), ("Crown", False)]
    # Loops made: cast on, eight rounds of rib, the body; then what is left after each round of the crown.
    assert found.stitches[0] == 80 + 8 * 80 + 30 * 80 + 72 + 72 + 64 + 64 + 32
    assert found.sections[2].stitches == (304, 80 + 80 + 72 + 72 + 36, 88 + 88 + 80 + 80 + 40)


def test_a_flat_piece_in_four_sizes_and_its_twin() -> None:
    found = whole(BACK)
    assert found.printed.sizes == ("XS", "S", "M", "L")
    assert faults(found) == []
    cast_on = (102, 110, 118, 126)
    assert counts(found) == [
        *[cast_on] * 5,
        (92, 98, 104, 110),
        (90, 96, 102, 108),
        (90, 96, 102, 108),
        (80, 84, 88, 92),
        (40, 42, 44, 46),
        (0, 0, 0, 0),
        (0, 0, 0, 0),
    ]
    piece = [20 + 2 + 2 + 2 + 2 * more + 6 + 1 for more in (5, 6, 7, 8)]
    assert found.rounds == tuple(2 * rows for rows in piece)
    assert found.lines[-1].counted.rounds == tuple(piece), "the front is the whole back once more"
    assert dict(found.techniques)["ssk"] == (12, 14, 16, 18)
    assert all(each.flat for each in found.sections)


def test_a_crochet_square() -> None:
    found = whole(MOTIF)
    assert counts(found) == [(4,), (12,), (28,)]
    assert [problem for problem in found.problems if problem.severity != "note"] == []
    assert found.rounds == (2,)


def test_an_amigurumi_with_pieces_made_twice() -> None:
    found = whole(MOUSE)
    assert [one[0] for one in counts(found)] == [6, 12, 18, 24, 24, 18, 12, 6, 6, 12]
    assert faults(found) == []
    head, ears = found.sections
    assert (head.rounds, head.times, ears.rounds, ears.times) == ((11,), 1, (4,), 2)
    # 6 + 12 + 18 + 24, four rounds of 24, then 18, 12, 6; each ear 6 + 12.
    assert (head.stitches, ears.stitches) == ((6 + 12 + 18 + 24 + 96 + 18 + 12 + 6,), (2 * 18,))


def test_a_german_scarf() -> None:
    found = whole(SCHAL, "de")
    assert [one[0] for one in counts(found)] == [46, 46, 46, 46, 44, 44, 44, 44, 44, 46, 0]
    assert faults(found) == []
    assert found.rounds == (10 + 4 + 6 + 1 + 1,)
    # Row 11 has two decreases; row 13 has 21 holes, and is worked four times in all.
    assert dict(found.techniques)["k2tog"] == (2 + 4 * 21,)
    assert dict(found.techniques)["yo"] == (4 * 21,)


def test_charts_and_stitch_patterns_by_name() -> None:
    found = whole(COWL)
    assert list(found.printed.patterns) == ["Chart A", "Moss stitch"]
    assert set(counts(found)[:-1]) == {(48,)}
    assert faults(found) == []
    assert [line.counted.rounds[0] for line in found.lines] == [0, 0, 3, 4, 8, 6, 6, 1, 1, 1]
    # A chart row has one yo in eight stitches, every other row: 2 + 4 + 3 rows of six, three more, then one and four.
    assert dict(found.techniques)["yo"] == (6 * (2 + 4 + 3 + 3) + 1 + 4,)
    assert dict(found.lines[2].counted.techniques) == {"k": (72,), "p": (72,)}


def test_a_count_may_list_all_sizes_in_one_bracket() -> None:
    text = changed(HAT, "72 (80, 88) sts.", "(72, 80, 88 sts)")
    assert (faults(whole(text)), counts(whole(text))) == ([], counts(whole(HAT)))
    wrong = changed(HAT, "72 (80, 88) sts.", "(72, 80, 89 sts)")
    assert faults(whole(wrong)) == [(line_of(wrong, "Rnd 1: *K8"), 3, "disagrees")]


def test_a_chart_that_nobody_wrote_out_is_asked_for_and_accuses_nothing() -> None:
    text = changed(COWL, "Work Chart A twice.", "Work rows 1-6 of Chart B.")
    at = line_of(text, "Work rows 1-6 of Chart B")
    problems = [each for each in whole(text).problems if each.severity != "note"]
    assert [(each.line, each.kind, each.severity) for each in problems] == [(at, "asked", "warning")]
    assert "chart b" in problems[0].sentence


def test_more_rows_of_a_chart_than_it_has() -> None:
    text = changed(COWL, "Work rows 1 to 4 of Chart A.", "Work rows 1 to 6 of Chart A.")
    (problem,) = [each for each in whole(text).problems if each.severity != "note"]
    assert (problem.line, problem.kind) == (line_of(text, "Work rows 1 to 6"), "misfit")
    assert "4 rows" in problem.sentence


@pytest.mark.parametrize(
    ("text", "old", "new", "language", "expected"),
    [
        (HAT, "64 (72, 80) sts", "64 (73, 80) sts", "en", ("Rnd 3", 2, "disagrees")),
        (HAT, "32 (36, 40) sts", "34 (36, 40) sts", "en", ("Rnd 5", 1, "disagrees")),
        (HAT, "*K7 (8, 9), k2tog", "*K7 (8, 9), k2tgo", "en", ("Rnd 3", None, "unread")),
        (HAT, "Yarn: 1 (1, 2) balls", "Yarn: 1 (1, 2, 2) balls", "en", ("Yarn", None, "sizes")),
        (HAT, "*K8 (9, 10), k2tog", "*K8 (9, 10, 11), k2tog", "en", ("Rnd 1: *K8", None, "sizes")),
        (HAT, "CO 80 (88, 96) sts", "CO 80 (88) sts", "en", ("CO 80", None, "sizes")),
        (HAT, "CO 80 (88, 96) sts", "CO 80 (88, 98) sts", "en", ("Rnd 1: *K2", 3, "misfit")),
        (HAT, "k2tog = knit 2 together\n", "", "en", ("Rnd 1: *K8", None, "abbreviation")),
        (HAT, "k = knit\n", "k = knit\nssk = slip, slip, knit\n", "en", ("ssk =", None, "abbreviation")),
        (BACK, "5 (5, 6, 6) balls", "5 (5, 6) balls", "en", ("- Fingering", None, "sizes")),
        (BACK, "80 (84, 88, 92) sts remain", "80 (84, 88, 93) sts remain", "en", ("Repeat the last 2", 4, "disagrees")),
        (BACK, "92 (98, 104, 110) sts.", "92 (98, 106, 110) sts.", "en", ("BO 5", 3, "disagrees")),
        (MOTIF, "(28 dc)", "(24 dc)", "en", ("Round 2", None, "disagrees")),
        (MOUSE, "Rnd 9: (2 sc, dec) x 6 (18)", "Rnd 9: (2 sc, dec) x 6 (20)", "en", ("Rnd 9", None, "disagrees")),
        (MOUSE, "R2: inc x 6 (12)", "R2: inc x 8 (12)", "en", ("R2", None, "misfit")),
        (
            MOUSE,
            "MR - magic ring\n",
            "MR - magic ring\nhdc - half double crochet\n",
            "en",
            ("hdc", None, "abbreviation"),
        ),
        (SCHAL, "(46 M)", "(47 M)", "de", ("15. R", None, "disagrees")),
        (SCHAL, "11. R: RM, 2 M re zus, re", "11. R: RM, 2 M re zsu, re", "de", ("11. R", None, "unread")),
        (SCHAL, "zun = zunehmen\n", "", "de", ("15. R", None, "abbreviation")),
    ],
)
def test_a_planted_fault_is_found_in_its_line_and_size_and_nothing_else_is_accused(
    text: str, old: str, new: str, language: str, expected: tuple[str, int | None, str]
) -> None:
    spoiled = changed(text, old, new)
    words, size, kind = expected
    found = [each for each in whole(spoiled, language).problems if each.severity != "note" or each.kind == kind]
    first = found[0]
    assert (first.line, first.size, first.kind) == (line_of(spoiled, words), size, kind)
    assert len(found) == 1, found


def test_the_place_is_the_word_that_was_the_obstacle_also_in_a_wrapped_and_marked_line() -> None:
    spoiled = changed(BACK, "k to last 3 sts, k2tog,\nk1. (2 sts", "k to last 3 sts, k2tog,\nkk1. (2 sts")
    problem = next(each for each in whole(spoiled).problems if each.severity != "note")
    assert (problem.line, problem.column, problem.kind) == (line_of(spoiled, "kk1"), 1, "unread")
    assert problem.severity == "warning", "the limit of the reader, no fault of the pattern"
    german = changed(SCHAL, "re bis zu den letzten 3 M, 2 M re zus, RM", "re bis zu den letzten 3 M, 2 M re zsu, RM")
    problem = next(each for each in whole(german, "de").problems if each.severity != "note")
    shown = german.splitlines()[problem.line - 1]
    assert shown[problem.column - 1 :].startswith("zsu"), problem


def test_a_chart_that_no_line_names_is_told_at_its_heading() -> None:
    text = changed(COWL, "Rnds 1-3: Work in Moss stitch.", "Rnds 1-3: Knit.")
    assert faults(whole(text)) == [(line_of(text, "Moss stitch"), None, "remark")]
    one = "Chart\nRow 1: Knit.\n\nCowl\nCO 8 sts. Join in the round.\nWork rows 1-1 of the chart.\n"
    assert faults(whole(one)) == []


def test_a_wrong_row_of_a_chart_is_named_wherever_it_is_worked() -> None:
    text = changed(COWL, "Row 3: K2, yo, k2, ssk, k2.", "Row 3: K2, yo, k2, ssk, k3.")
    errors = [each for each in whole(text).problems if each.severity != "note"]
    assert errors[0].line == line_of(text, "Work rows 1 to 4")
    assert all("Chart A" in each.sentence for each in errors)


def test_after_a_misprinted_count_the_lines_stand_on_what_was_worked() -> None:
    text = changed(HAT, "72 (80, 88) sts.", "73 (80, 88) sts.")
    found = whole(text)
    assert faults(found) == [(line_of(text, "Rnd 1: *K8"), 1, "disagrees")]
    assert counts(found)[-2:] == [(32, 36, 40), (0, 0, 0)]


def test_a_line_that_says_how_long_is_asked_and_no_side_is_accused_after_it() -> None:
    text = changed(BACK, "Repeat Rows 1 and 2 nine times more.", "Work in rib as set until piece measures 9 cm.")
    assert [(each.kind, each.severity) for each in whole(text).problems] == [("asked", "note")]


def test_what_is_worked_as_something_unknown_is_asked_and_nothing_follows_from_it() -> None:
    text = changed(BACK, "Work as for Back.", "Work as for Back until armholes measure 12 cm.\nPurl 1 row.")
    found = whole(text)
    at = line_of(text, "Work as for Back until")
    assert [(each.line, each.kind, each.severity) for each in found.problems] == [(at, "asked", "note")]
    assert counts(found)[-1] == (None,) * 4


def test_rows_or_rounds_are_known_from_the_text_and_can_be_told() -> None:
    both = "CO 40 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\nJoin in the round.\nRnd 1: Knit.\nRnds 2-5: Purl.\n"
    found = whole(both)
    assert (found.rounds, faults(found)) == ((7,), [])
    bare = "Scarf\n\nCO 20 sts.\nWork in st st for 4 rows.\n"
    assert dict(whole(bare).techniques)["p"] == (40,)
    tube = "A tube worked in the round.\n\nCO 20 sts.\nK 20, turn, p 20, turn.\nWork in st st for 4 rnds.\n"
    assert not whole(tube).sections[0].flat
    assert whole(tube, flat=True).sections[0].flat


KNITTED, CROCHETED = "CO 20 sts.\n*K2, p2; rep from * to end.", "Ch 20.\nSc in each st."


@pytest.mark.parametrize(
    ("said", "lines", "flat"),
    [
        # Common practice: what has a seam was worked flat; seamless work, and work without one, goes round.
        ("The cap is worked in the round.", KNITTED, False),
        ("The cap is seamless.", KNITTED, False),
        ("Worked seamlessly, from the brim up.", KNITTED, False),
        ("There are no seams to sew.", KNITTED, False),
        ("The seam is at the back.", KNITTED, True),
        ("It is pretty.", KNITTED, True),
        ("It is pretty.", CROCHETED, False),
        ("It is worked in rows.", CROCHETED, True),
    ],
)
def test_rows_or_rounds_are_known_from_what_is_said_where_no_line_tells(said: str, lines: str, flat: bool) -> None:
    assert [section.flat for section in whole(f"CAP\n{said}\n{lines}\n").sections] == [flat]


def test_prose_names_no_chart() -> None:
    chart = "LACE PATTERN\nRnd 1: *K2tog, yo; rep from * to end.\nRnd 2: Knit.\n"
    for line, told in (("Rnd 1: Knit.", 1), ("Work in patt to end.", 0)):
        text = f"A lovely pattern for beginners.\n\n{chart}\nCOWL\nCO 60 sts. Join in the round.\n{line}\n"
        sentences = [one.sentence for one in whole(text).problems]
        assert sum(one.startswith("“LACE PATTERN” is written out") for one in sentences) == told


def test_a_count_for_each_needle_is_shown_as_such() -> None:
    # 48 stitches are 12 on each of four needles.
    text = "SOCK\nCO 48 sts. Join in the round.\nRnd 1: K to end. (12 sts on each needle)\n"
    assert [(one.printed, one.per) for one in whole(text).lines][-1] == ((12,), "needle")


def test_numbered_steps_are_no_rounds_and_may_be_prose() -> None:
    found = whole("# Coaster\n\n1. Cast on 20 stitches.\n2. Knit 30 rows.\n3. Bind off.\n4. Weave in ends.\n")
    assert (counts(found), faults(found), found.sections[0].flat) == ([(20,), (20,), (0,)], [], True)
    rounds = whole("Ball\n\n1. 6 sc in magic ring (6)\n2. inc x 6 (12)\n3-5. sc around (12)\n")
    assert (counts(rounds), faults(rounds), rounds.rounds) == ([(6,), (12,), (12,)], [], (5,))


SOME = """\
Hat
Sizes: Baby (Child, Adult)

With A, CO 60 (64, 68) sts. Join in the round.
Rnd 1: Knit.
Sizes Child and Adult only:
Next rnd: Knit.
Next rnd: Purl.
All sizes:
Next rnd: With B, knit.
Size 3 only: Next rnd: K2tog, k to end.
Next rnd: *K3 A, k1 B; rep from * to last 0 (0, 3) sts, k0 (0, 3). 60 (64, 67) sts.
"""


def test_lines_for_some_sizes_only() -> None:
    found = whole(SOME)
    assert faults(found) == []
    assert [line.counted.rounds for line in found.lines][2:] == [
        (1, 1, 1),
        (0, 1, 1),
        (0, 1, 1),
        (1, 1, 1),
        (0, 0, 1),
        (1, 1, 1),
    ]
    assert counts(found)[-1] == (60, 64, 67)
    wrong = changed(SOME, "Next rnd: K2tog, k to end.", "Next rnd: K2tgo, k to end.")
    (problem,) = [each for each in whole(wrong).problems if each.severity != "note"]
    shown = wrong.splitlines()[problem.line - 1]
    assert shown[problem.column - 1 :].startswith("K2tgo")


def test_sizes_with_dashes_between() -> None:
    text = "Vest\nSize: S - M - L\n\nBody\nCast on 180-200-220 sts.\n"
    text += "K 10-12-14, bind off 4-6-8 sts, k to end. 176-194-212 sts.\n"
    found = whole(text)
    assert (counts(found), faults(found)) == ([(180, 200, 220), (176, 194, 212)], [])


def test_a_pattern_that_casts_on_nothing_begins_on_what_is_told() -> None:
    printed = read_whole("Rnd 1: K2tog around. 20 (22) sts.\nRnd 2: Knit.\n", at_least=2)
    found = work_whole(printed, on=(40, 44))
    assert (counts(found), faults(found)) == ([(20, 22), (20, 22)], [])


def test_a_count_told_in_a_sentence_of_its_own_is_checked_and_shown_where_it_stands() -> None:
    text = changed(
        HAT, "k2tog; rep from * to end. 64 (72, 80) sts.", "k2tog; rep from * to end. You now have 64 (72, 81) sts."
    )
    found = whole(text)
    (problem,) = found.problems
    assert (problem.line, problem.size, problem.kind) == (line_of(text, "Rnd 3"), 3, "disagrees")
    assert text.splitlines()[problem.line - 1][problem.column - 1 :].startswith("64 (72, 81)")
    assert found.lines[7].counted.text.endswith("You now have 64 (72, 81) sts.")


SLEEVED = "Body\nCO 20 sts.\nKnit 4 rows.\nBO all sts.\n\nSleeve\nCO 10 sts.\nKnit 2 rows.\nBO all sts.\n{}\n"


@pytest.mark.parametrize(
    ("last", "times"),
    [
        ("", [1, 1]),
        ("Work the second sleeve in the same way.", [1, 2]),
        ("Make second sleeve to match.", [1, 2]),
        ("Make a second sleeve the same.", [1, 2]),
        ("Knit another sleeve in the same way.", [1, 2]),
        ("Make 2.", [1, 2]),
    ],
)
def test_a_piece_made_again(last: str, times: list[int]) -> None:
    found = whole(SLEEVED.format(last))
    assert [each.times for each in found.sections] == times
    assert found.rounds == (5 + 3 * times[1],)
    assert faults(found) == []


def test_a_pair_of_mitts_is_the_whole_piece_twice() -> None:
    text = "Cuff\nCO 8 sts. Join in the round.\nKnit 3 rnds.\n\nHand\nKnit 2 rnds.\nBO all sts.\n"
    text += "Make the second mitt in the same manner.\n"
    found = whole(text)
    assert ([each.times for each in found.sections], found.rounds) == ([2, 2], (12,))


def test_rows_that_are_as_another_row_are_repeated_like_any() -> None:
    text = "CO 10 sts.\nRow 1: K1, yo, k to end.\nRow 2: Purl.\nRow 3: K1, yo, k to end.\nRow 4: As row 2.\n"
    text += "Rep rows 1-4 once. 14 sts.\n"
    found = whole(text)
    assert (counts(found)[-1], found.rounds, faults(found)) == ((14,), (8,), [])


@pytest.mark.parametrize("seed", range(30))
def test_no_broken_file_stops_the_work(seed: int) -> None:
    chance = random.Random(seed)
    pages = [HAT, BACK, MOTIF, MOUSE, SCHAL, COWL]
    lines = [line for text in chance.sample(pages, 3) for line in text.splitlines()]
    chance.shuffle(lines)
    broken = "\n".join(line[chance.randrange(4) : len(line) - chance.randrange(9)] for line in lines[:60])
    found = whole(broken, chance.choice(["en", "de"]))
    shown = broken.split("\n")
    for each in found.problems:
        assert 1 <= each.line <= len(shown)
        assert 1 <= each.column <= len(shown[each.line - 1]) + 1, each


SOCK = """Sock

Sizes: S (M, L)
1 ball each of A and B

CO 60 (64, 72) sts and join.

Heel
The heel is worked back and forth over 30 (32, 36) sts.
Row 1: K17 (18, 20), ssk, k1, turn.
Row 2: Sl 1, p5, p2tog, p1, turn.
Row 3: Sl 1, k to 1 st before gap, ssk, k1, turn.
Row 4: Sl 1, p to 1 st before gap, p2tog, p1, turn.
Rep rows 3 and 4 until all sts have been worked. [18 (18, 21) sts]
Hem rnd 1: Knit.
Hem rnd 2: Knit.
Rep Hem rnds 1-2 twice more. [48 (50, 56) sts]
"""


def test_a_heel_of_the_round_comes_to_its_end_in_every_size() -> None:
    # Ten, eleven and thirteen stitches are left at each side; each row takes two, the last of an odd number one.
    found = whole(SOCK)
    assert counts(found)[6][:2] == (18, 18)
    # A count in square brackets behind the full stop is compared: of the last size 20 are left, 21 are printed.
    assert faults(found) == [(line_of(SOCK, "Rep rows 3 and 4"), 3, "disagrees")]
    # The others of the round, which waited: 30 (32, 36) of them with the 18 (18, 20) of the heel.
    assert found.lines[-1].printed == (48, 50, 56)
    assert counts(found)[-1][:2] == (48, 50)


TAB = """Shawl

Tab: CO 3 sts. Knit 6 rows. Turn work 90 degrees, pick up and k 3 sts along edge, then pick up and k 3 sts from CO
edge. 9 sts.
Set-up row (WS): K3, p3, k3.
Row 1 (RS): K3, yo, k3, yo, k3. (11 sts)
Row 2: K3, p to last 3 sts, k3.
"""


def test_stitches_picked_up_round_a_tab_are_a_row_for_either_side() -> None:
    found = whole(TAB, flat=True)
    assert counts(found)[-4:] == [(9,), (9,), (11,), (11,)]
    assert faults(found) == []


def test_a_dark_colour_called_dc_is_no_stitch_of_crochet() -> None:
    """20 and one made are 21, and five rounds of them stay 21."""
    text = (
        "Abbreviations\nDC: dark colour\nLC: light colour\n\nBand\nWith LC, cast on 20 sts and join in the round.\n"
        "Round 1: K1, m1l, k to end. 21 sts.\nKnit 5 rounds with DC.\nNext round: *K2 LC, k1 DC; rep from * to end.\n"
    )
    whole = work_whole(read_whole(text))
    assert [line.counted.stitches for line in whole.lines] == [(20,), (21,), (21,), (21,)]
    assert dict(whole.techniques) == {"CO": (20,), "k": (20 + 5 * 21 + 21,), "m1l": (1,)}
    assert not [each for each in whole.problems if each.severity != "note"]


@pytest.mark.parametrize(
    ("line", "printed"),
    [
        ("Rnd 1: *K3, k2tog; rep from * to end. 32 sts.", (32,)),
        ("Rnd 1: *K3, k2tog; rep from * to end. 33 sts.", (33,)),  # it disagrees, and is shown for that
        ("Rnd 1: *K3, k2tog; rep from * to end.", ()),
    ],
)
def test_a_printed_count_is_shown_right_or_wrong(line: str, printed: tuple[int, ...]) -> None:
    assert whole(f"CO 40 sts. Join in the round.\n{line}\n").lines[-1].printed == printed


def test_techniques_of_a_line_stand_in_the_order_of_their_names() -> None:
    found = whole("CO 40 sts.\nRow 1: Yo, ssk, p1, k2tog, m1r, m1l, kfb, p2tog, k to end.\n")
    names = [name for name, _ in found.lines[1].counted.techniques]
    assert len(names) == 9
    assert names == sorted(names)


def test_lines_are_worked_in_rounds_unless_rows_are_asked_for() -> None:
    text = "Work in st st for 2 rnds."
    assert count_lines([text], [20]).lines[0].techniques == (("k", (40,)),)
    assert count_lines([text], [20], flat=True).lines[0].techniques == (("k", (20,)), ("p", (20,)))


@pytest.mark.parametrize("yarns", ["MC: oatmeal\nDC: chalk", "Yarn: 50 g of Chalk (DC), 100 g of Oatmeal (MC)"])
def test_a_yarn_called_dc_beside_mc_is_no_stitch(yarns: str) -> None:
    found = whole(f"Scarf\n{yarns}\n\nCast on 20 sts with DC.\nKnit 10 rows with DC.\nJoin MC, k 2 rows.\nBind off.\n")
    assert (counts(found), faults(found)) == ([(20,), (20,), (20,), (0,)], [])


def test_dc_that_is_explained_as_a_stitch_stays_one_beside_mc() -> None:
    found = whole(
        "Mat\nAbbreviations\nch: chain\nMC: oatmeal\nDC: double crochet\n\n"
        "With MC, ch 12.\nRow 1: DC in 4th ch from hook and in each ch across. 10 DC\n"
    )
    assert (counts(found)[-1], faults(found)) == ((10,), [])


SQUARE = "First Square\nCO 10 sts.\nRow 1: Knit.\nRow 2: Ssk, k to end.\nBO all sts.\n\n"


def test_a_piece_as_another_from_its_first_row_has_its_own_stitches() -> None:
    found = whole(f"{SQUARE}Second Square\nCO 20 sts.\nWork as for First Square from Row 1.\n")
    assert counts(found)[-2:] == [(20,), (0,)]
    assert found.lines[-1].counted.rounds == (3,)
    assert dict(found.lines[-1].counted.techniques) == {"k": (20 + 18,), "ssk": (1,), "BO": (19,)}


def test_a_piece_as_one_that_is_as_another_is_worked_like_the_first() -> None:
    found = whole(f"{SQUARE}Second Square\nWork as for First Square.\n\nThird Square\nWork as for Second Square.\n")
    assert [line.counted.rounds for line in found.lines[-2:]] == [(3,), (3,)]
    assert [dict(line.counted.techniques)["CO"] for line in found.lines[-2:]] == [(10,), (10,)]


def test_pieces_that_are_each_as_the_other_are_asked_about() -> None:
    found = whole("Left Front\nWork as for Right Front.\n\nRight Front\nWork as for Left Front.\n")
    assert {line.counted.stitches for line in found.lines} == {(None,)}


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("Sizes 2 and 3 only: K5 (6), k to end.", None),
        ("Sizes 2 and 3 only: K5 (6, 7), k to end.", None),  # as many as the pattern has
        (
            "Sizes 2 and 3 only: K5 (6, 7, 8), k to end.",
            "4 numbers, 2 too many: the pattern has 2 sizes that the line is for",
        ),
        ("Size 2 only: K5 (6), k to end.", "gives 2 numbers, one for each size, but the pattern has 3 sizes"),
        ("K5 (6), k to end.", "gives 2 numbers, one for each size, but the pattern has 3 sizes"),
        ("K5 (6, 7, 8), k to end.", "4 numbers, 1 too many: the pattern has 3 sizes"),
    ],
)
def test_a_line_for_some_sizes_has_a_number_for_each_of_those_or_of_all(line: str, told: str | None) -> None:
    text = f"Hat\nSizes: S (M, L)\n\nBrim\nCO 60 (64, 68) sts.\n{line}\nKnit 3 (4, 5) rows.\n"
    found = [one for one in whole(text).problems if one.kind in ("sizes", "unread")]
    assert [one.line for one in found] == [6] * (told is not None)
    assert all(one.sentence.endswith(told) for one in found if told)


def test_what_is_worked_once_pieces_are_joined_is_made_once() -> None:
    square = "Square (make 4)\nCO 10 sts.\nKnit 3 rows.\nBO all sts.\n\n"
    found = whole(f"{square}Joining\nKnit 2 rounds.\n")
    assert [section.times for section in found.sections] == [4, 1]


@pytest.mark.parametrize(("times", "after"), [("", 30), (" (make 2)", 20)])
def test_an_edge_picked_up_goes_on_from_one_piece_and_is_its_own_behind_two(times: str, after: int) -> None:
    text = f"Front{times}\nCO 10 sts.\nKnit 4 rows.\n\nBorder\nPick up and k 20 sts along the edge.\nKnit 2 rows.\n"
    assert counts(whole(text, flat=True))[-1] == (after,)


def test_every_remark_stands_at_the_beginning_of_what_it_is_about() -> None:
    told = "At the same time work a buttonhole on the 18th row."
    text = f"Front\nCO 10 sts.\n{told}\nKnit 20 rows.\n\nLace\nRow 1: K2tog, yo.\nRow 2: Purl.\n"
    found = whole(text, flat=True)
    places = [text.splitlines()[one.line - 1][one.column - 1 :] for one in found.problems]
    assert places[0].startswith("At the same"), found.problems


def test_problems_stand_in_the_order_of_lines_places_and_sizes() -> None:
    text = "Hat\nSizes: S (M, L)\n\nBrim\nCO 80 (88, 96) sts. Join.\n"
    text += "Rnd 1: *K3, k2tog; rep from * to end. 63 (70, 76) sts.\nRnd 2: Wibble 3.\nRnd 3: K1, frob.\n"
    found = [(one.line, one.column, one.size) for one in whole(text).problems]
    assert len(found) > 3
    assert found == sorted(found, key=lambda one: (one[0], one[1], one[2] or 0))


@pytest.mark.parametrize(
    ("first", "flat"),
    [
        ("Row 1 (RS): Pick up and k 40 sts.", False),  # what is picked up may be joined, as it is by the next line
        ("Rnd 1: Knit.", False),
        ("Row 1 (RS): Knit.", True),
    ],
)
def test_a_section_goes_round_where_its_lines_do_whatever_side_is_picked_up(first: str, flat: bool) -> None:
    body = "Body\nCO 40 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\n"
    found = whole(f"{body}\nNeckband\n{first}\nKnit 4 {'rows' if flat else 'rnds'}.\n")
    assert [section.flat for section in found.sections] == [True, flat]


def test_a_cast_on_of_two_numbers_in_one_size_is_told_and_nothing_else_fails() -> None:
    found = whole("Hat\n\nBrim\nCO 40 (44) sts. Join in the round.\nRnd 1: Knit.\n")
    assert (len(found.lines), len(found.problems) > 0) == (3, True)
