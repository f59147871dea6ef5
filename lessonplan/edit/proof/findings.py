"""What is planned and what is found: a number that holds where it is said, and one thing that proofing found."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from lessonplan.pattern.facts import Fact

Kind = Literal[
    "disagrees",
    "wrong unit",
    "unplanned number",
    "swapped words",
    "took it back",
    "said of the sample only",
    "never said",
    "said twice",
]
KINDS: tuple[Kind, ...] = Kind.__args__  # type: ignore[attr-defined]
"""Every kind of finding."""


@dataclass(frozen=True, slots=True)
class Finding:
    """A finding: its kind, the segment, when (s), what was said, in which words, and what holds there instead.

    ``right`` is worded; ``fact`` names the fact that it comes from, where one does. ``place`` and ``place_end`` are
    where its words stand in a typed text.
    """

    kind: Kind
    segment: str
    start: float
    said: str
    context: str
    right: str = ""
    fact: str = ""
    place: int = 0
    place_end: int = 0


@dataclass(frozen=True, slots=True)
class Planned:
    """A number that holds: its unit, its value in each size (or one for all), what it is, and when it is meant.

    ``cue`` tells which words it goes with: cast on, held, picked up, end, start, state, total, round N, between,
    change, half, each, line, last, gauge, around, across, length, time, dry, cooled, text. ``fact`` names it, where
    it is a fact; ``words`` are those around it in the script.
    """

    unit: str
    values: tuple[float, ...]
    what: str
    cue: str
    fact: str = ""
    stage: str = ""
    words: frozenset[str] = frozenset()

    def at(self, size: int) -> float:
        """The value in a size (0-based)."""
        return self.values[size if len(self.values) > 1 else 0]


def of_fact(fact: Fact, unit: str, cue: str) -> Planned:
    """Make a planned number of a fact; lengths in centimetres."""
    scale = 10.0 if unit == "cm" else 1.0
    values = tuple(float(one) / scale for one in fact.values if not isinstance(one, str))
    return Planned(unit=unit, values=values, what=fact.meaning, cue=cue, fact=fact.name)


@dataclass(frozen=True, slots=True)
class Verdict:
    """What is wrong with a quantity, and what holds instead: in words, with its fact."""

    kind: Kind
    right: str = ""
    fact: str = ""


CUES = {
    "cast on": r"(?<!from the )(?<!since the )\bcast(?:ing)? on\b(?! edge)",
    "held": r"\bpark (?:them|these|those|it|the thumb)\b|# (?:stitches )?(?:[\w']+ ){0,3}parked\b"
    r"|\b(?:waste yarn|on hold|(?<!half )(?<!thumb's )(?<!thumb is )asleep|scrap yarn|(?:go|going|goes|gone|put) to"
    r" (?:sleep|bed|rest))\b"
    r"|# (?:stitches "
    r")?to (?:sleep|bed|rest)\b|(?:eleven|teen|\d\d) to (?:sleep|bed)\b"
    r"|\b(?:on(?:to)?|off|from) (?:a|the|my|your) (?:thread|string|scrap|holder|(?:bit|piece|length) of (?:[\w']+ "
    r")?(?:thread|string"
    r"|yarn|wool|cotton))\b|\bpiece of yarn\b",
    "picked up": r"\bpick(?:ed|ing)? up\b",
    "between": r"\b(?:(?:between|inside) (?:the|both|two|your|my|those|these)(?: two)? markers|in the gusset"
    r"|within the markers|in the wedge)\b|# (?:\w+ ){0,3}between them\b|# (?:of (?:them|those"
    r"|these) )?in the middle\b|\bwedge (?:[\w']+ )?(?:has|is|gets|holds) #",
    "change": r"\btakes? away\b.*#"
    r"|\b(?:adds?|gets? rid of|increases? by|decreases? by|(?<!any )(?<!no )fewer|more each|los(?:e|es|ing))\b"
    r"|(?<!put )(?<!take )(?<!takes )(?<!straight )(?<!right )\baway\b"
    r"|# (?:in|at|on) (?:every|each) (?:increase|decrease|round)|# (?:stitches )?a (?:round|row|go)\b(?! one)"
    r"|\b(?:we've|we|you've|that's|i've) (?:just |now )?(?:lost|gained|added|taken (?:off|out|away)"
    r"|got rid of) #(?= (?:stitches )?(?:this|each|every|in|on|one))"
    r"|\b(?:every|each) (?:increase |decrease )?round (?:gives?|adds?|makes?)(?: you| us)? #"
    r"|(?<!first )(?<!second )(?<!third )(?<!last )\b(?<!does it )(?<!do we )(?<!do you )(?:gets?|increases?"
    r"|decreases?) #",
    "repeat": r"\b(?:sections?|wedges?|segments?|repeats?|panels?)(?: (?!into\b)[\w']+){0,2}? (?:has|have"
    r"|starts?(?: out)?|begins?)(?: with| at)? #"
    r"|\btakes? up # (?:stitches )?each\b|\b(?:sections|wedges|segments|repeats|groups"
    r"|lots)(?: \w+)? (?:of|with) #|"
    r"\ba (?:whole |full |single )?[\w']+ (?:is|has|takes) #|# (?:stitches )?and (?:start|begin"
    r"|off you go|round we go|over) again\b|\b(?:for every|every) # stitches|(?:knit|purl"
    r"|slip) [\w']+ (?:so )?(?:that|which)(?:'s| is"
    r"| makes) #|\brepeat(?:'s(?: got)?| (?:these|those|the)) #|\bmakes? (?:one|up|a) (?:whole|full|course|repeat"
    r"|set)\b"
    r"|# (?!turns?\b|goes\b|go\b)[\w']+ into\b"
    r"|\b(?:multiple|a repeat is|repeat (?:of|over|has|is)|(?:goes|works?|worked|repeats) over)\b"
    r"|\b(?:every|each|one) (?:little |single )?(?:section|repeat|wedge|segment|panel|slice|gore|group|set)\b"
    r"|# stitch (?:repeat|section|wedge|panel|segment)\b|# (?:stitches )?(?:to|in|per) (?:a|each|every|one)"
    r" (?:little )?(?:group|section|repeat|wedge|segment|panel)\b",
    "half": r"\b(?:half(?! (?:asleep|past|an|a|of an)\b)|halfway|halves|each side|fold|(?:either|other|one|this"
    r"|that) side|(?:on|at) the (?:front"
    r"|back)(?! needle))\b",
    "each": r"\b(?:on each|each (?:of|needle)|per needle)\b"
    r"|(?<!front )(?<!back )(?<!darning )(?<!blunt )(?<!tapestry )\bneedles?\b",
    "gauge": r"\b(?:gauge|tension|swatch|(?:this|that|other|one|between the|two) pins?|across|apart|upward|(?<!cast"
    r" )(?:to|over|on) (?:#|ten|four|10|4) ?)",
    "start": r"\b(?:that (?:we|you|i) had|(?:we|you|i)(?:'ve)? (?:had|started|began|begun) with|back then)\b",
    "end": r"\b(?:remain\w*|are left|is left|left of|at the end|until|are ready)\b",
    "rested": r"\b(?:plain|between|every other|slow)\b",
    "every": r"\btakes #.* to\b|\b(?:every|each) #",
    "last": r"\b(?:last|before the|to within|from the end|short of)\b",
    "around": r"\baround\b(?! #)|# round\b|\bround (?:the|it)\b|\bwide\b|\bacross\b|\bcircumference\b"
    r"|# (?:centi\w+|cms?|inch(?:es)?) round\b(?! count)|\bflat\b|\bwidth\b",
    "across": r"\bwide\b|\bacross\b|\bflat\b|\bwidth\b",
    "needle": r"\b(?:needles?|hook)\b",
    "ball": r"\b(?:balls?|skeins?|hanks?|hundred grams|gets? you|label)\b|# (?:on|in|to) each\b|\bout of (?:one"
    r"|each|every|this)\b",
    "dry": r"\b(?:dr(?:y|ies|ied|ying)|sleep|towel|flat)\b",
    "length": r"\b(?:long|deep|high|tall|upward|length|depth)\b",
    "line": r"\b(?:first|next|these|those|(?:knit|purl|work|slip) #)",
    "state": r"\b(?:done|here|after|now|so far|have|already|this one|worked|more|to go|left|am|like this)\b",
    "run": r"\bmarkers?\b|# (?:stitches )?(?:from|after) the (?:start|beginning)\b|\bthen\b|\bafter #",
    "made": r"\b(?:slip|slips|slipped|purl|purls|purled|knitted)\b",
    "plain": r"# (?:more )?plain\b|# (?:rounds|rows) straight(?: (?:or|until|and)\b|$)|# (?:more )?(?:rounds|rows)"
    r" (?:straight|even) (?:with )?no\b"
    r"|# (?:more )?(?:rounds|rows) (?:are |with )?(?:plain|without"
    r"|no (?:(?:in|de)creas\w+|shaping))\b",
    "shaping": r"\b(?:as wide as|grows?|increase|decrease|increasing|decreasing|increases|decreases|shaping"
    r"|make|new)\b",
    "measure": r"\b(?:fits?|widest|measure around|knuckles|wrist|head|(?:a|your) hand)\b",
    "whole": r"\b(?:whole|total|altogether|in all|all told|from the first)\b"
    r"|\b(?:finished|tip|start to finish|top to bottom|end to end)\b|\bfrom (?:the )?(?:[\w']+ )?(?:edge|bottom"
    r"|cast on) (?:[\w']+ ){0,2}to\b",
}
"""The words with which a number of each cue is said."""
