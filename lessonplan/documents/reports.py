"""What the reporting commands print: a table for people, and the same data as plain values for programs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from lessonplan.course.signs import one_line
from lessonplan.course.values.shotnumbers import shot_of
from lessonplan.craft.lengths import sizes_text
from lessonplan.craft.techniques import in_terms
from lessonplan.craft.words import words_of
from lessonplan.documents.arrivals import drawer_names, from_drawer
from lessonplan.documents.errata import by_state_and_place, errata_rows
from lessonplan.documents.samples import change_text, samples_view
from lessonplan.documents.tables import after_text, one_or_each, problem_data, table
from lessonplan.documents.wording import duration, screen_time
from lessonplan.needle.count import Counted
from lessonplan.pattern.texts import fill
from lessonplan.planning.agreed.changes import changes
from lessonplan.planning.worked import Plan, Worked
from lessonplan.samples.states import in_words
from lessonplan.shoot.clocks import on_screen
from lessonplan.shoot.day import clock
from lessonplan.shoot.estimate import Estimate, total

if TYPE_CHECKING:  # these load the solver, which tables of times and errata never need
    from lessonplan.planning.whatif import Change, Reasons, Side
    from lessonplan.shoot.order.compare import Order


def count_table(counted: Counted) -> str:
    """Set counted lines as text: stitches after each line in every size, rounds, techniques of the first size."""
    rows = []
    for number, line in enumerate(counted.lines, 1):
        named_as = ((in_terms(name, counted.terms), counts) for name, counts in line.techniques)
        techniques = ", ".join(f"{name} {sizes_text([str(n) for n in counts])}" for name, counts in named_as)
        rows.append((str(number), line.text, after_text(line), sizes_text([str(n) for n in line.rounds]), techniques))
    return table(("Line", "Instruction", "Stitches", "Rounds", "Techniques"), rows, frozenset({0}))


def count_data(counted: Counted) -> dict[str, Any]:
    """Give counted lines as plain values.

    ``stitches`` has one number for each size (null where nobody knows them), ``sure`` whether every line before could
    be read; ``spaces``: those of chains beside the stitches (crochet). A problem's ``kind`` tells a reader's limit
    (unread) from what is wrong (misfit, disagrees, ambiguous). ``rounds``, ``spaces`` and each technique's count are
    one number where they are the same in every size, else one for each size.
    """
    return {
        "on": list(counted.on),
        "lines": [
            {
                "text": line.text,
                "stitches": list(line.stitches),
                "sure": all(line.sure),
                "spaces": one_or_each(line.spaces or (0,)),
                "rounds": one_or_each(line.rounds),
                "techniques": {name: one_or_each(counts) for name, counts in line.techniques},
            }
            for line in counted.lines
        ],
        "rounds": one_or_each(counted.rounds),
        "problems": [problem_data(one) for one in counted.problems],
    }


def change_table(plan: Plan, change: Change) -> str:
    """Set a what-if as text, against the present plan."""
    return one_line(change_text(plan, change))


def change_data(change: Change | None) -> dict[str, Any]:
    """Give a what-if as plain values: minutes and weighed cost saved (negative: added), pieces fewer."""
    return {"what_if": _change_data(change)} if change else {}


def sides_table(plan: Plan, sides: Sequence[Side], real: Sequence[Change]) -> str:
    """Set the wishes side by side, and below them what the real thing would cost where a lesser kind stands."""
    rows = [
        (one.what, str(one.pieces), *map(duration, (one.bench, one.floor, one.waiting)), "yes" if one.optimal else "no")
        for one in sides
    ]
    head = (
        "Wish",
        "Pieces",
        f"{words_of(plan.course.pattern).made.capitalize()} before",
        "On the days",
        "Camera waits",
        "Proven",
    )
    return "\n".join([table(head, rows, frozenset(range(1, 5))), "", *(change_text(plan, change) for change in real)])


def sides_data(sides: Sequence[Side], real: Sequence[Change]) -> dict[str, Any]:
    """Give the wishes side by side as plain values; minutes rounded to a tenth."""
    return {
        "wishes": [
            {
                "wish": one.what,
                "pieces": one.pieces,
                "bench_minutes": _tenth(one.bench),
                "on_days_minutes": _tenth(one.floor),
                "waiting_minutes": _tenth(one.waiting),
                "optimal": one.optimal,
            }
            for one in sides
        ],
        "real_things": [_change_data(change) for change in real],
    }


def _change_data(change: Change) -> dict[str, Any]:
    return {
        "what": change.what,
        "saves_minutes": _tenth(change.minutes),
        "saves_cost": _tenth(change.cost),
        "pieces_fewer": change.pieces,
    }


def samples_table(plan: Plan, reasons: Reasons | None = None) -> str:
    """Set the step-sample plan as text, with what each piece is worth if that was worked out."""
    view = samples_view(plan, reasons)
    rows = [
        (
            piece.letter,
            piece.kind,
            piece.first,
            piece.bench,
            ", ".join(dict.fromkeys(stop.number for stop in piece.stops)),
        )
        for piece in view.pieces
    ]
    head = (
        "Piece",
        "Kind",
        f"{words_of(plan.course.pattern).make.capitalize()} before the shoot to",
        "Work",
        "Serves shots",
    )
    lines = [table(head, rows, frozenset({3})) if rows else "No shot needs a piece.", ""]
    lines.append(f"{view.piece_count}, {view.planned} ({view.summary}).")
    lines.append(f"A fresh piece for every appearance: {view.naive_count}, {view.naive}. Saved: {view.saved}.")
    lines.append(view.optimal)
    if reasons:
        worth, saved = [piece.without for piece in view.pieces], view.savings
        lines += ["", *map(one_line, worth), "", "What could be saved:", *map(one_line, saved)]
    return "\n".join(lines)


def samples_data(plan: Plan, reasons: Reasons | None = None) -> dict[str, Any]:
    """Give the step-sample plan as plain values; minutes are hands-on minutes, rounded to a tenth."""
    extra: dict[str, Any] = {}
    if reasons:
        worth = {name: None if more is None else _tenth(more) for name, more in reasons.without.items()}
        extra = {"without_costs": worth, "savings": [_change_data(change) for change in reasons.savings]}
    choice, worked, size = plan.choice, plan.worked.pattern, plan.worked.size
    planned = choice.bench_minutes + choice.floor_minutes
    return {
        "film_size": worked.sizes[size],
        "optimal": choice.optimal,
        "gap": round(choice.gap, 6),
        "total_minutes": _tenth(planned),
        "bench_minutes": _tenth(choice.bench_minutes),
        "on_days_minutes": _tenth(choice.floor_minutes),
        "waiting_minutes": _tenth(choice.waiting_minutes),
        "naive_minutes": _tenth(choice.naive_minutes),
        "naive_pieces": choice.naive_pieces,
        "cost": _tenth(choice.cost),
        "naive_cost": _tenth(choice.naive_cost),
        "pieces": [
            {
                "piece": piece.name,
                "kind": piece.kind,
                "from_drawer": from_drawer(plan, piece),
                "knit_to": in_words(piece.first, plan.worked.kinds[piece.kind], size),
                "bench_minutes": _tenth(piece.bench),
                "on_days_minutes": _tenth(piece.floor),
                "shots": [
                    {
                        "shot": shot_of(stop.demand),
                        "needs": in_words(stop.start, plan.worked.kinds[piece.kind], size),
                        "leaves": in_words(stop.end, plan.worked.kinds[piece.kind], size),
                        "copy": stop.copy,
                        "spare": stop.spare,
                        "knitted_before_minutes": _tenth(stop.worked),
                    }
                    for stop in piece.stops
                ],
            }
            for piece in choice.pieces
        ],
        "unused_drawer": [name for name in choice.unused if name in drawer_names(plan)],
        "changed": list(changes(plan)),
        **extra,
    }


def _tenth(minutes: float) -> float:
    return round(minutes, 1)


@dataclass(frozen=True, slots=True)
class _SegmentTimes:
    """One segment's minutes on screen and on the floor, each expected and nine times in ten, and its words."""

    number: str
    title: str
    shots: int
    words: int
    screen: Estimate
    floor: Estimate


