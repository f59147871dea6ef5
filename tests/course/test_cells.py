"""No cell of a table begins a formula, and what was written comes back."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st

from lessonplan.course.cells import guarded, unguarded


@pytest.mark.parametrize(
    "cell", ["=1+1", "+1+1", "-1+1", "@sum", "\t=1", "\r=1", "\n=1", " =1", "\u00a0=1", "\uff1d1+1"]
)
def test_a_formula_becomes_text(cell: str) -> None:
    assert guarded(cell) == "'" + cell


@pytest.mark.parametrize("cell", ["", "12", "-3.5", "3 - 4", "a=b", "'tis", "Row 2"])
def test_other_cells_stay(cell: str) -> None:
    assert guarded(cell) == cell


@given(st.text(alphabet="'=+-@ \t\n\uff1da1", max_size=8))
def test_what_was_written_comes_back(cell: str) -> None:
    assert unguarded(guarded(cell)) == cell
