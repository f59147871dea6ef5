"""The handout as one file: with the styles by which a reader sees one size alone, and the script that keeps ticks."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import Any

from markupsafe import Markup

from lessonplan.documents.handout import HandoutView
from lessonplan.render.pages import element, page, source, stylesheet
from lessonplan.render.pictures import Pictures
from lessonplan.render.table_page import embedded


def handout_page(view: HandoutView, pictures: Pictures, language: str, course: Path | None = None) -> bytes:
    """Render the handout to UTF-8 bytes; ``course``: one with templates of its own (also ``handout.css``).

    Raises `UnfitError` for what is wrong with an own template.
    """
    found = source(None, "handout.js")
    script = found[0] if found else ""
    styles = (stylesheet(course, "style.css"), stylesheet(course, "handout.css"), _one_size(len(view.sizes)))
    return page(
        "handout.html",
        view,
        course,
        language=language,
        pictures=pictures,
        style="\n".join(styles),
        script=Markup(element(script)),
        data=Markup(embedded(page_data(view))),
    )


def page_data(view: HandoutView) -> dict[str, Any]:
    """Give what the page's script works with: its name on the device, the rounds of each work, and the own gauge."""
    works = [[one.firsts, one.after, one.colours] for stage in view.stages for one in stage.works if any(one.totals)]
    return {
        "name": f"{view.course} / {view.title} / {view.edition}",
        "sizes": view.sizes,
        "works": works,
        "gauge": asdict(view.own_gauge) if view.own_gauge else None,
    }


def _one_size(sizes: int) -> str:
    """Write the rules by which the size that is picked is shown alone."""
    rules = []
    for size in range(sizes if sizes > 1 else 0):
        picked = f":root:has(#size-{size}:checked)"
        others = (f".sz > :not(.s{size})", f".col:not(.c{size})", f".of-size:not(.f{size})")
        hidden = (*others, f".same{size}", f".not{size}")
        rules.append(", ".join(f"{picked} {one}" for one in hidden))
        rules[-1] += " { display: none; }\n" + f"{picked} .of-size.f{size} {{ display: block; }}"
    return "\n".join(rules) + "\n"
