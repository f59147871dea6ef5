"""Texts to paste where the videos are published: descriptions, a pinned note, a paragraph for a newsletter, alt texts.

Everything in them comes from the course; what only the host can put in stands in square brackets.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from lessonplan.course.model.episodes import Episode
from lessonplan.course.model.publishing import Erratum
from lessonplan.course.words import capital, clock_of, count_of, day_text, listing
from lessonplan.craft.words import words_of
from lessonplan.documents.choices import choices_view
from lessonplan.documents.cuts import cuts_view
from lessonplan.documents.editor import chapter_lines
from lessonplan.documents.errata import is_in
from lessonplan.documents.materials import materials, tool_lines
from lessonplan.documents.places import Place, correction, cut_times, is_planned, place_of, shot_places, still_met
from lessonplan.documents.proofing import proof_of
from lessonplan.documents.ready import Ready, ready, sizes_named
from lessonplan.edit.kept import captions_of
from lessonplan.edit.promises import OWN, promises_of
from lessonplan.edit.spoken import as_written, has_no_capitals, plain
from lessonplan.edit.video import for_viewers, made_cuts
from lessonplan.pattern.amounts.yarn import metres_by_yarn, pattern_loop
from lessonplan.pattern.texts import fill, for_all_sizes
from lessonplan.planning.worked import Plan
from lessonplan.publish.cautions import cautions
from lessonplan.publish.editions import numbered
from lessonplan.publish.homework import Homework, homework

SHORT = 160
"""Signs of a short description at most: so many are shown before one clicks for more (planning guess, from memory)."""

SMALL = " [words from captions without capitals: look over names]"
"""What stands behind words of which nothing tells how they are written."""


@dataclass(frozen=True, slots=True)
class Post:
    """A text to paste: what it is for, and the text itself."""

    what: str
    text: str


@dataclass(frozen=True, slots=True)
class EpisodePosts:
    """The texts of one episode; ``times`` says of which video the times in them are, ``open`` what may be missing."""

    number: int
    title: str
    times: str
    open: str
    posts: tuple[Post, ...]


@dataclass(frozen=True, slots=True)
class PostsView:
    """What stands on the page of texts to paste."""

    title: str
    edition: str
    episodes: tuple[EpisodePosts, ...]


def posts_view(plan: Plan) -> PostsView:
    """Lay out the texts of every episode."""
    file = plan.course.course
    parts = zip(plan.course.episodes, ready(plan), homework(plan), strict=True)
    return PostsView(file.title, numbered(plan), tuple(_episode(plan, *part) for part in parts))


def _episode(plan: Plan, episode: Episode, one: Ready, home: Homework) -> EpisodePosts:
    posts = [
        Post("Short description", _short(plan, episode)),
        Post("Description", _long(plan, episode, one)),
        Post("Pinned note", _pinned(plan, episode)),
        Post("Newsletter", _newsletter(plan, episode, one, home)),
        Post("Alt text for its picture", _alt(plan, episode)),
    ]
    # Where they are pasted, blanks that do not break are shown as odd signs now and then.
    texts = tuple(Post(one.what, one.text.replace("\u00a0", " ")) for one in posts)
    return EpisodePosts(episode.episode, episode.title, _times(plan, episode), _undecided(plan, episode.episode), texts)


def _undecided(plan: Plan, episode: int) -> str:
    """Say that findings in what was said are not decided: what is wrong of it stands in no text yet."""
    still = sum(len(proof_of(plan, kept).open) for kept in plan.captions if kept.episode == episode)
    found = f"{count_of(still, 'finding')} in what was said {'is' if still == 1 else 'are'} not decided"
    return f"{found}: what is wrong among them stands in none of these texts yet." if still else ""


def _times(plan: Plan, episode: Episode) -> str:
    """Say of which video the times are that stand in the texts of an episode."""
    captions, found = captions_of(plan, episode.episode), cuts_view(plan, episode)
    if captions is None or is_planned(plan, episode.episode):
        return ""
    made = made_cuts(plan, episode.episode)
    if made:
        return f"Times are those of the video by {captions.file}, after the {count_of(len(made), 'cut')} made in it."
    now = f"Times are those of the video as it is now, by {captions.file}, before any cut."
    return f"{now} {found.key}" if found and found.key else now


def _summary(plan: Plan, episode: Episode) -> str:
    text = episode.summary or plan.course.course.summary
    return plain(fill(text, for_all_sizes(plan.worked.facts)))


def _name(plan: Plan, episode: Episode) -> str:
    title = plain(fill(episode.title, for_all_sizes(plan.worked.facts)))
    if len(plan.course.episodes) == 1:
        return title
    return f"{title}. Episode {episode.episode} of {plan.course.course.title}"


def _short(plan: Plan, episode: Episode) -> str:
    """One line, as many whole sentences as fit."""
    text = f"{_name(plan, episode)}."
    for sentence in _summary(plan, episode).replace("\n\n", " ").split(". "):
        longer = f"{text} {sentence.rstrip('.')}."
        if len(longer) > SHORT or not sentence:
            break
        text = longer
    return text


def _long(plan: Plan, episode: Episode, one: Ready) -> str:
    file = plan.course.course
    for_all = materials(plan).for_all
    blocks = [
        f"{_name(plan, episode)}, with {file.host}.",
        _summary(plan, episode),
        listed_chapters(plan, episode.episode),
        _block(f"You need{f', {for_all}' if for_all else ''}", _needed(plan)),
        _block("Have ready for this episode", [one.state, *([f"Tools: {', '.join(one.tools)}."] if one.tools else [])]),
        _block("Handout and links", _links(plan, episode)),
        _block("Errata", _mistakes(plan, episode)),
        _block("Take care", cautions(plan, "viewers")),
    ]
    return "\n\n".join(block for block in blocks if block)


def listed_chapters(plan: Plan, episode: int) -> str:
    """Give the chapters of an episode to paste, a line each; before planned times it says that they are."""
    told = f"[times {cut_times(plan, episode)}: put in those of the video]"
    return "\n".join((*[told] * is_planned(plan, episode), *chapter_lines(plan, episode)))


def _block(title: str, lines: Iterable[str]) -> str:
    every = list(lines)
    return "\n".join([f"{title}:", *(f"- {line}" for line in every)]) if every else ""


def _needed(plan: Plan) -> Iterator[str]:
    """List what viewers need: first whose the numbers are, since a description is read without the handout."""
    things, choices = materials(plan), choices_view(plan)
    ranges = any("–" in yarn.amount for yarn in things.yarns)
    sizes = f"Numbers are for {sizes_named(plan)}." if sizes_named(plan) else ""
    chosen = " ".join(choices.sentences) if choices and ranges else ""
    key = f"{sizes}{f' Where there are two, the choice takes one or the other. {chosen}' if chosen else ''}".strip()
    yield from [key] * bool(key)
    for yarn in things.yarns:
        colour = f", {yarn.colour}" if yarn.colour else ""
        yield f"{yarn.name}{colour}: {yarn.amount}"
    yield from (f"{one.name}: {one.amount}" for one in things.used)
    yield from (*tool_lines(words_of(plan.course.pattern).tool, things.needles), *things.notions)


def _links(plan: Plan, episode: Episode) -> Iterator[str]:
    """The address of the handout, and what is promised for the description: the address that keeps it, or a place."""
    other = "on a copy with another code numbers are others"
    yield f"Handout, edition {numbered(plan)} ({other}), there in large print too: {_handout(plan)}"
    yield _errata_page(plan)
    for one in promises_of(plan.worked, episode, captions_of(plan, episode.episode)):
        if "description" in one.due and one.words not in OWN:
            at = "" if one.at is None else f"{clock_of(for_viewers(plan, episode.episode, one.at))} "
            words = f"“{as_written(one.words)}”" if one.source == "said" else one.words
            words += f" [what that is: before it comes “{as_written(one.unnamed)}”]" if one.unnamed else ""
            words += SMALL if one.source == "said" and has_no_capitals(one.words) else ""
            place = one.kept or (f"[link: {one.noted}]" if one.noted else "[link]")
            yield f"{at}{words}: {place}"


def _mistakes(plan: Plan, episode: Episode) -> Iterator[str]:
    """What this episode still says or shows wrong, at its time."""
    places = shot_places(plan)
    found: list[tuple[Place, Erratum]] = []
    for erratum in plan.course.errata.errata:
        place = place_of(plan, places, erratum)
        here = is_in(plan, erratum.where, episode.episode) if place.text else place.episode == episode.episode
        if here and still_met(plan, erratum, place):
            found.append((place, erratum))
    for place, erratum in sorted(found, key=lambda one: one[0]):
        at = f"{place.text}:" if place.text else place.time
        if place.chapter:
            at = f"[{at} as planned] in “{place.chapter}”:"
        said = erratum.said if at.endswith(":") else capital(erratum.said)
        yield f"{at} {said}. Right: {correction(plan, place, erratum).right}."


def _pinned(plan: Plan, episode: Episode) -> str:
    """What viewers are to see first: mistakes of this episode, or where the handout is."""
    mistakes = list(_mistakes(plan, episode))
    handout = f"The handout, edition {numbered(plan)}: {_handout(plan)}"
    return "\n".join([*([_block("Errata", mistakes)] if mistakes else []), handout, _errata_page(plan)])


def _handout(plan: Plan) -> str:
    return plan.course.course.address or "[the address of the handout]"


def _errata_page(plan: Plan) -> str:
    address = plan.course.course.errata_address or "[the address of the errata page]"
    return f"All errata, there as a feed too: {address}"


def _newsletter(plan: Plan, episode: Episode, one: Ready, home: Homework) -> str:
    title = plain(fill(episode.title, for_all_sizes(plan.worked.facts)))
    parts = len(plan.course.episodes) > 1
    out = f"is out on {day_text(home.released)}" if home.released else "is out"
    of_sizes = f" for {one.sizes}" if one.sizes and "(" in one.work else ""
    paces = f" ({one.paces})" if one.paces else ""
    rest = f"After it there are {one.work}{paces}{of_sizes}{f', and {one.rests}' if one.rests else ''}"
    until = f" until the next episode, in {home.days} days" if home.days else ""
    return " ".join(
        [
            f"Episode {episode.episode} of {plan.course.course.title}, “{title}”, {out}."
            if parts
            else f"“{title}” {out}.",
            _summary(plan, episode).replace("\n\n", " "),
            f"Watch it: [the address of the video]. Handout: {_handout(plan)}.",
            f"Have ready: {one.state}",
            f"{rest}{until}.",
        ]
    )


def _alt(plan: Plan, episode: Episode) -> str:
    """What a picture of the piece after an episode shows, for those who do not see it."""
    pattern = plan.course.pattern
    homes = (home for home in homework(plan) if home.episode <= episode.episode)
    done = [key for home in homes for key in home.stages]
    titles = [pattern.stages[key].title for key in done]
    worked = plan.worked.pattern
    steps = [step for key in done or worked.order for step in worked.stage(key, plan.worked.size).steps]
    seen = metres_by_yarn(steps, pattern_loop(pattern))
    colours = [one.colour for key, one in pattern.yarns.items() if key in seen and one.colour and not one.waste]
    last = episode is plan.course.episodes[-1]
    what = "finished" if last or not titles else f"with {listing(titles)} done"
    return f"{pattern.title}{f' in {listing(colours)}' if colours else ''}, {what}."
