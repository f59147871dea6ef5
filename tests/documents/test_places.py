"""Where in the videos something is seen: the seconds of the shots before it, and errata in the viewers' words."""

from __future__ import annotations

from lessonplan.documents.handout import handout_view
from lessonplan.documents.places import shot_places
from lessonplan.planning.worked import Plan


def test_a_shot_begins_when_those_before_it_have_run(sample: Plan) -> None:
    places = shot_places(sample)
    for number, place in places.items():
        if number.startswith("2."):
            continue  # captions of its video are kept, so its times are not the planned ones
        episode = int(number.split(".")[0])
        earlier = [one for one in sample.worked.clocks if one.split(".")[0] == str(episode)]
        before = earlier[: earlier.index(number)]
        assert (place.episode, place.seconds) == (episode, sum(sample.worked.clocks[one].seconds for one in before))


def test_viewers_read_where_a_mistake_is_and_what_is_right(sample: Plan) -> None:
    found = handout_view(sample).errata
    seconds = shot_places(sample)["3.2.1"].seconds
    # A number heard once has its second; of a picture the stretch of its shot is true, whose words are heard from 13:51
    # on (“now it's the turn”) until those of the next at 15:34; of a video that nobody has seen the chapter is.
    assert [one.place for one in found] == [
        "Episode 2 at 9:45",
        "Episode 2 between 13:50 and 15:34",
        f"Episode 3, “Shaping the top” (planned at {seconds // 60}:{seconds % 60:02d})",
    ]
    # The first is said of Medium: what is right names the size of each number, whichever a viewer picks.
    assert [one.one_size for one in found] == [False, False, False]
    assert found[0].right == "Small\u00a0(Medium,\u00a0Large): 11\u00a0(13,\u00a015) stitches go on the waste yarn"
    assert not any(word in str(found) for word in ("slate", "pick-up", "open")), "what the makers do about it"
