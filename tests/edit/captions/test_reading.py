"""Captions of each form, in each encoding, with each line end; and what is none."""

from __future__ import annotations

import codecs
import random

import pytest
from hypothesis import given, strategies as st

from lessonplan.edit.captions import subrip, transcript
from lessonplan.edit.captions.reading import MAX_BYTES, MOST_WORDS, Captions, read_captions

SAID = ["It’s round 12 – “knit” two", "purl à deux"]
FORMS = {
    "WebVTT": f"WEBVTT\n\n00:01.500 --> 00:04.000\n{SAID[0]}\n\n00:04.000 --> 01:00:01.250\n{SAID[1]}\n",
    "SubRip": f"1\n00:00:01,500 --> 00:00:04,000\n{SAID[0]}\n\n2\n00:00:04,000 --> 01:00:01,250\n{SAID[1]}\n",
    "transcript": f"[0:01.5 - 0:04]\n{SAID[0]}\n\n[0:04.0 - 1:00:01.25]\n{SAID[1]}\n",
}
ENCODINGS = {
    "utf-8": lambda text: text.encode(),
    "utf-8 with its mark": lambda text: codecs.BOM_UTF8 + text.encode(),
    "utf-16 little": lambda text: codecs.BOM_UTF16_LE + text.encode("utf-16-le"),
    "utf-16 big": lambda text: codecs.BOM_UTF16_BE + text.encode("utf-16-be"),
    "utf-16 without mark": lambda text: text.encode("utf-16-le"),
    "windows": lambda text: text.encode("cp1252"),
}


def codes(captions: Captions) -> list[str]:
    return [problem.code for problem in captions.problems]


@pytest.mark.parametrize("end", ["\n", "\r", "\r\n"], ids=["LF", "CR", "CRLF"])
@pytest.mark.parametrize("encoding", ENCODINGS)
@pytest.mark.parametrize("form", FORMS)
def test_forms_encodings_and_line_ends(form: str, encoding: str, end: str) -> None:
    found = read_captions(ENCODINGS[encoding](FORMS[form].replace("\n", end)), "a")
    assert found.form == form
    assert [(cue.start, cue.end, cue.text) for cue in found.cues] == [
        (1500, 4000, SAID[0]),
        (4000, 3_601_250, SAID[1]),
    ]
    assert [cue.where.line for cue in found.cues] == {"WebVTT": [3, 6], "SubRip": [2, 6], "transcript": [1, 4]}[form]
    assert codes(found) == (["encoding"] if encoding == "windows" else [])


def test_one_broken_byte_does_not_make_all_of_it_windows() -> None:
    found = read_captions(FORMS["WebVTT"].encode().replace("à".encode(), b"\xff"), "a")
    assert [cue.text for cue in found.cues] == [SAID[0], "purl \ufffd deux"]
    assert [(problem.code, problem.where.line) for problem in found.problems] == [("encoding", 7)]


BAD = {
    b"": "empty-file",
    b"\xef\xbb\xbf\r\n \r\n": "empty-file",
    b"title: Mittens\nhost: Minna\n": "not-captions",
    b"id,device,day,shot,take,start,stop\na,b,2027-03-06,1.1.1,1,09:50:00,09:51:10\n": "not-captions",
    bytes(range(256)) * 40: "not-captions",
    b"PK\x03\x04" + bytes(random.Random(1).randrange(256) for _ in range(4000)): "not-text",
    b"WEBVTT\n": "no-captions",
    b"WEBVTT\n\n00:00.000 --> 00:01.000\n<b> </b>\n": "no-captions",
    b"1\n00:00:00,000 --> 00:00:01,000\n\n": "no-captions",
    b"x" * (MAX_BYTES + 1): "too-big",
}


@pytest.mark.parametrize(("data", "code"), BAD.items(), ids=[f"{code} {n}" for n, code in enumerate(BAD.values())])
def test_what_is_no_captions_is_one_sentence(data: bytes, code: str) -> None:
    found = read_captions(data, "talk.vtt")
    (problem,) = found.problems
    assert (found.cues, problem.code, problem.severity, problem.where.file) == ((), code, "error", "talk.vtt")
    assert problem.message.count(".") - problem.message.count(".0") - problem.message.count("talk.vtt") == 1


