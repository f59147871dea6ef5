"""The usual cautions, by what is done; they defer to local rules and licensed practice."""

from __future__ import annotations

from lessonplan.course.model import Course
from lessonplan.craft import tables

DEFER = "These are reminders, not medical or legal advice: local rules and a professional's word come first."


def rests() -> tuple[str, ...]:
    """Rests for the hands on a shoot day."""
    return tuple(row["text"] for row in tables.rows("cautions") if row["topic"] == "rest")


def handout_cautions(course: Course) -> tuple[str, ...]:
    """The cautions for the viewers of a course: by its works, and by whom the piece is for."""
    topics = {"strain", "sharp"}
    words = " ".join(
        [work.method for stage in course.pattern.stages.values() for work in stage.works if hasattr(work, "method")]
        + [one.segment.title for one in course.segments()]
        + [one.shot.say for one in course.shots()]
    ).lower()
    if "steam" in words:
        topics.add("steam")
    if any("wool" in yarn.fibre.lower() or "alpaca" in yarn.fibre.lower() for yarn in course.pattern.yarns.values()):
        topics.add("allergy")
    if any("acrylic" in yarn.fibre.lower() for yarn in course.pattern.yarns.values()) and "steam" in topics:
        topics.add("acrylic")
    if course.course.recipient != "adult":
        topics.add("cords")
    if course.course.recipient == "child under 3":
        topics.add("small parts")
    return (*(row["text"] for row in tables.rows("cautions") if row["topic"] in topics), DEFER)
