"""What one line of a whole pattern is, read on its own: worked, a piece begun, work without shaping, or prose."""

from __future__ import annotations

import re
from dataclasses import dataclass

from lessonplan.printed.leaflet import wordings
from lessonplan.printed.leaflet.headwords import begins_with
from lessonplan.printed.leaflet.layout import BARE, LABEL
from lessonplan.printed.line import NotationError, parse_line
from lessonplan.printed.tree import BindOff, CastOn, Colour, Even, Hold, Join, Line, Mark, Rows, Stitch
from lessonplan.printed.words.languages import read_in
from lessonplan.printed.words.tokens import SizesError, tokens
from lessonplan.printed.words.turning import notes_said


@dataclass(slots=True)
class Lines:
    """Tells what lines are, in a language, for sizes of these names, with these yarns and this stitch of crochet."""

    language: str
    names: tuple[str, ...]
    colours: frozenset[str]
    hook: str

    def casts_on(self, text: str) -> bool:
        """Whether a line begins with stitches that are cast on, or with a chain."""
        line = self.parsed(text)
        if line is None or not line.parts or not isinstance(line.parts[0], Rows):
            return False
        first = next((s for s in line.parts[0].steps if not isinstance(s, Colour | Mark | Join)), None)
        return isinstance(first, CastOn) or (isinstance(first, Stitch) and first.name == "ch" and not first.bare)

    def begins(self, text: str, *, listed: bool) -> bool:
        """Whether a line begins a piece, so that lists and notes before it are over.

        `listed`: in a list of abbreviations, where `rnd(s): round(s)` is an entry.
        """
        head, _, rest = text.partition(":")
        told = re.search(r"\d", head) is not None or not listed
        numbered = LABEL.match(text) and (
            self.shorthand(rest) or (told and begins_with("command", rest, self.language))
        )
        return bool(numbered) or (self.casts_on(text) and not begins_with("prose", text, self.language))

    def shorthand(self, text: str) -> bool:
        """Whether a text has stitches in it, as print writes them short."""
        return wordings.SHORTHAND.search(read_in(text, self.language).text) is not None

    def is_plain(self, text: str) -> bool:
        """Whether a text is read without passing over anything that could be work."""
        line = self.parsed(text)
        return line is not None and max((doubt.level for doubt in line.doubts), default=0) < 2

    def is_even(self, lead: str, text: str) -> bool:
        """Whether a line works so much without shaping, however its stitches were given: `6 cm in rib as for back`."""
        line = self.parsed(text) if re.search(r"\d", lead) else None
        parts = line.parts if line and self.is_plain(text) else ()
        return bool(parts) and all(isinstance(p, Rows) and all(isinstance(s, Even) for s in p.steps) for p in parts)

    def is_worked(self, text: str, *, begun: bool) -> bool:
        """Whether a line tells of something that is worked, read or not; else it is prose.

        Where nothing has `begun`, words that only speak of rows or stitches tell what the pattern is about.
        """
        if (bare := BARE.match(text)) is not None:
            text = text[bare.end() :]
        elif LABEL.match(text):
            return True
        plain = wordings.OTHER_NUMBERS.sub("", text)
        read = read_in(plain, self.language).text
        short = wordings.SHORTHAND.search(read) is not None
        told = begins_with("command", read, "en")
        commanding = told or begins_with("command", text, self.language)
        aside = wordings.LAST.match(text) or notes_said(text.lower())
        if aside or ((wordings.MULTIPLE.search(text) or wordings.STATES.match(text)) and not commanding):
            return False
        if not begun and not commanding and (wordings.BALLS.search(text) or wordings.TENSION.match(text)):
            return False
        line = self.parsed(text)
        if line is None:
            return short or (commanding and wordings.SURELY.search(plain) is not None)
        if not line.parts:
            return False
        if any(
            isinstance(part, Rows) and isinstance(part.steps[0], Hold) and part.steps[0].keep for part in line.parts
        ):
            return self.is_plain(text)  # `The heel is worked back and forth over 28 sts`
        prose = begins_with("prose", text, self.language) and not told
        if prose and any(isinstance(part, Rows) and isinstance(part.steps[-1], BindOff) for part in line.parts):
            return self.is_plain(text)  # `Cut yarn and draw it through the remaining stitches`
        if prose and not short and not (wordings.VERB.search(read) and re.search(r"\d", plain)):
            return False
        measured = any(isinstance(part, Rows) and part.measured for part in line.parts)
        if not (short or commanding or measured or wordings.WEIGHTY.search(plain)):
            return False
        if not (short or commanding or measured or begun) and not re.search(r"\d", plain):
            return False  # `Toe-up socks with a short-row heel`: what it is about
        return short or commanding or self.unknown(text) < 0.34

    def parsed(self, text: str) -> Line | None:
        """A line as it is read; None where it cannot be."""
        try:
            return parse_line(read_in(text, self.language).text, len(self.names), self.colours, self.hook)
        except NotationError:
            return None

    def unknown(self, text: str) -> float:
        """The part of its words that mean nothing to the reader."""
        try:
            found = tokens(
                read_in(text, self.language).text, len(self.names), self.colours, "crochet" if self.hook else "knitting"
            )
        except SizesError:
            return 0.0
        words = [each for each in found if each.kind not in ("sep", "stop", "colon", "dash", "open", "close")]
        return sum(each.kind == "unknown" for each in words) / max(1, len(words))
