"""How things are done (common practice), each told right and told wrong, alone and far behind other talk.

What is right is no finding; of what is wrong just the wrong words are told of, with what is right.
"""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest

from lessonplan.course.byplace import EditError
from lessonplan.edit.proof.episode import Proof
from lessonplan.edit.proof.expected.holds import Holds
from lessonplan.edit.proof.findings import Finding, Kind
from lessonplan.edit.proof.keeping import decide
from lessonplan.edit.proof.reader import proofed
from lessonplan.edit.proof.said import Said
from lessonplan.edit.proof.sequences import swaps_in
from lessonplan.edit.proof.steps import lines_of, swapped_steps, told_in
from lessonplan.edit.speech.heard import quantities_in
from lessonplan.edit.speech.units import normal, words_of
from lessonplan.planning.worked import load
from tests.edit.spoken import holds

HERE = Path(__file__).parent
TALK = "hello again my dears and today the sun is out so we sit by the window with a good cup of tea "

GRAFT = ("graft",)
WAYS: tuple[tuple[tuple[str, ...], str, str, str], ...] = (
    # (techniques, what is told with {} for the words that matter, the right words, wrong ones)
    # increases between stitches: left from the front and through the back, right the other way about
    (("m1l",), "make one left lift the bar from the {} and knit it", "front", "back"),
    (("m1r",), "make one right lift the bar from the {} and knit it", "back", "front"),
    (("m1l",), "make one left lift the bar and knit through the {}", "back", "front"),
    (("m1r",), "make one right lift the bar and knit through the {}", "front", "back"),
    (("m1l",), "make one left pick the bar up with the {}", "left needle", "right needle"),
    # where decreases lean
    (("ssk",), "slip slip knit leans to the {}", "left", "right"),
    (("k2tog",), "knit two together leans to the {}", "right", "left"),
    (("m1l",), "make one left leans to the {}", "left", "right"),
    (("m1r",), "make one right leans to the {}", "right", "left"),
    # how stitches are slipped
    (("ssk",), "for the ssk slip the stitches one by one {}", "as if to knit", "as if to purl"),
    (("wyib",), "and slip the stitch {} with the yarn behind", "as if to purl", "as if to knit"),
    # where the yarn lies
    (("k", "p"), "for a purl stitch the yarn is at the {}", "front", "back"),
    (("k", "p"), "for a knit stitch the yarn is at the {}", "back", "front"),
    (("wyib",), "slip one with the yarn at the {}", "back", "front"),
    # the long-tail cast-on
    (("CO",), "the needle goes {}", "under the thumb", "over the thumb"),
    (("CO",), "the needle goes {}", "over the finger", "under the finger"),
    # grafting
    (GRAFT, "on the front needle {} and off", "knitwise", "purlwise"),
    (GRAFT, "on the front needle {} and leave it on", "purlwise", "knitwise"),
    (GRAFT, "on the back needle {} and off", "purlwise", "knitwise"),
    (GRAFT, "on the back needle {} and leave it on", "knitwise", "purlwise"),
    # together
    (("k2tog", "k"), "{}", "knit two together", "purl two together"),
    (("p2tog", "p", "k"), "now {}", "purl two together", "knit two together"),
    # a bind-off as the pattern says
    (("purlwise",), "bind off all stitches {}", "purlwise", "knitwise"),
    (("in pattern",), "bind off all stitches {}", "in pattern", "purlwise"),
    # hooks, edges and legs
    (("k",), "the hook goes in {} and catches the rung", "from the front", "from the back"),
    ((), "weave the end in {}", "on the inside", "on the outside"),
)


@pytest.mark.parametrize("talk", ["", TALK, TALK * 4], ids=["alone", "behind talk", "far behind"])
@pytest.mark.parametrize(("techniques", "told", "right", "wrong"), WAYS)
def test_a_way_told_wrong_is_told_at_its_words(
    techniques: tuple[str, ...], told: str, right: str, wrong: str, talk: str
) -> None:
    assert [*swaps_in((talk + told.format(right)).split(), frozenset(techniques))] == []
    words = (talk + told.format(wrong)).split()
    (one,) = swaps_in(words, frozenset(techniques))
    said = " ".join(words[one.first : one.end])
    assert said in wrong, said
    assert one.first >= len(talk.split())
    assert any(word in right.split() or word in right for word in one.right.split()), one.right


@pytest.mark.parametrize("never", ["never", "not", "don't", "if you"])
def test_a_way_that_is_denied_or_supposed_is_let_be(never: str) -> None:
    words = f"on the front needle and {never} purlwise and off".split()
    assert [*swaps_in(words, frozenset(GRAFT))] == []


