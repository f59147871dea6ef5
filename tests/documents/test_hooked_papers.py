"""Papers of a crochet course: a bag in two sizes, with a net, a band in rows and a ball, worked out by hand."""

from __future__ import annotations

import re
from pathlib import Path

import lessonplan
from lessonplan.documents.handout import HandoutView, handout_view
from lessonplan.documents.index import index_view
from lessonplan.documents.instructions import StageView
from lessonplan.documents.knitpaper import knitter_paper
from lessonplan.documents.knitters import knitters_with_work
from lessonplan.documents.samples import samples_view
from lessonplan.edit.cues.episode import episode_cues
from lessonplan.pattern.shape.outline import outline
from lessonplan.planning.worked import Plan
from tests.small_course import COURSE, write_course

PATTERN = """\
title: Net bag
craft: crochet
sizes: Small, Large
gauge: {stitches: 20, rounds: 10, fabric: dc}
needles: [4.5 mm for the bag, 3.5 mm for the ball]
notions: [toy stuffing, blunt yarn needle]
yarns:
  A: {name: Cotton, colour: peat, metres: 120, grams: 50}
  B: {name: Cotton, colour: reed, metres: 120, grams: 50}
stages:
  base:
    title: Base
    works:
      - lines:
          - "Rnd 1: 12 dc in ring. (12 dc)"
          - "Rnd 2: 2 dc in each st around. (24 dc)"
        yarn: A
        before: With A and the larger hook, make a magic ring.
      - lines:
          - "Size 2 only: Rnd 3: *Dc in next st, 2 dc in next st; rep from * around. (36 dc)"
        yarn: A
      - minutes: 1
        what: Fasten off A
  net:
    title: Net
    after: base
    works:
      - lines:
          - "Rnd 1: Ch 5 (counts as first dc and ch 2), sk next 2 sts, *dc in next st, ch 2, sk next 2 sts; \\
            rep from * around; join with sl st in 3rd ch of beg ch-5. (8 (12) dc, 8 (12) ch-2 sps)"
          - "Rnd 2: Ch 5 (counts as first dc and ch 2), sk next ch-2 sp, *dc in next dc, ch 2, sk next ch-2 sp; \\
            rep from * around; join with sl st in 3rd ch of beg ch-5. (8 (12) dc, 8 (12) ch-2 sps)"
          - "Rnds 3-5 (6): Rep Rnd 2."
        yarn: B
  band:
    title: Band
    after: net
    works:
      - lines:
          - "Row 1: Ch 1, sc in next 4 sts, turn. (4 sc)"
          - "Rows 2-9 (11): Ch 1, sc in each st across, turn. (4 sc)"
        yarn: A
  ball:
    title: Ball
    works:
      - lines:
          - "Rnd 1: 6 sc in magic ring. (6 sc)"
          - "Rnd 2: Inc in each st around. (12 sc)"
        yarn: B
        before: With B and the smaller hook.
      - lines: "Size 2 only: Next rnd: *Sc in next st, inc in next st; rep from * around. (18 sc)"
        yarn: B
      - lines: "Next 3 (5) rnds: Sc in each st around. (12 (18) sc)"
        yarn: B
      - lines: "Next rnd: *Sc2tog; rep from * around. (6 (9) sc)"
        yarn: B
        before: Stuff the ball firmly.
    gauge: {stitches: 24, rounds: 26, over: 10 cm, fabric: sc, needle: 3.5 mm}
  strap:
    title: Strap
    after: band
    works:
      - {pick_up: 4, along: the edge, yarn: A, before: Take the larger hook.}
      - {rows: 9, lines: "Ch 1, sc in each st across, turn.", yarn: A}
  ends:
    title: Ends
    after: strap, ball
    works:
      - weave_ends: 8
"""
EPISODE = """\
episode: 1
title: All of it
segments:
  - title: The base
    shots:
      - view: overhead
        pieces:
          - {needs: before net, leaves: net round 1}
        tools: larger hook, yarn B
        hands:
          - work: "Ch 5, sk next 2 sts, [dc in next st, ch 2, sk next 2 sts] twice"
        say: Then {{ net.rounds }} rounds of net.
  - title: The ball
    shots:
      - view: overhead
        pieces:
          - needs: before ball
        tools: smaller hook, yarn B
        hands:
          - work: 6 sc in magic ring
        say: Six into the ring.
"""
FILES = {"course.yaml": COURSE + "film_size: Small\n", "pattern.yaml": PATTERN, "episodes/01.yaml": EPISODE}


