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
    from lessonplan.building import build as build
    from lessonplan.course.problems import Problem as Problem
    from lessonplan.documents.countedpattern import pattern_data as pattern_data
    from lessonplan.documents.factlist import facts_data as facts_data, facts_like as facts_like
    from lessonplan.documents.proofing import proof_data as proof_data
    from lessonplan.documents.reports import (
        change_data as change_data,
        count_data as count_data,
        errata_data as errata_data,
        orders_data as orders_data,
        samples_data as samples_data,
        times_data as times_data,
    )
    from lessonplan.documents.takes import pace_data as pace_data, takes_data as takes_data
    from lessonplan.edit.captions.reading import read_captions as read_captions
    from lessonplan.edit.pace import listen as listen
    from lessonplan.edit.proof.episode import proof as proof
    from lessonplan.needle.count import count_lines as count_lines
    from lessonplan.needle.pattern import work_whole as work_whole
    from lessonplan.planning.agreed.changes import changes as changes
    from lessonplan.planning.agreed.noting import agree as agree, note_done as note_done
    from lessonplan.planning.filmed.taking import take_in as take_in
    from lessonplan.planning.plan import all_orders as all_orders, plan as plan
    from lessonplan.planning.whatif import what_if as what_if
    from lessonplan.planning.worked import Plan as Plan, Result as Result, Worked as Worked, load as load
    from lessonplan.printed.leaflet.contents import read_whole as read_whole
    from lessonplan.render.output import OutputError as OutputError

_NAMES = {
    "building": ("build",),
    "course.problems": ("Problem",),
    "documents.countedpattern": ("pattern_data",),
    "documents.factlist": ("facts_data", "facts_like"),
    "documents.proofing": ("proof_data",),
    "documents.reports": ("change_data", "count_data", "errata_data", "orders_data", "samples_data", "times_data"),
    "documents.takes": ("pace_data", "takes_data"),
    "edit.captions.reading": ("read_captions",),
    "edit.pace": ("listen",),
    "edit.proof.episode": ("proof",),
    "needle.count": ("count_lines",),
    "needle.pattern": ("work_whole",),
    "planning.agreed.changes": ("changes",),
    "planning.agreed.noting": ("agree", "note_done"),
    "planning.filmed.taking": ("take_in",),
    "planning.plan": ("all_orders", "plan"),
    "planning.whatif": ("what_if",),
    "planning.worked": ("Plan", "Result", "Worked", "load"),
    "printed.leaflet.contents": ("read_whole",),
    "render.output": ("OutputError",),
}
"""The public names, by where they stand."""
_HOMES = {name: home for home, names in _NAMES.items() for name in names}

__all__ = ["__version__", *_HOMES]


def __getattr__(name: str) -> Any:
    if name in _HOMES:
        return getattr(import_module(f"lessonplan.{_HOMES[name]}"), name)
    raise AttributeError(f"module 'lessonplan' has no attribute {name!r}")


def __dir__() -> list[str]:
    return __all__
