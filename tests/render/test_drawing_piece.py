"""Drawings of pieces: well-formed, to scale, safe under a strict policy, and saying the same in words."""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings, strategies as st
from markupsafe import Markup

from lessonplan.pattern.shape.outline import Outline, outline
from lessonplan.pattern.worked import Step
from lessonplan.render.drawings.labels import spread
from lessonplan.render.drawings.piece import YarnLook, piece_large, piece_small, simplified
from lessonplan.render.drawings.words import in_words
from lessonplan.render.pictures import Pictures
from tests.documents.timed import PATTERN, episode, plan, shot
from tests.small_pieces import cast_on, mitten, pattern, rounds, scarf, stage, steps_of, tube

YARNS = {"MC": YarnLook("oatmeal", "#D8C7A3"), "CC": YarnLook("tarn blue", "#1F6573")}
NS = "{http://www.w3.org/2000/svg}"
Draw = Callable[..., Markup]


def parsed(markup: str) -> ElementTree.Element:
    """Parse as XML; a page puts SVG into its namespace by itself."""
    return ElementTree.fromstring(str.replace(markup, "<svg", '<svg xmlns="http://www.w3.org/2000/svg"', 1))


def corners(d: str) -> list[tuple[float, float]]:
    """The corners of path data made of M, L, H, V and Z alone."""
    x = y = 0.0
    found = []
    for letter, numbers in re.findall(r"([MLHV])([-\d. ]+)", d):
        values = [float(one) for one in numbers.split()]
        x = values[0] if letter != "V" else x
        y = values[-1] if letter != "H" else y
        found.append((x, y))
    return found


def filled(markup: Markup, colour: str) -> list[tuple[float, float]]:
    """The corners of the shapes filled in a colour."""
    paths = parsed(markup).iter(f"{NS}path")
    return [corner for path in paths if path.get("fill") == colour for corner in corners(path.get("d", ""))]


def half_mitten() -> Outline:
    return outline(mitten(), 0, steps_of(mitten(), edge=-1, cuff=-1, gusset=-1, band=6))


@pytest.mark.parametrize("draw", [piece_small, piece_large])
@pytest.mark.parametrize("kind", ["full", "short", "small"])
def test_a_piece_is_well_formed_and_named(draw: Draw, kind: str) -> None:
    worked = mitten(short=kind == "short")
    for done in ({}, {"edge": -1}, {"edge": -1, "cuff": -1, "gusset": -1, "thumb": 1}, dict.fromkeys(worked.order, -1)):
        svg = parsed(draw("a", outline(worked, 0, steps_of(worked, **done)), YARNS, "Piece A", kind=kind))
        title, words = svg[0], svg[1]
        assert (title.tag, title.text, words.tag) == (f"{NS}title", "Piece A", f"{NS}desc")
        assert svg.get("role") == "img"
        assert (svg.get("aria-labelledby"), svg.get("aria-describedby")) == (title.get("id"), words.get("id"))


@pytest.mark.parametrize("draw", [piece_small, piece_large])
def test_text_from_a_course_stays_text(draw: Draw) -> None:
    evil = '<script>alert("x")</script>\x00&'
    worked = pattern(stage("a", cast_on(20), *rounds([20] * 20, yarn=evil), title=evil))
    markup = draw(evil, outline(worked, 0, (12,)), {evil: YarnLook(evil, '"/><script>')}, evil)
    assert "<script" not in markup
    svg = parsed(markup)
    assert svg[0].text == evil.replace("\x00", "")
    assert not list(svg.iter(f"{NS}script"))


@pytest.mark.parametrize("draw", [piece_small, piece_large])
def test_there_is_no_style_and_every_id_is_once_and_from_the_prefix(draw: Draw) -> None:
    alike = {"MC": YarnLook("brick", "#A04030"), "CC": YarnLook("tarn blue", "#1F6573")}
    svg = parsed(
        Markup("<svg>")
        + draw("one", half_mitten(), alike, "A")
        + draw("two", half_mitten(), alike, "B")
        + Markup("</svg>")
    )
    assert not [one.tag for one in svg.iter() if one.tag == f"{NS}style" or "style" in one.attrib]
    ids = [one.attrib["id"] for one in svg.iter() if "id" in one.attrib]
    assert len(ids) == len(set(ids))
    assert all(name.startswith(("one-", "two-")) for name in ids)
    used = {
        found
        for one in svg.iter()
        for value in one.attrib.values()
        for found in re.findall(r"#((?:one|two)-\w+)", value)
    }
    assert used <= set(ids)
    assert len(used) == 4  # the body's shape and one texture, in each


