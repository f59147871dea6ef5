"""Facts: every number that a text may name, in all sizes, and how it is worded."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import lessonplan
from lessonplan.course.problems import Where
from lessonplan.pattern.facts import Fact, facts_of
from lessonplan.pattern.texts import UnknownFactError, check_text, fill, for_all_sizes, for_size
from lessonplan.pattern.worked import Step, WorkedStage
from tests import pdf
from tests.small_course import COURSE, EPISODE, PATTERN as SMALL, write_course

PATTERN = """\
title: Striped ring
sizes: [S, M]
gauge: {stitches: 20, rounds: 28}
yarns:
  MC: {name: Plain wool, colour: grey, metres: 200, grams: 100}
  CC: {name: Plain wool, colour: red, metres: 200, grams: 100}
charts:
  dots:
    colours: {M: MC, C: CC}
    rows: [MMMMMMMC, MMMMMMMM]
stages:
  edge:
    title: Edge
    works:
      - cast_on: 40 (48)
      - rounds: 4
        lines: "*K1, p1; rep from * to end"
        yarn: CC
  body:
    title: Body
    after: edge
    works:
      - chart: dots
      - lines: "[K6, k2tog] to end"
"""


@pytest.fixture
def facts(tmp_path: Path) -> dict[str, Fact]:
    file = COURSE + "film_size: M\nedition: 3\n"
    course = write_course(tmp_path, {"pattern.yaml": PATTERN, "course.yaml": file, "episodes/01.yaml": EPISODE})
    result = lessonplan.load(course)
    assert result.worked is not None, result.problems
    assert [problem.code for problem in result.problems] == ["float", "strands"]
    return dict(result.worked.facts)


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("edge.cast_on", "40\u00a0(48)"),
        ("edge.rounds", "4"),
        ("edge.with.CC", "160\u00a0(192)"),
        ("body.stitches", "35\u00a0(42)"),
        ("body.count.k2tog", "5\u00a0(6)"),
        ("body.round_3.stitches", "35\u00a0(42)"),
        ("body.length", "1.1\u00a0cm, ⅜\u00a0in"),  # 3 rounds at 28 to 10 cm are 10.7 mm
        ("total.length", "2.5\u00a0cm, 1\u00a0in"),
        ("chart.dots.longest_float", "7"),
        ("ends", "6"),  # MC at the cast-on, CC for the edge, MC again for the body; CC is carried on
        ("gauge.stitches", "20"),
        ("course.edition", "3"),
        ("size", "S\u00a0(M)"),
        ("yarn.CC.colour", "red"),
    ],
)
def test_facts_in_all_sizes(facts: dict[str, Fact], name: str, text: str) -> None:
    assert facts[name].all_sizes() == text


def test_a_script_says_one_size_and_the_handout_all(facts: dict[str, Fact]) -> None:
    say = "We cast on {{ edge.cast_on }}, in {{yarn.MC.colour}}."
    assert fill(say, for_size(facts, 1)) == "We cast on 48, in grey."
    assert fill(say, for_all_sizes(facts)) == "We cast on 40\u00a0(48), in grey."


def test_an_unknown_fact_is_never_filled_in_silently(facts: dict[str, Fact]) -> None:
    with pytest.raises(UnknownFactError):
        fill("{{ edge.nothing }}", for_size(facts, 0))


def test_template_language_in_a_text_is_no_fact() -> None:
    for text in ("{% for x in y %}", "{{ 7 * 7 }}", "{{ ''.__class__ }}", "{# hidden #}", "{{"):
        assert list(check_text(text, Where("a", 1, 1), {})), text


def test_facts_of_many_rounds_take_time_in_proportion(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    calls: list[int] = []
    plain = vars(WorkedStage)["rounds"]

    def read(stage: WorkedStage) -> tuple[Step, ...]:
        calls.append(1)
        found: tuple[Step, ...] = plain.func(stage)
        return found

    monkeypatch.setattr(WorkedStage, "rounds", property(read))

    def asked(rounds: int) -> int:
        pattern = SMALL.replace("rounds: 10", f"rounds: {rounds}")
        result = lessonplan.load(write_course(tmp_path, {"pattern.yaml": pattern}))
        assert result.worked is not None
        calls.clear()
        facts_of(result.worked.course, result.worked.pattern)
        return len(calls)

    assert asked(400) == asked(40)


def test_a_length_as_one_speaks_of_it(facts: dict[str, Fact]) -> None:
    assert fill("It is {{ about body.length }} long.", for_size(facts, 1)) == "It is about 1\u00a0cm long."
    # What is read has the number that the handout has elsewhere.
    assert fill("{{about body.length}}", for_all_sizes(facts)) == "about 1.1\u00a0cm, ⅜\u00a0in"
    (problem,) = check_text("{{ about bdy.length }}", Where("a", 1, 1), facts)
    assert (problem.message, problem.hint) == ("There is no fact “bdy.length”.", "Did you mean “body.length”?")


FULL_COURSE = """\
title: Ring cowl
host: Ada Example
summary: A cowl of {{ edge.cast_on }} stitches.
shoot:
  - day: 2027-03-06
    place: Barn
    helpers: Bo
    films: [1]
