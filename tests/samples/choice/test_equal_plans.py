"""Of plans that cost the same the one is taken that suits the shoot: each preference where nothing else decides.

Each is tried with the demands in either order, so that it cannot be the order of the question that decides.
"""

from __future__ import annotations

import pytest

from lessonplan.samples.choice import Choice, Demand, Ready, Slot, Spell, Way, Weights
from lessonplan.samples.choice.solver import OPTIONS
from tests.samples.choice.test_rules import LOOSE, move, plan, served, shoot, show, spare


def by_ready(answer: Choice) -> dict[str, list[str]]:
    """The demands that each piece that was ready serves."""
    return {piece.ready: [stop.demand for stop in piece.stops] for piece in answer.pieces if piece.ready}


@pytest.mark.parametrize("seed", range(6))
def test_of_plans_of_equal_cost_a_piece_goes_on_with_what_is_filmed_next(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another seed stands for another version of the solver, which takes other turns to the same plan."""
    monkeypatch.setitem(OPTIONS, "random_seed", seed)
    either = [Way("full", (3, 0), (3, 0)), Way("full", (5, 0), (5, 0))]
    anyhow = [Demand(name, slot, tuple(either)) for name, slot in (("c", 4), ("f", 10))]
    demands = [show("a", 0, (3, 0)), show("b", 2, (5, 0)), *anyhow, show("d", 6, (5, 0)), show("e", 8, (3, 0))]
    assert served(plan(demands, shoot(*[Slot(0)] * 5))) == [["a", "e", "f"], ["b", "c", "d"]]


def test_of_plans_of_equal_cost_the_work_has_the_most_room() -> None:
    """Ten minutes of work: b's piece has 12 minutes for it, the other 34."""
    demands = [show("a", 0, (3, 0), count=2), show("b", 2, (3, 0)), show("c", 4, (4, 0))]
    answer = plan(demands, shoot(Slot(12, 12), Slot(12, 12)))
    assert sorted(served(answer)) == [["a", "b"], ["a", "c"]]


def test_the_first_of_pieces_that_are_ready_are_taken_first() -> None:
    ready = tuple(Ready(name, "full", (3, 0)) for name in ("one", "two", "three"))
    answer = plan([show("a", 0, (3, 0)), show("b", 0, (3, 0))], shoot(), ready=ready)
    assert (sorted(piece.ready for piece in answer.pieces), answer.unused) == (["one", "two"], ("three",))


def test_a_piece_that_is_ready_is_rather_left_as_it_is() -> None:
    # Old serves a as it is, or b with three rounds more: either way five rounds are made in all.
    old = (Ready("old", "full", (2, 0)),)
    for asked in ([show("a", 0, (2, 0)), show("b", 0, (5, 0))], [show("b", 0, (5, 0)), show("a", 0, (2, 0))]):
        answer = plan(asked, shoot(), ready=old)
        assert {one.ready: one.first for one in answer.pieces} == {"old": (2, 0), "": (5, 0)}


@pytest.mark.parametrize("first", ["full", "small"])
def test_where_any_kind_will_do_the_one_soonest_made_serves(first: str) -> None:
    kinds = (first, "small" if first == "full" else "full")
    asked = [show(kind, 2 * n, (5, 0), (kind,)) for n, kind in enumerate(kinds)]
    answer = plan([*asked, show("c", 4, (5, 0), ("full", "small"))], shoot(Slot(0), Slot(0)))
    assert sorted(served(answer)) == [["full"], ["small", "c"]]


@pytest.mark.parametrize("turned", [False, True])
def test_what_was_used_goes_to_the_spare_and_what_is_new_is_filmed(turned: bool) -> None:
    """Of three pieces two are made: the piece of a is there already, or must be knitted on for ten minutes."""
    for state, pause in (((5, 0), Slot(0)), ((4, 0), Slot(10, 10))):
        asked = [show("a", 0, state), move("b", 2, (5, 0), (6, 0)), spare("b", 2, (5, 0), (6, 0))]
        answer = plan(asked[::-1] if turned else asked, shoot(pause))
        assert sorted(served(answer)) == [["a", "b spare"], ["b"]]


@pytest.mark.parametrize("name", ["c", "x"])
def test_work_is_rather_done_for_a_spare_than_for_what_is_surely_used(name: str) -> None:
    """The spare stands nearer to a, so that there is less room for the work; and yet what is filmed is ready sooner."""
    asked = [show("a", 0, (4, 0)), spare(name, 2, (5, 0), (6, 0)), move("b", 4, (5, 0), (6, 0))]
    answer = plan(asked, shoot(Slot(10, 10), Slot(10, 10)))
    assert sorted(served(answer)) == [["a", f"{name} spare"], ["b"]]


def test_the_camera_waits_as_late_as_it_may() -> None:
    pauses = [Slot(0, 0, 10)] * 3
    answer = plan([show("a", 0, (5, 0)), show("b", 6, (6, 0))], shoot(*pauses), weights=Weights(20, waiting=1))
    assert answer.waits == (Spell(5, 10.0),)


@pytest.mark.parametrize("names", ["ab", "ba"])
def test_the_first_that_is_ready_goes_where_a_piece_is_wanted_first(names: str) -> None:
    ready = tuple(Ready(name, "full", (3, 0)) for name in ("one", "two", "three"))
    asked = [move(name, 2 * n, (3, 0), (4, 0)) for n, name in enumerate(names)]
    for demands in (asked, asked[::-1]):
        assert by_ready(plan(demands, shoot(Slot(0)), ready=ready)) == {"one": [names[0]], "two": [names[1]]}


@pytest.mark.parametrize("there", [("a", "b", "c"), ("c", "b", "a"), ("b", "c", "a")])
def test_what_was_agreed_goes_where_it_was_to_go(there: tuple[str, ...]) -> None:
    """Three pieces alike, one for each of three shots; a fourth, agreed for nothing, would do as well."""
    alike = [Ready(f"r{name}", "full", (3, 0), letter=name.upper(), serves=(name,)) for name in there]
    asked = [move(name, 2 * n, (3, 0), (4, 0)) for n, name in enumerate("abc")]
    for ready in ((Ready("more", "full", (3, 0), letter="M"), *alike), (*alike, Ready("more", "full", (3, 0)))):
        answer = plan(asked, shoot(Slot(0), Slot(0)), ready=tuple(ready))
        assert by_ready(answer) == {f"r{name}": [name] for name in "abc"}
        assert answer.cost == 0


@pytest.mark.parametrize("last", [("c", "d"), ("d", "c")])
def test_what_was_agreed_also_goes_on_to_where_it_was_to_go(last: tuple[str, str]) -> None:
    """Two pieces alike, each shown twice, go on as agreed and not crosswise, resting or knitted on for ten minutes."""
    for state, pause in (((3, 0), Slot(0)), ((4, 0), Slot(20, 20))):
        ready = tuple(
            Ready(one, "full", (3, 0), letter=one.upper(), serves=(one, then))
            for one, then in zip("ab", last, strict=True)
        )
        first = [show("a", 0, (3, 0)), show("b", 0, (3, 0))]
        answer = plan([*first, show("c", 2, state), show("d", 2, state)], shoot(pause), ready=ready)
        assert by_ready(answer) == {"a": ["a", last[0]], "b": ["b", last[1]]}


@pytest.mark.parametrize("names", ["abx", "axb", "xab"])
def test_what_goes_on_as_agreed_is_left_for_that(names: str) -> None:
    """Three pieces alike, shown one after the other: that of a goes on to c, that of b to d, and x may serve any."""
    onward = {"a": ("c",), "b": ("d",), "x": ()}
    ready = tuple(Ready(one, "full", (3, 0), letter=one.upper(), serves=(one, *onward[one])) for one in "abx")
    asked = [show(name, n, (3, 0), until=2) for n, name in enumerate(names)]
    for last in ("cde", "ecd", "dec"):
        later = [show(name, 4 + n, (3, 0), until=6) for n, name in enumerate(last)]
        answer = plan([*asked, *later], shoot(*[Slot(0)] * 3), ready=ready)
        assert by_ready(answer) == {"a": ["a", "c"], "b": ["b", "d"], "x": ["x", "e"]}


def test_agreed_or_not_the_cheaper_plan_is_taken() -> None:
    """Agreed for b, R would be ripped back there by two rounds, and S knitted on for a."""
    ready = (Ready("r", "full", (5, 0), letter="R", serves=("b",)), Ready("s", "full", (3, 0), letter="S"))
    asked = [move("a", 0, (5, 0), (6, 0)), move("b", 0, (3, 0), (4, 0))]
    answer = plan(asked, shoot(), ready=ready, ladders=LOOSE)
    assert (answer.cost, by_ready(answer)) == (0, {"r": ["a"], "s": ["b"]})
