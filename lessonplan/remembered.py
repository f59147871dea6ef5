"""Answers remembered: what a function worked out of frozen values is not worked out again of the same ones.

No answer can be stale, since it is found by the values that it was worked out of, never by a name or a time; and few
are kept, the last ones (`remembered`), or those of the last few plans (`remembered_each`), so that memory stays bounded
however long a process lives.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from operator import is_
from typing import ParamSpec, TypeVar

P = ParamSpec("P")
Answer = TypeVar("Answer")


def remembered(keep: int, *, equal: bool = False) -> Callable[[Callable[P, Answer]], Callable[P, Answer]]:
    """Make a function remember its last ``keep`` answers, by the very same arguments or (``equal``) by equal ones.

    The function must depend on nothing but its arguments, which are frozen, and is called with them in order; what it
    raises is not remembered. Unlike `functools.lru_cache` it hashes nothing: courses and patterns hold mappings.
    """
    same = _alike if equal else is_

    def wrap(function: Callable[P, Answer]) -> Callable[P, Answer]:
        """The function with a memory of its own."""
        known: tuple[tuple[tuple[object, ...], Answer], ...] = ()

        @wraps(function)
        def ask(*args: P.args, **more: P.kwargs) -> Answer:
            """The answer that is known, else the function's, which is known from then on."""
            nonlocal known
            if more:
                raise TypeError(f"{function.__name__} is called with its arguments in order")
            kept = known  # several threads may ask: each sees a whole tuple, and at worst works something out twice
            for one in kept:
                if len(one[0]) == len(args) and all(map(same, one[0], args)):
                    if one is not kept[0]:
                        known = (one, *(other for other in kept if other is not one))
                    return one[1]
            answer = function(*args, **more)
            known = ((args, answer), *kept[: keep - 1])
            return answer

        return ask

    return wrap


def remembered_each(keep: int) -> Callable[[Callable[P, Answer]], Callable[P, Answer]]:
    """Make a function remember all that was asked of each of its last ``keep`` first arguments, found by identity.

    For what is asked of a plan episode by episode, or day by day, however many there are. The other arguments are
    hashed; else as `remembered`.
    """

    def wrap(function: Callable[P, Answer]) -> Callable[P, Answer]:
        """The function with a memory for each first argument."""

        @remembered(keep)
        def known_of(first: object) -> dict[tuple[object, ...], Answer]:
            """What is known of a first argument, by the others."""
            return {}

        @wraps(function)
        def ask(*args: P.args, **more: P.kwargs) -> Answer:
            """The answer that is known of the first argument, else the function's."""
            if more:
                raise TypeError(f"{function.__name__} is called with its arguments in order")
            known, rest = known_of(args[0]), args[1:]
            if rest not in known:
                known[rest] = function(*args, **more)
            return known[rest]

        return ask

    return wrap


def _alike(one: object, other: object) -> bool:
    return one is other or one == other
