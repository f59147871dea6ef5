"""What free patterns, scripts and people say in ways of their own, when a course is begun from it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import lessonplan
from lessonplan.beginning.questions import answers_of, interview
from lessonplan.beginning.sources import Sources, begin_from
from lessonplan.course.model.works import Knit

TODAY = date(2027, 1, 4)

YOKE = """\
Puddle Jumper

Sizes: 2 (4)

You will need:
Needles: 4 mm circular
4 stitch markers, waste yarn, darning needle
Gauge is not critical, but knit so that no hole stays open.

Gauge: 22 sts and 30 rows = 10 cm

Yoke
With the soft wool,
Cast on 72 (76) sts and join in the round.
Next round: *K18 (19), pm; rep from * to end.
Round 1: *K1, m1l, k to 1 st before marker, m1r, k1, sm; repeat from * to end. (8 sts increased)
Round 2: Knit.
Repeat rounds 1 and 2 until you have worked 5 (6) increase rounds: 112 (124) sts.

Body
Knit every round until the sweater reaches to 5 cm before the hips.
Bind off.
"""
SCRIPT = """\
Hello, it is Lena, and this is a sweater.

What you need
I use wool because it forgives every mistake that I make.
Next week: the sleeves, both of them alike.
"""


def test_a_pattern_says_it_in_its_own_way(tmp_path: Path) -> None:
    (tmp_path / "yoke.txt").write_text(YOKE, encoding="utf-8")
    (tmp_path / "talk.txt").write_text(SCRIPT, encoding="utf-8")
    sources = Sources(pattern=tmp_path / "yoke.txt", script=tmp_path / "talk.txt")
    done = begin_from(tmp_path / "c", {}, TODAY, sources, lambda texts: texts)
    worked = lessonplan.load(tmp_path / "c").worked
    assert worked is not None
    # 72 and five times 8; 76 and six times 8; one round sets the markers, then five and six times two
    yoke = worked.pattern.stages["yoke"]
    assert [stage.rounds[-1].after for stage in yoke] == [112, 124]
    assert [len(stage.rounds) for stage in yoke] == [11, 13]
    body = worked.course.pattern.stages["body"].works[0]
    assert isinstance(body, Knit)
    assert body.rounds is None  # five centimetres are what is left, not what is knitted
    assert worked.course.pattern.notions == ("4 stitch markers", "waste yarn", "darning needle")
    assert "With the soft wool" not in (tmp_path / "c" / "course.yaml").read_text(encoding="utf-8")
    kinds = {one.text: one.left for one in done.taken["yoke.txt"]}
    assert any("length" in left for text, left in kinds.items() if text.startswith("Knit every round until"))
    titles = [segment.title for segment in worked.course.episodes[0].segments]
    assert titles == ["Welcome", "What you need"]
    said = worked.course.episodes[0].segments[1].shots[0].say
    assert "Next week: the sleeves" in said


def test_people_answer_in_their_own_way() -> None:
    typed: Iterator[str] = iter(["A Hat", "", "", "child & adult", "22,5 x 30 to 10 cm", "", "rose; grey", *[""] * 2])
    asked: list[tuple[str, str]] = []
    told: list[str] = []

    def ask(question: str, default: str) -> str:
        asked.append((question, default))
        return next(typed) or default

    texts = interview({"knitters": "Mum + Ida", "hours": "3,5", "pace": "25"}, TODAY, ask, told.append)
    found = answers_of(texts, TODAY)
    assert told == []
    assert (found.made, found.sizes, found.stitches) == ("hat", ("child", "adult"), "22.5")
    assert (found.colours, found.knitters, found.hours) == (("rose", "grey"), ("Mum", "Ida"), "3.5")
    question, default = asked[3]
    assert "There are: 12 months, child, adult, large adult." in question
    assert default == "child, adult, large adult"


BOOTIES = """\
Pebble Booties

SIZES: 0-3 months (3-6 months, 6-12 months)

