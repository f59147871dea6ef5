"""A course planned: what is wrong across files, and what the plan holds."""

from __future__ import annotations

from pathlib import Path

import pytest

import lessonplan
from lessonplan.course.problems import Problem
from tests.small_course import COURSE, EPISODE, PATTERN, write_course


def only(folder: Path, **files: str) -> Problem:
    names = {"course": "course.yaml", "pattern": "pattern.yaml", "episode": "episodes/01.yaml"}
    write_course(folder, {names[key]: text for key, text in files.items()})
    found = lessonplan.plan(folder).problems
    assert len(found) == 1, [str(problem) for problem in found]
    return found[0]


def test_a_piece_only_moves_forward(tmp_path: Path) -> None:
    problem = only(tmp_path, episode=EPISODE.replace("before edge", "edge round 3"))
    assert (problem.code, problem.where.file, problem.where.line) == ("state", "episodes/01.yaml", 8)
    assert "moves forward" in problem.message


@pytest.mark.parametrize(
    ("state", "words"),
    [
        ("edge round 9", "has 4 rounds, not 9"),
        ("edge round 2, body", "contradicts “body”"),
        ("before edge, body", "contradicts “body”"),
    ],
)
def test_states_that_cannot_be(tmp_path: Path, state: str, words: str) -> None:
    text = EPISODE.replace("needs: before edge\n            leaves: edge round 1", f'needs: "{state}"')
    problem = only(tmp_path, episode=text.replace('- work: "k1, p1"', "- do: wave\n            time: 5 s"))
    assert problem.code == "state"
    assert words in problem.message


def test_a_piece_in_the_drawer_that_serves_no_shot_is_told_of(tmp_path: Path) -> None:
    """One stands where the shot needs it; the other is bound off for good."""
    drawer = "samples: {drawer: [{name: Old, state: body done}, {name: Near, state: before edge}]}\n"
    told = lessonplan.plan(write_course(tmp_path, {"course.yaml": COURSE + drawer})).problems
    assert [one.message for one in told if one.code == "drawer"] == ["“Old” from the drawer serves no shot."]


def test_what_no_kind_can_do_is_told_once_at_the_state(tmp_path: Path) -> None:
    shot = "- needs: body round 12\n            kinds: [full, small]"
    text = EPISODE.replace("- needs: before edge\n            leaves: edge round 1", shot)
    text = text.replace('- work: "k1, p1"', "- do: wave\n            time: 5 s")
    problem = only(tmp_path, episode=text, pattern=PATTERN.replace("yarns:", "small: 24 sts\nyarns:", 1))
    assert (problem.where.line, problem.message) == (8, "Shot 1.1.1: “body” has 10 rounds, not 12.")


@pytest.mark.parametrize(("pace", "words"), [("400", "above the published record"), ("1", "slower than")])
def test_a_pace_beyond_belief_is_questioned(tmp_path: Path, pace: str, words: str) -> None:
    problem = only(tmp_path, course=COURSE + f"pace: {{knitting: {pace}}}\n")
    assert (problem.severity, problem.code) == ("warning", "pace")
    assert words in problem.message


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ("pace: {set_up: 25 h}\n", "wrong-value"),
        ("pace: {hold: 999999 h}\n", "wrong-value"),
        ("pace: {speech: 0.001}\n", "endless-day"),
        ("pace: {on_camera: 0.001}\ntechniques: {k: 1000000}\n", "endless-day"),
    ],
)
def test_times_that_no_day_holds_are_an_error_of_the_course(tmp_path: Path, more: str, code: str) -> None:
    text = EPISODE.replace("say: We", "say: We " + "really " * 20)
    write_course(tmp_path, {"course.yaml": COURSE + more, "episodes/01.yaml": text})
    result = lessonplan.build(tmp_path, tmp_path / "out")
    errors = [p for p in result.problems if p.severity == "error"]
    assert [p.code for p in errors] == [code]
    assert errors[0].where.file == "course.yaml"
    assert errors[0].where.line == (4 if code == "endless-day" else 8)
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(("day", "starts"), [("1990-01-01", "2199-12-31"), ("2199-12-31", "1990-01-01")])
def test_the_first_and_the_last_day_can_be_built(tmp_path: Path, day: str, starts: str) -> None:
    text = (
        COURSE.replace("2027-03-06", day)
        + f"knitters: [{{name: A, starts: {starts}}}]\nsamples: {{days_to_spare: 365}}\n"
    )
    episode = EPISODE.replace("before edge", "edge round 3").replace("leaves: edge round 1", "leaves: edge round 4")
    write_course(tmp_path, {"course.yaml": text, "episodes/01.yaml": episode.replace('"k1, p1"', '"k1"')})
    result = lessonplan.build(tmp_path, tmp_path / "out")
    assert result.plan is not None, result.problems
    assert result.plan.calendar.ready


