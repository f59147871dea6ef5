"""Reading printed lines: labels, repeats, places, counts after the line, sizes."""

from __future__ import annotations

import pytest

from lessonplan.printed.heading import Label
from lessonplan.printed.line import parse_line
from lessonplan.printed.tree import Again, Line, Repeat, Rows, Shape, Step, Stitch, Times, To


def steps(text: str, sizes: int = 1) -> tuple[Step, ...]:
    part = parse_line(text, sizes).parts[0]
    assert isinstance(part, Rows)
    return part.steps


def names(text: str) -> list[tuple[str, int]]:
    return [(step.name, step.count[0]) for step in steps(text) if isinstance(step, Stitch)]


def only_repeat(text: str, sizes: int = 1) -> Repeat:
    found = [step for step in steps(text, sizes) if isinstance(step, Repeat)]
    assert len(found) == 1
    return found[0]


def again(text: str, sizes: int = 1) -> Again:
    part = parse_line(text, sizes).parts[-1]
    assert isinstance(part, Again)
    return part


@pytest.mark.parametrize(
    "text", ["k3", "K3", "k 3", "K. 3", "k.3", "Knit 3", "KNIT THREE", "k3 sts", "knit 3 stitches"]
)
def test_three_knit_stitches_in_any_print(text: str) -> None:
    assert names(text) == [("k", 3)]


@pytest.mark.parametrize("text", ["k2tog, k1", "K2 tog, K1", "k 2 tog, k 1", "knit 2 together, knit one", "K2TOG; k1."])
def test_two_together_in_any_print(text: str) -> None:
    assert names(text) == [("k2tog", 1), ("k", 1)]


@pytest.mark.parametrize(
    "text", ["k1\u00a0– k2tog", "k1 — k2tog", "k1; k2tog", "k1 . k2tog", "k1 & k2tog", "K1 and k2tog"]
)
def test_odd_punctuation_between_steps(text: str) -> None:
    assert names(text) == [("k", 1), ("k2tog", 1)]


@pytest.mark.parametrize(
    ("text", "label"),
    [
        ("Round 3: k1", Label("round", 3, 3, "", (3,))),
        ("Rnd 3 k1", Label("round", 3, 3, "", (3,))),
        ("R3: k1", Label("round", 3, 3, "", (3,))),
        ("ROW 1 (RS): k1", Label("row", 1, 1, "RS", (1,))),
        ("Row 2 [WS]. k1", Label("row", 2, 2, "WS", (2,))),
        ("Rounds 4-6: k1", Label("round", 4, 6, "", (4, 5, 6))),
        ("Rnds 4 – 6: k1", Label("round", 4, 6, "", (4, 5, 6))),
        ("Rows 1, 3 and 5: k1", Label("row", 1, 5, "", (1, 3, 5))),
        ("Row 2 and all WS rows: p1", Label("row", 2, 2, "", (2,), "ws")),
        ("Dec Rnd: k1", Label("round", name="dec")),
        ("Next row (WS): p1", Label("row", side="WS")),
        ("k1", Label()),
    ],
)
def test_labels(text: str, label: Label) -> None:
    assert parse_line(text).label == label


@pytest.mark.parametrize(
    "text",
    [
        "*k2, p2; rep from * to last 3 sts, k3",
        "*K2, P2* to last 3 sts, K3",
        "(k2, p2) to last 3 sts, k3",
        "[k2, p2] until 3 sts remain, k3",
        "*k2, p2, repeat from * to last three stitches, k3",
        "*k2, p2*, rep to last 3 sts, k3",
        "* k2, p2; rep from * to within 3 sts of end, k3",
    ],
)
def test_a_repeat_up_to_the_last_three(text: str) -> None:
    quantity = only_repeat(text).quantity
    assert isinstance(quantity, To)
    assert (quantity.place, quantity.short) == ("end", (3,))


@pytest.mark.parametrize(
    "text", ["*k2, p2; rep from * around", "*k2, p2* to end", "(k2, p2) across", "k2, p2, rep to end"]
)
def test_a_repeat_to_the_end(text: str) -> None:
    quantity = only_repeat(text).quantity
    assert isinstance(quantity, To)
    assert quantity.place in ("end", "across")
    assert quantity.short == (0,)


