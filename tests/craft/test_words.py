"""The words of crafts are data: the table is whole, a course overrides it, and no word of knitting stays in code."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest

from lessonplan.course.model.groups import Words
from lessonplan.course.model.pattern import Pattern
from lessonplan.craft import tables
from lessonplan.craft.words import common_words, craft_named, file_word, rest_named, words_of

ROOMS = ("documents", "samples", "planning", "shoot", "render")
KNITTING = re.compile(
    r"knit|purl|stitch|\bsts?\b|yarn|\bballs?\b|gauge|stockinette|\brounds?\b|\brows?\b|needle|crochet|swatch|skein"
    r"|cast on|bind off",
    re.IGNORECASE,
)
REACHED_BY_KNITTING: Mapping[str, str] = {
    # Rounds and rows of lines, the stitches after them, and steps that only such works have.
    "documents/charts.py": r"rows from right to left|every round|yarn>",
    "documents/cuecards.py": r"as if to|knitwise|bknit ",
    "documents/instructions.py": r"at the given gauge|^Round |^waste yarn$",
    "documents/ready.py": r"^(on the needles|Yarn|on waste yarn )$",
    "documents/reports.py": r"^(Stitches|Rounds)$",  # of the command `count`
    "documents/rounds.py": r"rnds\?|^Row$",
    "documents/shots.py": r"^darning needle$|^ into the round in ",
    "documents/stopping.py": (
        r"^do not (put stitches|take up|pick up|pull out|bind off|cut)|^ on waste yarn$"
        r"|^ stitches, each on a $|^the yarn$"
    ),
    "documents/wording.py": r"^ for the stitches$",
    "documents/worklines.py": (
        r"^(Row|Round)$|rnd\|round\|row|^ sts$| rounds, not |^Round $|^What is on the needle stays| sts\?|^ut the yarn"
        r"|resting yarn"
    ),
    "samples/states.py": (
        r"^fewer stitches(: )?$| on the needles instead of "
        r"|^ ?\(?round $|^ sts$| sts on|stitches on|^ rounds$|leaves out round|without the rounds"
    ),
    "render/drawings/chart.py": r"as if to purl|yarn at the front",
    "render/drawings/piece.py": r"live stitches|on waste yarn",
    "render/drawings/words.py": r"^ stitches\.$|on waste yarn|with fewer stitches",
    # Patterns that have a gauge, needles or yarns.
    "documents/calendarentries.py": r"^Yarn$",
    "documents/handoutpaper.py": r"^(Materials and gauge|Gauge|Another yarn)$",
    "documents/knitpaper.py": r"small ball for each|^ stitches and $|^ rounds to $|live stitches|waste yarn will do",
    "documents/materials.py": (
        r"needles|swatch|\bsts\b| rounds to |ball band|knits to|yarn|round |ruler"
        r"|^for all rounds$|^from the cast-on on$|^in the round$"
    ),
    "documents/kit.py": r"of one dye lot",
    "documents/papers.py": r"^the yarn$",
    "documents/packing.py": r"for stitches that come off a needle\)$|that come on a cable or waste yarn",
    "documents/livework.py": r"^its last stitch$|^ into the round in | left it in its round",
    "documents/notions.py": r"^waste yarn$|darning needle|^a cable needle$",
    "documents/tasks.py": r"small ball|^cast on $",
    "documents/floorwork.py": r"^the yarn that hangs on $",
    "documents/stints.py": r"^to take back rounds$|^its waste yarn comes out$",
    # Printed patterns that are proof-read, and paces in stitches a minute.
    "documents/countedpattern.py": r"",
    "shoot/clocks.py": r"^The markers are those|next round of the piece|^ round $|^ stitches before its end",
    "samples/agreed.py": r"^ stitches$",
    "shoot/takes/learnt.py": r"^stitches a minute: a first-time knitter",
}
"""Sentences that stay in code since only knitting and crochet come to them, by file."""
ON_PAGES: Mapping[str, str] = {
    # Where there is a gauge, a yarn or a pace.
    "handout.html": r"Gauge|gauge|swatch|Another yarn|Yarn|Stitches|stitches|and rounds",
    "handout.typ": r"Yarn|Round or wide",
    "editor.html": r"and yarn, the round",  # texts of counted rounds among them
    "release.html": r"Paces are in stitches|handout rounds the whole",  # where a pace is counted; hours
    "shot-list.html": r"[Yy]arns|Every stage, every technique",
    "pattern.html": r"",  # a printed pattern that is proof-read
    "step-samples.html": r"Yarn",
    "knitters.html": r"Yarn|^knitters$",  # the latter the name of a style
    "_paper.typ": r"Yarn",
    "knitter.typ": r"Gauge",
    "handout.js": r"",  # the form for another gauge
}


def sentences(source: str) -> Iterator[str]:
    """The texts in a source that a person may read: no docstrings, and no names in small letters alone."""
    tree = ast.parse(source)
    bodies = (one.body for one in ast.walk(tree) if isinstance(one, (ast.Module, ast.ClassDef, ast.FunctionDef)))
    docs = {id(line.value) for body in bodies for line in body if isinstance(line, ast.Expr)}
    for node in ast.walk(tree):
        text = node.value if isinstance(node, ast.Constant) and id(node) not in docs else ""
        if isinstance(text, str) and is_sentence(text):
            yield text


def is_sentence(text: str) -> bool:
    """Whether a text is more than a name in small letters."""
    return " " in text or text[:1].isupper()


def shown(name: str, template: str) -> Iterator[str]:
    """The texts of a template that a person may read: those between its tags and orders, and those quoted in orders."""
    plain = re.sub(r"\{#.*?#\}|<!--.*?-->|/\*.*?\*/", "", template, flags=re.DOTALL)
    if name.endswith(".html"):
        orders = re.findall(r"\{%.*?%\}|\{\{.*?\}\}", plain, flags=re.DOTALL)
        yield from (text for one in orders for text in re.findall(r'"([^"]*)"', one) if is_sentence(text))
        yield from re.sub(r"\{%.*?%\}|\{\{.*?\}\}|<[^>]*>", "\n", plain, flags=re.DOTALL).splitlines()
        return
    plain = re.sub(r"(?<!:)//.*", "", plain)
    quoted = ("".join(one) for one in re.findall(r'"([^"\n]*)"|`([^`\n]*)`', plain))
    yield from filter(is_sentence, (re.sub(r"\$\{[^}]*\}", "", one) for one in quoted))
    if name.endswith(".typ"):
        for one in re.findall(r"\[([^\[\]{}]*)\]", re.sub(r'"[^"\n]*"', "", plain)):
            yield re.sub(r"#(?:if|else)?\s*[\w.-]+(?:\([^()]*\))?", "", one)


def left_over(text: str, allowed: str | None) -> bool:
    """Whether a text has a word of knitting that is not allowed there."""
    return bool(KNITTING.search(text)) and not (allowed is not None and re.search(allowed, text))


@pytest.mark.parametrize("room", ROOMS)
def test_no_word_of_knitting_is_a_sentence_in_code(root: Path, room: str) -> None:
    found = []
    for path in sorted((root / "lessonplan" / room).rglob("*.py")):
        name = path.relative_to(root / "lessonplan").as_posix()
        texts = sentences(path.read_text(encoding="utf-8"))
        found += [(name, text) for text in texts if left_over(text, REACHED_BY_KNITTING.get(name))]
    assert found == []


def test_no_word_of_knitting_stands_in_a_template(root: Path) -> None:
    found = []
    for path in sorted((root / "templates").iterdir()):
        if path.suffix in (".html", ".typ", ".js"):
            texts = shown(path.name, path.read_text(encoding="utf-8"))
            found += [(path.name, text) for text in texts if left_over(text, ON_PAGES.get(path.name))]
    assert found == []


def test_planted_words_are_found() -> None:
    planted = '"""Knit."""\ndef f(x):\n    """Purl."""\n    return f"Knit {x}", "yarn", "Ten rows"\n'
    assert [text for text in sentences(planted) if left_over(text, None)] == ["Ten rows", "Knit "]
    page = '<p class="knit row">{{ view.yarn }} of wool</p>{{ td("To knit", 1) }}<b>Purl</b>{# knit #}'
    assert [text for text in shown("a.html", page) if left_over(text, None)] == ["To knit", "Purl"]
    assert [text for text in shown("a.typ", "#par[Knit on] // knit") if left_over(text, None)] == ["Knit on"]


def test_every_exception_is_needed(root: Path) -> None:
    for folder, table in (("lessonplan", REACHED_BY_KNITTING), ("templates", ON_PAGES)):
        for name, allowed in table.items():
            source = (root / folder / name).read_text(encoding="utf-8")
            texts = shown(name, source) if folder == "templates" else sentences(source)
            assert any(KNITTING.search(text) and re.search(allowed, text) for text in texts), name


def test_every_craft_has_all_words() -> None:
    names = [row["craft"] for row in tables.rows("crafts")]
    assert names == ["knitting", "crochet", "weaving", "sewing", "pottery", "woodcarving", "bookbinding", "other"]
    for row in tables.rows("crafts"):
        assert set(Words.model_fields) <= set(row)
        assert all(row[name] for name in Words.model_fields), row["craft"]
    for name in ("drying", "firing", "setting", "curing", "pressing", "cooling", "soaking", "resting"):
        assert rest_named(name).leave


@pytest.mark.parametrize(
    ("typed", "craft"),
    [
        ("Knitting", "knitting"),
        ("ceramics", "pottery"),
        ("patchwork", "sewing"),
        ("spoon carving", "woodcarving"),
        ("Book binding", "bookbinding"),
        ("origami", "other"),
    ],
)
def test_a_craft_is_known_by_other_names(typed: str, craft: str) -> None:
    assert craft_named(typed) == craft


def test_a_course_has_words_of_its_own() -> None:
    stages = {"a": {"title": "A", "works": [{"minutes": "5"}]}}
    words = {"maker": "turner", "makers": "turners", "pace": "turns a minute"}
    pattern = Pattern.model_validate({"title": "T", "craft": "turning", "words": words, "stages": stages})
    said = words_of(pattern)
    assert (said.maker, said.makers, said.made, said.pace) == ("turner", "turners", "made", "turns a minute")
    assert common_words("other").pace == ""
    assert (file_word("Töpfer:innen"), file_word("мастер")) == ("topfer-innen", "makers")
