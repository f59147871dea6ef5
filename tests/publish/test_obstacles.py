"""What stands in the way of publishing: each thing planted alone is told, and a course that is ready is silent."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest
from typer.testing import CliRunner

import lessonplan
from lessonplan.cli import app
from tests.small_course import COURSE, PATTERN, write_course

EPISODE = """\
episode: 1
title: All of it
segments:
  - title: The edge of the cowl
    shots:
      - view: overhead
        pieces:
          - needs: before edge
            leaves: edge round 1
        hands:
          - do: cast on and join
            time: 40 s
        say: We cast on {{ edge.cast_on }} stitches with the long tail and join them without a twist.
        must_say: Do not twist the round
  - title: The plain body
    shots:
      - view: overhead
        pieces:
          - shows: body
        hands: [{do: run a hand over it, time: 30 s}]
        say: The body is plain knitting, round after round after round, and nothing else happens.
        mentions: the handout
  - title: Casting off loosely
    shots:
      - view: overhead
        pieces:
          - needs: finished
        hands: [{do: run a hand over it, time: 30 s}]
        say: Bind off loosely so that the cowl goes over your head and ears.
"""
KEPT = "kept:\n  the handout: https://example.org/handout\n"
CAPTIONS = """\
WEBVTT

00:00:01.000 --> 00:00:20.000
we cast on forty stitches with the long tail and join them without a twist the edge of the cowl do not twist the round

00:00:45.000 --> 00:01:05.000
now the plain body is plain knitting round after round after round and nothing else happens

