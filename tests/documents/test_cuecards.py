"""Cue cards: which lines stand on them, and what is in bold there."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from lessonplan.course.model.episodes import Hands, Shot
from lessonplan.craft import tables
from lessonplan.documents.cuecards import LONG, Part, cue_cards_view, sequences_of, slippery
from tests.documents import timed
from tests.inline_stages import read


def bold(say: str) -> list[str]:
    return [part.text.replace("\u00a0", " ") for line in slippery(say) for part in line if part.slips]


def lines(say: str) -> list[str]:
    return ["".join(part.text for part in line).replace("\u00a0", " ") for line in slippery(say)]


@pytest.mark.parametrize(
    ("say", "words"),
    [
        ("The left needle goes behind the right one.", ["left", "right"]),
        ("Slip it **purlwise**.", ["purlwise"]),
        ("Then slip the next as if to knit.", ["as if to knit"]),
        ("So we knit it through the back of the loop.", ["back"]),
        ("Knit it through the front.", ["front"]),
        ("The needle lifts it from the back.", ["back"]),
        ("From the back, through the front.", ["back", "front"]),
        ("Under the thumb, over the finger, and back through.", ["Under", "over"]),
        ("It leans to the left.", ["left"]),
        ("I cast on 44 stitches.", ["44"]),
        ("If you have more stitches than I have, take a thicker needle.", ["more", "thicker"]),
        ("If you have fewer, take a thinner one.", ["fewer", "thinner"]),
        ("Change to a thicker needle for the band.", ["thicker"]),
        ("Take the larger needle.", ["larger"]),
        ("Bring the new colour up from under the old one.", ["under"]),
        ("It is 7 cm long.", ["7"]),
        ("It is 7.5 cm long, with 1 marker.", ["7.5", "1"]),
        ("Slip one, knit thirty, then knit two together.", ["one", "thirty"]),
        ("Slip it, and then forty-two more.", ["forty-two"]),
        ("There are thirty stitches between them.", ["thirty"]),
        ("After twelve rounds you see the wedge.", ["twelve"]),
        ("Two, two, one, two, one.", ["Two, two, one, two, one"]),
    ],
)
def test_what_is_in_bold(say: str, words: list[str]) -> None:
    assert bold(say) == words
    assert all(part.text for line in slippery(say) for part in line)


@pytest.mark.parametrize(
    "say",
    [
        "Good morning.",
        "Welcome back.",
        "We will come back when we wake the thumb.",
        "I have 3 cats.",
        "I have three cats, and one more.",
        "One stitch and then another, one by one, two by two.",
        "It closes in no time.",
        "Then you are right.",
        "There are some left.",
        "Once more around, for safety.",
        "The fewer words, the better.",
        "Pull it from under your arm.",
        "Yours are a little smaller.",
        "",
    ],
)
def test_other_sentences_need_no_card(say: str) -> None:
    assert lines(say) == []


def test_a_fact_is_what_must_be_right_whatever_follows_it() -> None:
    # marks stand round a fact when it is filled in
    assert bold("It goes from \ue00016\ue001 to \ue0008\ue001 in no time.") == ["16", "8"]
    assert lines("It goes from \ue00016\ue001 to \ue0008\ue001 in no time.") == ["It goes from 16 to 8 in no time."]


def test_only_the_slippery_sentence_is_on_the_card() -> None:
    assert lines("Hello there. Cast on 44 stitches. Lovely.") == ["Cast on 44 stitches."]


def test_a_long_sentence_is_cut_to_what_slips_in_it() -> None:
    say = "Lay it flat on the table, smooth it with your hand, and you see that it is 7 cm, more or less, by the ruler."
    assert len(say) > LONG
    assert lines(say) == ["… and you see that it is 7 cm …"]


def test_few_words_of_a_long_sentence_have_those_before_them() -> None:
    say = "Place the marker, for this is half way round the hand, and begin again: knit one, then the move, and so on."
    assert lines(say) == ["… and begin again: knit one …"]
    # What begins the sentence has none before it.
    assert lines(f"Knit one, {say[0].lower()}{say[1:-1].replace('knit one, ', '')}.") == ["Knit one …"]


@pytest.mark.parametrize(
    ("say", "line"),
    [
        ("Count them all, 110 stitches, as many as before we began.", "… 110 stitches, as many as before …"),
        ("There. 110 stitches, as many as before.", "110 stitches, as many as before"),
        ("Count them yourself.", "110 stitches, as many as before"),  # where it is said is hers
    ],
)
def test_a_line_that_must_be_said_shows_where_its_sentence_goes_on(tmp_path: Path, say: str, line: str) -> None:
    must = '["{{ edge.cast_on }} stitches, as many as before"]'
    told = say.replace("110", "{{ edge.cast_on }}")
    planned = timed.plan(tmp_path, timed.episode((timed.shot("face", say=told, must_say=must),)))
    (card,) = cue_cards_view(planned, planned.days[0]).cards
    assert "".join(part.text for part in card.lines[0]).replace("\u00a0", " ") == line


def test_the_cards_of_a_day_in_filming_order(tmp_path: Path) -> None:
    # 15 minutes of set-up, a shot of 7 minutes without a card, a change of view of 5, a shot at 9:27.
    said = "Hello. We cast on {{ edge.cast_on }}, and {{ course.host }} has tea."
    shots = timed.shot("face", say="I am {{ course.host }}."), timed.shot("sink", title="Casting on", say=said)
    planned = timed.plan(tmp_path, timed.episode(shots))
    view = cue_cards_view(planned, planned.days[0])
    assert (view.title, view.number, view.day) == ("Ring cowl", 1, "Saturday 6 March 2027")
    (card,) = view.cards
    assert (card.number, card.slate, card.title.text, card.time) == ("1.1.2", "", "Casting on", "9:27")
    assert card.lines == ((Part("We cast on ", False), Part("110", True), Part(", and Ada Example has tea.", False)),)


def test_every_fact_of_the_sample_is_on_a_card(root: Path) -> None:
    """The files are read as text: a sentence of a script with a fact is a line of its card, with the fact in bold."""
    import yaml

    import lessonplan
    from lessonplan.pattern.texts import for_size

    planned = lessonplan.plan(root / "sample_course").plan
    assert planned is not None
    word = for_size(planned.worked.facts, planned.worked.size)
    on_cards = {
        (card.number, part.text.replace("\u00a0", " "))
        for day in planned.days
        for card in cue_cards_view(planned, day).cards
        for line in card.lines
        for part in line
        if part.slips
    }
    seen = 0
    for file in sorted((root / "sample_course" / "episodes").glob("*.yaml")):
        data = yaml.safe_load(file.read_text(encoding="utf-8"))
        for number, segment in enumerate(data["segments"], 1):
            for place, shot in enumerate(segment["shots"], 1):
                for name in re.findall(r"\{\{ *(.*?) *\}\}", " ".join(shot.get("say", "").split())):
                    if name != "course.host":
                        seen += 1
                        key = f"{data['episode']}.{number}.{place}", word(name).replace("\u00a0", " ")
                        whole = re.compile(rf"(?<![\w.,]){re.escape(key[1])}(?!\w)")  # a must-say line is bold whole
                        assert any(shown == key[0] and whole.search(text) for shown, text in on_cards), (key, name)
    assert seen > 30


@pytest.mark.parametrize(
    ("shot", "names"),
    [
        (Shot(view="x", say="Slip, slip, knit. It leans."), ["ssk"]),
        (Shot(view="x", hands=(Hands(work="K1, ssk, k2tog"),)), ["ssk", "k2tog"]),
        (Shot(view="x", title="Grafting the toe"), ["graft"]),
        (Shot(view="x", say="And now the three-needle bind-off."), ["three-needle bind-off"]),
        (Shot(view="x", say="Knit two, purl two."), []),
        (Shot(view="x", say="The grafted seam of yesterday."), []),
    ],
)
def test_fixed_sequences_are_found_by_their_names(shot: Shot, names: list[str]) -> None:
    assert [name for name, _ in sequences_of(read(STRETCHY.replace("stretchy", "standard")), shot)] == names


STRETCHY = """\
  cuff:
    title: Cuff
    works:
      - {cast_on: 8}
      - {bind_off: all, method: stretchy}
