"""The rules of the trade, one by one, on shoots small enough to see the answer."""

from __future__ import annotations

import dataclasses
from typing import Any

import pytest

from lessonplan.samples.choice import (
    Choice,
    Demand,
    Ladder,
    Limit,
    NoPlanError,
    Question,
    Ready,
    Slot,
    Spell,
    State,
    Way,
    Weights,
)
from lessonplan.samples.choice.choose import bound, choose, cost_without, without
from tests.samples.choice.walk import faults

TEN = tuple(10.0 * n for n in range(11))
FIVE = tuple(5.0 * n for n in range(11))
ONE = tuple(1.0 * n for n in range(11))
FREE, FOR_GOOD = (0,) * 11, tuple(range(11))


def ladder(minutes: tuple[float, ...], *, fixed: tuple[int, ...] = FOR_GOOD, dry: float = 600.0) -> Ladder:
    """Ten rounds of hand, ten of thumb, whose last must dry; ripping a round back takes a minute."""
    still = (0.0,) * 11
    return Ladder(
        stages=("hand", "thumb"),
        before=((), (0,)),
        bench=(minutes, minutes),
        floor=(minutes, minutes),
        ripping=(ONE, ONE),
        drying=(still, (0.0,) * 10 + (dry,)),
        fixed=(fixed, fixed),
    )


LADDERS = {"full": ladder(TEN), "small": ladder(FIVE)}
LOOSE = {"full": ladder(TEN, fixed=FREE)}
WEIGHTS = Weights(20)
NEEDS = "cannot be reached: a stage is begun before those it needs are complete"
LACKS = "the state it ends in lacks something of the state it starts in"


def show(name: str, slot: int, state: State, kinds: tuple[str, ...] = ("full",), **more: Any) -> Demand:
    return Demand(name, slot, tuple(Way(kind, state, state) for kind in kinds), **more)


def move(name: str, slot: int, start: State, end: State, **more: Any) -> Demand:
    return Demand(name, slot, (Way("full", start, end),), **more)


def spare(name: str, slot: int, start: State, end: State) -> Demand:
    return Demand(f"{name} spare", slot, (Way("full", start, end, start),), spare=True, group=name)


def shoot(*pauses: Slot, helpers: int = 0) -> tuple[Slot, ...]:
    """Shots of ten minutes, with pauses between: shot i is slot 2 i."""
    found = [Slot(10, 10 * helpers)]
    for pause in pauses:
        found += [pause, Slot(10, 10 * helpers)]
    return tuple(found)


def plan(demands: list[Demand], slots: tuple[Slot, ...], **more: Any) -> Choice:
    asked = question(demands, slots, **more)
    answer = choose(asked)
    assert faults(asked, answer) == []
    assert answer.optimal
    assert answer.gap == 0
    assert bound(asked) <= answer.cost + 1e-6
    return answer


def question(demands: list[Demand], slots: tuple[Slot, ...], **more: Any) -> Question:
    return Question(
        **{"ladders": LADDERS, "demands": tuple(demands), "slots": slots, "ready": (), "weights": WEIGHTS, **more}
    )


def served(answer: Choice) -> list[list[str]]:
    return [[stop.demand for stop in piece.stops] for piece in answer.pieces]


def test_a_piece_only_shown_serves_again() -> None:
    asked = [show("a", 0, (5, 0)), show("b", 2, (5, 0)), show("c", 4, (5, 0))]
    answer = plan(asked, shoot(Slot(5), Slot(5)))
    assert served(answer) == [["a", "b", "c"]]
    assert (answer.cost, answer.bench_minutes, answer.naive_cost, answer.naive_pieces) == (70, 50, 210, 3)


def test_each_stop_is_worked_on_for_from_what_the_one_before_left() -> None:
    """Shown after 5, 6 and 8 rounds, with a quarter of an hour for each ten minutes of a round in between."""
    answer = plan([show("a", 0, (5, 0)), show("b", 2, (6, 0)), show("c", 4, (8, 0))], shoot(Slot(15, 15), Slot(30, 30)))
    (piece,) = answer.pieces
    first, second, third = piece.stops
    assert [piece.before(stop) for stop in piece.stops] == [None, first, second]
    assert [piece.brought(stop) for stop in (first, second, third)] == [(5, 0), (5, 0), (6, 0)]


