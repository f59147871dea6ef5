"""How long alignment and cut list take for one hour of captions (1,200 cues) and ten planned segments, beyond start-up.

`python -m tests.benchmarks.alignment` prints medians of processor time of 9 runs; the allowance is 0.1 s together. The
captions are the sample course's first two episodes told freely again and again, the segments those of both.
"""

from __future__ import annotations

import random
import statistics
import time
from collections.abc import Callable
from pathlib import Path

import lessonplan
from lessonplan.edit.align.planned import planned_segments
from lessonplan.edit.align.spans import align
from lessonplan.edit.captions.reading import read_captions
from lessonplan.edit.captions.rolling import said_once
from lessonplan.edit.cuts import cut_list
from tests.edit import freely
from tests.edit.speaking import as_webvtt

CUES, RUNS = 1200, 9


def main() -> None:
    """Print how long each step takes."""
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
    told = told[:CUES]
    data = as_webvtt(told).encode()
    captions = read_captions(data, "hour.vtt")
    said = said_once(captions.cues)
    print(f"{len(captions.cues)} cues, {sum(len(one.words) for one in said)} words, {told[-1][1] / 60:.0f} min")
    print(f"read {_timed(lambda: read_captions(data, 'hour.vtt')):.3f} s")
    print(f"said once {_timed(lambda: said_once(captions.cues)):.3f} s")
    print(f"cut list {_timed(lambda: cut_list(said)):.3f} s")
    print(f"alignment {_timed(lambda: align(planned, said)):.3f} s")


def _timed(step: Callable[[], object]) -> float:
    times = []
    for _ in range(RUNS):
        begun = time.process_time()
        step()
        times.append(time.process_time() - begun)
    return statistics.median(times)


if __name__ == "__main__":
    main()
