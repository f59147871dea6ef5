"""The cut as OpenTimelineIO and as an EDL, opened by programs of others, its times worked out anew from the log."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterator
from datetime import date
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from typing import Any

import opentimelineio as otio
import pytest

from lessonplan.building import edit_files
from lessonplan.course.values.rates import RATES
from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.documents.timeline import Clip, TimelineView, timeline_view
from lessonplan.render.edl import edl_bytes
from lessonplan.shoot.takes.log import Take
from tests.documents import timed
from tests.documents.test_filmed import HEAD, with_log

SHOTS = timed.episode(
    (timed.shot("face", "4 s", say="word " * 20), timed.shot("overhead", "10 s", on_screen="[Read this]")),
    (
        timed.shot("face", "4 s", say="word " * 20, title="“Über” & more – a title"),
        timed.shot("face", "4 s", say="word " * 20),
    ),
    (timed.shot("face", "4 s", say="word " * 40, hands="[{do: knit, time: 1 min}]"),),
)
# Opening 2 s and hold 4 s. Net of the first: 26 - 6 = 20 s; of the third: 36 - 6 = 30 s; of the fourth nothing is known
# but that it was filmed (planned: 20 words at 120 a minute, 10 s); the fifth is not filmed.
LOG = HEAD + (
    "2027-03-06,1.1.1,1,09:20:00,09:20:26,best,,,A,A-CAM 0001,C0001,\n"
    "2027-03-06,1.2.1,2,09:30:00,09:30:36,usable,,,B,A-CAM 0002,C0002,10:00:00:12\n"
    "2027-03-06,1.2.2,1,09:40:00,,usable,,,C,,clip 7,\n"
)
COURSE = timed.COURSE.replace("{knitting: 20,", "{knitting: 20, speech: 120,").replace("opening: 0 s", "opening: 2 s")
CAMERAS = "cameras: [{name: A, ahead: 10 s}, {name: B}]\n"
STARTS = (0, 20, 30, 60)
"""Seconds: 20 s of a take, 10 s planned for the second, 30 s of a take."""


def files_at(folder: Path, rate: str) -> dict[str, bytes]:
    course = COURSE + CAMERAS + f"frame_rate: {rate}\n"
    plan = with_log(folder, LOG, "", shots=SHOTS, files={"course.yaml": course})
    return dict(edit_files(plan, plan.course.episodes[0]))


@pytest.fixture(scope="module", params=["25", "29.97 drop", "23.976", "59.94"])
def files(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[str, dict[str, bytes]]:
    rate = str(request.param)
    return rate, files_at(tmp_path_factory.mktemp("cut"), rate)


def opened(files: dict[str, bytes]) -> Any:
    return otio.adapters.read_from_string(files["timeline-1.otio"].decode("utf-8"), "otio_json")


def seconds(time: Any, rate: str) -> Fraction:
    """Seconds of a library's time, exactly, at the rate as it is defined."""
    whole = {"25": Fraction(25), "29.97 drop": Fraction(30000, 1001), "23.976": Fraction(24000, 1001)}
    return Fraction(int(time.value)) / whole.get(rate, Fraction(60000, 1001))


def test_the_library_reads_the_cut_and_writes_it_again(files: tuple[str, dict[str, bytes]]) -> None:
    timeline = opened(files[1])
    assert isinstance(timeline, otio.schema.Timeline)
    again = otio.adapters.write_to_string(timeline, "otio_json")
    assert otio.adapters.read_from_string(again, "otio_json").is_equivalent_to(timeline)
    assert json.loads(files[1]["timeline-1.otio"])["tracks"]["children"][0]["kind"] == "Video"


def test_shots_stand_in_the_order_of_the_story_at_their_seconds(files: tuple[str, dict[str, bytes]]) -> None:
    rate, made = files
    timeline = opened(made)
    (video,), (audio,) = timeline.video_tracks(), timeline.audio_tracks()
    assert [child.name for child in video] == [child.name for child in audio]
    assert [type(child).__name__ for child in video] == ["Clip", "Gap", "Clip", "Clip", "Gap"]
    frame = 1 / RATES[rate].fps
    for child, start in zip(video, STARTS, strict=False):
        assert abs(seconds(child.range_in_parent().start_time, rate) - start) <= frame / 2
    for one, after in pairwise(video):
        assert one.range_in_parent().end_time_exclusive() == after.range_in_parent().start_time


