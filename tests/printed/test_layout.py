"""What is printed as one line: wrapped lines joined, run-on lines parted, and every sign at its place in the file."""

from __future__ import annotations

from lessonplan.needle.count import count_lines
from lessonplan.printed.leaflet.layout import lines_printed, run_on, sentences


def texts(text: str) -> list[str]:
    return [" ".join(each.text.split()) for each in lines_printed(text)]


def test_a_wrapped_line_is_joined_and_a_label_begins_a_new_one() -> None:
    assert texts("Rnd 1: *K2, p2; rep from *\n   to end of rnd.\nRnd 2: Knit.\n") == [
        "Rnd 1: *K2, p2; rep from * to end of rnd.",
        "Rnd 2: Knit.",
    ]
    assert texts("Bind off\n12 sts.\n\n4 markers") == ["Bind off 12 sts.", "4 markers"]


def test_lines_that_stand_one_behind_the_other_are_parted() -> None:
    assert texts("Rnd 1: Knit. Rnd 2: Purl. (48 sts) Next rnd: Knit.") == [
        "Rnd 1: Knit.",
        "Rnd 2: Purl. (48 sts)",
        "Next rnd: Knit.",
    ]
    assert texts("Rep Rnd 1. Work 2 more rnds.") == ["Rep Rnd 1. Work 2 more rnds."]


def test_entries_of_lists_are_never_joined() -> None:
    assert texts("CO = cast on\nk = knit\np = purl") == ["CO = cast on", "k = knit", "p = purl"]
    assert texts("- wool, 100 g,\n- needles") == ["wool, 100 g,", "needles"]


def test_marks_of_markdown_are_left_out_and_places_kept() -> None:
    text = "## Body\n\n- **Row 1 (RS):** K2, *p2, k2; rep from *\n  to end.\n"
    heading, row = lines_printed(text)
    assert (heading.text, heading.heading) == ("Body", 2)
    shown = text.splitlines()
    for word in ("K2", "*p2", "to end"):
        line, column = row.place(row.text.index(word))
        assert shown[line - 1][column - 1 :].startswith(word), word


def test_an_underlined_line_and_a_bold_one_are_headings_but_a_bold_label_is_none() -> None:
    found = lines_printed("Hat\n===\n\n**Crown**\nKnit.\n\n**Row 1:**\nKnit.\n")
    assert [(each.text, bool(each.heading)) for each in found][:3] == [("Hat", True), ("Crown", True), ("Knit.", False)]
    assert not found[3].heading


def test_sentences_end_at_full_stops_but_not_before_a_count() -> None:
    (line,) = lines_printed("Cast on 88 sts. Join in the round. Knit to end of rnd. 88 sts.")
    assert [each.text for each in sentences(line)] == [
        "Cast on 88 sts.",
        "Join in the round.",
        "Knit to end of rnd. 88 sts.",
    ]
    (line,) = lines_printed("Work 5 cm in rib. Bind off 3 sts. (see p. 4) Done.")
    assert line.place(line.text.index("Bind")) == (1, line.text.index("Bind") + 1)
    last = sentences(line)[-1]
    assert last.place(0) == (1, line.text.index(last.text) + 1)


def test_rows_one_behind_the_other_begin_where_their_labels_stand() -> None:
    text = "Rnd 1: K1, m1, k to end. 21 sts. Rnds 2-4: Knit. (See Rnd 1.) Rnd 5 - K2tog, k to end."
    assert [text[at:].split(" ")[1] for at in run_on(text)] == ["1:", "2-4:", "5"]
    assert run_on("*Row 1: Knit. Row 2: Purl. Rep from * 3 times.") == (0,)  # repeated as one


def test_problems_of_rows_one_behind_the_other_stand_at_their_place() -> None:
    text = "Rnd 1: Knit. Rnd 2: *K2, k2tog; rep from * to end. 14 sts."
    found = count_lines(["Knit.", text], [20])
    assert (found.lines[1].stitches, found.lines[1].rounds) == ((15,), (2,))
    assert [(each.line, each.column) for each in found.problems] == [(2, text.index("14") + 1)]
    lost = count_lines(["Rnd 1: Knit. Rnd 2: K5, zz3, k to end.", "Rnd 3: Knit."], [20])
    assert lost.lines[1].stitches == (None,)
    assert {each.line for each in lost.problems} == {1}


def test_a_third_needle_begins_no_round() -> None:
    text = (
        "Rnd 1: 1st needle: K to last 3 sts, k2tog, k1. 2nd needle: K1, ssk, k to end. 3rd needle: K1, ssk, k to end."
    )
    assert run_on(text) == (0,)
    assert run_on("Rnd 1: Knit. 3 rds: Purl.") == (0, 13)
