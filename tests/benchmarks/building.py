"""A build of the sample course in one process, by step: ``python -m tests.benchmarks.building`` prints seconds as JSON.

The floor is what no build can do without: Python and the libraries loaded, and the same templates compiled and filled
in from views that are ready.
"""

from __future__ import annotations

import json
import time
from importlib import import_module

LIBRARIES = ("typer", "yaml", "pydantic", "numpy", "highspy", "jinja2", "markdown_it", "icalendar")
FLOOR = ("Python", "libraries", "templates filled in")


def steps() -> dict[str, float]:
    """Build the sample course and give the seconds of the processor that each step takes."""
    found: dict[str, float] = {}
    clock = [0.0]

    def since(name: str) -> None:
        now = time.process_time()
        found[name] = now - clock[0]
        clock[0] = now

    since("Python")
    main = import_module("lessonplan.__main__")
    main.quick()
    for name in LIBRARIES:
        import_module(name)
    since("libraries")
    import_module("lessonplan.cli")
    import_module("lessonplan.commands.making")
    building = import_module("lessonplan.building")
    import_module("lessonplan.samples.choice.choose")
    since("own modules")
    result = import_module("lessonplan.publish.remarks").checked("sample_course")
    since("plan and remarks")
    papers = list(building.Papers(result.plan))
    views = {one.name: one.view() for one in papers}
    since("views and files for the edit")
    pages = [one for one in papers if one.name.endswith(".html")]
    for one in pages:
        one.render(views[one.name])
    since("templates filled in")
    for one in papers:
        if one not in pages and not one.printed:
            one.render(views[one.name])
    since("spreadsheets")
    for one in papers:
        if one.printed:
            one.render(views[one.name])
    since("PDFs")
    return found


if __name__ == "__main__":
    print(json.dumps(steps()))
