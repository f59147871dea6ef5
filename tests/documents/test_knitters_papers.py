"""What a knitter reads: her paper, her evenings, labels and calendar entries, worked out by hand on small courses."""

from __future__ import annotations

import re
from collections import Counter
from datetime import date, timedelta
from pathlib import Path

import pytest

import lessonplan
from lessonplan.documents.calendarentries import due_entries, sitting_entries
from lessonplan.documents.handout import handout_view
from lessonplan.documents.knitpaper import KnitterPaper, knitter_paper
from lessonplan.documents.knitters import knitters_view, knitters_with_work, slug_of
from lessonplan.documents.labels import labels_view
from lessonplan.documents.samples import samples_view
from lessonplan.documents.shots import all_shots
from lessonplan.documents.sittings import CRUMB, merged
from lessonplan.documents.tasks import Task, tasks_of
from lessonplan.documents.wording import told_once
from lessonplan.documents.worklines import RoundLine, lines_of, one_size, runs
from lessonplan.planning.worked import Plan
from lessonplan.samples.calendar.jobs import Sitting
from tests.documents.timed import COURSE, PATTERN, episode, plan, shot

DAY = date(2027, 3, 1)
KNITTERS = "knitters: [{name: Eva, pace: 20, hours_per_week: 3.5}]\n"


def task(sample: Plan, letter: str) -> Task:
    return next(one for one in tasks_of(sample) if one.letter == letter)


def paper(sample: Plan, name: str) -> KnitterPaper:
    return next(knitter_paper(sample, one) for _, one in knitters_with_work(sample) if one.name.startswith(name))


def test_lines_for_one_size() -> None:
    assert one_size("K20 (22, 24), pm, k to last 3 (4, 5) sts", 1, 3) == "K22, pm, k to last 4 sts"
    assert one_size("K1, [k2tog, k3] 4 times (5, 6)", 2, 3) == "K1, [k2tog, k3] 4 times (5, 6)"
    assert one_size("K20 (22), k1 (2, 3)", 0, 2) == "K20, k1 (2, 3)"


@pytest.mark.parametrize(
    ("numbers", "words"),
    [
        ([1], "1"),
        ([1, 2], "1 and 2"),
        ([1, 2, 3], "1 to 3"),
        ([2, 4, 6], "2, 4 and 6"),
        ([1, 2, 5, 6, 7], "1, 2 and 5 to 7"),
    ],
)
def test_round_numbers_in_words(numbers: list[int], words: str) -> None:
    assert runs(numbers) == words


def test_the_lines_of_a_piece_are_those_of_its_size_and_rounds(sample: Plan) -> None:
    # The gusset for Medium: 44 stitches, 22 before the marker; one made in round 1, two in each of six more: 57.
    gusset = next(one for one in task(sample, "K").stages if one.title == "Thumb gusset")
    assert gusset.needle == "4 mm"
    lines = [one for one in gusset.lines if not one.remark]
    assert [(one.rounds, one.text.replace("\u00a0", " "), one.count) for one in lines] == [
        ("Round 1 (MC)", "K22, pm, m1, pm, k to end", "45 sts"),
        ("Rounds 2, 4, 6, 8, 10, 12 and 14 to 18 (MC)", "Knit", ""),
        (
            "Odd rounds 3 to 13 (MC)",
            "K to marker, sm, m1l, k to marker, m1r, sm, k to end",
            "57 sts after 13",
        ),
    ]
    cuff = next(one for one in task(sample, "K").stages if one.title == "Ribbed cuff")
    assert (cuff.needle, cuff.short, cuff.lines[0].rounds) == ("3.5 mm", "6 rounds, not 22", "Rounds 1 to 6 (CC)")


def test_what_would_cut_the_yarn_at_the_stop_is_for_later(sample: Plan) -> None:
    cuff = next(one for one in task(sample, "H").stages if one.title == "Ribbed cuff")
    assert cuff.later == ("Cut CC when the cuff is done, leaving a tail as long as your hand.",)
    whole = next(one for one in task(sample, "A").stages if one.title == "Ribbed cuff")
    assert (whole.later, len([one for one in whole.lines if one.remark])) == ((), 1)


