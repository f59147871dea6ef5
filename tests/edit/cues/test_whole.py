"""What is laid over an episode: the texts that come out of the pattern, and those that the teacher asks for."""

from __future__ import annotations

import csv
import re
import shutil
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

import lessonplan
from lessonplan.course.problems import Problem
from lessonplan.edit.cues.episode import EpisodeCues, episode_cues
from lessonplan.edit.cues.onscreen import lay
from lessonplan.edit.cues.steps import stretch
from lessonplan.edit.problems import edit_problems
from lessonplan.edit.timing import shot_times
from lessonplan.pattern.amounts.minutes import technique_minutes
from lessonplan.planning.worked import Plan
from tests.documents import timed
from tests.edit.cues.shaping import PATTERN
from tests.small_course import write_course

# One word is half a second, and twelve stitches are worked a minute.
COURSE = timed.COURSE.replace("{knitting: 20,", "{knitting: 20, on_camera: 12, speech: 120,")
LINE = '[{work: "K3, k2tog"}, {do: show it again, time: 40 s}]'
SHOT = {"pieces": "[{needs: body round 4}]", "hands": LINE, "shows": "all"}


def plan_of(folder: Path, *shots: str, course: str = COURSE, files: dict[str, str] | None = None) -> Plan:
    return timed.plan(folder, timed.episode(shots), course, {"pattern.yaml": PATTERN, **(files or {})})


def told(cues: EpisodeCues) -> list[tuple[float, float, str, str]]:
    return [(cue.start / 1000, cue.end / 1000, cue.wanted.kind, cue.text) for cue in cues.laid.cues]


def test_what_a_shot_of_a_shaping_shows(tmp_path: Path) -> None:
    # Decreases are worked in 20 s and more and shown for 40 s; the words last 20 s, the tenth is the count.
    say = "word " * 9 + "{{ body.round_5.stitches }} stitches" + " word" * 29
    plan = plan_of(tmp_path, timed.shot("face", "10 s"), timed.shot("close", **SHOT, say=say))
    (_, shot) = shot_times(plan, 1)
    worked = shot.hands[0][1] / 1000
    assert (shot.start, shot.at_word(9), round(shot.hands[1][1] / 1000 - worked)) == (10_000, 14_500, 40)
    assert told(episode_cues(plan, 1)) == [
        (10.0, 13.0, "needle and yarn", "Needle: 5 mm; Yarn: red"),  # five words
        (14.5, 17.5, "stitches", "After round 5: 16 stitches"),
        (17.5, 20.5, "round", "Body, round 5 of 8"),
        (22.4, 25.0, "abbreviation", "k2tog: knit 2 together"),  # it leads up to its steps
        # Not before three stitches are knitted, in 15 s. Steps of 12 and 8 words need 5.8 and 4.2 s; 7 s at most for
        # each, so what is over is shared.
        (25.0, 32.8, "sequence", "k2tog, 1 of 2: needle into two at once from the front"),
        (32.8, 39.0, "sequence", "k2tog, 2 of 2: knit them as one"),
    ]


def test_a_number_that_is_another_in_other_sizes_is_given_in_all(tmp_path: Path) -> None:
    sizes = PATTERN.replace("gauge:", "sizes: [{name: Small}, {name: Big}]\ngauge:")
    for one, other in (
        ("cast_on: 20", "cast_on: 20 (40)"),
        ('"[K3, k2tog] 4 times"', '"*K3, k2tog; rep from * to end"'),
        ('"[K2, k2tog] 4 times"', "Knit"),
    ):
        sizes = sizes.replace(one, other)
    plan = plan_of(
        tmp_path,
        timed.shot("face", say="There are {{ edge.cast_on }} stitches and {{ body.rounds }} rounds" + " word" * 20),
        course=COURSE + "film_size: Big\n",
        files={"pattern.yaml": sizes},
    )
    assert [text for _, _, _, text in told(episode_cues(plan, 1))] == [
        f"Small{NB}(Big): Cast on 20{NB}(40) stitches",
        "Body, 8 rounds",
    ]


NB = "\u00a0"
ALL = f"Small{NB}(Medium,{NB}Large): "
OWN = """[Mind the edge, {show: Now, at: the end}, {show: Later, at: 30 s, stays: 5 s}, {show: Here, at: word ten},
      {show: "k2tog: two as one", instead_of: k2tog}, {leave_out: needle and yarn}]"""


