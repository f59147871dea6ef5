"""A host who knows her script and does not read it: captions of an episode as it may really be said. Shares no code
with what reads them.

Of each planned segment she says some sentences as written, some loosely (little words lost, other words for the same
thing, halves turned round), some in her own words with only a few of the planned ones, and leaves some out. She talks
of other things, looks back and ahead, counts, falls silent over her work, leaves a whole segment out or tells two in
the other order. What hears her writes small letters, no stops, and words that sound alike.
"""

from __future__ import annotations

import random
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lessonplan.planning.worked import Worked

OTHER_WORDS = {
    "begin": "start", "needle": "stick", "pull": "tug", "little": "tiny", "slowly": "bit by bit", "count": "tally",
    "together": "as one", "look": "have a look", "wool": "yarn", "yarn": "wool", "big": "large", "finish": "get done",
    "piece": "thing", "mitten": "mitt", "hand": "palm", "put": "place", "easy": "simple", "show": "let you see",
    "knit": "work", "lift": "raise", "leave": "keep", "several": "a few", "once": "one time", "lay": "put",
    "round": "row", "across": "over", "behind": "in back of", "beautiful": "pretty", "close": "shut",
}  # fmt: skip
SOUNDS_LIKE = {
    "purl": "pearl", "so": "sew", "knit": "nit", "rib": "rip", "ribbed": "ripped", "wool": "will", "cuff": "cough",
    "two": "to", "yarn": "yawn", "gauge": "gage", "cast": "cost", "thumb": "some", "sew": "so", "band": "banned",
    "here": "hear", "marker": "market", "whole": "hole", "gusset": "gas it", "cobbles": "couples", "bar": "bore",
    "through": "threw", "loop": "lube", "right": "write", "waste": "waist", "swatch": "watch", "one": "won",
    "stitch": "ditch", "oatmeal": "oat meal", "decrease": "the crease", "edge": "age", "tail": "tale",
}  # fmt: skip
FILLERS = ["um", "uh", "you know", "i mean", "sort of", "actually", "kind of", "like", "just"]
OPENINGS = (
    "okay so", "right", "so now", "now then", "okay next", "alright let's move on", "so", "lovely", "and now", "",
    "", "", "good so here we go", "let me put this down first", "now where was i yes",
)  # fmt: skip
CHATTER = (
    "i do love this part it is so calming",
    "and if you have a cup of tea now is the time to drink it",
    "take all the time you need there is no hurry at all",
    "you can always pause the video and come back",
    "i used to be so afraid of this when i began",
    "don't worry if it looks odd at first mine always does",
    "let me hold that closer to the camera so you can see what i am doing",
    "is that in focus i think so",
    "my hands are a little cold this morning so bear with me",
    "just keep going and trust the process",
    "that's looking nice isn't it",
    "some of you will do it the other way and that's fine too",
    "i'll just do a few more of these",
    "there we are that's one done",
    "ask me in the comments if anything isn't clear",
    "knitting should be fun so don't fret over one stitch",
    "and on we go with the next few stitches round the needle",
    "keep your yarn where you want it and your shoulders down",
)
DIGRESSIONS = (
    "my neighbour came by yesterday with a basket of plums and we sat on the steps for an hour talking about her "
    "daughter's wedding which is in june in a barn with fairy lights and a brass band and it will surely rain",
    "the cat has just walked in hello no you can't sit on that get down he thinks everything soft belongs to him and "
    "to be fair mostly it does he slept on my best shawl all last week",
    "somebody asked me where i got this jumper and i'm afraid i knitted it twenty years ago from a magazine that no "
    "longer exists the sleeves were wrong in the pattern and i had to work them out on the back of an envelope",
    "when i was little my grandmother had a tin of buttons and we were allowed to sort them on rainy days by colour "
    "and by size and i think that is where all of this began with that tin and the sound it made",
    "it is blowing a gale outside you can probably hear it the ferry did not go this morning so the post will be late "
    "and the man who was going to mend the roof is stuck on the mainland until thursday",
    "before i forget there is a meeting in the village hall next month with stalls and soup and people bring what they "
    "have been making last year there was a whole table of hats and nobody went home cold",
    "i have been trying a new kind of light here and my son says i look like a ghost so tell me if it is too bright I "
    "can turn it to the wall and then we only have the window which at this time of year is not much",
)
BACK = ("remember what we did with {}", "like before with {}", "you saw that when we did {}")
AHEAD = ("we will come to {} later on", "in a while i'll show you {}", "{} comes after this but not yet")
_LITTLE = """
the a an and of to it is in that on with at by for as so but or you we i they this there then if
"""
LITTLE = frozenset(_LITTLE.split())

Phrase = tuple[float, float, tuple[str, ...]]


@dataclass(frozen=True)
class Script:
    """A segment's number, title and the sentences that it says."""

    number: str
    title: str
    sentences: tuple[str, ...]