@settings(deadline=None, max_examples=40)
@given(count=st.integers(20, 200), length=st.integers(20, 200))
def test_the_filled_part_is_to_scale(count: int, length: int) -> None:
    piece = outline(scarf(count, length), 0, (1, length))
    scale = 0.6
    xs, ys = zip(*filled(piece_small("a", piece, YARNS, "A", scale), "#D8C7A3"), strict=True)
    # 20 stitches and 30 rows over 100 mm; numbers in the picture are rounded to a tenth of a px.
    assert max(xs) - min(xs) == pytest.approx(count / 0.2 * scale, abs=0.11)
    assert max(ys) - min(ys) == pytest.approx(length / 0.3 * scale, abs=0.11)


def test_a_tube_is_drawn_half_as_wide_as_a_strip() -> None:
    in_rows, in_rounds = outline(scarf(40, 30), 0, (1, 30)), outline(tube(40, 30), 0, (1, 30))
    wide = []
    for piece in (in_rows, in_rounds):
        xs = [x for x, _ in filled(piece_small("a", piece, YARNS, "A", 0.5), "#D8C7A3")]
        wide.append(max(xs) - min(xs))
    assert wide == [pytest.approx(100, abs=0.1), pytest.approx(50, abs=0.1)]


def test_more_is_filled_as_more_is_done() -> None:
    worked = tube(40, 30)
    tall = []
    for done in (3, 10, 20, 30):
        ys = [y for _, y in filled(piece_small("a", outline(worked, 0, (1, done)), YARNS, "A", 0.5), "#D8C7A3")]
        tall.append(max(ys) - min(ys))
    assert tall == [pytest.approx(done / 0.3 * 0.5, abs=0.1) for done in (3, 10, 20, 30)]


def test_what_is_to_come_is_dashed_and_nothing_is_when_all_is_done() -> None:
    def dashed(done: tuple[int, int]) -> int:
        svg = parsed(piece_small("a", outline(tube(40, 30), 0, done), YARNS, "A"))
        return sum("stroke-dasharray" in one.attrib for one in svg.iter())

    assert (dashed((0, 0)), dashed((1, 15)), dashed((1, 31))) == (1, 1, 0)


def test_the_same_piece_is_the_same_bytes_and_small() -> None:
    for draw in (piece_small, piece_large):
        assert draw("a", half_mitten(), YARNS, "A") == draw("a", half_mitten(), YARNS, "A")
    assert len(piece_small("a", half_mitten(), YARNS, "A").encode()) < 2000
    assert len(piece_large("a", half_mitten(), YARNS, "A").encode()) < 4500


def test_a_small_picture_is_small() -> None:
    for worked in (mitten(), scarf(40, 900), tube(600, 20), scarf(900, 3)):
        svg = parsed(piece_small("a", outline(worked, 0, steps_of(worked, edge=-1)), YARNS, "A"))
        assert float(svg.attrib["height"]) <= 64
        assert float(svg.attrib["width"]) <= 96


def test_yarns_alike_in_grey_get_a_texture_and_others_none() -> None:
    alike = {"MC": YarnLook("brick", "#A04030"), "CC": YarnLook("tarn blue", "#1F6573")}
    assert "<pattern" in piece_small("a", half_mitten(), alike, "A")
    assert "<pattern" not in piece_small("a", half_mitten(), YARNS, "A")


def test_a_yarn_is_called_by_its_colour_or_else_by_its_name(tmp_path: Path) -> None:
    coloured = PATTERN.replace("name: Plain wool,", "name: Plain wool, colour: oatmeal,")
    for folder, text, called in (("a", PATTERN, "Plain wool"), ("b", coloured, "oatmeal")):
        made = plan(
            tmp_path / folder, episode((shot("face", pieces="[{needs: body round 3}]"),)), files={"pattern.yaml": text}
        )
        looks = Pictures(made)._yarns
        assert [one.name for one in looks.values()] == [called]


