"""Agreed with the knitters: names that stay, what is knitted counted as there, and what changed said. All by hand."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from random import Random

import pytest

import lessonplan
from lessonplan.course.names.asked import state_text
from lessonplan.documents.errata import errata_rows, rows_for_episode
from lessonplan.planning.agreed.changes import changes
from lessonplan.planning.agreed.noting import note_done
from lessonplan.planning.filmed.kepttakes import KEPT
from lessonplan.planning.filmed.taking import take_in
from lessonplan.planning.worked import Plan
from lessonplan.samples.states import resolve, typed
from tests import command
from tests.planning.agreeable import BODY, EDGE, ERRATA, HELLO, KNITTERS, agreed, course, planned, refused
from tests.small_course import COURSE
from tests.walk.edits import Files
from tests.walk.variations import drawn

Pieces = dict[str, tuple[str, tuple[int, ...]]]


def pieces(plan: Plan) -> Pieces:
    return {piece.name: (piece.kind, piece.first) for piece in plan.choice.pieces}


def serves(plan: Plan) -> dict[str, list[str]]:
    return {piece.name: [stop.demand for stop in piece.stops] for piece in plan.choice.pieces}


def test_what_is_agreed_is_written_down(tmp_path: Path) -> None:
    """Four pieces: two rounds of the edge, all of it, five rounds of the body, and the whole ring."""
    lines = agreed(course(tmp_path)).splitlines()
    assert "on: 2027-01-02" in lines
    assert "times: 1" in lines
    assert lines[lines.index("shots:") + 2] == (
        "  - {slate: 2, shot: 1.1.2, segment: The edge, title: The whole edge, begins: and here it ends}"
    )
    stops = [line.split("stop: ")[1].split(",")[0] for line in lines if "stop: " in line]
    assert stops == ["edge round 2", "edge", "body round 5", "finished"]
    assert "progress:" not in lines


def test_a_plan_with_nothing_changed_is_what_was_agreed(tmp_path: Path) -> None:
    before = planned(course(tmp_path))
    agreed(tmp_path)
    after = planned(tmp_path)
    assert pieces(after) == pieces(before)
    assert after.calendar.assigned == before.calendar.assigned
    assert after.calendar.ready == before.calendar.ready
    assert changes(after) == ()
    assert lessonplan.plan(tmp_path).problems == ()


def test_agreeing_again_changes_the_count_alone(tmp_path: Path) -> None:
    first = agreed(course(tmp_path))
    assert agreed(tmp_path) == first.replace("times: 1", "times: 2")


def test_segments_moved_and_a_shot_added_rename_nothing(tmp_path: Path) -> None:
    agreed(course(tmp_path))
    before = pieces(planned(tmp_path))
    plan = planned(course(tmp_path, HELLO + BODY + EDGE, errata_yaml=ERRATA))
    assert pieces(plan) == before
    assert serves(plan) == {"C": ["1.2.1"], "D": ["1.2.2"], "A": ["1.3.1"], "B": ["1.3.2"]}
    wheres = [row.where for row in errata_rows(plan.worked)]
    assert wheres == ["shot 1.2.1 (slate 3)", "episode 1, shot 1.3.2 (slate 2)"], "newest first"
    assert len(rows_for_episode(plan, 1)) == 2
    assert rows_for_episode(plan, 2) == ()
    assert changes(plan) == ("Shot 1.1.1 is new since the agreement.",)
    (problem,) = lessonplan.plan(tmp_path).problems
    assert (problem.severity, problem.where.file, problem.where.line) == ("note", "episodes/01.yaml", 6)


def test_new_shots_get_the_next_slates(tmp_path: Path) -> None:
    agreed(course(tmp_path))
    text = agreed(course(tmp_path, HELLO + BODY + EDGE))
    rows = [line.split("segment")[0].strip() for line in text.splitlines() if "{slate" in line]
    assert rows == [
        "- {slate: 1, shot: 1.3.1,",
        "- {slate: 2, shot: 1.3.2,",
        "- {slate: 3, shot: 1.2.1,",
        "- {slate: 4, shot: 1.2.2,",
        "- {slate: 5, shot: 1.1.1,",
    ]


def test_what_is_knitted_costs_nothing_again(tmp_path: Path) -> None:
    """Three of the five rounds of piece C are done: two rounds of 40 plain stitches at 25 a minute are left to knit.

    A round takes 40 / 25 = 1.6 minutes, and 0.05 for itself.
    """
    agreed(course(tmp_path))
    before = planned(tmp_path)
    note_done(tmp_path, ["C body round 3, 12 min"])
    after = planned(tmp_path)
    assert pieces(after) == pieces(before)
    left = next(piece.bench for piece in after.choice.pieces if piece.name == "C")
    assert left == pytest.approx(2 * (1.6 + 0.05))
    assert after.calendar.load[after.calendar.assigned["C"]] < before.calendar.load[before.calendar.assigned["C"]]
    assert changes(after) == ()


def test_how_far_a_piece_is_may_be_said_with_the_titles_that_the_papers_have(tmp_path: Path) -> None:
    """A card says “First part, 3 of 5 rounds”, and the file alone calls that stage “body”; keys go before titles."""
    agreed(course(tmp_path))
    pattern = tmp_path / "pattern.yaml"
    text = pattern.read_text(encoding="utf-8")
    pattern.write_text(text.replace("title: Body", "title: First part").replace("title: Edge", "title: Body"))
    noted = note_done(tmp_path, ["C first part round 3, 12 min", "D body round 2"])[1]
    assert noted
    assert dict(noted.agreed.progress) == {"C": "body round 3, 12 min", "D": "body round 2"}


def test_a_time_that_was_noted_is_kept_or_its_loss_is_told(tmp_path: Path) -> None:
    """Said again, a state keeps its time; further on without a time, what was noted before counts no longer."""
    agreed(course(tmp_path))
    note_done(tmp_path, ["C body round 3, 12 min"])
    again = note_done(tmp_path, ["C body round 3"])[1]
    assert again
    assert (again.agreed.progress["C"], again.changed) == ("body round 3, 12 min", ())
    further = note_done(tmp_path, ["C body round 4"])[1]
    assert further
    assert further.agreed.progress["C"] == "body round 4"
    assert further.changed == (
        "The time noted for C, “body round 3, 12 min”, counts no longer: “body round 4” has none. "
        "Say how long it took so far.",
    )
    told = note_done(tmp_path, ["C body round 4, 20 min"])[1]
    assert told
    assert not any("counts no longer" in one for one in told.changed)


def test_what_is_agreed_stays_though_something_else_would_be_cheaper_now(tmp_path: Path) -> None:
    """A short body of two rounds would do now; but the knitter has the full one in hand."""
    short = BODY.replace("needs: finished", "needs: finished, kinds: [full, short]")
    pattern = (tmp_path / "pattern.yaml", "    after: edge\n", "    after: edge\n    short: 2\n")
    agreed(course(tmp_path))
    course(tmp_path, EDGE + short)
    pattern[0].write_text(pattern[0].read_text(encoding="utf-8").replace(*pattern[1:]), encoding="utf-8")
    assert pieces(planned(tmp_path))["D"] == ("full", (5, 11))
    (tmp_path / "agreed.yaml").unlink()
    assert pieces(planned(tmp_path))["D"] == ("short", (5, 3))


def test_everything_knitted_leaves_nothing_to_knit(tmp_path: Path) -> None:
    agreed(course(tmp_path))
    note_done(tmp_path, ["A edge round 2", "B edge", "C body round 5", "D finished"])
    plan = planned(tmp_path)
    assert plan.choice.bench_minutes == 0
    assert plan.calendar.sittings == ()
    assert changes(plan) == ()
    rows = [line for line in agreed(tmp_path).splitlines() if "{letter" in line]
    assert all("knitter: " in row and "ready: 2027-03-04" in row for row in rows), "as it was agreed"


def test_changes_are_said(tmp_path: Path) -> None:
    """The five rounds of the body are six now, the edge is not shown half done, and there is a farewell."""
    agreed(course(tmp_path))
    edge = EDGE.replace(EDGE[EDGE.index("      - {") : EDGE.index("      - {view: overhead, title: The whole")], "")
    bye = HELLO.replace("Hello", "Bye").replace("Good morning", "Farewell")
    plan = planned(course(tmp_path, edge + BODY.replace("body round 5", "body round 6") + bye))
    assert changes(plan) == (
        "Shot 1.3.1 is new since the agreement.",
        "Slate 1 (“A first round”), agreed as shot 1.1.1, is not among the shots any more.",
        "Piece A is not needed any more.",
        "Piece C now stops at: Body, 6 of 10 rounds. Agreed was: Body, 5 of 10 rounds.",
    )
    told = [(one.severity, one.code, one.where.file) for one in lessonplan.plan(tmp_path).problems]
    assert told == [
        ("note", "changed", "episodes/01.yaml"),
        ("warning", "lost-slate", "agreed.yaml"),
        ("warning", "not-needed", "agreed.yaml"),
        ("note", "changed", "agreed.yaml"),
    ]


def test_a_piece_that_comes_to_another_shot_is_told_of(tmp_path: Path) -> None:
    """B was agreed for 1.1.2; in the file it is to come to 1.2.1 as well, which C serves and always did."""
    text = agreed(course(tmp_path))
    old = next(line for line in text.splitlines() if "{letter: B" in line)
    assert old.endswith("serves: 2}")
    (tmp_path / "agreed.yaml").write_text(
        text.replace(old, old.replace("serves: 2", 'serves: "2, 3"')), encoding="utf-8"
    )
    plan = planned(tmp_path)
    assert serves(plan)["B"] == ["1.1.2"]
    assert changes(plan) == ("Piece B no longer comes to shot 1.2.1, unlike agreed.",)
    (tmp_path / "agreed.yaml").write_text(
        text.replace(old, old.replace("serves: 2", "serves: the last")), encoding="utf-8"
    )
    (problem,) = lessonplan.plan(tmp_path).problems
    assert "“the last” is no slate with a place on its table" in problem.message


def test_agreements_that_say_where_a_piece_is_needed_first_are_still_read(tmp_path: Path) -> None:
    """So were pieces that stop alike told apart before `serves` was written."""
    text = agreed(course(tmp_path, ALIKE))
    (tmp_path / "agreed.yaml").write_text(text.replace("serves:", "comes_to:"), encoding="utf-8")
    turned = (COURSE + KNITTERS).replace("films: [1]", "films: [1.3, 1.2, 1.1]")
    assert serves(planned(course(tmp_path, ALIKE, course_yaml=turned))) == {
        "A": ["1.1.1"], "B": ["1.2.1"], "C": ["1.3.1"],
    }  # fmt: skip


def test_agreeing_on_the_changes_settles_them(tmp_path: Path) -> None:
    agreed(course(tmp_path))
    text = agreed(course(tmp_path, BODY))
    assert "{slate: 1, shot: 1.1.1, segment: The edge, title: A first round, begins: here it begins, gone: yes}" in text
    assert [line[:14] for line in text.splitlines() if "{letter" in line] == ["  - {letter: C", "  - {letter: D"]
    assert lessonplan.plan(tmp_path).problems == ()
    assert planned(course(tmp_path, BODY + EDGE)).course.agreed is not None
    back = [line for line in agreed(tmp_path).splitlines() if "{slate: 1," in line]
    assert back == ["  - {slate: 1, shot: 1.2.1, segment: The edge, title: A first round, begins: here it begins}"]


def test_a_begun_piece_that_nothing_needs_is_kept_in_the_file(tmp_path: Path) -> None:
    agreed(course(tmp_path))
    note_done(tmp_path, ["B edge round 1"])
    text = agreed(course(tmp_path, BODY))
    assert "{letter: B, kind: full, stop: edge," in text
    assert text.endswith("progress:\n  B: edge round 1\n")


def test_another_knitter_is_told_of(tmp_path: Path) -> None:
    agreed(course(tmp_path))
    gone = KNITTERS.replace("Bo,", "Boa,")
    plan = planned(course(tmp_path, course_yaml=COURSE + gone))
    assert plan.calendar.assigned["A"] in ("Ada", "Boa")
    named = [one for one in changes(plan) if one.startswith("Piece A")]
    assert named == [f"Piece A was agreed with Bo; {plan.calendar.assigned['A']} knits it now."]
    problem = next(one for one in lessonplan.plan(tmp_path).problems if one.code == "unknown-knitter")
    assert problem.message == "Piece A was agreed with “Bo”, who is not among those who make pieces."
    assert (problem.where.file, problem.severity) == ("agreed.yaml", "warning")


APART = (
    EDGE
    + """\
      - {view: face, title: Two of them, takes: 1, pieces: [{needs: edge}, {needs: edge, apart: yes, name: tight}]}
