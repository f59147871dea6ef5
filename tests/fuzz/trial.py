"""One case tried: files written, a command run in this process under a limit, and what it said judged."""

from __future__ import annotations

import json
import re
import resource
import shutil
import signal
import tempfile
import time
import traceback
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import FrameType

from typer.testing import CliRunner

from lessonplan.cli import app
from tests.pace import usually

SECONDS, MEGABYTES = 2.0, 500
"""Processor time that a case may take, on the reference machine of `tests.pace`, and memory of the system for all."""
SEARCHES = {"orders": 8.0, "build": 5.0}
"""More for a search that is limited by its steps, and for a whole folder, whose PDFs a compiler sets."""
PROBLEM = re.compile(r"(?P<file>.*?):(?P<line>\d+):(?P<column>\d+): (?:error|warning|note) [a-z-]+: \S.*")
IN_COURSE = (
    ["check"], ["check"], ["check", "--json"], ["check", "--publish"], ["times"], ["facts", "--json"],
    ["samples", "--json"], ["errata"], ["orders"], ["pickups"], ["agree", "--today", "2027-01-05"], ["build",
    "--today", "2027-01-05"],
    ["takes", "beside/log.csv", "--learn"], ["pace", "beside/captions.vtt"], ["proof", "1", "beside/captions.vtt"],
)  # fmt: skip
ALONE = (
    ["count", "--file", "beside/print.txt"],
    ["begin", "begun", "--yes", "--pattern", "beside/print.txt", "--script", "beside/script.txt"],
    ["begin", "begun-too", "--yes", "--captions", "beside/captions.vtt"],
)
COMMANDS: tuple[list[str], ...] = (*IN_COURSE, *ALONE)
MAY_WRITE = ("agree", "takes", "pace", "proof", "begin", "build")


class TooLongError(BaseException):
    """The processor time of a case is used up; no handler of ``Exception`` may catch it."""


@dataclass(frozen=True)
class Fault:
    """``sort`` tells faults apart that have one cause; ``told`` says more."""

    sort: str
    told: str


def limit_memory() -> None:
    """Give this process so much memory at most, beyond what it has for its libraries."""
    with Path("/proc/self/statm").open() as file:
        now = int(file.read().split()[0]) * resource.getpagesize()
    most = now + MEGABYTES * 1_000_000
    resource.setrlimit(resource.RLIMIT_AS, (most, most))


def tried(
    files: Mapping[str, bytes], words: Sequence[str], *, valid: bool = False, keep: Path | None = None
) -> list[Fault]:
    """Run a command over a course's files, and give what is wrong with its answer.

    ``valid``: the course is right, so that the command must do its work. ``keep``: write the case there and stop.
    """
    folder = keep or Path(tempfile.mkdtemp(prefix="lessonplan-fuzz-"))
    try:
        for name, data in files.items():
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
        if keep:
            return []
        return list(_judged(folder, files, words, valid))
    finally:
        if not keep:
            shutil.rmtree(folder)


def command(folder: Path, words: Sequence[str]) -> list[str]:
    """The words of a command line, with the paths of the case's folder."""
    first, *others = (str(folder / word) if word.startswith(("beside/", "begun")) else word for word in words)
    return [first, *([] if [*words] in [*ALONE] or first == "count" else [str(folder)]), *others]


def _judged(folder: Path, files: Mapping[str, bytes], words: Sequence[str], valid: bool) -> Iterator[Fault]:
    most = SEARCHES.get(words[0], SECONDS) * usually()
    start = time.process_time()
    try:
        signal.signal(signal.SIGPROF, _stop)
        signal.setitimer(signal.ITIMER_PROF, most)
        try:
            result = CliRunner().invoke(app, command(folder, words))
        finally:
            signal.setitimer(signal.ITIMER_PROF, 0)
    except TooLongError as stopped:
        frames = [f"{Path(one.filename).name}:{one.name}" for one in traceback.extract_tb(stopped.__traceback__)]
        names = [one.name for one in traceback.extract_tb(stopped.__traceback__) if "/lessonplan/" in one.filename]
        yield Fault(f"too long: {' '.join(names[4:7])}", " ".join(frames[-12:]))
        return
    if (took := time.process_time() - start) > most:
        yield Fault("too long in one step", f"{took:.1f} s")
    bad = result.exception
    if bad is not None and not isinstance(bad, SystemExit):
        last = traceback.extract_tb(bad.__traceback__)[-1]
        own = [one for one in traceback.extract_tb(bad.__traceback__) if "/lessonplan/" in one.filename]
        place = f"{Path(own[-1].filename).name}:{own[-1].name}" if own else last.name
        yield Fault(f"crash {type(bad).__name__} {place}", "".join(traceback.format_exception(bad)[-6:]))
        return
    yield from _of_answer(folder, files, words, valid, (result.exit_code, result.stdout, result.stderr))
    changed = [
        name for name, data in files.items() if words[0] not in MAY_WRITE and (folder / name).read_bytes() != data
    ]
    if changed:
        yield Fault("changed", ", ".join(changed))


def _of_answer(
    folder: Path, files: Mapping[str, bytes], words: Sequence[str], valid: bool, said: tuple[int, str, str]
) -> Iterator[Fault]:
    """Judge status and words: a status that is documented, every problem with a file that there is."""
    status, out, err = said
    if status not in (0, 1, 2, 3, 4) or "Traceback" in out + err:
        yield Fault(f"status {status}", out + err)
    if (
        valid
        and status
        and "--publish" not in words
        and words[0] in ("check", "build", "times", "facts", "samples", "orders", "agree")
    ):
        yield Fault("refused", out + err)
    problems = [one for line in err.splitlines() if (one := PROBLEM.fullmatch(line))]
    if "--json" in words and status in (0, 1) and out:
        data = json.loads(out)
        told = data.get("problems", ()) if words[0] == "check" else ()
        lines = ["{file}:{line}:{column}: {severity} {code}: x".format(**one).replace("\n", " ") for one in told]
        problems += [one for line in lines if (one := PROBLEM.fullmatch(line))]
        if words[0] == "check" and len(told) != len(problems):
            yield Fault("problem without a place", out)
    if words[0] == "check" and "--publish" not in words and status == 1 and not problems:
        yield Fault("status 1 without a problem", out + err)
    for one in problems if words in [*IN_COURSE] else ():
        name, line = one["file"], int(one["line"])
        known = any((folder / way).exists() for way in (name, f"beside/{name}")) or name == "episodes"
        known = known or (line == 0 and name == "learnt.yaml")  # told of as a whole, before it is written
        if not known and "missing" not in one[0]:
            yield Fault("a file that is not there", one[0])
        data_read = files.get(name)
        if data_read and line > 1 + data_read.count(b"\n") + data_read.count(b"\r") + _other_ends(data_read):
            yield Fault("a line that is not there", one[0])


def _other_ends(data: bytes) -> int:
    """Line ends that a reader of YAML or of tables may count besides the usual."""
    return sum(data.count(sign.encode()) for sign in ("\x0b", "\x0c", "\x85", "\u2028", "\u2029"))


def _stop(_number: int, _frame: FrameType | None) -> None:
    raise TooLongError