def test_a_begun_piece_is_gone_on_with(sample: Plan) -> None:
    # The cuff begun on the ferry has nine rounds.
    begun = task(sample, "I")
    assert "the cuff begun on the ferry" in begun.begun
    assert [one.title for one in begun.stages] == ["Ribbed cuff", "Thumb gusset"]
    assert begun.stages[0].lines[0].rounds == "Rounds 10 to 22 (CC)"


def test_recipes_of_short_and_small_pieces(sample: Plan) -> None:
    assert task(sample, "G").recipe == "Fewer stitches: cast on 24, not 44."
    assert task(sample, "N").recipe == (
        "Short: cast on 44; “Ribbed cuff” 6 rounds, not 22; “Cobble band” 4 rounds, not 12; "
        "“Plain hand” 4 rounds, not 15."
    )
    assert task(sample, "A").recipe == ""


def test_a_short_piece_that_stops_before_anything_is_left_out_says_so(tmp_path: Path) -> None:
    shots = episode((shot("face", pieces="[{needs: edge, kinds: short}]"),))
    short = {"pattern.yaml": PATTERN.replace("    after: edge\n", "    after: edge\n    short: 4\n")}
    (one,) = tasks_of(plan(tmp_path, shots, COURSE + KNITTERS, short))
    assert one.recipe == "Short: up to its STOP as the full one."


def test_yarn_is_enough_for_what_is_filmed_from_the_ball(tmp_path: Path) -> None:
    # A round is 110 loops of 2.031 cm = 2.23 m, with a tenth more 2.46 m; the edge is 110 loops and a tail of 1.82 m:
    # 4.05 m, with a tenth more 4.46 m. The line worked on camera is reckoned as a round: 6.9 m, half as many grams.
    # What is still to be worked, 2.46 m, is not covered by 2 m.
    shots = episode((shot("face", pieces="[{needs: edge}]", hands='[{work: "k5"}]'),))
    (one,) = tasks_of(plan(tmp_path, shots, COURSE + KNITTERS))
    assert one.yarn == "MC 7 m (4 g); of that hand over MC 3 m with it, to be worked on the set"
    assert one.ball == "Leave MC with it in its own small ball: it is needed for shot 1.1.1."


def test_a_piece_that_is_only_shown_needs_no_more_than_what_hangs_on_it(tmp_path: Path) -> None:
    (one,) = tasks_of(plan(tmp_path, episode((shot("face", pieces="[{needs: edge}]"),)), COURSE + KNITTERS))
    assert one.yarn == "MC 5 m (3 g)"
    assert one.ball == "What is left of MC stays on it, wound to a small ball, since it is not cut."


@pytest.mark.parametrize(("needs", "wound"), [(("edge",), False), (("edge", "body round 1"), True)])
def test_small_balls_are_wound_where_two_pieces_keep_theirs(
    tmp_path: Path, needs: tuple[str, ...], wound: bool
) -> None:
    """Shown side by side, so that each has its own yarn hanging on it."""
    shown = ", ".join(f"{{needs: {one}}}" for one in needs)
    made = plan(tmp_path, episode((shot("face", pieces=f"[{shown}]"),)), COURSE + KNITTERS)
    told = paper(made, "Eva")
    assert len(told.order) == len(needs)
    assert told.winding.startswith("Wind a small ball for each piece first") == wound


def test_the_sheet_says_what_whoever_knits_a_piece_was_told(tmp_path: Path) -> None:
    note = "[{needs: edge, note: 'Cast on {{ edge.cast_on }} loosely.'}]"
    made = plan(tmp_path, episode((shot("face", pieces=note),)), COURSE + KNITTERS)
    assert [one.knit_note for one in all_shots(made)["1.1.1"].pieces] == ["Cast on 110 loosely."]


def test_a_row_names_the_kind_of_a_lesser_piece(sample: Plan) -> None:
    """By the recipes: G is cast on with fewer stitches, N has fewer rounds, A is whole."""
    rows = [row for _, one in knitters_with_work(sample) for row in knitter_paper(sample, one).order]
    told = {row.letter: row.what.partition(" (")[2] for row in rows}
    assert (told["G"], told["N"], told["A"]) == ("fewer stitches)", "short)", "")