def test_the_teacher_adds_words_and_drops(tmp_path: Path) -> None:
    say = "word " * 18 + "word ten" + " word" * 9
    plan = plan_of(tmp_path, timed.shot("close", **SHOT, say=say, cues=OWN))
    found, length = episode_cues(plan, 1), shot_times(plan, 1)[0].length / 1000
    own = [(start, end, text) for start, end, kind, text in told(found) if kind == "own text"]
    assert own == [
        (0.0, 2.2, "Mind the edge"),
        (9.0, 11.0, "Here"),
        (15.0, 17.6, "k2tog: two as one"),  # when three stitches are knitted
        (30.0, 35.0, "Later"),
        (length - 2, length, "Now"),
    ]
    assert {cue.wanted.kind for cue in found.laid.cues} == {"own text", "round"}
    gone = {(one.wanted.kind, one.why) for one in found.laid.left_out}
    assert gone == {
        ("needle and yarn", "the host leaves it out"),
        ("sequence", "the host’s own text stands instead"),
        ("abbreviation", "the host’s own text stands instead"),
        ("stitches", "there is no room beside “Now”"),  # both want the end
    }
    assert not found.problems


@pytest.mark.parametrize(
    ("cues", "at", "said"),
    [
        ("[{leave_out: stiches}]", "stiches", "No computed cue of this shot is, or says, “stiches”."),
        ("[{show: A, at: never said}]", "never", "“never said” is not said in this shot, and is no time within its"),
        ("[{show: A, at: 3 h}]", "3 h", "“3 h” is not said in this shot"),
        ("[{show: A word or two more, stays: 1 s}]", "1 s", "1 s are too short for this text: it takes 3 s to read."),
    ],
)
def test_what_cannot_be_done_is_told_with_its_place(tmp_path: Path, cues: str, at: str, said: str) -> None:
    plan = plan_of(tmp_path, timed.shot("close", **SHOT, cues=cues))
    (problem,) = episode_cues(plan, 1).problems
    assert problem.message.startswith(said)
    assert (problem.where.file, problem.where.line, problem.severity) == ("episodes/01.yaml", 12, "warning")
    assert problem.where.column == len("        cues: ") + cues.index(at) + 1


@pytest.mark.parametrize(
    ("cues", "said"),
    [
        ("[{show: A, leave_out: round}]", "Give either “show” (a text) or “leave_out” (which cue) here."),
        ("[{at: the end}]", "Give either “show” (a text) or “leave_out” (which cue) here."),
        ("[{leave_out: round, at: the end}]", "“at” goes with “show”: nothing is shown here."),
        ("[{show: A, stays: 2 min}]", "A text stays for more than nothing and for 60 s at most."),
        ("[{shows: A}]", "“shows” is not a key that is known here."),
        ("[{show: '{{ body.runds }}'}]", "There is no fact “body.runds”."),
    ],
)
def test_what_makes_no_sense_is_an_error(tmp_path: Path, cues: str, said: str) -> None:
    assert said in [problem.message for problem in problems(tmp_path, COURSE, cues)]


@pytest.mark.parametrize(
    ("key", "said"),
    [
        ("cues: rounds", "“rounds” is no kind of cue."),
        ("cues: none, round", "“none” stands alone, or not at all."),
        ("frame_rate: 27", "“27” is no frame rate; there are 23.976, 24, 25, 29.97, 30, 50, 59.94, 60, and"),
        ("frame_rate: 25 drop", "“25 drop” is no frame rate"),
    ],
)
def test_keys_of_the_course(tmp_path: Path, key: str, said: str) -> None:
    (problem,) = problems(tmp_path, f"{COURSE}{key}\n", "[]")
    assert problem.message.startswith(said)
    assert (problem.where.file, problem.where.line) == ("course.yaml", COURSE.count("\n") + 1)


def problems(folder: Path, course: str, cues: str) -> tuple[Problem, ...]:
    shots = timed.episode((timed.shot("close", **SHOT, cues=cues),))
    files = {"course.yaml": course, "pattern.yaml": PATTERN, "episodes/01.yaml": shots}
    return lessonplan.plan(write_course(folder, files)).problems


def test_kinds_that_a_course_does_not_want_are_not_made(tmp_path: Path) -> None:
    plan = plan_of(tmp_path / "a", timed.shot("close", **SHOT), course=COURSE + "cues: round\n")
    assert [kind for _, _, kind, _ in told(episode_cues(plan, 1))] == ["round"]
    plan = plan_of(tmp_path / "b", timed.shot("close", **SHOT), course=COURSE + "cues: none\n")
    assert episode_cues(plan, 1).laid.cues == ()