"""
)


def test_a_piece_that_is_apart_is_for_its_shot_alone_wherever_that_goes(tmp_path: Path) -> None:
    """Agreed: A for 1.1.1; B for 1.1.2 and 1.1.3 a; C apart for 1.1.3 b, which is slate 3."""
    text = agreed(course(tmp_path, APART))
    assert [line.rsplit(", ", 1)[1] for line in text.splitlines() if "only_for" in line] == ["only_for: 3 b}"]
    before = serves(planned(tmp_path))
    assert before == {"A": ["1.1.1"], "B": ["1.1.2", "1.1.3 a"], "C": ["1.1.3 b"]}
    moved = planned(course(tmp_path, HELLO + APART))
    assert serves(moved) == {"A": ["1.2.1"], "B": ["1.2.2", "1.2.3 a"], "C": ["1.2.3 b"]}
    alone = planned(course(tmp_path, APART.replace("{needs: edge}, ", "")))
    assert serves(alone)["C"] == ["1.1.3"], "the only one that is apart in that shot"
    without = lessonplan.plan(course(tmp_path, EDGE + BODY))
    assert [one.code for one in without.problems if "Piece C" in one.message] == ["not-needed"]


ALIKE = """\
  - title: Two rounds
    shots:
      - {view: overhead, title: The first, takes: 1, pieces: [{needs: edge round 2, leaves: edge}], say: One}
  - title: Two more
    shots:
      - {view: overhead, title: The second, takes: 1, pieces: [{needs: edge round 2, leaves: edge}], say: Two}
  - title: And two
    shots:
      - {view: overhead, title: The third, takes: 1, pieces: [{needs: edge round 2, leaves: edge}], say: Three}
