from __future__ import annotations

import csv
import io

from hypothesis import given, strategies as st

from lessonplan.course.cells import csv_bytes


def read(data: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))


def test_formulas_are_defused_and_numbers_kept() -> None:
    assert read(csv_bytes([("=1+1", "-3.5", "-k2", "@x", "plain")])) == [["'=1+1", "-3.5", "'-k2", "'@x", "plain"]]


@given(
    st.lists(
        st.text(alphabet=st.characters(exclude_categories=["Cs"], exclude_characters="\r\0"), max_size=8),
        min_size=2,
        max_size=4,
    )
)
def test_any_text_comes_back(cells: list[str]) -> None:
    back = read(csv_bytes([cells]))[0]
    assert [cell.removeprefix("'") for cell in back] == [cell.removeprefix("'") for cell in cells]