def test_nobody_knits_in_a_pause_of_which_nothing_is_said() -> None:
    one = {"ladders": {"full": ladder(ONE)}}
    for pause, pieces in ((Slot(15), 2), (Slot(15, 1), 1)):
        assert len(plan([show("a", 0, (5, 0)), show("b", 2, (6, 0))], shoot(pause), **one).pieces) == pieces


def test_two_in_one_shot_are_two_pieces() -> None:
    answer = plan([show("a", 0, (5, 0)), show("b", 0, (5, 0)), show("c", 2, (5, 0))], shoot(Slot(5)))
    assert len(answer.pieces) == 2


def test_a_piece_stays_on_the_table_as_long_as_it_is_asked_for() -> None:
    slots = shoot(Slot(30, 30), Slot(30, 30))
    there = [show("a", 0, (5, 0), until=2), show("b", 2, (5, 0))]
    assert len(plan(there, slots).pieces) == 2
    onward = [show("a", 0, (5, 0), until=2), show("b", 4, (6, 0))]
    assert plan(onward, slots).pieces[0].stops[1].spells == (Spell(3, 10.0),)


def test_what_cannot_be_taken_back_stays() -> None:
    assert len(plan([show("a", 0, (6, 0)), show("b", 2, (5, 0))], shoot(Slot(600, 600))).pieces) == 2


def test_a_piece_is_ripped_back_and_knitted_on_when_there_is_time() -> None:
    asked = [show("a", 0, (7, 0)), show("b", 2, (5, 0))]
    back = plan(asked, shoot(Slot(2, 2)), ladders=LOOSE)
    assert [(stop.ripping, stop.worked) for stop in back.pieces[0].stops] == [(0, 0), (2, 2)]
    assert back.floor_minutes == 2
    assert back.cost == 20 + 70 + 2
    assert len(plan(asked, shoot(Slot(1.9, 1.9)), ladders=LOOSE).pieces) == 2
    # From the hand's end with two rounds of thumb to the hand's round 9: back by three rounds, two of them thumb.
    aside = [show("a", 0, (10, 2)), show("b", 2, (9, 0))]
    assert plan(aside, shoot(Slot(3, 3)), ladders=LOOSE).pieces[0].stops[1].ripping == 3


def test_one_thumb_is_taken_back_before_the_other_is_gone_on_with() -> None:
    """By hand: a minute of ripping and 10 of knitting, an hour to dry, 20 more, and an hour to dry."""
    two = Ladder(
        stages=("hand", "left", "right"),
        before=((), (0,), (0,)),
        bench=((0.0, 90.0), (0.0, 90.0), (0.0, 90.0, 180.0)),
        floor=((0.0, 10.0), (0.0, 10.0), (0.0, 10.0, 30.0)),
        ripping=((0.0, 1.0), (0.0, 1.0), (0.0, 1.0, 2.0)),
        drying=((0.0, 0.0), (0.0, 0.0), (0.0, 60.0, 120.0)),
        fixed=((0, 0), (0, 0), (0, 0, 0)),
    )
    between = (Slot(15, 15), Slot(60), Slot(30, 30), Slot(60))
    asked = [show("a", 0, (1, 1, 0)), show("b", 5, (1, 0, 2))]
    answer = plan(asked, (Slot(10), *between, Slot(10)), ladders={"full": two})
    (stop,) = answer.pieces[0].stops[1:]
    assert (stop.ripping, stop.worked, answer.floor_minutes) == (1, 31, 31)
    assert stop.spells == (Spell(1, 11.0), Spell(3, 20.0))
    assert stop.drying == (Spell(2, 60.0), Spell(4, 60.0))