POCKET = PATTERN.replace("grams: 100}\n", "grams: 100}\n  CC: {name: Plain wool, metres: 200, grams: 100}\n").replace(
    "      - rounds: 10\n        lines: Knit\n      - bind_off: all\n",
    "      - {rounds: 3, lines: Knit, yarn: MC}\n      - {placeholder: 14, at: 9, name: pocket}\n"
    "  top: {title: Top, after: body, works: [{rounds: 4, lines: Knit, yarn: MC}]}\n"
    "  pocket: {title: Pocket, after: top, works: [{open: pocket}, {rounds: 3, lines: Knit, yarn: CC}]}\n",
)
"""Three rounds, an opening 9 stitches into the fourth, four more rounds; the pocket is worked in the other yarn."""


def pocket(folder: Path, *shots: str) -> Task:
    (one,) = tasks_of(plan(folder, episode(shots), COURSE + KNITTERS, {"pattern.yaml": POCKET}))
    return one


def test_each_yarn_is_left_for_the_shots_in_which_it_is_worked(tmp_path: Path) -> None:
    # The opening takes 14 stitches of waste yarn, and the main yarn round them; the next shot is in the main yarn.
    moved = shot("face", pieces="[{needs: 'body, before placeholder', leaves: body}]")
    one = pocket(tmp_path, moved, shot("face", pieces="[{needs: body}]", hands='[{work: "k2"}]'))
    assert re.sub(r" \(\d+ m\)", "", one.ball) == (
        "Leave MC and waste with it, each in a small ball of its own: MC for shots 1.1.1 and 1.1.2; waste for shot "
        "1.1.1."
    )


def test_what_only_comes_off_the_waste_yarn_takes_no_yarn(tmp_path: Path) -> None:
    # The pocket's first round in CC comes after the shot: nobody works it, though the piece moves.
    one = pocket(tmp_path, shot("face", pieces="[{needs: top, leaves: 'pocket, after open'}]"))
    assert ("CC" in one.yarn, "with it" in one.yarn) == (False, False)
    assert one.ball == "What is left of MC stays on it, wound to a small ball, since it is not cut."


def test_the_main_yarn_hangs_on_where_waste_yarn_was_worked_in(tmp_path: Path) -> None:
    one = pocket(tmp_path, shot("face", pieces="[{needs: body}]"))
    assert one.ball == "What is left of MC stays on it, wound to a small ball, since it is not cut."


def test_the_needles_that_are_out_at_once(sample: Plan) -> None:
    # Bodil's D, E, G stop in the cuff or before it, I, M, N, O, P above it: as her paper lists them.
    needles = paper(sample, "Bodil").needles
    assert needles.startswith("8 pieces wait with live stitches")
    # D, E and G hold three of 3.5 mm when the cuffs of I, N, O and P are worked on a fourth.
    assert "4 of 3.5 mm and 5 of 4 mm" in needles


def test_a_knitters_paper_as_a_whole(sample: Plan) -> None:
    found = paper(sample, "Bodil")
    assert found.title == "To knit: Bodil Tweddlecroft"
    assert [row.letter for row in found.order] == [one.letter for one in found.tasks]
    assert found.start == "Start when you like from Mon 4 Jan on, by Monday 1 February 2027 for the days agreed."
    # Due by the end of the 9th and filmed on the 13th: the 10th, 11th and 12th are in hand.
    assert found.spare.endswith("3 whole days are in hand.")
    assert found.place == "Minna Quillbeck, The Net Loft, Ostrelby"
    # The first are filmed on Saturday the 13th, the others on Sunday: there on the eve.
    assert found.hand_overs == (
        ("Wednesday 10 February 2027", "send or bring D, E, G and I, to be there by Friday 12 February 2027"),
        ("Thursday 11 February 2027", "send or bring M, N, O and P, to be there by Saturday 13 February 2027"),
    )
    assert sum(1 for _ in knitters_with_work(sample)) == 2


def test_the_evenings_hold_all_minutes_and_no_crumb_beside_more_of_its_piece(sample: Plan) -> None:
    for _, knitter in knitters_with_work(sample):
        spells = [spell for evening in knitter_paper(sample, knitter).evenings for spell in evening.spells]
        for piece in {spell.piece for spell in spells}:
            mine = [spell.minutes for spell in spells if spell.piece == piece]
            planned = [one.minutes for one in sample.calendar.sittings if one.piece == piece]
            assert sum(mine) == sum(planned)
            assert len(mine) == 1 or min(mine) >= CRUMB
            assert [spell.left for spell in spells if spell.piece == piece] == list(range(len(mine)))[::-1]


