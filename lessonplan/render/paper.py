"""Printed papers: PDF by typst, from views and the templates ``*.typ``. A template only places values.

Everything in a view goes in as JSON, so that no text is ever markup; drawings go in as SVG with their words. The PDFs
are tagged (PDF/UA-1), have the fonts that come with typst, and hold no clock. A course may bring templates of its own,
and courses are mailed: these see a folder of copies and nothing else, and fetch nothing (`render.apart`).
"""

from __future__ import annotations

import json
import re
import unicodedata
from dataclasses import fields, is_dataclass
from datetime import date, datetime
from html import unescape
from pathlib import Path
from tempfile import TemporaryDirectory
from threading import Lock, local
from types import TracebackType
from typing import TYPE_CHECKING, Any, Self

from lessonplan.course.files import UnfitError, inside, read_plain
from lessonplan.course.problems import Where, error
from lessonplan.course.signs import parted_within
from lessonplan.documents.marks import Charted, Code, Drawn, Marked, Schematic
from lessonplan.render import markdown
from lessonplan.render.drawings.labels import TYPE
from lessonplan.render.pages import FONTS, MAX_TEMPLATE_BYTES, OWN, templates_folder
from lessonplan.render.pictures import Pictures, square_code

if TYPE_CHECKING:
    from typst import Compiler, TypstError

SIZES = {"a4": "a4", "letter": "us-letter"}
"""The sizes of paper, by typst's names (ISO 216; US letter)."""
MAX_FONT_BYTES = 40_000_000
AGES = 10
"""typst keeps what it worked out for so many compilations, 100 MB of a day of 100 shots: empty ones make it let go."""
LONGEST_WORD = 24
"""Words of more letters may be broken anywhere: a name must not run out of its box."""

_KEPT = frozenset("\u00ad\u200b\u200c\u200d\u200e\u200f\u2068\u2069")
_NO_SIGN = re.compile(r'the text `"(.+?)"` could not be displayed')
_PLACE = re.compile(r"┌─ (?:.*[/\\])?([^/\\:]+):(\d+):(\d+)")


class Press:
    """Prints the papers of one course on one size of paper, each the same bytes for the same view.

    ``stamp``: the date that the PDFs bear. ``course``: a course with templates of its own. ``lacking`` names the signs
    that no font has, by paper: they are printed as empty boxes. Several threads may print at once.
    """

    def __init__(self, language: str, size: str, stamp: datetime, course: Path | None = None) -> None:
        self._language, self._size, self._stamp, self._course = language, size, stamp, course
        self._folder: TemporaryDirectory[str] | None = None
        self._lock, self._mine = Lock(), local()
        self.lacking: dict[str, str] = {}

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, bad: BaseException | None, at: TracebackType | None) -> None:
        if self._folder:
            self._folder.cleanup()

    def paper(self, template: str, view: object, pictures: Pictures, name: str = "") -> bytes:
        """Print one paper with its view. Raises `UnfitError` for what is wrong with an own template."""
        from typst import TypstError

        root, compiler = self._ready()
        main, _, region = self._language.partition("-")
        given = {
            "language": main.lower(),
            "region": region if re.fullmatch("[A-Za-z]{2}", region) else None,
            "paper": SIZES[self._size],
            "view": plain(view, pictures),
            "words": dict(pictures.words),
        }
        values = {"given": json.dumps(given, ensure_ascii=False)}
        try:
            return self._pdf(compiler, root / template, values, ["ua-1"])
        except TypstError as bad:
            lacking = "".join(dict.fromkeys(_NO_SIGN.findall(bad.diagnostic)))
            if not lacking:
                self._unfit(bad, template)
                raise
        self.lacking[name or template] = lacking
        return self._pdf(compiler, root / template, values, [])

    def _pdf(self, compiler: Compiler, template: Path, values: dict[str, str], standards: list[Any]) -> bytes:
        made = compiler.compile(
            template, format="pdf", sys_inputs=values, pdf_standards=standards, timestamp=self._stamp
        )
        assert isinstance(made, bytes)
        for _ in range(AGES):
            compiler.compile(b"")
        return made

    def _ready(self) -> tuple[Path, Compiler]:
        """Give the folder of the templates and a compiler that reads nothing outside it."""
        with self._lock:
            if self._course and not self._folder:
                folder = TemporaryDirectory(prefix="lessonplan-")
                copy_templates(self._course, Path(folder.name))
                self._folder = folder
        root = Path(self._folder.name).resolve() if self._folder else templates_folder()
        if not hasattr(self._mine, "compiler"):  # a compiler does one thing at a time, so each thread has its own
            from typst import Compiler, Fonts

            fonts = Fonts(include_system_fonts=False, font_paths=[str(root)] if self._folder else [])
            nowhere = str(root / "no-packages")
            self._mine.compiler = Compiler(
                root=str(root), font_paths=fonts, package_path=nowhere, package_cache_path=nowhere
            )
        return root, self._mine.compiler

    def _unfit(self, bad: TypstError, template: str) -> None:
        """Raise what stopped a paper as a problem at the innermost own template; return when none was in it."""
        if not self._course:
            return
        own = {path.name for path in own_files(self._course) if path.suffix not in (".html", ".css", ".js")}
        places = [(name, int(line), int(column)) for name, line, column in _PLACE.findall(bad.diagnostic)]
        sentence = f"This template cannot be filled in ({bad.message.split(' error: ')[-1].rstrip('.')})."
        for name, line, column in places:
            if name in own:
                raise UnfitError(error(Where(OWN + name, line, column), "template", sentence)) from bad
        if own:
            place = f" It is needed in lessonplan's {places[0][0]}, line {places[0][1]}." if places else ""
            where = Where(OWN + template) if template in own else Where(OWN)
            raise UnfitError(error(where, "template", sentence + place)) from bad


