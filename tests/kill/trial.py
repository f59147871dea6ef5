"""One run that is ended at a moment of chance, and what must hold of the folder then and after the next run.

A run is a fork of a process in which the program is loaded already, so that a thousand of them take minutes.
"""

from __future__ import annotations

import itertools
import os
import shutil
import signal
import stat
import sys
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from random import Random

from tests.small_course import COURSE, EPISODE, write_course

DAY = "2027-01-10"
LOG = "id,device,day,shot,take,start,stop,verdict,slip,note\n" + "".join(
    f"a-{n},a,2027-03-06,1.1.1,{n},09:{n:02}:00,09:{n:02}:40,again,,a note of some length to fill the line\n"
    for n in range(1, 50)
)
MORE = """\
      - view: overhead
        pieces: [{needs: edge round 3, spare: 1}]
        hands: [{do: show it, time: 20 s}]
"""
REMARK = "# Mine: this line and all others that I wrote stay.\n"
ERRATUM = ["--where", "shot 1.1.1", "--said", "41 stitches", "--right", "40 stitches", "--by", "Ida", "--today", DAY]
RUNS: Mapping[str, tuple[tuple[str, ...], ...]] = {
    "build": (("build", "C"), ("build", "C")),
    "publish": (("build", "C", "--publish", "--today", DAY), ("build", "C", "--publish", "--today", DAY)),
    "takes": (("takes", "C", "C/../new.csv", "--learn"),) * 2,
    "errata": (("errata", "C", *ERRATUM),) * 2,
    "agree": (("agree", "C", "--today", DAY),) * 2,
    "done": (("agree", "C", "--done", "C edge round 1, 40 min"),) * 2,
}
"""What is run and killed, and what is run next; ``C`` is the course."""
FIRST: Mapping[str, tuple[tuple[str, ...], ...]] = {
    "build": (("build", "C"),),
    "publish": (("build", "C"),),
    "takes": (("takes", "C", "C/../old.csv", "--learn"),),
    "errata": (("errata", "C", *ERRATUM),),
    "agree": (("agree", "C", "--today", "2027-01-02"),),
    "done": (("agree", "C", "--today", "2027-01-02"),),
}
"""What was run before, so that there is something old."""
NOWHERE = Path(os.devnull)
Tree = Mapping[str, bytes]


@dataclass(frozen=True)
class Ended:
    """How a run went: its exit status (negative: the signal), how long it took, how many steps in files it took."""

    status: int
    seconds: float
    steps: int


def forked(
    act: Callable[[], int],
    *,
    after: float = 0,
    at_step: int = 0,
    within: str = "",
    fails: int = 0,
    said: Path = NOWHERE,
) -> Ended:
    """Do something in a fork, killed ``after`` so many seconds or before its ``at_step``-th step in files ``within``.

    Steps are what changes names or opens a file for writing; without a kill they are counted. With ``fails``, an error
    number, the disk refuses from that step on instead, but for what frees it. What is printed goes to ``said``.
    """
    reading, writing = os.pipe()
    begun = time.monotonic()
    child = os.fork()
    if not child:
        status = 70
        try:
            os.close(reading)
            steps = itertools.count(1)
            os.dup2(os.open(said, os.O_WRONLY | os.O_CREAT | os.O_TRUNC), 1)
            os.dup2(1, 2)

            def watch(event: str, given: tuple[object, ...]) -> None:
                if writes(event, given) and within in str(given[0]):
                    number = next(steps)
                    os.write(writing, b".")
                    if fails and number >= at_step and event not in ("os.remove", "os.rmdir", "os.chmod"):
                        raise OSError(fails, os.strerror(fails), str(given[0]))
                    if number == at_step and not fails:
                        os.kill(os.getpid(), signal.SIGKILL)

            if within:
                sys.addaudithook(watch)
            status = act()
        except SystemExit as end:
            status = end.code if isinstance(end.code, int) else int(bool(end.code))
        finally:
            sys.stdout.flush()
            sys.stderr.flush()
            os._exit(status)
    os.close(writing)
    if after:
        time.sleep(after)
        os.kill(child, signal.SIGKILL)
    counted = 0
    while got := os.read(reading, 4096):
        counted += len(got)
    os.close(reading)
    _, ended = os.waitpid(child, 0)
    return Ended(os.waitstatus_to_exitcode(ended), time.monotonic() - begun, counted)


def writes(event: str, given: tuple[object, ...]) -> bool:
    """Tell whether something that Python reports of itself opens a file for writing, or changes names."""
    if event == "open":
        flags = given[2]
        return isinstance(flags, int) and bool(flags & (os.O_WRONLY | os.O_RDWR))
    return event in ("os.rename", "os.remove", "os.mkdir", "os.rmdir", "os.chmod")


def command(words: tuple[str, ...], course: Path) -> Callable[[], int]:
    """Give a command of the program as a thing to do in a fork."""

    def act() -> int:
        from lessonplan.cli import main

        sys.argv = ["lessonplan", *(_placed(word, course) for word in words)]
        main()
        return 0

    return act


def _placed(word: str, course: Path) -> str:
    return str(course) if word == "C" else str(course.parent / word[5:]) if word.startswith("C/../") else word


def tree(folder: Path) -> Tree:
    """Everything below a folder: files by their bytes, what is no file by its kind."""
    found = {}
    for path in sorted(folder.rglob("*")):
        kind = path.lstat().st_mode
        found[str(path.relative_to(folder))] = path.read_bytes() if stat.S_ISREG(kind) else b"folder"
    return found


