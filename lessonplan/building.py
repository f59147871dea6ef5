"""Build every document of a course: plan it, lay out the views, render them, and write the folder in one go."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time
from functools import cache, partial
from operator import itemgetter
from pathlib import Path
from typing import Any, Self

from lessonplan.course.cells import csv_bytes
from lessonplan.course.files import UnfitError
from lessonplan.course.model.episodes import Episode
from lessonplan.course.model.publishing import Erratum
from lessonplan.course.problems import Problem, Where, error, has_errors, in_reading_order, note
from lessonplan.craft.words import words_of
from lessonplan.documents.calendarentries import (
    back_entries,
    due_entries,
    other_helpers,
    shoot_entries,
    sitting_entries,
)
from lessonplan.documents.changed import told_beyond
from lessonplan.documents.cuts import cuts_table, cuts_view
from lessonplan.documents.editfiles import EDIT_FILES
from lessonplan.documents.editor import chapters_from, cue_notes, freely_said, times_of
from lessonplan.documents.errata import errata_view
from lessonplan.documents.handout import HandoutView
from lessonplan.documents.index import index_view
from lessonplan.documents.knitters import KnittersView, knitters_view
from lessonplan.documents.overlaid import cue_table
from lessonplan.documents.papers import every_paper
from lessonplan.documents.posts import listed_chapters
from lessonplan.documents.ready import entry_lines, ready
from lessonplan.documents.table import TableView
from lessonplan.documents.timeline import timeline_view
from lessonplan.edit.captiondrafts import draft_captions, in_lines
from lessonplan.edit.chapters import chapters_of
from lessonplan.edit.cues.heard import heard_once_cut, laid_cues
from lessonplan.edit.kept import aligned_of
from lessonplan.planning.whatif import Reasons
from lessonplan.planning.worked import Plan, Result
from lessonplan.publish.editions import numbered, publish as keep_edition
from lessonplan.publish.homework import homework
from lessonplan.publish.obstacles import unready, with_obstacles
from lessonplan.publish.remarks import checked
from lessonplan.render.apart import MAX_SECONDS, StoppedError, apart
from lessonplan.render.edl import edl_bytes
from lessonplan.render.feed import FeedEntry, feed
from lessonplan.render.handout_page import handout_page
from lessonplan.render.ical import knitter_calendar, release_calendar, shoot_calendar
from lessonplan.render.otio import otio_bytes
from lessonplan.render.output import make_ready, write_whole
from lessonplan.render.pages import OWN, own_templates, page
from lessonplan.render.paper import Press
from lessonplan.render.pictures import Pictures
from lessonplan.render.table_page import table_page
from lessonplan.render.timed_text import Timed, subrip, webvtt
from lessonplan.samples.choice import Progress

PRINTERS = 1
"""So many PDFs are made at once."""


def documents(
    planned: Plan, why: Reasons | None = None, today: date | None = None, ending: str = ""
) -> Mapping[str, bytes]:
    """Render the documents whose names end so, all unless said, by the program's own templates: file name to bytes.

    They are the same bytes for the same plan. ``why`` puts on the step-sample plan what each piece is worth and what
    could be saved; ``today`` is the day from which the index says what comes next.
    """
    return _rendered(planned, why, None, today, ending)[0]


def documents_of(
    planned: Plan, course: Path, why: Reasons | None = None, today: date | None = None, ending: str = ""
) -> tuple[Mapping[str, bytes], tuple[Problem, ...]]:
    """Render the documents of a course whose names end so, by its own templates where it has some; what is wrong then.

    With those it is done in a process of its own, so that no template holds the program up for ever.
    """
    if not own_templates(course):
        return _rendered(planned, why, None, today, ending)
    try:
        return apart(_rendered, planned, why, course, today, ending)
    except StoppedError:
        what = f"These templates were stopped: they take over {MAX_SECONDS:.0f} s, or more memory than pages need."
        return {}, (error(Where(OWN), "template", what),)


def ready_to_publish(result: Result, course: Path) -> Result:
    """Give a result in which whatever stands in the way of publishing is an error; the papers are read for it.

    Raises ``OSError`` when a file cannot be read.
    """
    told = list[Problem]()

    @cache
    def papers(ending: str) -> Mapping[str, bytes]:
        """Make the papers whose names end so; what cannot be made is told."""
        if result.plan is None:
            return {}
        files, wrong = documents_of(result.plan, course, ending=ending)
        told.extend(one for one in wrong if one.severity == "error")
        return files

    papers(".html")
    found = result if told else with_obstacles(result, course, papers)  # what papers that fail leave out means nothing
    return replace(found, problems=in_reading_order((*found.problems, *told), found.files))


def _rendered(
    planned: Plan, why: Reasons | None, course: Path | None, today: date | None, ending: str
) -> tuple[Mapping[str, bytes], tuple[Problem, ...]]:
    files, wrong = dict[str, bytes](), list[Problem]()
    # PDFs are made in threads meanwhile, for typst lets go of Python's lock; templates of the course run one by one in
    # bounded memory, so that it is always the same one that lacks some.
    with Papers(planned, course, why=why, today=today) as papers, ThreadPoolExecutor(PRINTERS) as pool:
        begun = [
            (one.name, pool.submit(one.render, one.view()).result if one.printed and course is None else one.make)
            for one in papers
            if one.name.endswith(ending)
        ]
        for name, make in begun:
            try:
                files[name] = make()
            except UnfitError as bad:
                wrong.append(bad.problem)
        wrong += [_lacking(name, signs) for name, signs in sorted(papers.lacking.items())]
    return files, tuple(dict.fromkeys(wrong))


def _lacking(name: str, signs: str) -> Problem:
    what = f"{name} shows an empty box for {signs[:20]}: no font of paper has it. The pages for screens show it."
    hint = f"Put a font file (.ttf or .otf) that has it into a folder {OWN} of the course."
    return note(Where("course.yaml"), "no-sign", what, hint)


@dataclass(frozen=True, slots=True)
class _File:
    """A file of the output: what stands in it, worked out when asked for, and how that is rendered."""

    name: str
    view: Callable[[], Any]
    render: Callable[[Any], bytes]
    there: Callable[[], object] = lambda: True  # asked only of a file that is wanted: it may take a while to tell

    @property
    def printed(self) -> bool:
        """Whether it is a PDF."""
        return self.name.endswith(".pdf")

    def make(self) -> bytes:
        """Work it out and render it."""
        return self.render(self.view())


class Papers:
    """The files of a plan by their names, each made only when it is asked for, and without the others.

    ``course``: the folder of a course with templates of its own; ``why`` and ``today`` as for `documents`; ``sends``:
    the address to which the page on the table sends its log. Else the same plan gives the same bytes as a build. Close
    it, or use it in a ``with``, where PDFs are made by own templates.
    """

    def __init__(
        self,
        planned: Plan,
        course: Path | None = None,
        *,
        why: Reasons | None = None,
        today: date | None = None,
        sends: str = "",
    ) -> None:
        file = planned.course.course
        self._planned, self._course, self._why, self._today = planned, course, why, today
        self._sends = sends
        self._press = Press(file.language, file.paper, stamp_of(planned), course)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *bad: object) -> None:
        self._press.__exit__(None, None, None)

    @property
    def names(self) -> tuple[str, ...]:
        """The names of all files."""
        return tuple(one.name for one in self)

    @property
    def lacking(self) -> Mapping[str, str]:
        """The signs that no font has, by the printed paper, of those made so far."""
        return self._press.lacking

    def html(self, name: str) -> bytes:
        """Render the page of a name (``handout.html``) and no other; nothing is remembered of it.

        Raises ``KeyError`` when the plan has no such page, `UnfitError` for what is wrong with an own template.
        """
        if not name.endswith(".html"):
            raise KeyError(name)
        return self.file(name)

    def file(self, name: str) -> bytes:
        """Make the file of a name, of whatever form. Raises as `html`."""
        for one in self._every():
            if one.name == name and one.there():
                return one.make()
        raise KeyError(name)

    def __iter__(self) -> Iterator[_File]:
        return (one for one in self._every() if one.there())

    def _every(self) -> Iterator[_File]:
        planned, words = self._planned, words_of(self._planned.course.pattern)
        yield _File("index.html", partial(index_view, planned, self._today), partial(self._page, "index.html"))
        for paper, number, part in every_paper(planned):
            name = paper.name(number, words)
            view = cache(partial(paper.view, planned, part, self._why))
            if paper.printed:
                yield _File(f"{name}.pdf", view, partial(self._print, paper.template, f"{name}.pdf"))
            else:
                yield _File(f"{name}.html", view, partial(self._page, paper.template))
            if paper.table:
                yield _File(f"{name}.csv", view, partial(_spreadsheet, paper.table))
            if isinstance(part, Episode) and paper.template == "editor.html":
                cuts, known = partial(cuts_view, planned, part), partial(aligned_of, planned, part.episode)
                yield _File(f"cuts-{number}.csv", cuts, partial(_spreadsheet, cuts_table), known)
        if not planned.again:
            for episode in planned.course.episodes:
                made = cache(partial(_by_name, edit_files, planned, episode))
                for group in EDIT_FILES:
                    there = partial(group.is_there, planned, episode.episode)
                    yield from (_File(name, made, itemgetter(name), there) for name, _ in group.names(episode.episode))
            yield _File("errata.atom", partial(errata_feed, planned), bytes)
        for name, data in calendar_files(planned, knitters_view(planned)):
            yield _File(name, partial(bytes, data), bytes)

    def _page(self, template: str, view: object) -> bytes:
        pictures, language = Pictures(self._planned), self._planned.course.course.language
        if isinstance(view, TableView):
            return table_page(view, pictures, language, self._course, sends=self._sends)
        if isinstance(view, HandoutView):
            return handout_page(view, pictures, language, self._course)
        return page(template, view, self._course, language=language, pictures=pictures)

    def _print(self, template: str, name: str, view: object) -> bytes:
        return self._press.paper(template, view, Pictures(self._planned), name)


def _spreadsheet(rows: Callable[[Any], Iterable[Sequence[str]]], view: object) -> bytes:
    return csv_bytes(rows(view))


def _by_name(files: Callable[..., Iterator[tuple[str, bytes]]], *given: object) -> Mapping[str, bytes]:
    return dict(files(*given))


def edit_files(planned: Plan, episode: Episode) -> Iterator[tuple[str, bytes]]:
    """Write the files of an episode for its editor: those of `EDIT_FILES`, each on the clock that the sheet names."""
    number = episode.episode
    title = f"{planned.course.course.title}, episode {number}"
    cues = [Timed(start, end, in_lines(text)) for start, end, text in laid_cues(planned, number)]
    then = [Timed(one.start, one.end, in_lines(one.cue.text)) for one in heard_once_cut(planned, number)]
    captions = [Timed(one.start, one.end, one.lines) for one in draft_captions(planned, number)]
    chapters = [Timed(one.start, one.end, (one.title,)) for one in chapters_of(planned, number)]
    clock = "Shots run as long as the takes to use, without handles; what is not filmed runs as planned."
    video = times_of(planned, number)
    yield f"cues-{number}.vtt", webvtt(title, cues, cue_notes(planned, number) or (clock,))
    yield f"cues-{number}.srt", subrip(cues)
    yield f"cues-{number}.csv", csv_bytes(cue_table(planned, number))
    if then:
        about = "Texts over the picture once all cuts of the editor’s sheet are made, at times after them."
        yield f"cues-{number}-cut.vtt", webvtt(title, then, (about,))
        yield f"cues-{number}-cut.srt", subrip(then)
    free = freely_said(planned, number)
    draft = f"A draft: put it right by ear. {clock}{' These are not the times of the video.' if video else ''}"
    yield f"captions-{number}.vtt", webvtt(title, captions, (draft, free))
    yield f"captions-{number}.srt", subrip(captions)
    found = f"Chapters {chapters_from(planned, number)}." if video else clock
    yield f"chapters-{number}.vtt", webvtt(title, chapters, (found,))
    yield f"chapters-{number}.txt", f"{listed_chapters(planned, number)}\n".encode()
    cut = timeline_view(planned, episode)
    yield f"timeline-{number}.otio", otio_bytes(cut)
    yield f"timeline-{number}.edl", edl_bytes(cut)


def stamp_of(planned: Plan) -> datetime:
    """Give the time that files bear in which one must stand: the course's own, so that bytes repeat."""
    return datetime.combine(planned.days[0].day, time(), tzinfo=UTC)


