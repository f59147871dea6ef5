"""The list of abbreviations of a pattern, against the abbreviations that its lines use."""

from __future__ import annotations

import pytest

from lessonplan.needle.pattern import work_whole
from lessonplan.printed.leaflet.contents import read_whole
from lessonplan.printed.leaflet.explained import entries, meaning_of, place_of


@pytest.mark.parametrize(
    ("text", "keys"),
    [
        ("k2tog = knit 2 together", [("k2tog",)]),
        ("k2tog: knit 2 together", [("k2tog",)]),
        ("MR - magic ring", [("MR",)]),
        ("k – knit; p – purl; st(s) – stitch(es)", [("k",), ("p",), ("st", "sts")]),
        ("k = knit, p = purl, sl st = slip stitch", [("k",), ("p",), ("sl st",)]),
        ("RS/WS: right side/wrong side", [("RS", "WS")]),
        ("ssk   slip, slip, knit", [("ssk",)]),
        ("See the notes at the end of this pattern.", []),
    ],
)
def test_entries(text: str, keys: list[tuple[str, ...]]) -> None:
    assert [each.keys for each in entries(text)] == keys


def test_the_place_of_an_entry_is_its_own() -> None:
    text = "k – knit; p – purl"
    assert [text[each.at :][0] for each in entries(text)] == ["k", "p"]


def test_spellings_of_one_technique_mean_one_thing() -> None:
    assert meaning_of("K2tog", "knitting") == meaning_of("k2tog", "knitting")
    assert meaning_of("sts", "knitting") == meaning_of("st", "knitting")
    assert meaning_of("rnds", "knitting") == "rnd"
    assert meaning_of("Wob", "knitting") == "wob"


def test_an_abbreviation_stands_beside_numbers_but_not_inside_a_word() -> None:
    assert place_of("k", "Work 3 sts, k4") == 12
    assert place_of("k", "Work back") == -1
    assert place_of("yo", "you may") == -1


def used_and_not(text: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    found = work_whole(read_whole(text))
    return found.unexplained, found.unused


HEAD = "Abbreviations\nk = knit\np = purl\n\nSwatch\n"


def test_used_but_not_explained_and_explained_but_not_used() -> None:
    assert used_and_not(HEAD + "Cast on 10 stitches.\nRow 1: K5, p5.\nRow 2: K3, ssk, p5.\n") == (("ssk",), ())
    assert used_and_not(HEAD + "Cast on 10 stitches.\nRow 1: K5, k5.\n") == ((), ("p",))


@pytest.mark.parametrize(
    ("materials", "unexplained"),
    [
        ("MC: Slate wool, 2 skeins", ()),
        ("Slate wool (MC), 2 skeins", ()),
        ("Slate wool, 2 skeins", ("MC",)),
        ("Wool in the MC of your choice", ("MC",)),
    ],
)
def test_a_yarn_is_explained_by_the_list_of_materials(materials: str, unexplained: tuple[str, ...]) -> None:
    text = f"Materials\n{materials}\n\n{HEAD}Cast on 10 stitches.\nRow 1: With MC, k5, p5.\n"
    assert used_and_not(text) == (unexplained, ())


def test_words_written_out_need_no_explaining() -> None:
    assert used_and_not(HEAD + "Cast on 10 stitches.\nRow 1: K5, p5.\nKnit 2 rows.\nPurl 1 row.\n") == ((), ())


def test_a_pattern_without_a_list_is_not_told_of_each_of_them() -> None:
    found = work_whole(read_whole("Swatch\nCO 10 sts.\nRow 1: K5, p5.\n"))
    assert (found.unexplained, found.problems) == ((), ())
    assert set(found.used.values()) >= {"CO", "k", "p", "sts"}
