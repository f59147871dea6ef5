"""An hour of captions proofed against an episode of ten segments."""

from __future__ import annotations

import random
import tempfile
import time
from pathlib import Path

from lessonplan.edit.captions.reading import Captions, Cue
from lessonplan.edit.proof.episode import proof
from lessonplan.planning.worked import Worked, load
from tests.small_course import COURSE, write_course

CUES, SEGMENTS = 1200, 10
PATTERN = Path("sample_course/pattern.yaml")
STAGES = ("edge", "cuff", "gusset", "band", "hand", "top", "thumb", "ends", "blocking", "cuff")
SAYS = {
    "edge": "we cast on forty four stitches and count them",
    "cuff": "knit two purl two for twenty two rounds",
    "gusset": "through the back and there are forty seven stitches",
    "band": "slip one knit three with the yarn at the back",
    "hand": "knit five centimeters that is fifteen rounds here",
    "top": "until eight stitches are left on the needles",
    "thumb": "pick up five stitches across the gap like this",
    "ends": "there are eight ends to weave in you see",
    "blocking": "soak it for a quarter of an hour in here",
}
WRONG = "no sorry i mean seventeen stitches go on the yarn"
"""One caption in forty."""
CHAT = (
    "and you can see how it opens and comes back",
    "take your time with this nobody is watching",
    "the first one is always a little bit loose",
    "let me bring it closer to the camera",
    "that is all there is to it really",
    "look at the edge here it lies quite flat",
)
"""Two of three captions have no number in them."""


def worked() -> Worked:
    """Make a course of one episode with ten segments on the sample course's pattern."""
    shots = "".join(
        f"  - title: Part {number} about the {key}\n    stage: {key}\n    shots:\n      - view: overhead\n"
        f"        pieces: [{{needs: {key}}}]\n        say: |\n"
        f"          Here is the {key}, with {{{{ edge.cast_on }}}} stitches, and we go on with it.\n"
        for number, key in enumerate(STAGES, 1)
    )
    with tempfile.TemporaryDirectory() as folder:
        files = {"pattern.yaml": PATTERN.read_text(encoding="utf-8"), "course.yaml": f"film_size: Medium\n{COURSE}"}
        files["episodes/01.yaml"] = f"episode: 1\ntitle: All\nsegments:\n{shots}"
        result = load(write_course(Path(folder), files))
        found = result.worked
    assert found is not None, result.problems
    return found


def captions() -> Captions:
    """Make an hour of talk: a cue every three seconds, of a few words each."""
    draw = random.Random(7)
    said = [
        WRONG if n % 40 == 7 else SAYS[STAGES[n * SEGMENTS // CUES]] if n % 3 == 0 else draw.choice(CHAT)
        for n in range(CUES)
    ]
    cues = tuple(Cue(3000 * n, 3000 * n + 2900, text) for n, text in enumerate(said))
    return Captions("hour.vtt", "WebVTT", cues, ())


def seconds(runs: int) -> list[float]:
    """Proof the hour, the segments known: the seconds of the processor of each run."""
    course, heard = worked(), captions()
    numbers = [number for number, _, _ in course.course.segments()]
    spans = [(number, 360.0 * place, 360.0 * place + 360) for place, number in enumerate(numbers)]
    assert len(numbers) == SEGMENTS
    times = []
    for _ in range(runs):
        start = time.process_time()
        found = proof(course, course.course.episodes[0], heard, spans)
        times.append(time.process_time() - start)
        assert found.findings
    return times