def test_waste_yarn_has_a_shape_of_its_own() -> None:
    held = parsed(piece_small("a", half_mitten(), YARNS, "A"))
    assert len(list(held.iter(f"{NS}circle"))) == 2  # the knots at its ends
    before = outline(mitten(), 0, steps_of(mitten(), edge=-1, cuff=-1))
    assert not list(parsed(piece_small("a", before, YARNS, "A")).iter(f"{NS}circle"))


def test_a_large_picture_names_its_stages_and_counts_what_waits() -> None:
    svg = parsed(piece_large("a", half_mitten(), YARNS, "A"))
    written = [one.text for one in svg.iter(f"{NS}text")]
    for words in (
        "Ribbed cuff",
        "Thumb",
        "5\u00a0cm",
        "44 live stitches",
        "13 on waste yarn",
        "oatmeal",
        "still to come",
    ):
        assert words in written
    sizes = [float(one.attrib["font-size"]) for one in svg.iter() if "font-size" in one.attrib]
    assert min(sizes) >= 11


def test_the_words_say_what_the_drawing_shows() -> None:
    # 22/3.2 + 19/3 + 12/3.6 + (15 + 13)/3 cm high; 44/2.2/2 cm, the gap of half one, and 18/2.2/2 cm wide.
    assert in_words(half_mitten()) == (
        "Drawn to scale: 15\u00a0cm wide and 26\u00a0cm high when finished. "
        "Done: Cast-on edge, Ribbed cuff and Thumb gusset. "
        "Under way: Cobble band (6 of 12 rounds). To come: Plain hand, Shaped top, Thumb, Weaving in and Blocking. "
        "44 live stitches. 13 on waste yarn."
    )
    finished = outline(mitten(), 0, steps_of(mitten(), **dict.fromkeys(mitten().order, -1)))
    assert in_words(finished).endswith("All of it is done.")


def test_the_words_name_a_kind_and_count_the_rounds_that_it_has() -> None:
    worked = mitten(short=True)
    # 6/3.2 + 19/3 + 4/3.6 + (4 + 13)/3 cm high; as wide as a full one.
    assert in_words(outline(worked, 0, steps_of(worked, edge=-1, cuff=5)), "short").startswith(
        "A short piece, drawn to scale: 15\u00a0cm wide and 15\u00a0cm high when finished. Done: Cast-on edge. "
        "Under way: Ribbed cuff (5 of 6 rounds). To come:"
    )
    # 20 stitches on a tube at 20 to 10 cm lie 5 cm wide.
    assert in_words(outline(tube(20, 30), 0, (1, 0)), "small").startswith(
        "A piece with fewer stitches, drawn to scale: 5\u00a0cm wide and 10\u00a0cm high"
    )
    said = parsed(piece_large("a", outline(tube(20, 30), 0, (1, 0)), YARNS, "A", kind="small"))[1].text or ""
    assert said.startswith("A piece with fewer stitches, drawn")


def test_a_course_in_inches_has_no_centimetres_in_its_drawings() -> None:
    # 15 cm are 5.9 in, 26 cm are 10.2 in; the bar takes half of the width at most: 2 in (5.1 cm) of 15 cm.
    assert in_words(half_mitten(), units="in").startswith(
        "Drawn to scale: 6\u00a0in wide and 10\u00bc\u00a0in high when finished."
    )
    both = in_words(half_mitten(), units="both")
    assert "15\u00a0cm (6\u00a0in) wide and 26\u00a0cm (10\u00bc\u00a0in) high" in both
    drawn = parsed(piece_large("a", half_mitten(), YARNS, "A", units="in"))
    written = [one.text or "" for one in drawn.iter(f"{NS}text")]
    assert "2\u00a0in" in written
    assert not [words for words in written if "cm" in words]


