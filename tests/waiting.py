"""Waiting for what must come, however busy the machine is: for a state, never for a time."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from playwright.sync_api import Page

LONG = 120.0
"""So many seconds anything may take that comes at all."""
STORED = "JSON.stringify(Object.entries(localStorage).sort())"


def within(seconds: float, done: Callable[[], bool], page: Page | None = None) -> bool:
    """Whether something is done within some seconds; a page goes on meanwhile, if one is given."""
    end = time.monotonic() + seconds
    tries = 0
    while not done():
        tries += 1  # a machine that was put to sleep has looked only once since
        if time.monotonic() > end and tries > seconds:
            return False
        if page:
            page.wait_for_timeout(50)
        else:
            time.sleep(0.05)
    return True


def until(done: Callable[[], bool], page: Page | None = None) -> None:
    """Wait until something is done; a page goes on meanwhile, if one is given."""
    assert within(LONG, done, page), page and page.inner_text("body")


def _seen(page: Page) -> bool:
    """Whether another page of the same origin sees what a page keeps in its browser."""
    other = page.context.new_page()
    other.route("**", lambda route: route.fulfill(body="", content_type="text/html"))  # of this origin, and empty
    other.goto(page.url)
    same = bool(other.evaluate(STORED) == page.evaluate(STORED))
    other.close()
    return same


def stored(page: Page) -> None:
    """Wait until what a page keeps in its browser is there for other pages: a page hands it over a little later."""
    until(lambda: _seen(page), page)


def reloaded(page: Page) -> None:
    """Load a page again, as people do: after the browser has stored what it keeps.

    Once in some hundred runs of a busy machine the browser never handed it over, for two minutes, and lost it. That is
    no fault of the page: what it had kept is put there again by hand, and what it makes of that is what is tested.
    """
    kept = page.evaluate(STORED)
    handed = within(LONG / 6, lambda: _seen(page), page)
    page.reload()
    if not handed and page.evaluate(STORED) != kept:
        page.evaluate("all => { for (const [name, text] of JSON.parse(all)) localStorage.setItem(name, text); }", kept)
        page.reload()
