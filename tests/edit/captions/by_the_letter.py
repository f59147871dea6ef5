"""The standard's parsing algorithms for WebVTT taken down step by step, one sign after the other, with a position.

W3C WebVTT, “WebVTT file parser”, “WebVTT cue timings and settings parsing” (times only), “WebVTT cue text parsing
rules”; the steps from memory of the standard. It is slow and literal on purpose: the reader is held against it.
"""

from __future__ import annotations

from html.entities import html5

BLANK = "\t\n\f\r "
DIGITS = "0123456789"
Made = tuple[str, int, int, str, str]


class StopError(Exception):
    pass


def cues_of(text: str) -> tuple[list[Made], list[str], list[str]] | None:
    """Identifier, start, end, settings and text of each cue, the text of style sheets, and of regions' blocks."""
    return Letter(text).run()


class Letter:
    def __init__(self, text: str) -> None:
        text = text[1:] if text[:1] == "\ufeff" else text
        self.input = "".join("\ufffd" if sign == "\0" else sign for sign in text)
        self.input = self.input.replace("\r\n", "\n").replace("\r", "\n")
        self.position = 0
        self.seen_cue = False
        self.cues: list[Made] = []
        self.styles: list[str] = []
        self.regions: list[str] = []

    def past_end(self) -> bool:
        return self.position >= len(self.input)

    def line(self) -> str:
        start = self.position
        while not self.past_end() and self.input[self.position] != "\n":
            self.position += 1
        return self.input[start : self.position]

    def feeds(self) -> None:
        while not self.past_end() and self.input[self.position] == "\n":
            self.position += 1

    def run(self) -> tuple[list[Made], list[str], list[str]] | None:
        if len(self.input) < 6 or self.input[:6] != "WEBVTT":
            return None
        if len(self.input) > 6 and self.input[6] not in " \t\n":
            return None
        found = (self.cues, self.styles, self.regions)
        self.line()
        if self.past_end():
            return found
        self.position += 1
        if self.past_end():
            return found
        if self.input[self.position] != "\n":
            self.block(True)
        else:
            self.position += 1
        self.feeds()
        while not self.past_end():
            self.block(False)
            self.feeds()
        return found

    def block(self, in_header: bool) -> None:
        line_count, previous = 0, self.position
        buffer, seen_eof, seen_arrow = "", False, False
        cue: list[object] | None = None
        style = region = False
        while True:
            line = self.line()
            line_count += 1
            if self.past_end():
                seen_eof = True
            else:
                self.position += 1
            if "-->" in line:
                if not in_header and (line_count == 1 or (line_count == 2 and not seen_arrow)):
                    seen_arrow = True
                    previous = self.position
                    try:
                        start, end, settings = timings(line)
                    except StopError:
                        cue = None
                    else:
                        cue = [buffer, start, end, settings]
                        buffer, self.seen_cue = "", True
                else:
                    self.position = previous
                    break
            elif line == "":
                break
            else:
                if not in_header and line_count == 2:
                    if not self.seen_cue and buffer[:5] == "STYLE" and all(sign in BLANK for sign in buffer[5:]):
                        style, buffer = True, ""
                    elif not self.seen_cue and buffer[:6] == "REGION" and all(sign in BLANK for sign in buffer[6:]):
                        region, buffer = True, ""
                if buffer != "":
                    buffer += "\n"
                buffer += line
                previous = self.position
            if seen_eof:
                break
        if cue is not None:
            identifier, start_, end_, settings_ = cue
            assert isinstance(start_, int)
            assert isinstance(end_, int)
            self.cues.append((str(identifier), start_, end_, str(settings_), buffer))
        elif style:
            self.styles.append(buffer)
        elif region:
            self.regions.append(buffer)


def timings(line: str) -> tuple[int, int, str]:
    at = skip(line, 0)
    start, at = timestamp(line, at)
    at = skip(line, at)
    for sign in "-->":
        if at >= len(line) or line[at] != sign:
            raise StopError
        at += 1
    at = skip(line, at)
    end, at = timestamp(line, at)
    return start, end, line[at:]


def skip(line: str, at: int) -> int:
    while at < len(line) and line[at] in BLANK:
        at += 1
    return at


def digits(line: str, at: int) -> tuple[str, int]:
    start = at
    while at < len(line) and line[at] in DIGITS:
        at += 1
    return line[start:at], at


def timestamp(line: str, at: int) -> tuple[int, int]:
    """Milliseconds, and the position behind."""
    units = "minutes"
    if at >= len(line) or line[at] not in DIGITS:
        raise StopError
    text, at = digits(line, at)
    value1 = int(text)
    if len(text) != 2 or value1 > 59:
        units = "hours"
    at = expect(line, at, ":")
    text, at = digits(line, at)
    if len(text) != 2:
        raise StopError
    value2 = int(text)
    if units == "hours" or (at < len(line) and line[at] == ":"):
        at = expect(line, at, ":")
        text, at = digits(line, at)
        if len(text) != 2:
            raise StopError
        value3 = int(text)
    else:
        value3, value2, value1 = value2, value1, 0
    at = expect(line, at, ".")
    text, at = digits(line, at)
    if len(text) != 3:
        raise StopError
    if value2 > 59 or value3 > 59:
        raise StopError
    return value1 * 3_600_000 + value2 * 60_000 + value3 * 1000 + int(text), at


