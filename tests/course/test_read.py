from __future__ import annotations

import os
from pathlib import Path

import pytest

from lessonplan.course.problems import Problem, Where
from lessonplan.course.read import load
from tests.small_course import COURSE, EPISODE, PATTERN, write_course


def problems(folder: Path, **files: str) -> list[Problem]:
    names = {"course": "course.yaml", "pattern": "pattern.yaml", "episode": "episodes/01.yaml", "errata": "errata.yaml"}
    write_course(folder, {names[key]: text for key, text in files.items()})
    return list(load(folder).problems)


def only(folder: Path, **files: str) -> Problem:
    found = problems(folder, **files)
    assert len(found) == 1, [str(problem) for problem in found]
    return found[0]


def test_the_small_course_is_fine(tmp_path: Path) -> None:
    loaded = load(write_course(tmp_path))
    assert loaded.problems == ()
    assert loaded.course is not None
    assert loaded.course.pattern.stages["body"].after == ("edge",)


def test_an_unknown_key_names_the_nearest(tmp_path: Path) -> None:
    problem = only(tmp_path, course=COURSE.replace("host:", "host: A\nhots:"))
    assert (problem.where.line, problem.where.column, problem.code) == (3, 1, "unknown-key")
    assert "“host”" in problem.hint


def test_a_missing_key_points_at_its_parent(tmp_path: Path) -> None:
    problem = only(tmp_path, pattern=PATTERN.replace("  edge:\n    title: Edge\n", "  edge:\n"))
    assert (problem.code, problem.where.line) == ("missing-key", 7)
    assert "“title”" in problem.message


def test_everything_wrong_is_said_in_one_go_and_in_reading_order(tmp_path: Path) -> None:
    found = problems(
        tmp_path,
        course=COURSE.replace("title: Ring cowl", "title: Ring cowl\nedtion: 2"),
        pattern=PATTERN.replace("stitches: 20", "stitches: -20").replace("cast_on: 40", "cast_on: some"),
        episode=EPISODE.replace("needs: before edge", "needs: before hedge"),
    )
    assert [(p.where.file, p.code) for p in found] == [
        ("course.yaml", "unknown-key"),
        ("pattern.yaml", "wrong-value"),
        ("pattern.yaml", "wrong-value"),
    ] or [(p.where.file, p.code) for p in found] == [
        ("course.yaml", "unknown-key"),
        ("pattern.yaml", "wrong-value"),
        ("pattern.yaml", "wrong-value"),
        ("episodes/01.yaml", "unknown-stage"),
    ]


def test_rules_between_files_are_tried_although_another_file_has_a_mistake(tmp_path: Path) -> None:
    found = problems(
        tmp_path,
        course=COURSE.replace("title: Ring cowl", "title: Ring cowl\nedtion: 2"),
        episode=EPISODE.replace("needs: before edge", "needs: before hedge"),
    )
    assert [p.code for p in found] == ["unknown-key", "unknown-stage"]


