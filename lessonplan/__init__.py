"""Production planner for people who teach a hand craft on video.

``lessonplan.load(folder)`` reads and checks a course, ``lessonplan.plan(folder)`` plans it, ``lessonplan.build(folder,
out)`` writes its documents. Each is imported when first used, so that importing the package costs nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

__version__ = "0.1.0"

if TYPE_CHECKING:
    from lessonplan.building import build
    from lessonplan.planning.whole import plan
    from lessonplan.planning.worked import load

__all__ = ["__version__", "build", "load", "plan"]


def __getattr__(name: str) -> Any:
    if name == "load":
        from lessonplan.planning.worked import load

        return load
    if name == "plan":
        from lessonplan.planning.whole import plan

        return plan
    if name == "build":
        from lessonplan.building import build

        return build
    raise AttributeError(f"module 'lessonplan' has no attribute {name!r}")
