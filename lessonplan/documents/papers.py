"""The list of all papers: each is one entry, from which the pages are built and the index page is made."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import Any, Literal

from lessonplan.course.model.episodes import Episode
from lessonplan.course.model.groups import Words
from lessonplan.course.model.settings import Knitter
from lessonplan.course.words import capital, count_of, day_text
from lessonplan.craft.words import file_word, words_of
from lessonplan.documents.cuecards import cue_cards_view
from lessonplan.documents.editor import editor_view
from lessonplan.documents.editorcsv import editor_table
from lessonplan.documents.errata import errata_view
from lessonplan.documents.handout import handout_view
from lessonplan.documents.handoutpaper import LARGE, handout_paper
from lessonplan.documents.kit import kit_table, kit_view, slips_view
from lessonplan.documents.knitpaper import knitter_paper
from lessonplan.documents.knitters import knitters_table, knitters_view, knitters_with_work
from lessonplan.documents.labels import labels_view
from lessonplan.documents.overlaid import video_length
from lessonplan.documents.posts import posts_view
from lessonplan.documents.promises import promises_view
from lessonplan.documents.proofing import proof_of
from lessonplan.documents.proofpage import proof_view
from lessonplan.documents.release import homework_table, homework_view
from lessonplan.documents.runsheet import run_sheet_view
from lessonplan.documents.runsheetpaper import run_sheet_paper
from lessonplan.documents.samples import planned_minutes, samples_view
from lessonplan.documents.shotlist import shot_list_view
from lessonplan.documents.table import table_view
from lessonplan.documents.tasks import begun_on_set
from lessonplan.documents.wording import duration, screen_time
from lessonplan.planning.filmed.keptcaptions import Kept
from lessonplan.planning.whatif import Reasons
from lessonplan.planning.worked import Plan
from lessonplan.samples.knitters import who_knits
from lessonplan.shoot.clocks import on_screen
from lessonplan.shoot.day import Day

Reader = Literal["host", "knitters", "editor", "viewers"]
Rows = tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Paper:
    """A paper, or several alike, one for each part of a plan.

    ``file`` without its ending, ``title`` and ``about`` (a line for the index) may hold ``{}`` for the part's number
    or name, ``title`` also a word of the craft (``{words.makers}``).
    ``parts`` gives the parts with their numbers, ``view`` what stands on the paper of one, for its template
    ``template``: ``*.html`` gives a page for screens, ``*.typ`` a PDF. ``table``: the rows of a spreadsheet beside it,
    made from the view. ``of_day``: it is needed on the day or for it, and so for pick-up shots too.
    """

    file: str
    title: str
    reader: Reader
    template: str
    parts: Callable[[Plan], Iterator[tuple[int | str, Any]]]
    view: Callable[[Plan, Any, Reasons | None], Any]
    about: Callable[[Plan, Any], str]
    table: Callable[[Any], Rows] | None = None
    of_day: bool = False

    def name(self, number: int | str, words: Words) -> str:
        """Give the file's name, without its ending, for a part, in the words of the craft."""
        return self.file.format(number, maker=file_word(words.maker), makers=file_word(words.makers))

    def heading(self, number: int | str, part: object, words: Words) -> str:
        """Give the title for a part: ``{}`` is its number, ``{1.name}`` its name, in the words of the craft."""
        text = self.title.format(number, part, words=words)
        return capital(text)

    @property
    def printed(self) -> bool:
        """Whether it is a PDF."""
        return self.template.endswith(".typ")

    @property
    def ending(self) -> str:
        """The ending of its file."""
        return ".pdf" if self.printed else ".html"


def _one(plan: Plan) -> Iterator[tuple[int, None]]:
    yield 1, None


def _kit(plan: Plan) -> Iterator[tuple[int, None]]:
    if plan.course.course.kit:
        yield 1, None


def _released(plan: Plan) -> Iterator[tuple[int, None]]:
    if plan.course.course.release or len(plan.course.episodes) > 1:
        yield 1, None


def _days(plan: Plan) -> Iterator[tuple[int, Day]]:
    yield from ((day.number + 1, day) for day in plan.days)


def _episodes(plan: Plan) -> Iterator[tuple[int, Episode]]:
    yield from ((episode.episode, episode) for episode in plan.course.episodes)


def _heard(plan: Plan) -> Iterator[tuple[int, Kept]]:
    yield from ((kept.episode, kept) for kept in plan.captions)


