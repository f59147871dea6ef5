"""Papers of a pottery, a woodcarving and a bookbinding course: every one in the words of its trade, and no other."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator, Mapping
from functools import cache
from html.parser import HTMLParser
from pathlib import Path
from tempfile import TemporaryDirectory

import pypdf
import pytest

import lessonplan
from lessonplan.craft.words import words_of
from lessonplan.planning.worked import Plan
from lessonplan.publish.cautions import cautions
from tests.small_course import write_course

ROOT = Path(__file__).resolve().parent.parent
KNITTING = re.compile(
    r"knit|purl|stitch|\bsts?\b|yarn|\bballs?\b|gauge|stockinette|\brounds?\b|\brows?\b|needle|crochet|swatch|skein"
    r"|cast(ing)? on|bind(ing)? off|\bhooks?\b|stitch markers?",
    re.IGNORECASE,
)
ALLOWED = {
    "pottery": {
        r"ball of clay|into a ball": "a lump of clay is patted into one",
        r"space round each bowl|a finger round the foot": "around, no counted round",
    },
    "woodcarving": {r"hook knife": "a curved knife"},
    "bookbinding": {
        r"kettle stitch|running stitch": "books are sewn",
        r"blunt needle|the needle dips|Needles, pins and awls": "with a needle",
        r"round the tape": "around, no counted round",
    },
}
"""What a trade says although knitting says it too, and why."""


class _Text(HTMLParser):
    """The words of a page that a person can come upon: its text, and what is read out or shown in its place."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self.hidden = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.hidden += tag in ("style", "script")
        said = ("title", "alt", "aria-label", "data-head", "placeholder", "value")
        self.found += [text for name, text in attrs if name in said and text]

    def handle_endtag(self, tag: str) -> None:
        self.hidden -= tag in ("style", "script")

    def handle_data(self, data: str) -> None:
        if not self.hidden:
            self.found.append(data)


@cache
def made(craft: str) -> tuple[Plan, Mapping[str, str]]:
    """The plan of a craft's course, and the words of every file of its build by the file's name."""
    with TemporaryDirectory() as folder:
        result = lessonplan.build(ROOT / "tests" / "courses" / craft, Path(folder) / "out")
        assert result.problems == ()
        assert result.plan
        return result.plan, {path.name: words(path) for path in sorted((Path(folder) / "out").glob("[!.]*"))}


def words(path: Path) -> str:
    """The words of a file, with single blanks between them."""
    if path.suffix == ".pdf":
        text = " ".join(page.extract_text() for page in pypdf.PdfReader(path).pages)
    elif path.suffix == ".html":
        reader = _Text()
        reader.feed(path.read_text(encoding="utf-8"))
        text = " ".join(reader.found)
    else:
        text = path.read_text(encoding="utf-8-sig").replace("\n ", "").replace("\\n", " ")
    return " ".join(text.split())


def of_knitting(craft: str, text: str) -> Iterator[str]:
    """Each word of knitting in a text that the trade does not say itself, with what stands about it."""
    for phrase in ALLOWED[craft]:
        text = re.sub(phrase, "", text, flags=re.IGNORECASE)
    for found in KNITTING.finditer(text):
        yield text[max(0, found.start() - 30) : found.end() + 30]


@pytest.mark.parametrize("craft", ALLOWED)
def test_no_paper_has_a_word_of_knitting(craft: str) -> None:
    _, papers = made(craft)
    assert {Path(name).suffix for name in papers} >= {".html", ".pdf", ".csv", ".ics", ".atom", ".vtt", ".srt"}
    assert [(name, one) for name, text in papers.items() for one in of_knitting(craft, f"{name} {text}")] == []


def test_a_word_of_knitting_would_be_found() -> None:
    assert list(of_knitting("pottery", "Cast on 20 sts")) == ["Cast on 20 sts"] * 2
    assert list(of_knitting("pottery", "A ball of clay")) == []
    assert list(of_knitting("woodcarving", "A ball of clay")) == ["A ball of clay"]


@pytest.mark.parametrize(
    ("craft", "maker", "says"),
    [
        ("pottery", "potter", ["Clay and glaze", "What to make before the shoot", "For the potters"]),
        ("woodcarving", "carver", ["Wood and finish", "What to carve before the shoot", "Sample spoons"]),
        ("bookbinding", "binder", ["Paper, board and thread", "Who makes what by when: 1 binder", "To make"]),
    ],
)
def test_each_craft_has_its_own_words(craft: str, maker: str, says: list[str]) -> None:
    _, papers = made(craft)
    every = " ".join(papers.values())
    assert [one for one in says if one not in every] == []
    assert f"{maker}s.html" in papers
    assert papers[f"{maker}s.csv"].startswith(f"day,{maker},piece")


