"""A written script taken in: headings become segments, paragraphs and directions in brackets become shots.

A paragraph is a shot. A direction that stands alone begins one, and the words below it are said in it; a direction
inside a paragraph is done while its words are said. Nothing is cut: what has no place stands as a remark.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from lessonplan.beginning.told.blocks import BRACKET, EPISODE, LABEL, SEGMENT, WORD, Block, read_blocks, short_title
from lessonplan.beginning.told.pieces import told_in_words
from lessonplan.beginning.written.given import Episode, Given, Shown, Taken, quoted, remark
from lessonplan.beginning.written.works import BRACES
from lessonplan.course.words import capital

_PICTURE = re.compile(r"^(?:video|visuals?|picture|shot|action|camera|view|b-roll|hands)$", re.IGNORECASE)
_SCREEN = re.compile(
    r"^(?:on[- ]screen(?: text)?|text(?: on screen)?|screen|caption|super|title card)\s*[:–-]\s*", re.IGNORECASE
)
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
_ONLY_VIEW = re.compile(
    r"(?:(?:shot |seen |filmed )?from )?"
    r"(?:overhead|above|top view|wide|close[- ]?up|close|face|(?:to|at) (?:the )?camera)"
    r"(?: (?:on|of) (?:the |her |his |my )?(?:hands?|needles?|hook|yarn|stitches|work|face|table))?(?: shot| view)?\W*",
    re.IGNORECASE,
)
"""A direction that says where the camera looks, and nothing that is done."""
_IDLE = frozenset(
    re.findall(r"\w+", "the and with for how her his from into this that over back shows show shape work finish")
)
_EMPHASIS = re.compile(r"^(\*{1,3}|_{1,3})([^*_]+)\1$")
"""A paragraph that is stressed as a whole, in Markdown."""
GUESSED = "10 s"
"""How long hands are busy where a direction does not say it; a guess, and said to be one."""


SHORT = 130
"""A part with fewer words takes less than a minute: a segment, not an episode; a guess."""


class NoScriptError(ValueError):
    """A file in which nothing is said or done; one sentence."""


@dataclass(frozen=True, slots=True)
class Script:
    """A script taken in: its episodes, and what each of its paragraphs was taken for."""

    episodes: tuple[Episode, ...]
    taken: tuple[Taken, ...]


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
    blocks = list(read_blocks(given.text))
    levels = sorted({block.level for block in blocks if block.level})
    named = any(map(_names, blocks))
    short = _are_segments(blocks)
    tops = [block for block in blocks if block.level == levels[0]] if levels else []
    for block in blocks:
        above = _names(block) if named else len(levels) > 1 and block.level == levels[0]
        if above and not short:
            reader.episode(block, alone=len(tops) == 1 and not named)
        elif block.level and short and not reader.parts:
            reader.episode(block, alone=True)
        elif named and not short and not reader.parts:
            reader.before(block)
        elif block.level:
            reader.segment(block)
        else:
            reader.paragraph(block)
    episodes = tuple(reader.written())
    if not episodes:
        raise NoScriptError(f"{given.file}: no words are said and nothing is done in it, so it is no script.")
    return Script(episodes, tuple(reader.taken()))


def _names(block: Block) -> bool:
    """Whether a heading names an episode."""
    return bool(block.level and EPISODE.match(block.text))


def _are_segments(blocks: Sequence[Block]) -> bool:
    """Whether "Part 1" and its kin are the segments of one episode: below a title, without headings, and short."""
    first = next((place for place, block in enumerate(blocks) if _names(block)), 0)
    heads = [block for block in blocks[first:] if block.level]
    words = sum(len(block.text.split()) for block in blocks[first:] if not block.level)
    parts = all(_names(block) and block.text.lower().startswith("part") for block in heads)
    return bool(first and blocks[0].level and parts and words < SHORT * len(heads))


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
        self.notes: list[tuple[int, Taken]] = []
        self.over: list[str] = []
        self.files: dict[int, int] = {}
        self.parts: list[_Part] = []
        self.open: _Shot | None = None

    def _note(self, block: Block, kind: str, left: str = "", text: str = "") -> None:
        taken = Taken(line=block.line, text=text or block.text, kind=kind, stands="", left=left)
        self.notes.append((max(1, len(self.parts)), taken))

    def taken(self) -> Iterator[Taken]:
        """What each paragraph was taken for, with the file in which it is written."""
        last = max(self.files.values(), default=1)
        for part, one in self.notes:
            yield replace(one, stands=f"episodes/{self.files.get(part, last):02}.yaml")

    def before(self, block: Block) -> None:
        """Keep what stands above the first episode that is named: a title, or what is said of the whole."""
        self.over.append(f"{block.direction} | {block.text}" if block.direction else block.text)
        left = "" if block.level else "if you say it, type it below “say:” of its shot"
        self._note(block, "title" if block.level else "remark", left)

    def episode(self, block: Block, *, alone: bool) -> None:
        """Begin an episode."""
        named = EPISODE.match(block.text)
        title = (named["title"].strip() if named else block.text) or block.text
        self.parts.append(_Part(title, remarks=[block.text] if title != block.text else []))
        self.open = None
        self._note(block, "title" if alone else "episode")

    def segment(self, block: Block) -> None:
        """Begin a segment."""
        if not self.parts:
            self.parts.append(_Part(""))
        numbered = SEGMENT.match(block.text) or EPISODE.match(block.text)
        text = numbered["title"] if numbered and numbered["title"] else re.sub(r"^\d+[.)]\s+", "", block.text)
        title = re.sub(r"\s*[(\[]\s*[)\]]", "", _SPAN.sub("", text)).strip(" -–—:")
        title = re.sub(r"\s*[(\[][^()\[\]]*\d\s*(?:s|secs?|min|mins|minutes|seconds)[)\]]", "", title) or text
        title = "Segment" if BRACES.search(title) else title
        self.parts[-1].segments.append(_Segment(title, [block.text] if title != block.text else []))
        self.open = None
        self._note(block, "segment", "its time stands as a remark" if title != text else "")

    def paragraph(self, block: Block) -> None:
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
        if label := LABEL.match(text.strip()):
            screen = _SCREEN.match(f"{label['label']}: ")
            remarks += [] if screen else [label["label"]]
            text = text.strip()[label.end() :]
            if _PICTURE.match(label["label"]):
                text = f"[{text}]"
            elif screen:
                text = f"[{label['label']}: {text}]"
        directions += [one.strip() for one in BRACKET.findall(text) if one.strip()]
        if whole := re.fullmatch(r"\s*\(([^()]*)\)\s*", text):
            directions.append(whole[1].strip())
            text = ""
        words = _EMPHASIS.sub(r"\2", " ".join(BRACKET.sub(" ", text).split()))
        words = re.sub(r"\s+([,.;:!?])", r"\1", words)
        words = words[1:-1] if re.fullmatch(r"“[^“”]*”|\"[^\"]*\"", words) else words
        if words and not WORD.search(words):
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

    def _kind(self, block: Block, words: str, directions: Sequence[str]) -> tuple[str, str]:
        """What a paragraph was taken for, and what is left to do."""
        kinds, left, heading = (["words said"] if words else []), [], self.parts[-1].segments[-1].title
        for one in directions:
            if _SCREEN.match(one) or _ONLY_VIEW.fullmatch(one):
                kinds.append("text on screen" if _SCREEN.match(one) else "where the camera looks")
                continue
            kinds.append("what the hands do")
            piece, ask = self.piece(one, heading)
            kinds += ["a piece shown"] if piece else []
            left += [ask] if ask else []
            left += [] if _seconds(one) else ["say how long it takes"]
        return ", ".join(dict.fromkeys(kinds)) or "not placed", "; ".join(dict.fromkeys(left))

    # pieces
    def piece(self, direction: str, heading: str) -> tuple[str, str]:
        """How far the piece is that a direction shows, as a shot says it, and what is to be looked at or said."""
        if told := told_in_words(direction, self._stage(direction) or self._stage(heading), self.stages):
            return told
        which = "say which piece is shown"
        action = re.match(r"\w+ing\b", heading)
        stage = (_DOING.search(direction) and action and self._stage(action[0])) or self._stage(direction)
        if stage is None and (_PIECE.search(direction) or _WORKED.search(direction)) and not _ENDED.search(direction):
            stage = self._stage(heading)
        if stage is None:
            if self.stages and _ENDED.search(direction):
                return "needs: finished", ""
            return "", which if not _FACE.search(direction) and _SEEN.search(direction) else ""
        if _HALF.search(direction):
            return (f"needs: {stage.key} round {stage.rounds // 2}", "") if stage.rounds > 1 else ("", which)
        if _ENDED.search(direction):
            return f"needs: {stage.key}", ""
        if _SHOWN.search(direction) and not (_BEGUN.search(direction) or _DOING.search(direction)):
            return f"shows: {stage.key} or later", ""
        return f"needs: {stage.begins}", ""

    def _stage(self, text: str, least: float = 0) -> Shown | None:
        """The stage that a text names by most words of its title, and by that part of them at least."""
        said = {_stem(word) for word in re.findall(r"[^\W\d_]+", text.lower())}
        best, most = None, 0.0
        for stage in self.stages:
            title = re.findall(r"[^\W\d_]+", f"{stage.title} {stage.key}".lower())
            words = {_stem(word) for word in title if len(word) > 2} - _IDLE
            share = len(words & said) / len(words) if words else 0.0
            if share > most and share >= least:
                best, most = stage, share
        return best

    # the files
    def written(self) -> list[Episode]:
        """The episodes, each segment as the lines of its entry; headings without anything below them as remarks."""
        found: list[Episode] = []
        waiting = list(self.over)
        for number, part in enumerate(self.parts, 1):
            segments: list[str] = []
            waiting += part.remarks
            for segment in part.segments:
                if not segment.shots:
                    waiting += [segment.title, *segment.remarks]
                    continue
                lines = [f"  # {remark(text)}" for text in (*waiting, *segment.remarks)]
                waiting = []
                lines.append(f"  - title: {quoted(segment.title)}")
                told = self._stage(segment.title, least=1)
                lines += [*([f"    stage: {told.key}"] if told else []), "    shots:"]
                for shot in segment.shots:
                    lines += self._shot(shot, segment.title)
                segments.append("\n".join(lines))
            self.files[number] = len(found) + 1
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
            if not _SCREEN.match(one) and not _ONLY_VIEW.fullmatch(one)
        ]
        title = short_title((named or shot.says or [heading])[0])
        yield f"        title: {quoted(heading if BRACES.search(title) or not title else capital(title))}"
        pieces, hands, screen = [], [], []
        for one in shot.directions:
            if said := _SCREEN.match(one):
                screen.append(one[said.end() :].strip(" “”\"'") or one)
                yield f"        # {remark(one)}"
                continue
            if _ONLY_VIEW.fullmatch(one):
                continue
            piece, ask = self.piece(one, heading)
            pieces += [piece] if piece and piece not in pieces else []
            if ask and piece:
                yield f"        # TO DO: {ask}: {remark(one)}"
            elif ask:
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
