"""Golden pages: every file that `build` makes of three courses is kept under ``tests/golden/`` and compared.

``python -m tests.golden`` says what differs; with ``--renew`` the pages are kept anew and the difference is printed, to
be read before it is committed. Tables and calendars are kept byte for byte, pages and PDFs as text that reads line by
line.
"""

from __future__ import annotations

import argparse
import base64
import difflib
import hashlib
import re
import shutil
import sys
import tempfile
from collections.abc import Iterator, Mapping
from pathlib import Path

import lessonplan
from tests import pdf

ROOT = Path(__file__).resolve().parent.parent
KEPT = ROOT / "tests" / "golden"
COURSES = ("sample_course", "tests/courses/hat", "tests/courses/bookbinding")
SHARED = "shared"
"""Where the styles and scripts lie that are written into many pages: each is kept once."""
LINES = 60
"""So many lines of a difference are shown for each file, when a test fails."""

Files = Mapping[str, bytes]


def made() -> dict[str, bytes]:
    """Build the courses and give all their files as they are kept: ``course/file`` to bytes."""
    files: dict[str, bytes] = {}
    shared: dict[str, str] = {}
    with tempfile.TemporaryDirectory() as place:
        for course in COURSES:
            name = Path(course).name
            result = lessonplan.build(ROOT / course, Path(place) / name)
            assert result.plan is not None, [str(problem) for problem in result.problems]
            for path in sorted((Path(place) / name).iterdir()):
                # A name that begins with a dot is the listing of digests, which follow from the files.
                if path.name.startswith("."):
                    continue
                if path.suffix == ".html":
                    text = page_text(path.read_text(encoding="utf-8"), shared)
                    files[f"{name}/{path.name}.txt"] = text.encode("utf-8")
                elif path.suffix == ".pdf":
                    files[f"{name}/{path.name}.txt"] = pdf.kept(path.read_bytes()).encode("utf-8")
                else:
                    files[f"{name}/{path.name}"] = path.read_bytes()
    return files | {f"{SHARED}/{name}": text.encode("utf-8") for text, name in shared.items()}


def kept() -> dict[str, bytes]:
    """Give all files that are kept, named as `made` names them."""
    return {path.relative_to(KEPT).as_posix(): path.read_bytes() for path in sorted(KEPT.rglob("*")) if path.is_file()}


def page_text(page: str, shared: dict[str, str]) -> str:
    """Lay out a page line by line: no blank lines, no indents, in drawings a line for each element.

    Styles and scripts are taken out to ``shared`` (text to name), and where their digest stands, so does that name.
    The running number of a drawing is taken out of the names inside it: one drawing more must not change all others.
    """

    def take_out(found: re.Match[str]) -> str:
        head, text, end = found.groups()
        if "application/json" in head:
            return head + text.replace("},{", "},\n{") + end
        suffix = "css" if head.startswith("<style") else "js"
        name = shared.setdefault(text, f"{suffix}-{len(shared) + 1}.{suffix}")
        digests[base64.b64encode(hashlib.sha256(text.encode("utf-8")).digest()).decode("ascii")] = name
        return f"{head}[{name}]{end}"

    digests: dict[str, str] = {}
    text = re.sub(r"(<(?:style|script)\b[^>]*>)(.*?)(</(?:style|script)>)", take_out, page, flags=re.DOTALL)
    for digest, name in digests.items():
        text = text.replace(digest, f"[{name}]")
    text = re.sub(r"<svg\b.*?</svg>", _drawing_text, text, flags=re.DOTALL)
    return "".join(f"{line.strip()}\n" for line in text.splitlines() if line.strip())


def _drawing_text(found: re.Match[str]) -> str:
    text = found.group()
    number = re.search(r'(?:id|labelledby)="([a-z]+-)(\d+)\b', text)
    if number:
        text = re.sub(rf"\b{number[1]}{number[2]}\b", f"{number[1]}n", text)
    return text.replace("><", ">\n<")


def differences(old: Files, new: Files, most: int | None = LINES) -> Iterator[str]:
    """Say for each file what differs: missing, extra, or a unified difference of at most ``most`` lines."""
    for name in sorted(old.keys() | new.keys()):
        if name not in new:
            yield f"{name}: is kept, and was not made"
        elif name not in old:
            yield f"{name}: was made, and is not kept"
        elif old[name] != new[name]:
            lines = list(difflib.unified_diff(_lines(old[name]), _lines(new[name]), "kept", "made", n=1, lineterm=""))
            more = [f"... {len(lines) - most} lines more"] if most and len(lines) > most else []
            yield "\n".join([f"{name}: differs", *lines[:most], *more])


def _lines(data: bytes) -> list[str]:
    # Line ends stay on the lines, so that a lost carriage return is a difference too.
    return [repr(line)[1:-1] if "\r" in line else line for line in data.decode("utf-8").split("\n")]


def renew(new: Files) -> None:
    """Keep these files instead of all that were kept."""
    shutil.rmtree(KEPT, ignore_errors=True)
    for name, data in new.items():
        path = KEPT / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)


def main() -> int:
    """Run the command; the status is 1 when something differs and was not renewed."""
    parser = argparse.ArgumentParser(prog="python -m tests.golden", description=__doc__.splitlines()[0])
    parser.add_argument("--renew", action="store_true", help="keep the pages anew, and print what that changes")
    asked = parser.parse_args()
    new = made()
    found = list(differences(kept(), new, None))
    print(*found, f"{len(found)} of {len(new)} files differ.", sep="\n")
    if asked.renew and found:
        renew(new)
        print("They are kept anew: read the difference above before you commit it.")
    return 1 if found and not asked.renew else 0


if __name__ == "__main__":
    sys.exit(main())
