"""The pace learnt from captions: what ``lessonplan pace`` prints."""

from __future__ import annotations

from typing import Any

from lessonplan.documents.tables import table
from lessonplan.edit.pace import Listened
from lessonplan.shoot.takes.learnt import Estimate

_NAMES = {"speech": "speech, hands at rest", "over_all": "over all, hands at work too"}


def pace_table(listened: Listened) -> str:
    """Set the videos and the paces learnt from them as text, each pace with its interval and how sure it is."""
    videos = [
        (one.file, one.form, str(one.words), f"{one.minutes:.1f}", f"{one.over_all:.0f}")
        for one in listened.heard.videos
    ]
    head = ("Captions", "Form", "Words", "Minutes", "Words a minute")
    parts = [table(head, videos, frozenset({2, 3, 4})) if videos else "No captions could be read."]
    if listened.heard.learnt:
        rows = [
            (
                _NAMES[one.name],
                f"{one.default:g}" if one.name == "speech" else "",
                f"{one.value:.0f}",
                f"{one.low:.0f} to {one.high:.0f}",
                str(one.n),
                one.sure,
            )
            for one in listened.heard.learnt
        ]
        columns = ("Words a minute", "Planned", "Learnt", "9 in 10", "Stretches", "How sure")
        parts.append(table(columns, rows, frozenset({1, 2, 4})))
    return "\n\n".join(parts)


def pace_learnt(one: Estimate, planned: float | None) -> dict[str, Any]:
    """Give a learnt pace as plain values, in the units of its key."""
    return {
        "planned": planned,
        "value": one.value,
        "low": one.low,
        "high": one.high,
        "n": one.n,
        "sure": one.sure,
    }


def pace_data(listened: Listened) -> dict[str, Any]:
    """Give the same as plain values: minutes to a tenth, paces in words a minute."""
    return {
        "captions": [
            {
                "file": one.file,
                "form": one.form,
                "words": one.words,
                "minutes": round(one.minutes, 1),
                "words_a_minute": round(one.over_all, 1),
            }
            for one in listened.heard.videos
        ],
        "learnt": {
            one.name: pace_learnt(one, one.default if one.name == "speech" else None) for one in listened.heard.learnt
        },
        "problems": [problem.as_dict() for problem in listened.problems],
    }
