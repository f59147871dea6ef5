"""What is remembered: found by its values alone, few of it, and nothing of what failed."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import pytest

from lessonplan.remembered import remembered, remembered_each


def test_the_very_same_values_are_not_worked_on_again_and_equal_ones_are() -> None:
    asked: list[object] = []

    @remembered(4)
    def length(value: list[int]) -> int:
        asked.append(value)
        return len(value)

    one, other = [1, 2], [1, 2]
    assert [length(one), length(one), length(other), length(one)] == [2, 2, 2, 2]
    assert len(asked) == 2


def test_equal_values_are_not_worked_on_again_where_equal_is_enough() -> None:
    asked: list[object] = []

    @remembered(4, equal=True)
    def length(value: list[int], more: int = 0) -> int:
        asked.append(value)
        return len(value) + more

    assert [length([1, 2]), length([1, 2]), length([2, 1]), length([1, 2], 1), length([1, 2], 1)] == [2, 2, 2, 3, 3]
    assert len(asked) == 3
    with pytest.raises(TypeError, match="in order"):
        length([1, 2], more=1)


def test_only_the_last_answers_are_kept_and_those_asked_for_stay() -> None:
    asked: list[int] = []

    @remembered(2, equal=True)
    def double(value: int) -> int:
        asked.append(value)
        return 2 * value

    for value in (1, 2, 1, 3, 1, 2):  # 2 was asked for the longest ago when 3 came
        assert double(value) == 2 * value
    assert asked == [1, 2, 3, 2]


def test_what_is_raised_is_raised_again() -> None:
    asked: list[int] = []

    @remembered(2)
    def fail(value: int) -> int:
        asked.append(value)
        raise ValueError(value)

    for _ in range(2):
        with pytest.raises(ValueError, match="7"):
            fail(7)
    assert asked == [7, 7]


def test_several_threads_get_right_answers() -> None:
    @remembered(3, equal=True)
    def square(value: int) -> int:
        return value * value

    values = [number % 7 for number in range(2000)]
    with ThreadPoolExecutor(4) as pool:
        assert list(pool.map(square, values)) == [value * value for value in values]


def test_all_that_is_asked_of_the_last_few_first_arguments_is_remembered() -> None:
    asked: list[tuple[int, int]] = []

    @remembered_each(2)
    def place(story: list[int], number: int) -> int:
        asked.append((id(story), number))
        return story.index(number)

    one, other, third = list(range(100)), list(range(100)), list(range(100))
    for _ in range(2):
        assert [place(one, number) for number in range(100)] == list(range(100))
    assert len(asked) == 100, "as many answers as are asked for, unlike those of `remembered`"
    place(other, 7)
    place(one, 7)
    assert len(asked) == 101, "an equal list is another one"
    place(third, 7)
    place(other, 7)
    assert len(asked) == 103, "only the last two are kept"
    with pytest.raises(TypeError, match="in order"):
        place(one, number=1)