def test_a_stage_that_is_left_out_is_neither_done_nor_to_come() -> None:
    worked = pattern(stage("edge", cast_on(40)), stage("rib", numbers=(), start=40), stage("body", *rounds([40] * 6)))
    assert in_words(outline(worked, 0, (0, 0, 0)), "short").endswith("Nothing is done yet.")
    assert "Rib" not in in_words(outline(worked, 0, (1, 0, 2)), "short")
    assert in_words(outline(worked, 0, (1, 0, 6)), "short").endswith("All of it is done. 40 live stitches.")


def test_a_craft_without_rounds_is_drawn_too() -> None:
    glue = Step("other", "Glue", 0, 0)
    piece = outline(pattern(stage("cut", glue, glue), stage("glue", glue)), 0, (1, 0))
    svg = parsed(piece_large("a", piece, {}, "A"))
    assert "not to scale" in (svg[1].text or "")
    assert "5 cm" not in [one.text for one in svg.iter(f"{NS}text")]


@given(st.lists(st.tuples(st.floats(0, 300), st.floats(10, 50)), max_size=12))
def test_labels_never_lie_over_each_other(places: list[tuple[float, float]]) -> None:
    middles = spread(places, 0)
    laid = sorted((middle, height) for middle, (_, height) in zip(middles, places, strict=True))
    for (upper, a), (lower, b) in pairwise(laid):
        assert lower - upper >= (a + b) / 2 - 1e-6
    assert all(middle - height / 2 >= -1e-6 for middle, height in laid)


@given(st.lists(st.tuples(st.floats(0, 100), st.floats(0, 100)), min_size=2, max_size=30))
def test_a_simplified_way_keeps_its_ends_and_order(points: list[tuple[float, float]]) -> None:
    way = simplified(points, 1.0)
    assert (way[0], way[-1]) == (points[0], points[-1])
    rest = iter(points)
    assert all(point in rest for point in way)


@pytest.mark.parametrize("draw", [piece_small, piece_large])
@pytest.mark.parametrize("done", [0, -1])
def test_a_wide_tip_stays_inside_its_picture(draw: Draw, done: int) -> None:
    # A bag of 40 stitches drawn together over its whole width, as a small sample's top nearly is. A quadratic curve
    # between two points of one height stands half as far from them as its control point (SVG 2, 9.3.6; the mean of 1/4,
    # 1/2 and 1/4 at its middle).
    through = Step("draw-through", "Draw through", 40, 0)
    bag = pattern(stage("edge", cast_on(40)), stage("body", *rounds([40] * 12), through))
    svg = draw("a", outline(bag, 0, steps_of(bag, edge=-1, body=done)), YARNS, "Piece A")
    tips = re.findall(r"M[\d.]+ ([\d.]+)q[\d.]+ (-[\d.]+) ([\d.]+) 0", svg)
    wide = [(float(y), float(rise)) for y, rise, width in tips if float(width) > 20]  # loops of stitches are smaller
    assert wide
    assert all(y + rise / 2 >= 1 for y, rise in wide)


def test_the_drawing_of_a_handout_is_in_the_units_of_the_course(tmp_path: Path) -> None:
    files = {"pattern.yaml": PATTERN.replace("rounds: 28}", "rounds: 28, over: 4 in}") + "units: in\n"}
    made = plan(tmp_path, episode((shot("face"),)), files=files)
    drawn = str(Pictures(made).schematic("Whole", 0, {}))
    # 110 stitches of 20 to 4 in are 22 in round, so 11 in wide lying flat; the bar is of whole inches.
    assert "Drawn to scale: 11\u00a0in wide" in drawn
    assert "cm" not in drawn


def test_names_that_leave_no_room_for_the_piece_all_stand_at_one_side() -> None:
    # The thumb stands at the right of its hand, and so does its name: a long one leaves 8 px of 250 to the mitten.
    def anchors(thumb: str) -> set[str]:
        worked = mitten()
        names = {"cuff": "Twelve signs", "thumb": thumb}
        every = tuple(len(worked.stage(key, 0).steps) for key in worked.order)
        drawn = piece_large("p", outline(worked, 0, every), YARNS, "t", width=250, names=names)
        return set(re.findall(r'text-anchor="(start|end)"', drawn))

    assert anchors("Thumb") == {"start", "end"}
    assert anchors("Twelve signs") == {"end"}
