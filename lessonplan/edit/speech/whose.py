"""Whose number it is: said of the course, or denied, supposed, asked, or told of other people, times and things.

What opens such talk holds for some words, until the talk comes back (“but here”, “and we”, “so”). A denial holds for
the number that follows it alone: “not twenty but twenty two”.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Sequence
from functools import cache
from itertools import accumulate
from typing import Literal

from lessonplan.edit.speech.numbers import BEGINS_WORD, COUNTS, TENS, words_in
from lessonplan.edit.speech.sizes import KIN
from lessonplan.edit.speech.units import UNITS

_PERSONS = (
    r"(?:grand|great |step|god)?(?:mother|father|ma|pa|mum|mom|dad|son|daughter|child|children|parents"
    r"|kid)(?: in law)?|"
    r"granny|gran|nan|nana|aunt|auntie|uncle|sister|brother|niece|nephew|cousin|husband|wife|friend|neighbou?r|teacher|"
    r"student|pupil|viewer|customer|knitter|designer|beginner|colleague|boss|boyfriend|girlfriend|partner|sailor|"
    r"fisherm[ae]n|farmer|doctor|lady|ladies|wom[ae]n|m[ae]n|girl|boy|baby|babies|doll|teenager|guy|"
    r"somebody|someone|some (?:people|folks?|knitters)|(?:people|everybody|everyone|anybody|anyone|folks|guys)(?= "
    r"(?:\w+ed|who|in|on|else"
    r"|ha[ds]|have|does|do|did"
    r"|will|would|can|could|always|never|knits?|uses?|makes?|likes?|says?|thinks?|casts?|mix\w*|wants?|needs?|gets?))"
)
_THINGS = frozenset(
    words_in("mitten glove hat cap beanie sock scarf shawl cowl sweater jumper cardigan blanket headband")
)
"""What else is knitted (common practice)."""
_PRINTS = r"leaflets?|booklets?|books?|magazines?|editions?|blogs?|forums?|internet|websites?|printing|comments|drafts?"
_EARLIER = (
    r"(?<!before )(?<!for )(?<!until )(?<!till )(?:last|next|previous|other|earlier|another|old|older|original"
    r"|first|second|third|new|some|most|many|"
    r"a (?:bigger|smaller|different)) "
    r"(?:[\w']+ )?(?:videos?|patterns?|week|months?|years?|versions?|courses?|projects?|pair(?! of (?:rounds|rows))"
    r"|winter|spring"
    r"|summer|autumn|attempts?|tr(?:y|ies)|prototypes?|trial|samplers?|batch|kit|printing|print run"
    r"|time(?! (?:we|you)\b))"
    r"|my (?:[\w']+ )?(?:attempt|prototype|trial|sampler)|(?<!get )(?<!getting )(?<!are )(?<!is )used to"
    r"|one (?:on the (?:shelf|wall|hook|chair)|behind|in the (?:window|basket|drawer|photo|picture|box))"
    r"|over there(?!'s)|back home|i (?:bought|own|ordered|sold|gave|lost|dropped|left one)"
)
_KEPT = r"had|has|wanted|wants|needed|needs|used|uses|did|does|made|makes|knit|knits|knitted|got|gets|swears|likes"
_MANNERS = _KEPT + r"|asked|asks|came|went|ended|started|starts|puts|takes|took|worked|works|kept|keeps|said|says|would"
_STRANGERS = re.compile(
    rf"\b(?:my|his|her|their|some|another|one of (?:my|our|the)"
    rf"|an?|the (?:one|pair) (?:off|from|in|at) (?:the|my|an?)) "
    rf"(?:[\w']+ )??(?P<who>[a-z]+)(?:'s)?(?: (?:always|once|only|just|there))? (?:{_MANNERS})\b"
)
"""Whoever is told of and is nothing of the course: “my landlady had”, “a reader got”."""
_OWN_VOICE = frozenset(
    words_in(
        "size pattern handout sheet page chart tape ruler label counter screen card paper note notes display scale "
        "here it that this which i we you as needle needles clock maths arithmetic sum"
    )
)
"""What tells the course's own numbers."""
_ON_IT = re.compile(r"\b(?:on|of|round|around) (?:the|my|your|each|every|this) [\w']+ $")
_GREETED = frozenset(words_in("hello hi hey welcome dear thanks morning evening"))
"""“Hello knitters” tells of nobody else."""
_YOU_LOT = re.compile(r"you (?:guys|people|folks|ladies|knitters|beginners)\b")
_NUMBER = "|".join((*COUNTS, *TENS))
_AGED = (
    rf"i was(?: (?:only|just|barely|still))?(?= (?:(?:{'|'.join(TENS)}) )?(?:{_NUMBER}|\d\d?)"
    r" (?:and|when|then|but|so|years?|my|back)\b)"
)
"""An age is told of another day: “i was only seventeen and i cast on”."""
_TELLS = (
    r"(?:says|said|writes|wrote|tells|(?<!all )told|would (?:tell|say)|claims|claimed|insists|insisted"
    r"|swears|swore|thinks|thought|"
    r"believes|reckons|recommends|recommended|suggests|suggested|printed|asks|asked|wants(?! to (?:be"
    r"|have|measure|come|sit|lie|go|look)| (?:[\w']+ ){1,5}(?:hours|minutes)\b)|expects)"
)
_TOLD = re.compile(_TELLS)
_OTHERS = (
    rf"{_AGED}|(?:{_PERSONS})(?:s|'s|s')?|s?he(?!'ll|'s| (?:soaks|dries|lies|sits|goes|grows|comes|measures|fits|stays"
    rf"|leans|slants|tilts|points|ends|starts|closes|draws|weighs|holds|hangs|should"
    rf"|will|takes|wants|needs)\b)"
    r"|his|hers|they (?:have(?! to)|had|do"
    rf"|did|use|"
    rf"make|made|cast|knit|write|ask|say|get(?! an? )|got)|{_PRINTS}|{_EARLIER}|{_TELLS}"
    r"|i(?:'ve| have) (?:even|also|once|often|seen|tried)|once i"
    r"|for (?:him|her) (?:i|we)|i (?:tried|used to|once|thought|like|prefer|tend|sometimes"
    r"|could)|when i was|(?:years?|months?|weeks) (?:ago|back)|back then"
    r"|i (?:did|made|knit|knitted) (?:a pair|one|some|them) (?:for|on|with|once|last)|(?:my|the) (?:very )?first swatch"
    r"|my (?:very )?first (?!stitch|round|row|stripe|marker|increase|decrease|colou?r|one|needle|loop|of|ten|few"
    r"|time)\w+"
    r"|i(?:'ve| have)? (?:also |once )?(?:got|own|owned|had|made|knit|knitted|worked|did) (?:another"
    r"|an? (?:second|different|older|earlier|spare)) [\w']+"
    r"|i went (?:up|down)(?= (?:a|to|one)\b)|in (?:the old|those|[\w']+ (?:gran|mother|nan|mum)'s) days?|they'd"
    r"|i(?:'d| would| had) (?:cast|knit|use|need|do|make|planned|meant|wanted|hoped|done|knitted|worked)"
    r"|my (?:[\w']+ )?(?:finger|thumb|hand|wrist|foot|head|palm)s?(?: is|'s|'re| are| measures?)(?! (?:going to"
    r"|gonna) be)"
    r"|(?:in|since|from|of) (?:nineteen (?:\w+ty|hundred|oh)|(?:19|20)\d\d)"
    r"|(?:tea|egg|bottle) (?:co[sz](?:y|ies)|covers?|jackets?)"
    r"|(?:in|on|at) (?:the|our|my) (?:railways?|army|navy|office|bank|hospital|school|station|mill)(?: (?:our|we|i))?"
    r"|in (?:january|february|march|april|june|july|august|september|october|november|december"
    r"|my family|germany|norway|sweden|denmark|iceland|england|scotland|america|france|japan|(?:the )?(?:spring"
    r"|summer|winter|autumn|monsoon))"
    r"|normally|usually|hers|theirs|the (?:old|older|original) ones|too (?:tight|loose|small|big|wide"
    r"|narrow|short)|the (?:tight|loose|bad|wrong) one|before (?:the|its|her|his) (?:bath|wash|soak)(?= [\w']+"
    r" (?:was|measured|had))"
    r"|this (?:tight|loose|bad) one(?= (?:is|only|measures)\b)|so (?:tight|loose) (?=that)|an? (?:too )?(?:tight|loose"
    r"|bad|wrong) \w+(?= like| one| only| will| measures)|an? (?:[\w']+ ){1,2}(?:needs|wants|asks for)"
    r"|(?:one|two|three|some|few|many|several|lots|half) of you (?:(?:just|even|only|have|already) )*(?:\w+ed|got|had"
    r"|wrote|made|did|knit|came|went|sent|put|cast)"
    r"|an? (?:[\w']+ ){1,2}i (?:did|made|knit|knitted|worked|sewed|crocheted)"
    r"|the shop|the factory|my own (?=pair|one|mitten|hat|head)|the trial (?:one|piece|mitten)|shop bought|store"
    r" bought|by machine|(?<!this )version"
)
_SUPPOSED = (
    r"(?:you could (?:do|knit|work|use|have)|"
    r"(?:it|they|she|he)'d (?:all |only )?(?:be )?(?:dry|done|dried|ready)|pretend|assuming|(?:or"
    r"|otherwise) (?:else )?(?:you'll|there'll|it'll|you will"
    r"|there will|you'd|you end up)|assume|(?:let's |lets )?say (?:that )?(?:your?|we|i|it's|there's|there are)\b"
    rf"|were to|what if|(?<!see )(?<!check )if(?! (?:i |all |everything |you (?:count(?! (?:{_NUMBER}|\d)))"
    r"|you (?:look|did(?! the)|lay|follow)"
    r"|you (?:still |rather )?(?:think|work|measure|reckon) (?:that|this"
    r"|in) |(?:[\w']+ ){1,3}(?:burn|scald)"
    r"|(?:your|the) (?:hand|head|knuckles|wrist)s? (?:is|are|measures?|comes? (?:to|out))(?! (?:[\w']+ )?"
    r"(?:small|big|large|long|short|wide|narrow|thin|tiny)\b)))"
    r"|if i (?:had|were|wanted)|unless"
    r"|should you|in case|imagine|suppose|for (?:example|instance)|might|maybe|perhaps"
    r"|(?<!that )(?<!it )(?<!which )would|for an? (?!quarter)(?:\w+er)(?= )|with (?:long|short|small|big|large"
    r"|thick"
    r"|thin)(?:er)?(?= ))"
)
_ASKED = r"(?:whether|is it(?!')|was it|are there|do you (?:have|need|want)|how about|what about)"
_BACK = re.compile(
    r"\b(?:but|and (?:there's|it's|that's)|here|now|today|this (?:time|one|is|pattern)|ours?|and (?:we|you|i)"
    r"|let's|i have|i've|i'm|i am|mine|yours"
    r"|so|okay|anyway|instead)\b"
)
_SETTLED = re.compile(
    r"\b(?:should (?:be|have|measure|get|come)|but|here|so|okay|anyway|instead|otherwise|in (?:our|this)|ours)\b"
)
_ANSWERED = re.compile(r"\b(?:but|so|it's|that's|no|yes|well|okay)\b")
_CLAUSE = (
    r"it|it's|there|there's|you|you've|you'll|we|we've|i|i've|that|that's|but|and|because|just|only|even|until|till"
    r"|before|after|so|then|they|when"
)
_DENIED = re.compile(
    rf"\b(?:not|never|nobody|no one|no need|none|without(?! \w+ing (?:on|it|the|at|in|with|from)\b)|forget|\w+n't"
    rf"|dont|isnt|arent|wasnt|doesnt"
    rf"|cannot|instead of|rather than|nor|than)"
    r"(?: (?:you (?:go|dare|ever)(?: and)?|(?:on|for|under) any [\w']+|be tempted to|ever)\b)?"
    rf"(?: (?!(?:{_CLAUSE})\b)[\w']+){{0,4}} #"
)
_REFUSED = re.compile(
    r"^(?:(?!(?:we|you|i) )[\w']+ ){0,2}?(?:(?:is|are|was|were|would be|will be|so that|that) )?(?:(?:isn't"
    r"|aren't|wasn't|won't|wouldn't)(?! (?:it|they|that|there|we|you)\b)"
    r"|so (?:i've|i have|i must have|there's) (?:lost|dropped|missed|miscounted|one (?:short|missing))"
    r"|too (?:many|few|much|little|long|short|tight|loose|wide|narrow)|not (?:enough|right)|by mistake"
    r"|(?:is|are|was|were|would be|that's) wrong)\b"
    r"|^(?:[\w']+ ){0,5}?(?:and|but) (?:none|not one|neither) of (?:them|these|those) (?:is|are|was|were|belongs?)\b"
    r"|^(?:[\w']+ ){0,4}?once (?:and (?:i|it|then|couldn't)|but|when i)\b"
    r"|^(?:[\w']+ ){0,2}?and (?:it|that|you|they)(?:'ll| will| would)"
    r" (?:never|not)\b|^(?:[\w']+ ){0,7}?(?:so|please) (?:don't|never)(?: do (?:it|that))?$"
)
_TOO = re.compile(
    r"^(?:and |then |that )?(?:means? (?:you|something)|something|you(?:'ve| have)? (?:lost|dropped|made)"
    r"|one (?:has|was))\b"
)
_UNDONE = re.compile(
    r"\b(?:and|but|so|then) i (?:then )?(?:threw|ripped|frogged|binned|unravelled|undid|pulled (?:it|that) out"
    r"|(?:began|started) (?:it )?(?:again|over|afresh))\b"
)
"""What is told of work that was undone: “twenty six stitches, and I threw it in the fire”."""
_OR_MORE = re.compile(r"^(?:or (?:more|over)|and (?:up|more|over)(?! again)|plus)\b")
_ASIDE = re.compile(r"^(?:[\w']+ )?would\b|^(?:(?!and|or)[\w']+ )?(?:myself\b|if you (?:like|want|prefer|wish|have))")
_CONFESSED = re.compile(r"\b(?:i was|i'm|i am|i just|i've just|i had just) (?=\w+(?:ing|ed)\b|made\b|read\b)")
"""What is told of a slip that was put right: “forty four, I just finished the large for my brother”."""
_CHOSEN = r"\bif (?:you|you'\w+)(?: (?!don't|not|never|no)\w+){0,4} (?:an?|the|that|your) (?:\w+ )?"
"""What is said when one of the course's options is told of: “if you want the loop”."""
_OF_A_SIZE = re.compile(
    r"\b(?:smallest|little|big|largest|biggest|middle)\b|\bif you(?:'re| are)? (?:knit\w*|mak\w+|work\w*"
    r"|do|doing|want|choose|take) (?:the|a) \w+"
)
_JOKE = re.compile(r"(?<!no )\b(?:i'm (?:only |just )?(?:joking|kidding)|(?:just|only) (?:joking|kidding))\b")
REACH, AHEAD = 14, 8
"""So many words off, what opens such talk holds, and what follows a number is of it."""


