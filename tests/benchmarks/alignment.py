"""Alignment and cut list of one hour of captions (1,200 cues) and ten planned segments, beyond start-up.

The captions are the sample course's first two episodes told freely again and again, the segments those of both.
"""

from __future__ import annotations

import random
import time
from pathlib import Path

import lessonplan
from lessonplan.edit.align.evidence import planned_segments
from lessonplan.edit.align.segments import align
from lessonplan.edit.captions.reading import read_captions
from lessonplan.edit.captions.rolling import said_once
from lessonplan.edit.cuts import cut_list
from tests.edit import freely
from tests.edit.speaking import as_webvtt

CUES = 1200


def seconds(runs: int) -> dict[str, list[float]]:
    """Read the hour, say it once, cut and align it: the seconds of the processor of each run, by step."""
    worked = lessonplan.load(Path(__file__).resolve().parents[2] / "sample_course").worked
    assert worked
    first, second, _ = worked.course.episodes
    planned = planned_segments(worked, first) + planned_segments(worked, second)
    script = [part for number in (1, 2) for part in freely.scripts(worked, number)]
    told, clock = list[freely.Phrase](), 0.0
    for again in range(8):
        phrases = freely.tell(script, freely.Manner(leave_out=0, chatter=0.6, digress=1), random.Random(again)).phrases
        told += [(start + clock, end + clock, words) for start, end, words in phrases]
        clock = told[-1][1]
    data = as_webvtt(told[:CUES]).encode()
    found: dict[str, list[float]] = {"read": [], "said once": [], "cut list": [], "alignment": []}
    for run in range(runs):
        clocks = [time.process_time()]
        captions = read_captions(data, f"hour {run}.vtt")  # of another name each time, for it is remembered
        clocks.append(time.process_time())
        said = said_once(captions.cues)
        clocks.append(time.process_time())
        cut_list(said)
        clocks.append(time.process_time())
        align(planned, said)
        clocks.append(time.process_time())
        for times, begun, ended in zip(found.values(), clocks, clocks[1:], strict=False):
            times.append(ended - begun)
    return found
