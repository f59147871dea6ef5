"""The ladder: every piece where it is, in words too, and readable however many there are."""

from __future__ import annotations

import re
from itertools import combinations, pairwise
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings, strategies as st

from lessonplan.render.drawings.ladder import LadderDay, LadderPiece, height_of, ladder, look, row_of

STAGES = ("Edge", "Cuff", "Hand", "Top")
SHOTS = ("1.1", "1.2", "2.1", "2.2", "3.1")
A = LadderPiece("A", "full", ((0, 1.0, 1.0), (2, 2.5, 3.0)))
B = LadderPiece("B", "short", ((1, 2.0, 2.0),))


def parsed(markup: str) -> ElementTree.Element:
    return ElementTree.fromstring(markup)


def letters(drawing: ElementTree.Element) -> list[tuple[str, float, float]]:
    """The bold letters at the ends of lines, with their places."""
    found = [one for one in drawing.iter("text") if one.get("font-weight") == "bold" and one.get("font-size") == "13"]
    return [(one.text or "", float(one.attrib["x"]), float(one.attrib["y"])) for one in found]


def test_a_ladder_is_well_formed_named_and_scrolls_by_itself() -> None:
    frame = parsed(
        ladder("l", "The pieces", STAGES, SHOTS, [A, B], [LadderDay("Sat 13 Feb", 0), LadderDay("Sun 14 Feb", 3)])
    )
    scroll = frame[0]
    assert (scroll.get("class"), scroll.get("tabindex"), scroll.get("role")) == ("picture-scroll", "0", "region")
    names, plot = scroll
    assert names.get("aria-hidden") == "true"
    assert (plot.get("role"), plot[0].text) == ("img", "The pieces, Sat 13 Feb")
    assert not [one for one in frame.iter() if one.tag == "style" or "style" in one.attrib]
    assert {"Sat 13 Feb", *SHOTS[:3]} <= {one.text for one in plot.iter("text")}
    assert {"Sun 14 Feb", *SHOTS[3:]} <= {one.text for one in frame[1].iter("text")}


def test_the_words_say_where_each_piece_is() -> None:
    words = next(parsed(ladder("l", "x", STAGES, SHOTS, [A, B])).iter("desc")).text
    assert words == (
        "2 pieces in 5 shots. A (full): 1.1 at Edge done; 2.1 at Hand 50%, left at Hand done. "
        "B (short): 1.2 at Cuff done."
    )


def test_each_piece_has_its_letter_at_both_ends_and_rises_upward() -> None:
    found = letters(parsed(ladder("l", "x", STAGES, SHOTS, [A, B])))
    first, last = (one for one in found if one[0] == "A")
    assert sorted(one[0] for one in found) == ["A", "A", "B", "B"]
    assert first[1] < last[1]
    assert first[2] > last[2]


def test_shots_stand_in_columns_of_one_width() -> None:
    plot = parsed(ladder("l", "x", STAGES, SHOTS, [A]))[0][1]
    at = {one.text: float(one.attrib["x"]) for one in plot.iter("text") if one.text in SHOTS}
    steps = {round(at[b] - at[a], 1) for a, b in pairwise(SHOTS)}
    assert len(steps) == 1


@settings(deadline=None, max_examples=30)
@given(st.data())
def test_no_two_letters_lie_over_each_other(data: st.DataObject) -> None:
    pieces = []
    for number in range(data.draw(st.integers(1, 12))):
        shots = sorted(data.draw(st.sets(st.integers(0, 39), min_size=1, max_size=4)))
        levels = sorted(data.draw(st.lists(st.integers(0, 16), min_size=2 * len(shots), max_size=2 * len(shots))))
        points = tuple((s, levels[2 * n] / 4, levels[2 * n + 1] / 4) for n, s in enumerate(shots))
        pieces.append(LadderPiece(chr(65 + number), "full", points))
    frame = parsed(ladder("l", "x", STAGES, [f"s{n}" for n in range(40)], pieces))
    drawings = [part[1] for part in frame if part.get("class") == "picture-scroll"]
    columns = []
    for drawing in drawings:
        named = [int((one.text or "")[1:]) for one in drawing.iter("text") if (one.text or "").startswith("s")]
        shots = list(dict.fromkeys(named))
        columns.append(shots)
        there = [piece.letter for piece in pieces if any(point[0] in shots for point in piece.points)]
        found = letters(drawing)
        assert sorted(one[0] for one in found) == sorted(there * 2), "each piece at both its ends, in each drawing"
        for (_, x, y), (_, other_x, other_y) in combinations(found, 2):
            assert abs(x - other_x) >= 9 or abs(y - other_y) >= 8
    assert [len(shots) for shots in columns] == [14, 13, 13], "40 shots, 16 at most in a drawing, in equal parts"
    assert [shot for shots in columns for shot in shots] == list(range(40))