def errata_feed(planned: Plan) -> bytes:
    """Write the errata as a feed, by the course's lasting name."""
    file, agreed, log = planned.course.course, planned.course.agreed, planned.course.errata.errata
    entries = [
        FeedEntry(
            number=row.number,
            day=_told_on(planned, log[row.number - 1]),
            title=f"{row.where}: {row.stands}",
            text=f"Said or shown: {row.said}. Right: {row.right}."
            + (f" Right from {row.mended} on." if row.mended else ""),
        )
        for row in errata_view(planned).rows
    ]
    known_as = agreed.course if agreed and agreed.course else file.title
    begun, address = stamp_of(planned).date(), file.errata_address or file.address
    about = f"What was found wrong up to edition {numbered(planned)}, and what is right"
    return feed(file.title, file.host, entries, about=about, begun=begun, known_as=known_as, address=address)


def _told_on(planned: Plan, erratum: Erratum) -> date:
    """Give the day on which readers of the feed last had something new to learn of an erratum."""
    mended = (one.on for one in planned.course.published if one.edition == erratum.mended_in)
    return max((erratum.found, *(day for day in (erratum.changed, *mended) if day)))


def calendar_files(planned: Plan, knitters: KnittersView) -> Iterator[tuple[str, bytes]]:
    """Write the calendar files of knitters, helpers, shoot and episodes; the stamp is the course's, so bytes repeat.

    Every edition of the course and every agreement raises the number by which a calendar knows what is newer.
    """
    title, agreed = planned.course.course.title, planned.course.agreed
    common: dict[str, Any] = {
        "edition": planned.course.course.edition + (agreed.times if agreed else 0),
        "known_as": agreed.course if agreed else "",
        "stamp": stamp_of(planned),
    }
    whose = [(person.file, person.name) for person in knitters.people]
    for file, name in (*whose, *other_helpers(planned)):
        knits = (file, name) in whose
        sittings, own = (sitting_entries(planned, name), due_entries(planned, name)) if knits else ((), ())
        days, back = shoot_entries(planned, name), back_entries(planned, name)
        data = knitter_calendar(title, name, sittings, own, days=days, back=back, **common)
        if data:
            yield file, data
    released = [
        (home.episode, home.released, home.title, (*entry_lines(one), f"Edition {numbered(planned)}."))
        for home, one in zip(homework(planned), ready(planned), strict=True)
        if home.released
    ]
    if released:
        yield "release.ics", release_calendar(title, released, **common)
    yield "shoot.ics", shoot_calendar(title, shoot_entries(planned), due_entries(planned), **common)


