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


def stored(page: Page) -> None:
    """Wait until what a page keeps in its browser is there for other pages: a page hands it over a little later."""

    def there() -> bool:
        other = page.context.new_page()
        other.route("**", lambda route: route.fulfill(body="", content_type="text/html"))  # of this origin, and empty
        other.goto(page.url)
        same = bool(other.evaluate(STORED) == page.evaluate(STORED))
        other.close()
        return same

    until(there, page)


def reloaded(page: Page) -> None:
    """Load a page again, as people do: after the browser has stored what it keeps."""
    stored(page)
    page.reload()
