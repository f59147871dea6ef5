"""The house's ``dataclass`` does what the standard library's does, for whatever the house asks of it."""

from __future__ import annotations

import copy
import dataclasses
import pickle
from collections.abc import Callable
from dataclasses import field
from typing import Any

import pytest

from lessonplan import records
from lessonplan.course.problems import Problem, Where


def _kinds(dataclass: Callable[..., Any]) -> list[Any]:
    """Classes of every manner that the house has, made by one of the two."""

    @dataclass(frozen=True, slots=True)
    class Round:
        """Defaults of both sorts, a field that is not compared and one that is not shown."""

        number: int
        words: str = "knit"
        stitches: list[int] = field(default_factory=list)
        where: str = field(default="", compare=False)
        secret: int = field(default=0, repr=False)

    @dataclass(frozen=True)
    class Counted:
        """A field that it works out itself, once it is filled."""

        number: int
        twice: int = field(init=False)

        def __post_init__(self) -> None:
            object.__setattr__(self, "twice", 2 * self.number)

    @dataclass(slots=True)
    class Heap:
        """One that may change."""

        number: int
        made: list[int] = field(default_factory=list, init=False)

    @dataclass(frozen=True, slots=True, kw_only=True)
    class Job:
        """Fields by name alone, of which the first has a default."""

        piece: str = "a"
        number: int

    @dataclass(frozen=True, slots=True, eq=False, repr=False)
    class Only:
        """One that equals only itself."""

        number: int

    @dataclass(frozen=True, slots=True)
    class Shown:
        """One with words and a hash of its own."""

        number: int

        def __repr__(self) -> str:
            return "mine"

        def __hash__(self) -> int:
            return 7

    @dataclass(frozen=True, slots=True)
    class Longer(Round):
        """One that adds a field to another's."""

        more: float = 1.5

    @dataclass(frozen=True, slots=True)
    class Empty:
        """No field at all."""

    return [Round, Counted, Heap, Job, Only, Shown, Longer, Empty]


def _said(kind: Any) -> list[object]:
    """What can be seen of a class and of what is made of it."""
    given: list[dict[str, Any]] = [{"number": 3}, {"number": 3}, {"number": 4}, {}]
    given += [
        {"number": 3, "words": "purl"},
        {"number": 3, "where": "x"},
        {"number": 3, "secret": 2, "more": 2.0},
        {"other": 1},
        {"number": 1, "twice": 2},
    ]
    made: list[Any] = []
    seen: list[object] = [kind.__doc__, kind.__match_args__, [each.name for each in dataclasses.fields(kind)]]
    for one in given:
        try:
            made.append(kind(**one))
        except TypeError:
            seen.append(f"refused {one}")
    for called in ((3,), (3, "purl", [1]), ()):
        try:
            made.append(kind(*called))
        except TypeError:
            seen.append("refused in order")
    seen.append([[one == other for other in made] for one in made])
    for one in made:
        seen += [repr(one).partition(" object at")[0], repr(copy.copy(one)).partition(" object at")[0]]
        seen.append(one == object() or hasattr(one, "__dict__"))
        if hasattr(one, "number"):
            try:
                one.number = one.number
                seen.append("changed")
            except dataclasses.FrozenInstanceError as refused:
                seen.append(type(refused))
    try:
        seen.append([[hash(one) == hash(other) for other in made if one == other] for one in made])
    except TypeError as refused:
        seen.append(str(refused))
    return [*seen, [dataclasses.asdict(one) for one in made if hasattr(one, "number")]]


@pytest.mark.parametrize("at", range(8))
def test_it_does_what_the_standard_one_does(at: int) -> None:
    assert _said(_kinds(records.dataclass)[at]) == _said(_kinds(dataclasses.dataclass)[at])


def test_two_of_a_factory_share_nothing_and_what_lacks_is_named() -> None:
    kind = _kinds(records.dataclass)[0]
    one, other = kind(1), kind(1)
    one.stitches.append(4)
    assert other.stitches == []
    assert dataclasses.replace(one, words="purl").stitches == [4]
    with pytest.raises(TypeError, match=r"Round\.__init__\(\) missing 1 required positional argument: 'number'"):
        kind()


def test_one_goes_to_another_process() -> None:
    problem = Problem(Where("course.yaml", 3, 1), "error", "unknown-key", "There is no such key.")
    assert pickle.loads(pickle.dumps(problem)) == problem
