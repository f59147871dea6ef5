"""A written script taken in: headings become segments, paragraphs and directions in brackets become shots.

A paragraph is a shot. A direction that stands alone begins one, and the words below it are said in it; a direction
inside a paragraph is done while its words are said. Nothing is cut: what has no place stands as a remark.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from lessonplan.beginning.written.given import Episode, Given, Shown, Taken, quoted, remark
from lessonplan.beginning.written.works import BRACES

_EPISODE = re.compile(
    r"^(?:episode|part|lesson|video)\s+(?:\d+|one|two|three|four|five|six)\b\W*(?P<title>.*)$", re.IGNORECASE
)
_SEGMENT = re.compile(r"^(?:(?:segment|scene|section)\s+\d+\b[\W_]*|\d+\.\d+\.?\s+)(?P<title>\S.*)$", re.IGNORECASE)
"""A heading that is numbered as one: "1.2 The ring"."""
_LABEL = re.compile(r"^(?P<label>[A-Z][\w.'’-]*(?:(?: [\w.'’-]+){1,2}(?=\s*:\s+[^\sa-z]))?)\s*:\s+(?=\S)")
"""Who speaks, or what is seen; words before a colon after which the sentence goes on are none."""
_OWN_LINE = re.compile(
    r"(?:video|visuals?|picture|shot|action|camera|view|hands|audio|says?|voice ?over|host)\s*:|[“\"]", re.IGNORECASE
)
"""A line that never goes on with the one above it."""
_PICTURE = re.compile(r"^(?:video|visuals?|picture|shot|action|camera|view|b-roll|hands)$", re.IGNORECASE)
_SCREEN = re.compile(
    r"^(?:on[- ]screen(?: text)?|text(?: on screen)?|screen|caption|super|title card)\s*[:–-]\s*", re.IGNORECASE
)
_BRACKET = re.compile(r"\[([^\[\]]*)\]")
_LENGTH = re.compile(r"\b(\d+(?:\.\d+)?)\s*(s|secs?|seconds?|min|mins?|minutes?)\b", re.IGNORECASE)
_CLOCK = r"(?:(\d{1,2}):)?(\d{1,2}):(\d{2})"
_SPAN = re.compile(rf"[(\[]?\b{_CLOCK}\s*(?:-|–|—|to)\s*{_CLOCK}\b[)\]]?")
_FACE = re.compile(
    r"\b(?:to|at|into) (?:the )?camera\b|\bface\b|\blooks? (?:up|at us)\b|\bgreets?\b|\bwaves\b|\bsmiles?\b",
    re.IGNORECASE,
)
_CLOSE = re.compile(r"\bclose(?:[- ]?up)?\b|\bclose on\b|\bmacro\b|\bdetail\b", re.IGNORECASE)
_SHOWN = re.compile(r"\b(?:show\w*|holds?|holding|lays?|lies|points?|finger|display\w*|compares?|picture of)\b", re.I)
_DOING = re.compile(
    r"(?<!the )(?<!her )(?<!his )\b(?:knitt|purl|work|cast|crochet|decreas|increas|pick|sew|slipp?|bind|weav|graft|"
    r"turn|plac|join|go|divid|slid|put)ing\b",
    re.IGNORECASE,
)
"""What is being done, so that the piece lies there as it is before: "shows picking up three"."""
_BEGUN = re.compile(r"\b(?:begins?|beginning|starts?|starting|first|casts? on|before)\b", re.IGNORECASE)
_ENDED = re.compile(r"\b(?:finished|complete\w*|done|end of|whole|final)\b", re.IGNORECASE)
_HALF = re.compile(r"\bhalf(?:[- ]?way)?\b(?! (?:a|the|an|of) )", re.IGNORECASE)
_PIECE = re.compile(r"\b(?:piece|sample|swatch|knitting|work|it)\b", re.IGNORECASE)
_WORKED = re.compile(
    r"\b(?:knit|purl|work|cast|crochet|decreas|increas|pick|sew|slip|rib|bind|weav|graft|wash|block|turn|plac|join)\w*",
    re.I,
)
_SEEN = re.compile("|".join(one.pattern for one in (_SHOWN, _ENDED, _WORKED)), re.IGNORECASE)
_VIEW = re.compile(r"^(?:overhead|close[- ]?up|close on the hands|face|wide|top view)\s*[:,–-]\s*", re.IGNORECASE)
_IDLE = frozenset(
    re.findall(r"\w+", "the and with for how her his from into this that over back shows show shape work finish")
)
_EMPHASIS = re.compile(r"^(\*{1,3}|_{1,3})([^*_]+)\1$")
"""A paragraph that is stressed as a whole, in Markdown."""
_WORD = re.compile(r"[^\W_]")
GUESSED = "10 s"
"""How long hands are busy where a direction does not say it; a guess, and said to be one."""


class NoScriptError(ValueError):
    """A file in which nothing is said or done; one sentence."""


@dataclass(frozen=True, slots=True)
class Script:
    """A script taken in: its episodes, and what each of its paragraphs was taken for."""

    episodes: tuple[Episode, ...]
    taken: tuple[Taken, ...]


@dataclass(slots=True)
class _Block:
    """A paragraph or heading: its first line, its text; ``level`` of a heading, 0: none; ``direction``: of a table."""

    line: int
    text: str
    level: int = 0
    direction: str = ""


@dataclass(slots=True)
class _Shot:
    says: list[str] = field(default_factory=list)
    directions: list[str] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)
    seconds: float = 0.0
    line: int = 0


@dataclass(slots=True)
class _Segment:
    title: str
    remarks: list[str] = field(default_factory=list)
    shots: list[_Shot] = field(default_factory=list)


@dataclass(slots=True)
class _Part:
    """An episode being read."""

    title: str
    segments: list[_Segment] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)


def read_script(given: Given, stages: Sequence[Shown]) -> Script:
    """Take in a script, its pieces told by the stages of the course's pattern. Raises `NoScriptError`."""
    reader = _Reader(stages)
    blocks = list(_blocks(given.text))
    levels = sorted({block.level for block in blocks if block.level})
    named = any(block.level and _EPISODE.match(block.text) for block in blocks)
    tops = [block for block in blocks if block.level == levels[0]] if levels else []
    for block in blocks:
        above = _EPISODE.match(block.text) if named else len(levels) > 1 and block.level == levels[0]
        if block.level and above:
            reader.episode(block, alone=len(tops) == 1 and not named)
        elif block.level:
            reader.segment(block)
        else:
            reader.paragraph(block)
    episodes = tuple(reader.written())
    if not episodes:
        raise NoScriptError(f"{given.file}: no words are said and nothing is done in it, so it is no script.")
    return Script(episodes, tuple(reader.taken))