MATERIALS
Yarn: Hollin Wool 4-ply (200 m / 50 g), 1 ball
3 mm needles
Ribbon, 1 m

GAUGE: 28 sts and 56 rows = 10 cm in garter stitch

BOOTIES (make 2)
Sole
Cast on 27 (31, 35) sts.
Row 1 (WS): Knit.
Row 2: K1, kfb, k10 (12, 14), kfb, k1, kfb, k10 (12, 14), kfb, k1. 31 (35, 39) sts
Knit 12 (14, 16) rows.

Ankle
Eyelet row: K1, *yo, k2tog; rep from * to end.
Knit 15 (17, 19) rows.
Bind off loosely.

FINISHING
Sew sole and back seam. Thread ribbon through the eyelets.
"""
PARTS = """\
Booties in one evening

Part 1: Welcome
Today we knit a pair of tiny booties.

Part 2: The sole
[close on the hands] We cast on 27 stitches, and after row two there are 31. Knit 12 rows.

Part 3: Ankle and sewing up
[overhead] Make the eyelets, knit two together each time, and knit 15 rows.
"""


def test_short_parts_are_segments_in_the_size_whose_numbers_are_spoken(tmp_path: Path) -> None:
    """Each bootie has all parts; the first size has 27, 31, 12 and 15, of which the next has but 31, at its start."""
    (tmp_path / "booties.txt").write_text(BOOTIES, encoding="utf-8")
    (tmp_path / "talk.txt").write_text(PARTS, encoding="utf-8")
    sources = Sources(pattern=tmp_path / "booties.txt", script=tmp_path / "talk.txt")
    done = begin_from(tmp_path / "c", {}, TODAY, sources, lambda texts: texts)
    worked = lessonplan.load(tmp_path / "c").worked
    assert worked is not None
    course = worked.course
    assert (course.pattern.make, [*course.pattern.yarns]) == (2, ["A"])
    assert course.pattern.notions == ("Ribbon, 1 m",)
    assert worked.size == 0
    assert [one.title for one in course.pattern.stages.values()] == ["Sole", "Ankle", "Finishing"]
    (episode,) = course.episodes
    told = [(one.title, one.stage, [(shot.view, len(shot.hands)) for shot in one.shots]) for one in episode.segments]
    assert told == [
        ("Welcome", "", [("face", 0)]),
        ("The sole", "sole", [("close on the hands", 0)]),
        ("Ankle and sewing up", "ankle", [("overhead", 0)]),
    ]
    assert {one.stands for one in done.taken["talk.txt"]} == {"episodes/01.yaml"}
    found = [one for one in lessonplan.plan(tmp_path / "c").problems if one.code in ("typed-number", "not-covered")]
    # The rows of a printed line are held against that line; what is told of under a heading is told.
    assert [one.message for one in found] == [
        "No shot shows or tells of stage “Finishing”.",
        "No shot shows or tells of techniques “kfb”, “yo”.",
    ]


def test_parts_that_are_long_are_episodes_and_their_title_is_none(tmp_path: Path) -> None:
    talk = "We go round and round and it is a pleasure each time. " * 14
    script = f"Booties\n\nPart 1: The sole\n{talk}\n\nPart 2: The ankle\n{talk}\n"
    (tmp_path / "talk.txt").write_text(script, encoding="utf-8")
    done = begin_from(tmp_path / "c", {}, TODAY, Sources(script=tmp_path / "talk.txt"), lambda texts: texts)
    worked = lessonplan.load(tmp_path / "c").worked
    assert worked is not None
    assert [one.title for one in worked.course.episodes] == ["The sole", "The ankle"]
    stands = [(one.text[:6], one.stands) for one in done.taken["talk.txt"] if one.text != talk.strip()]
    assert stands == [
        ("Bootie", "episodes/01.yaml"),
        ("Part 1", "episodes/01.yaml"),
        ("Part 2", "episodes/02.yaml"),
    ]