def test_only_what_can_be_taken_back_is_ripped() -> None:
    once = tuple(int(n > 5) for n in range(11))
    some = {"full": ladder(TEN, fixed=once)}
    assert len(plan([show("a", 0, (9, 0)), show("b", 2, (6, 0))], shoot(Slot(60, 60)), ladders=some).pieces) == 1
    assert len(plan([show("a", 0, (9, 0)), show("b", 2, (5, 0))], shoot(Slot(60, 60)), ladders=some).pieces) == 2


def test_after_a_move_the_piece_is_where_it_was_moved_to() -> None:
    answer = plan([move("a", 0, (5, 0), (7, 0)), show("b", 2, (7, 0))], shoot(Slot(5)))
    assert served(answer) == [["a", "b"]]
    assert answer.pieces[0].stops[0].end == (7, 0)


def test_the_next_take_is_the_same_piece_ripped_back_or_another() -> None:
    again = (Way("full", (5, 0), (7, 0), None, "take 1"), Way("full", (5, 0), (7, 0), (5, 0)))
    asked = [move("take 1", 0, (5, 0), (7, 0)), Demand("take 2", 2, again, group="take 1")]
    back = plan(asked, shoot(Slot(2, 2)), ladders=LOOSE)
    assert served(back) == [["take 1", "take 2"]]
    assert [stop.copy for stop in back.pieces[0].stops] == [1, 2]
    for_good = plan(asked, shoot(Slot(60, 60)))
    assert served(for_good) == [["take 1"], ["take 2"]]
    # A third piece in that state does not become the very one that was filmed.
    other = [show("a", 0, (5, 0)), *asked]
    assert sorted(served(plan(other, shoot(Slot(1, 1)), ladders=LOOSE))) == [["a", "take 2"], ["take 1"]]


def test_a_second_piece_for_a_take_is_where_it_may_be_either_way() -> None:
    again = (Way("full", (5, 0), (7, 0), None, "take 1"), Way("full", (5, 0), (7, 0), (5, 0)))
    asked = [move("take 1", 0, (5, 0), (7, 0)), Demand("take 2", 0, again)]
    later = [*asked, show("b", 2, (5, 0)), show("c", 2, (8, 0)), show("d", 2, (8, 0))]
    answer = plan(later, shoot(Slot(60, 60)))
    assert sorted(sorted(names)[-1] for names in served(answer)) == ["b", "take 1", "take 2"]
    assert len(answer.pieces) == 3
    assert answer.floor_minutes == 10 + 30


def test_several_copies_come_from_one_pool_filled_in_several_shots() -> None:
    asked = [show("a", 0, (5, 0)), show("b", 0, (5, 0)), show("c", 2, (5, 0))]
    answer = plan([*asked, move("d", 4, (5, 0), (6, 0), count=2)], shoot(Slot(5), Slot(5)))
    assert len(answer.pieces) == 2
    assert sorted(stop.copy for piece in answer.pieces for stop in piece.stops if stop.demand == "d") == [1, 2]


def test_what_has_gone_on_is_not_there_for_another() -> None:
    """Of two shown after five rounds one is knitted on for z; y makes another of five, and two are shown at the end."""
    asked = [show("x", 0, (5, 0), count=2), show("z", 2, (6, 0)), move("y", 4, (4, 0), (5, 0))]
    answer = plan([*asked, show("v", 6, (5, 0), count=2)], shoot(Slot(10, 10), Slot(0), Slot(0)))
    assert sorted(served(answer)) == [["x", "v"], ["x", "z"], ["y", "v"]]


def test_a_spare_is_a_further_piece_and_serves_only_what_holds_either_way() -> None:
    asked = [move("a", 0, (5, 0), (6, 0)), spare("a", 0, (5, 0), (6, 0))]
    back = plan([*asked, show("b", 2, (5, 0))], shoot(Slot(60, 60)), ladders=LOOSE)
    assert "b" not in next(names for names in served(back) if "a spare" in names)
    on = plan([*asked, show("b", 2, (7, 0)), show("c", 2, (7, 0))], shoot(Slot(60, 60)))
    assert len(on.pieces) == 2
    assert on.floor_minutes == 30  # ten for the piece that was filmed, twenty for the spare
    assert sorted(stop.copy for piece in on.pieces for stop in piece.stops[:1]) == [1, 2]
    told = {stop.demand: stop.spare for piece in on.pieces for stop in piece.stops}
    assert told == {"a": False, "a spare": True, "b": False, "c": False}