def _blocks(text: str) -> Iterator[_Block]:
    """The headings and paragraphs of a text."""
    lines = text.replace("\t", " ").split("\n")
    held: list[str] = []
    first = 0
    for number, raw in enumerate([*lines, ""], 1):
        line = raw.strip()
        under = lines[number].strip() if number < len(lines) else ""
        row = re.fullmatch(r"\|\s*([^|]*?)\s*\|\s*([^|]*?)\s*\|", line)
        level = _level(line, under, alone=not held and (not under or _heads(line, under)))
        own = row or re.match(r"[-*+•]\s|\[|\d+[.)]\s", line) or _OWN_LINE.match(line) or _rule(line)
        if (not line or level or own) and held:
            yield _Block(first, " ".join(held))
            held = []
        if level:
            yield _Block(number, re.sub(r"^#+\s*|\s#+$|^\*\*|\*\*:?$|:$", "", line).strip(), level)
        elif row and not re.fullmatch(r"[\s|:-]*", line):
            yield _Block(number, row[2], direction=row[1])
        elif line and not row and not _rule(line):
            first = first if held else number
            held.append(re.sub(r"^[-*+•>]\s+", "", line))
            if re.fullmatch(r"\[[^\[\]]*\]", line) and len(held) == 1:
                yield _Block(first, held.pop())


