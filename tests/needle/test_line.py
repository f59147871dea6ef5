"""One line on the needles: stitches after it, what was done, where the markers are, and why a line does not fit."""

from __future__ import annotations

import pytest
from hypothesis import example, given, settings, strategies as st

from lessonplan.craft.techniques import technique
from lessonplan.needle.count import count_lines
from lessonplan.needle.decided.line import Round
from lessonplan.needle.decided.parts import part_of_round
from lessonplan.needle.order.lines import work_lines
from lessonplan.needle.stitch.live import Needle, WorkError
from lessonplan.printed.line import NotationError


def work(text: str, needle: Needle | int) -> Round:
    on = Needle(needle) if isinstance(needle, int) else needle
    worked = work_lines([text], on)
    assert [problem for problem in worked.problems if problem.severity == "error"] == []
    return worked.rounds[-1]


def error(text: str, needle: Needle | int) -> tuple[int, str]:
    on = Needle(needle) if isinstance(needle, int) else needle
    problem = next(each for each in work_lines([text], on).problems if each.severity == "error")
    return problem.column, problem.sentence


@pytest.mark.parametrize("held", ["the held sts", "held sts", "the held sleeve sts", "across the held sts"])
def test_held_stitches_are_all_that_wait_on_the_needle(held: str) -> None:
    """None of 36 is left between those picked up at the underarm; before, one was knitted."""
    done = work(f"Pick up and knit 2 sts, knit {held}, pick up and knit 2 sts.", 36)
    assert (done.after, done.techniques) == (40, (("k", 36), ("pu&k", 4)))


def test_a_decrease_at_each_end() -> None:
    done = work("K1, ssk, k to last 3 sts, k2tog, k1", 64)
    assert (done.before, done.after) == (64, 62)
    assert done.techniques == (("k", 60), ("k2tog", 1), ("ssk", 1))


@pytest.mark.parametrize(
    ("text", "on", "column", "sentence"),
    [
        ("*k2, p2; rep from * to end", 46, 1, "needs a multiple of 4 stitches for the repeat, but 46 are left for it"),
        (
            "*k2, p2; rep from * to last 3 sts, k3",
            46,
            1,
            "needs a multiple of 4 stitches for the repeat, but 43 are left for it",
        ),
        ("k44, k3", 45, 6, "asks for 3 stitches here, only 1 is left"),
        ("k45, k2tog", 46, 6, "k2tog needs 2 stitches here, only 1 is left"),
        ("k46, p1", 46, 6, "asks for 1 stitch here, none is left"),
        ("k40, p4", 46, 6, "leaves 2 of 46 stitches unworked"),
        ("k to last 50 sts, k50", 46, 1, "should leave the last 50 stitches, but only 46 are left"),
        ("[k4, k2tog] 8 times", 46, 6, "asks for 2 stitches here, none is left"),
        ("k2tog around", 45, 1, "needs a multiple of 2 stitches for k2tog, but 45 are left for it"),
        ("*yo; rep from * to end", 5, 1, "the repeat uses up no stitches, so it would never come to its end"),
        ("k to marker, turn", Needle(10, flat=True), 6, "there is no marker ahead to work to"),
        ("k3, sm, k to end", Needle(10, ((5, ""),)), 5, "there is no marker here to slip; the next is 2 stitches on"),
        (
            "k to 6 sts before marker, k to end",
            Needle(9, ((5, ""),)),
            1,
            "should stop 6 stitches before the marker, but only 5 are left before it",
        ),
        ("work 12 sts, pm, m1", 10, 18, "asks for 2 stitches more than there are"),
        ("k3, place next 14 sts on waste yarn", 12, 5, "asks for 14 stitches here, only 9 are left"),
        (
            "return 6 held sts to needle, k to end",
            Needle(9, held=(("thumb", 5),)),
            1,
            "asks for 6 stitches from the holder, which has 5",
        ),
    ],
)
def test_why_a_line_does_not_fit(text: str, on: Needle | int, column: int, sentence: str) -> None:
    assert error(text, on) == (column, sentence)


def test_printed_counts_are_verified() -> None:
    assert error("k2tog around. 24 sts.", 46) == (15, "prints 24 stitches after this line, but there are 23")
    assert error("ssk, k to end (2 sts dec)", 46)[1] == "prints 2 decreases, but the count changes by -1"


