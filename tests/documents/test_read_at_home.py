"""What a viewer at home, an editor without a take log and whoever publishes find on the papers of the sample course."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

import pytest

from lessonplan.documents.choices import choices_view
from lessonplan.documents.editor import editor_view
from lessonplan.documents.posts import posts_view
from lessonplan.documents.proofing import proof_of
from lessonplan.documents.proofpage import proof_view
from lessonplan.documents.ready import ready
from lessonplan.planning.worked import Plan
from lessonplan.publish.cautions import Reader, cautions
from tests import pdf

LEAST = 8.0
"""Points that the smallest print of a paper has at least."""


def test_sheet_and_proof_tell_a_finding_alike_and_name_its_cut(sample: Plan, sample_output: Path) -> None:
    (kept,) = sample.captions
    rows = proof_view(sample, proof_of(sample, kept)).rows
    cuts = editor_view(sample, sample.course.episodes[1]).cuts
    assert cuts
    assert [row.then for row in rows] == [one.then for one in cuts.found]
    assert all(row.then for row in rows)
    page = (sample_output / "proof-2.html").read_text("utf-8")
    for start in re.findall(r"goes with the cut at (\d+:\d\d)", " ".join(row.then for row in rows)):
        assert f"goes with the cut at {start}" in page
        assert start in [one.start for one in cuts.rows]
    never = next(row for row in rows if row.kind == "never said")
    assert "exactly as many as before the gusset” must be heard" in never.then
    assert "promises" in never.then


def test_the_editor_reads_at_the_shot_what_must_be_heard_and_that_no_take_is_logged(sample: Plan) -> None:
    # Episode 2 has one such line, in 2.3.3; its captions do not have it.
    view = editor_view(sample, sample.course.episodes[1])
    rows = {row.shot.number: row for segment in view.segments for row in segment.shots}
    told = {number: row.must_say for number, row in rows.items() if row.must_say}
    assert list(told) == ["2.3.3"]
    ((text, missing),) = told["2.3.3"]
    assert text.startswith("“44 stitches, exactly as many as before the gusset”: not heard")
    assert missing
    assert "No take log" in view.no_log
    takes = {str(one.number): one.shot.takes for one in sample.course.shots()}
    assert takes["2.2.1"] == 3
    assert rows["2.2.1"].planned.endswith("3 takes")
    assert all(row.planned.endswith(f"{takes[number]} takes") for number, row in rows.items() if takes[number] > 1)


@pytest.mark.parametrize(
    ("page", "there"),
    [
        ("handout.html", ("handout-large.pdf", "errata.html", "errata.atom")),
        ("errata.html", ("handout.html", "handout-large.pdf", "errata.atom")),
        ("release.html", ("handout.html", "handout-large.pdf")),
    ],
)
def test_large_print_and_feed_are_linked_where_viewers_are(
    sample_output: Path, page: str, there: tuple[str, ...]
) -> None:
    text = (sample_output / page).read_text("utf-8")
    for name in there:
        assert f'href="{name}"' in text
        assert (sample_output / name).is_file()


def test_the_texts_to_paste_lead_somewhere_and_name_the_errata_by_one_name(sample: Plan, sample_output: Path) -> None:
    for episode in posts_view(sample).episodes:
        posts = {one.what: one.text for one in episode.posts}
        assert "[the address of the video]" in posts["Newsletter"]
        assert "[the address of the handout]" in posts["Newsletter"]
        assert "large print" in posts["Description"]
        assert "feed" in posts["Description"]
        assert not re.search("put right|mistakes", " ".join(posts.values()), re.IGNORECASE)
    handout = (sample_output / "handout.html").read_text("utf-8")
    assert "Mistakes in" not in handout
    assert ">Errata of the videos<" in handout


def test_the_yarn_still_needed_is_told_as_filmed_and_with_each_choice(sample: Plan) -> None:
    # What is chosen comes after the last episode, on both mittens: it takes as much more at each of the three.
    choices = choices_view(sample)
    assert choices
    filmed, loop = (row.yarn[1] for row in choices.rows)
    more = set()
    for place, one in enumerate(ready(sample)):
        line = next(text for text in one.yarn.split("; ") if " of CC" in text)
        plain, chosen = (list(map(int, re.findall(r"\d+", part))) for part in line.split(" as filmed, "))
        assert line.endswith("with a loop")
        if place == 0:
            assert plain == list(map(int, re.findall(r"\d+", filmed)))[:3]
            assert chosen == list(map(int, re.findall(r"\d+", loop)))[:3]
        more |= {b - a for a, b in zip(plain, chosen, strict=True)}
        assert " as filmed" not in next(text for text in one.yarn.split("; ") if " of MC" in text)
    assert more <= {4, 5}
    assert " as filmed, " in ready(sample)[2].work
    assert "loop" not in ready(sample)[0].work


def test_tools_that_only_some_need_are_told_so(sample: Plan, sample_output: Path) -> None:
    third = ready(sample)[2]
    assert third.tools[-1] == "only if you steam: steam iron and ironing mat"
    assert not any("iron" in one for one in third.tools[:-1])
    slips = (sample_output / "kit.html").read_text("utf-8")
    assert "only if you steam: steam iron and ironing mat" in slips


def test_viewers_count_after_sittings_and_the_floor_after_takes(sample: Plan) -> None:
    # Takes are of the shoot; what viewers and knitters have are sittings.
    found: tuple[tuple[Reader, str], ...] = (("viewers", "sitting"), ("knitters", "sitting"), ("floor", "take"))
    for reader, word in found:
        (text,) = (one for one in cautions(sample, reader) if "count pins" in one)
        assert f"after each {word}," in text
    assert not re.search(r"\btakes?\b(?! it| care| off)", " ".join(cautions(sample, "viewers")))


def test_the_drawing_has_the_unit_that_is_chosen(sample_output: Path) -> None:
    page = (sample_output / "handout.html").read_text("utf-8")
    drawings = page[page.index('class="drawings"') : page.index("What each part measures")]
    by_unit = dict.fromkeys(("cm", "in"), "")
    for unit, text in re.findall(r'<div class="(cm|in)">(.*?)</div>', drawings, re.DOTALL):
        by_unit[unit] += text.partition("</desc>")[2]
    # 44 stitches of 28 to 10 cm are 15.7 cm: 15.5 as patterns round them, and 6 in, as beside it in the table.
    assert "15.5 cm round" in by_unit["cm"]
    assert "6 in round" in by_unit["in"]
    table = re.sub(r"<[^>]+>", " ", page[page.index("What each part measures") :])
    for part in ("Ribbed cuff", "Thumb gusset", "Cobble band", "Plain hand", "Shaped top", "Thumb"):
        for said, row in (("(?:round|wide)", "around"), ("long", "length")):
            drawn = re.findall(rf">{part}<.*?>(\S+) in {said}<", by_unit["in"], re.DOTALL)
            told = re.findall(r"cm , (\S+) in\b", " ".join(table[table.index(f"{part}: {row}") :].split())[:90])
            assert len(drawn) == 3
            assert drawn == told[:1] * 3 if len(told) == 1 else drawn == told[:3], (part, row)
    assert not re.search(r"\d in\b", by_unit["cm"])
    assert not re.search(r"\d cm\b", by_unit["in"])


def test_weaving_in_is_told_where_it_is_worked(sample_output: Path) -> None:
    page = (sample_output / "handout.html").read_text("utf-8")
    titles = [">Weaving in</h3>", ">Blocking</h3>", "Then make the second one"]
    weaving, blocking = (page[page.index(a) : page.index(b)] for a, b in pairwise(titles))
    assert "in two directions" in weaving
    assert "Tails and a bath" in weaving, "the segment that shows it"
    assert "in two directions" not in blocking
    assert "steam" in blocking


def printed(data: bytes) -> Iterator[tuple[float, str]]:
    """Each run of letters of a paper with its size in points, as the page scales it."""
    found: list[tuple[float, str]] = []

    def seen(text: str, cm: list[float], tm: list[float], _: object, size: float) -> None:
        if re.search(r"\w", text):
            a, b, c, d = (sum(tm[2 * i + k] * cm[2 * k + j] for k in (0, 1)) for i in (0, 1) for j in (0, 1))
            found.append((size * abs(a * d - b * c) ** 0.5, text))

    for page in pdf.reader(data).pages:
        page.extract_text(visitor_text=seen)
    yield from found


def test_no_print_of_the_handout_is_under_eight_points(sample_output: Path) -> None:
    runs = list(printed((sample_output / "handout.pdf").read_bytes()))
    small = "".join(text.strip() for size, text in runs if size < LEAST + 0.3)
    for words in ("Cobbleband", "yarnattheback", "2CC"):  # of the drawing and of the chart
        assert words in small
    assert [(size, text) for size, text in runs if size < LEAST - 0.01] == []
    assert any(size > 19 for size, text in runs if "Ostrelby Mittens" in text), "the title has 20 points"