def expect(line: str, at: int, sign: str) -> int:
    if at >= len(line) or line[at] != sign:
        raise StopError
    return at + 1


Token = tuple[str, ...]


def tokens(text: str) -> list[Token]:
    """The cue text tokenizer: ("string", text), ("start", name, classes with dots between, annotation), ("end", name),
    ("time", text)."""
    found, at = [], 0
    while at < len(text):
        token, at = tag_at(text, at + 1) if text[at] == "<" else string_at(text, at)
        found.append(token)
    return found


def string_at(text: str, at: int) -> tuple[Token, int]:
    """The data state: up to the next tag or the end."""
    result = ""
    while at < len(text) and text[at] != "<":
        if text[at] == "&":
            more, at = reference(text, at)
            result += more
        else:
            result += text[at]
            at += 1
    return ("string", result), at


def tag_at(text: str, at: int) -> tuple[Token, int]:
    """All states of a tag, from the one behind its opening sign on."""
    state, result, buffer, classes = "tag", "", "", list[str]()
    while True:
        sign = text[at] if at < len(text) else ""
        if state == "tag":
            if sign != "" and sign in "\t\n\f ":
                state = "annotation"
            elif sign in (".", "/"):
                state = {".": "class", "/": "end"}[sign]
            elif sign != "" and sign in DIGITS:
                result, state = sign, "timestamp"
            elif sign in (">", ""):
                return ("start", "", "", ""), at + 1
            else:
                result, state = sign, "start"
        elif state == "start":
            if sign != "" and sign in "\t\f ":
                state = "annotation"
            elif sign == "\n":
                buffer, state = sign, "annotation"
            elif sign == ".":
                state = "class"
            elif sign in (">", ""):
                return ("start", result, "", ""), at + 1
            else:
                result += sign
        elif state == "class":
            if sign != "" and sign in "\t\f ":
                classes.append(buffer)
                buffer, state = "", "annotation"
            elif sign == "\n":
                classes.append(buffer)
                buffer, state = sign, "annotation"
            elif sign == ".":
                classes.append(buffer)
                buffer = ""
            elif sign in (">", ""):
                classes.append(buffer)
                return ("start", result, ".".join(filter(None, classes)), ""), at + 1
            else:
                buffer += sign
        elif state == "annotation":
            if sign == "&":
                more, at = reference(text, at)
                buffer += more
                continue
            if sign in (">", ""):
                words = buffer
                for blank in BLANK:
                    words = words.replace(blank, " ")
                note = " ".join(filter(None, words.split(" ")))
                return ("start", result, ".".join(filter(None, classes)), note), at + 1
            buffer += sign
        elif state in ("end", "timestamp"):
            if sign in (">", ""):
                return ("end" if state == "end" else "time", result), at + 1
            result += sign
        at += 1


def reference(text: str, at: int) -> tuple[str, int]:
    """Consume an HTML character reference; the ampersand where there is none."""
    if text[at + 1 : at + 2] == "#":
        here, base, allowed = at + 2, 10, DIGITS
        if text[here : here + 1] in ("x", "X"):
            here, base, allowed = here + 1, 16, DIGITS + "abcdefABCDEF"
        start = here
        while here < len(text) and text[here] in allowed:
            here += 1
        if here == start:
            return "&", at + 1
        number = int(text[start:here], base)
        here += text[here : here + 1] == ";"
        if number == 0 or number > 0x10FFFF or 0xD800 <= number <= 0xDFFF:
            return "\ufffd", here
        return {0x80: "€", 0x99: "™"}.get(number, chr(number)), here
    known = [name for name in html5 if text.startswith(name, at + 1)]
    if not known:
        return "&", at + 1
    best = max(known, key=len)
    return html5[best], at + 1 + len(best)


def tree(text: str) -> list[object]:
    """The cue text tree as nested lists: [name, classes, annotation, [children]]; times in milliseconds."""
    root: list[object] = []
    way: list[tuple[str, list[object]]] = [("", root)]
    for token in tokens(text):
        current, children = way[-1]
        if token[0] == "string":
            children.append(token[1])
        elif token[0] == "start":
            name = token[1]
            if name in ("c", "i", "b", "u", "ruby", "v", "lang") or (name == "rt" and current == "ruby"):
                inside: list[object] = []
                children.append([name, token[2], token[3], inside])
                way.append((name, inside))
        elif token[0] == "end":
            if token[1] in ("c", "i", "b", "u", "ruby", "rt", "v", "lang") and token[1] == current:
                way.pop()
            elif token[1] == "ruby" and current == "rt":
                way.pop()
                way.pop()
        else:
            try:
                time, at = timestamp(token[1], 0)
            except StopError:
                continue
            if at == len(token[1]):
                children.append(time)
    return root
