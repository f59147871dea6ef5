"""What is asked before a first course is written: questions with example and default, and what is wrong with answers;
and the interview on the terminal, one question after the other, with a way back to the one before.

The answers are texts, as they are typed in the interview or given as options; `answers_of` reads them all.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date

from lessonplan.beginning.constructions import MADE, OTHER, bodies
from lessonplan.course.values.fields import day_in
from lessonplan.course.words import capital
from lessonplan.craft.words import common_words, craft_named

MOST_EPISODES = 5
Texts = Mapping[str, str]


class AnswerError(ValueError):
    """An answer that cannot be taken: its question's name, and one sentence."""

    def __init__(self, name: str, sentence: str) -> None:
        super().__init__(sentence)
        self.name = name


@dataclass(frozen=True, slots=True)
class Answers:
    """The answers, read. Stitches and rounds are counted ``over`` a length (``10 cm``, ``4 in``).

    ``days`` are those of the shoot; without any they are chosen so that every sample can be ready.
    """

    made: str
    title: str
    host: str
    craft: str
    today: date
    sizes: tuple[str, ...]
    stitches: str
    rounds: str
    over: str
    needle: str
    colours: tuple[str, ...]
    episodes: int
    shoot_days: int
    days: tuple[date, ...]
    knitters: tuple[str, ...]
    hours: str
    pace: str


@dataclass(frozen=True, slots=True)
class Question:
    """One question, from the answers so far: ``default`` is taken where nothing is said; ``offered``: all choices."""

    name: str
    asked: str
    example: str
    default: Callable[[Texts], str]
    knitted_only: bool = False
    offered: Callable[[Texts], tuple[str, ...]] = lambda so_far: ()


def _sizes(so_far: Texts) -> str:
    return ", ".join(_all_sizes(so_far)[-3:])


def _all_sizes(so_far: Texts) -> tuple[str, ...]:
    return tuple(body.size for body in bodies(so_far["made"]))


def plain_made(text: str) -> str:
    """What is made, as the program calls it: ``A Hat`` is a hat."""
    return re.sub(r"^(?:an?|the|some)\s+", "", " ".join(text.lower().split()))


def _title(so_far: Texts) -> str:
    return "A First Course" if so_far["made"] == OTHER else f"{so_far['made'].capitalize()}, Step by Step"


def _of_made(name: str) -> Callable[[Texts], str]:
    """What is offered for a thing that is made, of its own craft."""
    return lambda so_far: str(getattr(MADE[so_far["made"] if so_far["made"] in MADE else "hat"], name))


def _always(text: str) -> Callable[[Texts], str]:
    return lambda so_far: text


QUESTIONS = (
    Question("made", f"What is made: {', '.join(MADE)} or {OTHER}?", "hat", _always("hat")),
    Question(
        "craft",
        "Which craft?",
        "knitting",
        lambda so_far: "craft" if so_far["made"] == OTHER else MADE[so_far["made"]].craft,
    ),
    Question("title", "What is the course called?", "A Hat for the Harbour", _title),
    Question("host", "Who teaches it?", "Tove Marrowby", _always("The Host")),
    Question("sizes", "Which sizes?", "child, adult", _sizes, knitted_only=True, offered=_all_sizes),
    Question("gauge", "Your gauge, washed?", "20 x 28 to 10 cm", _of_made("gauge"), knitted_only=True),
    Question("needle", "On which needle or hook?", "4.5 mm", _of_made("tool"), knitted_only=True),
    Question("colours", "Which colour, or two?", "oatmeal, blue", _always("oatmeal"), knitted_only=True),
    Question("episodes", "How many episodes?", "2", _always("2")),
    Question("shoot", "How many days of filming, or on which?", "1, or 2027-03-13", _always("1")),
    Question("knitters", "Who makes the samples?", "Odalys Pekk, Bram Uttley", lambda so_far: so_far["host"]),
    Question("hours", "How many hours a week has each of them?", "6", _always("6")),
    Question("pace", "How many stitches a minute?", "25", _always("25"), knitted_only=True),
)


def questions(so_far: Texts) -> tuple[Question, ...]:
    """Give the questions that what is made leaves open."""
    other = so_far.get("made", "") == OTHER
    return tuple(one for one in QUESTIONS if not (one.knitted_only if other else one.name == "craft"))


def answers_of(texts: Texts, today: date) -> Answers:
    """Read all answers; what is not given takes its default. Raises `AnswerError` for one that cannot be taken."""
    said: dict[str, str] = {}
    for question in QUESTIONS:
        said[question.name] = texts.get(question.name, "").strip() or question.default(said)
        if question.name == "made":
            made = _one_of("made", plain_made(said["made"]), (*MADE, OTHER))
            said["made"] = _of_craft(made, texts.get("craft", "").strip())
    days, count = _days(said["shoot"], today)
    stitches, rounds, over = gauge_of(said["gauge"])
    episodes = int(_number("episodes", said["episodes"], 1, MOST_EPISODES))
    if count > episodes:
        raise AnswerError("shoot", f"There are more days of filming ({count}) than episodes ({episodes}).")
    known = _all_sizes(said)
    sizes = () if said["made"] == OTHER else _listed("sizes", said["sizes"], 12)
    colours = _listed("colours", said["colours"], 2)
    return Answers(
        made=said["made"],
        title=said["title"],
        host=said["host"],
        craft=said["craft"],
        today=today,
        sizes=tuple(_one_of("sizes", size.lower(), known) for size in sizes),
        stitches=stitches,
        rounds=rounds,
        over=over,
        needle=said["needle"],
        colours=colours,
        episodes=episodes,
        shoot_days=count,
        days=days,
        knitters=_listed("knitters", said["knitters"], 20),
        hours=f"{_number('hours', said['hours'], 0.5, 80):g}",
        pace=f"{_number('pace', said['pace'], 2, 120):g}",
    )