def test_clips_point_into_their_media_by_the_camera_s_clock(files: tuple[str, dict[str, bytes]]) -> None:
    rate, made = files
    first, _, third, fourth, _ = opened(made).video_tracks()[0]
    names = [clip.media_reference.target_url for clip in (first, third, fourth)]
    assert (names, first.media_reference.name) == (["C0001", "C0002", "clip%207"], "C0001")
    # Camera A is 10 s ahead of the log, and its clip begins at 09:20:10; the action 2 s later.
    begins = {"25": "09:20:10:00", "29.97 drop": "09:20:10;00", "23.976": "09:20:10:00", "59.94": "09:20:10:00"}[rate]
    fps = float(RATES[rate].fps)
    clock = otio.opentime.from_timecode(begins, fps)
    assert first.media_reference.available_range.start_time.value == clock.value
    opening = round(2 * RATES[rate].fps)
    assert first.source_range.start_time.value - clock.value == opening
    assert abs(seconds(first.source_range.duration, rate) - 20) <= 1 / RATES[rate].fps
    assert first.available_range().contains(first.source_range)
    logged = otio.opentime.from_timecode("10:00:00;12" if "drop" in rate else "10:00:00:12", fps)
    assert third.source_range.start_time.value == logged.value + opening
    # Neither camera's clock nor the length of the fourth is known: it counts from its own start.
    assert fourth.source_range.start_time.value == opening
    assert fourth.media_reference.available_range is None


def test_marks_are_those_of_the_other_papers(files: tuple[str, dict[str, bytes]]) -> None:
    rate, made = files
    half = 1 / RATES[rate].fps / 2
    marks = [(mark.metadata["lessonplan"]["kind"], mark) for mark in opened(made).tracks.markers]
    chapters = [mark for kind, mark in marks if kind == "chapter"]
    assert [mark.name for mark in chapters] == ["A", "B", "C"]
    for mark, start in zip(chapters, (0, 30, 70), strict=True):
        assert abs(seconds(mark.marked_range.start_time, rate) - start) <= half
    rows = list(csv.DictReader(io.StringIO(made["cues-1.csv"].decode("utf-8-sig"))))
    texts = [mark for kind, mark in marks if kind not in ("chapter", "cut-away")]
    assert [mark.name for mark in texts] == [row["text"] for row in rows if row["in"]]
    for mark, row in zip(texts, rows, strict=False):
        assert abs(seconds(mark.marked_range.start_time, rate) - Fraction(row["in"])) <= half
    # 20 of 60 s have words, the other 40 none.
    ((_, away),) = [one for one in marks if one[0] == "cut-away"]
    assert away.name == "There are no words for 0:40: 3 times as fast (0:13 then), or cut away."
    assert abs(seconds(away.marked_range.start_time, rate) - 90) <= half


Event = dict[str, Any]


def strictly(data: bytes) -> tuple[str, list[Event]]:
    """Read an EDL by the published layout of CMX 3600: fixed places, nothing else allowed."""
    text = data.decode("ascii")
    assert text.count("\n") == text.count("\r\n")
    title, mode, blank, *lines = text.split("\r\n")
    assert re.fullmatch(r"TITLE: .{1,70}", title)
    assert blank == ""
    stamp = r"\d\d:\d\d:\d\d[:;]\d\d"
    event = re.compile(
        rf"(\d{{3}})  ([A-Z0-9]{{1,8}}) +(B|V|A|AA|AA/V) +(C)        ({stamp}) ({stamp}) ({stamp}) ({stamp})"
    )
    events: list[Event] = []
    for line in lines[:-1]:
        if line.startswith("* "):
            events[-1]["remarks"].append(line[2:])
            continue
        found = event.fullmatch(line)
        assert found, line
        assert [found.start(place) for place in (1, 2, 3, 4, 5)] == [0, 5, 14, 20, 29]
        events.append({"number": found[1], "reel": found[2], "times": found.groups()[4:], "remarks": []})
    assert [one["number"] for one in events] == [f"{place:03}" for place in range(1, len(events) + 1)]
    return mode, events


def test_the_edl_has_an_event_for_each_shot(files: tuple[str, dict[str, bytes]]) -> None:
    rate, made = files
    mode, events = strictly(made["timeline-1.edl"])
    assert mode == ("FCM: DROP FRAME" if "drop" in rate else "FCM: NON-DROP FRAME")
    assert [one["reel"] for one in events] == ["ACAM0001", "BL", "ACAM0002", "CLIP7", "BL"]
    fps = float(RATES[rate].fps)
    spans = [[otio.opentime.from_timecode(label, fps).value for label in one["times"]] for one in events]
    track = opened(made).video_tracks()[0]
    for (source, source_end, record, record_end), clip in zip(spans, track, strict=True):
        assert source_end - source == record_end - record == clip.source_range.duration.value
        assert record == clip.range_in_parent().start_time.value
        assert source == clip.source_range.start_time.value
    assert "FROM CLIP NAME: C0001" in events[0]["remarks"]
    assert 'COMMENT: SHOT 1.2.1 "Uber" & more - a title' in events[2]["remarks"]
    # Neither camera's clock nor timecode is logged for the fourth.
    assert ["CAMERA CLOCK NOT KNOWN" in str(one["remarks"]) for one in events] == [False, False, False, True, False]
    locators = [remark for one in events for remark in one["remarks"] if remark.startswith("LOC: ")]
    assert len(locators) == len(opened(made).tracks.markers)
    assert all(re.fullmatch(r"LOC: \d\d:\d\d:\d\d[:;]\d\d [A-Z]+ +\S.*", one) for one in locators)


