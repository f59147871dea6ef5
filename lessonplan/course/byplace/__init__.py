"""A file of the course changed at one place and nowhere else: remarks, order, quotes and blank lines stay as they were.

A place is a path of keys and numbers of list items, ``("errata", 2, "state")``.
"""

from lessonplan.course.byplace.changes import parted
from lessonplan.course.byplace.edits import (
    changed,
    moved,
    read_data,
    renamed,
    with_entry,
    with_item,
    with_value,
    without,
)
from lessonplan.course.byplace.entries import EditError, Path
from lessonplan.course.byplace.written import Value

__all__ = [
    "EditError",
    "Path",
    "Value",
    "changed",
    "moved",
    "parted",
    "read_data",
    "renamed",
    "with_entry",
    "with_item",
    "with_value",
    "without",
]