def test_captions_of_a_whole_course_are_told_from_those_of_an_episode() -> None:
    line = " ".join(["talk"] * 10)
    long = "WEBVTT\n\n" + "\n".join(
        f"{n // 3600:02}:{n // 60 % 60:02}:{n % 60:02}.000 --> 09:00:00.000\n{n} {line}\n"
        for n in range(MOST_WORDS // 11 + 1)
    )
    (problem,) = read_captions(long.encode(), "all.vtt").problems
    assert (problem.code, problem.severity) == ("too-long", "error")
    assert problem.message == "all.vtt has 30,008 words; captions of one episode may have 30,000 at most."
    # captions that roll show each line twice: as many words again, but 20,008 of them said
    rolled = "WEBVTT\n\n" + "\n".join(
        f"{n // 3600:02}:{n // 60 % 60:02}:{n % 60:02}.000 --> 09:00:00.000\n{n - 1} {line}\n{n} {line}\n"
        for n in range(1, 1820)
    )
    assert len(rolled.split()) > MOST_WORDS
    assert "too-long" not in {one.code for one in read_captions(rolled.encode(), "roll.vtt").problems}


def vtt(*spans: str) -> Captions:
    cues = (f"{span}\nword{place}\n" for place, span in enumerate(spans))
    return read_captions(("WEBVTT\n\n" + "\n".join(cues)).encode(), "a.vtt")


def test_what_is_odd_is_told_once_with_its_line() -> None:
    found = vtt(
        "00:05.000 --> 00:06.000", "00:01.000 --> 00:02.000", "00:03.000 --> 00:04.000", "00:02.500 --> 00:02.600"
    )
    assert [cue.text for cue in found.cues] == ["word1", "word3", "word2", "word0"]
    assert [(problem.code, problem.where.line) for problem in found.problems] == [("unordered", 6)]
    assert "2 captions" in found.problems[0].message
    found = vtt("00:01.000 --> 00:01.000")
    assert codes(found) == ["no-length"]
    found = vtt(
        "00:00.000 --> 00:01.500", "00:01.000 --> 00:02.000", "00:02.000 --> 00:03.000", "00:03.000 --> 00:04.000"
    )
    assert [(problem.code, problem.where.line) for problem in found.problems] == [("overlap", 6)]
    rolling = [f"00:0{n}.000 --> 00:0{n + 1}.500" for n in range(8)]
    assert codes(vtt(*rolling)) == [], "all of them overlap, so it is their way"
    found = vtt("10:00:03.000 --> 10:00:04.000", "10:00:05.000 --> 10:00:06.000")
    assert (codes(found), found.cues[0].start) == (["hour-offset"], 3_000)
    assert [(cue.start, cue.end) for cue in found.cues] == [(3_000, 4_000), (5_000, 6_000)]
    assert "hour 10" in found.problems[0].message
    assert "10 hours less" in found.problems[0].message
    late = vtt("59:58.000 --> 59:59.000", "01:00:02.000 --> 01:00:03.000")
    assert (codes(late), late.cues[1].start) == ([], 3_602_000), "a film may go on into its second hour"
    found = vtt("0:00.000 --> 00:01.000", "00:01.000 --> 00:02.000")
    assert [(problem.code, problem.where.line) for problem in found.problems] == [("times", 3)]


def test_what_lost_its_first_line_is_read_as_subrip_and_said_so() -> None:
    found = read_captions(FORMS["WebVTT"].removeprefix("WEBVTT").encode(), "a.vtt")
    assert (found.form, codes(found), [cue.text for cue in found.cues]) == ("SubRip", ["form"], SAID)


def test_subrip_as_programs_write_it() -> None:
    text = (
        "\n1\n0:00:01,5 --> 0:00:02,25  X1:10 X2:20\n<i>Knit</i> {\\an8}two\n\nand a blank line above\n\n2\n"
        '00:03 -> 00:04\n<font color="#fff">purl</font> 5 < 6 &amp; all\n3\n00:00:05,000 --> 00:00:06,000\n12\n'
    )
    assert [(one.start, one.end, one.text, one.row) for one in subrip.parse(text)] == [
        (1500, 2250, "Knit two\nand a blank line above", 3),
        (3000, 4000, "purl 5 < 6 & all", 9),
        (5000, 6000, "12", 12),
    ]


TIMES = {
    "0:00": 0,
    "1:02": 62_000,
    "[00:01:02]": 62_000,
    "(1:02)": 62_000,
    "<1:02>": 62_000,
    "00:01:02.5 -": 62_500,
    "00:01:02,500": 62_500,
    "1:02 –": 62_000,
    "1:02:": 62_000,
    "75:10": 4_510_000,
    "1:15:10": 4_510_000,
    "01:15:10:12": 4_510_000,
    "- 1:02": 62_000,
    "**1:02**": 62_000,
    "[0:01:02 - 0:01:09]": 62_000,
    "1:02 --> 1:09": 62_000,
}


@pytest.mark.parametrize("time", TIMES)
def test_times_as_transcripts_have_them(time: str) -> None:
    for text in (f"A title\n\n{time} Knit two.\nThen\n\npurl.\n", f"{time}\nKnit two.\nThen\npurl."):
        (one,) = transcript.parse(text)
        assert (one.start, one.text) == (TIMES[time], "Knit two.\nThen\npurl.")


@pytest.mark.parametrize(
    "line", ["At 0:30 we begin", "0:61 late", "12:30pm is lunch", "4:3 rib", "k2:0", "until about 0:30"]
)
def test_times_in_a_sentence_are_none(line: str) -> None:
    (one,) = transcript.parse(f"0:00 Knit\n{line}")
    assert one.text == f"Knit\n{line}"


def test_speakers_of_a_transcript() -> None:
    (one, two) = transcript.parse("Ada Example  0:00\nKnit.\nSpeaker 2  0:05\nPurl.")
    assert (one.voice, one.text, two.voice, two.text) == ("Ada Example", "Knit.", "Speaker 2", "Purl.")
    (one, two) = transcript.parse("0:00 Ada: Knit.\n0:05 Bo: Purl: two.")
    assert (one.voice, one.text, two.voice, two.text) == ("Ada", "Knit.", "Bo", "Purl: two.")
    spoken = transcript.parse("0:00 Remember: knit.\n0:05 Purl.\n0:10 Now purl.")
    assert next((one.voice, one.text) for one in spoken) == ("", "Remember: knit.")


def test_ends_that_are_not_said_are_the_next_beginnings_and_the_last_is_as_quick_as_the_rest() -> None:
    found = read_captions(b"0:00 one two three four\n0:08 five six\n0:12 seven eight nine", "a.txt")
    assert [(cue.start, cue.end) for cue in found.cues] == [(0, 8000), (8000, 12_000), (12_000, 18_000)]


@given(st.binary(max_size=300) | st.text(alphabet="WEBVT\n\r :.,->0123459<b&;a[]()", max_size=120).map(str.encode))
def test_no_bytes_break_the_reader(data: bytes) -> None:
    found = read_captions(data, "a")
    assert found.cues or found.problems


def test_a_name_on_its_own_line_above_the_words_is_no_word() -> None:
    """As common transcripts have it: time, who speaks, what is said. A line that is there once is a line of words."""
    spoken = ("cast on forty", "knit to the end", "and that is all")
    who = ("Minna Quillbeck", "Ada", "Minna Quillbeck")
    pairs = zip(who, spoken, strict=True)
    text = "".join(f"00:00:0{n} - 00:00:0{n + 1}\n{name}\n{said}\n\n" for n, (name, said) in enumerate(pairs))
    found = read_captions(text.encode(), "talk.txt")
    assert [(cue.voice, cue.text) for cue in found.cues] == [
        ("Minna Quillbeck", "cast on forty"),
        ("", "Ada\nknit to the end"),
        ("Minna Quillbeck", "and that is all"),
    ]
    lines = "0:01\nNow knit\nto the end\n\n0:05\nThen purl\nto the end\n"
    assert [cue.text for cue in read_captions(lines.encode(), "talk.txt").cues] == [
        "Now knit\nto the end",
        "Then purl\nto the end",
    ]
