"""Which cautions are given to whom: by what is done, with what, and for whom the piece is."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

import pytest

import lessonplan
from lessonplan.publish.cautions import Reader, cautions, cautions_of_shot, told_twice, uncautioned
from tests import pdf
from tests.documents.timed import COURSE, PATTERN, episode, plan, shot

SIGNS = {
    "cords": "drawstrings",  # ASTM F1816: children's sizes only
    "small parts": "small-parts cylinder",  # 16 CFR 1501: children under three only
    "sleep": "for sleep indoors",
    "steam": "Steam burns",
    "acrylic": "flattens acrylic",
    "fibres": "lanolin",
    "set": "tape cables",
    "needles": "cap the needles",
    "blades": "close scissors",
    "fire": "0.9 m",  # 3 ft, csia.org
    "chemicals": "fresh air",
    "hands": "numbness",
    "small children": "children on the set",
}
ALWAYS = {"hands", "needles", "blades"}
"""What every knitting course has."""


def told(
    folder: Path,
    reader: Reader = "viewers",
    of: Mapping[str, str] = MappingProxyType({}),
    *,
    recipient: str = "adult",
    fibre: str = "cotton",
    more: str = "",
) -> set[str]:
    """The topics of the cautions for a reader; ``of`` is what the shot's keys say, ``more`` goes into the course."""
    text = episode((shot("face", **{"say": "Hello.", **of}),))
    pattern = PATTERN.replace("grams: 100", f'grams: 100, fibre: "{fibre}"')
    made = plan(folder, text, COURSE + f"recipient: {recipient}\n" + more, {"pattern.yaml": pattern})
    texts = cautions(made, reader)
    assert texts[-1].endswith("come first.")
    assert "local rules" in texts[-1]
    return {topic for topic, sign in SIGNS.items() if sign in " ".join(texts)}


@pytest.mark.parametrize(
    ("recipient", "topics"),
    [("adult", set()), ("child", {"cords"}), ("child under 3", {"cords", "small parts", "sleep"})],
)
def test_children_are_protected_from_cords_and_small_parts(tmp_path: Path, recipient: str, topics: set[str]) -> None:
    assert told(tmp_path, recipient=recipient) == ALWAYS | topics


@pytest.mark.parametrize(
    "fibre", ["wool", "Merino", "kid mohair and silk", "baby alpaca", "50 % cashmere, 50 % cotton"]
)
def test_animal_fibres_bring_the_caution_about_allergies(tmp_path: Path, fibre: str) -> None:
    assert told(tmp_path / "a", fibre=fibre) == ALWAYS | {"fibres"}
    assert told(tmp_path / "b", "knitters", fibre=fibre) == ALWAYS | {"fibres"}


@pytest.mark.parametrize(
    "of",
    [
        {"say": "Now we steam it."},
        {"tools": "steam iron"},
        {"hands": "[{do: iron it under a cloth, time: 20 s}]"},
        {"notes": "{helper: the steamer is on}"},
    ],
)
def test_steam_and_iron_are_found_where_they_stand(tmp_path: Path, of: dict[str, str]) -> None:
    assert told(tmp_path / "a", of=of) == ALWAYS | {"steam"}
    assert told(tmp_path / "b", of=of, fibre="acrylic") == ALWAYS | {"steam", "acrylic"}
    assert told(tmp_path / "c", "knitters", of) == ALWAYS, "who knits the samples does not steam them"


def test_a_tool_of_the_list_is_looked_at_too(tmp_path: Path) -> None:
    tools = "tools:\n  finisher: {what: an iron with a mat}\n"
    assert "steam" in told(tmp_path, of={"tools": "finisher"}, more=tools)


def test_the_floor_has_lights_cables_and_water(tmp_path: Path) -> None:
    assert told(tmp_path / "a", "floor") == ALWAYS | {"set"}
    # What is only told is no matter of the floor.
    assert told(tmp_path / "d", "floor", {"say": "By the candle, with my baby."}) == ALWAYS | {"set"}
    hands = "[{do: hold the candle for my baby, time: 20 s}]"
    assert told(tmp_path / "b", "floor", {"hands": hands}) == ALWAYS | {
        "set",
        "fire",
        "small children",
    }
    assert told(tmp_path / "c") == ALWAYS


def test_other_words_do_not_bring_a_caution(tmp_path: Path) -> None:
    assert told(tmp_path, of={"say": "The environment is ironclad; firefly; a candlestick; a steamship."}) == ALWAYS


def test_a_course_adds_its_own(tmp_path: Path) -> None:
    more = "cautions:\n  - Wear goggles when the awl goes in.\n  - At most {{ edge.cast_on }} at once.\n"
    made = plan(tmp_path, episode((shot("face"),)), COURSE + more)
    for reader in ("floor", "knitters", "viewers"):
        found = cautions(made, reader)
        assert found[-3] == "Wear goggles when the awl goes in."
        assert found[-2].startswith("At most ")
        assert "{{" not in found[-2]