"""


def test_pieces_that_stop_alike_do_not_change_places(tmp_path: Path) -> None:
    """Agreed: A, B and C for the three segments in turn. The knitters label them so, whatever is filmed first."""
    course(tmp_path, ALIKE)
    assert serves(planned(tmp_path)) == {"A": ["1.1.1"], "B": ["1.2.1"], "C": ["1.3.1"]}
    text = agreed(tmp_path)
    assert [line.rsplit(", ", 1)[1] for line in text.splitlines() if "- {letter" in line] == [
        "serves: 1}",
        "serves: 2}",
        "serves: 3}",
    ]
    for films in ("1.3, 1.2, 1.1", "1.2, 1.3, 1.1", "1.2, 1.1, 1.3"):
        moved = (COURSE + KNITTERS).replace("films: [1]", f"films: [{films}]")
        assert films in moved
        assert serves(planned(course(tmp_path, ALIKE, course_yaml=moved))) == {
            "A": ["1.1.1"], "B": ["1.2.1"], "C": ["1.3.1"],
        }  # fmt: skip
    fewer = ALIKE.partition("  - title: Two more")[0] + "  - title: And two" + ALIKE.partition("  - title: And two")[2]
    left = planned(course(tmp_path, fewer))
    assert serves(left) == {"A": ["1.1.1"], "C": ["1.2.1"]}
    assert left.choice.unused == ("B",)


def test_a_piece_from_the_drawer_stays_out_of_what_it_is_kept_from(tmp_path: Path) -> None:
    """Another colour: the finished one is kept from 1.2.2, which a new one serves, also once that is agreed."""
    for keys in ("", ", not_in: 1.2.2", ", not_in: 1.2"):
        drawer = f"samples: {{days_to_spare: 1, drawer: [{{name: old ring, state: finished{keys}}}]}}\n"
        folder = course(tmp_path / f"c{len(keys)}", course_yaml=COURSE + drawer)
        for _ in range(2):
            last = next(one for one in planned(folder).choice.pieces if one.stops[-1].demand.startswith("1.2.2"))
            assert (last.ready == "old ring") == (not keys)
            agreed(folder)
    wrong = course(tmp_path / "wrong", course_yaml=COURSE + drawer.replace("1.2", "7.1"))
    assert "There is no episode, segment or shot “7.1”." in [said for *_, said in refused(wrong)]


def test_a_piece_from_the_drawer_keeps_its_letter(tmp_path: Path) -> None:
    drawer = "samples: {days_to_spare: 1, drawer: [{name: old ring, state: body round 4}]}\n"
    text = agreed(course(tmp_path, course_yaml=COURSE + drawer))
    (row,) = [line for line in text.splitlines() if "old ring" in line]
    plan = planned(tmp_path)
    letter = row.split("letter: ")[1][0]
    assert next(piece.ready for piece in plan.choice.pieces if piece.name == letter) == "old ring"
    assert changes(plan) == ()
    page = lessonplan.samples_data(plan)
    assert [one["from_drawer"] for one in page["pieces"] if one["from_drawer"]] == ["old ring"]
    assert page["unused_drawer"] == []


LOG = """\
id,device,day,shot,slate,title,take,start,stop,verdict
a-1,a,2027-03-06,1.1.2,2,The whole edge,1,10:00:00,10:01:00,good
a-2,a,2027-03-06,1.2.2,,,1,10:02:00,10:03:00,good
"""


def test_takes_find_their_shots_by_slate_and_by_the_number_agreed(tmp_path: Path) -> None:
    agreed(course(tmp_path / "c"))
    (tmp_path / "log.csv").write_text(LOG, encoding="utf-8")
    course(tmp_path / "c", HELLO + BODY + EDGE)
    _, taken = take_in(tmp_path / "c", [tmp_path / "log.csv"])
    assert taken is not None
    assert taken.problems == ()
    real = {row.number: row.takes_real for row in taken.compared.shots if row.takes_real}
    assert real == {"1.3.2": 1, "1.2.2": 1}
    kept = (tmp_path / "c" / KEPT).read_text(encoding="utf-8-sig").splitlines()
    assert [line.split(",")[3:6] for line in kept[1:]] == [["1.3.2", "2", "The whole edge"], ["1.2.2", "4", ""]]
    _, again = take_in(tmp_path / "c", [tmp_path / "log.csv"])
    assert again is not None
    assert again.takes == taken.takes


def test_numbers_that_would_mean_another_shot_stand_in_the_way_of_agreeing(tmp_path: Path) -> None:
    agreed(course(tmp_path))
    course(tmp_path, HELLO + BODY + EDGE, errata_yaml=ERRATA)
    (tmp_path / "takes").mkdir()
    (tmp_path / KEPT).write_text("day,shot,take,start,stop\n2027-03-06,1.1.1,1,9:00,9:01\n", encoding="utf-8")
    before = (tmp_path / "agreed.yaml").read_bytes()
    what = "Shot 1.1.2 is slate 2, which has another number now; once agreed this is another shot."
    take = "This take is of shot 1.1.1, slate 1, which has another number now."
    assert refused(tmp_path) == [
        ("errata.yaml", 2, 40, "by-number", what),
        (KEPT, 2, 1, "by-number", take),
    ]
    assert (tmp_path / "agreed.yaml").read_bytes() == before
    (tmp_path / "errata.yaml").write_text(ERRATA.replace("shot 1.1.2", "slate 2"), encoding="utf-8")
    (tmp_path / "log.csv").write_text(LOG, encoding="utf-8")
    take_in(tmp_path, [tmp_path / "log.csv"])
    agreed(tmp_path)
    assert [row.where for row in errata_rows(planned(tmp_path).worked)][1] == "episode 1, shot 1.3.2 (slate 2)"


@pytest.mark.parametrize(
    ("where", "code", "shown"),
    [
        ("slate 1", "lost-slate", "slate 1"),
        ("shot 1.1.1", "lost-slate", "shot 1.1.1"),
        ("shot 1.1.1 (slate 3)", "two-shots", "shot 1.1.1 (slate 3)"),
        ("slate 9", "unknown-slate", "slate 9"),
        ("shot 4.4.4", "unknown-shot", "shot 4.4.4"),
        ("shot 1.2.1 (slate 3), the end", "", "shot 1.1.1 (slate 3), the end"),
        ("shot 1.1.1, slate 3", "", "shot 1.1.1 (slate 3)"),
        ("SLATE 4 and 1.2.1", "", "shot 1.1.2 (slate 4) and 1.1.1 (slate 3)"),
        ("all of episode 1", "", "all of episode 1"),
    ],
)
def test_where_an_erratum_is(tmp_path: Path, where: str, code: str, shown: str) -> None:
    """Agreed: the edge 1.1 (slates 1, 2) and the body 1.2 (3, 4). Now the body alone is left, as 1.1."""
    agreed(course(tmp_path))
    errata = f"errata: [{{found: 2027-05-01, by: A, where: {where!r}, said: x, right: y}}]\n"
    plan = planned(course(tmp_path, BODY, errata_yaml=errata))
    told = [one.code for one in lessonplan.plan(tmp_path).problems if one.where.file == "errata.yaml"]
    if code == "two-shots":  # 1.1.1 is slate 3 by now, so this is what today's papers say
        assert told == []
    else:
        assert told == ([code] if code else [])
    assert [row.where for row in errata_rows(plan.worked)] == [shown]


def test_every_state_of_the_sample_is_written_so_that_it_reads_back(root: Path) -> None:
    """States on tables, however they were typed, in every kind in which they may stand."""
    worked = lessonplan.load(root / "sample_course").worked
    assert worked is not None
    seen = set()
    for piece in worked.table:
        for kind, stand in piece.stands.items():
            for state in (stand.start, stand.end):
                text = typed(state, worked.kinds[kind], worked.size)
                assert resolve(state_text(worked.course, text), worked.kinds[kind], worked.size) == state, text
                seen.add(text)
    assert len(seen) > 15


def test_the_sample_is_agreed_and_kept_to(root: Path) -> None:
    plan = planned(root / "sample_course")
    assert plan.course.agreed is not None
    assert {piece.name for piece in plan.choice.pieces} == {piece.letter for piece in plan.course.agreed.pieces}
    assert plan.course.agreed.progress
    assert changes(plan) == ()


def run(*words: object) -> tuple[int, str, str]:
    done = command.run(*words)
    return done.returncode, done.stdout, done.stderr


def test_the_command(tmp_path: Path) -> None:
    code, out, _ = run("agree", course(tmp_path), "--today", "2027-01-02")
    assert (code, out.splitlines()[-1]) == (0, f"Written to {tmp_path}/agreed.yaml: 4 slates, 4 pieces, agreement 1.")
    assert run("agree", tmp_path, "--done", "C body round 2, 10 min")[0] == 0
    assert run("agree", tmp_path, "--done", "C body round 9")[0] == 2
    assert run("agree", tmp_path, "--today", "soon")[0] == 2
    code, out, _ = run("agree", course(tmp_path, HELLO + EDGE + BODY), "--today", "2027-01-09")
    assert "Shot 1.1.1 is new since the agreement." in out
    text = (tmp_path / "agreed.yaml").read_text(encoding="utf-8")
    assert all(words in text for words in ("on: 2027-01-09", "times: 2", 'C: "body round 2, 10 min"'))
    (tmp_path / "agreed.yaml").write_text("times: two\n", encoding="utf-8")
    code, _, err = run("agree", tmp_path)
    assert (code, err.splitlines()[-1]) == (1, "Nothing was written.")
    assert "agreed.yaml:1:8: error" in err


def test_the_day_of_the_machine_is_taken_by_the_command_alone(tmp_path: Path) -> None:
    assert run("agree", course(tmp_path))[0] == 0
    (line,) = [
        line for line in (tmp_path / "agreed.yaml").read_text(encoding="utf-8").splitlines() if line[:3] == "on:"
    ]
    assert abs((date.fromisoformat(line[4:]) - date.today()).days) <= 1, "midnight may lie between the two"


@pytest.mark.parametrize("number", [3, 4, 5, 8, 13, 24])
def test_agreeing_changes_no_plan(tmp_path: Path, number: int) -> None:
    """Six of the walk’s random courses, in which the pieces went to other shots as soon as they were agreed.

    What was printed the evening before would then name other pieces than the run sheet does.
    """
    source, edits = drawn(number)
    files = Files.read(source)
    for edit in edits:
        edit(files, Random(f"{number} {edit.__name__}"))
    files.write(tmp_path)
    (tmp_path / "agreed.yaml").unlink(missing_ok=True)
    before = serves(planned(tmp_path))
    agreed(tmp_path)
    assert serves(planned(tmp_path)) == before
