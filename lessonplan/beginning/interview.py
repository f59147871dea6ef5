"""The interview on the terminal: one question after the other, with a way back to the one before."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date

from lessonplan.beginning.questions import AnswerError, Question, answers_of, plain_made, questions

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
