"""Whose number it is: said of the course, or denied, supposed, asked, or told of other people, times and things.

What opens such talk holds for some words, until the talk comes back (“but here”, “and we”, “so”). A denial holds for the
number that follows it alone: “not twenty but twenty two”.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache
from typing import Literal

from lessonplan.edit.speech.numbers import words_in
from lessonplan.edit.speech.quantities import Quantity

_PERSONS = (
    r"(?:grand|great |step|god)?(?:mother|father|ma|pa|mum|mom|dad|son|daughter|child|children|parents|kid)(?: in law)?|"
    r"granny|gran|nan|nana|aunt|auntie|uncle|sister|brother|niece|nephew|cousin|husband|wife|friend|neighbou?r|teacher|"
    r"student|pupil|viewer|customer|knitter|designer|beginner|colleague|boss|boyfriend|girlfriend|partner|sailor|"
    r"fisherm[ae]n|farmer|doctor|lady|ladies|wom[ae]n|m[ae]n|girl|boy|baby|babies|doll|teenager|guy|"
    r"somebody|someone|(?:people|everybody|everyone|anybody|anyone|folks|guys)(?= (?:who|in|on|else|ha[ds]|have|does|do|did"
    r"|will|would|can|could|always|never|knits?|uses?|makes?|likes?|says?|thinks?|casts?|mix\w*|wants?|needs?))"
)
_THINGS = frozenset(
    words_in("mitten glove hat cap beanie sock scarf shawl cowl sweater jumper cardigan blanket headband")
)
"""What else is knitted (common practice)."""
_PRINTS = r"leaflets?|booklets?|books?|magazines?|editions?|blogs?|forums?|internet|websites?|printing|comments"
_EARLIER = (
    r"(?:last|next|previous|other|earlier|another|old|older|original|first|second|third|new|some|most|many|"
    r"a (?:bigger|smaller|different)) "
    r"(?:\w+ )?(?:videos?|patterns?|week|months?|years?|versions?|courses?|projects?|pair|winter|spring|summer|autumn|time)"
)
_OWN_VOICE = "pattern|handout|sheet|page|chart|tape|ruler|label|counter|screen|it|that|this|which|i|we|you|as"
_TELLS = (
    r"(?:says?|said|writes?|wrote|tells?|told|claims?|claimed|insists?|insisted|swears?|swore|thinks?|thought|believes?|"
    r"reckons?|recommends?|recommended|suggests?|suggested|printed|asks?|asked|wants?|expects?)"
)
_TOLD_BY = "".join(rf"(?<!\b{word} )" for word in _OWN_VOICE.split("|"))
_OTHERS = (
    rf"(?<!hello )(?<!hi )(?<!welcome )(?<!dear )(?:{_PERSONS})(?:s|'s|s')?|he|she|they (?:have|had|do|did|use|"
    rf"make|made|cast|knit)|{_PRINTS}|{_EARLIER}|{_TOLD_BY}{_TELLS}"
    r"|i(?:'ve| have) (?:even|also|once|often|seen)|i (?:used to|once|thought|like|prefer|tend|sometimes|could)|when i was|years? ago|back then"
    r"|i(?:'d| would) (?:cast|knit|use|need|do|make)"
    r"|my (?:\w+ )?(?:finger|thumb|hand|wrist|foot|head|palm)s?(?: is|'s|'re| are| measures?)"
    r"|in (?:my family|germany|norway|sweden|denmark|iceland|england|scotland|america|france|japan|spring|summer|winter)"
    r"|normally|usually|the shop|the factory|shop bought|store bought|by machine|\w+ version"
)
_SUPPOSED = (
    r"(?:if(?! (?:i |all |everything |you (?:count|look|measure|did|lay|take|follow)))|if i (?:had|were|wanted)|unless"
    r"|should you|in case|imagine|suppose|for (?:example|instance)|might|maybe|perhaps|at least|at most|up to"
    r"|(?<!that )(?<!it )(?<!which )would|for an? (?:\w+er)(?= )|with (?:long|short|small|big|large|thick|thin)(?:er)?(?= ))"
)
_ASKED = r"(?:whether|is it|was it|are there|do you (?:have|need|want)|how about|what about)"
_BACK = re.compile(
    r"\b(?:but|here|now|today|this (?:time|one|is|pattern)|ours?|and (?:we|you|i)|let's|i have|i've|i'm|i am|mine|yours"
    r"|so|okay|anyway|instead)\b"
)
_SETTLED = re.compile(r"\b(?:but|here|so|okay|anyway|instead|otherwise|in (?:our|this)|ours)\b")
_ANSWERED = re.compile(r"\b(?:but|so|it's|that's|no|yes|well|okay)\b")
_CLAUSE = (
    r"it|it's|there|there's|you|you've|you'll|we|we've|i|i've|that|that's|but|and|because|just|only|even|until|till"
    r"|before|after|so|then|they|when"
)
_DENIED = re.compile(
    rf"\b(?:not|never|\w+n't|dont|isnt|arent|wasnt|doesnt|cannot|instead of|rather than|nor|than)"
    rf"(?: (?!(?:{_CLAUSE})\b)[\w']+){{0,3}} #"
)
_REFUSED = re.compile(
    r"^(?:\w+ ){0,2}?(?:(?:is|are|was|were|would be|will be|so that|that) )?(?:isn't|aren't|wasn't|won't|wouldn't"
    r"|(?:too|so) (?:many|few|much|little|long|short|tight|loose|wide|narrow)|not (?:enough|right)|by mistake"
    r"|(?:is|are|was|were|would be|that's) wrong)\b"
)
_TOO = re.compile(r"^(?:and |then |that )?(?:means? (?:you|something)|something|you(?:'ve| have)? (?:lost|dropped|made)|one (?:has|was))\b")
_ASIDE = re.compile(r"^(?:(?!and)\w+ )?(?:myself\b|if you (?:like|want|prefer|wish|have))")
REACH, AHEAD = 14, 8
"""So many words off, what opens such talk holds, and what follows a number is of it."""


@cache
def _openers(own: frozenset[str]) -> tuple[re.Pattern[str], re.Pattern[str]]:
    """Give what opens talk of others, before a number and behind it; ``own`` words open none."""
    ours = "|".join(sorted(own | ({"cap", "beanie"} if "hat" in own else set()))) or " "
    other = rf"(?!(?:{ours})s?\b)(?:{_OTHERS}|(?:{'|'.join(sorted(_THINGS))})s?)\b"
    there = r"(?:in|for|on|of) (?:(?:my|the|a|an|our) )?(?:\w+ )?(?!every)"
    return re.compile(rf"\b{other}"), re.compile(rf"^(?:\w+ ){{0,2}}{there}{other}|\b(?:to|for) practi[cs]e\b")


_SUPPOSING, _ASKING = re.compile(rf"\b{_SUPPOSED}"), re.compile(rf"\b{_ASKED}\b")


def _opened(opener: re.Pattern[str], closer: re.Pattern[str], before: str) -> bool:
    last = max((found.end() for found in opener.finditer(before)), default=-1)
    return last >= 0 and not closer.search(before, last)


def of_others(words: Sequence[str], at: int, own: frozenset[str]) -> bool:
    """Whether what stands at a word is told of other people, times or things than those that a course is ``own`` to."""
    return _opened(_openers(own)[0], _BACK, " ".join(words[max(0, at - REACH) : at]))


def scope_of(one: Quantity, words: Sequence[str], own: frozenset[str]) -> Literal["", "supposed", "apart"]:
    """Tell whether a quantity is said of the course; "apart" is what is denied, asked, or told of others.

    What is supposed of a size that is named (“if you knit the large”) is said of the course all the same.
    """
    before = " ".join(words[max(0, one.first - REACH) : one.first])
    after = " ".join(words[one.end : one.end + AHEAD])
    denied = _DENIED.search(" ".join((*words[max(0, one.first - 5) : one.first], "#"))) or _REFUSED.search(after)
    if denied or of_others(words, one.first, own) or _openers(own)[1].search(after):
        return "apart"
    if _opened(_ASKING, _ANSWERED, before):
        return "apart"
    supposed = _opened(_SUPPOSING, _SETTLED, before) or _TOO.search(after) or _ASIDE.search(after)
    return "supposed" if supposed and one.size is None else ""