@pytest.mark.parametrize(
    ("text", "before", "after", "cast_on", "done"),
    [
        ("BO 3 sts, k to end", 46, 43, 0, ("BO", 3)),
        ("Bind off all sts in pattern", 46, 0, 0, ("BO", 46)),
        ("K2, then bind off all sts", 46, 0, 0, ("BO", 46)),  # the two are bound off as well
        ("K2, then bind off rem sts", 46, 2, 0, ("BO", 44)),
        ("Bind off all but last st", 46, 1, 0, ("BO", 45)),
        ("K to end, CO 4 sts", 46, 50, 4, ("CO", 4)),
        ("K10, CO 4, k to end", 46, 50, 4, ("CO", 4)),
        ("K to end, pick up and knit 12 sts along the edge", 46, 58, 0, ("pu&k", 12)),
    ],
)
def test_edges(text: str, before: int, after: int, cast_on: int, done: tuple[str, int]) -> None:
    worked = work(text, before)
    assert (worked.after, worked.cast_on) == (after, cast_on)
    assert done in worked.techniques


def test_a_cast_on_is_no_round_and_joins() -> None:
    done = work("Cast on 48 sts, join in the round, being careful not to twist.", Needle(0, flat=True))
    assert (done.row, done.after, done.cast_on, done.needle.flat) == (False, 48, 48, False)


def test_held_stitches_wait_and_come_back() -> None:
    worked = work_lines(
        ["K10, place next 14 sts on waste yarn, CO 2, k to end", "Knit", "Return 14 held sts to needle"],
        Needle(50),
        held_as="thumb",
    )
    assert worked.rounds[0].held == 14
    assert worked.rounds[0].needle.held == (("thumb", 14),)
    assert (worked.needle.stitches, worked.needle.held) == (52, ())


def test_stitches_just_worked_can_be_held() -> None:
    done = work("K20, place last 8 sts on holder, k to end", 40)
    assert (done.after, done.held) == (32, 8)


def test_markers_move_with_the_stitches_before_them() -> None:
    done = work("K1, ssk, k to 2 sts before marker, k2tog, sm, m1l, k to end", Needle(40, ((20, ""), (30, "b"))))
    assert done.needle.markers == ((18, ""), (29, "b"))


def test_markers_are_slipped_silently_where_a_line_does_not_mention_them() -> None:
    assert work("*k2, k2tog; rep from * to end", Needle(40, ((20, ""),))).needle.markers == ((15, ""),)
    assert work("*k2, k2tog; rep from * to end", Needle(40, ((10, ""), (13, "")))).needle.markers == ((8, ""), (10, ""))


def test_a_marker_inside_a_decrease_is_noted() -> None:
    worked = work_lines(["k2tog around"], Needle(40, ((21, ""),)))
    assert [problem.severity for problem in worked.problems] == ["note"]
    assert worked.needle.markers == ((11, ""),)


def test_a_repeat_may_depend_on_markers() -> None:
    raglan = "*K to 1 st before marker, kfb, sm, kfb; rep from * around, k to end"
    done = work(raglan, Needle(80, ((13, ""), (27, ""), (53, ""), (67, ""))))
    assert (done.after, done.needle.markers) == (88, ((14, ""), (30, ""), (58, ""), (74, "")))


def test_markers_are_placed_named_and_removed() -> None:
    worked = work_lines(["K10, pm A, k10, pm, k to end", "K to marker A, rm, k to end"], Needle(30))
    assert worked.rounds[0].needle.markers == ((10, "a"), (20, ""))
    assert worked.needle.markers == ((20, ""),)


def test_the_marker_of_the_round_is_not_kept() -> None:
    assert work("K to marker, sm, k to marker, sm", Needle(30, ((12, ""),))).needle.markers == ((12, ""),)


def test_rows_turn_the_markers_round() -> None:
    done = work("K8, m1, k to end", Needle(30, ((10, ""),), flat=True))
    assert (done.needle.markers, done.needle.side) == (((20, ""),), "WS")


def test_yarns_are_counted_apart() -> None:
    worked = work_lines(
        ["*K2 A, k1 B; rep from * around", "With B, knit 2 rounds"], Needle(30), colours=frozenset("AB")
    )
    assert worked.rounds[0].by_colour == (("A", (("k", 20),)), ("B", (("k", 10),)))
    assert worked.rounds[1].by_colour == (("B", (("k", 30),)),)
    assert worked.needle.colour == "B"


def test_a_part_of_a_round_on_camera() -> None:
    assert part_of_round("k3, ssk, k2tog", None) == {"k": 3, "ssk": 1, "k2tog": 1}
    # Where a part of a round begins nobody knows: its markers are slipped wherever they lie.
    assert part_of_round("k3, sm, m1l, k1", None) == {"k": 4, "sm": 1, "m1l": 1}
    assert part_of_round("k3, sm, m1l, k1", Needle(40, ((22, ""),))) == {"k": 4, "sm": 1, "m1l": 1}
    assert part_of_round("k to last 3 sts, k2tog", Needle(20)) == {"k": 17, "k2tog": 1}
    with pytest.raises(WorkError, match="only known with a piece on the needle"):
        part_of_round("k to last 3 sts", None)
    with pytest.raises(NotationError):
        part_of_round("zz", None)


