"""WebVTT against the standard: published cases, and a literal taking-down of its steps held beside the reader."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from hypothesis import given, strategies as st

from lessonplan.edit.captions.tagged import Node, plain, tree_of
from lessonplan.edit.captions.webvtt import VttFile, parse
from tests.edit.captions import by_the_letter


def read(text: str) -> VttFile:
    found = parse(text)
    assert found is not None
    return found


def test_the_published_timing_lines_make_a_cue_or_none(root: Path) -> None:
    """Web-platform-tests, webvtt/parsing/file-parsing: timings-too-short, -too-long, -omitted-hours, arrows."""
    with (root / "tests/facts/webvtt_timing_cases.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) > 50
    for row in rows:
        made = len(read(f"WEBVTT\n\n{row['cue_timing_line']}\ntext\n").cues) == 1
        assert made == (row["parser_makes_a_cue"] == "yes"), row


@pytest.mark.parametrize(
    "head", ["WEBVTT", "WEBVTT\n", "WEBVTT \n", "WEBVTT\tfoo\n\n", "\ufeffWEBVTT\n", "WEBVTT\r\n\r\n", "WEBVTT\r"]
)
def test_signatures_that_are_right(head: str) -> None:
    assert parse(head) == VttFile()


@pytest.mark.parametrize(
    "head",
    [
        "",
        "WEBVT",
        "WEBVTTfoo\n",
        "webvtt\n",
        "\nWEBVTT\n",
        " WEBVTT",
        "\ufeff\ufeffWEBVTT\n",
        "WEBVTT\0\n",
        "WEBVTT-\n",
    ],
)
def test_signatures_that_are_wrong(head: str) -> None:
    assert parse(head + "\n\n00:00.000 --> 00:01.000\nx") is None


def test_arrows_as_the_published_test_has_them() -> None:
    """After wpt arrows.test, by its rule: a bad line of times is dropped, and reading goes on at the next one."""
    text = (
        "WEBVTT\n\n-->\n00:00:00.000 --> 00:00:01.000\ntext0\nfoo-->\n00:00:00.000 --> 00:00:01.000\ntext1\n-->foo\n"
        "00:00:00.000 --> 00:00:01.000\ntext2\n--->\n00:00:00.000 --> 00:00:01.000\ntext3\n-->-->\n"
        "00:00:00.000 --> 00:00:01.000\ntext4\n00:00:00.000 --> 00:00:01.000\ntext5\n\n00:00:00.000 -a -->\n"
    )
    assert [cue.text for cue in read(text).cues] == [f"text{n}" for n in range(6)]


@pytest.mark.parametrize("end", ["\n", "\r", "\r\n"])
def test_line_ends_of_each_kind(end: str) -> None:
    lines = [
        "WEBVTT",
        "",
        "one",
        "00:00.000 --> 00:01.000",
        "a",
        "b",
        "",
        "",
        "NOTE not read",
        "",
        "00:02.000 --> 00:03.000",
        "c",
    ]
    found = read(end.join(lines))
    assert [(cue.start, cue.end, cue.text, cue.row) for cue in found.cues] == [
        (0, 1000, "a\nb", 4),
        (2000, 3000, "c", 11),
    ]


def test_what_a_block_may_begin_with() -> None:
    text = (
        "WEBVTT header\nRegion: none\n\nSTYLE\n::cue { color: red }\n::cue(b) { }\n\nREGION \nid:fred width:40%\n"
        "lines:2\n\n"
        "NOTE\nSTYLE\n\n-- >\n00:00.000 --> 60:00:00.000 region:fred\nSTYLE\nx\n\nSTYLE\n00:01.000 --> 00:02.000\ny\n\n"
        "STYLE\nnone any more\n"
    )
    found = read(text)
    assert [(cue.end, cue.text) for cue in found.cues] == [(216_000_000, "STYLE\nx"), (2000, "y")]


def test_zero_is_replaced() -> None:
    (cue,) = read("WEBVTT\n\n a\0b \n00:00.000 --> 00:01.000\nx\0y").cues
    assert cue.text == "x\ufffdy"


PIECES = st.sampled_from(
    [
        "\n", "\n\n", "\r\n", "\r", "\0", " ", "\t", "\f", "-->", " --> ", "--", "00:00.000", "00:01.000 --> 00:02.000",
        "1:02:03.004", "99:59:59.999", "060:00.000", "00:60.000", "00:01.0000", "00:01.000 --> 00:02.000 line:1\n",
        "STYLE", "STYLE \n", "REGION", "REGION\t\n", "NOTE", "id", "text", "WEBVTT", ".", ":", "5"
    ]
)  # fmt: skip


@given(st.sampled_from(["WEBVTT", "WEBVTT\n", "WEBVTT\n\n", "\ufeffWEBVTT x\n\n"]), st.lists(PIECES, max_size=25))
def test_files_are_read_as_by_the_letter(head: str, pieces: list[str]) -> None:
    text = head + "".join(pieces)
    want, found = by_the_letter.cues_of(text), parse(text)
    assert (want is None) == (found is None)
    if want is not None and found is not None:
        assert [(cue.start, cue.end, cue.text) for cue in found.cues] == [
            (start, end, said) for _, start, end, _, said in want[0]
        ]


def test_the_literal_steps_find_what_is_planted() -> None:
    assert by_the_letter.cues_of("WEBVTT\n\na\n00:00.000 --> 00:01.000 x:y\nb\nc") == (
        [("a", 0, 1000, " x:y", "b\nc")], [], [],
    )  # fmt: skip
    assert by_the_letter.tree("a<b.x>c</b>") == ["a", ["b", "x", "", ["c"]]]


TAGS = st.sampled_from(
    [
        "<", ">", "/", ".", "&", ";", "&amp;", "&amp", "&lt;b", "&notit;", "&#x41;", "&#65", "&#0;", "&#xD800;",
        "&#x80;", "&;", "&#", "\n", " ", "\t", "a", "b", "1", "<b>", "</b>", "<i.x.y>", "</i>", "<c..z n>", "</c>",
        "<v Ada  B>", "</v>", "<v.loud\tC&amp;D>", "<ruby>", "<rt>", "</rt>", "</ruby>", "<lang en>", "</lang>",
        "<00:01.000>", "<00:01.00>", "<1:00:01.000", "<u\nx>", "</u >", "<>", "</>", "<.c>", "<x>", "knit"
    ]
)  # fmt: skip


def as_lists(node: Node) -> list[object]:
    return [
        [one.name, ".".join(one.classes), one.note, as_lists(one)] if isinstance(one, Node) else one
        for one in node.inside
    ]


@given(st.lists(TAGS, max_size=14))
def test_cue_text_is_read_as_by_the_letter(pieces: list[str]) -> None:
    text = "".join(pieces)
    assert as_lists(tree_of(text)) == by_the_letter.tree(text)


def test_plain_text_voices_and_times_inside() -> None:
    found = plain("<v Ada>Knit <00:01.500>two &amp; <b>purl</b></v> <ruby>x<rt>small</rt></ruby><v Bo>yes")
    assert (found.text, found.voices, found.stamps) == ("Knit two & purl xyes", ("Ada", "Bo"), ((5, 1500),))


def test_tags_nested_without_end_are_read() -> None:
    assert plain("<b>" * 50_000 + "knit").text == "knit"
    assert len(read("WEBVTT\n\n" + "9" * 5000 + ":00:00.000 --> 00:01.000\nx").cues) == 0