def test_an_own_text_without_room_is_told(tmp_path: Path) -> None:
    plan = plan_of(tmp_path, timed.shot("face", "3 s", on_screen="[One two three four five six]"))
    (problem, *_) = edit_problems(plan)
    assert problem.message == (
        "“One two three four five six” is not laid over the picture: "
        "the shot is shorter than the 3.4 s that it takes to read it."
    )


def test_every_number_in_the_cues_is_a_fact_or_the_number_of_a_round(sample: Plan) -> None:
    """The numbers that are shown stand among the facts' values in some size, or are numbers of rounds."""
    facts = sample.worked.facts.values()
    values = {number for fact in facts for size in range(3) for number in re.findall(r"[\d.]+", fact.at(size))}
    needles = re.findall(r"[\d.]+", " ".join([*sample.course.pattern.needles, "3.5 mm (US 4) 4 mm (US 6)"]))
    seen = 0
    for episode in sample.course.episodes:
        for cue in episode_cues(sample, episode.episode).laid.cues:
            text = re.sub(r"^[^:]*, \d of \d: ", "", cue.text) if cue.wanted.kind == "sequence" else cue.text
            text = re.sub(r"\b[Rr]ound (\d+)(?:\s\([\d,\s]+\))?", "", text)
            if cue.wanted.kind in ("on screen", "abbreviation"):
                continue
            for number in re.findall(r"\d+(?:\.\d+)?", re.sub(r"[a-z]\d[a-z]*", "", text)):
                seen += 1
                assert number in values or number in needles, cue.text
    assert seen > 20


def test_counts_of_the_sample_by_hand(sample: Plan) -> None:
    """Small, Medium, Large: 40, 44, 48 cast on; the first gusset round makes one more, each later increase round two;
    four go in each round of the top. So after round 3 there are 43, 47, 51, after round 8 (increases in 3, 5, 7) 47,
    51, 55. The thumb takes up 11, 13, 15 and 5 more, closes its corners with two decreases, and ends with the half.
    """
    cues = [cue for episode in (1, 2, 3) for cue in episode_cues(sample, episode).laid.cues]
    texts, shots = [cue.text for cue in cues], {cue.text: cue.wanted.shot for cue in cues}
    # A shot for the left half of the round and one for the right: the round is done in the second.
    assert shots[f"{ALL}Round 3 ends with 43{NB}(47,{NB}51) stitches"] == "2.2.2"
    assert shots[f"{ALL}Round 1 ends with 36{NB}(40,{NB}44) stitches"] == "3.2.2"
    for text in (
        f"{ALL}Cast on 40{NB}(44,{NB}48) stitches",
        f"{ALL}After round 8: 47{NB}(51,{NB}55) stitches",
        f"{ALL}Shaped top, round 1 of 11{NB}(13,{NB}15)",
        f"{ALL}11{NB}(13,{NB}15) stitches on waste yarn",
        f"{ALL}Thumb ends with 7{NB}(8,{NB}9) stitches",
        "Cobble band, round 3 of 12",
    ):
        assert text in texts


def test_a_round_that_other_sizes_work_otherwise_is_theirs_that_ends_the_same_work_or_names_its_size(
    sample: Plan, root: Path, tmp_path: Path
) -> None:
    """The top of Medium has a plain round 8 (decreases in 1, 3, 5, 7); Small, with one such pair less, decreases there.

    That round ends its work, as rounds 6 and 10 do in the others, each with 28 of 40, 44 or 48 stitches; round 10 ends
    none in Medium, which has 20 then (decreases in 9 and 10, too), and is plain in Large. The last round of the thumb
    is 17, 19, 21, and the same in each.
    """
    texts = [cue.text for cue in episode_cues(sample, 3).laid.cues]
    assert f"{ALL}After round 6{NB}(8,{NB}10): 28 of 40{NB}(44,{NB}48) stitches" in texts
    assert not any("begins with 40" in text for text in texts), "28 left of 44 is one text, in the order of the work"
    shutil.copytree(root / "sample_course", tmp_path / "tenth")
    (file,) = (tmp_path / "tenth" / "episodes").glob("03-*")
    file.write_text(file.read_text("utf-8").replace("top.round_8.stitches", "top.round_10.stitches"), "utf-8")
    tenth = lessonplan.plan(tmp_path / "tenth").plan
    assert tenth is not None
    assert "Medium: After round 10: 20 of 44 stitches" in [cue.text for cue in episode_cues(tenth, 3).laid.cues]
    assert f"{ALL}Thumb, round 17{NB}(19,{NB}21), the last one" in texts
    assert f"{ALL}The last round begins with 14{NB}(16,{NB}18) stitches" in texts