"""


def test_a_bind_off_of_its_own_is_not_told_as_the_plain_one() -> None:
    shot = Shot(view="x", say="Then bind off loosely, and graft the rest.")
    assert [name for name, _ in sequences_of(read(STRETCHY), shot)] == ["graft"]
    assert [name for name, _ in sequences_of(read(STRETCHY.replace("stretchy", "standard")), shot)] == [
        "bind-off",
        "graft",
    ]


@pytest.mark.parametrize(
    ("say", "first"),
    [
        ("Bring the yarn forward, slip the next stitch, yarn back, slip it again, and turn.", "yarn"),
        ("Slip the next stitch, yarn to the front, slip it back, turn. Then bring the yarn to you and slip.", "slip"),
        ("Wrap it, and turn.", "slip"),
    ],
)
def test_a_move_with_two_orders_has_that_of_the_hosts_words(say: str, first: str) -> None:
    """A stitch is wrapped in either order (common practice); who tells none gets the first of the table."""
    shot = Shot(view="x", title="w&t", say=say)
    ((name, steps),) = sequences_of(read(STRETCHY), shot)
    assert (name, "".join(part.text for part in steps[0]).split()[0]) == ("wrap and turn", first)


def test_every_sequence_has_bold_words_and_a_source() -> None:
    for row in tables.rows("sequences"):
        assert row["source"] == "common practice"
        assert row["steps"].count("*") % 2 == 0
        assert "*" in row["steps"]