def test_another_reader_of_edls_finds_the_same_cut(files: tuple[str, dict[str, bytes]]) -> None:
    """By the adapter otio-cmx3600-adapter."""
    rate, made = files
    read = otio.adapters.read_from_string(
        made["timeline-1.edl"].decode("ascii"), "cmx_3600", rate=float(RATES[rate].fps)
    )
    theirs, ours = read.video_tracks()[0], opened(made).video_tracks()[0]
    assert read.duration().value == ours.duration().value
    there = [(child.range_in_parent().start_time.value, child.duration().value) for child in theirs]
    assert there == [(child.range_in_parent().start_time.value, child.duration().value) for child in ours]
    names = [child.media_reference.name or child.name for child in theirs if isinstance(child, otio.schema.Clip)]
    assert [name for name in names if name.startswith(("C0", "clip"))] == ["C0001", "C0002", "clip 7"]


def reels(*cards: str) -> Iterator[str]:
    """The reels of an EDL of clips from these cards."""
    clips = []
    for place, card in enumerate(cards):
        take = Take("", "", date(2027, 3, 6), "1.1.1", 1, None, None, camera="A", card=card, clip="C1")
        clips.append(Clip(ShotNumber("1.1.1"), "Title", place * 25, 25, media="C1", take=take))
    data = edl_bytes(TimelineView("Title", RATES["25"], tuple(clips), ()))
    yield from (event["reel"] for event in strictly(data)[1])


def test_reels_have_eight_letters_and_no_two_are_alike() -> None:
    assert list(reels("Card number one", "Card number two", "Card number one")) == ["CARDNUMB", "CARDNUM2", "CARDNUMB"]
    assert list(reels("BL", "ax", "Ä!", "!!", "!?")) == ["BL2", "AX2", "A", "REEL", "REEL2"]


def test_a_take_goes_on_in_another_clip_and_may_have_none(tmp_path: Path) -> None:
    """The reel and the clip are those at whose start the timecode was logged; a name of no clip leads to no file."""
    log = HEAD + (
        "2027-03-06,1.1.1,1,09:20:00,09:20:26,best,,,A,A01 A02,A01C0009 A02C0001,01:00:00:00\n"
        "2027-03-06,1.2.1,1,09:30:00,09:30:36,best,,,A,,,10:00:00:12\n"
    )
    plan = with_log(tmp_path, log, "", shots=SHOTS, files={"course.yaml": COURSE + CAMERAS + "frame_rate: 25\n"})
    found = dict(edit_files(plan, plan.course.episodes[0]))
    events = strictly(found["timeline-1.edl"])[1]
    assert [event["reel"] for event in events] == ["A01", "BL", "AX", "BL", "BL"]
    lines = found["timeline-1.edl"].decode().splitlines()
    assert [line for line in lines if "CLIP" in line or "GOES" in line] == [
        "* FROM CLIP NAME: A01C0009",
        "* COMMENT: GOES ON IN A02C0001",
        "* COMMENT: NO CLIP IS LOGGED: SHOT 1.2.1 TAKE 1",
    ]
    cut = otio.adapters.read_from_string(found["timeline-1.otio"].decode(), "otio_json")
    first, _, third, *_ = cut.video_tracks()[0]
    assert (first.media_reference.target_url, first.metadata["lessonplan"]["goes_on_in"]) == ("A01C0009", "A02C0001")
    assert third.media_reference.is_missing_reference
    assert third.source_range.start_time.to_timecode() == "10:00:02:12", "its camera's clock is known: two seconds in"


def test_a_silence_is_as_long_as_in_the_take_to_use(tmp_path: Path) -> None:
    """The fifth shot has 20 s of words and a minute of hands, 62 s as a mean; a take twice as long has both twice."""
    log = HEAD + "2027-03-06,1.3.1,1,09:20:00,09:22:10,best,,,,,,\n"
    plan = with_log(tmp_path, log, "", shots=SHOTS, files={"course.yaml": COURSE + "frame_rate: 25\n"})
    (away,) = (one for one in timeline_view(plan, plan.course.episodes[0]).marks if one.kind == "cut-away")
    assert away.text == "There are no words for 1:20: 5 times as fast (0:16 then), or cut away."
    assert away.start == 25 * (10 + 10 + 10 + 10 + 40)