def test_materials_have_amounts_in_their_own_units_with_a_reserve() -> None:
    """By hand: 600 g of clay and a fifth are 720 g, 1400 g are 1680 g; 5 ml and a tenth 5.5 ml; 120 and half 180 ml."""
    _, papers = made("pottery")
    assert "smooth stoneware clay: 720 (1680) g: 1 pack of 5 kg" in papers["handout.pdf"]
    assert "food-safe stoneware glaze: 180 (390) ml" in papers["handout.pdf"]
    # Eight bowls of the small size: 8 x 720 g = 5760 g, which is a second pack; three of them are glazed.
    assert "smooth stoneware clay 5760 g (2 packs of 5 kg)" in papers["step-samples.html"]
    assert "food-safe stoneware glaze 540 ml" in papers["step-samples.html"]
    # On the second day two bowls are dipped: 2 x 120 ml and half as much again; wax 2 x 5 ml and a tenth.
    assert "food-safe stoneware glaze, 360 ml" in papers["run-sheet-2.pdf"]
    assert "wax resist, 11 ml" in papers["run-sheet-2.html"]
    _, papers = made("bookbinding")
    # Five sections of four sheets and a tenth: 22; 30 cm of thread for each of five: 165 cm with the tenth. Two boards
    # and one cloth stay two and one, for a tenth of them is no piece.
    assert "grey board: 2 pieces (2 mm)" in papers["handout.pdf"]
    assert "book cloth: 1 piece – " in papers["handout.pdf"]
    assert "text paper 22 sheets, waxed linen thread 165 cm" in papers["step-samples.html"]
    _, papers = made("woodcarving")
    assert "green birch 33 cm" in papers["carvers.html"]  # 30 cm and a tenth


def test_counted_units_are_named_part_way() -> None:
    plan, papers = made("bookbinding")
    book = next(piece for piece in plan.choice.pieces if any("1.3.2" in stop.demand for stop in piece.stops))
    place = plan.worked.pattern.order.index("sewing")
    assert book.first[place] == 3
    assert "Sewing: section 3 of 5" in papers["step-samples.html"]
    assert "STOP after section 3 of 5 of “Sewing”" in papers["binders.html"]
    assert "Sections 1 to 3 of 5 : Sew each section" in papers["binder-ismay-dorrick.pdf"].replace("5:", "5 :")
    assert "Sew each section on two tapes and tie it to the one below (5 sections" in papers["handout.html"]
    _, papers = made("woodcarving")
    assert "Carving the outside: face 2 of 4" in papers["run-sheet-1.html"]


def test_what_nobodys_hands_are_needed_for_is_called_by_its_name() -> None:
    _, papers = made("pottery")
    assert "fire to 1000 °C. Then leave it in the kiln for 24 h." in papers["handout.html"]
    assert "Then leave it to dry for 5 days." in papers["handout.pdf"]
    assert "Do all of it: finished and fired." in papers["potters.html"]
    assert "with all drying and firing over" in papers["shoot.ics"].replace("\\,", ",")
    _, papers = made("bookbinding")
    assert "Then leave it in the press for 12 h." in papers["handout.html"]
    _, papers = made("woodcarving")
    assert "Then leave it to cure for 14 days." in papers["handout.html"]


@pytest.mark.parametrize(
    ("craft", "signs", "not_said"),
    [
        (
            "pottery",
            ["silica", "kiln burns", "Glazes:", "At the wheel"],
            ["Carving tools", "Wood dust", "close scissors"],
        ),
        (
            "woodcarving",
            ["Carving tools", "Axe:", "Wood dust", "catch fire by themselves"],
            ["silica", "close scissors", "grip light"],
        ),
        (
            "bookbinding",
            ["Knives along a rule", "Needles, pins and awls", "Glue and paste"],
            ["silica", "cap the needles", "Axe:"],
        ),
    ],
)
def test_each_craft_has_its_cautions(craft: str, signs: list[str], not_said: list[str]) -> None:
    plan, papers = made(craft)
    for reader in ("floor", "knitters", "viewers"):
        told = " ".join(cautions(plan, reader))
        assert [sign for sign in signs if sign not in told] == [], reader
        assert [sign for sign in not_said if sign in told] == [], reader
        assert told.endswith("come first.")
    assert signs[0] in papers["handout.html"]
    assert signs[0] in papers["run-sheet-1.pdf"]


def test_what_is_used_on_the_set_is_not_laid_out_for_the_maker() -> None:
    """Bowls G and H stop at the first firing: their wax and glaze (5 ml and a tenth, 120 ml and half) are the set's."""
    _, papers = made("pottery")
    paper = papers["potter-maud-tarrant.pdf"]
    # One of eight bowls is glazed beforehand, two are on the second day: 5.5 of 16.5 ml of wax, 180 of 540 ml of glaze.
    assert "(2 packs of 5 kg), wax resist 5.5 ml, food" in paper
    assert "safe stoneware glaze 180 ml. Tools: " in paper
    stops = [card for card in paper.split("Piece ")[1:] if card.startswith(("G: Bisque", "H: Bisque"))]
    assert [("Material: smooth stoneware clay 720 g." in card, "wax resist" in card) for card in stops] == [
        (True, False),
        (True, False),
    ]
    assert "clay 720 g; on the set wax resist 5.5 ml, food-safe stoneware glaze 180 ml" in papers["step-samples.html"]


