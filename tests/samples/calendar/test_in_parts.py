"""Pieces that must dry before they are gone on with: as numbers by hand, and on the line against evenings in a list."""

from __future__ import annotations

from datetime import date

from hypothesis import given, settings, strategies as st

from lessonplan.samples.calendar.evenings import Hands, Part, backwards, work_of
from lessonplan.samples.calendar.jobs import Job, Pause, Person

FIRST = date(2027, 2, 1)
DAY = FIRST.toordinal()
PEOPLE = [Person("Ana", 7.0, FIRST), Person("Bo", 3.5, FIRST), Person("Cy", 0.0, FIRST)]  # 60, 30 and no minutes a day


def test_a_piece_is_cut_where_it_must_dry() -> None:
    """30 hours from midnight are over at six in the morning: not on the next evening but on that after; 18 on the next.

    The last part takes Bo two evenings (40 minutes), the middle one everybody one: with the days to dry 2 + 1 and
    0 + 1 days more, all looked at as one go.
    """
    pauses = (Pause({"Ana": 60.0, "Bo": 120.0}, 18 * 60.0), Pause({"Ana": 70.0, "Bo": 140.0}, 30 * 60.0))
    one = Job(piece="A", minutes={"Ana": 90.0, "Bo": 180.0, "Cy": 5.0}, due=FIRST, pauses=pauses)
    work = work_of(one, PEOPLE)
    assert work.parts == (((60, 0), (10, 1), (20, 0)), ((120, 0), (20, 1), (40, 0)), ())
    assert work.minutes == (90, 180, None)
    assert (work.later, work.by) == ((0 + 1) + (1 + 2), DAY - 4)


def test_each_part_is_at_least_a_minute_and_all_add_up_to_the_whole() -> None:
    pauses = (Pause({"Ana": 0.2}, 60.0), Pause({"Ana": 30.4}, 60.0))
    work = work_of(Job(piece="A", minutes={"Ana": 30.6, "Bo": 45.0}, due=FIRST, pauses=pauses), PEOPLE)
    assert [minutes for minutes, _ in work.parts[0]] == [1, 29, 1]
    # Of whom nothing is said before the pauses, all is worked after them.
    assert [minutes for minutes, _ in work.parts[1]] == [1, 1, 43]
    assert work.minutes[:2] == (31, 45)


def test_what_does_not_dry_in_between_is_one_go() -> None:
    work = work_of(Job(piece="A", minutes={"Ana": 30.0, "Bo": 60.0}, due=FIRST, drying=2880.0), PEOPLE)
    assert (work.parts, work.later, work.by) == ((), 0, DAY - 2)
    assert [work.parts_of(person) for person in range(3)] == [((30, 0),), ((60, 0),), ((0, 0),)]


parts = st.lists(st.tuples(st.integers(1, 70), st.integers(0, 3)), min_size=1, max_size=3)
pieces = st.lists(st.tuples(parts, st.integers(4, 30)), min_size=1, max_size=3)


@given(pieces, st.sampled_from([30, 47]))
@settings(max_examples=60, deadline=None)
def test_a_piece_lies_as_late_as_it_may_and_dry_between_its_parts(
    several: list[tuple[list[Part], int]], share: int
) -> None:
    evenings = [day for day in range(60) if day not in (3, 4, 11)]
    line = [day for day in evenings for _ in range(share)]
    hands = Hands(share, ((0, 2), (5, 10), (12, 59)))
    wanted = [(n, (*some[:-1], (some[-1][0], 0)), by) for n, (some, by) in enumerate(several)]
    laid = backwards(wanted, hands)
    if laid is not None:
        taken = [minute for _, begin, end in laid for minute in range(begin, end)]
        assert taken == sorted(set(taken)), "nobody works at two at once, and all is told in order of time"
        for n, some, by in wanted:
            mine = [(begin, end) for j, begin, end in laid if j == n]
            assert [end - begin for begin, end in mine] == [minutes for minutes, _ in some]
            assert line[mine[-1][1] - 1] <= by
            for (_, dry), (_, end), (begin, _) in zip(some, mine, mine[1:], strict=False):
                assert line[begin] > line[end - 1] + dry
    # Alone, each begins on the last minute on which it can.
    for n, some, by in wanted:
        before = by + 1
        begin = 0
        for minutes, dry in reversed(some):
            begin = sum(day + dry < before for day in line) - minutes
            if begin < 0:
                break
            before = line[begin]
        alone = backwards([(n, some, by)], hands)
        assert (alone[0][1] if alone else -1) == max(-1, begin)