def _heads(line: str, under: str) -> bool:
    """Whether a first line is the heading of the paragraph below it: a few words, and a far longer line that begins."""
    return len(line.split()) < 5 and re.match(r"[A-Z\[(“\"]", under) is not None and len(under) > 2 * len(line)


def _rule(line: str) -> bool:
    return re.fullmatch(r"(?:[-_=~*]\s*){3,}", line) is not None


def _level(line: str, under: str, *, alone: bool) -> int:
    """The level of a heading, 0 for other lines: by marks, or a short line that stands alone and ends no sentence."""
    if mark := re.match(r"(#{1,6})\s+\S", line):
        return len(mark[1])
    if line and re.fullmatch(r"=+|-{3,}", under) and len(under) > 2 and len(line) < 80:
        return 1 if under[0] == "=" else 2
    if re.fullmatch(r"\*\*[^*]{1,60}\*\*:?", line):
        return 3
    numbered = _EPISODE.match(line) or _SEGMENT.match(line)
    if numbered and len(line) < 90 and line[-1] not in ".,;…":
        return 3
    labelled = (label := _LABEL.match(line)) and label.end() < len(line)
    if labelled or _BRACKET.search(line) or not _WORD.search(line):
        return 0
    short = (
        line and len(line.split()) < 8 and len(line) < 60 and line[-1] not in ".!?,;…”\"'" and line[0] not in "[(|-*+•>"
    )
    return 3 if short and (alone or (line.isupper() and len(line) > 3)) else 0


def _seconds(text: str) -> float:
    """How long a text says that something takes; 0 where it does not."""
    if span := _SPAN.search(text):
        hours = [int(one or 0) for one in span.groups()]
        return float(max(0, (hours[3] * 60 + hours[4]) * 60 + hours[5] - (hours[0] * 60 + hours[1]) * 60 - hours[2]))
    lengths = _LENGTH.findall(text)
    return sum(float(number) * (60 if unit.lower().startswith("m") else 1) for number, unit in lengths[:1])