STITCHES = ["k", "p", "k2tog", "ssk", "p3tog", "yo", "m1l", "kfb", "sl", "C4B", "s2kp", "kyok"]


@st.composite
def a_clause(draw: st.DrawFn) -> tuple[str, int, int]:
    """Some printed steps, the stitches they take and the stitches they make."""
    text, taken, made = [], 0, 0
    for name in draw(st.lists(st.sampled_from(STITCHES), min_size=1, max_size=5)):
        plain = name in ("k", "p", "sl")
        n = draw(st.integers(1, 5)) if plain else 1
        text.append(f"{name}{n}" if plain else name)
        taken += technique(name).consumes * n
        made += technique(name).produces * n
    return ", ".join(text), taken, made


@settings(max_examples=60, deadline=None)
@given(a_clause(), st.integers(1, 9), st.integers(0, 7))
def test_stitches_taken_are_those_that_were_there(clause: tuple[str, int, int], times: int, more: int) -> None:
    text, taken, made = clause
    done = work(f"[{text}] {times} times, k{more + 1}", taken * times + more + 1)
    consumed = sum(technique(name).consumes * n for name, n in done.techniques)
    produced = sum(technique(name).produces * n for name, n in done.techniques)
    assert (consumed, produced) == (done.before, done.after)
    assert done.after == made * times + more + 1


@settings(max_examples=60, deadline=None)
@given(a_clause(), st.integers(2, 9), st.lists(st.integers(1, 40), max_size=3))
def test_a_repeat_is_the_same_as_written_out(clause: tuple[str, int, int], times: int, marks: list[int]) -> None:
    text, taken, _ = clause
    on = taken * times + 1
    needle = Needle(on, tuple((place, "") for place in sorted(set(marks)) if place < on))
    repeated, written = work(f"[{text}] {times} times, k1", needle), work(", ".join([text] * times) + ", k1", needle)
    assert (repeated.after, repeated.techniques, repeated.needle) == (written.after, written.techniques, written.needle)


@settings(max_examples=40, deadline=None)
@given(a_clause(), st.integers(1, 9))
@example(("k2tog, k2tog, C4B, C4B, kyok", 13, 13), 8)  # 105 is 5 x 21: but no count says that C4B is eight wide
def test_to_the_end_is_as_often_as_it_goes(clause: tuple[str, int, int], times: int) -> None:
    text, taken, _ = clause
    if taken == 0:
        return
    counted, to_end = work(f"[{text}] {times} times", taken * times), work(f"*{text}; rep from * to end", taken * times)
    assert (counted.after, counted.techniques) == (to_end.after, to_end.techniques)
    if taken > 1:
        assert "needs a multiple of" in error(f"*{text}; rep from * to end", taken * times + 1)[1]


@pytest.mark.parametrize(
    ("text", "markers"),
    [
        # Markers after 4, 9 and 15 of 20 stitches; one stitch is made before the marker that is meant.
        ("k to marker, m1, k to end", (5, 10, 16)),
        ("k to 2nd marker, m1, k to end", (4, 10, 16)),
        ("k to marker, sm, k to 2nd marker, m1, k to end", (4, 10, 16)),
        ("k to marker, sm, k to 3rd marker, m1, k to end", (4, 9, 16)),
        ("k to 3rd marker, m1, k to end", (4, 9, 16)),
    ],
)
def test_markers_are_counted_from_the_beginning_of_the_round(text: str, markers: tuple[int, ...]) -> None:
    done = work(text, Needle(20, ((4, ""), (9, ""), (15, ""))))
    assert tuple(place for place, _ in done.needle.markers) == markers
    assert done.after == 21


@pytest.mark.parametrize(
    ("text", "rounds"),
    [
        ("With MC, work 8 rounds of k2, p2 ribbing.", 8),
        ("With larger needles, work 8 rounds even.", 8),
        ("Rep last round, working 4 rounds of each colour.", 1),
    ],
)
def test_rounds_behind_a_comma_are_work_and_only_yarns_by_turns_are_told(text: str, rounds: int) -> None:
    worked = work_lines(["Rnd 1: K all sts.", text], Needle(40), colours=frozenset({"MC"}))
    assert sum(run.times for run in worked.rounds) == 1 + rounds


def test_what_is_put_back_is_on_the_needle_where_nothing_is_held() -> None:
    (line,) = count_lines(["Return held sts to needle, pick up and k 2 sts, k to end."], (9,)).lines
    assert line.stitches == (11,)