@dataclass(frozen=True)
class Manner:
    """How far she departs from the script: shares of sentences as written, loosely, in her own words, the rest not."""

    written: float = 0.4
    loose: float = 0.3
    own: float = 0.2
    chatter: float = 0.2
    digress: float = 0.35
    mention: float = 0.3
    leave_out: float = 0.12
    swap: float = 0.12
    mishear: float = 0.25
    rate: float = 135.0


@dataclass(frozen=True)
class Told:
    """What was said: phrases with their seconds, and where each segment began."""

    phrases: tuple[Phrase, ...]
    starts: dict[str, float]


def scripts(worked: Worked, episode: int) -> list[Script]:
    """The script of each segment of an episode of a course, facts filled in."""
    found = []

    def filled(text: str) -> str:
        return re.sub(r"\{\{\s*(?:about\s+)?(\S+)\s*\}\}", lambda name: worked.facts[name[1]].at(worked.size), text)

    for number, owner, segment in worked.course.segments():
        if owner.episode == episode:
            told = tuple(part for shot in segment.shots for part in sentences(filled(shot.say)))
            found.append(Script(number, filled(segment.title), told))
    return found


def sentences(text: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in re.split(r"(?<=[.?!])\s+", " ".join(text.split())) if part.strip())


def tell(script: Sequence[Script], manner: Manner, chance: random.Random) -> Told:
    """Tell an episode freely."""
    order = [one for one in script if chance.random() >= manner.leave_out]
    place = 0
    while place + 1 < len(order):
        if chance.random() < manner.swap:
            order[place], order[place + 1] = order[place + 1], order[place]
            place += 1
        place += 1
    clock, phrases, starts = chance.uniform(0, 4), list[Phrase](), dict[str, float]()
    for one in order or script[:1]:
        said = _segment(one, script, manner, chance)
        clock += chance.uniform(0.3, 4)
        starts[one.number] = clock
        for text in said:
            clock = _say(_misheard(text, manner, chance), clock, manner, chance, phrases)
            if chance.random() < 0.06:
                clock += chance.uniform(4, 25)  # her hands work on
    return Told(tuple(phrases), starts)


def _segment(one: Script, script: Sequence[Script], manner: Manner, chance: random.Random) -> list[str]:
    said = [opening] if (opening := chance.choice(OPENINGS)) else []
    for sentence in one.sentences:
        dice = chance.random()
        if dice < manner.written:
            said.append(sentence)
        elif dice < manner.written + manner.loose:
            said.append(_loosely(sentence, chance))
        elif dice < manner.written + manner.loose + manner.own:
            said.append(_own_words(sentence, chance))
        if chance.random() < manner.chatter:
            said.append(chance.choice(CHATTER))
    others = [other for other in script if other is not one]
    if others and chance.random() < manner.mention:
        said.insert(chance.randrange(len(said) + 1), chance.choice(BACK + AHEAD).format(chance.choice(others).title))
    if chance.random() < manner.digress:
        said.insert(chance.randrange(len(said) + 1), chance.choice(DIGRESSIONS))
    return said or [one.title]


def _plain(text: str) -> list[str]:
    return re.findall(r"[^\W_]+(?:'[^\W_]+)?", text.casefold().replace("’", "'"))


def _loosely(sentence: str, chance: random.Random) -> str:
    halves = sentence.split(", ")
    if len(halves) > 1 and chance.random() < 0.3:
        halves = halves[::-1]
    words = []
    for word in _plain(" ".join(halves)):
        if word in LITTLE and chance.random() < 0.25:
            continue
        if chance.random() < 0.1:
            words.append(chance.choice(FILLERS))
        words.append(OTHER_WORDS[word] if word in OTHER_WORDS and chance.random() < 0.6 else word)
    return " ".join(words)


def _own_words(sentence: str, chance: random.Random) -> str:
    telling = [word for word in _plain(sentence) if word not in LITTLE]
    kept = chance.sample(telling, min(len(telling), chance.randint(1, 3)))
    words = chance.choice(CHATTER).split()
    for word in kept:
        words.insert(chance.randrange(len(words) + 1), word)
    return " ".join(words)


def _misheard(text: str, manner: Manner, chance: random.Random) -> list[str]:
    return [
        SOUNDS_LIKE[word] if word in SOUNDS_LIKE and chance.random() < manner.mishear else word for word in _plain(text)
    ]


def _say(words: Sequence[str], clock: float, manner: Manner, chance: random.Random, phrases: list[Phrase]) -> float:
    place = 0
    while place < len(words):
        count = chance.randint(4, 11)
        part = " ".join(words[place : place + count]).split()
        length = 60 * len(part) / manner.rate * chance.uniform(0.8, 1.25)
        phrases.append((clock, clock + length * 0.92, tuple(part)))
        clock += length
        place += count
    return clock + chance.uniform(0, 0.9)
