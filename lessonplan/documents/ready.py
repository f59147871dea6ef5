"""What a viewer has ready for each episode: how far the work is, the yarn that is still needed, and the tools."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import partial

from lessonplan.course.model.episodes import Episode
from lessonplan.course.names.toolbox import on_table
from lessonplan.course.words import capital, listing
from lessonplan.craft.lengths import sizes_text
from lessonplan.craft.words import rest_named, words_of
from lessonplan.documents.choices import hours_words, paces_words, ways_named
from lessonplan.documents.rounds import stitches
from lessonplan.documents.stopping import stitches as live_and_held
from lessonplan.documents.wording import rest_time
from lessonplan.pattern.amounts.materials import in_sizes, used
from lessonplan.pattern.amounts.yarn import is_waste, metres_by_yarn, pattern_loop, yarn_length
from lessonplan.pattern.variants.ways import Way, with_choice
from lessonplan.planning.worked import Plan
from lessonplan.publish.byepisode import all_stages, stage_episodes
from lessonplan.publish.homework import Homework, homework, quarters, stages_in


@dataclass(frozen=True, slots=True)
class Ready:
    """What is ready before an episode: its number and title, the state of the piece in hand, yarn in metres, tools.

    ``sizes`` names those of numbers in brackets, where there are several; ``yarns`` says their colours.
    ``made`` is what viewers have made beside the piece by then. ``names`` are the tools as the course lists them,
    ``tools`` the same as told, with what only some viewers need at the end.
    ``yarn`` has other materials too, ``stuff`` says what they are, ``what_for`` for what: the rest of the piece in
    hand, and those that are not begun. ``work`` words the hours of the work after the episode, ``paces`` at which,
    ``rests`` how long it then dries or is fired.
    """

    episode: int
    title: str
    sizes: str
    yarns: str
    state: str
    made: tuple[str, ...]
    names: tuple[str, ...]
    stuff: str
    what_for: str
    yarn: str
    tools: tuple[str, ...]
    work: str
    paces: str
    rests: str


def ready(plan: Plan) -> tuple[Ready, ...]:
    """Lay out what is to be ready for each episode."""
    begins = stage_episodes(plan)
    return tuple(
        Ready(
            episode=episode.episode,
            title=episode.title,
            sizes=sizes_named(plan),
            yarns=yarns_named(plan),
            state=_state(
                plan, [key for key, at in begins.items() if at < episode.episode], _made(plan, episode).values()
            ),
            made=tuple(_made(plan, episode).values()),
            names=_tools(plan, episode),
            stuff="Yarn" if plan.course.pattern.yarns else "Material",
            what_for=_what_for(plan.course.pattern.make, any(at < episode.episode for at in begins.values())),
            yarn="; ".join(_in_ways(plan, partial(_amounts, plan, episode.episode))),
            tools=tools_told(plan, _tools(plan, episode)),
            work=", ".join(_in_ways(plan, partial(_hours, plan, home))),
            paces=paces_words(plan.worked),
            rests=_rests(home),
        )
        for episode, home in zip(plan.course.episodes, homework(plan), strict=True)
    )


def sizes_named(plan: Plan) -> str:
    """Name the sizes as their numbers stand: ``Small (Medium, Large)``; nothing where there is one alone."""
    sizes = plan.course.pattern.sizes
    return sizes_text([size.name for size in sizes]) if len(sizes) > 1 else ""


def yarns_named(plan: Plan) -> str:
    """Say which colour each yarn is, where its key alone stands: ``MC is oatmeal, CC is tarn blue.``"""
    yarns = plan.course.pattern.yarns.items()
    named = ", ".join(f"{key} is {yarn.colour}" for key, yarn in yarns if yarn.colour and not yarn.waste)
    return f"{named}." if named else ""


def entry_lines(one: Ready) -> tuple[str, ...]:
    """Word what to have ready for an episode, and the work after it, as lines of a calendar entry."""
    return (
        f"Have ready: {one.state}",
        f"{one.stuff} {one.what_for}: {one.yarn}." if one.yarn else "",
        f"Tools: {', '.join(one.tools)}." if one.tools else "",
        f"After it {one.work}{f' ({one.paces})' if one.paces else ''}{f', and {one.rests}' if one.rests else ''}.",
        " ".join(text for text in (f"Numbers are for {one.sizes}." if one.sizes else "", one.yarns) if text),
    )


def _asked(plan: Plan, episode: Episode) -> tuple[str, ...]:
    return on_table(plan.course, (tool for part in episode.segments for shot in part.shots for tool in shot.tools))


def _tools(plan: Plan, episode: Episode) -> tuple[str, ...]:
    """Give the tools of an episode; its yarns have a line of their own, and so has what viewers make first."""
    beside = {*plan.course.pattern.yarns, *_made(plan, episode)}
    return tuple(one for one in _asked(plan, episode) if one not in beside)


def tools_told(plan: Plan, names: Iterable[str]) -> tuple[str, ...]:
    """Word tools by their names, those last that are needed on a condition alone: ``only if you steam: an iron``."""
    known, always, some = plan.course.course.tools, list[str](), dict[str, list[str]]()
    for name in names:
        only_if = known[name].viewers_only_if if name in known else ""
        (some.setdefault(only_if, []) if only_if else always).append(name)
    return (*always, *(f"only if {only_if}: {listing(each)}" for only_if, each in some.items()))


def _made(plan: Plan, episode: Episode) -> Mapping[str, str]:
    """Give what viewers make before an episode beside the piece, by the name of the tool: that no earlier one shows."""
    tools = plan.course.course.tools
    before = {name for one in plan.course.episodes if one.episode < episode.episode for name in _asked(plan, one)}
    new = (name for name in _asked(plan, episode) if name in tools and name not in before)
    made = ((name, tools[name]) for name in new if tools[name].viewers_make)
    return {
        name: f"{one.viewers_make}, only if {one.viewers_only_if}" if one.viewers_only_if else one.viewers_make
        for name, one in made
    }


def _state(plan: Plan, done: list[str], made: Iterable[str]) -> str:
    """Say how far each piece is: the stages that are done, the stitches on the needles, and what is made beside it."""
    beside = listing(list(made))
    if not done:
        return f"{capital(beside)}; else only tools and materials." if beside else "Only tools and materials."
    titles = [plan.course.pattern.stages[key].title for key in done]
    open_ends = [key for key in done if not any(key in plan.worked.pattern.before[other] for other in done)]
    left = [stitches([one.stitches for one in plan.worked.pattern.stages[key]]) for key in open_ends]
    on, words = listing([text for text in left if text]), words_of(plan.course.pattern)
    live = "on the needles" if words.tool == "needle" else words.live
    stand = "; ".join(filter(None, (f"{live} {on}" if on else "", _held(plan, done), beside)))
    return f"{listing(titles)} done{f'; {stand}' if stand else ''}."


def _held(plan: Plan, done: Collection[str]) -> str:
    """Say how many stitches wait on waste yarn once some stages are done; nothing where none do."""
    worked = plan.worked.pattern
    held = [
        live_and_held(tuple(len(worked.stage(key, size).steps) * (key in done) for key in worked.order), worked, size)[
            1
        ]
        for size in range(len(worked.sizes))
    ]
    return f"on waste yarn {stitches(held)}" if any(held) else ""


def _what_for(make: int, begun: bool) -> str:
    """Say for what the yarn is: viewers work along on one piece, and have the others before them whole."""
    if begun and make > 1:
        return f"for the rest and {'the second' if make == 2 else f'the other {make - 1}'}"
    return {1: "still needed", 2: "still needed for the pair"}.get(make, f"still needed for all {make}")


def _in_ways(plan: Plan, told: Callable[[Way], Mapping[str, tuple[str, str]]]) -> Iterator[str]:
    """Word amounts as filmed, and for each choice in which they are others: ``55 m of CC as filmed, 59 m with a loop``.

    ``told`` gives them for a way by a key of their own, each with what it is of.
    """
    filmed, *ways = ((way.name, told(way)) for way in ways_named(plan.worked))
    for key in dict.fromkeys(key for _, found in (filmed, *ways) for key in found):
        mine, of = filmed[1].get(key, ("", ""))
        others = [(name, *found[key]) for name, found in ways if key in found and found[key][0] != mine]
        parts = [f"{mine}{of}{' as filmed' if others else ''}"] if mine else []
        parts += [f"{text}{'' if parts or place else other} {name}" for place, (name, text, other) in enumerate(others)]
        yield ", ".join(parts)


def _amounts(plan: Plan, episode: int, way: Way) -> Mapping[str, tuple[str, str]]:
    """Word how much of each yarn and material is still needed at an episode: the rest of one piece, the others whole.

    The reserve is included.
    """
    pattern, worked = plan.course.pattern, way.worked
    left = [key for home in homework(plan) if home.episode >= episode for key in stages_in(plan, home, way)]

    def metres(keys: Iterable[str], size: int) -> dict[str, float]:
        """The metres of each yarn that some stages take in a size."""
        return metres_by_yarn((step for key in keys for step in worked.stage(key, size).steps), pattern_loop(pattern))

    sizes = range(len(worked.sizes))
    here, whole = ([metres(keys, size) for size in sizes] for keys in (left, worked.order))
    found = dict[str, tuple[str, str]]()
    for yarn in pattern.yarns:
        needed = [here[size].get(yarn, 0.0) + (pattern.make - 1) * whole[size].get(yarn, 0.0) for size in sizes]
        if any(needed) and not is_waste(pattern, yarn):
            in_all = [one * pattern.with_margin for one in needed]
            found[f":{yarn}"] = (yarn_length(pattern, in_all, "\u00a0"), f" of {yarn}")
    keys = (*left, *(pattern.make - 1) * tuple(worked.order))
    each = [
        {one.key: one for one in used(pattern, (step for key in keys for step in worked.stage(key, size).steps))}
        for size in sizes
    ]
    for name, material in pattern.materials.items():
        if amounts := [size[name] for size in each if name in size]:
            found[name] = (f"{material.name} {in_sizes(amounts)}", "")
    return found


def work_of(plan: Plan, home: Homework) -> str:
    """Word what is worked after an episode: its stages, of other choices too, and further pieces after the last."""
    pattern, ways = plan.course.pattern, ways_named(plan.worked)
    worked = {key for way in ways for key in stages_in(plan, home, way)}
    titles = [
        pattern.stages[key].title
        + ("" if key in home.stages else f" (only {' or '.join(map(with_choice, pattern.stages[key].when))})")
        for key in all_stages(pattern)
        if key in worked
    ]
    more = {0: (), 1: ("the second one from the beginning",)}.get(
        home.more, (f"the other {home.more} from the beginning",)
    )
    return listing([*titles, *more])


def _hours(plan: Plan, home: Homework, way: Way) -> Mapping[str, tuple[str, str]]:
    """Word the hours after an episode in all sizes, worked in a way, from a middling pace to a slow one."""
    return {"work": (hours_words(plan, lambda size, pace: [quarters(plan, home, way, size, pace)]), " of work")}


def _rests(home: Homework) -> str:
    """Word the time after an episode for which nobody's hands are needed: ``12 h to dry``."""
    leaves = listing(list(dict.fromkeys(rest_named(one).leave for one in home.rests)))
    return f"{rest_time(home.drying)} {leaves}" if leaves else ""
