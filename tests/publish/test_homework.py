"""Homework between parts, worked by hand: a cowl in two parts whose minutes can be had in the head.

At P stitches a minute the edge takes 110 / P + 1.5 minutes, each of the ten rounds of the body 110 / P + 0.05, the
binding off its own stitches (the factor of BO, 1 here) and time to begin; a cast-on counts as a plain stitch here too.
"""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import icalendar
import pytest

import lessonplan
from lessonplan.building import calendar_files
from lessonplan.documents.knitters import knitters_view
from lessonplan.documents.posts import posts_view
from lessonplan.documents.ready import ready
from lessonplan.documents.release import homework_table, homework_view
from lessonplan.documents.wording import hours
from lessonplan.planning.worked import Plan
from lessonplan.publish.byepisode import stage_episodes
from lessonplan.publish.homework import homework, minutes, stages_in, too_much
from lessonplan.publish.remarks import remarked
from tests.documents import timed
from tests.documents.timed import COURSE, episode, shot
from tests.small_course import write_course

PATTERN = """\
title: Ring cowl
make: 3
gauge: {stitches: 20, rounds: 28}
needles: 5 mm
yarns:
  MC: {name: Plain wool, metres: 200, grams: 100}
stages:
  edge:
    title: Edge
    works:
      - cast_on: 110
  body:
    title: Body
    after: edge
    works:
      - rounds: 100
        lines: Knit
  wash:
    title: Wash
    after: body
    works:
      - minutes: 20
        what: washed and laid flat
        drying: 12 h
"""
RELEASE = "release: {first: 2027-05-07, days_between: 10%s}\n"


def course(folder: Path, release: str) -> lessonplan.Result:
    pieces = ("{needs: before edge, leaves: edge}", "{needs: before body, leaves: body done}")
    texts = [
        episode((shot("above", pieces=f"[{piece}]"),), number=number).replace("title: A\n", f"title: {name}\n")
        for number, (piece, name) in enumerate(zip(pieces, ("Edge", "Body"), strict=True), start=1)
    ]
    films = COURSE.replace("films: [1]", "films: [1, 2]")
    files = {"course.yaml": films + release, "pattern.yaml": PATTERN, "episodes/01.yaml": texts[0]}
    return lessonplan.plan(write_course(folder, {**files, "episodes/02.yaml": texts[1]}))