def test_a_width_that_takes_more_stitches_than_anybody_works(tmp_path: Path) -> None:
    problem = only(tmp_path, pattern=PATTERN.replace("cast_on: 40", "cast_on: 9999 m"))
    assert (problem.code, problem.where.line) == ("cast-on", 9)


def test_stitches_that_double_in_every_round_are_stopped(tmp_path: Path) -> None:
    pattern = PATTERN.replace('rounds: 10\n        lines: "Knit"', 'rounds: 1200\n        lines: "[Kfb] to end"')
    problem = only(tmp_path, pattern=pattern)
    assert (problem.code, problem.where.line) == ("line", 18)
    assert "nobody works" in problem.message


def test_a_factor_of_no_technique_is_named(tmp_path: Path) -> None:
    problem = only(tmp_path, course=COURSE + "techniques: {k2tg: 2}\n")
    assert "k2tog" in problem.hint


def test_an_unknown_fact_names_the_nearest_and_its_place(tmp_path: Path) -> None:
    problem = only(tmp_path, episode=EPISODE.replace("{{ edge.cast_on }}", "{{ edge.caston }}"))
    assert (problem.where.line, problem.where.column) == (12, 28)
    assert "edge.cast_on" in problem.hint


def test_a_fact_in_a_block_of_text_has_its_own_line(tmp_path: Path) -> None:
    block = "say: |\n          One line.\n          And {{ egde.rounds }} more."
    problem = only(tmp_path, episode=EPISODE.replace("say: We cast on {{ edge.cast_on }} stitches.", block))
    assert (problem.where.line, problem.where.column) == (14, 18)


def test_braces_left_open(tmp_path: Path) -> None:
    assert only(tmp_path, episode=EPISODE.replace("{{ edge.cast_on }}", "{{ edge.cast_on }")).code == "braces"


def test_a_drawer_piece_that_serves_nothing_is_a_remark(tmp_path: Path) -> None:
    # It is bound off for good; else it could be taken back to the yarn that the shot begins with.
    pattern = PATTERN.replace("- bind_off: all", "- bind_off: all\n        one_way: yes")
    drawer = "samples:\n  drawer:\n    - {name: old ring, state: finished}\n"
    problem = only(tmp_path, pattern=pattern, course=COURSE + drawer)
    assert (problem.severity, problem.code) == ("warning", "drawer")


def test_a_shot_on_no_day_is_a_warning(tmp_path: Path) -> None:
    more = EPISODE + "      - view: face\n        say: Goodbye.\n"
    problem = only(tmp_path, episode=more, course=COURSE.replace("films: [1]", "films: [1.1.1]"))
    assert (problem.severity, problem.code) == ("warning", "not-filmed")


def test_a_one_way_move_takes_a_fresh_piece_for_each_take(tmp_path: Path) -> None:
    pattern = PATTERN.replace("- bind_off: all", "- bind_off: all\n        one_way: yes")
    episode = (
        EPISODE.replace("before edge", "body round 10")
        .replace("edge round 1", "body")
        .replace("view:", "takes: 3\n        view:")
    )
    result = lessonplan.plan(
        write_course(tmp_path, {"pattern.yaml": pattern, "episodes/01.yaml": episode.replace("k1, p1", "k1")})
    )
    assert result.plan is not None, result.problems
    assert len(result.plan.choice.pieces) == 3