def test_counts_of_steps_are_known_in_as_many_sizes_as_are_printed() -> None:
    lines = lines_of(["*K3 (4, 5, 6, 7, 8), p2; rep from * to end"])
    assert {line.steps for line in lines} == {(("k", count), ("p", 2)) for count in (3, 4, 5, 6, 7, 8)}
    assert lines_of(["K3 (4, 5)"]) == (), "one step has no order"


@pytest.mark.parametrize(
    ("said", "steps"),
    [
        ("knit two purl two", [(("k", 2), ("p", 2))]),
        ("knit two and then purl for", [(("k", 2), ("p", 4))]),
        ("slip slip knit and knit two together", [(("ssk", 1), ("k2tog", 1))]),
        ("make one left knit across make one right", [(("m1l", 1), ("k", 0), ("m1r", 1))]),
        ("slip one knit three together purl twenty two", [(("sl", 1), ("k3tog", 1), ("p", 20))]),
        ("slip knit knit knit", [(("sl", 0), ("k", 3))]),
        ("knit two", []),
        ("knit two my grandmother said purl two", []),
        ("knit one purl one and my grandmother said slip one knit two", [(("k", 1), ("p", 1)), (("sl", 1), ("k", 2))]),
    ],
)
@pytest.mark.parametrize("talk", ["", TALK])
def test_steps_told_one_after_the_other(said: str, steps: list[tuple[tuple[str, int], ...]], talk: str) -> None:
    words = (talk + said).split()
    found = [*told_in(words)]
    assert [one.steps for one in found] == steps
    for one in found:
        assert words[one.spans[0][0]] in ("knit", "slip", "make")
        assert all(first < end <= len(words) for first, end in one.spans)


@pytest.mark.parametrize(
    ("line", "said", "wrong", "right"),
    [
        ("*K2, p2; rep from * to end", "the round begins purl two knit two", "purl two knit two", "k2, p2"),
        ("*K2, p2; rep from * to end", "every round starts with a purl", "starts with a purl", "k"),
        ("*K2, p3; rep from * to end", "knit three purl two", "knit three purl two",
         "each with the count of the other"),
        ("K1, m1l, k to last st, m1r, k1", "knit one make one right knit across make one left knit one",
         "knit one make one right knit across make one left knit one", "k1, m1l, k to last st, m1r, k1"),
        ("*K2, p2; rep from * to end", "knit two purl two", "", ""),
        ("*K2, p2; rep from * to end", "it doesn't matter the round begins purl two knit two", "", ""),
    ],
)  # fmt: skip
def test_steps_in_another_order_than_any_line(line: str, said: str, wrong: str, right: str) -> None:
    words = said.split()
    found = [(" ".join(words[first:end]), told) for first, end, told in swapped_steps(words, lines_of([line]))]
    assert [told for _, told in found] == ([right] if right else [])
    assert all(one in wrong or wrong in one for one, _ in found)


MITTENS = holds("mittens")


def found_in(text: str, segment: str = "1.2", *, whole: bool = False) -> tuple[Finding, ...]:
    return proofed(words_of(text), MITTENS[segment], whole=whole)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("we work four rounds there are four rounds of it", "four rounds there are four rounds"),
        ("we work three rounds there are three rounds of it", None),  # so few are only said slowly
        ("we work four rounds here and four rounds there", None),
        ("we work four rounds of rib and then with all the time in the world four rounds of rib", None),
        ("four rounds and change four rounds and change", None),
    ],
)
def test_a_number_said_twice_at_once(text: str, said: str | None) -> None:
    assert [one.said for one in found_in(text, "1.4") if one.kind == "said twice"] == ([said] if said else [])


@pytest.mark.parametrize(
    ("text", "slip", "right"),
    [
        ("you have forty six no sorry forty four stitches", "forty six no sorry forty four stitches", "44 stitches"),
        ("knit with the left no sorry the right hand of course", "", ""),
    ],
)
def test_what_is_taken_back_is_told_with_what_holds(text: str, slip: str, right: str) -> None:
    found = [one for one in found_in(text, "1.3") if one.kind == "took it back"]
    for one in found:
        assert text[one.place : one.place_end].endswith(slip.split()[-1] if slip else one.said.split()[-1])
        assert one.said in text
        if slip:
            assert one.said == slip
            assert one.right.startswith(right)
    assert len(found) == 1


@pytest.mark.parametrize(
    ("text", "weight"),
    [
        ("the yarn is a chunky one", "chunky"),
        ("this is lace weight yarn", "lace"),
        ("a ball of bulky", "bulky"),
        ("it's written for fingering", "fingering"),
        ("we're knitting this in dk yarn today", None),
        ("you could take a chunky yarn instead", None),
        ("a good sport she is", None),
    ],
)
def test_a_yarn_of_another_weight(text: str, weight: str | None) -> None:
    """The mittens are of DK."""
    found = [one.said for one in found_in(text) if "weight" in one.right]
    assert found == ([weight] if weight else [])