def _promised(plan: Plan) -> Iterator[tuple[int, None]]:
    if promises_view(plan).episodes:
        yield 1, None


def _work(plan: Plan, _: None) -> str:
    hours = duration(sum(planned_minutes(plan)))
    anew = sum(bool(begun_on_set(plan, piece)) for piece in plan.choice.pieces)
    brought = f"{count_of(len(plan.choice.pieces) - anew, 'piece')} to bring"
    return f"{brought}{f', {anew} begun on the set' if anew else ''}, {hours} of work"


def _length(plan: Plan, episode: Episode) -> str:
    clocks = (one for one in plan.worked.clocks.values() if one.number.episode == episode.episode)
    length = screen_time(on_screen(clocks).mean)
    video = video_length(plan, episode.episode)
    told = f"planned {length} in {count_of(len(episode.segments), 'segment')}"
    return f"{episode.title}: {told}; video {video}" if video else f"{episode.title}: {told.removeprefix('planned ')}"


def _sizes(plan: Plan, _: None) -> str:
    title, sizes = plan.course.pattern.title, len(plan.course.pattern.sizes)
    return title if sizes == 1 else f"{title}, {sizes} sizes"


def _makers(plan: Plan, _: None) -> str:
    words, count = words_of(plan.course.pattern), len(who_knits(plan.course))
    return f"Who {words.makes} what by when: {count} {words.maker if count == 1 else words.makers}"


def _cards(plan: Plan, _: Knitter) -> str:
    given = "the yarn" if plan.course.pattern.yarns else "the materials"
    return f"the paper to give with {given}: a card for each piece"


def _cut_apart(plan: Plan, day: Day) -> str:
    shots = count_of(len(day.shots), "shot")
    cards = len(cue_cards_view(plan, day).cards)
    return f"{count_of(cards, 'card')} for {shots}, to be cut apart" if cards else f"empty: nothing slips in {shots}"


def _kits(plan: Plan, _: None) -> str:
    kit = plan.course.course.kit
    asked = sum(one.number for one in kit.kits) if kit else 0
    spare = f", and {100 * kit.spare:g}\u00a0% more" if kit and kit.spare else ""
    return (
        f"what to order and pack for {count_of(asked, 'kit')}{spare}" if asked else "what each holds, what is from home"
    )


def _errata(plan: Plan, _: None) -> str:
    return count_of(len(plan.course.errata.errata), "entry").replace("entrys", "entries")