knitters:
  - name: Cy
samples:
  drawer:
    - {name: old ring, state: edge}
"""
FULL_PATTERN = """\
title: Ring
gauge: {stitches: 20, rounds: 28, fabric: stockinette, needle: 4 mm}
needles: [4 mm needles]
notions: [marker]
sizes: [{name: one, fits: a neck}]
yarns:
  MC: {name: Plain wool, colour: grey, fibre: wool, metres: 200, grams: 100}
measures: {neck: 40 cm}
options:
  hem: {choices: sewn or ribbon, kit: {ribbon: 25 cm of ribbon}}
stages:
  edge:
    title: Edge
    watch_for: Count {{ edge.cast_on }}.
    works:
      - cast_on: 40
        method: long-tail
        join: yes
        note: All {{ edge.cast_on }} of them.
      - rounds: 4
        lines: "Knit"
        note: Makes {{ edge.length }}.
      - increase: 4
        by: m1
        note: To {{ edge.stitches }} sts.
      - lifeline: all
        note: Through {{ edge.stitches }}.
      - sew: 5 cm
        what: the hem
        note: Over {{ edge.around }}.
        when: sewn
"""
FULL_EPISODE = """\
episode: 1
title: All of it
summary: On {{ edge.cast_on }} stitches.
segments:
  - title: The {{ edge.rounds }} rounds
    watch_for: Look at {{ edge.rounds }}.
    handout: Work {{ edge.rounds }}.
    shots:
      - view: overhead
        title: Round {{ edge.rounds }}
        tools: pencil
        pieces:
          - {needs: edge, name: the first}
        hands:
          - do: count {{ edge.stitches }}
            time: 5 s
        on_screen:
          - "{{ edge.cast_on }} sts"
        say: We cast on {{ edge.cast_on }} stitches.
        note: Show {{ edge.cast_on }}.
"""
FULL_ERRATA = """\
errata:
  - found: 2027-04-01
    by: Di
    role: viewer
    where: shot 1.1.1
    said: forty
    right: "{{ edge.cast_on }}"