@cache
def _openers(own: frozenset[str]) -> tuple[re.Pattern[str], re.Pattern[str]]:
    """Give what opens talk of others, before a number and behind it; ``own`` words open none."""
    kin = {word for size in own for word in KIN.get(size, "").split()}
    ours = "|".join(sorted(own | kin | ({"cap", "beanie"} if "hat" in own else set()))) or " "
    other = rf"(?!(?:{ours})s?\b)(?:{_OTHERS}|(?:{'|'.join(sorted(_THINGS))})s?)\b"
    there = r"(?!for my (?:[\w']+ )?(?:friends|viewers)\b)"
    there += r"(?:in|for|(?<!hang )(?<!hold )on|of) (?:(?:my|the|a|an|our) )?(?:[\w']+ )?(?!every)"
    return re.compile(BEGINS_WORD + other), re.compile(
        rf"^(?:(?:[\w']+ ){{0,2}}(?:(?:[\w']+ ){{0,2}}i (?:put|knit|knitted|made|used|worked) )?{there}"
        rf"|(?:(?!so\b|because\b|but\b)[\w']+ ){{0,6}}for (?:my|a|an|his|her) (?!(?:[\w']+ )?(?:friends"
        rf"|viewers)\b)){other}"
        rf"|^(?:the|my|his|her) (?!(?:{ours}|friend|viewer|ladie|knitter)s?\b)(?:{_PERSONS})\b"
        r"|^(?:(?!but|so|and|then)[\w']+ ){0,3}?is what (?:(?:my|his|her|some|other|most|a) )?"
        rf"(?:{_PERSONS})s?\b"
        rf"|^(?:[\w']+ ){{0,2}}for (?:him|her|them)\b|^(?:one|version) (?:in|from) (?:the|my|our|last)\b"
        rf"|\b(?:to|for) practi[cs]e\b"
    )


