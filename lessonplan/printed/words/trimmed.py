"""Words that change nothing where they stand, taken out of a line of knitting before it is read.

Brackets that only tell (`(sleeve)`, `(the marker sits between them)`), a word between a number and its stitches (`8 new
sts`), asterisks in pairs that only mark a passage for later (`FRONT **With 4 mm needles ... row.**`).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from lessonplan.printed.words.tokens import Token

_FABRICS = frozenset({"moss", "seed", "garter"})


def as_order(token: Token, run: Sequence[Token], here: int, text: str) -> Token:
    """Give a token at a place of a run with its kind as an order, or as it is."""
    following = [each.kind for each in run[here + 1 : here + 4]]
    word = text[token.at : token.end].lower()
    if token.kind == "remark" and token.value in _FABRICS and _begins(run, here) and following[:1] in (["num"], ["to"]):
        return replace(token, kind="even", value="")  # `moss 4, k to last 4 sts, moss 4`
    if token.value == "do" and following[:1] == ["row"]:
        return replace(token, kind="rep", value="")  # `do Row 2 until there are 44 sts`
    if token.kind == "other" and word == "alternate" and following in (["row", "num", "sep"], ["row", "num", "dash"]):
        return replace(token, kind="rep", value="")  # `alternate Rnds 1 and 2 until ...`
    but = token.kind in ("unknown", "remark") and word in ("but", "except")
    if but and following[:1] == ["last"] and _all_worked(run, here):
        return replace(token, kind="to", value="")  # `k all sts except the last 2`
    return token


def _begins(run: Sequence[Token], here: int) -> bool:
    return not here or run[here - 1].kind in ("sep", "stop", "colon", "dash", "star", "open")


def _all_worked(run: Sequence[Token], here: int) -> bool:
    """Whether all stitches are worked, bound off or put aside before a word: `bind off all but last st`."""
    every = here - 1 - (run[here - 1].kind == "st")
    verb = run[every - 1]
    done = verb.kind in ("put", "work", "bo") or verb.value in ("sl", "k", "p", "")
    return every > 0 and run[every].kind == "all" and done


_TELLING = frozenset({
    "remark", "unknown", "seam", "hand", "at", "on", "for", "from", "in", "between", "centre", "sep", "stop", "dash",
    "marker", "needle", "holder", "group", "as", "have", "st", "space", "colon", "next", "last", "other",
})  # fmt: skip
"""Kinds of words that a bracket has in it which only tells something."""
_TURNING = frozenset({"or", "optional", "if", "not", "but", "half"})


def english(word: str) -> bool:
    """Whether an unknown word may be one of plain English, and no slip of a stitch."""
    return len(word) > 2 and word.isalpha() and not set(word).isdisjoint("aeiouy")


def trimmed(run: Sequence[Token], text: str) -> tuple[Token, ...]:
    """The words of a line without those that change nothing where they stand."""
    kept: list[Token] = []
    doubles = _doubled(run)
    here = 0
    while here < len(run):
        token = run[here]
        if token.kind == "open" and here and (close := _told(run, here, text)):
            here = close + 1
            continue
        if token.kind in _NOUNS and kept and kept[-1].value in ("k", "p") and (after := _whose(run, here)):
            here = after
            continue
        if here in doubles:
            here += 2
            continue
        if token.kind == "meanwhile" and here + 1 < len(run) and _kept(run[here + 1]):
            here += 1
            continue
        if end := _method(run, here):
            here = end
            continue
        if told := _change(run, here):
            kept += told[0]
            here = told[1]
            continue
        if token.kind in ("remark", "unknown") and _which_marker(run, here, text):
            here += 1
            continue
        if lifted := _with_its_wrap(run, here, text):
            kept += lifted[0]
            here = lifted[1]
            continue
        stressed = [each.kind for each in run[here : here + 3]] if token.kind == "star" else []
        if stressed[::2] == ["star", "star"] and stressed[1] in ("each", "all", "both", "next") and run[here + 1].tight:
            kept.append(run[here + 1])  # `*every* round`
            here += 3
            continue
        if token.value == "sl1yo" and "psso" in {each.value for each in run[here + 1 : here + 5]}:
            end = token.at + len("yo")
            if text[token.at : token.end].lower().startswith("yo "):  # of lace, not of brioche: `yo sl1, k2tog, psso`
                kept += [replace(token, value="yo", end=end), replace(token, value="sl", at=end + 1)]
                here += 1
                continue
        if token.kind == "unknown" and token.value == "cast" and (on := _cast_apart(run, here)):
            token = replace(token, kind="co" if run[on].kind == "on" else "bo")  # `cast 3 sts on`
            kept += [token, *run[here + 1 : on]]
            here = on + 1
            continue
        named = token.kind == "remark" and token.value.replace("-", " ").endswith(" cast on")
        if named and [each.kind for each in run[here + 1 : here + 2]] == ["num"]:
            token = replace(token, kind="co", value="")  # `Cable cast on 24 more`
        kept.append(token if token.kind == "co" else _meant(run, here, text))
        here += 1
    return tuple(kept)


def _change(run: Sequence[Token], here: int) -> tuple[list[Token], int] | None:
    """How many stitches a row adds or takes, told behind it, and the place behind that: `= 8 sts increased`.

    It is put in brackets, as most print has it; of a row told again behind it (`(= 8 sts inc) every 2nd row 5 times`)
    it is left out, since it is that of one row.
    """
    begin = here + (run[here].kind == "open")
    told = [token.kind for token in run[begin : begin + 3]]
    if told not in (["eq", "num", "inced"], ["eq", "num", "deced"]):
        return None
    end = begin + 3
    if begin > here:
        again = [token.kind for token in run[end : end + 2]] == ["close", "each"]
        return ([], end + 1) if again else None
    first, last = run[begin], run[end - 1]
    return [replace(first, kind="open"), *run[begin + 1 : end], replace(last, kind="close", at=last.end)], end


def _which_marker(run: Sequence[Token], here: int, text: str) -> bool:
    """Whether a word tells which markers are meant: `the 4 raglan markers`."""
    word = text[run[here].at : run[here].end].lower()
    before, after = (run[here - 1] if here else run[here]), run[here + 1 : here + 2]
    return (
        before.kind in ("num", "all", "each", "both") and [each.kind for each in after] == ["marker"] and english(word)
    )


def _kept(token: Token) -> bool:
    """Whether what goes on at the same time is only what stays as it is: `at the same time keeping patt correct`."""
    return token.kind == "even" or token.value == "keeping"


def _meant(run: Sequence[Token], here: int, text: str) -> Token:
    """A word by what it means where it stands."""
    token = run[here]
    if (
        token.kind == "needle"
        and token.at
        and text[token.at : token.end].lower() in ("pin", "pins")
        and _another(run, here, text)
    ):
        token = replace(token, kind="holder")
    if token.kind == "join" and (yarn := _yarn_joined(run, here, text)):
        token = replace(token, kind="remark", value="with" if run[yarn].kind == "colour" else "prose")
    if token.kind in ("bo", "co") and here and run[here - 1].kind == "remark" and _heads(run, here):
        token = replace(token, kind="remark")  # `I-cord cast-off: ...`
    if token.kind == "bo" and _purpose(run, here):
        token = replace(token, kind="remark")
    if token.kind == "rem" and _a_hand(run, here, text):
        token = replace(token, kind="hand")
    if token.kind == "unknown" and text[token.at : token.end] in _LETTERS and _coloured(run, here, text):
        token = replace(token, kind="colour", value=text[token.at : token.end])
    if token.kind == "unknown" and (_between(run, here, text) or token.value.endswith("wise")):
        token = replace(token, kind="remark")  # `Cast off ribwise`
    if token.value == "number" and here and run[here - 1].kind == "st":
        token = replace(token, kind="have", value="")  # `until sts number 84`
    if token.value == "number" and here + 1 < len(run) and run[here + 1].kind == "row":
        token = replace(token, kind="remark")  # `until same number of rows as back have been worked`
    if token.value == "turns" and _half(token, text):
        token = replace(token, kind="needle", value=HALF)
    return as_order(token, run, here, text)


HALF = "half"
"""Half of the stitches of a round, which is worked like one of two needles."""
_OF_HALF = re.compile(
    r"(?:\b(?:end|sts?|stitch(?:es)?)\.? of (?:the |each |this |first |second |1st |2nd |other )*"
    r"|\b(?:for|on|over|across) (?:the )?(?:second|other|2nd|next) )(half)\b"
)


def _half(token: Token, text: str) -> bool:
    """Whether a half is one of the round's: `to last 3 sts of half`, `rep from * over the other half`."""
    return any(match.start(1) == token.at for match in _OF_HALF.finditer(text.lower()))