@pytest.mark.parametrize(
    ("text", "count", "more"),
    [
        ("[k2, p2] 6 times", 6, None),
        ("(k2, p2) twice", 2, None),
        ("(k2, p2) x 4", 4, None),
        ("*k2, p2; rep from * 5 times more", 5, True),
        ("*k2, p2; rep from * five more times", 5, True),
        ("*k2, p2; rep from * 5 times", 5, None),
        ("*k2, p2; rep from * a total of 5 times", 5, False),
        ("*k2, p2* 5 times", 5, False),
    ],
)
def test_counted_repeats(text: str, count: int, more: bool | None) -> None:
    quantity = only_repeat(text).quantity
    assert isinstance(quantity, Times)
    assert (quantity.count, quantity.more) == ((count,), more)


def test_nested_repeats() -> None:
    outer = only_repeat("*k1, [yo, k2tog] twice, p1; rep from * to end")
    inner = [step for step in outer.body if isinstance(step, Repeat)]
    assert len(inner) == 1
    assert isinstance(inner[0].quantity, Times)


@pytest.mark.parametrize(
    ("text", "place", "short", "which"),
    [
        ("k to 3 sts before marker", "marker", 3, ""),
        ("knit to within 3 stitches of the next marker", "marker", 3, ""),
        ("k to m", "marker", 0, ""),
        ("k to marker B", "marker", 0, "b"),
        ("k to thumb marker", "marker", 0, "thumb"),
        ("k to end of round", "end", 0, ""),
        ("knit all sts", "end", 0, "each"),
        ("k to last st", "end", 1, ""),
        ("k to 1 st before gap", "gap", 1, ""),
        ("k to wrapped st", "wrap", 0, ""),
    ],
)
def test_places(text: str, place: str, short: int, which: str) -> None:
    quantity = only_repeat(text).quantity
    assert isinstance(quantity, To)
    assert (quantity.place, quantity.short, quantity.which) == (place, (short,), which)


@pytest.mark.parametrize(
    ("text", "printed"),
    [
        ("k2tog around - 72 sts.", (72,)),
        ("k2tog around (72 sts)", (72,)),
        ("k2tog around. 72 sts remain.", (72,)),
        ("k2tog around: 72 stitches", (72,)),
        ("k2tog around = 72 sts", (72,)),
        ("k2tog around [72]", (72,)),
        ("k2tog around, you now have 72 sts", (72,)),
        ("k2tog around 72 sts", (72,)),
        ("k2tog around", ()),
        ("k to last 3 sts, k 3 sts", ()),
        ("Repeat rounds 1-2 until 16 sts remain", ()),
        ("CO 48 sts", ()),
    ],
)
def test_counts_printed_after_a_line(text: str, printed: tuple[int, ...]) -> None:
    assert parse_line(text).printed == printed


@pytest.mark.parametrize(
    ("text", "change", "printed"),
    [
        ("ssk, k to end (1 st decreased)", (-1,), ()),
        ("k1, m1, k to last st, m1, k1 - 2 sts inc'd", (2,), ()),
        ("ssk, k to last 2 sts, k2tog (2 sts dec'd; 60 sts rem)", (-2,), (60,)),
    ],
)
def test_changes_printed_after_a_line(text: str, change: tuple[int, ...], printed: tuple[int, ...]) -> None:
    line = parse_line(text)
    assert (line.change, line.printed) == (change, printed)


@pytest.mark.parametrize(
    "text", ["k 48 (52, 56)", "k48 (52,56)", "K48[52, 56]", "k 48 (52: 56)", "k 48(52/56)", "k 48/52/56"]
)
def test_one_number_for_each_size(text: str) -> None:
    only = steps(text, 3)[0]
    assert isinstance(only, Stitch)
    assert only.count == (48, 52, 56)


def test_sizes_stand_beside_groups_and_inside_them() -> None:
    group = only_repeat("[k2 (3), p2 (2)] 5 (6) times", 2)
    assert isinstance(group.quantity, Times)
    assert group.quantity.count == (5, 6)
    assert [step.count for step in group.body if isinstance(step, Stitch)] == [(2, 3), (2, 2)]


