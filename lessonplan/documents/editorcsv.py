"""The editor's sheet of an episode as a table file: a row for each shot."""

from __future__ import annotations

from lessonplan.documents.editor import EditorView, SegmentRow, ShotRow
from lessonplan.documents.filmed import TakeLine
from lessonplan.documents.overlaid import CueLine


def editor_table(view: EditorView) -> tuple[tuple[str, ...], ...]:
    """Give the sheet as rows for a spreadsheet, a heading first; times in whole seconds, several texts on lines.

    Texts over the picture have the times of the video where it is known, as ``video`` has; all else those planned.
    """
    rows = [_cells(segment, row) for segment in view.segments for row in segment.shots]
    head = tuple(rows[0]) if rows else ()
    return (head, *(tuple(cells.values()) for cells in rows))


def _cells(segment: SegmentRow, row: ShotRow) -> dict[str, str]:
    """The cells of one shot by column; ``start`` and ``timecode`` are those of the take to use."""
    start, length, low, high = map(str, row.seconds)
    takes = row.filmed.takes if row.filmed else ()
    best = row.filmed.best if row.filmed else None
    others = [_in_one_line(take) for take in takes if not take.use]
    if row.filmed and row.filmed.again:
        others.append(f"not to be used: {row.filmed.again}")
    return {
        "segment": segment.number,
        "segment_title": segment.title,
        "shot": row.shot.number,
        "slate": str(row.shot.slate or ""),
        "shot_title": row.shot.title,
        "view": row.shot.view,
        "start_s": start,
        "length_s": length,
        "low_s": low,
        "high_s": high,
        "words_s": str(row.spoken),
        "hands_s": str(row.worked),
        "planned": row.planned,
        "filmed": row.filmed.state if row.filmed else "",
        "take": str(best.take) if best else "",
        "day": best.day if best else "",
        "clip": best.file if best else "",
        "clock": best.start if best else "",
        "timecode": best.timecode if best else "",
        "take_s": str(best.seconds) if best and best.seconds is not None else "",
        "without_handles_s": str(best.net) if best and best.net is not None else "",
        "slip": best.slip if best else "",
        "note": best.note if best else "",
        "other_takes": "\n".join(others),
        "words": " ".join(row.shot.say.split()),
        "hands": "\n".join(row.hands),
        "timeline": row.timeline,
        "video": row.video,
        "after_cuts": row.then,
        "on_screen": _texts(row, own=True),
        "corrections": "\n".join(_text(one) for one in row.cues if one.kind == "correction"),
        "cues": _texts(row, own=False),
        "cues_left_out": "\n".join(row.left_out),
        "must_be_heard": "\n".join(text for text, _ in row.must_say),
        "errata": "\n".join(row.errata),
        "findings": "\n".join(text for text, _ in row.found),
        "may_go": "\n".join(row.may_go),
        "advice": row.advice,
        "for_editor": " ".join(row.shot.for_editor.split()),
    }


def _texts(row: ShotRow, *, own: bool) -> str:
    """Give the texts over a shot that its teacher wrote, or that are computed, each with its time."""
    written = [one for one in row.cues if one.kind != "correction" and (one.kind in ("on screen", "own text")) == own]
    return "\n".join(map(_text, written))


def _text(one: CueLine) -> str:
    about = f" ({one.doubt})" if one.doubt else ""
    return f"{one.when}{about}: {one.text}" + (f" ({one.besides})" if one.besides else "")


def _in_one_line(take: TakeLine) -> str:
    parts = (take.verdict, take.file, take.start, take.timecode, take.length, take.slip, take.note)
    return f"take {take.take}: " + ", ".join(part for part in parts if part)
