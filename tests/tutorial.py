"""The tutorial, walked: each command is run, each file written, each change made, as the page says.

``python -m tests.tutorial`` writes what was answered into the page; read the difference before it is committed.
"""

from __future__ import annotations

import re
import shlex
import shutil
import tempfile
from contextlib import chdir
from pathlib import Path

from tests.command import run

ROOT = Path(__file__).resolve().parent.parent
PAGE = ROOT / "sample_course" / "tutorial.md"
STEP = re.compile(
    r"[Cc]opy `(?P<source>[^`]+)` to `(?P<target>[^`]+)`"
    r"|[Ii]n\s`(?P<file>[^`]+)` change `(?P<old>[^`]+)` to `(?P<new>[^`]+)`"
    r"|Write into `(?P<path>[^`]+)`:\n\n```\w+\n(?P<text>.*?)```"
    r"|```console\n(?P<said>.*?)```"
    r"|The page `(?P<page>[^`]+)` now says `(?P<shown>[^`]+)`",
    re.DOTALL,
)


def walked(page: str, folder: Path) -> str:
    """Do what a page says, in a folder; give the page with what was really answered."""
    return STEP.sub(lambda found: _step(found, folder), page)


def _step(found: re.Match[str], folder: Path) -> str:
    if found["said"] is not None:
        asked = [line for line in found["said"].splitlines() if line.startswith("$ ")]
        return "```console\n" + "".join(f"{line}\n{answer(line[2:], folder)}" for line in asked) + "```"
    if found["source"]:
        (folder / found["target"]).parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(folder / found["source"], folder / found["target"])
    elif found["path"]:
        path = folder / found["path"]
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(found["text"], encoding="utf-8")
    elif found["file"]:
        path = folder / found["file"]
        text = path.read_text(encoding="utf-8")
        assert len(re.findall(f"^{re.escape(found['old'])}$", text, re.MULTILINE)) == 1, found["old"]
        path.write_text(re.sub(f"(?m)^{re.escape(found['old'])}$", found["new"], text), encoding="utf-8")
    else:
        text = (folder / found["page"]).read_text(encoding="utf-8").replace("\u00a0", " ")
        return found[0] if found["shown"] in text else f"The page `{found['page']}` does not say that."
    return found[0]


def answer(command: str, folder: Path) -> str:
    """What a command prints, both streams, with a line that tells of a status of failure."""
    name, *words = shlex.split(command)
    assert name == "lessonplan", command
    with chdir(folder):
        done = run(*words)
    return done.stderr + done.stdout


def main() -> None:
    """Write what is answered into the page."""
    with tempfile.TemporaryDirectory() as folder:
        PAGE.write_text(walked(PAGE.read_text(encoding="utf-8"), Path(folder)), encoding="utf-8")


if __name__ == "__main__":
    main()
