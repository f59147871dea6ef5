"""The handout in a real browser: one size alone, ticks that are kept, and another gauge as the program works it."""

from __future__ import annotations

import random
from math import ceil
from pathlib import Path
from typing import TYPE_CHECKING, Any

import lessonplan
from lessonplan.documents.handout import handout_view
from lessonplan.pattern.amounts.yarn import whole_pattern
from lessonplan.pattern.variants.ways import as_filmed
from lessonplan.pattern.working.stages import work_pattern
from lessonplan.planning.worked import Plan
from lessonplan.render.handout_page import handout_page
from lessonplan.render.pictures import Pictures
from tests.small_course import COURSE, EPISODE, write_course
from tests.waiting import reloaded

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

GAUGES = 1000
PATTERN = """\
title: Ring
sizes: [S, M]
make: 2
gauge: {stitches: 20, rounds: 30}
yarns:
  MC: {name: Wool, colour: grey, metres: 200, grams: 100}
  CC: {name: Wool, colour: red, metres: 150, grams: 50}
stages:
  edge:
    title: Edge
    gauge: {stitches: 26, rounds: 33, over: 10 cm}
    works:
      - {cast_on: 16 (24), join: yes}
      - {rounds: 1.5 (2) cm, lines: "*K2, p2; rep from * to end", yarn: CC}
  body:
    title: Body
    after: edge
    works:
      - rounds: 5.6 (6) cm
        lines: [Knit, "*Sl 1 wyib, k3; rep from * to end"]
        stripes: 3 MC, 2 CC
        ends_with: stripe
      - {rounds: 7, lines: Knit}
      - {rounds: 3 cm, lines: Knit, rounding: even}
      - {rounds: 2.2 cm, lines: Knit, rounding: up}
      - {lines: ["*K2, k2tog; rep from * to end"]}
      - {bind_off: all}
"""
RECORD = 'edition: 1\non: 2027-04-01\ncode: ABCD\nfacts: {edge.rounds: "5\u00a0(6)"}\n'


def plan_of(folder: Path, pattern: str = PATTERN) -> Plan:
    files = {"pattern.yaml": pattern, "course.yaml": COURSE + "film_size: M\n", "episodes/01.yaml": EPISODE}
    result = lessonplan.plan(write_course(folder, files))
    assert result.plan is not None, [str(problem) for problem in result.problems]
    return result.plan


def opened(browser: Browser, folder: Path, plan: Plan, **context: Any) -> Page:
    path = folder / "handout.html"
    path.write_bytes(handout_page(handout_view(plan), Pictures(plan), "en"))
    page = browser.new_context(**context).new_page()
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda bad: said.append(str(bad)))
    page.goto(path.as_uri())
    assert said == [], "the browser complains, for example about the content policy"
    return page


def by_the_program(plan: Plan, stitches: float, rounds: float) -> list[tuple[list[int], dict[str, float]]]:
    """Work the pattern anew with another gauge typed into it: rounds of each work from a length, and metres."""
    pattern = as_filmed(plan.course.pattern)
    ratios = stitches / pattern.gauge.stitches, rounds / pattern.gauge.rounds
    update = {"gauge": pattern.gauge.model_copy(update={"stitches": stitches, "rounds": rounds})}
    stages = {}
    for key, stage in pattern.stages.items():
        if stage.gauge:
            own = {"stitches": stage.gauge.stitches * ratios[0], "rounds": stage.gauge.rounds * ratios[1]}
            stages[key] = stage.model_copy(update={"gauge": stage.gauge.model_copy(update=own)})
    other = pattern.model_copy(update={**update, "stages": {**pattern.stages, **stages}})
    worked, problems = work_pattern(other)
    assert not [one for one in problems if one.severity == "error"]
    found = []
    for size in range(len(worked.sizes)):
        counts = []
        for key in worked.order:
            for index, work in enumerate(other.stages[key].works):
                extent = getattr(work, "rounds", None) or getattr(work, "rows", None)
                if extent is not None and extent.kind == "length":
                    counts.append(sum(s.is_round and s.work == index for s in worked.stage(key, size).steps))
        found.append((counts, {one.yarn: one.metres for one in whole_pattern(other, worked, size)}))
    return found