def _of_craft(made: str, craft: str) -> str:
    """Give what is made in the craft that is named: a hat in crochet is a crochet hat. Raises `AnswerError`."""
    named = craft_named(craft) if craft else ""
    drafts = [name for name, one in MADE.items() if one.craft == named]
    if not named or made in drafts or (made == OTHER and not drafts):
        return made
    plain = made.removeprefix("crochet ")
    if same := [name for name in drafts if name in (plain, f"crochet {plain}")]:
        return same[0]
    if drafts:
        raise AnswerError("craft", f"For {named} a first course is one of: {', '.join(drafts)}.")
    is_made = common_words(MADE[made].craft).made
    raise AnswerError("craft", f"“{made}” is {is_made} here: for {craft} take “{OTHER}”.")


def _one_of(name: str, text: str, known: tuple[str, ...]) -> str:
    if text not in known:
        more = f" For any other thing or craft take “{OTHER}”." if OTHER in known else ""
        raise AnswerError(name, f"“{text}” is none of: {', '.join(known)}.{more}")
    return text


def _listed(name: str, text: str, most: int) -> tuple[str, ...]:
    parts = tuple(part for part in re.split(r"\s*(?:[,;&+]|\band\b)\s*", text.strip()) if part)
    if not 1 <= len(parts) <= most or len(set(parts)) < len(parts):
        raise AnswerError(name, f"“{text}” should be 1 to {most} different names with commas between them.")
    return parts


def _number(name: str, text: str, least: float, most: float) -> float:
    number = re.sub(r"^(\d+),(\d)", r"\1.\2", text)
    if not re.fullmatch(r"\d{1,4}(\.\d{1,2})?", number) or not least <= float(number) <= most:
        raise AnswerError(name, f"“{text}” should be a number from {least:g} to {most:g}.")
    return float(number)


def gauge_of(text: str) -> tuple[str, str, str]:
    """Read ``20 x 28 to 10 cm``, ``20 stitches and 28 rounds to 4 in``: stitches, rounds, length.

    Raises `AnswerError`.
    """
    number = r"(\d{1,3}(?:\.\d{1,2})?)"
    plain = text.strip().lower()
    plain = re.sub(r"(\d),(\d)", r"\1.\2", plain) if re.search(r"x|×|\bby\b|\band\b", plain) else plain
    found = re.fullmatch(
        rf"{number}\s*(?:sts|stitches)?\s*(?:x|×|by|and|,)\s*{number}\s*(?:rounds|rows)?\s*(?:(?:to|over|on)\s*(.+))?",
        plain,
    )
    over = (found[3] or "10 cm").strip().replace("inches", "in") if found else ""
    if not found or not re.fullmatch(r"\d{1,2}(\.\d)? (cm|in)", over) or float(over.split()[0]) <= 0:
        raise AnswerError("gauge", f"“{text}” should read like “20 x 28 to 10 cm”: stitches, rounds, and the length.")
    length = float(over.split()[0]) * (1.0 if over.endswith("cm") else 2.54)
    for what, count in (("stitches", found[1]), ("rounds", found[2])):
        if not 0.5 <= float(count) / length <= 10:
            raise AnswerError("gauge", f"{count} {what} to {over} is no gauge that can be knitted.")
    return found[1], found[2], over


def _days(text: str, today: date) -> tuple[tuple[date, ...], int]:
    """The days of the shoot, or how many of them there are."""
    if re.fullmatch(r"\d", text.strip()):
        return (), int(_number("shoot", text.strip(), 1, MOST_EPISODES))
    try:
        days = tuple(
            sorted(day_in(part, more=" or a number of days") for part in _listed("shoot", text, MOST_EPISODES))
        )
    except AnswerError:
        raise
    except ValueError as bad:
        raise AnswerError("shoot", f"{capital(str(bad))}.") from None
    if days[0] <= today:
        raise AnswerError("shoot", f"The days of filming come after today, {today}.")
    return days, len(days)


BACK = "back"


def interview(
    given: Mapping[str, str], today: date, ask: Callable[[str, str], str], tell: Callable[[str], None]
) -> dict[str, str]:
    """Ask what is not ``given`` yet, and give all answers as texts. ``ask`` takes the question and its default.

    An answer that cannot be taken is told of and asked for again; “back” goes to the question before.
    """
    texts = {**given, **({"made": plain_made(given["made"])} if "made" in given else {})}
    at = 0
    while True:
        left = [one for one in questions(texts) if one.name not in given]
        if at >= len(left):
            return texts
        question = left[at]
        choices = f" There are: {', '.join(offered)}." if (offered := question.offered(texts)) else ""
        asked = f"{question.asked}{choices} For example: {question.example}."
        answer = ask(asked, _default(question, texts)).strip()
        if answer.lower() == BACK:
            at = max(0, at - 1)
            texts.pop(left[at].name, None)
            continue
        wrong = _wrong({**texts, question.name: answer}, question.name, today)
        if wrong:
            tell(wrong)
            continue
        texts[question.name] = plain_made(answer) if question.name == "made" else answer
        at += 1


def _default(question: Question, texts: Mapping[str, str]) -> str:
    """What is taken where nothing is said, given the answers before."""
    said: dict[str, str] = {}
    for one in questions(texts):
        said[one.name] = texts.get(one.name) or one.default(said)
        if one.name == question.name:
            return one.default(said)
    return ""


def _wrong(texts: Mapping[str, str], name: str, today: date) -> str | None:
    """What is wrong with the answer to one question."""
    try:
        answers_of(texts, today)
    except AnswerError as bad:
        return str(bad) if bad.name == name else None
    return None