_NOUNS = frozenset({"remark", "hand", "edge", "side"})


_YARNS = re.compile(r"\b(?:yarns?|wool|balls?|skeins?|colou?rs?|strands?|cotton)\b", re.IGNORECASE)


def _yarn_joined(run: Sequence[Token], here: int, text: str) -> int:
    """The place of the yarn that is joined, or 0 where the work is joined into a round: `Join B`, `join a new ball`."""
    for place in range(here + 1, min(here + 5, len(run))):
        token = run[place]
        word = text[token.at : token.end]
        if token.kind == "colour" or token.value == "hue" or _YARNS.search(word) or token.value in ("seam", "seams"):
            return place  # `join right shoulder seam` is sewn
        if token.kind not in ("remark", "unknown", "in", "ord", "next", "other", "more", "num", "hand", "seam"):
            return 0
    return 0


def _whose(run: Sequence[Token], here: int) -> int:
    """The place after `front sts` in `knit the front sts to marker`, or 0: how far is told behind it."""
    place = here
    while place < len(run) and run[place].kind in _NOUNS:
        place += 1
    kinds = [token.kind for token in run[place : place + 2]]
    return place + 1 if kinds == ["st", "to"] else 0


_EDGES = frozenset({"bo", "co", "bind3", "graft"})
_BY = frozenset({"using", "with", "by", "in", "via", "use"})
_NAMING = frozenset({"remark", "unknown", "picot", "even", "dash", "num", "needle", "hand"})


