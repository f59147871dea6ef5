"""Production planner for people who teach a hand craft on video.

``load(folder)`` reads and checks a course, ``plan(folder)`` plans it, ``build(folder, out)`` writes its documents. Each
gives a `Result`: the value, unless errors stood in the way, and every `Problem`. ``what_if``, ``all_orders``,
``agree``, ``note_done``, ``take_in``, ``listen`` (pace), ``count_lines``, and ``read_whole`` with ``work_whole`` do
what the commands of like names do, ``read_captions`` reads captions and ``proof`` compares them with what holds,
``changes`` says what a plan has otherwise than agreed, and the functions ``..._data`` give what one prints with
``--json``. Everything is imported when first used, so
that importing the package costs nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

__version__ = "0.1.0"

if TYPE_CHECKING:
    from lessonplan.building import build
    from lessonplan.course.problems import Problem
    from lessonplan.documents.countedpattern import pattern_data
    from lessonplan.documents.factlist import facts_data, facts_like
    from lessonplan.documents.proofing import proof_data
    from lessonplan.documents.reports import change_data, count_data, errata_data, orders_data, samples_data, times_data
    from lessonplan.documents.takes import pace_data, takes_data
    from lessonplan.edit.captions.reading import read_captions
    from lessonplan.edit.pace import listen
    from lessonplan.edit.proof.episode import proof
    from lessonplan.needle.count import count_lines
    from lessonplan.needle.pattern import work_whole
    from lessonplan.planning.agreed.changes import changes
    from lessonplan.planning.agreed.noting import agree, note_done
    from lessonplan.planning.filmed.taking import take_in
    from lessonplan.planning.plan import all_orders, plan
    from lessonplan.planning.whatif import what_if
    from lessonplan.planning.worked import Plan, Result, Worked, load
    from lessonplan.printed.leaflet.contents import read_whole
    from lessonplan.render.output import OutputError

_HOMES = {
    "OutputError": "render.output",
    "Plan": "planning.worked",
    "Problem": "course.problems",
    "Result": "planning.worked",
    "Worked": "planning.worked",
    "agree": "planning.agreed.noting",
    "all_orders": "planning.plan",
    "build": "building",
    "change_data": "documents.reports",
    "changes": "planning.agreed.changes",
    "count_data": "documents.reports",
    "count_lines": "needle.count",
    "errata_data": "documents.reports",
    "facts_data": "documents.factlist",
    "facts_like": "documents.factlist",
    "listen": "edit.pace",
    "load": "planning.worked",
    "note_done": "planning.agreed.noting",
    "orders_data": "documents.reports",
    "pace_data": "documents.takes",
    "pattern_data": "documents.countedpattern",
    "plan": "planning.plan",
    "proof": "edit.proof.episode",
    "proof_data": "documents.proofing",
    "read_captions": "edit.captions.reading",
    "read_whole": "printed.leaflet.contents",
    "samples_data": "documents.reports",
    "take_in": "planning.filmed.taking",
    "takes_data": "documents.takes",
    "times_data": "documents.reports",
    "what_if": "planning.whatif",
    "work_whole": "needle.pattern",
}
"""Where each public name stands."""

__all__ = [
    "OutputError",
    "Plan",
    "Problem",
    "Result",
    "Worked",
    "__version__",
    "agree",
    "all_orders",
    "build",
    "change_data",
    "changes",
    "count_data",
    "count_lines",
    "errata_data",
    "facts_data",
    "facts_like",
    "listen",
    "load",
    "note_done",
    "orders_data",
    "pace_data",
    "pattern_data",
    "plan",
    "proof",
    "proof_data",
    "read_captions",
    "read_whole",
    "samples_data",
    "take_in",
    "takes_data",
    "times_data",
    "what_if",
    "work_whole",
]


def __getattr__(name: str) -> Any:
    if name in _HOMES:
        return getattr(import_module(f"lessonplan.{_HOMES[name]}"), name)
    raise AttributeError(f"module 'lessonplan' has no attribute {name!r}")


def __dir__() -> list[str]:
    return __all__