def test_what_is_only_shown_may_be_in_any_of_several_states() -> None:
    some = tuple(Way("full", (n, 0), (n, 0)) for n in (3, 5, 8))
    answer = plan([show("a", 0, (5, 0)), Demand("b", 2, some)], shoot(Slot(5)))
    assert answer.pieces[0].stops[1].way == some[1]
    assert answer.cost == 20 + 50
    assert plan([show("a", 0, (7, 0)), Demand("b", 2, some)], shoot(Slot(10, 10))).floor_minutes == 10
    alone = plan([Demand("b", 0, some)], shoot())
    assert alone.pieces[0].first == (3, 0)


def test_a_piece_keeps_its_kind() -> None:
    asked = [show("a", 0, (5, 0), ("small",)), show("b", 2, (5, 0))]
    assert sorted(piece.kind for piece in plan(asked, shoot(Slot(600, 600))).pieces) == ["full", "small"]


def test_a_shot_that_accepts_small_pieces_gets_one() -> None:
    answer = plan([show("a", 0, (8, 0), ("full", "small"))], shoot())
    assert (answer.pieces[0].kind, answer.bench_minutes, answer.naive_minutes) == ("small", 40, 40)


def test_what_is_apart_serves_nothing_else() -> None:
    asked = [show("a", 0, (5, 0)), show("b", 2, (5, 0), apart=True), show("c", 4, (5, 0))]
    answer = plan(asked, shoot(Slot(600, 600), Slot(600, 600)))
    assert sorted(served(answer)) == [["a", "c"], ["b"]]
    drawer = (Ready("old", "full", (5, 0)),)
    assert plan([asked[1]], shoot(Slot(1)), ready=drawer).unused == ("old",)
    set_apart = (Ready("old", "full", (5, 0), only_for="b"),)
    assert plan(asked, shoot(Slot(1), Slot(1)), ready=set_apart).cost == 20 + 50
    assert plan([asked[0]], shoot(), ready=(Ready("old", "full", (5, 0), only_for="b"),)).unused == ("old",)


def test_a_helper_knits_in_the_shots_between_but_not_in_the_piece_s_own() -> None:
    asked = [show("a", 0, (5, 0)), show("b", 4, (6, 0))]
    between = plan(asked, shoot(Slot(0), Slot(0), helpers=1))
    assert between.pieces[0].stops[1].spells == (Spell(2, 10.0),)
    assert len(plan([asked[0], show("b", 2, (6, 0))], shoot(Slot(0), Slot(0), helpers=1)).pieces) == 2


def test_two_pieces_share_one_pair_of_hands() -> None:
    asked = [show("a", 0, (5, 0)), show("b", 0, (5, 0)), show("c", 2, (6, 0)), show("d", 2, (6, 0))]
    assert len(plan(asked, shoot(Slot(30, 20))).pieces) == 2
    assert len(plan(asked, shoot(Slot(30, 19))).pieces) == 3


def test_two_helpers_cannot_knit_on_one_piece_at_once() -> None:
    asked = [show("a", 0, (5, 0)), show("b", 2, (7, 0))]
    assert len(plan(asked, shoot(Slot(20, 40))).pieces) == 1
    assert len(plan(asked, shoot(Slot(19, 40))).pieces) == 2


def test_the_pace_on_the_set_is_its_own() -> None:
    slow = {"full": dataclasses.replace(LADDERS["full"], floor=(tuple(15.0 * n for n in range(11)), TEN))}
    asked = [show("a", 0, (5, 0)), show("b", 2, (6, 0))]
    assert plan(asked, shoot(Slot(15, 15)), ladders=slow).floor_minutes == 15
    assert len(plan(asked, shoot(Slot(14, 14)), ladders=slow).pieces) == 2