def put(folder: Path, held: Tree) -> None:
    """Make a folder hold just this."""
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    for name, data in held.items():
        if data == b"folder":
            (folder / name).mkdir(parents=True, exist_ok=True)
    for name, data in held.items():
        if data != b"folder":
            (folder / name).write_bytes(data)


@dataclass(frozen=True)
class Kind:
    """A kind of run: the folder before it, after it, after it was run twice, and how long it takes."""

    name: str
    states: tuple[Tree, Tree, Tree]
    seconds: float
    steps: int


def prepared(name: str, home: Path) -> Kind:
    """Make a course ready for a kind of run, and see what the run does where nobody ends it."""
    course = home / name / "c"
    write_course(course, {"course.yaml": COURSE + REMARK, "episodes/01.yaml": EPISODE + MORE + REMARK})
    (course / "notes.md").write_bytes(b"My own notes, \xe9 and all.\r\n")
    (home / name / "old.csv").write_text(LOG.split("a-30")[0], encoding="utf-8")
    (home / name / "new.csv").write_text(LOG, encoding="utf-8")
    for words in FIRST[name]:
        assert forked(command(words, course)).status == 0, (name, words)
    if name in ("build", "publish"):
        text = (course / "course.yaml").read_text(encoding="utf-8")
        (course / "course.yaml").write_text(text.replace("Ring cowl", "Cowl of rings"), encoding="utf-8")
    before = tree(course)
    first = forked(command(RUNS[name][0], course), within=str(course))
    after = tree(course)
    again = forked(command(RUNS[name][1], course))
    assert (first.status, again.status) == (0, 0), (name, first, again)
    assert before != after, name
    return Kind(name, (before, after, tree(course)), first.seconds, first.steps)


@dataclass(frozen=True)
class Outcome:
    """What a kill came to: whether it came in time, what it left beside, and what is wrong (nothing, if all holds)."""

    kind: str
    killed: bool
    left: int
    done: bool
    wrong: str


def tried(kind: Kind, home: Path, chance: Random) -> Outcome:
    """Kill one run of a kind at a moment of chance, look at the folder, run again, and look again."""
    course = home / kind.name / "c"
    before, after, again = kind.states
    put(course, before)
    if chance.random() < 0.5:
        at = chance.randint(1, kind.steps)
        ended = forked(command(RUNS[kind.name][0], course), at_step=at, within=str(course))
        moment = f"before step {at} of {kind.steps}"
    else:
        at_second = max(0.001, chance.random() * kind.seconds * 1.1)
        ended = forked(command(RUNS[kind.name][0], course), after=at_second)
        moment = f"after {at_second:.3f} s of {kind.seconds:.3f}"
    now = tree(course)
    wrong, done = judged(now, before, after)
    left = len([name for name in now if _hidden(name)])
    ended_again = forked(command(RUNS[kind.name][1], course))
    last = tree(course)
    if not wrong and ended_again.status != 0:
        wrong = f"the next run ended with {ended_again.status}"
    if not wrong and last != (again if done else after):
        wrong = f"after the next run: {_differs(last, again if done else after)}"
    told = f"{kind.name}, killed {moment}: {wrong}" if wrong else ""
    return Outcome(kind.name, ended.status == -signal.SIGKILL, left, done, told)


def _hidden(name: str) -> bool:
    return name.startswith(".") or ("/." in name and not name.endswith(".lessonplan-output"))


def _in_output(name: str) -> bool:
    return name == "out" or name.startswith("out/")


def judged(now: Tree, before: Tree, after: Tree) -> tuple[str, bool]:
    """Say what is wrong with a folder after a kill (nothing: all holds), and whether the run was done."""
    for name in {*before, *after, *now}:
        if _in_output(name) or _hidden(name):
            continue
        if now.get(name) not in (before.get(name), after.get(name)) and now.get(name) != b"folder":
            return f"{name} is neither old nor new", False
    output, old, new = ({n: d for n, d in held.items() if _in_output(n)} for held in (now, before, after))
    waiting = {
        f"out{name.removeprefix('.out.lessonplan-old')}": data
        for name, data in now.items()
        if name.startswith(".out.lessonplan-old")
    }
    if output not in (old, new) and not (not output and waiting == old):
        return f"the output is neither old nor new: {_differs(output, new)}", False
    shown = {name: data for name, data in now.items() if not _hidden(name)}
    return "", shown == {name: data for name, data in after.items() if not _hidden(name)}


def _differs(one: Tree, other: Tree) -> str:
    return ", ".join(sorted(name for name in {*one, *other} if one.get(name) != other.get(name))[:5])


def refused(kind: Kind, home: Path, step: int, fails: int) -> str:
    """Let the disk refuse from one step of a run on; gives what is wrong (nothing: all holds)."""
    course, said = home / kind.name / "c", home / kind.name / "said"
    before, after, again = kind.states
    put(course, before)
    run = command(RUNS[kind.name][0], course)
    ended = forked(run, at_step=step, within=str(course), fails=fails, said=said)
    told = said.read_text(encoding="utf-8")
    now = tree(course)
    wrong, done = judged(now, before, after)
    last = told.strip().rpartition("\n")[2]
    if not wrong and not done and (ended.status != 3 or os.strerror(fails) not in last or "Traceback" in told):
        wrong = f"status {ended.status}, said {told[-300:]!r}"
    if not wrong and (left := [name for name in now if "lessonplan-new" in name]):
        wrong = f"left over: {left[:3]}"
    forked(command(RUNS[kind.name][1], course))
    if not wrong and tree(course) != (again if done else after):
        wrong = f"after the next run: {_differs(tree(course), again if done else after)}"
    return f"{kind.name}, {os.strerror(fails)} from step {step} of {kind.steps} on: {wrong}" if wrong else ""