def _over_all_minutes(worked: Worked, episode: int) -> float | None:
    """Give the minutes that an episode's words take at the host's pace over all of a video, silent handwork too.

    None where that pace is not known, or where something is told in points, whose words nobody knows.
    """
    pace = worked.course.course.pace.over_all
    told = any(one.shot.points for one in worked.course.shots_in(str(episode)))
    words = sum(clock.words for clock in worked.clocks.values() if clock.number.episode == episode)
    return words / pace if pace and words and not told else None


def _segment_times(worked: Worked) -> tuple[_SegmentTimes, ...]:
    """Sum the clocks of each segment's shots, in the order of the story."""
    word = worked.word
    found = []
    for number, _, segment in worked.course.segments():
        clocks = [clock for clock in worked.clocks.values() if clock.number.segment == number]
        found.append(
            _SegmentTimes(
                number=number,
                title=fill(segment.title, word),
                shots=len(clocks),
                words=sum(clock.words for clock in clocks),
                screen=on_screen(clocks),
                floor=total(clock.floor for clock in clocks),
            )
        )
    return tuple(found)


def times_table(worked: Worked) -> str:
    """Set the timings of all segments as text, with a sum for each episode."""
    segments = _segment_times(worked)
    rows = [
        (
            one.number,
            one.title,
            str(one.shots),
            str(one.words),
            screen_time(one.screen.mean),
            screen_time(one.screen.nine_in_ten),
            duration(one.floor.mean),
            duration(one.floor.nine_in_ten),
        )
        for one in segments
    ]
    lines = [
        table(
            ("Segment", "Title", "Shots", "Words", "Screen", "9 in 10", "Floor", "9 in 10"),
            rows,
            frozenset(range(2, 8)),
        ),
        "",
    ]
    for episode in worked.course.episodes:
        clocks = [clock for clock in worked.clocks.values() if clock.number.episode == episode.episode]
        screen, floor = on_screen(clocks), total(clock.floor for clock in clocks)
        lines.append(
            f"Episode {episode.episode}: {screen_time(screen.mean)} on screen"
            f" (9 in 10: {screen_time(screen.nine_in_ten)}), {duration(floor.mean)} on the floor"
            f" (9 in 10: {duration(floor.nine_in_ten)})."
        )
        over_all = _over_all_minutes(worked, episode.episode)
        if over_all:
            pace = f"{worked.course.course.pace.over_all:.0f} words a minute over all of a video"
            lines.append(f"  At the host's {pace} so many words run {screen_time(over_all)}.")
    lines.append("9 in 10: no longer than this in nine cases of ten.")
    return "\n".join(lines)