def write_pick_ups(course: Path, planned: Plan, out: Path | None) -> Path:
    """Write the papers of a plan of pick-up shots into a folder of their own (``pick-ups`` inside the course).

    Raises as `build`.
    """
    target = out or course / "pick-ups"
    make_ready(target)
    write_whole(target, documents(planned))
    return target


def build(
    folder: Path | str,
    out: Path | str | None = None,
    *,
    why: Callable[[Plan], Reasons] | None = None,
    progress: Progress | None = None,
    today: date | None = None,
    publish: date | None = None,
) -> Result:
    """Build a course into a folder (``out`` inside the course unless given).

    Nothing is written when the course, or a template of its own, has errors; notes name the own templates. ``why``
    works out what each piece is worth (see `lessonplan.planning.whatif.reasons`), which takes much longer;
    ``progress`` is told how the choice of samples goes; ``today`` is the day from which work is planned and the index
    says what comes next (else that of the agreement); ``publish``: the day on which it is published, which is kept as
    a record of the course's edition and refused where one with other numbers is kept. Raises
    `lessonplan.render.output.OutputError` when the output folder holds anything else, ``OSError`` when a file cannot
    be read or written.
    """
    course, target = Path(folder), Path(out) if out else Path(folder) / "out"
    if course.is_dir():
        make_ready(target)
    result = checked(course, progress, today)
    if result.plan is None:
        return result
    if publish and any(one.code == "edition" for one in result.problems):
        stopped = (replace(one, severity="error") if one.code == "edition" else one for one in result.problems)
        return replace(result, plan=None, problems=tuple(stopped))
    files, told = documents_of(result.plan, course, why(result.plan) if why else None, today)
    problems = in_reading_order((*result.problems, *own_templates(course), *told), result.files)
    if has_errors(told):
        return replace(result, plan=None, problems=problems)
    write_whole(target, files)
    if publish:
        keep_edition(course, result.plan, publish, told_beyond(result.plan))
        problems = in_reading_order((*problems, *unready(result, course, files)), result.files)
    return replace(result, problems=problems)