def test_another_gauge_is_worked_out_as_the_program_does(browser: Browser, tmp_path: Path) -> None:
    plan = plan_of(tmp_path)
    page = opened(browser, tmp_path, plan)
    chosen = random.Random(5)
    gauges = [(chosen.randrange(100, 400) / 10, chosen.randrange(140, 560) / 10) for _ in range(GAUGES)]
    found = page.evaluate(
        "gauges => gauges.map(([s, r]) => given.sizes.map((_, size) => atGauge(given.gauge, s, r, size)))", gauges
    )
    for (stitches, rounds), sizes in zip(gauges, found, strict=True):
        wanted = by_the_program(plan, stitches, rounds)
        for here, (counts, metres) in zip(sizes, wanted, strict=True):
            assert here["counts"] == counts, (stitches, rounds)
            assert {yarn: ceil(one) for yarn, one in here["metres"].items()} == {
                yarn: ceil(one) for yarn, one in metres.items()
            }, (stitches, rounds)


def test_the_sample_at_its_own_and_at_other_gauges(browser: Browser, sample: Plan, tmp_path: Path) -> None:
    page = opened(browser, tmp_path, sample)
    for stitches, rounds in ((22, 30), (21, 29.5), (25.5, 36)):
        every = "([s, r]) => given.sizes.map((_, size) => atGauge(given.gauge, s, r, size))"
        found = page.evaluate(every, [stitches, rounds])
        for here, (counts, metres) in zip(found, by_the_program(sample, stitches, rounds), strict=True):
            assert here["counts"] == counts
            assert {yarn: ceil(one) for yarn, one in here["metres"].items()} == {
                yarn: ceil(metres[yarn]) for yarn in here["metres"]
            }
    facts = sample.worked.facts
    printed = [[facts[f"yarn.{yarn}.metres"].values[size] for yarn in ("MC", "CC")] for size in range(3)]
    own = page.evaluate("given.sizes.map((_, size) => atGauge(given.gauge, 22, 30, size))")
    # The thumb's last round and its first are no length's; the hand is 5 cm long at any gauge, as it is asked for.
    assert [[part["long"] for part in one["parts"] if part["title"] == "Plain hand"] for one in found] == [[50]] * 3
    assert [[ceil(one["metres"][yarn]) for yarn in ("MC", "CC")] for one in own] == printed


def test_what_is_typed_is_shown_and_kept(browser: Browser, tmp_path: Path) -> None:
    page = opened(browser, tmp_path, plan_of(tmp_path))
    page.locator("#own summary").click()
    page.locator("label[for=size-1]").click()
    page.locator("#own-stitches").fill("25")
    page.locator("#own-rounds").fill("40")
    body = page.locator("#own-result tr", has_text="Body").inner_text()
    # 6 cm at 40 rounds are 24: stripes end after 23 and 25 rounds, equally near, so 25; 3 cm are 12, 2.2 cm 8.8, so 9.
    rounds = 25 + 7 + 12 + 9 + 1
    # 24 sts at 25 to 10 cm are 9.6 cm, and 54 rounds at 40 are 13.5 cm.
    # 9.6 cm are 3.78 in, to the eighth 3¾; 13.5 cm are 5.31, to the quarter 5¼.
    told = {"cm": ("9.6\u00a0cm", "13.5\u00a0cm"), "in": ("3¾\u00a0in", "5¼\u00a0in")}
    told["both"] = ("9.6\u00a0cm (3¾\u00a0in)", "13.5\u00a0cm (5¼\u00a0in)")
    assert body.split("\t")[1] == f"{rounds} rounds, {told['both'][0]} round, {told['both'][1]} long"
    for unit, (wide, long) in told.items():
        page.locator(f"label[for=unit-{unit}]").click()
        body = page.locator("#own-result tr", has_text="Body").inner_text()
        assert body.split("\t")[1] == f"{rounds} rounds, {wide} round, {long} long"
    page.locator("#own-stitches").fill("0")
    assert page.locator("#own-result").inner_text() == "Type both numbers, from 1 to 200."
    page.locator("#own-stitches").fill("24.5")
    reloaded(page)
    assert page.locator("#own-stitches").input_value() == "24.5"
    assert page.locator("#size-1").is_checked()