def test_crumbs_go_to_the_next_sitting_or_to_the_one_before() -> None:
    def days(*minutes: int) -> list[tuple[int, int]]:
        sittings = tuple(Sitting(DAY + timedelta(n), "Eva", "A", one) for n, one in enumerate(minutes) if one)
        return [((one.day - DAY).days, one.minutes) for one in merged(sittings)]

    assert days(5, 30, 20) == [(1, 35), (2, 20)]
    assert days(30, 5, 20) == [(0, 30), (2, 25)]
    assert days(30, 20, 5) == [(0, 30), (1, 25)]
    assert days(4, 4) == [(1, 8)]
    assert days(4, 4, 4) == [(2, 12)]


def test_a_week_grows_by_the_crumbs_at_its_two_ends_at_most() -> None:
    # Nine minutes of C on the evening before, seven whole evenings of it, nine on the evening after.
    minutes = [("A", 0, 60), ("C", 0, 9), *(("C", day, 69) for day in range(1, 8)), ("C", 8, 9), ("D", 8, 60)]
    found = merged(tuple(Sitting(DAY + timedelta(day), "Eva", piece, length) for piece, day, length in minutes))
    evenings = [(one.piece, (one.day - DAY).days, one.minutes) for one in found]
    assert evenings == [("A", 0, 60), ("C", 1, 78), *(("C", n, 69) for n in range(2, 7)), ("C", 7, 78), ("D", 8, 60)]


def test_the_calendar_says_the_words_of_the_card(sample: Plan) -> None:
    entries = sitting_entries(sample, "Bodil Tweddlecroft")
    first = entries[0]
    assert first.summary == (
        "1. Knit D and E, to Cast-on edge done; G (fewer stitches), to Ribbed cuff, 12 of 22 rounds: 26 min"
    )  # 5, 5 and 16 minutes, and I after them
    for letter in ("D", "E", "G"):
        one = task(sample, letter)
        for words in (
            f"{letter}: {one.kind}, size Medium",
            one.stop,
            one.recipe,
            one.yarn,
            one.ball,
            f"Needle at the stop: {one.needle}.",
        ):
            assert words in first.what, (letter, words)
    assert "work a wrong purl on purpose" in first.what
    twice = [one for one in entries if one.day == date(2027, 2, 6)]
    assert [one.summary[:8] for one in twice] == ["1. Knit ", "2. Knit "]


def test_one_entry_a_day_for_handing_over(sample: Plan) -> None:
    mine = due_entries(sample, "Bodil Tweddlecroft")
    assert [(one.day, one.summary, one.place) for one in mine] == [
        (date(2027, 2, 10), "Send or bring: D, E, G and I", "The Net Loft, Ostrelby"),
        (date(2027, 2, 11), "Send or bring: M, N, O and P", "The Net Loft, Ostrelby"),
    ]
    assert task(sample, "D").stop in mine[0].what
    done = "Done by the evening of Tuesday 9 February 2027, and dry if it has been wet."
    assert mine[0].what.endswith(f"\n\nTo Minna Quillbeck, to be there by Friday 12 February 2027.\n{done}")
    # D, E and G wait on 3.5 mm, I on 4 mm: no one needle is named for all; those of the 10th all wait on 4 mm.
    assert "Hand it over on its 3.5 mm" not in mine[0].what
    assert "Hand each over on the needle named with it" in mine[0].what
    assert "Hand it over on its 4 mm needle" in mine[1].what
    every = due_entries(sample)
    # To the host it matters when they arrive: three days are for the way.
    assert [(one.day.day, one.summary) for one in every] == [
        (12, "Arrive by today: A, C, D, E, F, G, H, I, J and K"),
        (13, "Arrive by today: L, M, N, O and P"),
    ]
    assert "Knitted by Ansel Ollermoss." in every[0].what


