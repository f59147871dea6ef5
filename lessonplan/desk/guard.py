"""What stands before every page of the desk: who may ask, from where, how much, how slowly; what every answer says.

The desk is bound to one machine (or one local network). A page of another site that the browser has open may still send
requests here, and may let its own name point here: therefore Host, Origin and a secret cookie are looked at.
"""

from __future__ import annotations

import asyncio
import hmac
import math
import secrets
from contextlib import suppress
from urllib.parse import parse_qs

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

LARGEST = 2_000_000
"""Bytes that a request may have: a file of the course is smaller, however its text is written in a form."""
LARGEST_COURSE = 60_000_000
"""Bytes that a whole course may have where one is opened."""
SECONDS = 20.0
"""So long the body of a request may take to come; of a whole course four times as long."""
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
    "frame-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
_SAID = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "cache-control": "no-store",
    "x-dns-prefetch-control": "off",
}
_CLOSED = "This desk is open only by the whole address that the terminal shows, the part behind the question mark too."


class Guard:
    """Lets in what comes with the desk's own Host, Origin and cookie; ``hosts`` are such as ``127.0.0.1:8642``."""

    def __init__(self, app: ASGIApp, hosts: frozenset[str], token: str, cookie: str) -> None:
        self._app, self._hosts, self._token, self._cookie = app, hosts, token, cookie

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request, or have it answered."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return

        body = Bounded(receive, *_bounds(scope))

        async def say(message: Message) -> None:
            """Send a message on with the headers that every answer has."""
            if message["type"] == "http.response.start":
                if scope["method"] == "POST" and _announced(scope) <= LARGEST_COURSE:
                    await body.rest()
                headers = MutableHeaders(scope=message)
                for name, value in _SAID.items():
                    headers.setdefault(name, value)
            await send(message)

        if refused := self._refused(scope):
            await refused(scope, receive, say)
        else:
            await self._app(scope, body, say)

    def _refused(self, scope: Scope) -> Response | None:
        headers = Headers(scope=scope)
        host = headers.get("host", "")
        if host not in self._hosts or len(headers.getlist("host")) != 1:
            return PlainTextResponse("The desk is not served under this name.", 421)
        if scope["method"] not in ("GET", "HEAD", "POST"):
            return PlainTextResponse("The desk knows only GET, HEAD and POST.", 405, {"allow": "GET, HEAD, POST"})
        given = parse_qs(scope["query_string"].decode("latin-1")).get("token", [""])[0]
        if given and scope["path"] in ("/", "/tablet") and scope["method"] == "GET":
            return self._let_in(scope["path"]) if _same(given, self._token) else PlainTextResponse(_CLOSED, 403)
        if not any(_same(one, self._token) for one in _cookies(headers, self._cookie)):
            return PlainTextResponse(_CLOSED, 403)
        if scope["method"] == "POST" and headers.get("origin") != f"http://{host}":
            return PlainTextResponse("Only pages of the desk itself may change anything here.", 403)
        if _announced(scope) > _bounds(scope)[0]:
            return PlainTextResponse("This is more than a file of a course may have.", 413, {"connection": "close"})
        return None

    def _let_in(self, path: str) -> Response:
        """Turn the token of the first address into a cookie, so that it stands in no address any more."""
        answer = RedirectResponse(path, 303)
        answer.set_cookie(self._cookie, self._token, httponly=True, samesite="strict", path="/", max_age=30 * 86400)
        return answer


def new_token() -> str:
    """Make the secret of one run."""
    return secrets.token_urlsafe(32)


def _same(one: str, other: str) -> bool:
    return hmac.compare_digest(one.encode("utf-8", "replace"), other.encode("utf-8"))


def _cookies(headers: Headers, name: str) -> list[str]:
    """Give every cookie of a name. Whatever listens on this machine shares its cookies, whatever these look like."""
    each = (one.strip().partition("=") for line in headers.getlist("cookie") for one in line.split(";"))
    return [value for key, _, value in each if key == name]


def _announced(scope: Scope) -> float:
    """Give the bytes that the body is said to have; what is no number of this world has no end."""
    length = Headers(scope=scope).get("content-length", "0")
    return int(length) if length.isdecimal() and len(length) < 16 else math.inf


def _bounds(scope: Scope) -> tuple[int, float]:
    return (LARGEST_COURSE, 4 * SECONDS) if scope["path"] == "/open" else (LARGEST, SECONDS)


class TooMuchError(Exception):
    """A body that is too large or too slow; ``status`` is the HTTP status that says so."""

    def __init__(self, sentence: str, status: int) -> None:
        super().__init__(sentence)
        self.status = status


class Bounded:
    """Hands on a body of so many bytes at most that comes within so many seconds."""

    def __init__(self, receive: Receive, most: int, seconds: float) -> None:
        self._receive, self._left, self._seconds = receive, most, seconds
        self._until: float | None = None
        self._whole = False

    async def __call__(self) -> Message:
        """Give the next part of the body. Raises `TooMuchError`."""
        if self._whole:
            return await self._receive()  # only that the other side has gone
        now = asyncio.get_running_loop().time()
        self._until = self._until or now + self._seconds
        try:
            async with asyncio.timeout_at(self._until):
                message = await self._receive()
        except TimeoutError:
            raise TooMuchError("This came too slowly.", 408) from None
        self._left -= len(message.get("body", b""))
        self._whole = not message.get("more_body", False)
        if self._left < 0:
            raise TooMuchError("This is more than a file of a course may have.", 413)
        return message

    async def rest(self) -> None:
        """Throw away what is still to come: who is answered while sending finds the line broken and hears nothing."""
        self._left = LARGEST_COURSE
        with suppress(TooMuchError):
            while not self._whole:
                await self()