def test_a_change_is_shown_in_the_sizes_that_it_changes(browser: Browser, tmp_path: Path) -> None:
    # The edge has 1.5 (2) cm at 33 rounds: 5 (7); the edition before had 5 (6).
    files = {
        "pattern.yaml": PATTERN,
        "course.yaml": COURSE + "film_size: M\nedition: 2\n",
        "episodes/01.yaml": EPISODE,
        "published/edition-1.yaml": RECORD,
    }
    plan = lessonplan.plan(write_course(tmp_path, files)).plan
    assert plan is not None
    page = opened(browser, tmp_path, plan)
    line = page.locator("section[aria-labelledby=changed] li", has_text="Edge, rounds")
    shown = {"all": "Edge, rounds: 5 (6), now 5 (7)", "0": "", "1": "Edge, rounds: 6, now 7"}
    for size, words in shown.items():
        page.locator(f"label[for=size-{size}]").click()
        assert line.is_visible() == bool(words), size
        if words:
            assert line.inner_text().replace("\u00a0", " ") == words


def test_a_pattern_that_another_gauge_changes_altogether_has_no_form(tmp_path: Path) -> None:
    wide = PATTERN.replace("cast_on: 16 (24)", "cast_on: 20 (24) cm, multiple: 4")
    assert handout_view(plan_of(tmp_path, wide)).own_gauge is None


def test_one_size_and_one_unit_are_shown_without_any_script(browser: Browser, tmp_path: Path) -> None:
    page = opened(browser, tmp_path, plan_of(tmp_path), java_script_enabled=False)
    line = page.locator(".row", has_text="cast on").first
    assert "cast on 16\u00a0(24)\u00a0sts" in line.inner_text()
    page.locator("label[for=size-1]").click()
    page.locator("label[for=unit-in]").click()
    assert "cast on 24\u00a0sts" in line.inner_text()
    # 24 sts at 26 to 10 cm are 9.23 cm; three times that and a tenth more are 30.5 cm, some 12 in.
    assert "a tail of 12\u00a0in," in line.inner_text()
    assert not page.locator(".ticks").first.is_visible()


def test_rounds_are_ticked_and_kept_on_the_device(browser: Browser, tmp_path: Path) -> None:
    page = opened(browser, tmp_path, plan_of(tmp_path))
    assert page.locator(".ticks label").count() == 0, "before a size is picked nobody knows how many rounds"
    page.locator("label[for=size-0]").click()
    body = page.locator("section.stage", has_text="Body").locator(".ticks label")
    # The edge: 1.5 cm at 33 rounds to 10 cm. The body: 5.6 cm at 30 are 16.8, and stripes end after 15 and 18, so 18.
    assert body.first.inner_text().split()[0] == "1"
    assert page.locator("section.stage", has_text="Edge").locator(".ticks label").count() == 5
    # Three rounds of MC and two of CC: who comes back at round 5 or 6 need not count the stripes.
    assert [one.split()[1:] for one in body.all_inner_texts()[2:6]] == [["MC"], ["CC"], ["CC"], ["MC"]]
    page.locator(".ticks input").nth(2).check()
    page.locator(".ticks input").nth(20).check()
    reloaded(page)
    ticked = page.evaluate("[...document.querySelectorAll('.ticks input')].map(one => one.checked)")
    assert [place for place, one in enumerate(ticked) if one] == [2, 20]
    # 3 cm are 9, to the nearest even number 10; 2.2 cm are 6.6, so 7. 16 sts, a quarter fewer after the last round.
    assert body.last.inner_text().split() == [str(18 + 7 + 10 + 7 + 1), "12", "sts"]
    answers = [False, True]
    page.on("dialog", lambda asked: asked.accept() if answers.pop(0) else asked.dismiss())
    page.locator("#clear").click()
    assert page.locator(".ticks input:checked").count() == 2, "a slip of the thumb takes nothing away"
    page.locator("#clear").click()
    reloaded(page)
    assert page.locator(".ticks input:checked").count() == 0


def test_a_correction_that_names_a_size_is_told_with_the_size_picked(browser: Browser, sample_output: Path) -> None:
    # "fifteen stitches, in size Medium": 11 alone would say that they are right in Medium.
    page = browser.new_page()
    page.goto((sample_output / "handout.html").as_uri())
    page.locator("label[for=size-0]").click()
    told = page.locator("li", has_text="fifteen stitches").inner_text()
    assert told.endswith("in size Medium. Right: Small: 11 stitches go on the waste yarn.")
    page.close()


def test_the_instructions_begin_within_two_screens_of_a_phone(browser: Browser, sample_output: Path) -> None:
    page = browser.new_page(viewport={"width": 390, "height": 844})
    page.goto((sample_output / "handout.html").as_uri())
    assert page.evaluate("document.querySelector('.stage .row').getBoundingClientRect().top") < 2 * 844
    page.close()