def times_data(worked: Worked) -> dict[str, Any]:
    """Give the timings as plain values: screen times in seconds, floor times in minutes."""
    return {
        "segments": [
            {
                "segment": one.number,
                "title": one.title,
                "shots": one.shots,
                "words": one.words,
                "screen_seconds": round(one.screen.mean * 60),
                "screen_seconds_nine_in_ten": round(one.screen.nine_in_ten * 60),
                "floor_minutes": _tenth(one.floor.mean),
                "floor_minutes_nine_in_ten": _tenth(one.floor.nine_in_ten),
            }
            for one in _segment_times(worked)
        ],
        "over_all_seconds": {
            str(episode.episode): round(minutes * 60)
            for episode in worked.course.episodes
            if (minutes := _over_all_minutes(worked, episode.episode))
        },
    }


def orders_table(orders: Sequence[Order]) -> str:
    """Set the orders of the shots side by side, and below it each day's shots in the cheapest one."""
    head = ("Order", "Views", "Trays", "Changes", "Floor", "Pieces", "Bench", "On the days", "Wrap", "Weighed")
    rows = [
        (
            one.name,
            str(one.view_changes),
            str(one.tray_changes),
            duration(one.change_minutes),
            duration(one.floor_minutes),
            str(one.pieces),
            duration(one.bench_minutes),
            duration(one.knitting_minutes),
            ", ".join(clock(wrap) for wrap in one.wraps),
            duration(one.cost),
        )
        for one in orders
    ]
    best = orders[-1]
    # The gap is a part of this order's cost; what is said here is a part of the least cost.
    above = f"{best.gap / (1 - best.gap):.0%}" if best.gap < 1 else "any amount"
    proven = "proven" if best.exact else f"at most {above} above the least possible"
    weighed = "Weighed: changes, being late, and the cost of the samples in one sum of minutes; the least is the best."
    lines = [table(head, rows, frozenset(range(1, 10))), weighed, "", f"The cheapest order found is {proven}:"]
    lines += [f"Day {number}: {', '.join(shots)}" for number, shots in enumerate(best.sequence, 1)]
    lines += [f"{one.name} breaks a lock: {a} before {b}." for one in orders for a, b in one.broken]
    return "\n".join(lines)


def orders_data(orders: Sequence[Order]) -> dict[str, Any]:
    """Give the orders as plain values; minutes rounded to a tenth, wraps as times of day."""
    return {
        "orders": [
            {
                "order": one.name,
                "view_changes": one.view_changes,
                "tray_changes": one.tray_changes,
                "change_minutes": _tenth(one.change_minutes),
                "floor_minutes": _tenth(one.floor_minutes),
                "pieces": one.pieces,
                "bench_minutes": _tenth(one.bench_minutes),
                "on_days_minutes": _tenth(one.knitting_minutes),
                "wraps": [clock(wrap) for wrap in one.wraps],
                "cost": _tenth(one.cost),
                "bound": _tenth(one.bound),
                "exact": one.exact,
                "days": [list(shots) for shots in one.sequence],
                "broken_locks": [list(pair) for pair in one.broken],
            }
            for one in orders
        ]
    }


def errata_table(worked: Worked) -> str:
    """Set the errata log as text, by state and by place; the number is that in the log."""
    rows = sorted(errata_rows(worked), key=by_state_and_place)
    if not rows:
        return "No errata."
    head = ("No.", "State", "Where", "Said or printed", "Right", "Remedy", "Found")
    return table(
        head, [(str(row.number), row.state, row.where, row.said, row.right, row.remedy, row.found) for row in rows]
    )


def errata_data(worked: Worked) -> dict[str, Any]:
    """Give the errata log as plain values, a day as 2027-03-13, the edition that has it right as its number."""
    names = ("where", "said", "right", "kind", "remedy", "state", "by", "role")
    log = worked.course.errata.errata
    return {
        "errata": [
            {"number": row.number, "found": log[row.number - 1].found.isoformat()}
            | {name: getattr(row, name) for name in names}
            | {"mended_in": log[row.number - 1].mended_in or None}
            for row in errata_rows(worked)
        ]
    }