NAMES = ("Baby", "Toddler", "Child", "Teenager", "Woman", "Man")


def test_what_does_not_fit_in_two_lines_goes_without_names_then_with_one_size(tmp_path: Path) -> None:
    """Six names and six counts are longer than twice 37 characters; twelve counts with them still are, without."""
    for place, (names, shown) in enumerate(
        (
            (NAMES, f"Cast on 20{NB}(24,{NB}28,{NB}32,{NB}36,{NB}40) stitches"),
            ([f"{name}{number}" for number in range(4) for name in NAMES], "Toddler0: Cast on 24 stitches"),
        )
    ):
        counts = [20 + 4 * number for number in range(len(names))]
        sizes = ", ".join(f"{{name: {name}}}" for name in names)
        pattern = PATTERN.replace("gauge:", f"sizes: [{sizes}]\ngauge:").replace(
            "cast_on: 20", f"cast_on: {counts[0]} ({', '.join(map(str, counts[1:]))})"
        )
        pattern = pattern.replace('"[K3, k2tog] 4 times"', "Knit").replace('"[K2, k2tog] 4 times"', "Knit")
        shot = timed.shot("face", say="There are {{ edge.cast_on }} stitches" + " word" * 20)
        film = f"film_size: {names[1]}\n"
        plan = plan_of(tmp_path / str(place), shot, course=COURSE + film, files={"pattern.yaml": pattern})
        assert [text for _, _, _, text in told(episode_cues(plan, 1))] == [shown]


def test_where_all_sizes_have_no_room_the_filmed_one_is_told(sample: Plan) -> None:
    """A text of nine words needs 4.6 s; a stretch of 3.5 s has room for the five words of one size (3 s)."""
    one = next(cue.wanted for cue in episode_cues(sample, 2).laid.cues if cue.text.startswith(f"{ALL}After round 8"))
    short = replace(one, opens=one.start, closes=one.start + 3500)
    assert [cue.text for cue in lay([short]).cues] == ["Medium: After round 8: 51 stitches"]


def both_sides(*, last: bool = False) -> dict[str, str]:
    """A pattern whose fifth round takes 2 of 20 stitches away, one at each side; ``last``: it is the last work."""
    whole, _, rest = PATTERN.partition('          - "[K3, k2tog] 4 times"\n')
    assert rest
    return {"pattern.yaml": f'{whole}          - "K2, ssk, k12, k2tog, k2"\n' + ("" if last else "          - Knit\n")}


def of_kind(plan: Plan, kind: str) -> list[tuple[str, str]]:
    return [(cue.wanted.shot, cue.text) for cue in episode_cues(plan, 1).laid.cues if cue.wanted.kind == kind]


def test_a_round_ends_in_the_shot_in_which_all_its_shaping_was_seen(tmp_path: Path) -> None:
    piece = {"pieces": "[{needs: body round 4}]", "shows": "all"}
    left, right = (
        timed.shot("close", **piece, hands=f'[{{work: "{line}"}}, {{do: show it again, time: 40 s}}]')
        for line in ("K2, ssk", "K1, k2tog, k2")
    )
    done = "Round 5 ends with 18 stitches"
    for place, (shots, found) in enumerate(
        (((left, right), [("1.1.2", done)]), ((right, left), [("1.1.2", done)]), ((left,), []), ((right, right), []))
    ):
        plan = plan_of(tmp_path / str(place), *shots, files=both_sides())
        assert of_kind(plan, "stitches") == found


def test_the_end_of_a_stage_is_told_once(tmp_path: Path) -> None:
    shot = {"pieces": "[{needs: body round 4, leaves: body}]", "hands": "[{do: knit, time: 1 min}]"}
    say = '"' + "word " * 9 + '{{ body.stitches }} stitches"'
    done = [("1.1.1", "Body ends with 18 stitches")]
    for place, one in enumerate((timed.shot("close", **shot), timed.shot("close", **shot, say=say))):
        assert of_kind(plan_of(tmp_path / str(place), one, files=both_sides(last=True)), "stitches") == done


