from __future__ import annotations

import pytest

from lessonplan.documents.cuecards import slippery


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