def made(folder: Path, **also: str) -> Plan:
    """Plan the bag, which must have no errors; files may be laid over it."""
    write_course(folder, FILES | also)
    found = lessonplan.plan(folder)
    assert found.plan is not None, found.problems
    return found.plan


def stage(view: HandoutView, key: str) -> StageView:
    """Give a stage of the handout."""
    return next(one for one in view.stages if one.key == key)


def test_a_line_for_some_sizes_takes_no_stitches_from_the_others(tmp_path: Path) -> None:
    view = handout_view(made(tmp_path))
    # Small has no round 3: 24 stay 24. Large: 12 times (1 + 2) = 36. The ball: 12 stay, Large 6 times (1 + 2) = 18;
    # at last sc2tog all round: 12 / 2 and 18 / 2.
    counts = {key: [one.end_count.replace("\u00a0", " ") for one in stage(view, key).works] for key in ("base", "ball")}
    assert counts == {"base": ["24 sts", "24 (36) sts", ""], "ball": ["12 sts", "12 (18) sts", "", "6 (9) sts"]}
    (only,) = stage(view, "base").works[1].lines
    assert (only.text[:18], only.without) == ("Large only: Rnd 3:", (0,))
    # A line that says itself how many rounds it is for has neither a label nor a sentence before it.
    even = stage(view, "ball").works[2]
    assert (even.lead, [one.label for one in even.lines]) == ("", [""])


def test_a_net_is_as_wide_as_its_stitches_and_chains_and_rows_are_rows(tmp_path: Path) -> None:
    plan = made(tmp_path)
    facts = {key: fact.values for key, fact in plan.worked.facts.items()}
    # 8 (12) dc, each with 2 chains beside it, are as wide as 24 (36) sts: at 20 to 10 cm 12 (18) cm, as the base.
    assert facts["net.stitches"] == (8, 12)
    assert facts["net.around"] == facts["base.around"] == (120, 180)
    assert facts["net.width"] == (60, 90)  # lying flat, half
    (net,) = [one for one in handout_view(plan).measurements.parts if one.name == "Net: around"]
    assert [each.split(",")[0] for each in net.values] == ["12\u00a0cm", "18\u00a0cm"]
    worked = plan.worked.pattern
    whole = tuple(len(worked.stage(key, 0).steps) for key in worked.order)
    drawn = outline(worked, 0, whole)
    profiles = {band.stage: band.profile for part in drawn.walk() for band in part.bands}
    # A tube of 12 cm lies 6 cm wide, all the way up from the base.
    assert {round(right - left) for _, left, right in profiles["net"]} == {60}
    # Lines alone that say “Row”: 9 (11) rows of 4 sc behind one chain each; rounds, none.
    assert (facts["band.rows"], facts["band.rounds"]) == ((9, 11), (0, 0))
    assert facts["band.with.A"] == (45, 55)
    assert plan.worked.facts["band.with.A"].meaning == "Band: stitches and chains worked with A"
    # 6 + 12 + 3 rounds of 12 + 6; Large 6 + 12 + 18 + 5 rounds of 18 + 9.
    assert facts["ball.with.B"] == (60, 135)
    assert stage(handout_view(plan), "band").works[0].lead == ""
    # A line of the ball is worked there, though nothing says that the piece is left further.
    assert stage(handout_view(plan), "ball").shown[0].endswith("The ball")
    said = EPISODE.replace("{{ net.rounds }} rounds of net", "{{ band.rounds }} rounds of band")
    write_course(tmp_path, FILES | {"episodes/01.yaml": said})
    told = [one for one in lessonplan.load(tmp_path).problems if one.code == "no-rounds"]
    assert [(one.where.file, one.hint) for one in told] == [("episodes/01.yaml", "Write “{{ band.rows }}”.")]


