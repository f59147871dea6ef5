"""The pages of a course that is being filmed, in a real browser, by every light and at every width."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

import lessonplan
from lessonplan.planning.filmed.taking import take_in
from tests.browser.test_pages import wrong_on

if TYPE_CHECKING:
    from playwright.sync_api import Browser

LOG = """\
day,shot,take,start,stop,verdict,slip,note,camera,card,clip
2027-02-13,1.1.1,1,09:46:00,09:46:55,again,said Monday,,A,A01,C0001
2027-02-13,1.1.1,2,09:49:00,09:49:52,best,,steam from the kettle at 0:20,A,A01,C0002
2027-02-13,1.1.1,3,09:52:00,09:52:50,best,said fourteen for forty-four,,A,A01,C0003
2027-02-13,1.1.3,1,10:12:00,10:13:00,,,,A,A01,C0004
2027-02-13,1.2.1,1,11:05:00,11:05:50,again,yes,,A,A01,C0005
"""


@pytest.fixture(scope="module")
def output(root: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample course with a take log, built."""
    folder = tmp_path_factory.mktemp("filmed")
    shutil.copytree(root / "sample_course", folder / "course", ignore=shutil.ignore_patterns("out"))
    (folder / "log.csv").write_text(LOG, encoding="utf-8")
    take_in(folder / "course", [folder / "log.csv"])
    assert lessonplan.build(folder / "course", folder / "out").plan is not None
    return folder / "out"


def test_axe_finds_nothing_while_it_is_filmed(browser: Browser, output: Path, axe: Path) -> None:
    context = browser.new_context(bypass_csp=True)
    page = context.new_page()
    for name in ("editor-1", "editor-2", "index", "step-samples"):
        page.goto((output / f"{name}.html").as_uri())
        for width in (390, 1280):
            page.set_viewport_size({"width": width, "height": 900})
            assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), (name, width)
        assert wrong_on(page, axe) == [], name
    context.close()


def test_blocks_fill_the_strip_and_bars_are_to_scale(browser: Browser, output: Path) -> None:
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    page.goto((output / "editor-1.html").as_uri())
    strip, *blocks = page.evaluate(
        "[document.querySelector('.strip'), ...document.querySelectorAll('.strip .block')]"
        ".map(one => [one.x?.baseVal.value ?? 0, one.width.baseVal.value])"
    )
    assert len(blocks) == 14
    ends = [x + width for x, width in blocks]
    assert [x for x, _ in blocks[1:]] == pytest.approx(ends[:-1], abs=0.5)
    assert ends[-1] == pytest.approx(strip[1], abs=0.5)
    # 1.4.1 has the most handwork of the episode, 94 s, so its bar is as long as a bar can be; its words are 36 s.
    row = page.locator(".cut").nth(9)
    words, hands = row.locator(".two-bars rect").evaluate_all(
        "all => all.map(one => one.width.baseVal.value / one.parentNode.getBoundingClientRect().width)"
    )
    assert (words, hands) == pytest.approx((36 / 94, 1), abs=0.01)
    page.close()