def test_pieces_differ_by_more_than_colour() -> None:
    looks = [look(number) for number in range(40)]
    assert len({(dash, marker) for _, dash, marker in looks[:35]}) == 35
    assert len(set(looks)) == 40


def test_text_stays_text_and_the_same_input_is_the_same_bytes() -> None:
    evil = "<script>x</script>"
    piece = LadderPiece(evil, evil, ((0, 1.0, 1.0),))
    one, other = (ladder(evil, evil, (evil,), (evil,), [piece], [LadderDay(evil, 0)]) for _ in range(2))
    assert one == other
    assert not list(parsed(one).iter("script"))
    ids = re.findall(r' id="([^"]*)"', one)
    assert len(set(ids)) == 2
    assert all(re.fullmatch(r"[A-Za-z][\w-]*", name) for name in ids)


def test_no_pieces_is_an_empty_ladder() -> None:
    assert next(parsed(ladder("l", "x", STAGES, SHOTS, [])).iter("desc")).text == "0 pieces in 5 shots."


@pytest.mark.parametrize(
    "points", [(), ((5, 1.0, 1.0),), ((-1, 1.0, 1.0),), ((1, 1.0, 1.0), (1, 1.0, 1.0)), ((0, 1.0, 4.5),)]
)
def test_a_piece_outside_of_the_ladder_is_refused(points: tuple[tuple[int, float, float], ...]) -> None:
    with pytest.raises(ValueError, match="piece A"):
        ladder("l", "x", STAGES, SHOTS, [LadderPiece("A", "full", points)])


def test_a_day_without_a_shot_is_refused() -> None:
    with pytest.raises(ValueError, match="Sun 14 Feb"):
        ladder("l", "x", STAGES, SHOTS, [A], [LadderDay("Sun 14 Feb", 5)])


def test_each_day_has_a_drawing_of_its_own_in_which_a_piece_looks_the_same() -> None:
    one, other = LadderPiece("Q", "full", ((0, 1.0, 1.0), (3, 2.0, 2.5))), LadderPiece("R", "short", ((4, 1.0, 1.0),))
    frame = parsed(ladder("l", "x", STAGES, SHOTS, [B, one, other], [LadderDay("Sat", 0), LadderDay("Sun", 3)]))
    days = [part[1] for part in frame if part.get("class") == "picture-scroll"]
    assert [plot[0].text for plot in days] == ["x, Sat", "x, Sun"]
    assert [plot[1].text for plot in days] == [
        "2 pieces in 3 shots. B (short): 1.2 at Cuff done. Q (full): 1.1 at Edge done.",
        "2 pieces in 2 shots. Q (full): 2.2 at Cuff done, left at Hand 50%. R (short): 3.1 at Edge done.",
    ]
    key = [marker.attrib["d"] for marker in frame[-1].iter("path") if marker.get("transform")]
    drawn = [[marker.attrib["d"] for marker in plot.iter("path") if marker.get("transform")] for plot in days]
    assert drawn == [[key[0]] * 2 + [key[1]] * 2, [key[1]] * 2 + [key[2]] * 2]


@pytest.mark.parametrize("shots", [24, 18])
def test_a_usual_day_is_no_wider_than_a_page(shots: int) -> None:
    numbers = [f"1.{n // 4 + 1}.{n % 4 + 1}" for n in range(shots)]
    stages = ("Edge", "A stage with a long name", "Hand")
    days = [part for part in parsed(ladder("l", "x", stages, numbers, [A])) if part.get("class") == "picture-scroll"]
    seen = [one.text for _, plot in days for one in plot.iter("text") if one.text in numbers]
    assert sorted(set(seen)) == sorted(numbers)  # every shot is in one of the drawings
    for strip, plot in days:
        assert float(strip.attrib["width"]) + float(plot.attrib["width"]) <= 1020


def test_long_numbers_do_not_run_into_each_other() -> None:
    numbers = [f"10.{n}.10" for n in range(10, 20)]
    plot = parsed(ladder("l", "x", STAGES, numbers, [A]))[0][1]
    at = sorted({float(one.attrib["x"]) for one in plot.iter("text") if one.text in numbers})
    assert min(b - a for a, b in pairwise(at)) >= 8 * 12 * 0.5  # eight signs, each at least half a type size wide


def test_a_height_is_the_highest_stage_begun() -> None:
    assert height_of((0, 0, 0), (1, 20, 4)) == 0
    assert height_of((1, 5, 0), (1, 20, 4)) == 1.25
    assert height_of((1, 20, 0), (1, 20, 4)) == 2
    assert height_of((1, 20, 0, 3), (1, 20, 4, 6)) == 3.5


def test_a_stage_done_is_in_its_own_row() -> None:
    assert [row_of(height) for height in (0, 0.1, 1, 1.0000000001, 1.5, 2)] == [-1, 0, 0, 0, 1, 1]