def test_a_label_for_each_piece(sample: Plan) -> None:
    labels = labels_view(sample).labels
    assert [one.letter for one in labels] == [piece.name for piece in sample.choice.pieces]
    assert {one.code.text for one in labels} == {f"Piece {piece.name}" for piece in sample.choice.pieces}
    drawn = next(one for one in labels if one.letter == "N")
    assert drawn.slates == "3.2.4 (slate 33), 3.3.1 (slate 34), 3.3.2 (slate 35)"
    assert (drawn.kind, drawn.needle) == ("short", "4 mm")
    told = {one.letter: [note.text for note in one.notes] for one in labels if one.notes}
    # What is made wrong on purpose is told from its like on the table.
    assert told["L"] == ["Shot 2.5.1, the tight one: Knit the band of this one tightly on purpose."]
    assert told["G"] == [
        "Shot 1.4.2: In round 8 of the cuff work a wrong purl on purpose: purl the 13th stitch, a knit."
    ]
    assert "I" not in told
    whose = {one.letter: one.whose for one in labels}
    assert whose["N"] == "Bodil Tweddlecroft, done by Wednesday 10 February 2027."
    assert whose["B"] == "“the trial mitten” from the drawer as it is."


def test_what_a_knitter_needs_beside_yarn_and_needles(sample: Plan) -> None:
    # Nine wait in G, I, M, N and O while P has three in its gusset; M, N and O have their thumbs on waste yarn, then P.
    assert paper(sample, "Bodil").notions == (
        "12 markers in two colours (pieces that wait keep theirs); 4 lengths of smooth waste yarn in a colour that "
        "shouts, as long as your forearm; a blunt darning needle; scissors"
    )
    # Ansel knits A to the end, which is washed.
    assert paper(sample, "Ansel").notions.endswith("scissors; what it is washed in and laid out on")


def test_a_knitter_who_helps_on_the_set_is_told_so(sample: Plan) -> None:
    assert paper(sample, "Bodil").on_set == ()
    day, night = paper(sample, "Ansel").on_set
    assert night.startswith(
        "After the wrap you work on H, I and K at once, until about 16:51, or take them home, with the yarn that "
    )
    assert night.endswith(": have them back on the set by 9:30 on Sunday 14 February 2027.")
    assert day.startswith("You also work on the set on Saturday 13 February 2027, from 9:00: the log, ")
    # G is his first, when lunch is over; of 2 h 41 min 16, 27 and 31 are after the wrap.
    assert " from 13:22 on you work on G, H, I and K, 2 h 41 min, some after the wrap" in day
    assert day.endswith(", some after the wrap. What this takes is packed for you.")


def test_a_helper_without_a_job_is_told_of_the_day_alone(tmp_path: Path) -> None:
    course = COURSE + "    helpers: Eva, Bo\n" + KNITTERS
    made = plan(tmp_path, episode((shot("face", pieces="[{needs: edge}]"),)), course)
    (told,) = paper(made, "Eva").on_set
    assert told.startswith(
        "You also work on the set on Saturday 6 March 2027, from 9:00, with Bo: no piece is worked on;"
    )


def test_names_of_files() -> None:
    assert slug_of("Bodil Tweddlecroft") == "bodil-tweddlecroft"
    assert slug_of("Éloïse O’Brien") == "eloise-obrien"
    assert slug_of("山田") == "somebody"
    assert slug_of("山田", ["somebody"]) == "somebody-2"
    assert slug_of("Ánn", ["ann", "ann-2"]) == "ann-3"
    assert re.fullmatch("[a-z-]{1,40}", slug_of("x" * 99 + "../.."))


def test_another_craft_is_in_its_own_words(root: Path) -> None:
    found = lessonplan.plan(root / "tests/courses/bookbinding").plan
    assert found is not None
    ((_, knitter),) = knitters_with_work(found)
    view = knitter_paper(found, knitter)
    assert view.title == "To make: Ismay Dorrick"
    text = repr(view)
    for word in ("yarn for", "stitches", "needle ", "knit ", "cut the yarn"):
        assert word not in text, word


def test_what_must_be_done_first_stands_on_a_knitters_paper_too(sample: Plan) -> None:
    gusset = next(one for one in task(sample, "K").stages if one.title == "Thumb gusset")
    assert gusset.lines[0] == RoundLine("", "Change to the larger needles. Join MC.", "", remark=True)