def test_the_camera_waits_when_that_is_cheaper() -> None:
    asked = [show("a", 0, (5, 0)), show("b", 2, (6, 0))]
    answer = plan(asked, shoot(Slot(5, 4, 8)), weights=Weights(20, waiting=5))
    assert [wait.slot for wait in answer.waits] == [1]
    assert answer.waiting_minutes == pytest.approx(6)
    assert answer.cost == pytest.approx(20 + 50 + 10 + 6 * 5)
    assert answer.costs.waiting == pytest.approx(30)
    assert plan(asked, shoot(Slot(5, 4, 8)), weights=Weights(20, waiting=50)).waits == ()


def test_drying_needs_clock_time_after_the_work() -> None:
    asked = [show("a", 0, (10, 9)), show("b", 3, (10, 10))]

    def pieces(*between: Slot) -> int:
        return len(plan(asked, (Slot(10), *between, Slot(10))).pieces)

    assert pieces(Slot(10, 10), Slot(600)) == 1
    assert pieces(Slot(10, 9), Slot(600)) == 2
    # The hands come when it is too late to dry: minutes enough, but not in this order.
    assert pieces(Slot(600), Slot(10, 10)) == 2
    # A drying begins with a slot: within one slot nobody knows when the work in it was done.
    assert pieces(Slot(610, 10), Slot(0)) == 2


def test_what_was_made_wet_in_the_shot_dries_after_it() -> None:
    asked = [move("a", 0, (10, 9), (10, 10)), show("b", 2, (10, 10))]
    assert len(plan(asked, shoot(Slot(599))).pieces) == 2
    dry = plan(asked, shoot(Slot(600)))
    assert served(dry) == [["a", "b"]]
    assert dry.pieces[0].stops[1].drying == (Spell(1, 600.0),)
    assert dry.floor_minutes == 0


def test_later_work_waits_for_the_drying() -> None:
    wet = dataclasses.replace(LADDERS["full"], drying=((0.0,) * 10 + (60.0,), (0.0,) * 11))
    asked = [show("a", 0, (9, 0)), show("b", 4, (10, 1))]

    def answer(*between: Slot) -> Choice:
        return plan(asked, (Slot(10), *between, Slot(10)), ladders={"full": wet})

    done = answer(Slot(15, 15), Slot(60, 60), Slot(15, 15))
    assert done.pieces[0].stops[1].spells == (Spell(1, 10.0), Spell(3, 10.0))
    assert done.pieces[0].stops[1].drying == (Spell(2, 60.0),)
    assert len(answer(Slot(15, 15), Slot(75, 75), Slot(0)).pieces) == 2
    assert len(answer(Slot(5, 5), Slot(75, 75), Slot(15, 15)).pieces) == 2


def test_the_camera_may_wait_until_a_piece_is_dry() -> None:
    asked = [show("a", 0, (10, 9)), show("b", 3, (10, 10))]
    cheap, dear = Weights(20, waiting=1), Weights(20, waiting=25)

    def answer(most: float, weights: Weights) -> Choice:
        return plan(asked, (Slot(10), Slot(10, 10), Slot(590, 0, most), Slot(10)), weights=weights)

    assert answer(30, cheap).waits == (Spell(2, 10.0),)
    assert len(answer(30, dear).pieces) == 2
    assert len(answer(9, cheap).pieces) == 2


def test_a_piece_from_the_drawer_is_knitted_on() -> None:
    answer = plan([show("a", 0, (5, 0))], shoot(), ready=(Ready("old", "full", (3, 0)),))
    assert (answer.pieces[0].ready, answer.bench_minutes, answer.cost) == ("old", 20, 20)
    dearer = Ready("old", "full", (3, 0), weight=60.0)
    assert plan([show("a", 0, (5, 0))], shoot(), ready=(dearer,)).unused == ("old",)


def test_a_piece_from_the_drawer_is_ripped_back_if_that_can_be() -> None:
    old = (Ready("old", "full", (8, 0)),)
    assert plan([show("a", 0, (5, 0))], shoot(), ready=old).unused == ("old",)
    answer = plan([show("a", 0, (5, 0))], shoot(), ready=old, ladders=LOOSE)
    assert (answer.bench_minutes, answer.cost) == (3, 3)


