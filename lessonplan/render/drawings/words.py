"""What a drawing of a piece shows, in words, for those who cannot see it."""

from __future__ import annotations

from lessonplan.course.words import count_of, listing
from lessonplan.craft.lengths import Units, length_in_a_sentence
from lessonplan.pattern.shape.outline import LINE, Edge, Outline, StageShare


def in_words(outline: Outline, kind: str = "full", units: Units = "cm") -> str:
    """Say what the drawing shows: its kind and size, what is done, under way and to come, and where stitches wait."""
    left, right, bottom, top = outline.bounds
    wide, high = (length_in_a_sentence(10.0 * round(one / 10), units) for one in (right - left, top - bottom))
    size = f"{wide} wide and {high} high when finished"
    begins = {"full": "Drawn", "small": "A piece with fewer stitches, drawn"}
    drawn = begins.get(kind, f"A {kind} piece, drawn")
    parts = [f"{drawn} to scale: {size}." if outline.to_scale else f"{drawn} as one box for each stage, not to scale."]
    done = [share.title for share in outline.stages if share.done == share.whole > 0]
    coming = [share.title for share in outline.stages if share.done == 0 < share.whole]
    under_way = [_so_far(share) for share in outline.stages if 0 < share.done < share.whole]
    if not coming and not under_way:
        parts.append("All of it is done.")
    elif not done and not under_way:
        parts.append("Nothing is done yet.")
    else:
        named = (("Done", done), ("Under way", under_way), ("To come", coming))
        parts += [f"{name}: {listing(titles)}." for name, titles in named if titles]
    live, waiting = outline.stitches
    parts += [f"{live} live {'stitch' if live == 1 else 'stitches'}."] if live else []
    parts += [f"{waiting} on waste yarn."] if waiting else []
    parts += [f"A lifeline runs through {edge.stitches} stitches." for edge in lifelines(outline)]
    return " ".join(parts)


def _so_far(share: StageShare) -> str:
    return f"{share.title} ({share.done} of {count_of(share.whole, share.unit)})"


def lifelines(outline: Outline) -> list[Edge]:
    """Give the lifelines that lie in the piece."""
    return [edge for part in outline.walk() for edge in part.waste if edge.done and edge.how == LINE]
