"""What keys, entries and works are called in a form, and which keys are shown at once."""

from __future__ import annotations

import re
from collections.abc import Mapping
from contextlib import suppress
from datetime import date
from typing import Any

from lessonplan.course.model.works import WORK_KEYS, Knit, Plain
from lessonplan.course.values.fields import Item
from lessonplan.course.words import short_date

LABELS: Mapping[str, str] = {
    "needs": "Ready for the shot",
    "Shot.shows": "How much of the work is seen",
    "PieceOnTable.shows": "Only shown: how far it may be",
    "leaves": "How far it is afterwards",
    "kinds": "Kinds that will do",
    "spare": "Spares",
    "apart": "Serves no other shot",
    "one_way": "Cannot be undone",
    "runs_on": "Runs on from the shot before",
    "can_drop": "May be left out",
    "must_say": "Must be said",
    "in_order": "Filmed in the order of the story",
    "chapter": "Begins a chapter",
    "hands": "What the hands do",
    "pieces": "Pieces on the table",
    "points": "Said in her own words",
    "say": "Said, word for word",
    "do": "What is done",
    "work": "Line that is worked",
    "works": "Works",
    "after": "After",
    "when": "Only with these choices",
    "on_screen": "Text over the picture",
    "Shot.cues": "Asked of the computed texts",
    "CourseFile.cues": "Computed texts over the picture",
    "Pace.opening": "Opening moment",
    "Pace.hold": "Still at the end",
    "Pace.over_all": "Words a minute over all",
    "Pace.reset": "Back for the next take",
    "Pace.swap": "On to the next shot",
    "Knitter.pace": "Stitches a minute",
    "Knitter.learn": "Learn her pace",
    "learnt": "File of learnt paces",
    "views": "Views of the camera",
    "order": "Order of filming",
    "paper": "Size of the papers",
    "frame_rate": "Pictures a second",
    "Release.first": "First episode comes out on",
    "Gauge.over": "Counted over",
    "Pattern.make": "How many are made",
    "Pattern.margin": "More yarn than counted",
    "terms": "Crochet terms",
    "Kit.spare": "Kits more than asked for",
    "Kits.number": "How many",
    "CourseFile.pace": "Paces",
    "Shot.one_way": "A take cannot be undone",
    "Point.point": "Name of this place",
    "call": "Call",
    "films": "What is filmed, in this order",
    "on_camera": "Stitches a minute on camera",
    "knitting": "Stitches a minute at home",
    "speech": "Words a minute",
    "shoot": "Days of filming",
    "drawer": "In the drawer already",
    "hex": "Colour on drawings",
    "short": "Rounds of a short piece",
    "small": "Width of a small piece",
    "found": "Found on",
    "Erratum.by": "Found by",
    "mended_in": "Mended in edition",
    "right": "What is right",
    "said": "What is said or shown",
    "where": "Where it stands",
    "Drawer.state": "How far it is",
    "each": "Time for each",
    "take_up": "Take up held stitches",
    "pick_up": "Pick up and knit",
    "kept": "Promises that are kept",
    "cuts_made": "Cuts that are made",
    "mentions": "Refers viewers to",
}
"""What is not simply the key with blanks."""
HELP: Mapping[str, str] = {
    "say": "What is said, word for word. Numbers are best picked at the foot of the page, so that they are right.",
    "right": "What is right; a number is best picked at the foot of the page, so that it cannot be wrong twice.",
    "Measure.knitted": "The lengths of the pattern that are added up and compared with it, by their names.",
    "Yarn.hex": "The colour that it has on drawings, as screens name colours: # and six letters or digits.",
    "Erratum.changed": "When its state was changed last; who follows the errata is told of it anew then.",
    "slate": "The number that stays with the shot, given when the plan is agreed.",
    "Packed.what": "A yarn or material by its short name, a notion, needle or tool of the course, or anything else.",
    "Plain.minutes": "How long it takes, for anything that is not among the works to choose from.",
    "Point.point": "The name of this place, by which shots say how far a piece is.",
    "shoot": "When and where it is filmed, and what on which day.",
    "Words": "The words of your craft on all papers; what is left empty is as usual in it.",
}
"""What is said of a key otherwise than in a file, where the words of files are known."""
_VALUES: Mapping[str, str] = {
    "techniques": "How many knit stitches it takes as long as",
    "patterns": "Its lines",
    "colours": "Which yarn it is",
    "kit": "What it needs",
    "in_stripe": "The line",
    "uses": "How much",
    "progress": "How far it is, and the time so far",
    "kept": "How it is kept",
}
"""What the value is that stands behind a name of the teacher's own."""
_BRACES = re.compile(r"\{\{.*?\}\}", re.DOTALL)
_ONES: Mapping[str, str] = {
    "shoot": "day of filming",
    "hands": "thing the hands do",
    "works": "work",
    "drawer": "piece in the drawer",
    "holds": "thing in the kit",
    "kits": "batch of kits",
    "errata": "erratum",
    "kept": "promise",
    "progress": "piece",
    "cues": "text over the picture",
    "uses": "material",
    "kit": "choice",
    "in_stripe": "round of a stripe",
    "techniques": "technique",
    "pieces": "piece",
    "makers": "maker",
}
WORK_LABELS: Mapping[str, str] = {
    "rounds": "rounds, by lines",
    "rows": "rows, by lines",
    "lines": "lines, each worked once",
    "chart": "a colour chart",
    "minutes": "anything else, in minutes",
    "units": "counted things",
    "point": "a named place between two works",
    "half_round": "half a round",
}
SHOWN: Mapping[str, frozenset[str]] = {
    "CourseFile": frozenset({"title", "host", "summary", "film_size", "knitters", "makers", "shoot", "tools", "pace"}),
    "Pattern": frozenset({"title", "craft", "sizes", "gauge", "needles", "notions", "yarns", "measures", "stages"}),
    "Stage": frozenset({"title", "after", "works", "watch_for"}),
    "Episode": frozenset({"episode", "title", "summary", "segments"}),
    "Segment": frozenset({"title", "shots", "watch_for", "handout"}),
    "Shot": frozenset({"view", "title", "pieces", "tools", "hands", "say", "on_screen", "takes"}),
    "PieceOnTable": frozenset({"needs", "shows", "leaves", "kinds"}),
    "Knit": frozenset({"rounds", "rows", "lines", "times", "yarn", "note"}),
    "ShootDay": frozenset({"day", "call", "wrap", "lunch", "films", "helpers", "place"}),
    "Yarn": frozenset({"name", "colour", "hex", "metres", "grams"}),
}
"""The keys that are shown at once though nothing stands there, by the model; of others all but what works share."""
SHOWN_ELSEWHERE: Mapping[str, frozenset[str]] = {
    "Pattern": frozenset({"title", "craft", "sizes", "tools", "notions", "materials", "stages"}),
    "Pace": frozenset({"speech", "set_up", "view_change", "tray_change", "reset", "swap"}),
    "Knitter": frozenset({"name", "hours_per_week", "starts", "away"}),
}
"""The same in a craft in which no stitches are counted."""
_TITLES = (
    "title",
    "name",
    "what",
    "do",
    "work",
    "show",
    "text",
    "day",
    "found",
    "size",
    "needs",
    "shows",
    "letter",
    "slate",
)