def test_a_size_that_has_none_is_nought() -> None:
    only = steps("k - (2, 4)".replace("- ", "0 "), 3)[0]
    assert isinstance(only, Stitch)
    assert only.count == (0, 2, 4)


def test_printed_counts_for_each_size() -> None:
    assert parse_line("k2tog around. 24 (26, 28) sts rem.", 3).printed == (24, 26, 28)


@pytest.mark.parametrize("text", ["Knit.", "K", "Rnd 2: Knit", "Purl", "P.", "with MC, knit"])
def test_a_lone_stitch_word_works_the_whole_row(text: str) -> None:
    assert isinstance(only_repeat(text).quantity, To)


@pytest.mark.parametrize(
    ("text", "times"),
    [
        ("Knit 6 rounds", (6,)),
        ("k 6 rnds", (6,)),
        ("*k1, p1; rep from * around for 6 rounds", (6,)),
        ("Purl 1 row", (1,)),
        ("Knit every round", (1,)),
        ("Work 6 rounds even", (6,)),
        ("Work in k1, p1 rib for 6 rows", (6,)),
    ],
)
def test_how_many_rounds_a_line_stands_for(text: str, times: tuple[int, ...]) -> None:
    part = parse_line(text).parts[0]
    assert isinstance(part, Rows)
    assert part.times == times


@pytest.mark.parametrize(
    ("text", "which", "first", "last", "count", "more"),
    [
        ("Repeat rounds 1-2 3 more times", "numbers", 1, 2, 3, True),
        ("Rep Rnds 1 and 2 three times more.", "numbers", 1, 2, 3, True),
        ("Repeat these 2 rounds 3 times", "last", 2, 0, 3, None),
        ("Rep last rnd once", "last", 1, 0, 1, None),
        ("Work rounds 1-4 a total of 5 times", "numbers", 1, 4, 5, False),
    ],
)
def test_repeats_of_rounds(text: str, which: str, first: int, last: int, count: int, more: bool | None) -> None:
    part = again(text)
    assert part.times is not None
    assert (part.which, part.first[0], part.last[0], part.times.count[0], part.times.more) == (
        which, first, last, count, more
    )  # fmt: skip


@pytest.mark.parametrize(
    "text",
    ["Repeat rounds 1-2 until 16 sts remain", "Rep Rnds 1 & 2 until 16 sts.", "rep last rnd until there are 16 sts"],
)
def test_repeats_of_rounds_until_a_count(text: str) -> None:
    assert again(text).until == (16,)


def test_every_other_round_then_every_round() -> None:
    spells = again("Repeat dec rnd every other rnd 5 times, then every rnd 3 times").spells
    assert [(spell.every, spell.times.count if spell.times else None) for spell in spells] == [
        ((2,), (5,)),
        ((1,), (3,)),
    ]


@pytest.mark.parametrize(
    ("text", "action", "where"),
    [
        ("BO 3 sts at beg of next 2 rows", "BO", "start"),
        ("Cast on 4 sts at end of next 2 rows", "CO", "end"),
        ("Dec 1 st at each end of every other row 5 times", "dec", "each"),
        ("Increase 1 st each end of next row", "inc", "each"),
    ],
)
def test_shaping_over_several_rows(text: str, action: str, where: str) -> None:
    part = parse_line(text).parts[0]
    assert isinstance(part, Shape)
    assert (part.action, part.where) == (action, where)


def test_yarns_are_told_from_stitches_and_articles() -> None:
    line = parse_line("*K2 A, k2 B; rep from * around", 1, frozenset({"A", "B"}))
    part = line.parts[0]
    assert isinstance(part, Rows)
    repeat = part.steps[0]
    assert isinstance(repeat, Repeat)
    assert [step.colour for step in repeat.body if isinstance(step, Stitch)] == ["A", "B"]
    assert isinstance(parse_line("C6B, place a marker", 1, frozenset({"A", "B"})), Line)


def test_a_line_is_read_once() -> None:
    assert parse_line("k1, p1, k11") is parse_line("k1, p1, k11")
