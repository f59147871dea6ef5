"""What the papers of a course leave out: texts that stand on none, cautions, and pictures that say nothing.

The papers themselves are read, as they are rendered: by what templates, and from what views, does not matter here.
"""

from __future__ import annotations

import html
import io
import re
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from html.parser import HTMLParser
from pathlib import Path

from lessonplan.course.problems import Problem, Where, error
from lessonplan.craft.words import file_word, words_of
from lessonplan.edit.spoken import plain
from lessonplan.pattern.texts import texts_with_facts
from lessonplan.planning.worked import Plan
from lessonplan.publish.cautions import Reader, cautions

Papers = Callable[[str], Mapping[str, bytes]]
"""The papers of a course whose names have an ending (``.html``), by their names."""
READ_BY: Mapping[Reader, Sequence[str]] = {
    "viewers": ("handout", "texts"),
    "floor": ("run-sheet", "table"),
    "knitters": ("knitters",),
}
"""The pages that people act from, by their templates."""
PRINTED_FOR: Mapping[Reader, Sequence[str]] = {
    "viewers": ("handout", "kit-slips"),
    "floor": ("run-sheet",),
    "knitters": ("knitter",),
}
"""The printed papers that people act from, by their templates."""
ALL_PRINTED = "_paper.typ"
"""What all printed papers begin with."""
OWN = "templates/"
SHOWN = 60
"""So many signs of a text are told."""
_NAMED = re.compile(r"\{\{[^{}]*\}\}")
_UNSEEN = re.compile(r"(?s)<(script|style)\b.*?</\1>")


def own_printed(folder: Path) -> frozenset[str]:
    """Give the templates of printed papers that a course has of its own."""
    return frozenset(path.name for path in (folder / OWN).glob("*.typ"))


def left_out(plan: Plan, papers: Papers, own: Collection[str] = ()) -> Iterator[Problem]:
    """Give what the papers of a plan leave out; ``own`` are the templates of printed papers that the course has."""
    pages = {name: data.decode("utf-8") for name, data in papers(".html").items()}
    yield from _unprinted(plan, pages, papers)
    yield from _no_caution(plan, pages)
    yield from _no_caution_printed(plan, papers, own)
    yield from _pictures(plan, pages)


def _pictures(plan: Plan, pages: Mapping[str, str]) -> Iterator[Problem]:
    """Say of pictures on pages that they have no text, or that they do not stand in the page and are never seen."""
    for name, text in pages.items():
        where, pictures = _template(plan, name), _Pictures()
        pictures.feed(text)
        for tag in pictures.silent[:1]:
            what = f"A picture on {name} has no text for those who do not see it: {tag[:SHOWN]}"
            yield error(where, "no-text", what, 'Give it alt="…", or aria-hidden="true" where it says nothing.')
        for tag in pictures.outside[:1]:
            what = f"A picture on {name} does not stand in the page itself, so that nobody sees it: {tag[:SHOWN]}"
            yield error(where, "lost-picture", what, 'Pages show only pictures written into them: src="data:…".')


