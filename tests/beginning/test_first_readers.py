"""What free patterns, scripts and people say in ways of their own, when a course is begun from it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import lessonplan
from lessonplan.beginning.answers import answers_of
from lessonplan.beginning.interview import interview
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