def test_a_card_joins_and_cuts_the_yarn_as_the_handout_does(sample: Plan) -> None:
    # The cuff is in the one colour, the gusset in the other; the band has both, and the hand goes on with the second.
    lines = {one.title: [line.text.replace("\u00a0", " ") for line in one.lines] for one in task(sample, "A").stages}
    joined = {title: [text for text in texts if "Join " in text] for title, texts in lines.items()}
    assert {title: texts for title, texts in joined.items() if texts} == {
        "Cast-on edge": ["Join without a twist, and mark the beginning of the round."],
        "Thumb gusset": ["Change to the larger needles. Join MC."],
        "Cobble band": ["Join CC."],
        "Thumb": ["Join CC at the right of these stitches, and knit them."],
    }
    handout = {one.title: one.works for one in handout_view(sample).stages}
    for title in ("Shaped top", "Thumb"):
        (told,) = (one.lead.replace("\u00a0", " ") for one in handout[title] if "draw it through" in one.lead)
        (mine,) = (text for text in lines[title] if "draw it through" in text)
        words = "cut the yarn, leaving 30 cm (11¾ in), draw it through the "
        assert words in told
        assert words in mine
        assert mine.rstrip(".").endswith(" sts and pull it tight")
    # A band that is begun has both yarns already.
    order, whole = sample.worked.pattern.order, sample.worked.kinds["full"]
    done = {key: len(whole.stage(key, sample.worked.size).steps) for key in ("edge", "cuff", "gusset")}
    none, begun, goal = (tuple((done | {"band": rounds}).get(key, 0) for key in order) for rounds in (0, 2, 4))
    said = [[line.text for one in lines_of(sample, "full", at, goal) for line in one.lines] for at in (none, begun)]
    assert ["Join CC." in texts for texts in said] == [True, False]


def test_remarks_stand_where_they_are_worked(sample: Plan) -> None:
    # The thumb of a mitten, as the pattern's file tells it: the held stitches are back before yarn is joined to them,
    # and the gap is closed only after the round that put them aside.
    thumb = next(one for one in task(sample, "P").stages if one.title == "Thumb")
    told = [one.text.replace("\u00a0", " ") for one in thumb.lines]
    order = [
        "Put the 13 held sts back on the needles.",
        "Join CC at the right of these stitches, and knit them.",
        "Pick up and knit 5 sts along the gap between thumb and hand (CC).",
        "Place the marker for the beginning of the round.",
        "K13, ssk, k1, k2tog",
    ]
    assert told[: len(order)] == order
    gusset = [one.text for one in next(one for one in task(sample, "N").stages if one.title == "Thumb gusset").lines]
    assert gusset[-1] == "Draw the yarn firmly across the gap behind them."
    assert gusset.index("The held stitches go on waste yarn, its ends tied in a loose bow.") == len(gusset) - 2


def test_a_remark_between_two_works_parts_their_rounds(sample: Plan) -> None:
    # After rounds 1 and 2 of the top stands what its marker shows; rounds 4, 6 and 8 are knitted too, but after that.
    top = next(one for one in task(sample, "N").stages if one.title == "Shaped top")
    assert [one.rounds for one in top.lines] == [
        "Round 1 (MC)",
        "Round 2 (MC)",
        "",
        "Rounds 3, 5, 7 and 9 to 13 (MC)",
        "Rounds 4, 6 and 8 (MC)",
    ]


def test_the_colour_of_a_cast_on_is_said(sample: Plan) -> None:
    assert task(sample, "G").stages[0].lines[1].text.replace("\u00a0", " ") == (
        "Cast on 24 sts (long-tail, tail of 36 cm, 14¼ in), join in the round (CC)."
    )


def test_a_ring_that_is_only_cast_on_is_open_on_the_whole_card(tmp_path: Path) -> None:
    # It is closed with the first stitch of its first round, worked on the set: the stop must not say otherwise.
    pattern = PATTERN.replace("- cast_on: 110\n", "- {cast_on: 110, join: yes}\n      - {rounds: 2, lines: Knit}\n")
    shots = episode((shot("face", pieces="[{needs: 'edge, after cast_on'}]", hands="[{work: k5}]"),))
    (one,) = tasks_of(plan(tmp_path, shots, COURSE + KNITTERS, {"pattern.yaml": pattern}))
    assert (one.goal, one.markers) == ("Edge: Cast on 110 sts", "")
    assert one.stop.startswith("STOP in “Edge” after: Cast on 110 sts, 110 stitches on the needle;")
    assert "join" not in " ".join(line.text for stage in one.stages for line in stage.lines)