def copy_templates(course: Path, folder: Path) -> None:
    """Copy the program's templates and a course's own over them, plain files of a sane size that lie in the course."""
    for path in sorted(templates_folder().glob("*.typ")):
        (folder / path.name).write_bytes(path.read_bytes())
    for path in own_files(course):
        told = OWN + path.name
        most = MAX_FONT_BYTES if path.suffix.lower() in FONTS else MAX_TEMPLATE_BYTES
        (folder / path.name).write_bytes(read_plain(inside(course, told), Where(told), most))


def own_files(course: Path) -> list[Path]:
    """List the files in a course's folder of templates, in order."""
    folder = course / OWN
    within = sorted(folder.iterdir()) if folder.is_dir() else []
    return [path for path in within if path.name[0] != "." and path.is_file()]


def plain(value: object, pictures: Pictures) -> Any:
    """Turn a view into what JSON can hold: drawings and codes into SVG, Markdown into stretches of text."""
    if isinstance(value, str):
        return printable(value)
    if isinstance(value, Drawn):
        if value.large:
            return _drawing(pictures.large(value.state, value.kind, value.title, value.width), value.title)
        return _drawing(pictures.small(value.state, value.kind, value.title), value.title)
    if isinstance(value, Schematic):
        return _drawing(
            pictures.schematic(value.title, value.size, value.names, value.width, value.tallest), value.title
        )
    if isinstance(value, Charted):
        return _drawing(pictures.chart(value.chart, value.title), value.title)
    if isinstance(value, Marked):
        return plain(tuple(markdown.blocks(value.text)), pictures)
    if isinstance(value, Code):
        drawn, side = square_code(value.text)
        return {"svg": drawn, "alt": value.text, "side": side}
    if is_dataclass(value):
        return {one.name: plain(getattr(value, one.name), pictures) for one in fields(value)}
    if isinstance(value, dict):
        return {key: plain(one, pictures) for key, one in value.items()}
    if isinstance(value, (tuple, list)):
        return [plain(one, pictures) for one in value]
    if value is None or isinstance(value, (bool, int, float)):
        return value
    if isinstance(value, date):
        return value.isoformat()
    raise TypeError(f"a view holds a {type(value).__name__}")


def _drawing(svg: str, title: str) -> dict[str, str | float]:
    """A drawing for paper: alike ones are alike to the byte, so that they are kept once; its words stand beside it.

    ``ems`` is its width in heights of its letters.
    """
    words = re.search(r"<desc[^>]*>(.*?)</desc>", svg, re.DOTALL)
    ems = float(re.findall(r'<svg [^>]*?\bwidth="([\d.]+)"', svg)[0]) / TYPE
    alt = f"{title}: {unescape(words[1])}" if words else title
    drawn = re.sub(r"<(title|desc)\b.*?</\1>", "", re.sub(r"\bpicture-\d+\b", "picture", svg), flags=re.DOTALL)
    return {
        "svg": drawn.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1),
        "alt": printable(alt),
        "ems": ems,
    }


def printable(text: str) -> str:
    """Drop signs that print nothing, let words be broken that no line could hold, and keep names in their direction."""
    kept = "".join(c for c in parted_within(text) if c in "\n\t" or c in _KEPT or unicodedata.category(c)[0] != "C")
    return re.sub(rf"\S{{{LONGEST_WORD + 1},}}", lambda found: _breakable(found[0]), kept)


def _breakable(word: str) -> str:
    step = LONGEST_WORD // 4  # a column of twelve sizes has room for some seven
    return "\u200b".join(word[at : at + step] for at in range(0, len(word), step))