@pytest.mark.parametrize(
    ("old", "new", "line", "words"),
    [
        ("stitches: 20", "stitches: -20", 2, "more than 0"),
        ("stitches: 20", "stitches: many", 2, "not a number"),
        ("cast_on: 40", "cast_on: 0", 9, "A cast-on has at least 1 stitch"),
        ("cast_on: 40", "cast_on: -40", 9, "A cast-on has at least 1 stitch"),
        ("rounds: 4", "rounds: 0", 11, "At least 1"),
        ("rounds: 4", "rounds: 5 apples", 11, "not a unit of length"),
        ("rounds: 4", "rounds: 2.5", 11, "no unit"),
        ("rounds: 4", "rounds: until it is long", 11, "until 16 stitches remain"),
        ("join: yes", "join: perhaps", 10, "yes or no"),
        ("metres: 200", "metres: [1, 2]", 4, "not a list"),
        ("cast_on: 40", "cast_off: 40", 9, "does not say what is done"),
        ("title: Body", "title:", 14, "missing"),
        ("metres: 200", 'metres: "1,000"', 4, "may mean 1000 or 1;"),
        ("grams: 100", "grams: 1e308", 4, "more than anybody"),
        ("rounds: 10\n", "rounds: 41/2 in\n", 17, "blank between"),
        ("title: Ring cowl", "title: Ring cowl\nmargin: 1", 2, "“1 %” or “100 %”"),
        ("bind_off: all", "weave_ends: []", 19, "at least 1"),
        ("bind_off: all", "bind_off: []", 19, "at least 1"),
        ("bind_off: all", "hold: []\n        name: x", 19, "at least 1"),
        ("bind_off: all", "pick_up: []", 19, "at least 1"),
        ("bind_off: all", "graft: []", 19, "at least 1"),
        ("bind_off: all", "draw_through: []", 19, "at least 1"),
        ("bind_off: all", "increase: []", 19, "at least 1"),
        ("bind_off: all", "decrease: []", 19, "at least 1"),
        ("bind_off: all", "cord: []", 19, "at least 1"),
        ("bind_off: all", "minutes: []", 19, "at least 1"),
        ("bind_off: all", "units: []\n        unit: x\n        each: 1 min", 19, "at least 1"),
        ("cast_on: 40", "cast_on: []", 9, "missing"),
        ("bind_off: all", "block: 20 min\n        drying: 10001 h", 20, "longer than anybody"),
    ],
)
def test_a_wrong_value_in_the_pattern_is_one_sentence(
    tmp_path: Path, old: str, new: str, line: int, words: str
) -> None:
    problem = only(tmp_path, pattern=PATTERN.replace(old, new, 1))
    assert words in problem.message
    assert (problem.where.file, problem.where.line) == ("pattern.yaml", line)


def test_a_length_without_unit_is_refused(tmp_path: Path) -> None:
    text = PATTERN.replace("rounds: 28}", "rounds: 28, over: 10}")
    assert "no unit" in only(tmp_path, pattern=text).message


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("after: edge", "after: hedge", "unknown-stage"),
        ("title: Edge\n", "title: Edge\n    after: body\n", "cycle"),
        ("  body:", "  Body-2:", "stage-name"),
        ("- bind_off: all", "- bind_off: all\n        yarn: CC", "unknown-yarn"),
        ('lines: "Knit"', "chart: leaves", "unknown-chart"),
        ("- bind_off: all", "- take_up: thumb", "not-held"),
        ("cast_on: 40", "cast_on: 40 (44, 48)", "sizes"),
        ('\n        lines: "Knit"', "", "no-lines"),
    ],
)
def test_rules_of_the_pattern(tmp_path: Path, old: str, new: str, code: str) -> None:
    assert only(tmp_path, pattern=PATTERN.replace(old, new, 1)).code == code


def sized(value: str) -> str:
    return PATTERN.replace("title: Ring cowl", "title: Ring cowl\nsizes: [S, M, L]").replace(
        "rounds: 10\n", f"rounds: {value}\n"
    )


@pytest.mark.parametrize(
    ("value", "code", "words"),
    [
        ("20 (24, 22)", "sizes-order", "size M"),
        ("5.5 (5, 6) cm", "sizes-order", "size M"),
        ("5 (57, 63) mm", "sizes-jump", "sizes S and M"),
        ("20 (22, 240)", "sizes-jump", "sizes M and L"),
        ("24 (22, 20)", "", ""),
        ("6 (7, 6)", "", ""),
        ("1 (2, 4)", "", ""),
        ("40", "", ""),
    ],
)
def test_sizes_out_of_order_are_questioned(tmp_path: Path, value: str, code: str, words: str) -> None:
    found = problems(tmp_path, pattern=sized(value), course=COURSE + "film_size: M\n")
    assert [(p.severity, p.code, p.where.line) for p in found] == ([("note", code, 18)] if code else [])
    assert not found or words in found[0].message


