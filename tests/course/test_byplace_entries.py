"""Entries put in, taken out, moved and renamed: what stands around them, and which remarks go with them."""

from __future__ import annotations

import pytest
import yaml

from lessonplan.course.byplace import EditError, moved, parted, renamed, with_entry, with_item, with_value, without

SHOTS = """\
# The file's own remark.
title: x

# About all shots.
shots:   # here
  - view: face      # first
    say: |
      # no remark
      Hello.
    # of the first one, too

  # of the second one
  - view: overhead

  # apart, about what follows

  - {view: hands, takes: 3}   # third
# the end
"""


def lines(text: str) -> list[str]:
    return text.splitlines()


def test_an_item_goes_with_the_remarks_that_belong_to_it() -> None:
    first = without(SHOTS, ("shots", 0))
    assert lines(first) == [*lines(SHOTS)[:5], *lines(SHOTS)[11:]]
    second = without(SHOTS, ("shots", 1))
    assert lines(second) == [*lines(SHOTS)[:10], *lines(SHOTS)[13:]]
    third = without(SHOTS, ("shots", 2))
    assert lines(third) == [*lines(SHOTS)[:15], "# the end"]


def test_the_last_item_leaves_an_empty_list_and_remarks_that_are_not_its_own() -> None:
    text = "a: 1\nshots:  # all\n  # about them\n  - view: face\n    takes: 2  # its own\nb: 2\n"
    assert without(text, ("shots", 0)) == "a: 1\nshots: []  # all\n  # about them\nb: 2\n"
    assert without("shots: [a]  # x\n", ("shots", 0)) == "shots: []  # x\n"
    assert without("- view: face\n".replace("- ", "x:\n- "), ("x", 0, "view")) == "x:\n- {}\n"


def test_a_key_goes_with_the_remark_right_above_it() -> None:
    text = "a: 1\n\n# of b,\n# in two lines\nb: 2   # too\n\n# apart\n\nc: 3\n"
    assert without(text, ("b",)) == "a: 1\n\n# apart\n\nc: 3\n"
    assert without("# the file\na: 1\nb: 2\n", ("a",)) == "# the file\nb: 2\n"
    assert without("x:\n  - a: 1\n    b: 2\n", ("x", 0, "a")) == "x:\n  - b: 2\n"
    assert without("x:\n  - a: 1\n    # of b\n    b: 2\n", ("x", 0, "a")) == "x:\n  -\n    # of b\n    b: 2\n"
    assert without("x: {a: 1, b: 2, c: 3}\n", ("x", "b")) == "x: {a: 1, c: 3}\n"
    assert without("x: [a, b,  # why\n  c]\n", ("x", 2)) == "x: [a, b  # why\n  ]\n"
    one, two = "x:\n  # of a\n  - a\n", "  # of b\n  - b\n"
    assert without(one + two, ("x", 0)) == "x:\n" + two
    assert without(one + "  - b\n", ("x", 0)) == "x:\n  # of a\n  - b\n"  # it may be about all


def test_an_item_is_moved_and_what_stands_between_stays() -> None:
    down = moved(SHOTS, ("shots", 0), 1)
    old = lines(SHOTS)
    assert lines(down) == [*old[:5], *old[11:13], "", *old[5:10], *old[13:]]
    assert moved(down, ("shots", 1), 0) == SHOTS
    assert moved("x: [a, b, c] # r\n", ("x", 2), 0) == "x: [c, a, b] # r\n"
    assert moved("a:\n  - - x\n    - y\n", ("a", 0, 1), 0) == "a:\n  - - y\n    - x\n"
    assert moved("s:\n  a: 1\n  b: 2", ("s", "a"), 1) == "s:\n  b: 2\n  a: 1"
    with pytest.raises(EditError, match="any further"):
        moved(SHOTS, ("shots", 2), 3)


def test_items_are_put_in_at_any_place() -> None:
    item = {"view": "table", "say": "one: two\nthree\n"}
    body = "  - view: table\n    say: |\n      one: two\n      three\n"
    assert with_item(SHOTS, ("shots",), item, 0) == SHOTS.replace("  - view: face", f"{body}  - view: face")
    assert with_item(SHOTS, ("shots",), item, 1) == SHOTS.replace("one, too\n", f"one, too\n{body}")
    assert with_item(SHOTS, ("shots",), item) == SHOTS.replace("# the end", f"{body}# the end")
    assert with_item(SHOTS, ("shots",), item, spaced=True) == SHOTS.replace("# the end", f"\n{body}# the end")
    assert with_item("s: [a]\n", ("s",), "b, c", 0) == 's: ["b, c", a]\n'
    assert with_item("s:\n- a", ("s",), "b") == "s:\n- a\n- b\n"
    assert parted("s:\n  - a\n\n  - b\n", ("s",))
    assert not parted("s:\n  - a\n  - b\n", ("s",))
    assert not parted(SHOTS, ("shots", 2))