def test_a_needle_has_one_name(tmp_path: Path) -> None:
    """The gauge says 5 mm, the table 5 mm (US 8): one needle, told once."""
    tools = "tools: {thick needle: 5 mm (US 8), thicker needle: 5.5 mm (US 9)}\n"
    shots = (timed.shot("close", **SHOT), timed.shot("table", tools="thick needle"))
    plan = plan_of(tmp_path / "a", *shots, course=COURSE + tools)
    assert of_kind(plan, "needle and yarn") == [("1.1.1", "Needle: 5 mm (US 8); Yarn: red")]


def test_a_yarn_comes_with_the_words_that_name_it(tmp_path: Path) -> None:
    # Half a second a word: the tenth comes after 4.5 s.
    for say, at, belongs in ((f"{'word ' * 9}red it is", 4.5, "the words “red”"), ("word " * 9, 0.0, "the start of")):
        plan = plan_of(tmp_path / belongs[-3:].strip(), timed.shot("close", **SHOT, say=say))
        (cue,) = [one for one in episode_cues(plan, 1).laid.cues if one.wanted.kind == "needle and yarn"]
        assert (cue.start / 1000, cue.text) == (at, "Needle: 5 mm; Yarn: red")
        assert cue.wanted.belongs.startswith(belongs)


def test_a_correction_takes_the_place_of_what_says_the_same(sample: Plan) -> None:
    over = [cue for cue in episode_cues(sample, 2).laid.cues if cue.wanted.shot == "2.3.2"]
    assert [cue.text for cue in over if "13" in cue.text] == [f"{ALL}11{NB}(13,{NB}15) stitches go on the waste yarn"]


def test_the_written_table_never_shows_two_at_once(sample_output: Path) -> None:
    """The table as an editor has it, read again: in and out are a text's own, one after the other."""
    for file in sample_output.glob("cues-?.csv"):
        with file.open(encoding="utf-8-sig", newline="") as text:
            rows = [row for row in csv.DictReader(text) if row["in"]]
        assert len(rows) > 10
        assert all(float(one["out"]) <= float(after["in"]) for one, after in pairwise(rows))
        for row in rows:
            assert float(row["out"]) - float(row["in"]) >= 2
            # 25 frames a second, counted by hand from the label.
            hours, minutes, seconds, frames = map(int, row["timecode_in"].split(":"))
            assert abs(hours * 3600 + minutes * 60 + seconds + frames / 25 - float(row["in"])) <= 0.02


def test_a_sequence_goes_with_the_hands_that_do_it_or_the_words_that_name_it(tmp_path: Path) -> None:
    # Grafting has four steps, of 7 s at most each; the hands wait for 10 s before they do it.
    hands = "[{do: look at it, time: 10 s}, {do: graft the toe, time: 2 min}]"
    plan = plan_of(tmp_path / "a", timed.shot("close", hands=hands, say="word " * 9))
    found = [(start, end, text) for start, end, kind, text in told(episode_cues(plan, 1)) if kind == "sequence"]
    assert [text for _, _, text in found] == [
        "graft, 1 of 4: ready: front purlwise and leave",
        "graft, 2 of 4: ready: back knitwise and leave",
        "graft, 3 of 4: front: knitwise off and purlwise leave",
        "graft, 4 of 4: back: purlwise off and knitwise leave",
    ]
    assert (found[0][0], found[-1][1]) == (10.0, 38.0)
    # Only said: the twelfth word has named it, at 5.5 s. Six words are read in 3.4 s.
    plan = plan_of(tmp_path / "b", timed.shot("face", say="word " * 9 + "we bind off now" + " word" * 60))
    found = [(start, end, text) for start, end, kind, text in told(episode_cues(plan, 1)) if kind == "sequence"]
    assert found[0] == (5.5, 8.9, "bind-off, 1 of 4: knit two")


