"""What stands on the run sheets, the step-sample page and the knitters' page, as a person on the floor reads it."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from tests.walk.paper import DURATION, Element, clock_of, date_of, minutes_of, read_page

JOB = re.compile(
    r"(?:(?P<night>After the wrap, )|Between takes, )?(?P<who>.+?) (?:works?|(?P<back>takes? work back)) on piece "
    r"(?P<piece>[A-Z]+)"
    rf" for (?P<minutes>{DURATION})(?: \((?P<fewer>{DURATION}|nothing) if (?P<moved>\d+\.\d+\.\d+) has moved it on\))?"
    r"(?:, once (?P<once>[\d., and]+) (?:is|are) filmed as wanted)?"
    r"(?(back)(?:, to take back “[^;]+”)?"
    rf"|(?:, (?P<ripping>{DURATION}) of it to take (?:back rounds|back “[^;]+”|work back))?)"
    r"(?:, going on (?:until (?P<until>[^;,]+)|(?:into|between the takes of) (?P<into>[^;,]+)))?"
    rf"(?:, more (?P<more>on day \d+|after the wrap))?"
    rf"; for (?:take (?P<take>\d+) of )?(?P<shot>\d+\.\d+\.\d+) it must be: (?P<goal>.+?)"
    r"(?:, or only to where the camera began in its round)?(?:; [^;]+ (?:comes out|in again))?"
    rf"(?:; then it (?:dries|is pressed) for (?P<drying>{DURATION}))?"
    r"(?:\. (?:Look first where|What|If) .+: go on from there|\. If \S+ has moved it on, nothing is left to do)?"
)


@dataclass(frozen=True)
class Job:
    """A line about work on a piece.

    ``until`` is the shot, or the wrap, before which it is done, ``into`` the shot in which it ends; both are empty when
    at once. ``more``: when it is gone on with.
    ``fewer``: its minutes where the shot ``moved`` has moved the piece; as many where no shot is named. ``take``: the
    one that it is for, where that is not the first. ``back``: next to nothing is to be done but to take work back.
    ``once``: the shots that must be filmed as wanted before.
    """

    text: str
    who: str
    piece: str
    minutes: float
    ripping: float
    shot: str
    goal: str
    drying: float
    until: str
    night: bool
    more: str = ""
    fewer: float = 0.0
    moved: str = ""
    take: int = 0
    back: bool = False
    once: str = ""
    into: str = ""


@dataclass(frozen=True)
class Stand:
    """A piece on the table of a shot, for one take; ``take`` is 0 where none is named."""

    piece: str
    kind: str
    spare: bool
    take: int
    now: str
    becomes: str
    worked: float


@dataclass(frozen=True)
class Row:
    """A line of the day: what it is, its clock time, its printed minutes, and what is said beside it."""

    what: str
    at: int
    minutes: float
    text: str
    jobs: tuple[Job, ...]
    shot: str = ""
    view: str = ""
    takes: int = 0
    stands: tuple[Stand, ...] = ()


@dataclass(frozen=True)
class RunSheet:
    day: date
    call: int
    wrap: int
    helpers: str
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class Stop:
    """A shot on the step-sample page: what was worked since the one before, spell by spell."""

    shot: str
    spare: bool
    now: str
    becomes: str
    spells: tuple[float, ...]


@dataclass(frozen=True)
class Card:
    """A piece on the step-sample page; ``stitches`` a small one has, ``instead`` of those of the full one."""

    piece: str
    kind: str
    stitches: int
    instead: int
    first: str
    drawer: str
    minutes: float
    needed: date
    knitter: str
    stops: tuple[Stop, ...]


@dataclass(frozen=True)
class Samples:
    count: int
    total: float
    before: float
    floor: float
    waiting: float
    cards: tuple[Card, ...]


@dataclass(frozen=True)
class Sitting:
    day: date
    knitter: str
    piece: str
    what: str
    minutes: int


@dataclass(frozen=True)
class Knitters:
    """``due``: for each piece its knitter, what it is knitted to, the day by whose end; ``late``: days, as said."""

    due: dict[str, tuple[str, str, date]]
    totals: dict[str, float]
    rows: tuple[tuple[str, str, str, int], ...]
    sittings: tuple[Sitting, ...]
    late: dict[str, int | None]


@dataclass(frozen=True)
class Pages:
    """All that is walked through."""

    sheets: tuple[RunSheet, ...]
    samples: Samples
    knitters: Knitters


def read_pages(folder: Path) -> Pages:
    """Read the pages of an output folder. Raises ``ValueError`` at a line that a person could not follow either."""
    files = sorted(folder.glob("run-sheet-*.html"), key=lambda path: int(path.stem.split("-")[-1]))
    makers = next(
        path for path in folder.glob("*.csv") if path.with_suffix(".html").exists() and "editor" not in path.stem
    )
    return Pages(
        tuple(_run_sheet(_page(path)) for path in files),
        _samples(_page(folder / "step-samples.html")),
        _knitters(_page(makers.with_suffix(".html")), makers.read_text(encoding="utf-8-sig")),
    )


def _page(path: Path) -> Element:
    return read_page(path.read_text(encoding="utf-8"))


def _facts(within: Element) -> dict[str, str]:
    return {one.said("dt"): one.said("dd") for one in within.every("div") if one.first("dt")}


def _run_sheet(page: Element) -> RunSheet:
    head = page.first("dl", "facts")
    listed = page.first("ol", "day")
    if not head or not listed:
        raise ValueError("a run sheet without a head or without its day")
    facts = _facts(head)
    lines = [one for one in listed.inside if isinstance(one, Element) and one.name == "li"]
    return RunSheet(
        date_of(page.said("p", "under")),
        clock_of(facts["Call"]),
        clock_of(facts["Wrap expected"]),
        facts["Helpers"],
        tuple(_row(line) for line in lines),
    )


def _row(line: Element) -> Row:
    when = line.first("p", "when")
    if not when:
        raise ValueError(f"a line without a time: {line.text[:60]}")
    jobs = tuple(read_job(one.text) for one in line.every("p", "meanwhile"))
    at = clock_of(when.text)
    if "shot" not in line.classes:
        what = next(name[4:] for name in line.classes if name.startswith("row-"))
        return Row(what, at, minutes_of(line.said("span", "small")), line.text, jobs)
    head = line.first("h3")
    return Row(
        "shot",
        at,
        minutes_of(when.said("span", "for")) if "late" not in _first_class(when) else 0.0,
        line.said("h3"),
        jobs,
        shot=head.said("span", "num") if head else "",
        view=line.said("span", "view").removeprefix("View: "),
        takes=int(line.said("span", "take-count").split()[0]),
        stands=tuple(stand for one in line.every("li", "piece") for stand in _stands(one)),
    )


def _first_class(when: Element) -> frozenset[str]:
    one = when.first("span", "for")
    return one.classes if one else frozenset()


def _stands(line: Element) -> Iterator[Stand]:
    """A piece stands once for each take that is named; before each but the first it is taken back."""
    said = line.said("span", "piece-kind")
    kind = r"(\w+ piece|piece with fewer stitches)(?: \([^()]+\))?"
    found = re.fullmatch(rf"{kind}(, spare)?(?:, takes? ([\d, ]+))?", said)
    if not found:
        raise ValueError(f"a piece of no kind: “{said}”")
    more = [one.text.removeprefix("if used, ") for one in line.every("span", "then")]
    worked = next((text for text in more if re.match(r"(?:taken back|knitted on|worked on)\b(?! between)", text)), "")
    taken_back = next((text for text in more if text.startswith("taken back between takes")), "")
    takes = [int(take) for take in (found[3] or "0").split(", ")]
    if bool(taken_back) != (len(takes) > 1):
        raise ValueError(f"a piece for takes {takes} that is taken back: “{taken_back}”")
    for take in takes:
        yield Stand(
            line.said("b", "letter").removeprefix("Piece "),
            "small" if found[1] == "piece with fewer stitches" else found[1].removesuffix(" piece"),
            bool(found[2]),
            take,
            line.said("span", "now").removeprefix("now "),
            next((text.removeprefix("becomes ") for text in more if text.startswith("becomes")), ""),
            minutes_of(worked if take == takes[0] else taken_back),
        )


def read_job(text: str) -> Job:
    found = JOB.fullmatch(text)
    if not found:
        raise ValueError(f"a line that says no work: “{text}”")
    return Job(
        text,
        found["who"],
        found["piece"],
        minutes_of(found["minutes"]),
        minutes_of(found["minutes"] if found["back"] else found["ripping"] or ""),
        found["shot"],
        found["goal"],
        minutes_of(found["drying"] or ""),
        found["until"] or "",
        bool(found["night"]),
        found["more"] or "",
        minutes_of(found["minutes"] if not found["fewer"] else found["fewer"].replace("nothing", "")),
        found["moved"] or "",
        int(found["take"] or 0),
        bool(found["back"]),
        found["once"] or "",
        found["into"] or "",
    )


def _samples(page: Element) -> Samples:
    hours = next(one for one in page.every("h2") if one.ident == "hours").text
    summary = next((one.text for one in page.every("p") if " instead of " in one.text), "")
    before = re.search(rf"({DURATION}) before the shoot", summary)
    floor = re.search(rf"({DURATION}) on the days", summary)
    waiting = re.search(rf"the camera waiting for ({DURATION})", summary)
    count, _, total = hours.partition(", ")
    return Samples(
        int(count.split()[0]),
        minutes_of(total),
        _found(before),
        _found(floor),
        _found(waiting),
        tuple(_card(one) for one in page.every("article", "card")),
    )


def _found(found: re.Match[str] | None) -> float:
    return minutes_of(found[1]) if found else 0.0


KINDS = ("full", "short", "small")


def _card(card: Element) -> Card:
    facts = _facts(card)
    kind = facts["Kind"].split(":")[0]
    small = re.fullmatch(r"fewer stitches: (\d+) on the needles instead of (\d+)", facts["Kind"])
    if small:
        kind = "small"
    elif kind not in KINDS:
        raise ValueError(f"a piece of no kind: “{facts['Kind']}”")
    letter = card.said("b", "letter")
    return Card(
        letter.removeprefix("Piece "),
        kind,
        int(small[1]) if small else 0,
        int(small[2]) if small else 0,
        card.said("h3").removeprefix(letter).strip(),
        facts.get("From the drawer", ""),
        minutes_of(facts.get("Work", "") or next((facts[one] for one in facts if one.startswith("Still to")), "")),
        date_of(facts["On the table first"]),
        facts.get("Knitter", "") or facts.get("Binder", ""),
        tuple(_stops(card)),
    )


def _stops(card: Element) -> Iterator[Stop]:
    spells: tuple[float, ...] = ()
    listed = card.first("ol", "stops")
    for line in listed.every("li") if listed else ():
        if "knitting" in line.classes:
            spells = tuple(minutes_of(one) for one in re.findall(rf"(?:: |, )({DURATION})", line.text))
            continue
        title, _, states = line.text.rpartition(" now ")
        now, _, becomes = states.partition(", becomes ")
        now = now.removesuffix(", if used")
        yield Stop(line.said("b", "num"), "(spare)" in title, now, becomes, spells)
        spells = ()


def _knitters(page: Element, table: str) -> Knitters:
    due, totals, rows = {}, {}, []
    for section in page.every("section"):
        heading = section.first("h2")
        if not heading or not heading.ident.startswith("knitter-"):
            continue
        name, listed = heading.text, section.first("ul")
        total = re.match(rf"({DURATION}) in all", section.said("p"))
        totals[name] = minutes_of(total[1]) if total else 0.0
        for line in listed.inside if listed else ():
            found = isinstance(line, Element) and re.match(
                r"([A-Z]+): (.+?)\. Ready by the end of (\w+ \d+ \w+ \d{4})", line.text
            )
            if found:
                due[found[1]] = (name, found[2], date_of(found[3]))
        for line in section.every("tr"):
            cells = [one.text for one in line.every("td")]
            if cells:
                rows.append((name, cells[0], cells[1], int(cells[2])))
    late: dict[str, int | None] = {}
    for line in page.every("li"):
        said = re.match(r"Piece ([A-Z]+) is (\d+) days? late", line.text)
        never = re.match(r"Nobody can \w+ piece ([A-Z]+)", line.text)
        if said:
            late[said[1]] = int(said[2])
        elif never:
            late[never[1]] = None
    sittings = tuple(
        Sitting(
            date.fromisoformat(one["day"]), [*one.values()][1], one["piece"], one["by_the_evening"], int(one["minutes"])
        )
        for one in csv.DictReader(io.StringIO(table))
    )
    return Knitters(due, totals, tuple(rows), sittings, late)