def test_a_new_key_comes_where_it_is_usual() -> None:
    order = ("title", "host", "shots", "kit")
    assert with_value(SHOTS, ("host",), "Tove", order) == SHOTS.replace("title: x\n", "title: x\nhost: Tove\n")
    assert with_value("shots: []\n", ("title",), "a", order) == "title: a\nshots: []\n"
    assert with_value("x:\n  - b: 1\n", ("x", 0, "a"), "2", ("a", "b")) == "x:\n  - a: 2\n    b: 1\n"
    assert with_value("x: {b: 1}\n", ("x", "a"), "2", ("a", "b")) == "x: {a: 2, b: 1}\n"
    assert with_entry("s:\n  a: 1\n", ("s", "b: c"), 0, value=["x"]) == 's:\n  "b: c":\n    - x\n  a: 1\n'
    with pytest.raises(EditError, match="already"):
        with_entry("s:\n  a: 1\n", ("s", "a"), value="2")


def test_lists_and_groups_change_by_what_differs() -> None:
    text = "s:\n  - a  # one\n  - b  # two\n  - c  # three\n"
    assert with_value(text, ("s",), ["a", "x", "c", "d"]) == text.replace("- b", "- x") + "  - d\n"
    assert with_value(text, ("s",), ["a", "c"]) == "s:\n  - a  # one\n  - c  # three\n"
    group = "g:\n  k: 1  # one\n  l: 2  # two\n"
    assert with_value(group, ("g",), {"l": "3", "m": ["4"]}) == "g:\n  l: 3  # two\n  m:\n    - 4\n"


@pytest.mark.parametrize(
    ("old", "value", "new"),
    [
        ("learn: no   # yet\n", True, "learn: yes   # yet\n"),
        ("learn: 'no'\n", "yes", "learn: 'yes'\n"),
        ("said: no\n", "off", "said: off\n"),  # a plain word stood there, so one may
        ("said: x\n", "off", 'said: "off"\n'),
        ("n: 4\n", "-3.5", "n: -3.5\n"),
        ("n:   # none yet\n", "40 (44, 48)", "n: 40 (44, 48)   # none yet\n"),
        ("t: >\n  a b\n  c\n\nu: 1\n", "d e\nf\n", "t: >\n  d e\n\n  f\n\nu: 1\n"),
        ("t: |-\n  a\n", "  b\nc", "t: |2-\n    b\n  c\n"),
        ("t: a   # why\n", "b\nc\n", "t: |  # why\n  b\n  c\n"),
        ("t: |  # why\n  b\n  c\n", "d", "t: d  # why\n"),
        ("t:\n  a\n", "b", "t:\n  b\n"),
        ("t: a\n", "b\tc\n\u00a0d \u200d\n", "t: |\n  b\tc\n  \u00a0d \u200d\n"),
        ("t: a\n", "b\u00a0c", "t: b\u00a0c\n"),
        ("t: 'a'\n", "b\x07\u2028c", 't: "b\\u0007\\U00002028c"\n'),
        ("t: a\n", ["b", {"c": "d"}], "t:\n  - b\n  - c: d\n"),
        ("t: []  # r\n", ["b"], "t:  # r\n  - b\n"),
    ],
)
def test_a_value_is_written_in_the_way_that_stands_there(old: str, value: str, new: str) -> None:
    key = old.partition(":")[0]
    assert with_value(old, (key,), value) == new
    assert with_value(old.replace("\n", "\r\n"), (key,), value) == new.replace("\n", "\r\n")


def test_keys_are_renamed() -> None:
    assert renamed("s:\n  a: 1  # r\n", ("s", "a"), "no: 2") == 's:\n  "no: 2": 1  # r\n'
    assert yaml.safe_load(renamed("s:\n  a: 1\n", ("s", "a"), "#b")) == {"s": {"#b": 1}}
    with pytest.raises(EditError, match="already"):
        renamed("a: 1\nb: 2\n", ("a",), "b")
    with pytest.raises(EditError, match="no name"):
        renamed("s: [a]\n", ("s", 0), "b")


def test_what_would_change_more_is_refused() -> None:
    for text, path in (
        ("a: &x [b]\nc: *x\n", ("a", 0)),
        ("a: !t b\n", ("a", "k")),
        ("a: [\n", ("a",)),
        ("", ("a", "b")),
    ):
        with pytest.raises(EditError):
            with_value(text, path, "new")
    with pytest.raises(EditError, match="not a single text"):
        with_value(SHOTS, ("shots",), "none")