PAPERS: tuple[Paper, ...] = (
    Paper(
        file="step-samples",
        of_day=True,
        title="{words.samples}",
        reader="host",
        template="step-samples.html",
        parts=_one,
        view=lambda plan, _, why: samples_view(plan, why),
        about=_work,
    ),
    Paper(
        of_day=True,
        file="{makers}",
        title="{words.makers}",
        reader="knitters",
        template="knitters.html",
        parts=_one,
        view=lambda plan, _, __: knitters_view(plan),
        about=_makers,
        table=knitters_table,
    ),
    Paper(
        of_day=True,
        file="{maker}-{}",
        title="Pieces for {1.name}",
        reader="knitters",
        template="knitter.typ",
        parts=knitters_with_work,
        view=lambda plan, knitter, _: knitter_paper(plan, knitter),
        about=_cards,
    ),
    Paper(
        file="labels",
        of_day=True,
        title="Labels",
        reader="knitters",
        template="labels.typ",
        parts=_one,
        view=lambda plan, _, __: labels_view(plan),
        about=lambda plan, _: f"a tag for each piece: {len(plan.choice.pieces)}",
    ),
    Paper(
        file="run-sheet-{}",
        of_day=True,
        title="Run sheet, day {}",
        reader="host",
        template="run-sheet.html",
        parts=_days,
        view=lambda plan, day, _: run_sheet_view(plan, day),
        about=lambda _, day: day_text(day.day),
    ),
    Paper(
        file="run-sheet-{}",
        of_day=True,
        title="Run sheet on paper, day {}",
        reader="host",
        template="run-sheet.typ",
        parts=_days,
        view=lambda plan, day, _: run_sheet_paper(plan, day),
        about=lambda _, __: "the day on one page, trays to cut out, the shots",
    ),
    Paper(
        file="table-{}",
        of_day=True,
        title="On the table, day {}",
        reader="host",
        template="table.html",
        parts=_days,
        view=lambda plan, day, _: table_view(plan, day),
        about=lambda _, __: "for the tablet on the set, with the take log",
    ),
    Paper(
        file="cue-cards-{}",
        of_day=True,
        title="Cue cards, day {}",
        reader="host",
        template="cue-cards.html",
        parts=_days,
        view=lambda plan, day, _: cue_cards_view(plan, day),
        about=lambda _, __: "numbers, words that are easily swapped, fixed sequences",
    ),
    Paper(
        file="cue-cards-{}",
        of_day=True,
        title="Cue cards on paper, day {}",
        reader="host",
        template="cue-cards.typ",
        parts=_days,
        view=lambda plan, day, _: cue_cards_view(plan, day),
        about=_cut_apart,
    ),
    Paper(
        file="shot-list",
        title="Shot list",
        reader="host",
        template="shot-list.html",
        parts=_one,
        view=lambda plan, _, __: shot_list_view(plan),
        about=lambda plan, _: f"{count_of(len(plan.worked.clocks), 'shot')} by view",
    ),
    Paper(
        file="editor-{}",
        title="Editor’s sheet, episode {}",
        reader="editor",
        template="editor.html",
        parts=_episodes,
        view=lambda plan, episode, _: editor_view(plan, episode),
        about=_length,
        table=editor_table,
    ),
    Paper(
        file="proof-{}",
        title="What was said, episode {}",
        reader="editor",
        template="proof.html",
        parts=_heard,
        view=lambda plan, kept, _: proof_view(plan, proof_of(plan, kept)),
        about=lambda _, kept: f"numbers and sequences in {kept.name} against the pattern",
    ),
    Paper(
        file="handout",
        title="Handout",
        reader="viewers",
        template="handout.html",
        parts=_one,
        view=lambda plan, _, __: handout_view(plan),
        about=_sizes,
    ),
    Paper(
        file="handout",
        title="Handout on paper",
        reader="viewers",
        template="handout.typ",
        parts=_one,
        view=lambda plan, _, __: handout_paper(plan),
        about=lambda _, __: "to print, with a box to tick for each line",
    ),
    Paper(
        file="handout-large",
        title="Handout in large print",
        reader="viewers",
        template="handout.typ",
        parts=_one,
        view=lambda plan, _, __: handout_paper(plan, large=True),
        about=lambda _, __: f"{LARGE:g} point",
    ),
    Paper(
        file="release",
        title="Episodes and homework",
        reader="viewers",
        template="release.html",
        parts=_released,
        view=lambda plan, _, __: homework_view(plan),
        about=lambda plan, _: f"what to have ready for each, hours between: {len(plan.course.episodes)} episodes",
        table=homework_table,
    ),
    Paper(
        file="texts",
        title="Texts to paste",
        reader="host",
        template="texts.html",
        parts=_one,
        view=lambda plan, _, __: posts_view(plan),
        about=lambda _, __: "descriptions, a pinned note, a newsletter, alt texts",
    ),
    Paper(
        file="kit",
        title="Kit",
        reader="host",
        template="kit.html",
        parts=_kit,
        view=lambda plan, _, __: kit_view(plan),
        about=_kits,
        table=kit_table,
    ),
    Paper(
        file="kit-slips",
        title="Slips for the kits",
        reader="host",
        template="kit-slips.typ",
        parts=_kit,
        view=lambda plan, _, __: slips_view(plan),
        about=lambda _, __: "a page for each sort of kit, to lay in",
    ),
    Paper(
        file="promises",
        title="Promises",
        reader="host",
        template="promises.html",
        parts=_promised,
        view=lambda plan, _, __: promises_view(plan),
        about=lambda plan, _: f"what episodes promise: {promises_view(plan).open} open",
    ),
    Paper(
        file="errata",
        title="Errata",
        reader="viewers",
        template="errata.html",
        parts=_one,
        view=lambda plan, _, __: errata_view(plan),
        about=_errata,
    ),
)
"""All papers but the index and the calendars, in the order of the index; a new paper is one entry more."""


def every_paper(plan: Plan) -> Iterator[tuple[Paper, int | str, Any]]:
    """Give every paper of a plan with its part; papers that follow each other for the same parts go by part."""
    wanted = (paper for paper in PAPERS if paper.of_day or not plan.again)
    for _, group in groupby(wanted, key=lambda paper: paper.parts):
        papers = tuple(group)
        for number, part in papers[0].parts(plan):
            yield from ((paper, number, part) for paper in papers)