@pytest.mark.parametrize(
    ("hands", "title", "shown"),
    [
        ('[{work: "K3, k2tog"}]', "Corners", False),
        ('[{work: "K3, k2tog"}]', "Make one right", True),
        ("[{do: point, time: 20 s}]", "Corners", True),
    ],
)
def test_a_move_that_is_only_told_of_while_another_is_worked_is_not_shown(
    tmp_path: Path, hands: str, title: str, shown: bool
) -> None:
    """Round 5 has k2tog alone: “make one right” is in the picture only where the title has it, or may be pointed at."""
    say = "Knit two together. Later you make one right" + " word" * 60
    shot = timed.shot("close", "0 s", pieces="[{needs: body round 4}]", hands=hands, say=say, title=title)
    plan = timed.plan(tmp_path, timed.episode((shot,)), files={"pattern.yaml": PATTERN})
    series = {text.split(",")[0] for _, _, kind, text in told(episode_cues(plan, 1)) if kind == "sequence"}
    assert {one.split(":")[0] for one in series} == {"k2tog"} | ({"m1r"} if shown else set())


def test_stitches_taken_up_are_not_told_as_those_of_the_end(tmp_path: Path) -> None:
    """Of 8 stitches in waste yarn there are 8 below and 7 above; two rounds later they are still 15."""
    rounds = "      - rounds: 2\n        lines: Knit\n"
    opened = rounds + "      - {placeholder: 8, name: gap}\n" + rounds + "      - bind_off: all\n"
    gap = "  gap:\n    title: Gap\n    after: body\n    works:\n      - open: gap\n" + rounds
    pattern = PATTERN.replace("- cast_on: 20", "- cast_on: 20\n        join: yes")
    pattern = pattern.replace(rounds, opened) + gap
    say = '"There are {{ gap.stitches }} stitches now."'
    pieces = {
        "needs: body, leaves: 'gap, after open'": "15 stitches taken up",
        "needs: gap": "Gap ends with 15 stitches",
    }
    for piece, shown in pieces.items():
        shot = timed.shot("close", "0 s", pieces=f"[{{{piece}}}]", hands="[{do: pull, time: 20 s}]", say=say)
        plan = plan_of(tmp_path / shown, shot, files={"pattern.yaml": pattern})
        assert [text for _, _, kind, text in told(episode_cues(plan, 1)) if kind == "stitches"] == [shown]


def test_the_steps_of_a_sequence_come_with_the_words_that_say_them(tmp_path: Path) -> None:
    def steps(name: str, **shot: str) -> list[tuple[float, str]]:
        plan = plan_of(tmp_path / name, timed.shot("close", **shot))
        cues = [one for one in episode_cues(plan, 1).laid.cues if one.wanted.kind == "sequence"]
        return [(cue.start / 1000, cue.text.partition(" of ")[0]) for cue in cues]

    # Two words a second: before the thumb are 19, before the finger 39, before it goes back 45. Then the second text
    # is still read: its eight words take 1 + 8 x 0.4 = 4.2 s.
    say = "long-tail cast-on " + "word " * 17 + "under the thumb " + "word " * 17 + "over the finger word word word "
    say = f"{say}back through{' word' * 40}"
    hands = "[{do: make a slip knot and cast on, time: 50 s}]"
    told = [(9.5, "long-tail cast-on, 1"), (19.5, "long-tail cast-on, 2"), (23.7, "long-tail cast-on, 3")]
    assert steps("a", hands=hands, say=say) == told
    # The needle comes from the front before the hands have come to it, at 30 s; then it goes through the back.
    say = f"from the front{' word' * 77} we knit it through the back{' word' * 20}"
    hands = "[{do: look, time: 30 s}, {do: m1l, time: 30 s}]"
    assert steps("b", hands=hands, say=say) == [(30.0, "m1l, 1"), (40.5, "m1l, 2")]
    # Nothing tells: it begins when six of the stitches of its line are worked.
    plan = plan_of(tmp_path / "c", timed.shot("close", hands="[{work: 'K6, k2tog, k4'}]", say="it is knit as if"))
    (time,) = shot_times(plan, 1)
    shot = plan.course.shot(time.number)
    factor = technique_minutes((("k2tog", 1),), 1, plan.course.course.techniques)
    start, end, _ = stretch(plan, time, shot, "k2tog")
    assert abs(start - time.hands[0][1] * 6 / (10 + factor)) <= 1
    assert end == time.hands[0][1]