_I_TELL = re.compile(
    r"\b(?:i|we)(?:'ll|'ve)? (?:[\w']+ )?(?:tell|say to|told|teach|show|promise|warn|remind)(?: (?!that|but"
    r"|he|she)\w+){0,3} $"
)
_WE_DID = re.compile(r"\b(?:we|you|we've|you've) (?:(?:have|just|both|all) )*\w+(?: (?:off|up|on|in|it|together))? $")
"""“The cuff we finished last time” is the course's."""
_AUDIENCE = re.compile(r"\b(?:for|to) (?:my|our|all|the|any|you)(?: (?:my|our|of|the))* (?:[\w']+ )?$")
"""“For my american friends” is said to those who watch."""
_SIZED = frozenset(words_in("small medium large adult child youth toddler"))
"""“Small people need” tells of a size."""
_WHO_FITS = re.compile(
    r"(?:anybody|anyone|people|folks|somebody|someone|everybody|everyone) (?:who|whose|with|that) "
    r"(?:(?:an?|has|have|their) )*(?:measures?|hands?|heads?|knuckles|wrists?)\b"
)
"""Whom a size is for."""
_I_KNOW = re.compile(r"\b(?:i (?:know|knew|met|had|have|taught)|there (?:was|is)|i've (?:got|had)) $")
_AFFIRMED = re.compile(
    r"\b(?:you're|you are|we're|that's|it's|you've|all is|everything is|everything's)(?: \w+)??"
    r" (?:golden|right(?= (?:and|so|then)|$)|perfect|correct|spot on|good to go|in business|on track"
    r"|home|safe|set|laughing|got it)\b(?! (?:too|also|as well))"
)
"""What is told of a number that would be right: “if you hit forty four you're golden”."""
_IF_YOU = re.compile(r"\b(?:if|when|in case) (?:you|yours?|it)\b")
_CONDITIONS = frozenset(words_in("if when case"))
_ASTRAY = re.compile(
    r"\b(?:(?:stitches|they|it) (?:are|is) (?:too )?(?:smaller|bigger|larger|tight|loose)|(?:smaller"
    r"|bigger|larger|tighter|looser) than"
    r"|thicker|thinner|(?:go|drop|move|come) (?:up|down) a|one (?:too many|short|missing)|(?:is|are|went) missing"
    r"|(?:you've|you have|you must have|you'll have) (?:[\w']+ )?(?:lost|dropped|gained|missed|made"
    r"|miscounted|picked up|forgotten|skipped)"
    r"|miscounted|gone wrong|count again|go back|not (?:enough|right))\b"
)
"""What is told of a number that would be wrong: “if you've got forty five you have picked one up”."""
_SUPPOSING, _ASKING = re.compile(BEGINS_WORD + _SUPPOSED), re.compile(rf"\b{_ASKED}\b")