def test_nothing_is_ripped_back_for_a_part_that_is_not_begun(tmp_path: Path) -> None:
    ring = EPISODE.replace("needs: before net, leaves: net round 1", "needs: before base, leaves: base round 1")
    plan = made(
        tmp_path,
        **{
            "episodes/01.yaml": ring.replace(
                "Ch 5, sk next 2 sts, [dc in next st, ch 2, sk next 2 sts] twice", "6 dc in ring"
            )
        },
    )
    # A ring of the base stands there, in A; the ball is begun in B: yarn and hook are all that it needs.
    served = {stop.demand: piece.name for piece in plan.choice.pieces for stop in piece.stops}
    assert served["1.2.1"] != served["1.1.1"]
    assert plan.choice.waiting_minutes == 0
    assert all(stop.ripping == 0 for piece in plan.choice.pieces for stop in piece.stops if stop.demand == "1.2.1")
    # It is nothing to bring: the list of pieces says with what it is begun, and the index counts it apart.
    assert [one.first for one in samples_view(plan).pieces if one.letter == served["1.2.1"]] == [
        "begun on the set, with 1 m of A and a 4.5 mm hook"
    ]
    (link,) = (one for one in index_view(plan).for_host if one.href == "step-samples.html")
    assert link.text.startswith("0 pieces to bring, 2 begun on the set, ")  # both the ring and the ball


def test_a_hook_has_the_words_of_a_hook(tmp_path: Path) -> None:
    course = (
        COURSE + "film_size: Small\nmakers: [{name: Bea Example, pace: 12, hours_per_week: 6, starts: 2027-01-04}]\n"
    )
    finished = EPISODE.replace("needs: before ball", "needs: finished")
    plan = made(tmp_path, **{"course.yaml": course, "episodes/01.yaml": finished})
    view = handout_view(plan)
    # The ring is made with A already, so that A is not joined behind it; B for the net is joined.
    assert [stage(view, key).works[0].yarn for key in ("base", "net", "band", "ball")] == [
        "",
        "Join B (reed).",
        "Join A (peat).",
        "",
    ]
    along = stage(view, "strap").works[0]
    assert f"{along.yarn} {along.lead}".strip() == "With A (peat), work 4\u00a0sts along the edge."
    assert plan.worked.facts["strap.picked_up"].values == (4, 4)
    explained = {one.short: f"{one.meaning}: {one.how}" for one in view.abbreviations}
    assert explained["inc"] == "increase: 2 stitches into the same stitch"
    assert not any("needle" in text or "knit" in text for text in explained.values())
    texts = [one.text for one in episode_cues(made(tmp_path), 1).laid.cues if re.match("Yarn|Hook|Needle", one.text)]
    assert texts == ["Yarn: reed", "Hook: 3.5 mm"]
    for name in ("hook and yarn", "needle and yarn"):  # either may be written
        asked = made(tmp_path, **{"course.yaml": f"{FILES['course.yaml']}cues: [{name}]\n"})
        assert {(one.text, one.wanted.kind) for one in episode_cues(asked, 1).laid.cues} == {
            (text, "hook and yarn") for text in texts
        }
    (paper,) = (knitter_paper(plan, one) for _, one in knitters_with_work(plan))
    assert paper.needles == "4.5 mm (US 7, UK 7) for the bag; 3.5 mm (US 4) for the ball"
    assert paper.notions == "1 marker, a blunt darning needle, scissors and toy stuffing"
    lines = {
        line.rounds: line.text for task in paper.tasks for one in task.stages for line in one.lines if one.key == "net"
    }
    # A line that says its number has it once, and words in brackets are no number of the other size.
    assert lines["Round 1 (B)"].replace("\u00a0", " ").startswith("Ch 5 (counts as first dc and ch 2), sk next 2 sts")
    alone = PATTERN.replace("    title: Strap\n    after: band\n", "    title: Strap\n")
    for text, hints in (
        (alone, []),
        (alone.replace(", before: Take the larger hook.", ""), ["Take the larger hook.”"]),
    ):
        write_course(tmp_path, FILES | {"pattern.yaml": text})
        told = [one.hint for one in lessonplan.load(tmp_path).problems if one.code == "no-needle"]
        assert [hint.partition("before: ")[2] for hint in told] == hints