@pytest.fixture(scope="module")
def cowl(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    result = course(tmp_path_factory.mktemp("cowl"), RELEASE % ", hours_per_week: 6")
    assert result.plan is not None, [str(problem) for problem in result.problems]
    return result.plan


def test_parts_come_out_in_steps(cowl: Plan) -> None:
    first, second = homework(cowl)
    assert [one.rests for one in (first, second)] == [(), ("drying",)], "nothing of the edge must dry"
    assert (first.released, first.days, second.released, second.days) == (date(2027, 5, 7), 10, date(2027, 5, 17), 0)


def test_minutes_at_each_pace(cowl: Plan) -> None:
    filmed = cowl.worked.ways[0]
    first, second = homework(cowl)
    # Slow is 20 stitches a minute: 110 / 20 + 1.5 = 7 for the edge.
    assert minutes(cowl, first, filmed, 0, "slow") == pytest.approx(7.0)
    # Then 100 rounds of 110 / 20 + 0.05, the wash, and two whole cowls more: 3 x (555 + 20) + 2 x 7.
    assert minutes(cowl, second, filmed, 0, "slow") == pytest.approx(3 * (555 + 20) + 2 * 7)
    # Quick is 45 a minute; minutes of washing are the same for everybody.
    assert minutes(cowl, second, filmed, 0, "quick") == pytest.approx(
        3 * (100 * (110 / 45 + 0.05) + 20) + 2 * (110 / 45 + 1.5)
    )


def test_what_is_printed(cowl: Plan) -> None:
    first, second = homework_view(cowl).episodes
    assert (first.day, first.until) == ("Friday 7 May 2027", "until episode 2, Monday 17 May 2027")
    assert first.work == "Edge"
    assert [row.hours for row in first.rows] == [("¼", "¼", "¼")]
    assert second.work == "Body, Wash and the other 2 from the beginning"
    # 1,739 minutes are 28.98 hours; at 30 a minute 3 x (366.7 + 5 + 20) + 2 x 5.17 = 1,185 minutes, 19.76 hours.
    assert second.rows[0].hours[:2] == ("29", "20")  # in quarters upwards
    assert second.drying == "12 h to dry, without anybody’s hands"


def test_the_whole_is_what_the_episodes_add_up_to(cowl: Plan) -> None:
    (row,) = homework_view(cowl).whole
    # Slow: 7 and 1,739 minutes, ¼ and 29 hours; middling: 5.17 and 1,185, ¼ and 20; quick: 110 / 45 + 1.5 = 4 minutes
    # and 3 x (249.4 + 20) + 2 x 3.9 = 816, which are 13.6: ¼ and 13¾.
    assert row.hours == ("29¼", "20¼", "14")
    parts = [one.rows[0].hours for one in homework_view(cowl).episodes]
    for place, whole in enumerate(row.hours):
        assert sum(quarters_read(part[place]) for part in parts) == quarters_read(whole)


def quarters_read(words: str) -> int:
    """Read printed hours again, as quarters: ``29¼`` is 117."""
    whole = words.rstrip("¼½¾")
    return 4 * int(whole or 0) + {"": 0, "¼": 1, "½": 2, "¾": 3}[words.removeprefix(whole)]


def test_the_handout_has_the_sum_of_its_episodes(sample_output: Path) -> None:
    """Walked on the printed page: its hours as filmed are those behind each episode added up, in every size."""
    page = re.sub(r"<[^>]+>", "", (sample_output / "handout.html").read_text("utf-8"))
    one = r"([\d¼½¾]+)\s\(([\d¼½¾]+),\s([\d¼½¾]+)\)"
    after = re.findall(rf"After it {one} to {one}\sh of work", page)
    (whole,) = re.findall(rf"as filmedMC.*?{one} to {one}\sh", page)
    assert len(after) == 3
    assert [sum(quarters_read(each[place]) for each in after) for place in range(6)] == [*map(quarters_read, whole)]


@pytest.mark.parametrize(("taken", "words"), [(0, "0"), (1, "¼"), (2, "½"), (7, "1¾"), (8, "2"), (9, "2¼"), (12, "3")])
def test_quarters_are_worded_as_hours(taken: int, words: str) -> None:
    assert hours(taken) == words


def test_too_much_is_questioned_before_the_next_episode_only(tmp_path: Path) -> None:
    # The edge takes 110 / 30 + 1.5 = 5.2 minutes; 0.04 hours a week over 10 days are 3.4. None comes after episode 2.
    found = remarked(course(tmp_path, RELEASE % ", hours_per_week: 0.04")).problems
    told = [one for one in found if one.code == "homework"]
    assert len(told) == 1
    assert told[0].message == (
        "After episode 1 viewers have 0.1 hours of work at 30 stitches a minute, and 0.1 hours for it in 10 days."
    )
    assert told[0].hint.startswith("Leave 16 days between the episodes")  # 5.17 / 60 / 0.04 x 7 = 15.07


def test_enough_time_is_not_questioned(tmp_path: Path) -> None:
    assert "homework" not in [one.code for one in remarked(course(tmp_path, RELEASE % ", hours_per_week: 6")).problems]


def test_the_calendar_of_the_episodes(cowl: Plan) -> None:
    files = dict(calendar_files(cowl, knitters_view(cowl)))
    events = icalendar.Calendar.from_ical(files["release.ics"]).walk("VEVENT")
    assert [(str(event["summary"]), event.decoded("dtstart")) for event in events] == [
        ("Ring cowl, episode 1: All of it", date(2027, 5, 7)),
        ("Ring cowl, episode 2: All of it", date(2027, 5, 17)),
    ]
    assert "Have ready: Only tools and materials." in str(events[0]["description"])


WIDE = PATTERN.replace("title: Ring cowl\n", "title: Ring cowl\nsizes: Narrow, Wide\n").replace(
    "cast_on: 110", "cast_on: 110 (220)"
)


@pytest.mark.parametrize(("cast_on", "name"), [("110 (220)", "Wide"), ("220 (110)", "Narrow")])
def test_the_longest_size_is_named(tmp_path: Path, cast_on: str, name: str) -> None:
    # The edge takes 110 / 30 + 1.5 = 5.2 minutes, of 220 stitches 8.8; 0.09 hours a week over 10 days are 7.7.
    told = remarked(cowl_of(tmp_path, WIDE.replace("110 (220)", cast_on), 0.09)).problems
    (one,) = (one for one in told if one.code == "homework")
    assert one.message == (
        f"After episode 1 viewers have 0.1 hours of work in size {name} at 30 stitches a minute, "
        "and 0.1 hours for it in 10 days."
    )
    assert one.hint.startswith("Leave 12 days between the episodes")  # 8.83 / 60 / 0.09 x 7 = 11.45


def cowl_of(folder: Path, pattern: str, hours: float = 6.0) -> lessonplan.Result:
    """The cowl in two parts by another pattern."""
    course(folder, f"film_size: Narrow\n{RELEASE % f', hours_per_week: {hours}'}")
    (folder / "pattern.yaml").write_text(pattern, encoding="utf-8")
    return lessonplan.plan(folder)


BESIDE = """\
  flap:
    title: Flap
    after: edge
    works:
      - minutes: 5
        what: pinned out
        drying: 20 h
  sewn:
    title: Sewn
    after: wash, flap
    works:
      - minutes: 1
        what: dabbed with glue
        setting: 2 h
"""


def test_what_dries_beside_another_waits_no_longer(tmp_path: Path) -> None:
    plan = cowl_of(tmp_path, WIDE + BESIDE).plan
    assert plan is not None
    first, second = homework(plan)
    # In part 1 the edge and the flap that comes after it: 20 hours. Then 12 hours of washing, and 2 for the glue.
    assert (first.stages, first.drying, first.rests) == (("edge", "flap"), 20 * 60, ("drying",))
    assert (second.stages, second.drying, second.rests) == (("body", "wash", "sewn"), 14 * 60, ("drying", "setting"))
    assert (first.more, second.more) == (0, 2)


def sleeves(folder: Path) -> lessonplan.Result:
    """Three episodes, which work an edge, a sleeve and a collar, and four stages of which nothing is filmed."""
    stages = {
        "edge": ("", "cast_on: 110"),
        "body": ("edge", "lines: Knit, rounds: 20}, {bind_off: all"),
        "sleeve": ("body", "cast_on: 20}, {lines: 'Rnd 1: Knit', rounds: 9"),
        "second": ("body", "cast_on: 20}, {lines: 'Rnd 1: knit.', rounds: 9"),
        "hem": ("sleeve", "lines: Purl, rounds: 2"),
        "collar": ("hem", "lines: '*K1, p1; rep from * to end', rounds: 3"),
        "bow": ("edge", "minutes: 5, what: Tie a bow"),
    }
    text = WIDE[: WIDE.index("stages:")] + "stages:\n"
    for key, (after, work) in stages.items():
        text += f"  {key}: {{title: {key.title()}, {f'after: {after}, ' if after else ''}works: [{{{work}}}]}}\n"
    shots = (
        "{needs: before edge, leaves: edge}",
        "{needs: body, leaves: 'body, sleeve round 1'}",
        "{needs: hem, leaves: collar}",
    )
    files = {
        "course.yaml": COURSE.replace("films: [1]", "films: [1, 2, 3]") + "film_size: Narrow\n",
        "pattern.yaml": text,
    }
    for number, piece in enumerate(shots, 1):
        files[f"episodes/0{number}.yaml"] = episode((shot("above", pieces=f"[{piece}]"),), number=number)
    return lessonplan.plan(write_course(folder, files))


def test_what_no_shot_works_is_homework_right_before_what_comes_after_it(tmp_path: Path) -> None:
    # The body is needed for the sleeve of episode 2: homework of 1. The hem is needed for the collar of 3: homework of
    # 2, the sleeve is taught there. The second sleeve is worked as the first, so not before 2. Nothing places the bow.
    result = sleeves(tmp_path)
    assert result.plan is not None, [str(problem) for problem in result.problems]
    assert [one.stages for one in homework(result.plan)] == [
        ("edge", "body", "bow"),
        ("sleeve", "second", "hem"),
        ("collar",),
    ]
    (told,) = (one for one in remarked(result).problems if one.code == "homework-place")
    assert (told.severity, told.message) == (
        "note",
        "No shot works “Bow” or anything after it: the handout has it as homework after episode 1.",
    )
    assert "stage: bow" in told.hint


TRIMS = """\
  low:
    title: Low trim
    after: edge
    when: with a cord
    works:
      - minutes: 3
        what: trimmed below
  lower:
    title: Lower trim
    after: low
    when: with a cord
    works:
      - minutes: 2
        what: trimmed below that
  high:
    title: High trim
    after: wash
    when: with a cord
    works:
      - minutes: 4
        what: trimmed above
"""


def test_what_is_not_filmed_goes_with_what_it_comes_after(tmp_path: Path) -> None:
    plan = cowl_of(tmp_path, WIDE.replace("gauge:", "options:\n  trim: plain or with a cord\ngauge:") + TRIMS).plan
    assert plan is not None
    plain, cord = plan.worked.ways
    parts = [[set(stages_in(plan, home, way)) for home in homework(plan)] for way in (plain, cord)]
    assert parts[0] == [{"edge"}, {"body", "wash"}]
    assert parts[1] == [{"edge", "low", "lower"}, {"body", "wash", "high"}]
    first, second = homework(plan)
    assert minutes(plan, first, cord, 0, "slow") - minutes(plan, first, plain, 0, "slow") == pytest.approx(3 + 2)
    # Three cowls are made, and the low trims of the first are done in part 1.
    more = minutes(plan, second, cord, 0, "slow") - minutes(plan, second, plain, 0, "slow")
    assert more == pytest.approx(3 * 4 + 2 * (3 + 2))


def test_without_days_of_release_nothing_is_promised(tmp_path: Path) -> None:
    result = course(tmp_path, "")
    assert result.plan is not None
    assert [(one.released, one.days) for one in homework(result.plan)] == [(None, 0), (None, 0)]
    assert list(too_much(result.plan)) == []


def test_work_without_a_pace_has_one_column(root: Path) -> None:
    """A bowl takes 8, 3, 6 (9), 4, 15, 10, 10 and 10 minutes, whoever makes it: 66 (69), over an hour."""
    result = lessonplan.plan(root / "tests" / "courses" / "pottery")
    assert result.plan is not None
    view = homework_view(result.plan)
    assert view.paces == ("Hours",)
    assert [(row.size, row.hours) for row in view.episodes[0].rows] == [
        ("breakfast bowl", ("1¼",)),
        ("serving bowl", ("1¼",)),
    ]
    head, *rows = homework_table(view)
    assert (head[-2:], {len(row) for row in rows}) == (("hours", "edition"), {len(head)})
    assert {row[-1] for row in rows} == {view.edition}
    assert view.episodes[0].ready.yarn.replace("\u00a0", " ") == (
        "smooth stoneware clay 720 (1680) g; wax resist 5.5 ml; food-safe stoneware glaze 180 (390) ml"
    )
    posts = {one.what: one.text for one in posts_view(result.plan).episodes[0].posts}
    assert "\n- food-safe stoneware glaze: 180 (390) ml\n" in posts["Description"]
    assert posts["Newsletter"].startswith("“From the lump to the table” is out. ")


THREE = """\
title: Three bands
gauge: {stitches: 20, rounds: 28}
yarns:
  MC: {name: Plain wool, metres: 200, grams: 100}
stages:
  edge:
    title: Edge
    works: [{cast_on: 40, join: yes}, {rounds: 4, lines: Knit}]
  middle:
    title: Middle
    after: edge
    works: [{rounds: 2, lines: ["K10, p5, k25", "Knit"]}]
  top:
    title: Top
    after: middle
    works: [{rounds: 6, lines: Knit}, {bind_off: all}]
"""
OPENING = """\
episode: 1
title: One
segments:
  - title: Edge
    shots: [{view: overhead, pieces: [{needs: edge round 1, leaves: edge round 2}], say: One}]
"""
SECOND = """\
episode: 2
title: Two
segments:
  - title: Top
    shots:
"""


@pytest.mark.parametrize(
    ("shots", "at"),
    [
        (["pieces: [{needs: middle}], say: Here it is"], 1),
        (["pieces: [{needs: finished}], say: The aim", "pieces: [{needs: edge}], say: So far"], 1),
        (["pieces: [{needs: edge}], say: So far", "pieces: [{needs: middle}], say: Here it is"], 2),
        (['pieces: [{needs: edge}], hands: [{work: "P5"}], say: Purl these'], 2),
        (['pieces: [{needs: edge round 2}], hands: [{work: "P5"}], say: Purl these'], 1),
    ],
)
def test_what_an_episode_shows_undone_and_done_is_not_ready_before_it(
    tmp_path: Path, shots: list[str], at: int
) -> None:
    """The middle is never moved; the top is worked in episode 2, so that it would be homework after the first.

    A finished piece has more behind it than the middle, and a purl stitch is in no round of the edge.
    """
    last = "pieces: [{needs: top round 1, leaves: top round 2}], say: On we go"
    second = SECOND + "".join(f"      - {{view: overhead, {shot}}}\n" for shot in (*shots, last))
    course = COURSE.replace("films: [1]", "films: [1, 2]")
    files = {"course.yaml": course, "pattern.yaml": THREE, "episodes/01.yaml": OPENING, "episodes/02.yaml": second}
    result = lessonplan.plan(write_course(tmp_path, files))
    assert result.plan is not None, result.problems
    assert stage_episodes(result.plan) == {"edge": 1, "middle": at, "top": 2}
    assert ("Middle" in ready(result.plan)[1].state) == (at == 1)


APART = timed.PATTERN.replace(
    "      - bind_off: all\n", "  close:\n    title: Close\n    after: body\n    works:\n      - bind_off: all\n"
)


@pytest.mark.parametrize(
    ("text", "stage", "seen"),
    [
        ("Bind off loosely.", "body", True),
        ("Bind off loosely.", "close", False),
        ("Look at it once more.", "body", False),
    ],
)
def test_a_text_that_is_printed_at_another_stage_is_told_of(tmp_path: Path, text: str, stage: str, seen: bool) -> None:
    shots = (
        shot("face", pieces="[{needs: body round 1, leaves: body round 2}]", hands="[{do: knit, time: 1 min}]"),
        shot("face", pieces="[{needs: body, leaves: close}]", hands="[{do: bind off, time: 1 min}]"),
    )
    text = episode(shots).replace("    shots:", f"    stage: {stage}\n    handout: {text}\n    shots:")
    files = {"course.yaml": COURSE, "pattern.yaml": APART, "episodes/01.yaml": text}
    found = [
        one for one in remarked(lessonplan.plan(write_course(tmp_path, files))).problems if one.code == "text-elsewhere"
    ]
    assert [(one.where.line, one.message) for one in found] == [
        (6, "The handout's text of 1.1 tells of “Close” and is printed at “Body”.")
    ] * seen