def test_what_is_not_cut_off_stays_in_a_ball_of_its_own(sample: Plan) -> None:
    # N is drawn through on the set: its yarn waits uncut. G is all of CC, and MC goes along for the lesson on the band.
    # The thumb that is picked up on N is of CC.
    assert task(sample, "N").ball.startswith("Leave MC (1 m) and CC (1 m) with it, each in a small ball of its own: ")
    assert task(sample, "M").ball.startswith("Leave MC with it in its own small ball: it is needed for shot")
    assert "of that hand over MC 13 m and CC 6 m with it" in task(sample, "G").yarn
    assert task(sample, "G").ball.startswith("Leave MC (13 m) and CC (6 m) with it, ")
    assert paper(sample, "Bodil").winding.startswith("Wind a small ball for each piece first")


def test_every_paper_names_the_same_yarn_and_the_balls_add_up(sample: Plan) -> None:
    people = {one.name: one for one in knitters_view(sample).people}
    host = {one.letter: one.yarn for one in samples_view(sample).pieces}
    for _, knitter in knitters_with_work(sample):
        found = knitter_paper(sample, knitter)
        page = {one.piece: one.yarn for one in people[knitter.name].to_knit}
        wound: Counter[str] = Counter()
        for one in found.tasks:
            metres = re.findall(r"([MC]C) (?:\([a-z ]+\) )?(\d+) m \(", one.yarn)
            assert metres == re.findall(r"([MC]C) (\d+) m \(", page[one.letter])
            assert page[one.letter] == host[one.letter]
            wound.update({name: int(count) for name, count in metres})
        whole = re.findall(r"([MC]C) (\d+) m \(", found.yarns)
        assert {name: int(count) for name, count in whole} == dict(wound)


def test_a_yarn_is_named_as_on_its_band_and_the_gauge_with_its_needle(sample: Plan) -> None:
    found = paper(sample, "Bodil")
    assert "1 ball of CC (Quernwool DK, tarn blue, 100 g), all of one dye lot" in found.yarns
    assert found.gauge.endswith("in stockinette in the round, washed, on 4 mm or your own size")


def test_lines_of_a_chart_name_their_colours_and_the_chart_is_drawn_once(tmp_path: Path) -> None:
    # Typed "xoo" is worked from its right edge: two in MC, one in CC; the row above it is in MC alone.
    charts = "  CC: {name: Plain wool, colour: red, metres: 200, grams: 100}\n"
    charts += "charts:\n  dots: {colours: {o: MC, x: CC}, rows: [ooo, xoo]}\n"
    pattern = PATTERN.replace("stages:\n", charts + "stages:\n").replace("110", "111")
    pattern = pattern.replace("rounds: 10\n        lines: Knit", "chart: dots")
    made = episode((shot("close", pieces="[needs: body round 2]"), shot("close", pieces="[needs: body]")))
    found = plan(tmp_path, made, COURSE + KNITTERS, files={"pattern.yaml": pattern})
    eva = knitter_paper(found, next(one for _, one in knitters_with_work(found)))
    lines = {(one.rounds, one.text.replace("\u00a0", " ")) for task in eva.tasks for one in task.stages[1].lines}
    assert ("Round 1 (CC and MC)", "*k2 MC, k1 CC; rep from * to end") in lines
    assert ("Round 2 (MC)", "*k3; rep from * to end") in lines
    ((title, drawn, _),) = eva.charts
    assert (title, [[cell.yarn for cell in row.cells] for row in drawn.chart.rows]) == (
        "Body",
        [["MC", "MC", "CC"], ["MC", "MC", "MC"]],
    )


HEEL = """\
title: Sock
gauge: {stitches: 20, rounds: 28}
yarns:
  MC: {name: Plain wool, metres: 200, grams: 100}
stages:
  foot:
    title: Foot
    works:
      - {cast_on: 24, join: yes}
      - {rounds: 4, lines: Knit}
  heel:
    title: Heel
    after: foot
    works:
      - rows: 2
        lines:
          - "Row 1 (RS): K20, w&t"
          - "Row 2 (WS): P16, w&t"
      - rows: 2
        lines:
          - "Row 1 (RS): K15, w&t"
          - "Row 2 (WS): P14, w&t"
      - {rows: 1, lines: "Next row (RS): K to end"}
"""


