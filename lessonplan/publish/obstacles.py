"""What `check --publish` says besides: what stands in the way of publishing a course (`remarks`: what `check` says)."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path

from lessonplan.course.model.episodes import Episode
from lessonplan.course.names.errataplaces import PLACES
from lessonplan.course.problems import Problem, Where, error, in_reading_order, warning
from lessonplan.course.words import clock_of, count_of
from lessonplan.edit.kept import captions_of
from lessonplan.edit.promises import promises_of
from lessonplan.edit.proof.episode import proof
from lessonplan.planning.worked import Plan, Result
from lessonplan.publish.cautions import uncautioned
from lessonplan.publish.editions import code_of
from lessonplan.publish.unprinted import Papers, left_out, own_printed

STOPPING = frozenset(
    {"chapters", "typed-number", "edition", "homework", "little-match", "picture", "unprinted", *PLACES}
)
"""Codes of remarks that keep a course from being published."""
HANDOUT = "handout.html"
_CODE = re.compile(r"Edition (\d+)(?: of [^<]*, code | \()([A-Z0-9]{4})\b")
"""Edition and code on a handout; earlier versions of the program wrote ``Edition 1 (RVGM)``."""


def with_obstacles(result: Result, folder: Path, papers: Papers) -> Result:
    """Give a result in which whatever stands in the way of publishing is an error.

    ``folder`` is the course's, ``papers`` makes the papers of its plan. Raises ``OSError`` when the handout that was
    built is there and cannot be read.
    """
    if result.plan is None:
        return result
    raised = [replace(one, severity="error") if one.code in STOPPING else one for one in result.problems]
    found = (
        *raised,
        *obstacles(result.plan),
        *uncautioned(result.plan),
        *left_out(result.plan, papers, own_printed(folder)),
        *_old_handout(result.plan, folder, papers),
    )
    return replace(result, problems=in_reading_order(found, result.files))


def unready(result: Result, folder: Path, files: Mapping[str, bytes]) -> Iterator[Problem]:
    """Tell whoever publishes papers, by their names, that something stands in the way all the same.

    Raises ``OSError`` when the handout that was built is there and cannot be read.
    """

    def papers(ending: str) -> Mapping[str, bytes]:
        """The papers whose names end so."""
        return {name: data for name, data in files.items() if name.endswith(ending)}

    found = [one for one in with_obstacles(result, folder, papers).problems if one.severity == "error"]
    if found and result.plan:
        stand = f"{count_of(len(found), 'thing')} still {'stands' if len(found) == 1 else 'stand'}"
        what = f"{stand} in the way of publishing this edition, though its papers are written."
        where = result.plan.course.course.mark("edition")
        yield warning(where, "not-ready", what, "They are listed by: lessonplan check COURSE --publish")


def obstacles(plan: Plan) -> Iterator[Problem]:
    """Give what is still to be done before a plan's course can be published."""
    for one in plan.course.errata.errata:
        if one.state == "open" and one.remedy == "none yet":
            what = f"What was found on {one.found} has no remedy yet: {one.said}."
            yield error(one.mark("where"), "no-remedy", what, "Write “remedy:” there, such as: text over the picture.")
    for episode in plan.course.episodes:
        yield from _unproofed(plan, episode)
        yield from _open_promises(plan, episode)


def _unproofed(plan: Plan, episode: Episode) -> Iterator[Problem]:
    """Say that nobody has proofed what is said in an episode, or that something found there is not decided."""
    captions, where = captions_of(plan, episode.episode), episode.mark("episode")
    if captions is None:
        what = f"What is said in episode {episode.episode} was never proofed: the course has no captions of it."
        yield error(where, "no-captions", what, f"Put them into captions/, as {episode.episode:02d}-name.vtt.")
        return
    found = proof(plan.worked, episode, captions)
    if found.open:
        waits = "waits" if len(found.open) == 1 else "wait"
        what = (
            f"Of what is said in episode {episode.episode}, {count_of(len(found.open), 'finding')} {waits} for a word."
        )
        hint = f"lessonplan proof COURSE {episode.episode} {captions.file}, then --erratum or --dismiss."
        yield error(where, "not-proofed", what, hint)


def _open_promises(plan: Plan, episode: Episode) -> Iterator[Problem]:
    captions = captions_of(plan, episode.episode)
    for one in promises_of(plan.worked, episode, captions):
        if one.open and (captions or one.source != "must say"):  # without captions nothing was heard yet
            at = "" if one.at is None else f" at {clock_of(one.at)}"
            due = f" ({one.due})" if one.due else ""
            what = f"Episode {episode.episode} promises{at}{due}: “{one.words}”, and it is not kept yet."
            if one.source == "mentions":
                what = f"Episode {episode.episode} mentions {one.words} ({one.due}), and it is not kept yet."
            if one.source == "must say":
                what = f"Episode {episode.episode} must say “{one.words}”, and it is not heard in its captions."
            hint = f"What shows that it is kept stands below “kept:” of the episode: {one.proof}."
            yield error(episode.mark("kept"), "promise", what, hint)


def _old_handout(plan: Plan, folder: Path, papers: Papers) -> Iterator[Problem]:
    """Say that the handout that was built is not the one that the course gives now."""
    path = folder / "out" / HANDOUT
    data = path.read_bytes() if path.is_file() else b""
    if data and data != papers(".html").get(HANDOUT, data):
        built = _CODE.search(data.decode("utf-8", errors="replace"))
        edition, code = str(plan.course.course.edition), code_of(plan)
        what = f"out/{HANDOUT} was built before texts of the course were changed."
        if built and built.groups() != (edition, code):
            what = f"out/{HANDOUT} is edition {built[1]} ({built[2]}); the course is edition {edition} ({code}) now."
        yield error(Where("pattern.yaml", 1, 1), "old-handout", what, "Build again: lessonplan build COURSE")