def test_waiting_is_told_beside_the_work_one_rest_after_the_other() -> None:
    """Bowl: 24 h, 5 days, 24 h, 3 h and 36 h are 207 h. Notebook: the spine's 12 h and 12 h in the case; 3 h beside."""
    _, papers = made("pottery")
    assert "After it 1¼ h of work, and 8 days 15 h to dry and in the kiln" in papers["handout.html"]
    assert "Then 1¼ h of work, 8 days 15 h to dry and in the kiln." in papers["handout.pdf"]
    _, papers = made("bookbinding")
    assert "After it 2½ h of work, and 24 h in the press and to dry" in papers["handout.html"]
    _, papers = made("woodcarving")
    # 10 + 25 + 4 x 15 + 35 + 30 + 5 = 165 min
    assert "After it 2¾ h of work, and 21 days to dry and to cure" in papers["handout.html"]


def test_times_of_the_hands_keep_their_seconds_and_a_counted_thing_its_number() -> None:
    _, papers = made("pottery")
    assert "turn the foot ring (2 min 30 s)" in papers["run-sheet-1.html"]
    _, papers = made("woodcarving")
    assert "pulling toward the thumb (1 min 30 s)" in papers["run-sheet-1.pdf"]
    assert "STOP after face 2 of 4 of “Carving the outside”; do not begin face 3 of 4." in papers["carvers.html"]


def test_a_piece_that_was_worked_on_is_begun_by_the_evening() -> None:
    """The case of piece G takes 40 min: 28 of them on one evening are not nothing."""
    _, papers = made("bookbinding")
    assert "2027-05-17,Ismay Dorrick,G,The case begun,28" in papers["binders.csv"]
    assert "not begun" not in papers["binder-ismay-dorrick.pdf"] + papers["binders.html"]


def test_a_state_that_is_no_state_is_told_of_in_the_units_of_the_course(tmp_path: Path) -> None:
    shutil.copytree(ROOT / "tests" / "courses" / "bookbinding", tmp_path / "book")
    path = tmp_path / "book" / "episodes" / "01-notebook.yaml"
    whole = path.read_text(encoding="utf-8")
    for typed, says in (
        ("sewing part 3", "“sewing” is not counted in “part”."),
        ("sewing section 7", "“sewing” has 5 sections, not 7."),
        ("three of them!", "such as “before casing”, “folding” or “folding section 2”."),
        ("sewing section 0", "There is no section 0"),
    ):
        path.write_text(whole.replace("needs: sewing section 3", f"needs: {typed}"), encoding="utf-8")
        messages = [problem.message for problem in lessonplan.load(tmp_path / "book").problems]
        assert any(says in message for message in messages), messages


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("uses: clay 600 (1400) g", "uses: clay 600 (1400, 2000) g", "3 values are given here"),
        ("uses: clay 600 (1400) g", "uses: {clya: 600 g}", "There is no material “clya”. Did you mean “clay”?"),
        ("uses: clay 600 (1400) g", "uses: clay much", "is not an amount such as “450 g” or “4 sheets”"),
        ("uses: clay 600 (1400) g", "uses: clay", "“clay” should be a material and how much of it"),
        ("glaze 120 (260) ml", "glaze 120 (260) ml; clay 1 kg", "“clay” is in kg here, and in g before."),
        ("firing: 24 h", "firing: 24 h\n        cooling: 12 h", "not both firing and cooling"),
        ("firing: 24 h", "firing: 24 h\n        point: fired", "in a line that begins with a hyphen: “- point: ...”."),
        ("craft: pottery", "craft: pottery\nwords: {makr: thrower}", "“makr” is not a key that is known here."),
    ],
)
def test_what_is_wrong_with_materials_rests_and_words_is_one_sentence(
    tmp_path: Path, old: str, new: str, says: str
) -> None:
    shutil.copytree(ROOT / "tests" / "courses" / "pottery", tmp_path / "pots")
    path = tmp_path / "pots" / "pattern.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")
    problems = [one for one in lessonplan.load(tmp_path / "pots").problems if one.severity == "error"]
    assert any(says in str(problem) for problem in problems), problems
    assert problems[0].where.line > 1


def test_the_example_of_the_readme_can_be_read(tmp_path: Path) -> None:
    (example,) = re.findall(r"```yaml\n(craft: .*?)```", (ROOT / "README.md").read_text(encoding="utf-8"), re.DOTALL)
    shots = "shots: [{view: face, pieces: [{needs: bowls bowl 4}]}]"
    episode = f"episode: 1\ntitle: E\nsegments:\n  - title: S\n    {shots}\n"
    files = {"pattern.yaml": f"title: Bowls\n{example}", "episodes/01.yaml": episode}
    result = lessonplan.plan(write_course(tmp_path, files))
    assert result.problems == ()
    assert result.plan
    assert words_of(result.plan.course.pattern).makers == "throwers"
    # By hand: six bowls of 600 g and a fifth are 4320 g.
    assert result.plan.worked.facts["material.clay.amount"].at(0) == "4320\u00a0g"
