"""What `check` says of a planned course once its episodes and kit are looked at (`obstacles`: to publish it)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

from lessonplan.course.model.publishing import Erratum
from lessonplan.course.names.errataplaces import PLACES, in_todays_episodes, timed
from lessonplan.course.problems import Problem, in_reading_order, note, warning
from lessonplan.course.rules.references import errata_places
from lessonplan.course.words import clock_of
from lessonplan.edit.kept import captions_of
from lessonplan.edit.problems import with_edit
from lessonplan.edit.proof.typed import with_typed
from lessonplan.edit.timing import shot_times
from lessonplan.planning.coverage import stages_told, told_works
from lessonplan.planning.plan import plan as planned
from lessonplan.planning.worked import Plan, Result
from lessonplan.publish.byepisode import placed_by_nothing, text_stages
from lessonplan.publish.cautions import told_twice
from lessonplan.publish.editions import used_editions
from lessonplan.publish.homework import too_much
from lessonplan.samples.choice import Progress


def checked(folder: Path | str, progress: Progress | None = None, today: date | None = None) -> Result:
    """Plan a course and say all that is to be said of it: what ``check`` prints, and a build begins with.

    ``today``: the day before which no work is planned. Raises ``OSError`` when a file cannot be read.
    """
    return remarked(with_edit(with_typed(planned(folder, progress=progress, today=today))))


def remarked(result: Result) -> Result:
    """Give a result with these remarks among its problems."""
    if result.plan is None:
        return result
    plan = result.plan
    more = (too_much(plan), unplaced(plan), used_editions(plan), past_the_end(plan), told_twice(plan), elsewhere(plan))
    found = (*result.problems, *(one for each in more for one in each))
    return replace(result, problems=in_reading_order(found, result.files))


def unplaced(plan: Plan) -> Iterator[Problem]:
    """Tell of stages that no shot works, nor anything after them: only the teacher knows whose homework they are."""
    for key, episode in placed_by_nothing(plan).items():
        stage = plan.course.pattern.stages[key]
        at = f"the handout has it as homework after episode {episode}"
        what = f"No shot works “{stage.title}” or anything after it: {at}."
        hint = f"If it belongs elsewhere, write “stage: {key}” at the segment that tells of it."
        yield note(stage.mark(), "homework-place", what, hint)


def elsewhere(plan: Plan) -> Iterator[Problem]:
    """Tell of a segment's text for the handout that tells how another stage of the segment is worked.

    It is printed at one stage, so that whoever works the other does not read it, or only when it is done.
    """
    at, shown = text_stages(plan), stages_told(plan.worked)
    for number, _, segment in plan.course.segments():
        here = {key for shot, keys in shown.items() if shot.segment == number for key in keys} - {at[number], ""}
        told, stages = told_works(segment.handout), plan.worked.pattern.stages
        for key in (key for key in plan.worked.pattern.order if key in here and at[number] in stages):
            own = {name for name, _ in stages[at[number]][0].works}
            if told & {name for name, _ in stages[key][0].works} - own:
                titles = [stages[one][0].title for one in (key, at[number])]
                what = f"The handout's text of {number} tells of “{titles[0]}” and is printed at “{titles[1]}”."
                hint = f"Write what belongs there as “note:” of a work of the stage {key}."
                yield note(segment.mark("handout"), "text-elsewhere", what, hint)


def no_place(plan: Plan, where: str) -> tuple[str, ...]:
    """Say why an erratum cannot stand at a place: it has braces, or what it names is not there, or is over by then."""
    if "{{" in where or "}}" in where:
        return ("A place names no fact: write the shot, its slate, or a time, such as “episode 1 at 2:05”.",)
    one = Erratum.model_construct(found=date.max, where=where, said="", right="", by="", state="open")
    log = plan.course.errata.model_copy(update={"errata": (one,)})
    course, told = in_todays_episodes(plan.course.model_copy(update={"errata": log}))
    there = replace(plan, worked=replace(plan.worked, course=course))
    found = (*told, *errata_places(course), *past_the_end(there))
    refused = [problem for problem in found if problem.code in PLACES - {"renumbered"} | {"unknown-slate"}]
    return tuple(dict.fromkeys(" ".join(filter(None, (problem.message, problem.hint))) for problem in refused))


def past_the_end(plan: Plan) -> Iterator[Problem]:
    """Tell of errata at a time at which their episode is over, as its captions have it or as it is planned."""
    known = {episode.episode for episode in plan.course.episodes}
    for one in plan.course.errata.errata:
        episode, second = timed(one.where) or (0, 0)
        if episode not in known:
            continue
        captions, times = captions_of(plan, episode), shot_times(plan, episode)
        heard = max((cue.end for cue in captions.cues), default=0) if captions else 0
        end = (heard or max((time.end for time in times), default=0)) / 1000
        if second > end:
            ends = "ends with its captions at" if heard else "is planned to end at"
            what = f"Episode {episode} {ends} {clock_of(end)}, and this stands at {clock_of(second)}."
            yield warning(one.mark("where"), "past-the-end", what)