class _Pictures(HTMLParser):
    """Finds the pictures of a page that have no text (``silent``), and those that lie elsewhere (``outside``)."""

    def __init__(self) -> None:
        super().__init__()
        self.silent, self.outside = list[str](), list[str]()
        self._open, self._untold = 0, ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note pictures without words, and those that lie outside the page."""
        told, words = self.get_starttag_text() or "", {key: value or "" for key, value in attrs}
        if tag == "title":  # the first child of a drawing is its text
            self._untold = ""
        elif tag == "img" and not words.get("src", "").strip().lower().startswith("data:"):
            self.outside.append(told)
        if tag in ("img", "svg") and not self._open:
            worded = any(words.get(key, "").strip() for key in ("alt", "aria-label", "aria-labelledby"))
            self._untold = "" if worded or words.get("aria-hidden") == "true" else told
            if self._untold and tag == "img":
                self._told_nothing()
        self._open += tag == "svg"

    def handle_endtag(self, tag: str) -> None:
        """At the end of a drawing tell whether it had words."""
        self._open -= tag == "svg"
        if tag == "svg" and not self._open:
            self._told_nothing()

    def _told_nothing(self) -> None:
        if self._untold:
            self.silent.append(self._untold)
        self._untold = ""


def _unprinted(plan: Plan, pages: Mapping[str, str], papers: Papers) -> Iterator[Problem]:
    """Say which texts of the course stand on no page, nor, where one is missing there, on any printed paper."""
    on_pages = letters_of(" ".join(map(seen, pages.values())))
    left = [(where, text) for where, text in texts_with_facts(plan.course) if _telling(text) not in on_pages]
    printed = letters_of(" ".join(map(_on_paper, papers(".pdf").values()))) if left else ""
    for where, text in left:
        if _telling(text) not in printed:
            words = " ".join(plain(text).split())
            told = words if len(words) <= SHOWN else f"{words[:SHOWN].rstrip()} …"
            yield error(where, "unprinted", f"This stands on no paper: “{told}”.", _WHERE_PRINTED)


_WHERE_PRINTED = "Move it to where somebody reads it, or take it out."


def seen(page: str) -> str:
    """Give the text of a page without its tags."""
    return html.unescape(re.sub(r"<[^>]*>", "", _UNSEEN.sub(" ", page)))


def _on_paper(data: bytes) -> str:
    from pypdf import PdfReader

    return "".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages)


def letters_of(text: str) -> str:
    """Give the letters and digits of a text, in small letters: what is left of it in any layout."""
    return "".join(re.findall(r"[^\W_]+", text.casefold()))


def _telling(text: str) -> str:
    """Give the longest part of a text between its facts, as `letters_of`."""
    return max((letters_of(plain(part)) for part in _NAMED.split(text)), key=len)


def _no_caution(plan: Plan, pages: Mapping[str, str]) -> Iterator[Problem]:
    """Say which page that people act from lacks a caution that its course calls for."""
    for name, page in pages.items():
        where = _template(plan, name)
        reader = next(
            (reader for reader, names in READ_BY.items() if where.file[len(OWN) : -len(".html")] in names), None
        )
        text = letters_of(seen(page)) if reader else ""
        told = cautions(plan, reader, _day(name)) if reader else ()
        lacking = [one for one in told if letters_of(plain(one)) not in text]
        if lacking:
            what = f"{name} leaves out what its readers must be told: {lacking[0]}"
            yield error(where, "no-caution", what, "Print “view.cautions” in this template.")


def _no_caution_printed(plan: Plan, papers: Papers, own: Collection[str]) -> Iterator[Problem]:
    """Say which printed paper lacks a caution, of those that a course makes by templates of its own."""
    maker = file_word(words_of(plan.course.pattern).maker)
    for reader, template in ((reader, one) for reader, names in PRINTED_FOR.items() for one in names):
        file = next((one for one in (f"{template}.typ", ALL_PRINTED) if one in own), "")
        begins = maker if template == "knitter" else template
        for name, data in papers(".pdf").items() if file else ():
            if re.fullmatch(rf"{re.escape(begins)}(-.*)?\.pdf", name):
                text = letters_of(_on_paper(data))
                told = cautions(plan, reader, _day(name) if reader == "floor" else None)
                lacking = [one for one in told if not _in_one_or_two(letters_of(plain(one)), text)]
                if lacking:
                    what = f"{name} leaves out what its readers must be told: {lacking[0]}"
                    yield error(Where(f"{OWN}{file}", 1, 1), "no-caution", what, "Print “view.cautions” in it.")


def _day(name: str) -> int | None:
    """Give the day (0-based) of a paper of the floor, which has its number in its name."""
    found = re.search(r"-(\d+)\.\w+$", name)
    return int(found[1]) - 1 if found else None


def _in_one_or_two(letters: str, text: str) -> bool:
    """Whether letters stand in a text, or in two places of it, as at the end of a page."""
    return any(letters[:end] in text and letters[end:] in text for end in range(len(letters)))


def _template(plan: Plan, page: str) -> Where:
    """Give the template of a page, which is named after it but for a number and the craft's word."""
    name = re.sub(r"(-\d+)?\.html$", "", page)
    makers = file_word(words_of(plan.course.pattern).makers)
    return Where(f"{OWN}{'knitters' if name == makers else name}.html", 1, 1)