def test_a_piece_that_is_ready_comes_to_no_demand_it_is_kept_from() -> None:
    # By hand: the old one serves a, b and c for nothing. Kept from b it serves c, perhaps a, and b is a new piece of
    # five rounds; kept from a and c as well it serves nothing, and one new piece serves all three.
    asked, pauses = [show("a", 0, (5, 0)), show("b", 2, (5, 0)), show("c", 4, (5, 0))], shoot(Slot(1), Slot(1))

    def kept(*names: str) -> Choice:
        return plan(asked, pauses, ready=(Ready("old", "full", (5, 0), not_for=frozenset(names)),))

    assert [(one.ready, stops) for one, stops in zip(kept().pieces, served(kept()), strict=True)] == [
        ("old", ["a", "b", "c"])
    ]
    answer = kept("b")
    found = {one.ready: (one.kind, "b" in stops) for one, stops in zip(answer.pieces, served(answer), strict=True)}
    assert found == {"old": ("full", False), "": ("full", True)}
    assert (answer.cost, {stop.way.kind for one in answer.pieces for stop in one.stops}) == (70, {"full"})
    assert (kept("a", "b", "c").unused, served(kept("a", "b", "c"))) == (("old",), [["a", "b", "c"]])


def test_what_was_agreed_is_not_paid_again_and_keeps_its_letter() -> None:
    agreed = (Ready("g", "full", (2, 0), agreed=(5, 0), letter="G"),)
    same = plan([show("a", 0, (5, 0)), show("b", 0, (5, 0))], shoot(), ready=agreed)
    assert [(piece.name, piece.bench) for piece in same.pieces] in ([("G", 30), ("A", 50)], [("A", 50), ("G", 30)])
    assert same.cost == 20 + 50
    # Two rounds more than agreed are paid, and so is the change; two fewer cost the change alone.
    assert plan([show("a", 0, (7, 0))], shoot(), ready=agreed).cost == 20 + 1
    assert plan([show("a", 0, (3, 0))], shoot(), ready=agreed).cost == 1
    assert plan([show("a", 0, (3, 0))], shoot(), ready=agreed).costs.change == 1


def test_letters_skip_those_that_are_taken() -> None:
    ready = (Ready("one", "full", (9, 0), letter="A"), Ready("two", "full", (1, 0)))
    answer = plan([show(f"s{n}", 0, (5, 0)) for n in range(3)], shoot(), ready=ready)
    assert [piece.name for piece in answer.pieces] == ["B", "C", "D"]
    many = plan([show(f"s{n:02}", 0, (0, 0)) for n in range(28)], shoot())
    assert [piece.name for piece in many.pieces][24:] == ["Y", "Z", "AA", "AB"]


@pytest.mark.parametrize(
    ("ways", "said"),
    [
        ([], "it accepts only no kind at all, which the ladder does not have"),
        ([Way("huge", (5, 0), (5, 0))], "it accepts only huge, which the ladder does not have"),
        (
            [Way("huge", (5, 0), (5, 0)), Way("tiny", (1, 0), (1, 0)), Way("huge", (6, 0), (6, 0))],
            "it accepts only huge or tiny, which the ladder does not have",
        ),
        ([Way("full", (5, 1), (10, 2))], f"the state it starts in {NEEDS}"),
        ([Way("full", (5, 0), (6, 1))], f"the state it ends in {NEEDS}"),
        ([Way("full", (5, 0), (6, 0), (11, 0))], f"the state it counts from in {NEEDS}"),
        ([Way("full", (5,), (5,))], f"the state it starts in {NEEDS}"),
        ([Way("full", (5, 0), (4, 0))], LACKS),
        ([Way("full", (5, 0), (6, 0), (7, 0))], LACKS),
        ([Way("huge", (5, 0), (5, 0)), Way("full", (5, 0), (4, 0))], LACKS),
        ([Way("huge", (5, 0), (5, 0)), Way("full", (5, 0), (5, 0))], ""),
    ],
)
def test_why_nothing_can_serve_a_demand(ways: list[Way], said: str) -> None:
    asked = [Demand("a", 0, tuple(ways)), show("fine", 0, (5, 0))]
    whole = question(asked, shoot())
    assert whole.why_impossible(whole.demands[0]) == said
    assert served(plan(asked, shoot())) == [["a"], ["fine"]] if not said else [["fine"]]


