"""Numbers of all sizes and of two units are marked up so that one can be shown alone, and read as before."""

from __future__ import annotations

import re

import pytest

from lessonplan.render.pages import sized

GROUP = "K20\u00a0(22,\u00a024), pm"


def shown(text: str, hidden: set[str]) -> str:
    """Walk the markup and leave out every element of the hidden classes, as a page's style does."""
    kept, classes = [], list[str]()
    for tag, words in re.findall(r"(<[^>]+>)|([^<]+)", text):
        if tag.startswith("</"):
            classes.pop()
        elif tag:
            classes.append(re.search(r'class="(\w+)"', tag)[1])  # type: ignore[index]
        elif not hidden & set(classes):
            kept.append(words)
    return "".join(kept)


def one_size(size: int, sizes: int) -> set[str]:
    return {f"s{other}" for other in range(sizes) if other != size} | {"sp"}


@pytest.mark.parametrize(
    ("text", "each"),
    [
        (GROUP, ["K20, pm", "K22, pm", "K24, pm"]),
        (
            "Rnds\u00a012\u00a0(14,\u00a016) to\u00a016\u00a0(18,\u00a020)",
            ["Rnds\u00a012 to\u00a016", "Rnds\u00a014 to\u00a018", "Rnds\u00a016 to\u00a020"],
        ),
        ("–\u00a0(2,\u00a04) times", ["– times", "2 times", "4 times"]),
        ("5½\u00a0(6,\u00a07½)\u00a0h", ["5½\u00a0h", "6\u00a0h", "7½\u00a0h"]),
        ("77–78\u00a0(92,\u00a0107)\u00a0m", ["77–78\u00a0m", "92\u00a0m", "107\u00a0m"]),
        ("1 ball\u00a0(ball,\u00a0balls)", ["1 ball", "1 ball", "1 balls"]),
        ("10\u00a0cm (4\u00a0in)", ["10\u00a0cm (4\u00a0in)"] * 3),
        ("[k2,\u00a0(p1,\u00a0k1)]", ["[k2,\u00a0(p1,\u00a0k1)]"] * 3),
    ],
)
def test_each_size_can_be_read_alone(text: str, each: list[str]) -> None:
    marked = sized(text, 3)
    assert shown(marked, set()) == text
    assert [shown(marked, one_size(size, 3)) for size in range(3)] == each


def test_a_group_of_another_number_of_sizes_stays_as_it_is() -> None:
    assert sized(GROUP, 2) == GROUP


@pytest.mark.parametrize(
    ("text", "cm", "inches"),
    [
        (
            "Work 5\u00a0(5.7,\u00a06.3)\u00a0cm, 2\u00a0(2¼,\u00a02½)\u00a0in.",
            "Work 5\u00a0(5.7,\u00a06.3)\u00a0cm.",
            "Work 2\u00a0(2¼,\u00a02½)\u00a0in.",
        ),
        ("to 10\u00a0cm (4\u00a0in), washed", "to 10\u00a0cm, washed", "to 4\u00a0in, washed"),
        ("-0.1\u00a0cm, 0\u00a0in", "-0.1\u00a0cm", "0\u00a0in"),
    ],
)
def test_a_length_can_be_read_in_one_unit(text: str, cm: str, inches: str) -> None:
    marked = sized(text, 3)
    assert shown(marked, set()) == text
    assert (shown(marked, {"in", "ci"}), shown(marked, {"cm", "ci"})) == (cm, inches)


def test_what_the_teacher_wrote_is_escaped() -> None:
    assert sized("<b>40\u00a0(44)</b>", 2).startswith("&lt;b&gt;")
