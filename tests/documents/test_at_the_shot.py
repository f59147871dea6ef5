"""At a shot the run sheets, printed and for screens, and the page on the table say the same; by the clock it is so."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from pathlib import Path

from pypdf import PdfReader

from lessonplan.documents.floorwork import FloorJob, floor_jobs
from lessonplan.documents.runsheetpaper import run_sheet_paper
from lessonplan.documents.table import table_view
from lessonplan.documents.worklines import StageLines
from lessonplan.planning.worked import Plan
from lessonplan.shoot.day import Day, Entry
from tests.walk.paper import Element, read_page


def plain(text: str) -> str:
    return "".join(text.split())


def page_of(folder: Path, name: str) -> Element:
    return read_page((folder / name).read_text(encoding="utf-8"))


def by_shot(page: Element, name: str) -> Mapping[str, str]:
    shots = [one for one in page.every(name, "shot") if one.first("span", "num")]
    heads = [one.first("h3" if name == "li" else "h2") for one in shots]
    return {head.said("span", "num"): plain(one.text) for head, one in zip(heads, shots, strict=True) if head}


def lines_in(stages: tuple[StageLines, ...]) -> Iterator[str]:
    for stage in stages:
        yield stage.title
        yield from (f"{line.rounds}: {line.text}".removeprefix(": ") for line in stage.lines)


def test_three_papers_say_the_same_at_a_shot(sample: Plan, sample_output: Path) -> None:
    for day in sample.days:
        number = day.number + 1
        sheet = page_of(sample_output, f"run-sheet-{number}.html")
        page, table = by_shot(sheet, "li"), by_shot(page_of(sample_output, f"table-{number}.html"), "article")
        pdf = PdfReader(sample_output / f"run-sheet-{number}.pdf").pages
        paper = plain(" ".join(one.extract_text() for one in pdf))
        for card in run_sheet_paper(sample, day).shots:
            at = card.at
            for text in (at.for_good, *at.goes_on, *at.care, *at.before, *at.between, *at.meanwhile):
                assert plain(text) in page[card.number], (card.number, text)
                assert plain(text) in table[card.number], (card.number, text)
                assert plain(text) in paper, (card.number, text)
    # Of the second day: water at the bath, and an iron after it.
    assert "Keepthewaterawayfromlights,plugsandcameras." in page["3.4.2"]
    assert "Thewaterof3.4.2isoffthetablefirst" in page["3.4.3"]


def test_what_to_work_stands_on_the_pages_too(sample: Plan, sample_output: Path) -> None:
    """Who has only a tablet can work a piece that must stand in, and what is knitted meanwhile."""
    for day in sample.days:
        number, sheet = day.number + 1, run_sheet_paper(sample, day)
        page = plain(page_of(sample_output, f"run-sheet-{number}.html").text)
        table = by_shot(page_of(sample_output, f"table-{number}.html"), "article")
        last = sheet.shots[-1].number
        for job in sheet.jobs:
            for text in (*lines_in(job.stages), job.stop):
                assert plain(text) in page, (job.piece, text)
                assert plain(text) in table[last if job.night else job.at], (job.piece, text)
        for one in sheet.spoilt:
            for text in (*lines_in(one.stages), one.stop, one.moved):
                assert plain(text) in page, (one.letter, text)
                assert plain(text) in table[one.number], (one.letter, text)
    # K stands in for 3.2.4 from round 9 of the top on, which it has been worked to round 8 for 3.2.3.
    assert plain("Rounds 9 to 13 (MC): K1, ssk, k to 3 sts before marker") in table["3.2.4"]


def test_which_ball_of_a_yarn_lies_on_a_tray_is_said(sample: Plan) -> None:
    """G, H, O and N bring their own balls (the pack list says so); the swatch's hands and the table's take others."""
    for day in sample.days:
        sheet = run_sheet_paper(sample, day)
        own = {letter: text.rpartition(", with its ")[2] for letter, text in sheet.pieces}
        for tray in sheet.trays:
            for text in tray.tools:
                found = re.fullmatch(r"(MC|CC)(?: \(the balls? of (.+)\))?", text)
                letters = re.findall("[A-Z]", found[2] or "") if found else []
                assert all(found and found[1] in own[letter] for letter in letters)
    trays = {one.segment: one.tools for day in sample.days for one in run_sheet_paper(sample, day).trays}
    yarns = {number: [one for one in tools if one[:2] in ("MC", "CC")] for number, tools in trays.items()}
    assert {number: texts for number, texts in yarns.items() if texts} == {
        "1.1": ["MC", "CC"],  # what one needs, shown
        "1.3": ["CC"],  # cast on from nothing; D and E come with theirs
        "1.5": ["MC (the ball of G)"],
        "2.1": ["MC (the ball of H)"],
        "2.4": ["CC (the ball of G)"],
        "3.3": ["CC (the balls of N and O)"],
    }
    cards = {one.number: one for day in sample.days for one in run_sheet_paper(sample, day).shots}
    assert "CC (the balls of N and O)" in cards["3.3.2"].at.tools


def minutes_at(day: Day, job: FloorJob) -> Iterator[float]:
    """The middles of the minutes in which a job is done: one after the other, but none in a break."""
    left, now = job.spent, job.begin + 0.5
    while left:
        if not any(one.kind in ("rest", "lunch") and one.start <= now < one.end for one in day.entries):
            yield now
            left -= 1
        now += 1


def filmed(day: Day) -> list[Entry]:
    return [one for one in day.entries if one.kind == "shot"]


def test_who_knits_as_a_shot_is_filmed_is_named_at_it(sample: Plan) -> None:
    day = sample.days[0]
    busy = dict[str, set[str]]()
    for job in floor_jobs(sample, day):
        times = [] if job.crumb or job.night else list(minutes_at(day, job))
        for one in filmed(day):
            if any(one.start <= now < one.end for now in times):
                busy.setdefault(one.number, set()).add(job.piece)
    shots = [one for one in table_view(sample, day).shots if one.meanwhile]
    named = {one.text.number: set(re.findall(r" (?:piece|with) ([A-Z])\b", " ".join(one.meanwhile))) for one in shots}
    assert busy == named
    assert len(busy) == 9  # as the head of the run sheet counts them


def test_work_ends_in_the_shot_that_is_named(sample: Plan) -> None:
    day, told = sample.days[0], 0
    ends = {(job.piece, job.start): list(minutes_at(day, job))[-1] for job in floor_jobs(sample, day)}
    shots = {one.number: one for one in filmed(day)}
    for text in [text for one in table_view(sample, day).shots for text in one.then]:
        found = re.search(r"^F(rom \S+) .* piece ([A-Z]) .*going on into ([\d.]+)[;,]", text)
        if found:
            end, shot = ends[found[2], f"f{found[1]}"], shots[found[3]]
            assert shot.start - 1 <= end <= shot.end, text
            told += 1
    assert told == 3  # G into 2.1.2, H into 2.2.2, and again until the wrap


def test_work_before_a_shot_and_between_its_takes_is_told_at_both(sample: Plan) -> None:
    # O is drawn shut for take 2 of 3.3.1 in 2 min: the wait before the shot is 1 min, the other is between its takes.
    shots = {one.text.number: one for one in table_view(sample, sample.days[1]).shots}
    (first,), (rest,) = shots["3.3.1"].first, shots["3.3.1"].between
    assert ". Of this 1 min comes before the shot, the rest between its takes, where what cannot be undone is " in first
    assert first.startswith("If 3.2.4 has not moved O on: ")
    assert rest.startswith("Minna Quillbeck goes on with O ")
    (then,) = shots["3.2.4"].then
    assert ", going on between the takes of 3.3.1; for take 2 of 3.3.1 it must be: " in then