def test_names_of_moves_come_with_their_words_or_when_the_hands_come_to_them(tmp_path: Path) -> None:
    """Two words a second; five seconds for each of six stitches, then the marker, whatever letter begins its name."""

    def moves(name: str, say: str) -> list[tuple[float, str]]:
        shot = {"pieces": "[{needs: body round 4}]", "hands": "[{work: 'K6, pm, m1, pm, k6'}]"}
        plan = plan_of(tmp_path / name, timed.shot("close", **shot, say=say))
        cues = [one for one in episode_cues(plan, 1).laid.cues if one.wanted.kind == "abbreviation"]
        return [(cue.start / 1000, cue.text.partition(":")[0]) for cue in cues]

    said = f"{'word ' * 40}we place a marker {'word ' * 16}make a stitch from the bar between them{' word' * 20}"
    assert moves("said", said) == [(20.5, "pm"), (30.0, "m1")]
    (first, pm), (then, m1) = moves("worked", "word " * 30)
    assert (first, pm, m1) == (30.0, "pm", "m1")
    assert 30 <= then <= 36


def test_tools_that_are_laid_out_are_named(tmp_path: Path) -> None:
    tools = (
        "tools: {thin needle: 4 mm, thick needle: 5 mm, both needles: {holds: 'thin needle, thick needle'}, MC: wool}\n"
    )
    laid = ("both needles, MC", "thin needle, MC", "thin needle", "thick needle, MC")
    plan = plan_of(tmp_path, *(timed.shot("table", tools=one) for one in laid), course=COURSE + tools)
    # With all of them on the table the viewer does not know yet which is the first, so that it is said when it begins.
    assert [text for _, _, _, text in told(episode_cues(plan, 1))] == [
        "Needles: 4 mm and 5 mm; Yarn: red",
        "Needle: 4 mm",
        "Needle: 5 mm",
    ]


@pytest.mark.parametrize(
    ("more", "said", "shown"),
    [
        ({"pieces": "[{needs: edge}]"}, "Look at it", False),
        ({"pieces": "[{needs: edge}]"}, "The red is next", True),
        ({"pieces": "[{needs: edge}]", "hands": '[{work: "K4"}]'}, "Look at it", True),
        ({}, "Look at it", True),
    ],
)
def test_a_yarn_that_only_lies_beside_a_piece_is_not_told_as_its_yarn(
    tmp_path: Path, more: dict[str, str], said: str, shown: bool
) -> None:
    plan = plan_of(tmp_path, timed.shot("close", "20 s", tools="MC", say=said, **more))
    texts = [text for _, _, kind, text in told(episode_cues(plan, 1)) if kind == "needle and yarn"]
    assert any(text.endswith("Yarn: red") for text in texts) is shown


def test_corrections_are_laid_first_as_long_as_they_are_to_be_laid(tmp_path: Path) -> None:
    entry = "  - {found: 2027-04-0%d, by: A, where: 1.1.1, said: %s, right: %s, remedy: %s, state: %s}\n"
    errata = "errata:\n" + "".join(
        entry % (day, *rest)
        for day, rest in enumerate(
            (
                ("nine words", "ten words more", "text over the picture", "open"),
                ("nine", "mended words here", "text over the picture", "mended"),
                ("nine", "filmed anew", "pick-up shot", "open"),
                ("nine", "undecided yet", "none yet", "planned"),
            ),
            1,
        )
    )
    # “ten words more” is said from the ninth word on, at 4 s; what has no words of its own comes first of all, three
    # words for 2.2 s and two for 2 s. What an edition has over its picture is laid again in a new cut.
    say = "word " * 8 + "ten words more" + " word" * 20
    shots = timed.shot("face", say=say, on_screen="[Ten words or more]")
    plan = plan_of(tmp_path, shots, files={"errata.yaml": errata})
    assert told(episode_cues(plan, 1))[:3] == [
        (0.0, 2.2, "correction", "mended words here"),
        (2.2, 4.2, "correction", "undecided yet"),
        (4.2, 6.4, "correction", "ten words more"),
    ]
    assert [cue.wanted.key for cue in episode_cues(plan, 1).laid.cues][:3] == [1, 3, 0]


def test_a_time_that_is_asked_for_is_kept_to(tmp_path: Path) -> None:
    # From 30 s on another text stands for 20 s: ten seconds later would be too late.
    plan = plan_of(
        tmp_path,
        timed.shot("face", say="word " * 200, cues="[{show: One, at: 30 s, stays: 20 s}, {show: Two, at: 31 s}]"),
    )
    assert told(episode_cues(plan, 1)) == [(30.0, 50.0, "own text", "One")]
    assert [one.why for one in episode_cues(plan, 1).laid.left_out] == ["there is no room beside “One”"]