def _method(run: Sequence[Token], here: int) -> int:
    """The place behind the name of a method by which something is bound off or cast on, or 0: `using a sewn bind-off`.

    It names no second work: another word tells that it is done, and no number of stitches stands behind it.
    """
    by = run[here].kind == "remark" and run[here].value in _BY
    if not by and not (run[here].kind == "work" and here + 1 < len(run) and run[here + 1].kind in _NAMING):
        return 0
    end = next((at for at in range(here + 1, len(run)) if run[at].kind not in _NAMING), len(run))
    if end == len(run) or run[end].kind not in _EDGES or (end == here + 1 and run[end].kind != "bind3"):
        return 0
    if not by:
        return end if _ends(run, end + 1) else 0  # `work a picot bind-off`
    done = [at for at, token in enumerate(run) if token.kind in _EDGES and not here < at <= end]
    end += 1
    while end < len(run) and run[end].kind == "remark" and run[end].value in ("method", "technique", "edge"):
        end += 1
    return end if done and _ends(run, end) else 0


def _ends(run: Sequence[Token], here: int) -> bool:
    return here == len(run) or run[here].kind in ("stop", "sep", "close", "colon")


def _with_its_wrap(run: Sequence[Token], here: int, text: str) -> tuple[list[Token], int] | None:
    """A wrapped stitch worked together with its wrap, as one stitch, and the place behind it.

    `knit it together with its wrap, turn`: the wrap is none that is made before a turn.
    """
    token = run[here]
    if not (token.kind == "work" or (token.kind == "stitch" and token.value in ("k", "p"))):
        return None
    end, joined, wrap = here + 1, False, False
    while end < len(run):
        word = run[end]
        joined = joined or word.kind == "together" or word.value == "with"
        wrapped = word.kind == "wraps" or (word.kind == "gap" and word.value == "wrap")
        wrap = wrap or wrapped
        if joined and word.kind == "wt" and run[end - 1].value in ("its", "with"):
            middle = text.index(",", word.at, word.end) if "," in text[word.at : word.end] else word.at + len("wrap")
            turn = [replace(word, kind="sep", at=middle, end=middle + 1), replace(word, kind="turn", at=middle + 1)]
            return [replace(token, kind="stitch", value=_LIFTED[token.value]), *turn], end + 1
        if not (wrapped or word.kind in ("st", "together") or word.value in ("with", "its", "it", "this", "that")):
            break
        end += 1
    if not (joined and wrap):
        return None
    return [replace(token, kind="stitch", value=_LIFTED[token.value])], end


_LIFTED = {"k": "k wrap", "p": "p wrap", "": "k wrap"}


def _heads(run: Sequence[Token], here: int) -> bool:
    """Whether a word stands before a colon, in a heading of few words."""
    return here < 4 and here + 1 < len(run) and run[here + 1].kind == "colon"


