"""Several devices' take logs put together, so that every take counts once and nothing is lost.

The same id is the same take. Of two lines with one id the newer is kept: the later line of a file; between
files that of the log which goes on longer for this device, then of the one with more takes, then the line of the kept
log (a person may have mended it), then the fuller line. The clocks of two devices differ by a constant, estimated as
the median difference of the starts of takes that both logged. Takes of one shot and number from several devices that
overlap on the corrected clock are one take.
"""

from __future__ import annotations

import statistics
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from lessonplan.course.problems import Problem, Where, note, warning
from lessonplan.shoot.takes.log import CLIP, Take, Verdict, content, in_order, timecode_seconds

OPEN_SECONDS = 60  # how long a take without a stop is taken to last when takes are compared
NEAR_SECONDS = 300  # clocks this near are believed from one or two common takes; tablets left alone drift less
AGREE_SECONDS = 90  # common takes must agree on the difference of two clocks within this
TOUCH_SECONDS = 5  # takes that overlap by no more are a matter of tapping late


@dataclass(frozen=True, slots=True)
class DeviceClock:
    """How far a device's clock is ahead of the reference device's (seconds), from how many takes that both logged.

    ``believed`` is false when the common takes do not agree (or there are none); the clock is then left as it is.
    """

    device: str
    ahead: int
    common: int
    believed: bool


@dataclass(frozen=True, slots=True)
class Merged:
    """Logs put together.

    ``takes`` is what happened: each take once, in order, on the reference device's clock. ``records`` is every line
    once, as it was logged: write these with `log.merged_csv` to merge them again with later logs.
    """

    takes: tuple[Take, ...]
    records: tuple[Take, ...]
    clocks: tuple[DeviceClock, ...]
    problems: tuple[Problem, ...]


def merge(logs: Iterable[Sequence[Take]], kept: Sequence[Take] = ()) -> Merged:
    """Put the logs of several devices together with those kept before (see the module).

    The order of the logs does not matter. Cells of the teacher's own columns are never given up for empty ones.
    """
    problems: list[Problem] = []
    records = in_order(_one_per_id(logs, kept, problems))
    clocks = _clocks(records, problems)
    takes = in_order(_counted_once(records, clocks, problems))
    problems += (*_overlaps(takes), *_same_pictures(takes))
    told = sorted(dict.fromkeys(problems), key=lambda p: (p.where.file, p.where.line, p.code, p.message, p.hint))
    return Merged(takes, records, tuple(clocks.values()), tuple(told))


def _place(take: Take) -> tuple[str, int]:
    return take.where.file, take.where.line


def _one_per_id(logs: Iterable[Sequence[Take]], kept: Sequence[Take], problems: list[Problem]) -> list[Take]:
    versions: dict[str, list[tuple[tuple[str | int, ...], Take]]] = {}
    for log in (kept, *logs):
        newest: dict[str, Take] = {}
        for take in log:
            if take.id in newest:
                _tell_replaced(newest[take.id], take, problems)
            newest[take.id] = take
        until: dict[str, tuple[str, int, int]] = {}
        for take in newest.values():
            day, seconds, count = until.get(take.device, ("", 0, 0))
            latest = max((day, seconds), (take.day.isoformat(), take.stop or take.start or 0))
            until[take.device] = (*latest, count + 1)
        for take in newest.values():
            cells = take.start, take.stop, take.verdict, take.slip, take.note, *(getattr(take, name) for name in CLIP)
            filled = sum(bool(cell) for cell in cells)
            rank = (*until[take.device], log is kept, filled, *content(take))
            versions.setdefault(take.id, []).append((rank, take))
    chosen = []
    for several in versions.values():
        top = max(rank for rank, _ in several)
        winner = min((take for rank, take in several if rank == top), key=lambda take: (_place(take), take.own))
        own = dict(winner.own)
        for _, take in sorted(several, key=lambda version: (version[0], version[1].own), reverse=True):
            _tell_replaced(take, winner, problems)
            own.update((name, cell) for name, cell in take.own if not own.get(name))
        chosen.append(replace(winner, own=tuple(own.items())) if own else winner)
    return chosen