def test_nothing_of_the_course_is_changed(tmp_path: Path) -> None:
    course = write_course(tmp_path / "c")
    before = {path: path.read_bytes() for path in course.rglob("*") if path.is_file()}
    lessonplan.build(course, tmp_path / "out")
    assert {path: path.read_bytes() for path in course.rglob("*") if path.is_file()} == before


def test_a_piece_that_is_apart_serves_no_other_shot(tmp_path: Path) -> None:
    shots = (
        "      - {view: face, say: The tight one., pieces: [{needs: edge round 3APART}]}\n"
        "      - {view: face, say: The good one., pieces: [{needs: edge round 3}]}\n"
    )
    shared = lessonplan.plan(write_course(tmp_path / "a", {"episodes/01.yaml": EPISODE + shots.replace("APART", "")}))
    apart = lessonplan.plan(
        write_course(tmp_path / "b", {"episodes/01.yaml": EPISODE + shots.replace("APART", ", apart: yes")})
    )
    assert shared.plan is not None
    assert apart.plan is not None
    assert len(apart.plan.choice.pieces) == len(shared.plan.choice.pieces) + 1
    alone = next(piece for piece in apart.plan.choice.pieces if piece.stops[0].demand == "1.1.2")
    assert (alone.kind, len(alone.stops)) == ("full", 1)
    from lessonplan.planning.whatif import without_piece

    assert without_piece(apart.plan, alone.name) is None


SECOND = "  - {day: DAY, call: 10:00, wrap: 12:00, films: [1.1.2]}\n"
TWO_SHOTS = EPISODE + "      - {view: face, say: Goodbye.}\n"


@pytest.mark.parametrize("day", ["2027-03-06", "2027-03-05"])
def test_shoot_days_come_one_after_the_other(tmp_path: Path, day: str) -> None:
    course = COURSE.replace("films: [1]", "films: [1.1.1]") + SECOND.replace("DAY", day)
    problem = only(tmp_path, course=course, episode=TWO_SHOTS)
    assert (problem.code, problem.where.file, problem.where.line) == ("day-order", "course.yaml", 8)
    assert problem.message == f"{day} does not come after the shoot day before it."


def test_the_day_after_is_a_shoot_day(tmp_path: Path) -> None:
    course = COURSE.replace("films: [1]", "films: [1.1.1]") + SECOND.replace("DAY", "2027-03-07")
    write_course(tmp_path, {"course.yaml": course, "episodes/01.yaml": TWO_SHOTS})
    assert lessonplan.plan(tmp_path).problems == ()


@pytest.mark.parametrize(("call", "wrap"), [("9:00", "9:00"), ("9:00", "8:59")])
def test_a_day_wraps_after_its_call(tmp_path: Path, call: str, wrap: str) -> None:
    problem = only(tmp_path, course=COURSE.replace("9:00", call).replace("17:00", wrap))
    assert (problem.code, problem.message) == ("wrap", "The wrap is not after the call.")


@pytest.mark.parametrize("lunch", ["9:00", "17:00", "8:00"])
def test_lunch_lies_between_call_and_wrap(tmp_path: Path, lunch: str) -> None:
    problem = only(tmp_path, course=COURSE.replace("wrap: 17:00", f"wrap: 17:00\n    lunch: {lunch}"))
    assert (problem.code, problem.where.line) == ("lunch", 7)


def test_a_fact_that_is_not_there_is_found_in_the_errata_too(tmp_path: Path) -> None:
    errata = "errata:\n  - {found: 2027-05-01, by: A, where: 1.1.1, said: x, right: '{{ egde.rounds }}'}\n"
    write_course(tmp_path, {"errata.yaml": errata})
    (problem,) = lessonplan.plan(tmp_path).problems
    assert (problem.severity, problem.where.file, problem.where.line) == ("error", "errata.yaml", 2)


def test_an_erratum_in_a_shot_that_is_not_there_is_a_warning(tmp_path: Path) -> None:
    errata = "errata:\n  - {found: 2027-05-01, by: A, where: shot 1.1.4, said: x, right: y}\n"
    write_course(tmp_path, {"errata.yaml": errata})
    (problem,) = lessonplan.plan(tmp_path).problems
    assert (problem.severity, problem.code, problem.message) == ("warning", "unknown-shot", "There is no shot 1.1.4.")
