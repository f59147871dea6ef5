"""Corrections and repetitions: “no, sorry, I mean thirty six”, and a sentence that was said twice.

Automatic captions often smooth a slip away, so that only the remark remains between two equal statements; the remark
is what is looked for. Whoever says sorry for anything else is left alone.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lessonplan.edit.speech.numbers import BEGINS, BEGINS_WORD, COUNTS, TENS, words_in
from lessonplan.edit.speech.quantities import Quantity

_AGAIN_FROM = (
    r"(?:(?:let me|shall i|may i|can i)(?: just| quickly)? (?:say|tell|put)(?: (?:you|that|this|it)){0,2}"
    r"|(?:let me|let's|i'll|i will|i'd better|i had better|shall (?:i|we)|may i|can i)(?: just| quickly)? "
    r"(?:(?:begin|start|take|run)(?: (?:that|this|it|the|whole|sentence|bit|part|line)){0,3}"
    r"|(?:do|try|go through|work)(?: (?:that|this|it|the|whole|sentence|bit|part|line)){1,3}"
    r"(?=(?: [\w']+){1,12}? (?:because|since|wrong|(?:i|i've|i have) (?:said|lost|forgot\w*|skipped|missed|read|told"
    r"|muddled|mixed))\b)))"
    r" (?:(?:once|one) (?:more|again)(?: time)?|again(?! (?:later|next|tomorrow|slow\w*|at the marker|from the other))"
    r"|over(?: again)?|afresh|from the (?:very )?(?:top|start|beginning))"
)
"""What is told anew: “let me take that again from the ssk”; what is done anew, where it is told why."""
_STRONG = re.compile(
    rf"{BEGINS_WORD}(?:no sorry|no wait|wait no|scratch that|(?:no )?i tell a lie|let me correct (?:that|myself)"
    r"|correction|i misspoke|i meant(?: to say)?"
    r"|did i (?:just )?say(?! (?:that|it) right)|what am i saying|what did i say|that was wrong|that'?s wrong"
    r"|that is wrong|i said that wrong"
    r"|forget what i said|strike that"
    r"|or rather|sorry the other (?:way|one)|sorry i (?:mean|meant)|make that|(?:no )?(?:i )?(?:do )?beg your "
    r"pardon|pardon me"
    r"|(?<!found )(?<!made )(?<!find )(?<!mend )(?<!fix )my mistake(?!(?: right)? (?:in|at|on|here|there|sits"
    r"|was|from|that)\b)"
    r"|silly me"
    r"|(?:i'm |i am )?talking (?:rubbish|nonsense)|don't listen to me|listen to me|where did i get that"
    r"|let me (?:rephrase|start again|try (?:that )?again)|i take that back|i got that wrong"
    r"|(?:no )?(?:i'm|i am|i've|i have)(?: just| gone and)? (?:lying|fibbing|mistaken|misleading you"
    r"|told (?:you|that|it) (?:all )?wrong|(?:telling|told) (?:you )?(?:a lie|lies|a fib|fibs))|i stand corrected"
    rf"|{_AGAIN_FROM}"
    r"|(?:oops|whoops)(?: (?:no|sorry|that should be))?|that should (?:be|have been)|should have said"
    r"|(?:sorry |wait |no )?(?:i am|i'm|i was|i) (?:reading|looking|looked|read)(?: at| in| on)? the wrong \w+"
    r"|no hang on|no hold on|hang on no|hold on no"
    r"|(?:hang on|hold on|no|wait|sorry|oh|oops)(?: no| wait| sorry)* (?:that's|that is"
    r"|that was) (?:for )?the (?:small|medium"
    r"|large|toddler|youth|adult|child|kid|little|big|other)(?:'s|s)?(?: one| size| column)?)\b"
)
_WEAK = re.compile(r"\b(?:sorry|i mean|actually|wait|no(?: no)*|hang on|hold on|pardon|excuse me|rather)\b")
_STOPS = ("wait", "no", "hang on", "hold on", "sorry")
_ELSE = frozenset(words_in("my for about if because there's i've i have had the"))
"""What follows a “sorry” for something else."""
_AFTER_NO = frozenset(
    words_in(
        "it it's its that that's this sorry wait not hang hold make i i'm we you the in for on at to all only just a "
        "there's there actually so they let us size round row through until up down from with by after out yes"
    )
)
"""What follows a “no” that takes something back."""
_NONE = tuple([word] for word in words_in("so with there's has have had is are need needs of in"))
"""What stands before a “no” that tells of none."""
_CALLED = frozenset(words_in("madam sir love dear honey pet folks sugar darling mate loves dears friends lads"))
"""“No, love, forty four.”"""
_OF_NONE = frozenset(
    words_in(
        "more half extra odd fewer less other others spare stray need problem worries matter rush hurry point doubt "
        "knots gap gaps holes"
    )
)
"""What follows a “no” that tells of none: “all in the blue, no more yellow”."""
_NEITHER = (*_NONE, *([word] for word in words_in("and or is")))
NUMBERS = BEGINS - {"a", "an", "to", "too", "for"}
"""Words that begin a number."""
PAIRS = tuple(
    frozenset(words_in(text))
    for text in (
        "left right",
        "front back",
        "knit purl",
        "knitwise purlwise",
        "under underneath beneath below over above top",
        "rounds rows",
        "stitches rows",
        "stitches rounds",
        "minutes hours",
        "inches cm centimeters centimetres",
        "thumb finger",
        "increase decrease",
        "start end",
        "thicker thinner",
        "bigger smaller",
        "larger smaller",
        "before after",
        "forward forwards back backwards",
        "on off",
        "in out",
        "inside outside",
        "tight tightly loose loosely",
        "leave take",
        "up down",
        "first last",
    )
)
"""Words that are said for one another (common practice)."""
_LEADS = frozenset(words_in("to the from in at one make leans leaning"))
"""What belongs to a word of a pair that is taken back: “make one right, no”."""
BEFORE, AFTER, FAR = 8, 5, 12
"""Words between a number and the remark, and between the remark and the number, at most; and between a word of a pair
and a “no” that the other one follows at once."""
AGAIN = 7
"""So many words in a row are a sentence said again, within ``WITHIN`` words and ``SOON`` seconds."""
WITHIN, SOON = 60, 40.0
_CONTRARY = frozenset(
    words_in(
        "thinner thicker smaller larger bigger left right up down more fewer less small medium large front back knit "
        "purl"
    )
)
"""Words in which two sentences that are else the same are told apart."""
_RHYTHM = frozenset(
    words_in(
        "knit purl slip together and again then the round rounds row rows over under plain increase decrease a an in"
    )
) | {*COUNTS, *TENS}


@dataclass(frozen=True, slots=True)
class Remark:
    """A correction: its tokens, and from which token on what was said before is taken back.

    ``until`` is where a “sorry” behind what was put right ends.
    """

    first: int
    end: int
    back_to: int
    until: int = 0


def remarks_in(
    words: Sequence[str], quantities: Sequence[Quantity], yarns: frozenset[str] = frozenset()
) -> tuple[Remark, ...]:
    """Find the corrections; ``yarns`` are the words of colours that are said for one another."""
    text, starts = _joined(words)
    found: list[Remark] = []
    spans = [(one.span(), True) for one in _STRONG.finditer(text)]
    spans += [(one.span(), False) for one in _WEAK.finditer(text)]
    for (begin, stop), strong in sorted(spans):
        first, end = starts[begin], starts.get(stop + 1, len(words))
        end += words[end - 1] == "no" and not _CALLED.isdisjoint(words[end : end + 1])
        if words[end - 1] == "no" and not _OF_NONE.isdisjoint(words[end : end + 1]):
            continue
        if found and first < found[-1].end + 4:
            continue
        before = [one for one in quantities if one.end <= first and (one.unit or one.value > 1)]
        after = [one for one in quantities if one.first >= end]
        if found and first < found[-1].end + 12 and not any(one.first - end <= AFTER for one in after[:1]):
            continue  # what is said when all is put right
        if found and before and after and 0 <= before[-1].first - found[-1].end <= 1 and _again(before[-1], after[0]):
            continue  # what was put right is only said again
        if text[begin:stop] == "make that" and not _made_that(words, first, end):
            continue
        last = before[-1] if before else None
        near_before = last is not None and first - last.end <= BEFORE + 4 * strong
        if last and "not" in words[end : end + 8]:  # “sorry, twenty two, not twenty four”
            same = [*words[last.number.first : last.number.end]]
            place = end + [*words[end : end + 8]].index("not") + 1
            near_before = near_before or [*words[place : place + len(same)]] == same
        near_after = bool(after) and after[0].first - end <= AFTER
        if last and not near_after and text[begin:stop] in _STOPS and first - last.end <= 1:  # “wait, let me look, ten”
            again = next((one for one in after if one.first - end <= 2 * AFTER), None)
            near_after = again is not None and again.value != last.value and again.unit in ("", last.unit)
        if text[begin:stop].startswith("did i") and after:
            end = max(end, after[0].end)
        elif not strong and not _says(words, first, end, last, near_before, near_after, _is_other(last, after, end)):
            side = _side_before(words, first, end, (*PAIRS, yarns))
            if side is not None:
                leads = next((at for at in range(side - 1, max(-1, side - 4), -1) if words[at] not in _LEADS), side - 4)
                found.append(Remark(first, end, max(0, min(leads + 1, side - 1))))
            continue
        back_to = last.first if last and near_before else first
        found.append(Remark(first, end, back_to - (words[max(0, back_to - 1) : back_to] == ["make"])))
    return tuple(_with_sorry(one, words) for one in found)


def _again(one: Quantity, other: Quantity) -> bool:
    """Whether a number is said once more."""
    return (one.unit, one.value) == (other.unit, other.value)


def _is_other(last: Quantity | None, after: Sequence[Quantity], end: int) -> bool:
    """Whether another number of the same unit follows a remark at once."""
    if last is None or not after or after[0].first - end > 2 or after[0].ordinal or after[0].value == last.value:
        return False
    one = after[0]
    return one.first == end and one.value > 3 if one.bare else one.unit == last.unit != ""


def _made_that(words: Sequence[str], first: int, end: int) -> bool:
    """Whether “make that” puts a number right: “ten, make that twelve”, not “I make that twelve”."""
    said = words[end] if end < len(words) else ""
    return (said in NUMBERS or said[:1].isdigit()) and not {"i", "we", "you", "would", "to"} & {
        *words[max(0, first - 1) : first]
    }


def _with_sorry(one: Remark, words: Sequence[str]) -> Remark:
    """Take in the “sorry” that follows what was put right."""
    for at in range(one.end, min(one.end + 5, len(words))):
        if words[at] == "sorry" and (at + 1 == len(words) or words[at + 1] not in _ELSE):
            return Remark(one.first, one.end, one.back_to, at + 1)
        if words[at : at + 2] in (["pardon", "me"], ["my", "mistake"], ["silly", "me"]):
            return Remark(one.first, one.end, one.back_to, at + 2)
    return one


def _says(
    words: Sequence[str], first: int, end: int, last: Quantity | None, near_before: bool, near_after: bool, again: bool
) -> bool:
    """Whether “sorry”, “I mean”, “no”, “actually” or “wait” corrects a number; ``again``: by one of its own unit."""
    following = words[end] if end < len(words) else ""
    said = " ".join(words[first:end])
    if again and near_before and last and first - last.end <= 2 and words[last.end] != "more":
        return True  # “purl one, no, purl two”
    counted = said == "no" and following == "there's" and near_after
    last_end = last.end if last else -1
    other = words[end + 1] if end + 1 < len(words) else ""
    counted |= said == "no" and following == "the" and (other in NUMBERS or other[:1].isdigit()) and first == last_end
    if not (near_before and near_after and last) or (following in _ELSE and not counted):
        return False
    if said == "no" and words[max(0, first - 1) : first] in _NONE:
        return False  # “so no half one”, “there's no”
    if said == "no" and following not in _AFTER_NO and following not in NUMBERS and not following[:1].isdigit():
        return False  # “with no rest between”
    if words[last.end : last.end + 1] == ["more"] and said in ("hang on", "hold on", "wait"):
        return False  # “I need two more, hang on, forty three, forty four”
    is_it = following in ("it's", "that's", "yes") or words[end : end + 2] in (["it", "is"], ["that", "is"])
    if said == "no" and is_it and first - last.end <= 4:
        return True
    if said in ("no", "wait", "actually", "hang on", "hold on") and first - last.end > (5 if again else 2):
        return False
    if said in ("no", "wait", "actually"):
        return following not in ("more", "less", "one", "matter", "need", "knot")
    return True


def _side_before(words: Sequence[str], first: int, end: int, pairs: Sequence[frozenset[str]]) -> int | None:
    """Give the word that a “no” takes back, where one of its pair stands on either side (“left, no, right”)."""
    none = words[first] == "no" and words[max(0, first - 1) : first] in _NEITHER
    if none and (words[first - 1] != "or" or not {"no", "not"}.isdisjoint(words[max(0, first - BEFORE) : first])):
        return None  # “there is no left and no right”
    for pair in pairs:
        reach = 5 if pair is pairs[-1] or pair & {"stitches", "hours", "rounds"} else 6 if "above" in pair else 3
        reach = FAR if words[first] == "no" and not pair.isdisjoint(words[end : end + 1]) else reach
        before = [at for at in range(max(0, first - reach), first) if words[at] in pair]
        for at in reversed(before):
            if words[at - 1] == "or" and words[at - 2] in pair:
                break  # “are they on or off? no, they come off”
            if any(word in pair and word != words[at] for word in words[end : end + 6]):
                return at
    for at in range(max(1, first - 2 * BEFORE), first):  # clauses before, in the same words
        other = next((pair for pair in pairs if words[at] in pair), None)
        again = [n for n in range(end, min(end + 6, len(words))) if other and words[n] in other]
        same = 1 + (words[at - 1] in ("the", "a"))
        if any(
            words[n] != words[at]
            and (
                (n > end and words[n - same : n] == words[at - same : at])
                or (at + 3 <= first and words[n + 1 : n + 3] == words[at + 1 : at + 3])
            )
            for n in again
        ):
            return at
    return None


_CHANTS = frozenset(words_in("say sing chant mantra rhyme chorus aloud"))
"""What is said again and again on purpose."""


def said_twice(words: Sequence[str], starts: Sequence[float]) -> Iterator[tuple[int, int]]:
    """Find sentences that are said again at once: first token of the first time, and of the second."""
    seen: dict[tuple[str, ...], int] = {}
    covered = 0
    for at, run in enumerate(zip(*(words[ahead:] for ahead in range(AGAIN)), strict=False)):
        before = seen.get(run)
        seen[run] = at
        if before is None or at < covered or not AGAIN <= at - before <= WITHIN or starts[at] - starts[before] > SOON:
            continue
        if len({*run} - _RHYTHM) < 4 or not _CHANTS.isdisjoint(words[max(0, before - 9) : before]):
            continue
        ends = {words[before + AGAIN], *words[at + AGAIN : at + AGAIN + 1]}
        if len(ends) > 1 and (ends <= NUMBERS or ends <= _CONTRARY):
            continue  # “they get eighteen … they get twenty six”
        length = AGAIN
        while at + length < len(words) and words[before + length] == words[at + length] and before + length < at:
            length += 1
        covered = at + length
        yield before, at


def _joined(words: Sequence[str]) -> tuple[str, dict[int, int]]:
    """Join words by blanks, and tell which word begins at each place."""
    starts, place = {}, 0
    for number, word in enumerate(words):
        starts[place] = number
        place += len(word) + 1
    return " ".join(words), starts