def _tell_replaced(old: Take, new: Take, problems: list[Problem]) -> None:
    if old == new:
        return
    kept = f"the newer line is kept ({new.where.file}:{new.where.line})"
    what = f"The take “{old.id}” is logged twice and not alike; {kept}."
    if (old.day, old.shot, old.take) == (new.day, new.shot, new.take):
        problems.append(note(old.where, "same-id", what))
    else:
        told = f"One says take {old.take} of {old.shot}, the other take {new.take} of {new.shot}"
        problems.append(warning(old.where, "same-id", what, f"{told}: do two devices share a name?"))


def _clocks(records: Sequence[Take], problems: list[Problem]) -> dict[str, DeviceClock]:
    """Place every device's clock against that of the device with most takes, those with most common takes first."""
    by_device: dict[str, dict[tuple[date, str, int], list[int]]] = {}
    sizes: dict[str, int] = {}
    for take in records:
        sizes[take.device] = sizes.get(take.device, 0) + 1
        starts = by_device.setdefault(take.device, {}).setdefault((take.day, take.shot, take.take), [])
        starts += [take.start] if take.start is not None else []
    order = sorted(sizes, key=lambda device: (-sizes[device], device))
    placed: dict[str, DeviceClock] = {device: DeviceClock(device, 0, 0, True) for device in order[:1]}
    while len(placed) < len(order):
        found = []
        for device in (name for name in order if name not in placed):
            # The devices placed first come last and so win: they are nearest to the reference.
            apart = {
                key: starts[0] - others[0] + clock.ahead
                for other, clock in reversed(placed.items()) if clock.believed
                for key, starts in by_device[device].items()
                if len(starts) == 1 and len(others := by_device[other].get(key, [])) == 1
            }  # fmt: skip
            found.append(_clock(device, sorted(apart.values())))
        best = max(found, key=lambda clock: clock.common)
        placed[best.device] = best
        first = min((take for take in records if take.device == best.device), key=_place)
        problems += _tell_clock(best, order[0], first.where)
    return placed


def _clock(device: str, apart: list[int]) -> DeviceClock:
    if not apart:
        return DeviceClock(device, 0, 0, False)
    middle = statistics.median_low(apart)
    agree = sum(abs(value - middle) <= AGREE_SECONDS for value in apart)
    believed = 2 * agree > len(apart) and (agree >= 3 or abs(middle) <= NEAR_SECONDS)
    return DeviceClock(device, middle if believed else 0, len(apart), believed)


def _tell_clock(clock: DeviceClock, reference: str, where: Where) -> list[Problem]:
    takes = f"{clock.common} take{'s' if clock.common != 1 else ''} that both logged"
    place = Where(where.file)
    if clock.believed:
        way = "ahead of" if clock.ahead >= 0 else "behind"
        by = f"{abs(clock.ahead)} s {way} that of {reference}" if clock.ahead else f"the same as that of {reference}"
        return [note(place, "device-clock", f"The clock of {clock.device} is {by}, by {takes}.")]
    if clock.common:
        why = f"{takes} do not agree or are too far apart"
        what = f"The clocks of {clock.device} and {reference} cannot be compared: {why}."
        return [warning(place, "device-clock", what, "Times of both are used as logged.")]
    return []


def _shifted(take: Take, ahead: int) -> Take:
    if take.start is None or not ahead:
        return take
    days, start = divmod(take.start - ahead, 86400)
    stop = None if take.stop is None else start + take.stop - take.start
    return replace(take, day=take.day + timedelta(days=days), start=start, stop=stop)


def _same_time(one: Take, other: Take) -> bool:
    if one.start is None or other.start is None:
        return True
    one_stop = one.start + OPEN_SECONDS if one.stop is None else one.stop
    other_stop = other.start + OPEN_SECONDS if other.stop is None else other.stop
    return max(one.start, other.start) <= min(one_stop, other_stop)


def _belongs(take: Take, cluster: Sequence[Take]) -> bool:
    others = all(other.device != take.device for other in cluster)
    return others and any(_same_time(take, other) for other in cluster)