"""
FULL = {
    "course.yaml": FULL_COURSE,
    "pattern.yaml": FULL_PATTERN,
    "episodes/01.yaml": FULL_EPISODE,
    "errata.yaml": FULL_ERRATA,
}


def test_every_text_that_may_name_facts_is_filled_on_every_page(tmp_path: Path) -> None:
    result = lessonplan.build(write_course(tmp_path / "c", FULL), tmp_path / "out")
    assert [p for p in result.problems if p.severity == "error"] == []
    every = sorted((tmp_path / "out").rglob("*.*"))
    pages = {path.name: path.read_text(encoding="utf-8") for path in every if path.suffix != ".pdf"}
    pages |= {path.name: "".join(pdf.pages(path.read_bytes())) for path in every if path.suffix == ".pdf"}
    assert len(pages) > 10
    assert [name for name, text in pages.items() if "{{" in text] == []
    handout = re.sub(r"<[^>]+>", "", pages["handout.html"]).replace("\u00a0", " ")
    # 5 rounds at 28 to 10 cm are 17.9 mm, which is 0.71 in; 44 sts at 20 to 10 cm are 220 mm, 8.66 in.
    notes = ("All 40 of them.", "Makes 1.8 cm, ¾ in.", "To 44 sts.", "Through 44.", "Over 22 cm, 8¾ in.", "Count 40.")
    for words in notes:
        assert words in handout


@pytest.mark.parametrize(
    ("file", "old"),
    [
        ("course.yaml", "Ring cowl"),
        ("course.yaml", "Ada Example"),
        ("course.yaml", "Barn"),
        ("course.yaml", "Bo\n"),
        ("course.yaml", "Cy\n"),
        ("course.yaml", "old ring"),
        ("pattern.yaml", "Ring\n"),
        ("pattern.yaml", "stockinette"),
        ("pattern.yaml", "4 mm}"),
        ("pattern.yaml", "4 mm needles"),
        ("pattern.yaml", "marker"),
        ("pattern.yaml", "one, fits"),
        ("pattern.yaml", "a neck"),
        ("pattern.yaml", "Plain wool"),
        ("pattern.yaml", "grey"),
        ("pattern.yaml", "neck: 40"),
        ("pattern.yaml", "25 cm of ribbon"),
        ("pattern.yaml", "Edge"),
        ("pattern.yaml", "long-tail"),
        ("pattern.yaml", "the hem"),
        ("episodes/01.yaml", "All of it"),
        ("episodes/01.yaml", "overhead"),
        ("episodes/01.yaml", "pencil"),
        ("episodes/01.yaml", "the first"),
        ("errata.yaml", "Di\n"),
        ("errata.yaml", "viewer"),
        ("errata.yaml", "forty"),
    ],
)
def test_a_text_that_names_no_facts_may_have_no_braces(tmp_path: Path, file: str, old: str) -> None:
    word = old.split(",")[0].split(":")[0].strip("}\n")
    new = old.replace(word, f"'{word} {{{{ edge.cast_on }}}}'", 1)
    found = lessonplan.load(write_course(tmp_path, {**FULL, file: FULL[file].replace(old, new, 1)})).problems
    (problem,) = [p for p in found if p.severity == "error"]
    line = FULL[file][: FULL[file].index(old)].count("\n") + 1
    assert (problem.code, problem.where.file) == ("braces", file)
    assert problem.where.line == (8 if word == "neck" else line)


def test_a_fact_broken_over_two_lines_is_the_same_fact(tmp_path: Path) -> None:
    say = (
        "say: |\n          We cast on {{ edge.cast\n          _on }} and {{\n          edge.rounds }}, {{ edge.nix }}."
    )
    text = EPISODE.replace("say: We cast on {{ edge.cast_on }} stitches.", say)
    loaded = lessonplan.load(write_course(tmp_path, {"episodes/01.yaml": text}))
    (problem,) = loaded.problems
    assert (problem.code, problem.where.line, problem.where.column) == ("unknown-fact", 15, 30)
    whole = lessonplan.load(write_course(tmp_path, {"episodes/01.yaml": text.replace(", {{ edge.nix }}", "")}))
    assert whole.problems == ()
    assert whole.worked is not None
    said = fill(whole.worked.course.episodes[0].segments[0].shots[0].say, for_size(whole.worked.facts, 0))
    assert said == "We cast on 40 and 4.\n"


def test_about_is_a_word_of_its_own_over_two_lines_too(facts: dict[str, Fact]) -> None:
    assert fill("{{ about\n  body.\nlength }}", for_size(facts, 1)) == "about 1\u00a0cm"
    assert list(check_text("{{ about\n  body.length }}", Where("a", 1, 1), facts)) == []
    (problem,) = check_text("{{ about }}", Where("a", 1, 1), facts)
    assert problem.message == "There is no fact “about”."


HEAD = """\
title: Piece
gauge: {stitches: 20, rounds: 28}
yarns:
  MC: {name: Wool, metres: 200, grams: 100}
stages:
  edge:
    title: Edge
    works:
"""
TALK = "episode: 1\ntitle: T\nsegments:\n  - title: Talk\n    shots:\n      - {view: face, title: Talk, say: Hello.}\n"


def test_rows_are_as_wide_as_their_stitches_and_rounds_lie_half_as_wide(tmp_path: Path) -> None:
    """30 stitches at 20 to 10 cm make 15 cm: across in rows, round the piece in rounds."""
    for work, wide in (("rows", 150.0), ("rounds", 75.0)):
        pattern = HEAD + f"      - cast_on: 30\n      - {work}: 4\n        lines: Knit\n"
        course = write_course(tmp_path, {"pattern.yaml": pattern, "course.yaml": COURSE, "episodes/01.yaml": TALK})
        result = lessonplan.load(course)
        assert result.worked, result.problems
        assert result.worked.facts["edge.width"].values == (wide,)
