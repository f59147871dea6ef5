"""Damage to the files of a course: what happens at keyboards, in other programs, and what nobody would type."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from hypothesis import strategies as st

NUMBERS = (
    "0", "-1", "1e9", "1e999", "1e-300", "999999", "99999999999", "9" * 400, "0.0000001", "1/0", "41/2", "1,000",
    "½", "NaN", "inf", "0x1F", "٣", "５", "1_0", "5 (6, 7)", "5 (6,", "20 (24, 22) cm", "1000 m", "99999999 h",
    "-3 cm",
    "10 000", "until 3 stitches remain", "until 0 stitches remain", "100000 rounds",
)  # fmt: skip
VALUES = (
    *NUMBERS, "", "no", "~", "null", "all", "[]", "{}", "[a, b]", "{x: 1}", "[[[[]]]]", "- x", "\"", "'", "|", ">",
    "!x",
    "&a x", "*a", "%", "#", "{{ edge.cast_on }}", "{{ edge }}", "{{", "{% for %}", "12:30", "25:99", "2027-02-30",
    "0001-01-01", "9999-12-31", "2027-01-01 to 2199-12-31", "finished", "before edge", "edge round 99",
    "edge or later",
    "1.1.1", "9.9.9", "1 to 5", "🧶", "\u202e", "e\u0301", "\u00a0", "\u2028", "\ufeff", "\x1b[2J", "ﬁ", "İ", "ß",
    "=1+1",
    "＝1+1", "<script>", "](javascript:x)", "[" * 60, "*_" * 60, "../../etc/passwd", "con", "a" * 3000, "x\ty",
    "a: b: c", "yes\nno: 1",
)  # fmt: skip
WORDS = (
    "k", "p", "k2", "p99999999", "k2tog", "ssk", "yo", "m1", "sl1", "*", "rep from *", "to end", "to last 3 sts", "(",
    ")", "[", "]", "in same st", "times", "2 times", "99999999 times", "until 3 sts remain", "rows 1-999999999:",
    "round 2:",
    "turn", "w&t", "work even for 999999999 rows", "sc", "99999999 sc in each sc", "ch 3", "dc in next ch-2 sp", ",",
    ";", ".", "-", "cast on 40 sts", "bind off", "place marker", "sm", "knit", "purl", "every other row",
    "at the same time",
    "dec 1 st at each end", "of every 4th row", "inc", "evenly", "40 (44, 48)", "as set", "cm", "5 cm", "rep",
    "c120b",
    "k1tog", "mc", "with cc", "seven", "a hundred and", "no, sorry", "1/2", "hold", "chart a", "🧶", "\u00a0", "é",
)  # fmt: skip
"""Tokens of instruction lines and of speech, to be thrown together."""

Edit = Callable[[str], str]
soup = st.lists(st.sampled_from(WORDS), min_size=1, max_size=12).map(" ".join)
values = st.one_of(st.sampled_from(VALUES), soup.map(lambda text: f'"{text}"'), st.text(max_size=12))
places = st.floats(0, 1, exclude_max=True)


def at(lines: list[str], place: float) -> int:
    return int(place * len(lines))


def _of_line(change: Callable[[list[str], int], None]) -> Callable[[float], Edit]:
    def with_place(place: float) -> Edit:
        def edit(text: str) -> str:
            lines = text.split("\n")
            change(lines, at(lines, place))
            return "\n".join(lines)

        return edit

    return with_place


def _value(value: str) -> Callable[[float], Edit]:
    def change(lines: list[str], n: int) -> None:
        lines[n] = re.sub(r"(:|-|,) ?.*", lambda found: f"{found[1]} {value}", lines[n], count=1)

    return _of_line(change)


def _number(value: str) -> Callable[[float], Edit]:
    def with_place(place: float) -> Edit:
        def edit(text: str) -> str:
            found = list(re.finditer(r"\d+", text))
            if not found:
                return text
            one = found[int(place * len(found))]
            return text[: one.start()] + value + text[one.end() :]

        return edit

    return with_place


def _swap(lines: list[str], n: int) -> None:
    lines[n - 1], lines[n] = lines[n], lines[n - 1]


def _twice(lines: list[str], n: int) -> None:
    lines.insert(n, lines[n])


def _gone(lines: list[str], n: int) -> None:
    del lines[n]


def _deeper(lines: list[str], n: int) -> None:
    lines[n] = "  " + lines[n]


def _shallower(lines: list[str], n: int) -> None:
    lines[n] = lines[n].removeprefix("  ")


def _many(lines: list[str], n: int) -> None:
    lines[n:n] = [lines[n]] * 300


def _inserted(value: str) -> Callable[[float], Edit]:
    def with_place(place: float) -> Edit:
        return lambda text: text[: int(place * len(text))] + value + text[int(place * len(text)) :]

    return with_place


def _cut(place: float) -> Edit:
    return lambda text: text[: int(place * len(text))]


def _nested(depth: int) -> Callable[[float], Edit]:
    return _value("[" * depth + "x" + "]" * depth)


edits: st.SearchStrategy[Edit] = st.builds(
    lambda make, place: make(place),
    st.one_of(
        values.map(_value),
        st.sampled_from(NUMBERS).map(_number),
        values.map(_inserted),
        st.sampled_from(tuple(map(_of_line, (_swap, _twice, _gone, _deeper, _shallower, _many)))),
        st.just(_cut),
        st.sampled_from((3, 39, 41, 2000)).map(_nested),
    ),
    places,
)
"""Changes of a file's text."""


def _mixed(text: str) -> bytes:
    """The first half in one encoding, the other in another, as from two editors."""
    return text[: len(text) // 2].encode() + "é".encode("cp1252") + text[len(text) // 2 :].encode()


encoded: st.SearchStrategy[Callable[[str], bytes]] = st.sampled_from(
    (
        *[lambda text: text.encode("utf-8", "replace")] * 8,
        lambda text: text.encode("utf-8-sig", "replace"),
        lambda text: text.encode("utf-16", "replace"),
        lambda text: text.encode("cp1252", "replace"),
        lambda text: text.replace("\n", "\r\n").encode("utf-8", "replace"),
        lambda text: text.replace("\n", "\r").encode("utf-8", "replace"),
        lambda text: text.encode("utf-16", "replace")[:-1],
        lambda text: b"\0" + text.encode("utf-8", "replace"),
        _mixed,
    )
)


@st.composite
def damaged(draw: st.DrawFn, files: Mapping[str, bytes]) -> Mapping[str, bytes]:
    """The files of a course, one or two of them damaged in one to four ways."""
    result = dict(files)
    for _ in range(draw(st.integers(1, 2))):
        name = draw(st.sampled_from(sorted(files)))
        text = result[name].decode("utf-8", "replace")
        for edit in draw(st.lists(edits, min_size=1, max_size=4)):
            text = edit(text)
        result[name] = draw(encoded)(text)
    return result