def _counted_once(
    records: Sequence[Take], clocks: Mapping[str, DeviceClock], problems: list[Problem]
) -> Iterator[Take]:
    groups: dict[tuple[date, str, int], list[list[Take]]] = {}
    for take in in_order(_shifted(take, clocks[take.device].ahead) for take in records):
        clusters = groups.setdefault((take.day, take.shot, take.take), [])
        cluster = next((cluster for cluster in clusters if _belongs(take, cluster)), None)
        if cluster is None:
            clusters.append([take])
        else:
            cluster.append(take)
    ranks = list(clocks)
    for (_, shot, number), clusters in groups.items():
        for cluster in clusters:
            cluster.sort(key=lambda take: (take.seconds is None, ranks.index(take.device)))
            yield _joined(cluster, problems)
        for cluster in clusters[1:]:
            what = f"Take {number} of shot {shot} is logged more than once on this day; each is counted."
            hint = "Where the camera stopped in it, write one line that names both clips."
            problems.append(warning(cluster[0].where, "same-take", what, hint))


def _joined(cluster: Sequence[Take], problems: list[Problem]) -> Take:
    """Make one take of the records of several devices: times of the first, and whatever only the others know."""
    first = cluster[0]
    timed = next((take for take in cluster if take.start is not None), first)
    verdicts = list(dict.fromkeys(take.verdict for take in cluster if take.verdict))
    if len(verdicts) > 1:
        both = f"“{verdicts[0]}” for one device and “{verdicts[1]}” for another"
        what = f"Take {first.take} of shot {first.shot} is {both}."
        problems.append(warning(first.where, "verdict", what, f"“{verdicts[0]}” is kept."))
    slips = list(dict.fromkeys(take.slip for take in cluster if take.slip))
    slips = [slip for slip in slips if slip.lower() != "yes"] or slips[:1]
    verdict: Verdict = verdicts[0] if verdicts else ""
    joined = replace(first, start=timed.start, stop=timed.stop, verdict=verdict, slip="; ".join(slips))
    every = {name: dict.fromkeys(getattr(take, name) for take in cluster) for name in ("note", *CLIP)}
    note, camera, card, clip, timecode = ("; ".join(filter(None, texts)) for texts in every.values())
    return replace(joined, note=note, camera=camera, card=card, clip=clip, timecode=timecode)


def _overlaps(takes: Sequence[Take]) -> Iterator[Problem]:
    longest: Take | None = None
    for take in (take for take in takes if take.seconds is not None):
        if longest is not None and longest.day == take.day and longest.stop is not None and take.start is not None:
            over = min(longest.stop, take.stop or 0) - take.start
            if over > TOUCH_SECONDS and not (take.camera and longest.camera and take.camera != longest.camera):
                other = f"take {longest.take} of shot {longest.shot}"
                what = f"Take {take.take} of shot {take.shot} overlaps {other} by {over} s"
                hint = "Perhaps it is one take with two numbers." if take.shot == longest.shot else ""
                yield warning(take.where, "overlap", f"{what}; one camera cannot film both.", hint)
        if longest is None or longest.day != take.day or (take.stop or 0) > (longest.stop or 0):
            longest = take


def _same_pictures(takes: Sequence[Take]) -> Iterator[Problem]:
    """Tell of a take whose clip and timecode are those of another: one camera clock shows a time once."""
    spans: dict[tuple[date, str, str, str], list[tuple[int, int, Take]]] = {}
    for take in takes:
        first = timecode_seconds(take.timecode)
        if first is None or not take.clip or take.seconds is None:
            continue
        before = spans.setdefault((take.day, take.camera, take.card, take.clip), [])
        last = first + take.seconds
        over = (one for start, end, one in before if min(end, last) - max(start, first) > TOUCH_SECONDS)
        other = next(over, None)
        if other:
            one, two = (f"take {each.take} of shot {each.shot}" for each in (take, other))
            what = f"By their timecodes {one} and {two} are the same pictures of clip {take.clip}."
            yield warning(take.where, "same-pictures", what, "One of the two has another clip or timecode.")
        before.append((first, last, take))