def test_measures_out_of_order_are_questioned(tmp_path: Path) -> None:
    text = sized("10") + "measures:\n  neck: 50 (45, 60) cm\n"
    (problem,) = problems(tmp_path, pattern=text, course=COURSE + "film_size: M\n")
    assert (problem.code, problem.where.line) == ("sizes-order", 22)
    assert "“neck”" in problem.message


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        ("stitches: 20", "stitches: 280", 2),
        ("rounds: 28}", "rounds: 28, over: 100 mm}", 0),
        ("stitches: 20", "stitches: 1", 2),
        ("    title: Body\n", "    title: Body\n    gauge: {stitches: 75, rounds: 28}\n", 15),
        ("    title: Body\n", "    title: Body\n    gauge: {stitches: 28, rounds: 40}\n", 0),
    ],
)
def test_a_gauge_beyond_belief_is_questioned(tmp_path: Path, old: str, new: str, line: int) -> None:
    found = problems(tmp_path, pattern=PATTERN.replace(old, new, 1))
    assert [(p.severity, p.code, p.where.line) for p in found] == ([("warning", "gauge", line)] if line else [])


def test_a_multiple_of_nothing_is_refused(tmp_path: Path) -> None:
    assert only(tmp_path, pattern=PATTERN.replace("join: yes", "multiple: 0")).where.line == 10


def test_a_chain_of_many_stages_is_read_and_its_circle_found(tmp_path: Path) -> None:
    stage = "  s{0}:\n    title: S{0}\n    after: {1}\n    works: [{{minutes: 1}}]\n"
    chain = "".join(stage.format(n, f"s{n - 1}, s{n - 2}" if n > 1 else "edge") for n in range(1, 199))
    text = PATTERN + chain.replace("s0", "edge")
    assert problems(tmp_path, pattern=text) == []
    found = only(tmp_path, pattern=text.replace("title: Edge\n", "title: Edge\n    after: s198\n", 1))
    assert (found.code, found.where.line) == ("cycle", 8)


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("needs: before edge", "needs: before hedge", "unknown-stage"),
        ("needs: before edge", "needs: half done please", "state"),
        ("leaves: edge round 1", "leaves: edge round 1\n            kinds: [huge]", "kind"),
        ('- work: "k1, p1"', "- do: wave", "hands-time"),
        ('- work: "k1, p1"', "- time: 5 s", "hands"),
        ("view: overhead", "view: overhead\n        takes: 0", "wrong-value"),
    ],
)
def test_rules_of_the_episodes(tmp_path: Path, old: str, new: str, code: str) -> None:
    assert only(tmp_path, episode=EPISODE.replace(old, new, 1)).code == code


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("films: [1]", "films: [2]", "unknown-shot"),
        ("films: [1]", "films: [1, 1.1]", "filmed-twice"),
        ("wrap: 17:00", "wrap: 8:00", "wrap"),
        ("wrap: 17:00", "wrap: 17:00\n    lunch: 18:00", "lunch"),
        ("title: Ring cowl", "title: Ring cowl\nfilm_size: XL", "unknown-size"),
        ("call: 9:00", "call: 25:00", "wrong-value"),
        ("day: 2027-03-06", "day: next Saturday", "wrong-value"),
    ],
)
def test_rules_of_the_shoot(tmp_path: Path, old: str, new: str, code: str) -> None:
    codes = {problem.code for problem in problems(tmp_path, course=COURSE.replace(old, new, 1))}
    assert code in codes


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ("pace: {knitting: 1e999}\n", "more than anybody"),
        ("pace: {speech: 1e-300}\n", "less than anybody"),
        ("pace: {set_up: 999999 h}\n", "longer than anybody"),
        ("techniques: {k: 1e300}\n", "more than anybody"),
        ("samples: {days_to_spare: 1_0}\n", "not a whole number"),
        ("knitters: [{name: A, hours_per_week: 1_0}]\n", "not a number"),
        ("knitters: [{name: A, hours_per_week: 101}]\n", "at most 100"),
        ("knitters: [{name: A, starts: 0001-01-01}]\n", "between 1990 and 2199"),
        ("knitters: [{name: A, away: [2027-01-01 to 9999-12-31]}]\n", "between 1990 and 2199"),
    ],
)
def test_a_value_beyond_sense_in_the_course_is_one_sentence(tmp_path: Path, more: str, words: str) -> None:
    problem = only(tmp_path, course=COURSE + more)
    assert words in problem.message
    assert (problem.severity, problem.where.file, problem.where.line) == ("error", "course.yaml", 8)