def _purpose(run: Sequence[Token], here: int) -> bool:
    """Whether what is bound off for is told before a colon, and how behind it: `cast off for armholes: k45, ...`."""
    kinds = [token.kind for token in run[here + 1 : here + 6]]
    told = kinds.index("colon") if "colon" in kinds else 0
    return told > 1 and kinds[0] == "for" and {*kinds[1:told]} <= {"remark", "seam", "edge", "each", "hand"}


def _another(run: Sequence[Token], here: int, text: str) -> bool:
    """Whether a pin is told from others, so that it is no needle: `another pin`, `the first pin`, `on a pin`."""
    numbered = here + 1 < len(run) and run[here + 1].kind == "num"
    any_ = run[here - 1].kind in ("on", "to") and text[: run[here].at].lower().endswith(" a ")
    return here > 0 and (any_ or run[here - 1].kind in ("more", "ord", "next", "other")) and not numbered


def _cast_apart(run: Sequence[Token], here: int) -> int:
    """The place of the word `on` or `off` that belongs to `cast`, with only a number of stitches between; or 0."""
    for place in range(here + 1, min(here + 6, len(run))):
        if run[place].kind in ("on", "from"):
            return place
        if run[place].kind not in ("num", "st", "more", "next", "remark", "rem", "all"):
            return 0
    return 0


def _a_hand(run: Sequence[Token], here: int, text: str) -> bool:
    """Whether `left` tells a side, and not what remains: `the left sleeve`."""
    left = text[run[here].at : run[here].end].lower() == "left" and here + 1 < len(run)
    return (
        left
        and run[here + 1].kind in ("remark", "unknown", "seam", "edge")
        and (not here or run[here - 1].kind != "st")
    )


_RIB = frozenset({"stitch", "num", "end", "rem", "sep", "st", "row", "eq", "hand", "each", "both", "edge", "beg"})
"""Kinds of words that stand in a bracket behind a rib or a stitch pattern, which tells what it is."""


def _told(run: Sequence[Token], here: int, text: str) -> int:
    """The place of the end of a bracket that only tells something, or 0."""
    words = int(run[here - 1].kind in ("even", "pattern"))
    telling = _TELLING | (_RIB if words else frozenset())
    for place in range(here + 1, len(run)):
        token = run[place]
        if token.kind == "close":
            return place if words else 0
        plain = token.kind != "unknown" or english(token.value)
        if token.kind not in telling or not plain or text[token.at : token.end].lower() in _TURNING:
            return 0
        words += token.kind in ("remark", "unknown", "hand", "seam")
    return 0


_LETTERS = frozenset("ABCDE")


_STRIPED = re.compile(r"\bstrip(?:e|es|ing)\b|\bcolou?rs?\b|\bsequence\b")


def _coloured(run: Sequence[Token], here: int, text: str) -> bool:
    """Whether a letter names a yarn: behind a stitch (`k2tog A, p2tog B`), or where stripes are told."""
    return here > 0 and (
        (_STRIPED.search(text.lower()) is not None and run[here - 1].kind in ("sep", "row", "remark", "colour"))
        or run[here - 1].kind == "stitch"
        or (here > 1 and [each.kind for each in run[here - 2 : here]] == ["stitch", "num"])
    )


def _between(run: Sequence[Token], here: int, text: str) -> bool:
    """Whether an unknown word stands between a number and its stitches: `8 new sts`."""
    word = run[here]
    before, after = (run[here - 1] if here else word), (run[here + 1] if here + 1 < len(run) else word)
    return before.kind in ("num", "rem", "hand", "next") and after.kind == "st" and english(word.value)


def _doubled(run: Sequence[Token]) -> set[int]:
    """Where two asterisks stand that only mark a passage for later: one such pair, after the beginning of the line."""
    pairs = [
        place
        for place in range(len(run) - 1)
        if run[place].kind == run[place + 1].kind == "star" and run[place + 1].tight
    ]
    if len(pairs) != 1 or not pairs[0]:
        return set()
    first = pairs[0]
    if {"rep", "asterisk"} & {token.kind for token in run[max(0, first - 3) : first]}:
        return set()  # `rep from ** twice more`
    after = [token.kind for token in run[first + 2 :]]
    return set() if "rep" in after and "star" not in after else {first}
