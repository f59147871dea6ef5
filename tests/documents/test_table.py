"""The page on the table: when each shot is due, what comes before it, and what is knitted meanwhile."""

from __future__ import annotations

from pathlib import Path

from lessonplan.documents.table import TableView, table_view
from lessonplan.planning.worked import Plan
from tests.documents.timed import COURSE, episode, plan, shot


def view(folder: Path, episode_text: str, course: str = COURSE) -> TableView:
    planned = plan(folder, episode_text, course)
    return table_view(planned, planned.days[0])


def test_when_each_shot_is_due(tmp_path: Path) -> None:
    # Set-up to 9:15, a shot to 9:22, a view and a tray to 9:37, a shot of 42 min to 10:19, a rest to 10:24.
    shots = (shot("face"),), (shot("sink", "36 min"), shot("sink"))
    found = view(tmp_path, episode(*shots))
    assert [(one.text.number, one.time, one.minutes) for one in found.shots] == [
        ("1.1.1", "9:15", "7 min"),
        ("1.2.1", "9:37", "42 min"),
        ("1.2.2", "10:24", "7 min"),
    ]
    # Between the end of what came before and the start of the shot the day is neither late nor early: changes only.
    nine = 9 * 60
    assert [(one.ready - nine, one.start - nine, one.end - nine) for one in found.shots] == [
        (15, 15, 22),
        (22, 37, 79),
        (84, 84, 91),
    ]
    assert [one.before for one in found.shots] == [
        ("Light, sound, views, trays (15 min)",),
        ("View: sink, tray 1.2 (15 min)",),
        ("Rest your hands, look into the distance, stretch (5 min)",),
    ]


def test_the_head_of_the_page(tmp_path: Path) -> None:
    found = view(tmp_path, episode((shot("face"),)))
    assert (found.title, found.host, found.number) == ("Ring cowl", "Ada Example", 1)
    assert (found.day, found.day_text) == ("2027-03-06", "Saturday 6 March 2027")


def test_what_is_knitted_before_a_shot_is_told_at_it(tmp_path: Path) -> None:
    shots = (shot("face", pieces="[{needs: edge}]"),), (shot("sink", pieces="[{needs: body round 2}]"), shot("sink"))
    found = view(tmp_path, episode(*shots), COURSE + "    helpers: Bo\n")
    assert [one.first for one in found.shots] == [
        (),
        ("Bo works on piece A for 11 min; for 1.2.1 it must be: Body, 2 of 10 rounds",),
        (),
    ]
    assert not any(one.meanwhile for one in found.shots)


def test_who_is_filmed_works_on_nothing_meanwhile(tmp_path: Path, sample: Plan) -> None:
    """What others do for a later shot is meanwhile; what the host does is done before the camera runs."""
    # Of the second shot, 50 min and more, Bo needs 8 rounds of 5.55 min for the third, which has no other time.
    long = (
        shot("face", pieces="[{needs: edge}]"),
        shot("face", "50 min"),
        shot("face", pieces="[{needs: body round 8}]"),
    )
    helped = view(tmp_path, episode(long), COURSE + "    helpers: Bo\n").shots
    assert [len(one.meanwhile) for one in helped] == [0, 1, 0]
    assert not any(one.first or one.between for one in helped)
    shots = table_view(sample, sample.days[1]).shots  # on the second day nobody helps
    assert not any(one.meanwhile for one in shots)
    her = "Minna Quillbeck works on "
    hers = {one.text.number: [text[text.index(her) :] for text in one.first if her in text] for one in shots}
    before = {number: [text[:26] for text in texts] for number, texts in hers.items() if texts}
    assert before == {"2.4.2": [her + "G"], "3.3.1": [her + "O"], "3.3.2": [her + "O"], "3.3.4": [her + "P"]}
    assert all("2 min" in text or "1 min" in text for texts in hers.values() for text in texts)
    # She stops in the picture where the round is part of the way done, and takes out what shows.
    assert {one.text.number for one in shots if len(one.first) > len(hers[one.text.number])} >= {"3.3.4"}
    (corners,) = (one.text for one in shots if one.text.number == "3.3.2")
    assert any(text.startswith("stop the camera") for text in corners.hands)
    assert [one.text.number for one in shots if one.between] == ["3.3.1", "3.3.2"]


def test_trays_stand_where_they_change(tmp_path: Path) -> None:
    first = (shot("face", pieces="[{needs: edge, name: the tight one}]"), shot("face", tools="hook"))
    found = view(tmp_path, episode(first, (shot("sink", tools="ruler"),)))
    trays = [(one.tray, one.next_tray) for one in found.shots]
    assert [(a and a.segment, b and b.segment) for a, b in trays] == [("1.1", None), (None, "1.2"), ("1.2", None)]
    assert trays[1][1] is not None
    assert trays[1][1].tools == ("ruler",)
    assert trays[0][0] is not None
    assert [(piece.letter, piece.name) for piece in trays[0][0].pieces] == [("A", "the tight one")]


def test_what_is_knitted_begins_at_the_end_of_a_shot_or_after_the_wrap(tmp_path: Path) -> None:
    # Two rounds of 5.55 min are knitted in the pause before 1.2.1; 10 rounds of it in the night before the next day.
    course = COURSE.replace("films: [1]", "films: [1.1, 1.2]\n    night_knitting: 2 h") + (
        "  - {day: 2027-03-07, call: 9:00, wrap: 17:00, films: [1.3]}\n"
    )
    shots = (
        (shot("face", pieces="[{needs: edge}]"),),
        (shot("sink", pieces="[{needs: body round 2}]"),),
        (shot("sink", pieces="[{needs: body round 9}]"),),
    )
    found = view(tmp_path, episode(*shots), course.replace("night_knitting", "helpers: Bo\n    night_knitting"))
    job = "Bo works on piece A for 11 min; for 1.2.1 it must be: Body, 2 of 10 rounds"
    night = "After the wrap, Bo works on piece A for 39 min; for 1.3.1 it must be: Body, 9 of 10 rounds"
    assert [one.then for one in found.shots] == [(f"From 9:22 {job}",), (night,)]
    assert [one.first for one in found.shots] == [(), (job,)]


def test_a_piece_for_several_takes_stands_once_and_its_spare_after_it(sample: Plan) -> None:
    found = {one.text.number: one for one in table_view(sample, sample.days[0]).shots}
    assert [(one.letter, one.spare) for one in found["2.3.2"].text.pieces] == [("K", False), ("I", True)]
    assert [text.partition(" to ")[0] for text in found["2.3.2"].between] == ["Minna Quillbeck takes K back"]
    # Piece H is with the helper when the tray of 2.2 is laid out, and G is taken up when lunch is over.
    tray = found["2.2.1"].tray
    assert tray is not None
    assert dict(zip((one.letter for one in tray.pieces), tray.still, strict=True)) == {
        "J": "",
        "H": "still in work when this begins, ready for 2.2.3",
    }
    assert [text[:37] for text in found["1.4.2"].then] == ["From 13:22 Ansel Ollermoss works on p"]
    # A shot with two pieces is named by its number alone: the letter of the piece stands in the sentence.
    assert any(
        "piece I for 27 min (25 min if 2.3.2 has moved it on), once 2.3.2 is filmed as wanted; for 2.5.1" in text
        for text in found["2.3.3"].then
    )
