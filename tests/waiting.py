"""Waiting for what must come, however busy the machine is: for a state, never for a time."""

from __future__ import annotations

import json
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


def _empty(page: Page) -> Page:
    """Another page of the same origin, with nothing on it."""
    other = page.context.new_page()
    other.route("**", lambda route: route.fulfill(body="", content_type="text/html"))
    other.goto(page.url)
    return other


def _seen(page: Page) -> bool:
    """Whether another page of the same origin sees what a page keeps in its browser."""
    other = _empty(page)
    same = bool(other.evaluate(STORED) == page.evaluate(STORED))
    other.close()
    return same


def stored(page: Page) -> None:
    """Wait until what a page keeps in its browser is there for other pages: a page hands it over a little later.

    Once in some hundred runs of a busy machine the browser never handed it over, for two minutes, and lost it. That is
    no fault of the page: what it had kept is put there by another page of its origin.
    """
    if not within(LONG / 6, lambda: _seen(page), page):
        kept = page.evaluate(STORED)
        other = _empty(page)
        other.evaluate(f"() => {{ {_put(kept)} }}")
        other.close()


class LostError(Exception):
    """The browser did not hand over between its pages what one of them keeps (see `stored`)."""


def told(done: Callable[[], bool], *pages: Page) -> None:
    """Wait until pages of one origin have told each other something.

    Raises `LostError` where the browser is at fault: where an empty page does not see either what they keep.
    """
    if not within(LONG / 6, done, pages[0]):
        if not all(map(_seen, pages)):
            raise LostError
        until(done, pages[0])


def reloaded(page: Page) -> None:
    """Load a page again, as people do: after the browser has stored what it keeps.

    What the browser loses all the same (see `stored`) is put there again before the page's own scripts run, so that the
    page finds what it had kept; what it makes of that is what is tested.
    """
    kept = page.evaluate(STORED)
    within(LONG / 6, lambda: _seen(page), page)
    session = page.context.new_cdp_session(page)
    session.send("Page.enable")
    script = f"if (window === top && {STORED} !== {json.dumps(kept)}) {{ {_put(kept)} }}"
    made = session.send("Page.addScriptToEvaluateOnNewDocument", {"source": script})
    page.reload()
    session.send("Page.removeScriptToEvaluateOnNewDocument", made)
    session.detach()


def _put(kept: str) -> str:
    """The script that stores again what a page had kept."""
    return f"for (const [name, text] of {kept}) localStorage.setItem(name, text);"
