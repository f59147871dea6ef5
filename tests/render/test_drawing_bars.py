"""The knitters' calendar and the hours, as bars to scale."""

from __future__ import annotations

from datetime import date, timedelta
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings, strategies as st

from lessonplan.craft.colours import contrast
from lessonplan.render.drawings.bars import Bar, calendar, hours
from lessonplan.render.svg import PALETTE, ink_on

MONDAY = date(2027, 1, 4)
BARS = (
    Bar("Bodil", "A", MONDAY, MONDAY + timedelta(9), 400),
    Bar("Bodil", "C", MONDAY + timedelta(9), MONDAY + timedelta(11), 65),
    Bar("Ansel", "B", MONDAY + timedelta(2), MONDAY + timedelta(2), 45),
)
SHOOT = (date(2027, 1, 23),)


def parsed(markup: str) -> ElementTree.Element:
    return ElementTree.fromstring(markup)


def boxes(markup: str) -> list[tuple[float, float, float]]:
    """Left, top and width of every bar."""
    rects = [one for one in parsed(markup).iter("rect") if one.get("rx")]
    return [(float(one.attrib["x"]), float(one.attrib["y"]), float(one.attrib["width"])) for one in rects]


def test_the_calendar_is_well_formed_and_says_the_same_in_words() -> None:
    frame = parsed(calendar("c", "Who knits when", BARS, SHOOT, ("Bodil", "Ansel", "Host")))
    assert frame.get("class") == "picture-scroll"
    assert next(frame.iter("title")).text == "Who knits when"
    assert next(frame.iter("desc")).text == (
        "Bodil: A, Mon 4 Jan to Wed 13 Jan, 6 h 40 min; C, Wed 13 Jan to Fri 15 Jan, 1 h 05 min. "
        "Ansel: B, Wed 6 Jan, 45 min. Host: nothing to do. 1 shoot day: Sat 23 Jan."
    )
    assert not [one for one in frame.iter() if one.tag == "style" or "style" in one.attrib]


@settings(deadline=None, max_examples=40)
@given(start=st.integers(0, 40), long=st.integers(0, 30))
def test_a_bar_is_as_long_as_its_days(start: int, long: int) -> None:
    first = MONDAY + timedelta(start)
    two = (Bar("a", "A", MONDAY, MONDAY, 1), Bar("b", "B", first, first + timedelta(long), 1))
    (x, _, day), (other_x, _, wide) = boxes(calendar("c", "x", two, ()))
    assert other_x - x == pytest.approx(start * (day + 2))
    assert wide == pytest.approx((long + 1) * (day + 2) - 2)


def test_bars_that_share_a_day_lie_under_each_other() -> None:
    (_, first, _), (_, second, _), _ = boxes(calendar("c", "x", BARS, SHOOT))
    apart = (BARS[0], Bar("Bodil", "C", MONDAY + timedelta(10), MONDAY + timedelta(11), 65))
    (_, one, _), (_, other, _) = boxes(calendar("c", "x", apart, SHOOT))
    assert second > first + 20
    assert one == other


def test_each_shoot_day_has_a_mark_of_its_own() -> None:
    plot = parsed(calendar("c", "x", BARS, (*SHOOT, *SHOOT, date(2027, 1, 24))))[1]
    cameras = [one for one in plot.iter("path") if (one.get("transform") or "").startswith("translate")]
    assert len(cameras) == 2


def test_a_long_calendar_stays_small_enough_to_scroll() -> None:
    plot = parsed(calendar("c", "x", (Bar("a", "A", MONDAY, MONDAY + timedelta(365), 9999),), ()))[1]
    assert float(plot.attrib["width"]) < 3600
    assert not [one for one in plot.iter("text") if float(one.attrib["font-size"]) < 11]


def test_text_stays_text_and_the_same_input_is_the_same_bytes() -> None:
    evil = "<script>x</script>"
    one, other = (calendar(evil, evil, (Bar(evil, evil, MONDAY, MONDAY, 1),), ()) for _ in range(2))
    assert one == other
    assert not list(parsed(one).iter("script"))
    assert not list(parsed(hours("h", evil, 1, 2)).iter("script"))


def test_no_bars_is_an_empty_calendar_and_a_bar_backward_is_refused() -> None:
    assert boxes(calendar("c", "x", (), ())) == []
    with pytest.raises(ValueError, match="piece A"):
        calendar("c", "x", (Bar("a", "A", MONDAY, MONDAY - timedelta(1), 1),), ())


@settings(deadline=None)
@given(planned=st.integers(1, 5000), naive=st.integers(1, 5000))
def test_the_two_bars_of_hours_are_to_one_scale(planned: int, naive: int) -> None:
    solid = [one for one in parsed(hours("h", "x", planned, naive)).iter("rect") if one.get("fill") != "none"]
    wide = [float(one.attrib["width"]) for one in solid]
    assert wide == [pytest.approx(336 * minutes / max(planned, naive), abs=0.06) for minutes in (planned, naive)]


def test_the_hours_are_told_in_words_and_figures() -> None:
    svg = parsed(hours("h", "Hours", 750, 1860))
    words = next(svg.iter("desc")).text or ""
    assert words.endswith("12 h 30 min. A new piece for each shot: 31 h. 18 h 30 min less, 60% saved.")
    assert {"12 h 30 min", "31 h", "saves 18 h 30 min"} <= {one.text for one in svg.iter("text")}


def test_nothing_to_knit_is_no_error() -> None:
    widths = [one.get("width") for one in parsed(hours("h", "x", 0, 0)).iter("rect")]
    assert widths == ["0", "0"]
    words = next(parsed(hours("h", "x", 0, 60)).iter("desc")).text or ""
    assert words.endswith("A new piece for each shot: 1 h."), "nothing is saved where nothing is planned"


def test_letters_on_bars_read_well() -> None:
    # WCAG 2.2 SC 1.4.3 (AA): text at least 4.5:1.
    for colour in PALETTE:
        assert contrast("#000000" if ink_on(colour) == "#000" else "#ffffff", colour) >= 4.5


def test_the_contrast_ratio_agrees_with_published_values() -> None:
    # Computed from the WCAG 2.2 definition: #777777 on white 4.48, black on white 21; the palette (Okabe & Ito 2008).
    assert contrast("#777777", "#FFFFFF") == pytest.approx(4.48, abs=0.005)
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21)
    assert contrast("#0072B2", "#FFFFFF") == pytest.approx(5.19, abs=0.005)
    assert contrast("#F0E442", "#FFFFFF") == pytest.approx(1.32, abs=0.005)
