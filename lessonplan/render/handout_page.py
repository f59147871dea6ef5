"""The handout as one file: with the styles by which a reader sees one size alone, and the script that keeps ticks."""

from __future__ import annotations

from pathlib import Path

from lessonplan.documents.handout import HandoutView
from lessonplan.render.pages import page, stylesheet
from lessonplan.render.pictures import Pictures


def handout_page(view: HandoutView, pictures: Pictures, language: str, course: Path | None = None) -> bytes:
    """Render the handout to UTF-8 bytes; ``course``: one with templates of its own (also ``handout.css``).

    Raises `UnfitError` for what is wrong with an own template.
    """
    styles = (stylesheet(course, "style.css"), stylesheet(course, "handout.css"), _one_size(len(view.sizes)))
    return page("handout.html", view, course, language=language, pictures=pictures, style="\n".join(styles))


def _one_size(sizes: int) -> str:
    """Write the rules by which the size that is picked is shown alone."""
    rules = []
    for size in range(sizes if sizes > 1 else 0):
        picked = f":root:has(#size-{size}:checked)"
        rules.append(f"{picked} .sz > :not(.s{size}), {picked} .col:not(.c{size}), {picked} .of-size:not(.f{size})")
        rules[-1] += " { display: none; }\n" + f"{picked} .of-size.f{size} {{ display: block; }}"
    return "\n".join(rules) + "\n"