def _is_known(word: str, known: frozenset[str]) -> bool:
    """Whether a word names something of the course, of the craft, or on the table."""
    return any(each in known or each in UNITS or each in _TABLE for each in (word, word.removesuffix("s"), f"{word}s"))


_TABLE = frozenset(
    words_in(
        "needle hook marker tape ruler counter card phone chart pattern handout label band yarn wool swatch sample "
        "piece gauge tension count number total rib edge tail knot size cuff hand thumb one ones side part bit half "
        "rest increase decrease first last next other this that it paper notes pencil calculator fabric knitting work "
        "way colour color circle ring loop join top bottom end start beginning pair wrist head finger video section "
        "line repeat stripe gusset holder thread string scrap waste scale"
    )
)
"""Things of the craft and on the table, which tell of the course."""


class Scopes:
    """Tells of the words of a segment what is said of the course, and what is not.

    ``own`` are the words by which the course is named: what is told of a hat belongs to a course of a hat;
    ``options`` the parts that only those make who choose them: what is told of these holds.
    """

    def __init__(
        self,
        words: Sequence[str],
        own: frozenset[str],
        known: frozenset[str] = frozenset(),
        options: frozenset[str] = frozenset(),
    ) -> None:
        self.words, self.own, self.known, self.options = words, own, known, options
        self.text = " ".join(words)
        self.jokes = "joking" in words or "kidding" in words
        self.starts = [0, *accumulate(len(word) + 1 for word in words)]
        others, self.behind = _openers(own)
        self.opened = [
            ([found.end() for found in opener.finditer(self.text) if not self._tells_them(found.start())], closer)
            for opener, closer in ((others, _BACK), (_ASKING, _ANSWERED), (_SUPPOSING, _SETTLED))
        ]
        strangers = (one for one in _STRANGERS.finditer(self.text) if not _is_known(one["who"], known | own))
        self.opened[0] = (sorted((*self.opened[0][0], *(one.end() for one in strangers))), _BACK)

    def _tells_them(self, at: int) -> bool:
        """Whether others are only told what holds: “I always tell my customers that”."""
        if _AUDIENCE.search(self.text[max(0, at - 30) : at]) and self.text[at : at + 14].split()[0].endswith(
            ("s", "folk")
        ):
            return True
        if self.text.startswith(("last ", "previous "), at) and _WE_DID.search(self.text, max(0, at - 30), at):
            return True
        before = self.text[max(0, at - 12) : at].split()[-1:]
        of_size = bool(before) and (before[0] in _SIZED or before[0] in _GREETED)
        of_size = of_size or _YOU_LOT.match(self.text, max(0, at - 4)) is not None
        if self.text.startswith("they ", at) and not _SIZED.isdisjoint(
            word.removesuffix("s") for word in self.text[max(0, at - 50) : at].split()
        ):
            return True  # “the larges increase until they have”
        voice = _ON_IT.sub("", self.text[max(0, at - 30) : at]).split()[-1:]
        wants = self.text.startswith(("wants ", "asks "), at)  # “the brim wants the four millimetre needle”
        if voice and (voice[0] in _OWN_VOICE or (wants and voice[0] in self.known)) and _TOLD.match(self.text, at):
            return True
        fits = _WHO_FITS.match(self.text, at) is not None and not _I_KNOW.search(self.text, max(0, at - 20), at)
        return of_size or fits or _I_TELL.search(self.text, max(0, at - 40), at) is not None

    def _is_open(self, kind: int, at: int) -> bool:
        """Whether talk of a kind was opened in the words before one, and not closed since."""
        ends, closer = self.opened[kind]
        place = bisect_left(ends, self.starts[at]) - 1
        if place < 0 or ends[place] < self.starts[max(0, at - REACH)]:
            return False
        return closer.search(self.text, ends[place], self.starts[at]) is None

    def _since(self, at: int) -> str:
        """Give the words with which what is supposed at a word was opened, and those up to it."""
        ends, _ = self.opened[2]
        end = ends[bisect_left(ends, self.starts[at]) - 1]
        opener = self.text.rfind(" ", 0, max(0, end - 1)) + 1
        subject = 12 if self.text.startswith("would", opener) else 0  # “an adult hat would be”
        return self.text[max(0, opener - subject) : self.starts[at]]

    def _is_chosen(self, at: int) -> bool:
        """Whether what is supposed is that viewers choose what the course offers: “if you want the loop”."""
        return (
            bool(self.options)
            and re.search(f"{_CHOSEN}(?:{'|'.join(sorted(self.options))})\\b", self._since(at)) is not None
        )

    def _sized_since(self, at: int) -> bool:
        """Whether what is supposed is of a size that is named: “if you knit the large”."""
        since = self._since(at)
        return not self.own.isdisjoint(since.split()) or _OF_A_SIZE.search(since) is not None

    def of_others(self, at: int) -> bool:
        """Whether what stands at a word is told of other people, times or things."""
        return self._is_open(0, at)

    def of(self, first: int, end: int, sized: bool = False) -> Literal["", "supposed", "chosen", "apart"]:
        """Tell whether a quantity's words are said of the course; "apart" is what is denied, asked, or told of others,
        "chosen" what is supposed of a part that viewers may choose.

        What is supposed of a size that is named (``sized``: “if you knit the large”) is said of the course all the
        same.
        """
        before = " ".join(self.words[max(0, first - 7) : first])
        goes_on = " ..." if len(self.words) > end + AHEAD else ""
        after = _CONFESSED.split(" ".join(self.words[end : end + AHEAD]) + goes_on, maxsplit=1)[0]
        if self._is_open(0, first) or self._is_open(1, first):
            return "apart"
        if self.jokes and _JOKE.search(" ".join(self.words[end : end + 2 * AHEAD])):
            return "apart"
        if "i" in self.words[end : end + 2 * AHEAD] and _UNDONE.search(" ".join(self.words[end : end + 2 * AHEAD])):
            return "apart"
        if _DENIED.search(f"{before} #") or _REFUSED.search(after) or self.behind.search(after):
            return "apart"
        opened = self._is_open(2, first)
        sized = sized and not (opened and not self._sized_since(first))
        near_by = self.words[max(0, first - AHEAD) : first]
        astray = None
        if opened or not _CONDITIONS.isdisjoint(near_by):
            far = " ".join(self.words[end : end + 2 * AHEAD])
            if opened and _AFFIRMED.search(far):
                return ""
            astray = _IF_YOU.search(" ".join(near_by)) and _ASTRAY.search(far)
        supposed = opened or astray or _TOO.search(after) or _OR_MORE.match(after) or _ASIDE.search(after)
        if not supposed or sized:
            return ""
        return "chosen" if opened and not astray and self._is_chosen(first) else "supposed"
