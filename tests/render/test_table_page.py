"""The page on the table as a file: its policy, its data, its shots."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from pathlib import Path

from hypothesis import given, strategies as st

from lessonplan.documents.table import table_view
from lessonplan.planning.plan import plan
from lessonplan.planning.worked import Plan
from lessonplan.render.pictures import Pictures
from lessonplan.render.table_page import embedded, table_page
from tests.small_course import write_course

LOGGED = (
    *("id", "device", "day", "shot", "slate", "title", "take", "start", "stop", "verdict", "slip", "note"),
    *("camera", "card", "clip", "timecode"),
)


@given(st.dictionaries(st.text(), st.text() | st.sampled_from(["</script>", "<!--", "&amp;", "]]>"])))
def test_data_cannot_leave_its_element_and_comes_back(data: dict[str, str]) -> None:
    text = embedded(data)
    assert not re.search("[<>&]", text)
    assert json.loads(text) == data


def test_the_policy_allows_just_the_script_and_style_of_the_page(sample: Plan) -> None:
    html = table_page(table_view(sample, sample.days[0]), Pictures(sample), "en").decode()
    found = re.search('Content-Security-Policy" content="([^"]*)"', html)
    assert found
    rules = dict(rule.strip().split(" ", 1) for rule in found[1].replace("&#39;", "'").split(";"))
    sources = [re.search(f"<{tag}>(.*?)</{tag}>", html, re.DOTALL) for tag in ("script", "style")]
    hashes = [hashlib.sha256(one[1].encode()).digest() for one in sources if one]
    assert rules == {
        "default-src": "'none'",
        "script-src": f"'sha256-{base64.b64encode(hashes[0]).decode()}'",
        "style-src": f"'sha256-{base64.b64encode(hashes[1]).decode()}'",
        "img-src": "data:",
        "base-uri": "'none'",
        "form-action": "'none'",
    }
    assert not re.search(r"\s(style|on\w+)=", re.sub("<(script|style).*?</", "", html, flags=re.DOTALL))


def test_the_script_evaluates_no_text_and_sets_no_markup(root: Path) -> None:
    script = "".join((root / "templates" / name).read_text(encoding="utf-8") for name in ("table-takes.js", "table.js"))
    assert not re.search(
        r"innerHTML|outerHTML|insertAdjacent|document\.write|eval\(|Function\(|fetch\(|XMLHttp", script
    )


def test_every_shot_of_the_day_is_there_in_filming_order(sample: Plan) -> None:
    for day in sample.days:
        html = table_page(table_view(sample, day), Pictures(sample), "en").decode()
        data = json.loads(re.findall('id="plan">(.*?)</script>', html)[0])
        numbers = [item.number for item in sample.worked.listed if item.day == day.number]
        assert [shot["number"] for shot in data["shots"]] == numbers
        assert re.findall('<h2><span class="num">(.*?)</span>', html) == numbers
        assert (data["day"], tuple(data["columns"])) == (day.day.isoformat(), LOGGED)


def test_the_times_are_those_of_the_plan_and_never_overlap(sample: Plan) -> None:
    for day in sample.days:
        shots = table_view(sample, day).shots
        planned = {entry.number: entry for entry in day.entries if entry.kind == "shot"}
        assert [(s.start, s.end) for s in shots] == [
            (round(planned[s.text.number].start), round(planned[s.text.number].end)) for s in shots
        ]
        ends = [round(day.call), *(shot.end for shot in shots)]
        assert all(end <= shot.ready <= shot.start <= shot.end for end, shot in zip(ends, shots, strict=False))


def test_lunch_and_changes_stand_before_the_shot_they_lead_to(sample: Plan) -> None:
    shots = table_view(sample, sample.days[0]).shots
    lunch = [entry for entry in sample.days[0].entries if entry.kind == "lunch"]
    after = next(shot for shot in shots if shot.start >= round(lunch[0].end))
    assert "Lunch (45 min)" in after.before
    assert after.ready >= round(lunch[0].end), "lunch is no time lost"
    assert sum("Lunch" in text for shot in shots for text in shot.before) == 1


def test_a_course_may_bring_its_own_style_but_no_script(sample: Plan, tmp_path: Path) -> None:
    own = tmp_path / "templates"
    own.mkdir()
    (own / "table.css").write_bytes(b"body { color: red }\r\n/* </style> */")
    for name in ("table.js", "table-takes.js"):
        (own / name).write_text("alert('ours')", encoding="utf-8")
    html = table_page(table_view(sample, sample.days[0]), Pictures(sample), "en", tmp_path).decode()
    assert "<style>body { color: red }\n/* <\\/style> */</style>" in html
    assert "alert('ours')" not in html


def test_the_same_plan_gives_the_same_bytes(tmp_path: Path) -> None:
    result = plan(write_course(tmp_path)).plan
    assert result is not None
    once, again = (table_page(table_view(result, result.days[0]), Pictures(result), "en").decode() for _ in range(2))
    assert once == again
