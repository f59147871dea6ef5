"""Changing one place of a file: what stands around it stays byte for byte, and what is read changes there alone."""

from __future__ import annotations

from typing import Any

import pytest
import yaml
from hypothesis import given, strategies as st

from lessonplan.course.byplace import EditError, changed, with_item, with_value

LOG = """\
# The log.   Two blanks, and a remark.

errata:
  - found: 2027-03-21     # a Sunday
    by:  'Jorun A.'
    where: "episode 2, shot 2.3.2"
    said: |
      fifteen stitches
      go on the waste yarn

    # what is right
    right: "{{ gusset.held }} stitches"
    state: open

  - {found: 2027-04-02, by: Eskil V., where: shot 2.4.2, said: x, right: y}   # short
# the end
"""


def read(text: str) -> Any:
    return yaml.load(text, Loader=yaml.BaseLoader)


@pytest.mark.parametrize(
    ("path", "value", "old", "new"),
    [
        (("errata", 0, "state"), "mended", "state: open", "state: mended"),
        (("errata", 0, "found"), "2027-03-22", "2027-03-21     #", "2027-03-22     #"),
        (("errata", 0, "by"), "Jorun's aunt", "'Jorun A.'", "'Jorun''s aunt'"),
        (("errata", 0, "where"), "episode 3", '"episode 2, shot 2.3.2"', '"episode 3"'),
        (("errata", 0, "said"), "six: no", "|\n      fifteen stitches\n      go on the waste yarn\n", '"six: no"\n'),
        (("errata", 0, "said"), "a\nb", "      fifteen stitches\n      go on the waste yarn\n", "      a\n      b\n"),
        (("errata", 0, "kind"), "number", "    state: open\n", "    state: open\n    kind: number\n"),
        (("errata", 1, "state"), "open, or not", "right: y}", 'right: y, state: "open, or not"}'),
        (("errata", 1, "by"), "# nobody", "by: Eskil V.", 'by: "# nobody"'),
    ],
)
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_one_place_changes(path: tuple[str | int, ...], value: str, old: str, new: str, end: str) -> None:
    text, wanted = LOG.replace("\n", end), LOG.replace(old, new, 1)
    if value == "a\nb":
        wanted = wanted.replace("said: |", "said: |-")
    assert LOG.count(old) == 1
    assert with_value(text, path, value) == wanted.replace("\n", end)


ITEM = {"found": "2027-05-01", "said": "a: b", "right": "c"}


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("", 'errata:\n  - found: 2027-05-01\n    said: "a: b"\n    right: c\n'),
        ("# none yet\n", '# none yet\n\nerrata:\n  - found: 2027-05-01\n    said: "a: b"\n    right: c\n'),
        ("errata: []  # none\n", 'errata:  # none\n  - found: 2027-05-01\n    said: "a: b"\n    right: c\n'),
        ("errata:\n", 'errata:\n  - found: 2027-05-01\n    said: "a: b"\n    right: c\n'),
        (
            "errata:\n- found: x  # first\n# end\n",
            'errata:\n- found: x  # first\n- found: 2027-05-01\n  said: "a: b"\n  right: c\n# end\n',
        ),
        ("errata: [{found: x}]\n", 'errata: [{found: x}, {found: 2027-05-01, said: "a: b", right: c}]\n'),
    ],
)
def test_an_item_is_put_below_the_others(before: str, after: str) -> None:
    assert with_item(before, ("errata",), ITEM) == after
    assert read(after)["errata"][-1] == ITEM


@pytest.mark.parametrize(
    ("text", "path"),
    [
        (LOG, ("errata", 7, "state")),
        (LOG, ("errata",)),
        (LOG, ("nothing", "here")),
        ("a: [b", ("a",)),
        ("a: &x b\nc: *x\n", ("a",)),
    ],
)
def test_what_cannot_be_changed_is_refused(text: str, path: tuple[str | int, ...]) -> None:
    with pytest.raises(EditError):
        with_value(text, path, "new")


@pytest.mark.parametrize("codec", ["utf-8", "utf-8-sig", "utf-16"])
def test_the_encoding_stays(codec: str) -> None:
    data = changed("state: öpen\n".encode(codec), lambda text: with_value(text, ("state",), "ménded"))
    assert data == "state: ménded\n".encode(codec)


@given(st.text(st.characters(codec="utf-8"), max_size=40), st.sampled_from(["said", "by", "new"]))
def test_any_text_is_read_back(value: str, key: str) -> None:
    text = with_value(LOG, ("errata", 0, key), value)
    # Another reader of the format finds the value there, all else as it was, and every other line untouched.
    now, then = read(text), read(LOG)
    assert now["errata"][0].pop(key) == value
    then["errata"][0].pop(key, None)
    assert now == then
    kept = [line for line in LOG.splitlines() if key not in line and not line.startswith("      ")]
    assert [line for line in text.split("\n") if line in kept and line] == [line for line in kept if line]


def test_a_remark_goes_with_its_own_entry() -> None:
    before = "errata:\n- {said: nine, right: ten}  # the first\n- {said: four, right: five}  # the second\n"
    kept = [{"said": "four", "right": "five"}]
    assert with_value(before, ("errata",), kept) == "errata:\n- {said: four, right: five}  # the second\n"