def test_a_heel_in_short_rows_keeps_its_marker_and_tells_both_numbers_of_its_rows(tmp_path: Path) -> None:
    # The ring has one marker for its beginning, which stays in while rows go to and fro over a part of it.
    pieces = '[{needs: "heel row 1, 10 sts on"}, needs: heel row 3, needs: heel]'
    made = episode((shot("close", pieces=pieces),))
    found = plan(tmp_path, made, COURSE + KNITTERS, files={"pattern.yaml": HEEL})
    first, middle, _ = tasks_of(found)
    assert [task.markers for task in (first, middle)] == ["1 marker", "1 marker"]
    assert first.stop.startswith("STOP in row 1 of “Heel”, after its first 10 sts")
    lines = [(one.rounds, one.text) for one in middle.stages[-1].lines if not one.remark]
    assert lines == [
        ("Row 1 (RS)", "K20, w&t"),
        ("Row 2 (WS)", "P16, w&t"),
        ("Row 3, here “Row 1” (RS)", "K15, w&t"),
    ]
    assert [one.rounds for one in first.stages[-1].lines] == ["Row 1"]


CUFF = """\
title: Cuff
gauge: {stitches: 20, rounds: 28}
needles: 4 mm
yarns:
  MC: {name: Wool, metres: 200, grams: 100}
stages:
  cuff:
    title: Cuff
    works:
      - {cast_on: 21}
      - rows: 15
        lines: ["Row 1 (WS): Purl.", "Row 2 (RS, increase row): K1, m1, k to end.", "Row 3: Purl.",
                Repeat rows 2 and 3 another 6 times.]
      - rows: 6
        lines: ["Rows 1 and 2: *K1, p1; rep from * to end", "Rows 3 to 6: Knit 4 rows."]
      - {rows: 8, lines: Work 8 rows in stockinette.}
      - {rows: 8, lines: [Knit 3 rows, Purl]}
"""


def test_a_line_on_a_card_has_one_label_and_one_number_of_rows(tmp_path: Path) -> None:
    """Row 1, then seven times rows 2 and 3: the label of row 2 stood before that of all even rows."""
    made = episode((shot("close", pieces="[needs: cuff]"),))
    [task] = tasks_of(plan(tmp_path, made, COURSE + KNITTERS, files={"pattern.yaml": CUFF}))
    assert [(one.rounds, one.text) for one in task.stages[0].lines if not one.remark][1:] == [
        ("Row 1 (WS)", "Purl."),
        ("Even rows 2 to 14 (RS, increase row)", "K1, m1, k to end."),
        ("Odd rows 3 to 15", "Purl."),
        ("Rows 16 and 17, here “Rows 1 and 2”", "*K1, p1; rep from * to end"),
        ("Rows 18 to 21, here “Rows 3 to 6”", "Knit."),
        ("Rows 22 to 29", "Work in stockinette."),
        ("Rows 30 to 32 and 34 to 36", "Knit"),
        ("Rows 33 and 37", "Purl"),
    ]


@pytest.mark.parametrize(
    ("text", "counts", "told"),
    [
        ("Knit 14 rounds.", [14, 14], "Knit."),
        ("Knit 12 (14) rounds.", [12, 14], "Knit."),
        ("Knit 12 (14) rounds.", [12, 12], "Knit 12 (14) rounds."),
        ("With MC, work 4 rows in stockinette.", [4], "With MC, work in stockinette."),
        ("Work even for 6 rows.", [6], "Work even."),
        ("Work 6 rows.", [6], "Work 6 rows."),  # nothing else says what is worked
        ("Rep last row 3 rows.", [3], "Rep last row 3 rows."),
        ("Knit 1 row, purl 1 row.", [2], "Knit 1 row, purl 1 row."),
        ("Knit 4 rows, then pm.", [4], "Knit 4 rows, then pm."),
    ],
)
def test_a_line_behind_its_label_tells_no_second_number_of_rounds(text: str, counts: list[int], told: str) -> None:
    assert told_once(text, counts) == told