def test_nothing_asked_no_pieces() -> None:
    answer = plan([], ())
    assert (answer.pieces, answer.cost, answer.naive_cost, answer.optimal) == ((), 0, 0, True)


def test_the_same_question_gives_the_same_plan() -> None:
    asked = [show(f"a{n}", n % 4 * 2, (5, 0)) for n in range(8)]
    slots = shoot(Slot(5), Slot(5), Slot(5))
    assert plan(asked, slots) == plan(asked, slots)
    assert plan(asked, slots) == plan(asked[::-1], slots)


def plain(value: object) -> bool:
    """Whether a value is made of Python's own numbers and texts only."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return all(plain(getattr(value, field.name)) for field in dataclasses.fields(value))
    if isinstance(value, tuple):
        return all(plain(item) for item in value)
    return value is None or type(value) in (int, float, bool, str)


def test_the_answer_holds_plain_numbers() -> None:
    asked = [show("a", 0, (5, 0)), show("b", 2, (6, 0)), show("c", 2, (6, 0), ("full", "small"))]
    assert plain(plan(asked, shoot(Slot(5, 4, 8)), weights=Weights(20, waiting=1)))


def test_cost_without_a_piece_takes_the_next_best_way() -> None:
    asked = question([show("a", 0, (2, 0)), show("b", 2, (6, 0), ("full", "small"))], shoot(Slot(60, 60)))
    whole = choose(asked)
    assert served(whole) == [["a", "b"]]
    assert cost_without(asked, whole.pieces[0], whole) is None  # nothing else can serve the first shot
    either = question([show("a", 0, (6, 0), ("full", "small"))], shoot())
    small = choose(either)
    assert small.cost == 50
    assert cost_without(either, small.pieces[0], small) == 80


def test_however_dear_it_is_it_can_be_filmed() -> None:
    """The wait of an hour at 120 a minute is dearer than any piece, and yet it is a way."""
    asked = question(
        [show("a", 0, (2, 0)), show("b", 2, (8, 0))],
        shoot(Slot(0, 0, 60)),
        weights=Weights(20, waiting=120),
        limits=(Limit("full", (8, 0), 0),),
    )
    assert choose(asked).cost == 20 + 20 + 60 + 60 * 120
    with pytest.raises(NoPlanError):
        choose(dataclasses.replace(asked, slots=shoot(Slot(0, 0, 59))))


def test_cost_without_a_ready_piece_is_that_of_an_empty_drawer() -> None:
    asked = question([show("a", 0, (5, 0))], shoot(), ready=(Ready("old", "full", (3, 0)),))
    whole = choose(asked)
    assert cost_without(asked, whole.pieces[0], whole) == 70


def test_without_a_piece_that_is_apart_the_others_may_still_be_made() -> None:
    asked = question([show("a", 0, (5, 0)), show("b", 0, (5, 0), apart=True)], shoot())
    whole = choose(asked)
    apart = next(piece for piece in whole.pieces if piece.stops[0].demand == "b")
    assert without(asked, apart, whole).limits == (Limit("full", (5, 0), 0, "b"),)
    assert cost_without(asked, apart, whole) is None
    other = next(piece for piece in whole.pieces if piece.stops[0].demand == "a")
    assert without(asked, other, whole).limits == (Limit("full", (5, 0), 0),)


def test_progress_is_told_and_ends_with_the_bound_at_the_cost() -> None:
    told: list[tuple[float | None, float | None]] = []
    asked = question([show("a", 0, (5, 0)), show("b", 2, (5, 0))], shoot(Slot(5)))
    answer = choose(asked, progress=lambda *figures: told.append(figures))
    assert told[-1] == pytest.approx((answer.cost, answer.cost), abs=1e-3)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"demands": (show("a", 9, (1, 0)),)}, "not there"),
        ({"demands": (show("a", 1, (1, 0), until=3),)}, "not there"),
        ({"demands": (Demand("a", 0, (Way("full", (1, 0), (1, 0), None, "b"),)),)}, "not there"),
        (
            {"demands": (Demand("a", 0, (Way("full", (1, 0), (1, 0)), Way("full", (1, 0), (1, 0), None, "b"))),)},
            "not there",
        ),
        ({"demands": (show("a", 0, (1, 0)), show("a", 1, (1, 0)))}, "same name"),
        ({"slots": (Slot(1), Slot(-1), Slot(1))}, "negative"),
        ({"slots": (Slot(1), Slot(1, -1), Slot(1))}, "negative"),
        ({"demands": (show("a", 0, (1, 0), count=-1),)}, "negative number"),
        ({"ready": (Ready("r", "huge", (1, 0)),)}, "not there"),
        ({"ready": (Ready("r", "full", (1, 1)),)}, "not there"),
        ({"ready": (Ready("r", "full", (1, 0)), Ready("r", "full", (1, 0)))}, "same name"),
        ({"ladders": {**LADDERS, "odd": Ladder((), (), (), (), (), (), ())}}, "same stages"),
    ],
)
def test_a_question_that_makes_no_sense_is_refused(change: dict[str, Any], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        question(**{"demands": [show("a", 0, (1, 0))], "slots": shoot(Slot(1)), **change})


def test_a_weight_is_not_negative() -> None:
    with pytest.raises(ValueError, match="negative"):
        Weights(20, change=-1)


@pytest.mark.parametrize(
    "change",
    [
        {"before": ()},
        {"before": ((0,),)},
        {"before": ((3,),)},
        {"floor": ((0.0, 2.0, 1.0),)},
        {"bench": ((0.0, 2.0, 1.0),), "floor": ((0.0, 1.0, 1.0),)},
        {"bench": ((0.0,),)},
        {"bench": ((),)},
        {"ripping": ()},
        {"fixed": ((1, 0),)},
    ],
)
def test_a_ladder_checks_itself(change: dict[str, Any]) -> None:
    one = dict.fromkeys(("bench", "floor", "ripping", "drying"), ((0.0, 1.0),))
    whole: dict[str, Any] = {"stages": ("a",), "before": ((),), "fixed": ((0, 0),), **one}
    Ladder(**whole)
    with pytest.raises(ValueError, match=r"stage|ladder"):
        Ladder(**{**whole, **change})


def test_ladder_figures() -> None:
    full = LADDERS["full"]
    assert full.cost((10, 2)) == 120
    assert LADDERS["small"].between((4, 0), (10, 2)) == 40
    assert full.dried((10, 10)) == 600
    assert (full.is_state((10, 1)), full.is_state((9, 1)), full.is_state((11, 0))) == (True, False, False)
    with pytest.raises(ValueError, match="back"):
        full.between((5, 0), (4, 0))


def test_the_work_between_two_states_is_its_steps_in_order() -> None:
    """Knitting step by step: what needs drying holds up the rest, and steps without drying are one stretch."""
    two = Ladder(
        stages=("hand", "thumb"),
        before=((), (0,)),
        bench=((0, 1, 2, 3), (0, 1, 2)),
        floor=((0.0, 5.0, 11.0, 18.0), (0.0, 2.0, 5.0)),
        ripping=((0, 0, 0, 0), (0, 0, 0)),
        drying=((0.0, 0.0, 60.0, 60.0), (0.0, 0.0, 90.0)),
        fixed=((0, 0, 0, 0), (0, 0, 0)),
    )
    assert list(two.phases((0, 0), (3, 2))) == [(11, 60), (7 + 5, 90)]
    assert list(two.phases((1, 0), (2, 0))) == [(6, 60)]
    assert list(two.phases((2, 0), (3, 1))) == [(9, 0)]
    assert list(two.phases((3, 1), (3, 1))) == []