@pytest.mark.parametrize("day", ["0001-01-01", "1989-12-31", "2200-01-01", "9999-12-31"])
def test_a_day_at_the_ends_of_time_is_refused(tmp_path: Path, day: str) -> None:
    problem = only(tmp_path, course=COURSE.replace("2027-03-06", day))
    assert (problem.code, problem.where.line) == ("wrong-value", 4)
    assert "year" in problem.message


def test_a_decimal_comma_is_read_everywhere(tmp_path: Path) -> None:
    text = COURSE + 'pace: {knitting: "27,5", reset: "1,5 min"}\nknitters: [{name: A, hours_per_week: "6,5"}]\n'
    course = load(write_course(tmp_path, {"course.yaml": text})).course
    assert course is not None
    pace = course.course.pace
    assert (pace.knitting, pace.reset, course.course.knitters[0].hours_per_week) == (27.5, 1.5, 6.5)


def test_two_episodes_with_one_number(tmp_path: Path) -> None:
    write_course(tmp_path, {"episodes/02.yaml": EPISODE})
    found = load(tmp_path).problems
    assert [p.code for p in found] == ["episode-number"]
    assert found[0].where.file == "episodes/02.yaml"


def test_folders_that_are_no_course(tmp_path: Path) -> None:
    assert load(tmp_path / "nowhere").problems[0].code == "no-folder"
    (tmp_path / "file").write_text("x")
    assert load(tmp_path / "file").problems[0].code == "no-folder"
    (tmp_path / "empty").mkdir()
    (only,) = load(tmp_path / "empty").problems
    assert (only.code, only.where) == ("not-a-course", Where(str(tmp_path / "empty"), 0, 0))


def test_missing_files_are_named(tmp_path: Path) -> None:
    write_course(tmp_path, {"pattern.yaml": "", "episodes/01.yaml": ""})
    assert {p.code for p in load(tmp_path).problems} == {"missing-file", "no-episodes"}


def test_yaml_pitfalls_mean_what_a_person_means(tmp_path: Path) -> None:
    text = COURSE.replace("wrap: 17:00", "wrap: 17:00\n    lunch: 12:30 for 1 h").replace("films: [1]", "films: [1.1]")
    loaded = load(write_course(tmp_path, {"course.yaml": text}))
    assert loaded.problems == ()
    assert loaded.course is not None
    day = loaded.course.course.shoot[0]
    assert day.lunch is not None
    assert (day.call, day.lunch.at, day.lunch.takes, day.films) == (540, 750, 60.0, ("1.1",))


@pytest.mark.parametrize("state", ["finished, edge round 3", "edge, nothing"])
def test_finished_stands_alone_in_a_state(tmp_path: Path, state: str) -> None:
    problem = only(tmp_path, episode=EPISODE.replace("needs: before edge", f'needs: "{state}"'))
    assert (problem.code, problem.where.line) == ("state", 8)
    assert "stands alone" in problem.message


def test_an_erratum_of_a_shot_that_is_not_there(tmp_path: Path) -> None:
    errata = (
        "errata:\n  - {found: 2027-04-01, by: A, where: shot 2.9.2, said: x, right: y}\n"
        "  - {found: 2027-04-01, by: A, where: shot 1.1.1, said: x, right: y}\n"
    )
    problem = only(tmp_path, errata=errata)
    assert (problem.severity, problem.where.file, problem.where.line) == ("warning", "errata.yaml", 2)


def test_what_is_no_plain_file_of_a_course_files_size_is_not_read(tmp_path: Path) -> None:
    course = write_course(tmp_path, {"pattern.yaml": "", "errata.yaml": "", "episodes/02.yaml": ""})
    (course / "pattern.yaml").mkdir()
    os.mkfifo(course / "errata.yaml")
    with (course / "episodes" / "02.yaml").open("wb") as film:
        film.truncate(60 * 2**30)  # sparse: takes no place on the disk
    told = [(problem.where.file, problem.code) for problem in load(course).problems]
    assert told == [("pattern.yaml", "not-a-file"), ("episodes/02.yaml", "too-big"), ("errata.yaml", "not-a-file")]