@pytest.mark.parametrize(
    ("text", "reach", "clause"),
    [
        ("twenty rounds of rib and then forty stitches on the needle", 6, "then # on the needle"),
        ("we have forty four so in all forty five stitches here", 6, "in all # here"),
        ("you have forty five if you started well", 6, "you have #"),
    ],
)
def test_the_clause_of_a_number_is_its_own(text: str, reach: int, clause: str) -> None:
    words = text.split()
    every = quantities_in(normal(words_of(text)), ("Small",))
    said = Said(every[-1], words, MITTENS["1.2"], every)
    assert said.clause(reach) == clause


def test_the_words_around_a_number_leave_out_the_number_alone() -> None:
    text = "a b c d e f g h twenty two stitches i j k l m n o p"
    (one,) = quantities_in(normal(words_of(text)), ("Small",))
    said = Said(one, text.split(), MITTENS["1.2"], (one,))
    assert said.near(2, 3) == "g h # stitches i j k"
    assert said.near(99, 99) == text.replace("twenty two", "#")
    assert said.near(0, 0) == "# stitches"
    assert {"h", "#", "stitches", "i"} < {*said.about.split()}


def test_a_context_is_the_words_around_what_is_found() -> None:
    (one,) = list(found_in("here at the start we now have ninety stitches on the needle as you see"))
    assert one.said == "ninety stitches"
    assert one.context == "start we now have ninety stitches on the needle as"


def held(segment: str) -> Holds:
    return MITTENS[segment]


@pytest.mark.parametrize("segment", ["1.2", "1.3", "1.4"])
def test_what_must_be_said_is_missed_only_where_enough_is_heard(segment: str) -> None:
    must = held(segment).must_say
    missed = [one for one in found_in(TALK, segment, whole=True) if one.kind == "never said"]
    assert len(missed) == len({(one.unit, one.at(held(segment).size if len(one.values) > 1 else 0)) for one in must})
    assert not [one for one in found_in("the sun is out", segment, whole=True) if one.kind == "never said"]


def test_both_words_of_one_telling_are_one_slip() -> None:
    words = [
        "make",
        "one",
        "left",
        "lift",
        "the",
        "bar",
        "from",
        "the",
        "back",
        "and",
        "knit",
        "it",
        "through",
        "the",
        "front",
    ]
    (one,) = swaps_in(words, frozenset({"m1l"}))
    assert (words[one.first], words[one.end - 1]) == ("back", "front")
    assert one.right == "from the front, through the back"


def found_by_hand(kind: Kind, said: str, right: str) -> Finding:
    return Finding(kind=kind, segment="1.2", start=65.0, said=said, context=f"so {said} here", right=right, fact="")


def test_what_is_decided_of_findings_is_told_and_kept(tmp_path: Path) -> None:
    folder = tmp_path / "mittens"
    shutil.copytree(HERE.parent.parent / "sample_course", folder)
    worked = load(folder).worked
    assert worked is not None
    findings = (
        found_by_hand("disagrees", "forty six stitches", "44 stitches (edge)"),
        found_by_hand("swapped words", "front", "back"),
        found_by_hand("disagrees", "nine rounds", "22 rounds (cuff)"),
        found_by_hand("said twice", "a word a word", ""),
    )
    given = Proof(worked.course.episodes[0], "x.vtt", findings, ("dismissed", "", "", ""), 99, ())
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    for dismissed, errata, told in (([5], [], "no finding 5; there are 4"), ([], [0], "no finding 0"),
                                    ([], [4], "Finding 4 .said twice. has nothing that would be right")):  # fmt: skip
        with pytest.raises(EditError, match=told):
            decide(folder, worked, given, dismissed, errata, date(2027, 3, 9))
    assert before == {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    after, files = decide(folder, worked, given, [2, 4], [3], date(2027, 3, 9))
    assert after.decided == ("dismissed", "dismissed", "taken over", "dismissed")
    assert sorted(path.name for path in files) == ["errata.yaml", "proofed.yaml"]
    assert [number for number, _ in after.open] == []
    assert [number for number, _ in given.open] == [2, 3, 4]
    log, kept = (next(path for path in files if path.name == name).read_text(encoding="utf-8")
                 for name in ("errata.yaml", "proofed.yaml"))  # fmt: skip
    assert all(words in log for words in ("22 rounds", "2027-03-09", "episode 1, segment 1.2, at 1:05"))
    assert [kept.count(f"so {one.said} here") for one in findings] == [0, 1, 1, 1]