def label_of(key: str, model: type[Item] | None = None) -> str:
    """Say what a key is called in a form, perhaps otherwise in the group of a model."""
    own = LABELS.get(f"{model.__name__}.{key}") if model else None
    return own or LABELS.get(key) or key.replace("_", " ").capitalize()


def help_of(key: str, model: type[Item] | None, meaning: str) -> str:
    """Say what a key means in a form: as where files are explained, unless that speaks of files."""
    own = HELP.get(f"{model.__name__}.{key}") if model else None
    return own or HELP.get(key) or meaning


def value_label(key: str) -> str:
    """Say what stands behind the name of each entry of a list."""
    return _VALUES.get(key) or one_of(key).capitalize()


def one_of(key: str) -> str:
    """Say what an entry of a list is called: a shot of the shots."""
    return _ONES.get(key) or key.removesuffix("s").replace("_", " ")


def work_label(key: str) -> str:
    """Say what a work is called, by the key that calls it."""
    return WORK_LABELS.get(key) or key.replace("_", " ")


def entry_title(data: Any, name: str, key: str, number: int) -> str:
    """Say what an entry is called: by its name, by what is said of it first, or by its number."""
    if isinstance(data, str):
        return f"{name}: {_brief(data)}" if name else _brief(data) or f"{one_of(key).capitalize()} {number}"
    held = data if isinstance(data, dict) else {}
    if key == "works":
        return _brief(_work_title(held)) or f"Work {number}"
    if key == "shoot":
        return _day_title(held, number)
    if key == "errata" and held.get("said"):
        return _brief(f"{held.get('where', '')}: {held['said']}")
    if key == "shots" and not held.get("title"):
        told = held.get("say") or held.get("view") or ""
    else:
        told = next((held[one] for one in _TITLES if isinstance(held.get(one), str) and held[one]), "")
    if name:
        return f"{_brief(told)} ({name})" if told and told != name else name
    return _brief(str(told)) or f"{one_of(key).capitalize()} {number}"


def _work_title(work: Mapping[str, Any]) -> str:
    """Say what a work is: “cast on: 40 (44, 48)”, “20 rounds: Knit”, “6 times: Knit, Purl”."""
    call = next((word for word in WORK_KEYS if word in work), "")
    if not call:
        return ""
    told = {key: ", ".join(map(str, one)) if isinstance(one, list) else str(one) for key, one in work.items()}
    if WORK_KEYS[call] is Knit:
        far = next((f"{told[key]} {key}" for key in ("rounds", "rows", "times") if told.get(key)), "")
        lines = told.get("lines") or f"chart {told['chart']}" if told.get("lines") or told.get("chart") else ""
        return f"{far}: {lines}" if far and lines else far or lines or call
    what = told.get("what") or told[call]
    return f"{work_label(call).capitalize()}: {what}" if WORK_KEYS[call] is not Plain else what.capitalize()


def _day_title(held: Mapping[str, Any], number: int) -> str:
    """Say which day of filming it is, what is filmed and where: “Day 1, Sat 13 Feb 2027: 1.1, 3.5 at The Net Loft”."""
    told = str(held.get("day") or "")
    with suppress(ValueError):
        told = short_date(date.fromisoformat(told))
    films = held.get("films") or ""
    films = _brief(", ".join(map(str, films)) if isinstance(films, list) else str(films))
    place = _brief(str(held.get("place") or ""))
    where = " at ".join(filter(None, (films, place)))
    return f"{', '.join(filter(None, (f'Day {number}', told)))}{': ' if where else ''}{where}"


def _brief(text: str) -> str:
    line = " ".join(_BRACES.sub("…", text).split())
    return line if len(line) <= 60 else f"{line[:59].rstrip()}…"
