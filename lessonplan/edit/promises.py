"""What an episode promises its viewers: lines that must be said, referrals, and what the host promised as she spoke.

Each is open until something shows that it is kept: a line, that it is heard in the captions; all else, an entry below
``kept`` that has what `PROOF` names. An entry without that is a note of where it is to be kept, and no more.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate

from lessonplan.course.model.episodes import Episode
from lessonplan.course.problems import Problem, warning
from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.edit.align.terms import LITTLE, terms
from lessonplan.edit.captions.reading import Captions
from lessonplan.edit.captions.rolling import Said, Word, said_once
from lessonplan.pattern.texts import fill
from lessonplan.planning.worked import Worked
from lessonplan.remembered import remembered

DUE = {
    "another video": "description and end card",
    "the kit": "description",
    "the handout": "description",
    "the errata page": "description",
    "next episode": "end card",
}
"""Where what a shot mentions is to stand (common practice)."""
OWN = {"the handout": "address", "the errata page": "errata_address"}
"""What a course has an address of its own for, so that every description has it, and by which key."""
PROOF = {
    "captions": "a time of the video (2:05)",
    "handout": "a segment or shot (1.2), or an address",
    "next episode": "a later segment or shot (1.2.3), or an address",
    "photo": "the address of the photo, for the handout that is built here has drawings alone",
}
"""What shows that a promise is kept, by where it is due; elsewhere it is an address, at which viewers find it."""
HEARD = 0.7
"""A line is heard where so many of its telling words are said close together, every number among them (a guess)."""
CLOSE = 2.5
"""Close together: within so many times as many telling words as the line has (a guess)."""
LONGEST = 8
"""So many words are kept behind a spoken promise, if its caption goes on so long."""
BEFORE = 12
"""So many words at least, from where a caption begins, tell to what a spoken promise behind them points back."""
SHOWN = 4
"""So many words at least say what is to be shown."""
_WILL = r"(?:i'll|i will|i'm going to|i am going to|i shall|i can)"
_PUT = r"(?:put|leave|add|post|pop|link|list|print|write)"
_SHOW = r"(?:show|tell|explain|teach|do|make|demonstrate)"
_BELOW = r"(?:below|underneath|(?:in|into) the (?:description|notes))"
_NEXT = r"(?:next time|next week|in the next (?:one|part|episode|video))"
_SOME = r"(?: \S+){0,10}? "
_SPOKEN = {
    "description": (
        rf"{_WILL} {_PUT}{_SOME}{_BELOW}",
        rf"{_WILL} {_PUT} (?:you )?(?:a|the) link",
        rf"(?:the |a )?links? (?:(?:is|are|will be|to \S+ is) )?{_BELOW}",
        r"there(?:'s| is|'ll be| will be) a link",
    ),
    "handout": (
        rf"{_WILL} {_PUT}{_SOME}in(?:to)? the handout",
        r"(?:\S+(?:'s|'re| is| are| stands?)|(?:you(?:'ll| will| can)? )?(?:find|have))(?! not\b)(?: \S+){0,5}"
        r" in (?:the|your) handout",
        r"(?:(?<!me )see|look|check)(?: \S+){0,2} in (?:the|your) handout",
        r"the handout (?:has|shows|tells|gives|lists|explains)",
    ),
    "next episode": (rf"{_WILL} {_SHOW}{_SOME}{_NEXT}", rf"{_NEXT} {_WILL} {_SHOW}"),
    "another video": (
        rf"{_WILL} {_SHOW}{_SOME}another (?:video|time|day)",
        r"(?:there(?:'s| is)|i have|i've got) (?:a|another) video (?:on|about|of|where)",
    ),
}
"""Where a spoken promise is due, and how it is said (common practice, a list of our own)."""
_PHOTO = re.compile(r"\bphoto(?:s|graphs?)?\b", re.IGNORECASE)
"""What no place of the handout shows: it has drawings alone."""
PRINTED = "printed there anyway"
"""How a promise is kept of what every handout has: the pattern with the numbers of all sizes."""
AHEAD = 4
"""So many words around a promise still tell what is there: “… you find the numbers for your size”."""
_PRINTED = re.compile(
    r"\b(?:numbers|stitch counts?|counts|sizes|pattern|instructions|abbreviations|gauge)\b(?! (?:of|for) the buttons)"
)
_NOT_PRINTED = re.compile(
    r"\b(?:photo\w*|pictures?|charts?|links?|address\w*|shops?|videos?|phone|telephone|page numbers?|recipes?|notes?)\b"
)
_POINTS_BACK = re.compile(r"(?<!\S)(?:it|that|them|this|these|those)(?!\S)", re.IGNORECASE)
_POINTS_BELOW = re.compile(r"\b(?:below (?:this|the) video|links? below|in the (?:description|notes))\b", re.IGNORECASE)
"""A text over the picture that sends viewers to the description; what is there its shot may say by ``mentions``."""
_PROMISED = {due: re.compile(rf"\b(?:{'|'.join(ways)})\b") for due, ways in _SPOKEN.items()}


@dataclass(frozen=True, slots=True)
class Promise:
    """One promise: where it is due, its words, the shot it stands in, when it is said (seconds), how it is kept.

    ``source`` is ``must say``, ``mentions``, ``shown`` (a text over the picture) or ``said``; ``at`` is None where it
    is not heard or nobody has heard yet.
    ``kept`` is empty while it is open; ``noted`` is then what an entry says that shows nothing. ``before`` are the
    words before a spoken one that points back to them: “I'll put the link to it below”.
    """

    source: str
    due: str
    words: str
    number: ShotNumber | None
    at: float | None
    kept: str
    noted: str = ""
    before: str = ""

    @property
    def open(self) -> bool:
        """Whether it is still to be kept."""
        return not self.kept

    @property
    def proof(self) -> str:
        """What would show that it is kept."""
        own = f"its address (“{OWN[self.words]}:” in course.yaml)" if self.words in OWN else "its address"
        return PROOF.get(_shown_by(self.due, self.words), own)

    @property
    def unnamed(self) -> str:
        """The words before, as long as no entry says in words what is promised."""
        return "" if re.sub(r"https?://\S+", "", self.kept).strip() else self.before


@remembered(100)
def promises_of(worked: Worked, episode: Episode, captions: Captions | None = None) -> tuple[Promise, ...]:
    """List what an episode promises: planned ones by shot, then what is said, in order of time."""
    said = said_once(captions.cues) if captions else ()
    return (
        *_planned(worked, episode, [word for one in said for word in one.words]),
        *_spoken(worked, episode, said),
    )


def unmatched(worked: Worked, episode: Episode, captions: Captions | None) -> tuple[Problem, ...]:
    """Tell of entries below ``kept`` whose words no promise of the episode has."""
    texts = [_plain(one.words) for one in promises_of(worked, episode, captions)]
    return tuple(
        warning(episode.mark("kept", one), "no-promise", f"No promise of this episode has the words “{one}”.")
        for one in episode.kept
        if not any(_has(text, one) for text in texts)
    )


def _planned(worked: Worked, episode: Episode, words: Sequence[Word]) -> Iterator[Promise]:
    word = worked.word
    for one in worked.course.shots_in(str(episode.episode)):
        for line in one.shot.must_say:
            text = fill(line, word)
            at = _heard_at(text, words)
            made = _promise(worked, episode, source="must say", due="captions", words=text, number=one.number, at=at)
            yield replace(made, kept="said", noted="") if at is not None else made
        for mention in one.shot.mentions:
            text = fill(f"{mention.what}: {mention.of}" if mention.of else mention.what, word)
            yield _promise(worked, episode, source="mentions", due=DUE[mention.what], words=text, number=one.number)
        for shown in one.shot.on_screen if not one.shot.mentions else ():
            text = fill(shown, word)
            if _POINTS_BELOW.search(text):
                yield _promise(worked, episode, source="shown", due="description", words=text, number=one.number)


def _promise(
    worked: Worked,
    episode: Episode,
    *,
    source: str,
    due: str,
    words: str,
    number: ShotNumber | None = None,
    at: float | None = None,
) -> Promise:
    """Make a promise, kept where an entry shows it; those of `OWN` are, once the course has their address."""
    file = worked.course.course
    how = _entry(episode, words) or dict(zip(OWN, (file.address, file.errata_address), strict=True)).get(words, "")
    shown = _shows(worked, episode, _shown_by(due, words), how)
    return Promise(source, due, words, number, at, kept=how if shown else "", noted="" if shown else how)


def _shown_by(due: str, words: str) -> str:
    """Name by what of `PROOF` a promise is shown to be kept: a photo in the handout by no place of it."""
    return "photo" if due == "handout" and _PHOTO.search(words) else due


def _shows(worked: Worked, episode: Episode, due: str, how: str) -> bool:
    """Tell whether what an entry says shows that a promise is kept (see `PROOF`)."""
    if due == "captions":
        return re.search(r"\b\d+:[0-5]\d\b", how) is not None
    named = due in ("handout", "next episode") and any(
        due == "handout" or int(place.partition(".")[0]) > episode.episode
        for place in re.findall(r"\b\d+\.\d+(?:\.\d+)?\b", how)
        if worked.course.shots_in(place)
    )
    return named or re.search(r"https?://\S+\.\S", how) is not None


def _spoken(worked: Worked, episode: Episode, said: Sequence[Said]) -> Iterator[Promise]:
    """Find what is promised, each with the words to the end of its caption, or of the next to say what is shown."""
    words = [word for one in said for word in one.words]
    ends = list(accumulate(len(one.words) for one in said))
    text = " ".join(word.text.casefold().replace("’", "'") for word in words)
    found = sorted((match.span(), due) for due, pattern in _PROMISED.items() for match in pattern.finditer(text))
    until = 0
    for (start, end), due in found:
        first, last = text.count(" ", 0, start), text.count(" ", 0, end) + 1
        if first >= until:
            whole = last if due in ("description", "handout") else min(last + SHOWN, len(words))
            until = min(next(one for one in ends if one >= whole), whole + LONGEST)
            promised = " ".join(word.text for word in words[first:until])
            at = words[first].start / 1000
            began = max(one for one in (0, *ends) if one <= max(0, first - BEFORE))
            before = " ".join(word.text for word in words[began:first])
            made = _promise(worked, episode, source="said", due=due, words=promised, at=at)
            told = " ".join(word.text.casefold() for word in words[first : last + AHEAD])
            if made.open and due == "handout" and _PRINTED.search(told) and not _NOT_PRINTED.search(f"{before} {told}"):
                made = replace(made, kept=PRINTED)
            yield replace(made, before=before if _POINTS_BACK.search(promised) else "")


def _heard_at(line: str, words: Sequence[Word]) -> float | None:
    """Find when a line is said, in seconds: where most of its telling words and all its numbers stand together."""
    wanted = [one for one in terms(line) if one not in LITTLE or one in _NUMBERS]
    if not wanted or not words:
        return None
    spoken = [
        (one, word.start / 1000) for word in words for one in terms(word.text) if one in wanted or one not in LITTLE
    ]
    numbers, size = {one for one in wanted if one in _NUMBERS}, round(CLOSE * len(set(wanted))) + 1
    best = (0.0, 0.0)
    for place, (one, time) in enumerate(spoken):
        if one in wanted:
            near = {other for other, _ in spoken[place : place + size]} & set(wanted)
            if numbers <= near:
                best = max(best, (len(near) / len(set(wanted)), -time))
    return -best[1] if best[0] >= HEARD else None


_NUMBERS = frozenset(one for number in range(100) for one in terms(str(number)))


def _entry(episode: Episode, words: str) -> str:
    """Give what the entry says that has the words of a promise, if one has."""
    text = _plain(words)
    return next((how for one, how in episode.kept.items() if _has(text, one)), "")


def _has(text: str, entry: str) -> bool:
    """Whether the words of an entry stand in a promise, in their order; others may stand between them."""
    rest = iter(text.split())
    return all(word in rest for word in _plain(entry).split())


def _plain(text: str) -> str:
    return " ".join(re.findall(r"[^\W_]+(?:'[^\W_]+)?", text.casefold().replace("’", "'")))
