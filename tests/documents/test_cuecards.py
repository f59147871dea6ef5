from __future__ import annotations

from pathlib import Path

import pytest

from lessonplan.documents.cuecards import cue_cards_view, slippery
from tests.documents import timed


def words(say: str) -> list[str]:
    return [word for _, found in slippery(say) for word in found]


def test_pairs_that_are_easily_swapped() -> None:
    assert words("The left needle goes behind the right one.") == ["left/right"]
    assert words("Slip it **purlwise**.") == ["purlwise"]


@pytest.mark.parametrize("say", ["I cast on 44 stitches.", "Work 22 rounds.", "It is 7 cm long."])
def test_counts_beside_a_unit_of_the_craft(say: str) -> None:
    assert len(words(say)) == 1


@pytest.mark.parametrize("say", ["Good morning.", "I have 3 cats.", "Once more, slowly.", "", "Then you are right."])
def test_other_sentences_need_no_card(say: str) -> None:
    assert words(say) == []


def test_only_the_slippery_sentence_is_on_the_card() -> None:
    assert [sentence for sentence, _ in slippery("Hello there. Cast on 44 stitches. Lovely.")] == [
        "Cast on 44 stitches."
    ]


def test_the_cards_of_a_day_in_filming_order(tmp_path: Path) -> None:
    # 15 minutes of set-up, a shot of 7 minutes without a card, a change of view of 5, a shot at 9:27.
    said = "Hello. We cast on {{ edge.cast_on }} stitches."
    shots = timed.shot("face"), timed.shot("sink", title="Casting on", say=said)
    planned = timed.plan(tmp_path, timed.episode(shots))
    view = cue_cards_view(planned, planned.days[0])
    assert (view.title, view.number, view.day) == ("Ring cowl", 1, "Saturday 6 March 2027")
    (card,) = view.cards
    assert (card.number, card.title, card.time) == ("1.1.2", "Casting on", "9:27")
    assert card.lines == (("We cast on 110 stitches.", ("110 stitches",)),)