class _Reader:
    """Puts one block after another into episodes."""

    def __init__(self, stages: Sequence[Shown]) -> None:
        self.stages = stages
        self.taken: list[Taken] = []
        self.parts: list[_Part] = []
        self.open: _Shot | None = None

    def _note(self, block: _Block, kind: str, left: str = "", text: str = "") -> None:
        where = f"episodes/{max(1, len(self.parts)):02}.yaml"
        self.taken.append(Taken(line=block.line, text=text or block.text, kind=kind, stands=where, left=left))

    def episode(self, block: _Block, *, alone: bool) -> None:
        """Begin an episode."""
        named = _EPISODE.match(block.text)
        title = (named["title"].strip() if named else block.text) or block.text
        self.parts.append(_Part(title, remarks=[block.text] if title != block.text else []))
        self.open = None
        self._note(block, "title" if alone else "episode")

    def segment(self, block: _Block) -> None:
        """Begin a segment."""
        if not self.parts:
            self.parts.append(_Part(""))
        text = numbered["title"] if (numbered := _SEGMENT.match(block.text)) else block.text
        title = re.sub(r"\s*[(\[]\s*[)\]]", "", _SPAN.sub("", text)).strip(" -–—:")
        title = re.sub(r"\s*[(\[][^()\[\]]*\d\s*(?:s|secs?|min|mins|minutes|seconds)[)\]]", "", title) or text
        title = "Segment" if BRACES.search(title) else title
        self.parts[-1].segments.append(_Segment(title, [block.text] if title != block.text else []))
        self.open = None
        self._note(block, "segment", "its time stands as a remark" if title != text else "")

    def paragraph(self, block: _Block) -> None:
        """Take a paragraph as a shot, or as the words of the shot that a direction above it began."""
        if not self.parts:
            self.parts.append(_Part(""))
        part = self.parts[-1]
        if not part.segments:
            part.segments.append(_Segment(part.title or "Welcome"))
        text, directions, remarks = block.text, [], []
        if block.direction:
            if re.fullmatch(r"(?:video|picture|visuals?|action|hands)", block.direction, re.IGNORECASE):
                part.segments[-1].remarks.append(f"{block.direction} | {text}")
                self._note(block, "heads of a table", text=f"{block.direction} | {text}")
                return
            directions.append(block.direction)
        seconds = 0.0
        for span in _SPAN.finditer(text):
            seconds = seconds or _seconds(span[0])
            remarks.append(f"{span[0].strip()} in the script")
        text = _SPAN.sub(" ", text)
        if label := _LABEL.match(text.strip()):
            screen = _SCREEN.match(f"{label['label']}: ")
            remarks += [] if screen else [label["label"]]
            text = text.strip()[label.end() :]
            if _PICTURE.match(label["label"]):
                text = f"[{text}]"
            elif screen:
                text = f"[{label['label']}: {text}]"
        directions += [one.strip() for one in _BRACKET.findall(text) if one.strip()]
        if whole := re.fullmatch(r"\s*\(([^()]*)\)\s*", text):
            directions.append(whole[1].strip())
            text = ""
        words = _EMPHASIS.sub(r"\2", " ".join(_BRACKET.sub(" ", text).split()))
        words = re.sub(r"\s+([,.;:!?])", r"\1", words)
        words = words[1:-1] if re.fullmatch(r"“[^“”]*”|\"[^\"]*\"", words) else words
        if words and not _WORD.search(words):
            if not directions:  # a mark or an ornament: nobody says it, and it is no shot
                part.segments[-1].remarks += [*remarks, words]
                self._note(block, "not placed")
                return
            words, remarks = "", [*remarks, words]
        shot = self.open if self.open and words and not self.open.says and not directions else None
        if shot is None and not words and directions and all(map(_SCREEN.match, directions)):
            shot = part.segments[-1].shots[-1] if part.segments[-1].shots else None
        if shot is None:
            shot = _Shot(line=block.line)
            part.segments[-1].shots.append(shot)
        shot.directions += directions
        shot.remarks += remarks
        shot.seconds, shot.says = shot.seconds or seconds, shot.says + ([words] if words else [])
        self.open = shot if not words else None
        self._note(block, *self._kind(block, words, directions))

    def _kind(self, block: _Block, words: str, directions: Sequence[str]) -> tuple[str, str]:
        """What a paragraph was taken for, and what is left to do."""
        kinds, left, heading = (["words said"] if words else []), [], self.parts[-1].segments[-1].title
        for one in directions:
            if _SCREEN.match(one):
                kinds.append("text on screen")
                continue
            kinds.append("what the hands do")
            piece, ask = self.piece(one, heading)
            kinds += ["a piece shown"] if piece else []
            left += ["say which piece is shown"] if ask else []
            left += [] if _seconds(one) else ["say how long it takes"]
        return ", ".join(dict.fromkeys(kinds)) or "not placed", "; ".join(dict.fromkeys(left))

    # pieces
    def piece(self, direction: str, heading: str) -> tuple[str, bool]:
        """How far the piece is that a direction shows, as a shot says it, and whether that must be asked."""
        action = re.match(r"\w+ing\b", heading)
        stage = (_DOING.search(direction) and action and self._stage(action[0])) or self._stage(direction)
        if stage is None and (_PIECE.search(direction) or _WORKED.search(direction)) and not _ENDED.search(direction):
            stage = self._stage(heading)
        if stage is None:
            if self.stages and _ENDED.search(direction):
                return "needs: finished", False
            return "", not _FACE.search(direction) and bool(_SEEN.search(direction))
        if _HALF.search(direction):
            return (f"needs: {stage.key} round {stage.rounds // 2}", False) if stage.rounds > 1 else ("", True)
        if _ENDED.search(direction):
            return f"needs: {stage.key}", False
        if _SHOWN.search(direction) and not (_BEGUN.search(direction) or _DOING.search(direction)):
            return f"shows: {stage.key} or later", False
        return f"needs: {stage.begins}", False

    def _stage(self, text: str) -> Shown | None:
        """The stage that a text names by most words of its title."""
        said = {_stem(word) for word in re.findall(r"[^\W\d_]+", text.lower())}
        best, most = None, 0.0
        for stage in self.stages:
            title = re.findall(r"[^\W\d_]+", f"{stage.title} {stage.key}".lower())
            words = {_stem(word) for word in title if len(word) > 2} - _IDLE
            share = len(words & said) / len(words) if words else 0.0
            if share > most:
                best, most = stage, share
        return best

    # the files
    def written(self) -> list[Episode]:
        """The episodes, each segment as the lines of its entry; headings without anything below them as remarks."""
        found: list[Episode] = []
        waiting: list[str] = []
        for number, part in enumerate(self.parts, 1):
            segments: list[str] = []
            waiting += part.remarks
            for segment in part.segments:
                if not segment.shots:
                    waiting += [segment.title, *segment.remarks]
                    continue
                lines = [f"  # {remark(text)}" for text in (*waiting, *segment.remarks)]
                waiting = []
                lines += [f"  - title: {quoted(segment.title)}", "    shots:"]
                for shot in segment.shots:
                    lines += self._shot(shot, segment.title)
                segments.append("\n".join(lines))
            if segments:
                plain = part.title and not BRACES.search(part.title)
                found.append(Episode(part.title if plain else f"Episode {number}", tuple(segments)))
            if part.title and not (segments and plain):
                waiting.append(part.title)
        if waiting and found:
            last = found[-1].segments[-1] + "".join(f"\n  # {remark(text)}" for text in waiting)
            found[-1] = Episode(found[-1].title, (*found[-1].segments[:-1], last))
        return found

    def _shot(self, shot: _Shot, heading: str) -> Iterator[str]:
        """The lines of a shot."""
        every = " ".join(shot.directions)
        view = "face" if _FACE.search(every) or not shot.directions else "overhead"
        view = "close on the hands" if _CLOSE.search(every) else view
        yield from (f"      # {remark(text)}" for text in shot.remarks)
        yield f"      - view: {view}"
        named = [
            re.sub(rf"(?:\b(?:ca|about|approx)\.?\s+)?{_LENGTH.pattern}", "", _VIEW.sub("", one), flags=re.I)
            for one in shot.directions
            if not _SCREEN.match(one)
        ]
        title = " ".join((named or shot.says or [heading])[0].split()[:7]).strip(" ,;:.")
        yield f"        title: {quoted(heading if BRACES.search(title) or not title else title[0].upper() + title[1:])}"
        pieces, hands, screen = [], [], []
        for one in shot.directions:
            if said := _SCREEN.match(one):
                screen.append(one[said.end() :].strip(" “”\"'") or one)
                yield f"        # {remark(one)}"
                continue
            piece, ask = self.piece(one, heading)
            pieces += [piece] if piece and piece not in pieces else []
            if ask:
                yield f"        # which piece is it? Type “pieces:” and “- needs: finished” (or how far): {remark(one)}"
            hands.append((one, _seconds(one) or (shot.seconds if not shot.says else 0.0)))
        if pieces:
            yield from ("        pieces:", *(f"          - {piece}" for piece in pieces))
        told = [one for one, _ in hands if BRACES.search(one)] + [text for text in shot.says if BRACES.search(text)]
        yield from (f"        # {remark(text)}" for text in told)
        safe = [(one, seconds) for one, seconds in hands if not BRACES.search(one)]
        if safe:
            yield "        hands:"
        for one, seconds in safe:
            yield f"          - do: {quoted(one)}"
            yield f"            time: {seconds:g} s" if seconds else f"            time: {GUESSED}   # a guess"
        if says := [text for text in shot.says if not BRACES.search(text)]:
            yield from ("        say: |", *(f"          {text}" for text in says))
        if shown := [text for text in screen if not BRACES.search(text)]:
            yield from ("        on_screen:", *(f"          - {quoted(text)}" for text in shown))


def _stem(word: str) -> str:
    """A word without the endings that English puts to it, roughly."""
    return re.sub(r"(?:ings?|e?s|ed|e)$", "", word) if len(word) > 4 else word.rstrip("s")