def test_every_paper_that_people_act_from_has_the_block(root: Path, tmp_path: Path) -> None:
    shutil.copytree(root / "sample_course", tmp_path / "course")
    path = tmp_path / "course" / "course.yaml"
    path.write_text(path.read_text(encoding="utf-8") + "\ncautions: Mind the cat.\n", encoding="utf-8")
    lessonplan.build(tmp_path / "course", tmp_path / "out")
    for name in ("run-sheet-1", "run-sheet-2", "table-1", "table-2", "knitters", "handout"):
        page = (tmp_path / "out" / f"{name}.html").read_text(encoding="utf-8")
        assert "Mind the cat." in page, name
        assert "local rules" in page, name
    for name in ("run-sheet-1.pdf", "run-sheet-2.pdf"):
        text = pdf.squeezed("".join(pdf.pages((tmp_path / "out" / name).read_bytes())))
        assert pdf.squeezed("Mind the cat.") in text


STARTS = (
    "Needles and pins",
    "Needles, pins and awls",
    "Blades:",
    "Knives along a rule",
    "Carving tools",
    "The dust of dry clay",
    "At the wheel",
    "At the sewing machine",
    "Keep yarn, fabric",
    "Keep paper, shavings",
)
CRAFTS = {
    "knitting": {"Needles and pins", "Blades:"},
    "crochet": {"Needles and pins", "Blades:"},
    "weaving": {"Blades:"},
    "sewing": {"Needles, pins and awls", "Blades:"},
    "pottery": {"The dust of dry clay"},
    "woodcarving": {"Carving tools"},
    "bookbinding": {"Knives along a rule"},
    "felting": set(),
}
"""What is sharp or harmful in each craft whatever is made (common sense)."""
WORDS = {
    "knitting": {"Keep yarn, fabric"},
    "crochet": {"Keep yarn, fabric"},
    "weaving": {"Needles and pins", "Keep yarn, fabric"},
    "sewing": {"At the sewing machine", "Keep yarn, fabric"},
    "pottery": {"Needles, pins and awls", "Blades:", "At the wheel", "Keep paper, shavings"},
    "woodcarving": {"Needles, pins and awls", "Keep paper, shavings"},
    "bookbinding": {"Needles, pins and awls", "Keep paper, shavings"},
    "felting": {"Needles, pins and awls", "Blades:", "Keep paper, shavings"},
}
"""What comes to it where needle, knife, wheel, machine and candle are spoken of."""


def test_each_craft_has_its_own_dangers(tmp_path: Path) -> None:
    for said in ("Hello.", "The needle, the knife, the wheel, the machine and a candle."):
        made = plan(tmp_path, episode((shot("face", say=said),)))
        for craft, own in CRAFTS.items():
            pattern = made.course.pattern.model_copy(update={"craft": craft})
            course = made.course.model_copy(update={"pattern": pattern})
            texts = cautions(replace(made, worked=replace(made.worked, course=course)), "viewers")
            found = {start for start in STARTS if any(text.startswith(start) for text in texts)}
            assert found == (own if said == "Hello." else own | WORDS[craft]), craft


@pytest.mark.parametrize(
    ("size", "meant"),
    [
        ("Baby", "child under 3"),
        ("6 months", "child under 3"),
        ("Kids", "child"),
        ("8 years", "child"),
        ("Women S", ""),
    ],
)
def test_a_child_s_size_asks_for_a_child_s_cautions(tmp_path: Path, size: str, meant: str) -> None:
    enough = {"child under 3": {"child under 3"}, "child": {"child", "child under 3"}}
    made = plan(tmp_path, episode((shot("face"),)), files={"pattern.yaml": f"sizes: {size}\n{PATTERN}"})
    for recipient in ("adult", "child", "child under 3"):
        file = made.course.course.model_copy(update={"recipient": recipient})
        course = made.course.model_copy(update={"course": file})
        found = uncautioned(replace(made, worked=replace(made.worked, course=course)))
        hints = [one.hint for one in found if "recipient" in one.message]
        missing = meant and recipient not in enough[meant]
        assert hints == ([f"Write “recipient: {meant}” in course.yaml."] if missing else []), recipient


SPOKEN = "WEBVTT\n\n00:00:03.000 --> 00:00:05.000\n%s\n"


@pytest.mark.parametrize(
    ("said", "more", "told"),
    [
        ("Now I steam it by the fireplace", "", {"steam", "fireplace"}),
        ("We are on fire", "", set()),  # in talk it means something else more often than not
        ("Now I steam it", "cautions: Steam is hot.\n", set()),
        ("Now I pin it", "", set()),  # a knitting course has that caution already
        ("By the candle and the stove", "", {"candle"}),  # one caution, told once
    ],
)
def test_what_only_the_video_says_is_told(tmp_path: Path, said: str, more: str, told: set[str]) -> None:
    pattern = PATTERN.replace("Plain wool", "Plain cotton")
    files = {"pattern.yaml": pattern, "captions/01-all.vtt": SPOKEN % said}
    made = plan(tmp_path, episode((shot("face", say="Hello."),)), COURSE + more, files)
    found = [one for one in uncautioned(made) if "is said" in one.message]
    assert {one.message.split("“")[1].split("”")[0] for one in found} == told
    assert all(one.message.startswith("At 0:03 ") for one in found)


