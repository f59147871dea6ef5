"""Captions, cues and chapters as files, read by programs that share nothing with what wrote them."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

import pytest
import webvtt as reader
from hypothesis import given, strategies as st

from lessonplan.edit.captions import webvtt as standard
from lessonplan.edit.captions.tagged import plain
from lessonplan.render.timed_text import Timed, subrip, webvtt

KINDS = ("cues", "captions", "chapters")


def library(data: bytes) -> list[tuple[float, float, str]]:
    """Read WebVTT by the library webvtt-py."""
    captions = reader.from_buffer(io.StringIO(data.decode("utf-8"))).captions
    return [(one.start_in_seconds, one.end_in_seconds, one.text) for one in captions]


def by_layout(data: bytes) -> list[tuple[float, float, list[str]]]:
    """Read SubRip by its layout: a running number, a line of times, lines of text, a blank line; CR LF throughout."""
    text = data.decode("utf-8")
    assert text.count("\n") == text.count("\r\n")
    assert text.endswith("\r\n\r\n")
    found = []
    for number, block in enumerate(text.split("\r\n\r\n")[:-1], 1):
        first, times, *lines = block.split("\r\n")
        assert first == str(number)
        stamp = r"(\d\d):([0-5]\d):([0-5]\d),(\d{3})"
        match = re.fullmatch(f"{stamp} --> {stamp}", times)
        assert match, times
        h, m, s, t, h2, m2, s2, t2 = map(int, match.groups())
        assert lines
        assert all(line.strip() for line in lines)
        found.append((h * 3600 + m * 60 + s + t / 1000, h2 * 3600 + m2 * 60 + s2 + t2 / 1000, lines))
    return found


@pytest.mark.parametrize("kind", KINDS)
def test_the_sample_s_files_are_read_alike_by_others(sample_output: Path, kind: str) -> None:
    for episode in (1, 2, 3):
        data = (sample_output / f"{kind}-{episode}.vtt").read_bytes()
        parsed = standard.parse(data.decode("utf-8"))  # the standard's own steps
        assert parsed is not None
        assert not parsed.dropped
        assert data.decode("utf-8").count("-->") == len(parsed.cues) >= 5
        mine = [(cue.start / 1000, cue.end / 1000, plain(cue.text).text) for cue in parsed.cues]
        theirs = library(data)
        assert [(int(start), int(end)) for start, end, _ in theirs] == [
            (int(start), int(end)) for start, end, _ in mine
        ]
        assert [text for _, _, text in mine] == [text.replace("&amp;", "&") for _, _, text in theirs]
        assert [one[0] for one in mine] == sorted(one[0] for one in mine)
        if kind != "chapters":
            rip = by_layout((sample_output / f"{kind}-{episode}.srt").read_bytes())
            assert [(start, end, "\n".join(lines)) for start, end, lines in rip] == mine
            assert all(len(line) <= 37 for _, _, lines in rip for line in lines)


def test_chapters_cover_the_episode_without_a_gap(sample_output: Path) -> None:
    for episode in (1, 2, 3):
        parsed = standard.parse((sample_output / f"chapters-{episode}.vtt").read_text(encoding="utf-8"))
        assert parsed is not None
        with (sample_output / f"editor-{episode}.csv").open(encoding="utf-8-sig", newline="") as file:
            rows = list(csv.DictReader(file))
        starts = {row["segment"]: int(row["start_s"]) for row in reversed(rows)}
        length = sum(int(row["length_s"]) for row in rows)
        edges = [cue.start / 1000 for cue in parsed.cues]
        if episode != 2:  # its captions are kept, so its chapters are those of the video
            assert edges == sorted(starts.values())
            assert parsed.cues[-1].end / 1000 == length
        assert [cue.end / 1000 for cue in parsed.cues[:-1]] == edges[1:]
        block = (sample_output / f"chapters-{episode}.txt").read_text(encoding="utf-8").splitlines()
        told = [re.fullmatch(r"(\d+):([0-5]\d) (.+)", line) for line in block]
        assert [int(one[1]) * 60 + int(one[2]) for one in told if one] == list(map(round, edges))
        assert [one[3] for one in told if one] == [plain(cue.text).text for cue in parsed.cues]


LINES = st.lists(
    st.text(st.characters(blacklist_categories=["Cs", "Cc"]), min_size=1, max_size=20), min_size=1, max_size=2
)
TIMED = st.builds(
    lambda start, length, lines: Timed(start, start + length, tuple(lines)),
    st.integers(0, 400_000_000),
    st.integers(1, 9000),
    LINES,
)


@given(st.lists(TIMED, max_size=5), st.text(max_size=30))
def test_whatever_is_written_is_read_again(cues: list[Timed], title: str) -> None:
    cues = sorted(cues, key=lambda one: one.start)
    parsed = standard.parse(webvtt(title, cues, (title,)).decode("utf-8"))
    assert parsed is not None
    words = [" ".join(" ".join(one.lines).split()) for one in cues]
    read = [(cue.start, cue.end, " ".join(plain(cue.text).text.split())) for cue in parsed.cues]
    assert read == [(one.start, one.end, text) for one, text in zip(cues, words, strict=True) if text]


def test_signs_that_mean_something_in_a_file_do_not_there() -> None:
    cues = [
        Timed(0, 1500, ("K < 3 & k --> 5 <b>", "")),
        Timed(1500, 1500, ("no time",)),
        Timed(3_600_000, 3_600_001, ("x",)),
    ]
    assert webvtt("A --> B\nC", cues, ("D --> E",)).decode() == (
        "WEBVTT A → B C\n\nNOTE D → E\n\n"
        "00:00:00.000 --> 00:00:01.500\nK &lt; 3 &amp; k --&gt; 5 &lt;b&gt;\n\n"
        "01:00:00.000 --> 01:00:00.001\nx\n"
    )
    assert subrip(cues).decode() == (
        "1\r\n00:00:00,000 --> 00:00:01,500\r\nK < 3 & k → 5 <b>\r\n\r\n2\r\n01:00:00,000 --> 01:00:00,001\r\nx\r\n\r\n"
    )
