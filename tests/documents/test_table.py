"""The page on the table: when each shot is due, what comes before it, and what is knitted meanwhile."""

from __future__ import annotations

from pathlib import Path

from lessonplan.documents.table import TableView, table_view
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
        ("View: sink, next tray (15 min)",),
        ("Rest your hands, look into the distance, stretch (5 min)",),
    ]


def test_the_head_of_the_page(tmp_path: Path) -> None:
    found = view(tmp_path, episode((shot("face"),)))
    assert (found.title, found.host, found.number, found.place) == ("Ring cowl", "Ada Example", 1, "upstairs")
    assert (found.day, found.day_text) == ("2027-03-06", "Saturday 6 March 2027")


def test_what_is_knitted_before_a_shot_is_told_at_it(tmp_path: Path) -> None:
    shots = (shot("face", pieces="[{needs: edge}]"),), (shot("sink", pieces="[{needs: body round 2}]"), shot("sink"))
    found = view(tmp_path, episode(*shots), COURSE + "    helpers: Bo\n")
    assert [one.meanwhile for one in found.shots] == [
        (),
        ("Bo knits on piece A for 11 min; for 1.2.1 it must be: Body, 2 of 10 rounds",),
        (),
    ]