00:01:20.000 --> 00:01:40.000
casting off loosely so bind off loosely so that the cowl goes over your head and ears
"""
READY: Mapping[str, str] = {
    "course.yaml": COURSE,
    "pattern.yaml": PATTERN,
    "episodes/01.yaml": EPISODE + KEPT,
    "captions/01-all.vtt": CAPTIONS,
}


def told(folder: Path, files: Mapping[str, str]) -> tuple[int, str]:
    (folder / "captions").mkdir(exist_ok=True)
    done = CliRunner().invoke(app, ["check", str(write_course(folder, {**READY, **files})), "--publish"])
    assert done.stdout == ""
    return done.exit_code, done.stderr


def test_a_course_that_is_ready_is_silent(tmp_path: Path) -> None:
    assert told(tmp_path, {}) == (0, "")


ERRATUM = "errata:\n  - {found: 2027-05-01, by: Tove, where: %s, said: thirty, right: forty%s}\n"
MENDED = ", remedy: pinned note"
RECORD = "edition: %d\non: 2027-04-01\ncode: AAAA\nfacts: {%s}\n"
TEMPLATES = Path(lessonplan.__file__).parents[1] / "templates"
ONE_MORE = "      - {view: face, say: That is all., notes: {knitter: Bring biscuits and **a** lamp.}}\n"


@pytest.mark.parametrize(
    ("files", "place", "says"),
    [
        (
            {"errata.yaml": ERRATUM % ("shot 1.1.1", "")},
            "errata.yaml:2:",
            "has no remedy yet: thirty. Write “remedy:” there",
        ),
        ({"errata.yaml": ERRATUM % ("episode 4 at 0:10", MENDED)}, "errata.yaml:2:", "There is no episode 4."),
        ({"errata.yaml": ERRATUM % ("shot 1.9.1", MENDED)}, "errata.yaml:2:", "There is no shot 1.9.1."),
        (
            {"errata.yaml": ERRATUM % ("episode 1 at 3:20", MENDED)},
            "errata.yaml:2:",
            "Episode 1 ends with its captions at 1:40, and this stands at 3:20.",
        ),
        ({"captions/01-all.vtt": ""}, "episodes/01.yaml:1:", "was never proofed: the course has no captions of it."),
        (
            {"captions/01-all.vtt": CAPTIONS.replace("forty", "fourteen")},
            "episodes/01.yaml:1:",
            "1 finding waits for a word.",
        ),
        (
            {"episodes/01.yaml": EPISODE + KEPT.replace("handout", "kit")},
            "episodes/01.yaml:31:3:",
            "mentions the handout (description), and it is not kept yet",
        ),
        (
            {"captions/01-all.vtt": CAPTIONS.replace("do not twist the round", "")},
            "episodes/01.yaml:",
            "must say “Do not twist the round”, and it is not heard",
        ),
        (
            {"episodes/01.yaml": EPISODE.replace("stitches with", "stitches, 39 stitches, with") + KEPT},
            "episodes/01.yaml:13:54:",
            "39 stitches",
        ),
        (
            # The last chapter of the video begins at 1:20 and ends with its captions.
            {"captions/01-all.vtt": CAPTIONS.replace("--> 00:01:40.000", "--> 00:01:29.000")},
            "episodes/01.yaml:",
            "10 s are needed",
        ),
        (
            {"episodes/01.yaml": EPISODE.replace("plain body\n", "plain body\n    chapter: no\n") + KEPT},
            "episodes/01.yaml:4:3:",
            "has 2 of the 3 chapters that a list must have.",
        ),
        (
            {"episodes/01.yaml": EPISODE + ONE_MORE + KEPT},
            "episodes/01.yaml:30:58:",
            "This stands on no paper: “Bring biscuits and a lamp.”.",
        ),
        (
            {
                "episodes/01.yaml": EPISODE.replace("nothing else happens.", "nothing else happens. ![me](me.jpg)")
                + KEPT
            },
            "episodes/01.yaml:21:99:",
            "No text shows a picture: “![me](me.jpg)” is printed as it stands.",
        ),
        ({"pattern.yaml": "sizes: Baby\n" + PATTERN}, "pattern.yaml:1:", "Write “recipient: child under 3”"),
        ({"pattern.yaml": PATTERN.replace("Plain wool", "Plain")}, "pattern.yaml:4:", "What MC is made of is not said"),
        (
            {"captions/01-all.vtt": CAPTIONS.replace("nothing else", "I steam it and nothing else")},
            "captions/01-all.vtt:6:",
            "At 0:45 “steam” is said, and no caution about it stands on the handout.",
        ),
        (
            {"published/edition-1.yaml": RECORD % (1, 'body.rounds: "9"')},
            "course.yaml:",
            "Edition 1 was published on 2027-04-01 with other numbers: body.around was not there",
        ),
        (
            {"published/edition-3.yaml": RECORD % (3, "")},
            "course.yaml:",
            "Edition 3 was published on 2027-04-01; edition 1 comes before it. Write “edition: 4” in course.yaml.",
        ),
    ],
)
def test_each_thing_in_the_way_is_told_alone(tmp_path: Path, files: dict[str, str], place: str, says: str) -> None:
    status, text = told(tmp_path, files)
    assert status == 1
    (line,) = text.splitlines()
    assert line.startswith(place)
    assert says in line


def test_own_templates_that_leave_things_out_are_told(tmp_path: Path) -> None:
    handout, index, errata = (
        (TEMPLATES / name).read_text(encoding="utf-8") for name in ("handout.html", "index.html", "errata.html")
    )
    files = {
        "templates/handout.html": handout.replace("{% for text in view.cautions %}<li>{{ text }}</li>{% endfor %}", ""),
        "templates/index.html": index.replace("</h1>", '</h1><svg><path d="M0 0"/></svg>', 1),
        "templates/errata.html": errata.replace("</h1>", '</h1><img alt="Me" src="me.jpg"><img src="data:,">', 1),
    }
    status, text = told(tmp_path, files)
    assert status == 1
    assert [line.split(" error ")[0] for line in text.splitlines()] == [
        f"templates/{name}.html:1:1:" for name in ("errata", "errata", "handout", "index")
    ]
    for said in (
        "has no text for those who do not see it: <svg>",
        'has no text for those who do not see it: <img src="data:,">',
        'does not stand in the page itself, so that nobody sees it: <img alt="Me" src="me.jpg">',
        "handout.html leaves out what its readers must be told: Rest your hands",
    ):
        assert said in text


def test_an_own_printed_paper_that_leaves_cautions_out_is_told(tmp_path: Path) -> None:
    handout = (TEMPLATES / "handout.typ").read_text(encoding="utf-8")
    assert "listed(view.cautions)" in handout
    status, text = told(tmp_path, {"templates/handout.typ": handout.replace("listed(view.cautions)", "")})
    assert status == 1
    assert {line.partition(" must be told: ")[0] for line in text.splitlines()} == {
        f"templates/handout.typ:1:1: error no-caution: handout{size}.pdf leaves out what its readers"
        for size in ("-large", "")
    }


def test_who_publishes_hears_how_many_things_stand_in_the_way(tmp_path: Path) -> None:
    """What ``check --publish`` lists is counted in one sentence, and the papers are written all the same."""
    (tmp_path / "captions").mkdir()
    lacking = {"captions/01-all.vtt": "", "errata.yaml": ERRATUM % ("shot 1.1.1", "")}
    status, text = told(tmp_path, lacking)
    errors = len(text.splitlines())
    assert (status, errors) == (1, 2)
    built = CliRunner().invoke(app, ["build", str(tmp_path), "--publish", "--today", "2027-05-01"])
    assert built.exit_code == 0
    (line,) = [line for line in built.stderr.splitlines() if " not-ready: " in line]
    assert line.startswith("course.yaml:")
    assert f"{errors} things still stand in the way of publishing this edition" in line
    assert line.endswith("They are listed by: lessonplan check COURSE --publish")
    assert (tmp_path / "published" / "edition-1.yaml").exists()
    ready = CliRunner().invoke(app, ["build", str(write_course(tmp_path / "ready", READY)), "--publish"])
    assert "not-ready" not in ready.stderr


def test_a_template_that_fails_is_told_alone(tmp_path: Path) -> None:
    status, text = told(tmp_path, {"templates/index.html": "<p>{{ view.nothing }}</p>"})
    assert (status, text) == (1, "templates/index.html:1:1: error template: There is no “nothing” here.\n")


def test_editions_out_of_order_are_told(tmp_path: Path) -> None:
    late = (RECORD % (1, "")).replace("2027-04-01", "2027-05-01")
    files = {"course.yaml": COURSE + "edition: 3\n", "published/1.yaml": late, "published/2.yaml": RECORD % (2, "")}
    status, text = told(tmp_path, {**files, "published/twice.yaml": RECORD % (2, "")})
    assert status == 1
    first, second = text.splitlines()
    assert first.startswith(
        "published/2.yaml:2:5: error edition: Edition 2 was published on 2027-04-01, before edition 1"
    )
    assert second.startswith("published/twice.yaml:1:10: error edition: There are two records of edition 2: ")


def test_a_handout_with_other_numbers_is_old(tmp_path: Path) -> None:
    (tmp_path / "captions").mkdir()
    folder = write_course(tmp_path, READY)
    assert CliRunner().invoke(app, ["build", str(folder)]).exit_code == 0
    assert told(tmp_path, {}) == (0, "")
    status, text = told(tmp_path, {"pattern.yaml": PATTERN.replace("rounds: 10", "rounds: 12")})
    assert status == 1
    assert "out/handout.html is edition 1 (" in text


def test_a_handout_with_other_words_is_old(tmp_path: Path) -> None:
    (tmp_path / "captions").mkdir()
    folder = write_course(tmp_path, READY)
    assert CliRunner().invoke(app, ["build", str(folder)]).exit_code == 0
    status, text = told(tmp_path, {"course.yaml": COURSE + "copyright: mine\n"})
    assert status == 1
    assert text == (
        "pattern.yaml:1:1: error old-handout: out/handout.html was built before texts of the course were changed. "
        "Build again: lessonplan build COURSE\n"
    )


def test_a_handout_without_a_code_is_old_too(tmp_path: Path) -> None:
    """A template of the course's own need not print one."""
    folder = write_course(tmp_path, {"captions/01-all.vtt": CAPTIONS})
    (folder / "out").mkdir()
    (folder / "out" / "handout.html").write_text("<p>Ours</p>", encoding="utf-8")
    assert "out/handout.html was built before texts of the course were changed." in told(tmp_path, {})[1]


def test_a_course_that_cannot_be_planned_is_told_so_and_no_more(tmp_path: Path) -> None:
    status, text = told(tmp_path, {"course.yaml": COURSE.replace("films: [1]", "films: [2]")})
    assert status == 1
    assert [line.partition(" error ")[2].partition(":")[0] for line in text.splitlines()] == ["unknown-shot"]
