"""Papers of the sample course read from outside: hours, kit, cues, links, clocks and the words that are explained."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable
from html import unescape

import pytest

from lessonplan.building import Papers
from lessonplan.planning.worked import Plan

Read = Callable[[str], str]


@pytest.fixture(scope="module")
def papers(sample: Plan) -> Papers:
    return Papers(sample)


@pytest.fixture(scope="module")
def read(papers: Papers) -> Read:
    def read(name: str) -> str:
        text = papers.file(name).decode("utf-8-sig")
        if not name.endswith(".html"):
            return text
        page = re.sub(r"<style.*?</style>|<script.*?</script>", " ", text, flags=re.S)
        page = re.sub(r"</?(?:span|b|bdi)\b[^>]*>", "", page)
        return " ".join(unescape(re.sub(r"<[^>]+>", " ", page)).split())

    return read


def test_the_hours_of_the_handout_are_those_of_the_release_page(read: Read) -> None:
    hours = r"([\d½¼¾]+) \(([\d½¼¾]+), ([\d½¼¾]+)\)"
    worked = re.search(rf"as filmed [^;]*; [^:]*: 1 ball {hours} to {hours} h", read("handout.html"))
    assert worked is not None
    page = read("release.html")
    whole = page[page.index("Hours of work in all") :]
    rows = re.findall(r"(?:Small|Medium|Large) as filmed ([\d½¼¾]+) h ([\d½¼¾]+) h", whole)
    # Small: 0.58 + 0.77 + 4.01 hours at 30 stitches a minute, worked out stage by stage: ¾, 1 and 4¼ in quarters.
    assert rows[0] == ("7¾", "6")
    assert [middling for _, middling in rows] == list(worked.groups()[:3])
    assert [slow for slow, _ in rows] == list(worked.groups()[3:])
    for name in ("handout.html", "release.html"):
        assert "rounded up" in read(name), name


def test_hours_in_a_newsletter_have_sizes_and_paces(read: Read) -> None:
    texts = read("texts.html")
    assert texts.count(" (at 30 to 20 stitches a minute) for Small (Medium, Large)") == 3
    assert texts.count(" h of work (at 30") == 2
    assert texts.count(" h of work as filmed, ") == 1  # the last has a choice, and its hours with a loop beside


def test_what_is_from_home_is_told_once(read: Read) -> None:
    page = read("kit.html")
    home = page[page.index("From home") :]
    assert "double-pointed needles, two circulars, or one of 80 cm" in home
    for once in ("3.5 mm (", "4 mm (US 6", "darning needle", "tape measure", "scissors", "crochet hook"):
        assert home.count(once) == 1, once
    assert "larger needles" not in home
    assert "needle 4 mm" in home, "which is what the larger needles are"
    assert "Episode 3: The roof, the thumb and the finish: bowl of cool water" in home


def test_texts_come_in_the_order_of_the_work(read: Read) -> None:
    rows = list(csv.DictReader(io.StringIO(read("cues-3.csv"))))
    laid, sizes = {row["text"]: float(row["in"]) for row in rows if row["in"]}, "Small\u00a0(Medium,\u00a0Large):"
    assert laid["Pick up 5 across the gap"] < laid[f"{sizes} Close the corners: 14\u00a0(16,\u00a018) stitches"]
    # The shot begins in the last round, whose 14, 16 or 18 stitches round 1 had left.
    last = laid[f"{sizes} Thumb, round 17\u00a0(19,\u00a021), the last one"]
    assert last < laid[f"{sizes} The last round begins with 14\u00a0(16,\u00a018) stitches"]
    assert not [text for text in laid if "After round 1:" in text]


def test_a_promised_link_has_its_place(read: Read) -> None:
    assert "9:03 “I’ll put the link to it below the video” [what that is: before it comes “" in read("texts.html")
    assert "very slippery”] [words from captions" in read("texts.html")
    assert "look over names]: [link: in the description, beside the waste yarn]" in read("texts.html")


def test_files_for_the_editor_tell_of_which_clock_they_are(read: Read) -> None:
    sheet = read("editor-2.html")
    files = sheet[sheet.index("Files ") : sheet.index("Chapters to copy")]
    assert files.count("; times of the timeline") == 2
    assert "one after the other; times of the video" in files
    assert "to copy into the description; times of the video" in files
    assert "times of the timeline" not in read("editor-1.html"), "without captions there is one clock"


def test_words_are_explained_where_they_first_stand(read: Read) -> None:
    sheet, proof, handout, release = map(read, ("editor-2.html", "proof-2.html", "handout.html", "release.html"))
    assert sheet.index("Slate: the number on the clapper board") < sheet.index("slate 15")
    assert sheet.index("handles (what a take has before and after for cutting)") < sheet.index("Shot by shot")
    assert sheet.index("sequences (a move in its steps)") < sheet.index(" sequence ")
    assert "How likely" in sheet
    assert " Sure " not in sheet
    assert "By the pattern" in proof
    assert " Holds " not in proof
    # “fifteen stitches ... thirteen” at 9:45 is the first of errata.yaml, and of none other is one found here.
    assert "goes with the cut at 9:45, and its erratum too: no correction then --dismiss 5" in proof
    assert proof.count("and its erratum too") == 1
    # The gusset of the largest has 63 sts at 22 to 10 cm, 28.6 cm: no part reaches round a circular of 40 cm.
    assert "in 3.5 mm and 4 mm, from the cast-on on (no part is over 28.5 cm, 11¼ in around): double-pointed" in handout
    # Half as much again as the 22 sts of 10 cm are 33; a tube lies double.
    assert "66 sts or more joined in the round, or 33 flat, each row from the right side, yarn loose" in handout
    assert re.search(r"Yarn still needed for the pair: [\d(), \u00a0]+m of MC", handout)
    assert " Way " not in release
    # 20.5, 21 and 22 cm for Large: whom it is to fit, a part of the mitten at its widest, and the whole of it there.
    assert "Finished: Hand circumference 18 cm, 7 in 20 cm, 7¾ in 22 cm" in handout
    assert "around, or the width, is where it is widest" in handout
    assert "Cobble band: around" in handout
    assert "for one of 17 (18.5, 19.5) cm" in handout
    # A hand of 17 cm and one of 19 have one size each.
    assert "16 to 17 cm (6¼ to 6¾ in) round the knuckles over 17 to 19 cm" in handout
    assert "over 19 to 20.5 cm" in handout
    # The second colour is joined in the last segment but one shot of episode 1, where the gusset begins.
    shown = "Episode 1, planned at 9:26: A new colour, and good night"
    assert handout.index("Join MC (oatmeal)") < handout.index(shown)


def test_ssk_is_worked_alike_wherever_it_is_told(read: Read, papers: Papers) -> None:
    assert "through the back loops; leans to the left" in read("handout.html")
    assert "ssk, 3 of 3: knit both through the back loops" in " ".join(read("cues-3.vtt").split())


def test_a_length_is_one_length_in_script_and_handout(read: Read) -> None:
    assert "Mine will be 6.3 cm long, tip included" in read("editor-3.html")
    assert "5.7 (6.3, 7) cm" in read("handout.html")


def test_errata_are_found_in_videos_that_are_out(read: Read) -> None:
    months = {"February": 2, "March": 3, "April": 4}

    def day(text: str) -> tuple[int, int]:
        number, month = text.split()[1:3]
        return months[month], int(number)

    released = re.findall(
        r"Episode (\d): [^·]*?((?:Mon|Tues|Wednes|Thurs|Fri|Satur|Sun)day \d+ \w+) 2027", read("release.html")
    )
    out = {number: day(text) for number, text in reversed(released)}
    found = re.findall(r"Episode (\d)(?:,| at| between) .*?Found (\w+ \d+ \w+) 2027", read("errata.html"))
    assert len(found) == 3
    assert all(day(text) > out[number] for number, text in found)