def test_a_shot_has_the_cautions_of_its_own_tools(tmp_path: Path) -> None:
    """Water and what is plugged in are kept apart in one segment; another segment's table is another."""
    wet, hot, plain = (shot("face", tools=f"[{tool}]") for tool in ("bucket", "hair dryer", "tapestry needle"))
    made = plan(tmp_path, episode((wet, hot, plain), (hot,)))
    found = {number: cautions_of_shot(made, 0, number) for number in ("1.1.1", "1.1.2", "1.1.3", "1.2.1")}
    assert found["1.1.1"] == ("Keep the water away from lights, plugs and cameras.",)
    assert found["1.1.2"][0].startswith("The water of 1.1.1 is off the table first, and the table dry. What heats")
    assert found["1.1.3"] == ()
    assert found["1.2.1"][0].startswith("What heats")


@pytest.mark.parametrize(
    ("tools", "begun"),
    [
        # Common practice of basket makers: a rapping iron is a cold weight; rods whip, a tub drowns, a bodkin pierces.
        ("rapping iron", set()),
        ("cast-iron weight", set()),
        ("red iron oxide", set()),
        ("iron", {"Steam burns"}),
        ("bodkin, secateurs", {"A bodkin", "Blades:"}),
        ("tub of willow rods", {"A tub", "Rods and", "What was"}),
        ("copper wire", {"Wire: its"}),
    ],
)
def test_a_basket_maker_is_warned_of_her_own_tools(tmp_path: Path, tools: str, begun: set[str]) -> None:
    made = plan(tmp_path, episode((shot("face", tools=f"[{tools}]"),)))
    pattern = made.course.pattern.model_copy(update={"craft": "basketry"})
    course = made.course.model_copy(update={"pattern": pattern})
    texts = cautions(replace(made, worked=replace(made.worked, course=course)), "viewers")
    own = ("Steam burns", "A bodkin", "Blades:", "A tub", "Rods and", "What was", "Wire: its")
    assert {start for start in own if any(text.startswith(start) for text in texts)} == begun
    told = " ".join(cautions_of_shot(made, 0, "1.1.1"))
    assert ("Steam burns" in told) == ("plug it in" in told) == (tools == "iron")


@pytest.mark.parametrize(
    ("tool", "words"),
    [
        # Common practice in every workshop, and on the bottles: bleach with an acid or ammonia gives off a gas that
        # kills; the vapour of solvents takes fire at a flame or an iron.
        ("bleach", {"vinegar", "ammonia", "poisonous gas"}),
        ("acetone", {"flames", "what heats", "open a window"}),
    ],
)
def test_what_gives_off_vapour_or_gas_is_told_at_its_shot(tmp_path: Path, tool: str, words: set[str]) -> None:
    made = plan(tmp_path, episode((shot("face", tools=f"[{tool}]"), shot("face", tools="[tapestry needle]"))))
    text = " ".join(cautions_of_shot(made, 0, "1.1.1"))
    assert {word for word in words if word in text} == words
    assert cautions_of_shot(made, 0, "1.1.2") == ()


@pytest.mark.parametrize(
    ("yarn", "asked"),
    [
        ("name: Plain", True),
        ("name: Plain merino", False),  # its name says it
        ("name: Plain, fibre: milk protein", False),  # said, though no caution speaks of it
        ("name: Plain, waste: yes", False),  # nobody wears it
    ],
)
def test_a_yarn_of_which_nothing_is_said_is_asked_about(tmp_path: Path, yarn: str, asked: bool) -> None:
    made = plan(tmp_path, episode((shot("face"),)), files={"pattern.yaml": PATTERN.replace("name: Plain wool", yarn)})
    assert any("What MC is made of is not said" in one.message for one in uncautioned(made)) == asked


@pytest.mark.parametrize(
    ("text", "does", "seen"),
    [
        ("If you burn a finger, hold it under running water.", "steam it", True),
        ("If you burn a finger, hold it under running water.", "fold it", False),  # no caution speaks of burns there
        ("Steam burns.", "steam it", False),  # says nothing of what is done then
    ],
)
def test_first_aid_that_a_caution_gives_is_not_told_in_other_words(
    tmp_path: Path, text: str, does: str, seen: bool
) -> None:
    shots = episode((shot("face", hands=f"[{{do: {does}, time: 1 min}}]"),))
    made = plan(tmp_path, shots.replace("    shots:", f"    handout: {text}\n    shots:"))
    found = [(one.code, one.severity, one.where.file, one.where.line) for one in told_twice(made)]
    assert found == [("advice-twice", "note", "episodes/01.yaml", 5)] * seen


@pytest.mark.parametrize(("units", "distance"), [("cm", "0.9 m (3 ft)"), ("in", "3 ft (0.9 m)")])
def test_a_distance_stands_in_the_units_of_the_course_first(tmp_path: Path, units: str, distance: str) -> None:
    made = plan(
        tmp_path,
        episode((shot("face", say="By the fireplace."),)),
        files={"pattern.yaml": f"units: {units}\n{PATTERN}"},
    )
    assert any(distance in text for text in cautions(made, "viewers"))
