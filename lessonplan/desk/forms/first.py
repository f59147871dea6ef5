"""A course begun at the desk: the questions that a first course asks, as fields with what is wrong with the answers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date

from lessonplan.beginning.constructions import MADE, OTHER
from lessonplan.beginning.questions import QUESTIONS, AnswerError, answers_of, plain_made, questions
from lessonplan.course.problems import Where, error
from lessonplan.desk.forms.values import Choice, Field

_LABELS: Mapping[str, str] = {"made": "What is made", "shoot": "Days of filming", "hours": "Hours a week"}


def first_fields(posted: Mapping[str, str], today: date) -> tuple[Field, ...]:
    """Give the questions as fields, each with what was answered and what is wrong with that.

    What an answer leaves open comes and goes with it. Each field's ``name`` is that of its question.
    """
    texts = {key: text.strip() for key, text in posted.items() if text.strip()}
    texts["made"] = plain_made(texts.get("made", "hat"))
    known = texts["made"] in (*MADE, OTHER)
    wrong = _wrong(texts, today) if posted else None
    said: dict[str, str] = {}
    found = []
    for one in questions(texts) if known else QUESTIONS[:1]:
        default = one.default(said)
        said[one.name] = texts.get(one.name) or default
        field = Field(
            path=(one.name,),
            label=_LABELS.get(one.name, one.name.capitalize()),
            help="" if one.name == "made" else one.asked,
            kind="choice" if one.name == "made" else "text",
            value=texts.get(one.name, ""),
            default=default,
            example="" if one.name == "made" else one.example,
            choices=tuple(Choice(name, name) for name in (*MADE, OTHER)) if one.name == "made" else (),
            offered=one.offered(said),
            name=one.name,
        )
        if wrong and wrong.name == one.name:
            field = replace(field, problems=(error(Where(), "answer", str(wrong)),))
        found.append(field)
    return tuple(found)


def _wrong(texts: Mapping[str, str], today: date) -> AnswerError | None:
    try:
        answers_of(texts, today)
    except AnswerError as bad:
        return bad
    return None
