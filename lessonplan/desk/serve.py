"""The desk served: on this machine alone, or with a second address for a tablet in the same network."""

from __future__ import annotations

import asyncio
import socket
import zlib
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from uvicorn.protocols.http.h11_impl import H11Protocol

FIRST, SPAN = 8300, 1500
"""Ports from which that of a course is picked by its folder, so that a browser finds again what it kept for it."""
_TRIES = 20
_HERE, _AWAY = 200, 40
"""So many connections one address may hold at once, of this machine and of another; more are closed."""
_HEAD = 10.0
"""So many seconds the head of a request may take to come."""


@dataclass(frozen=True)
class Served:
    """Where a desk listens: its sockets, and the addresses without the token (``tablet`` is empty without --lan)."""

    sockets: tuple[socket.socket, ...]
    here: str
    tablet: str

    @property
    def hosts(self) -> frozenset[str]:
        """The values of a Host header that are answered."""
        port = self.here.rpartition(":")[2]
        names = {self.here.partition("//")[2], f"localhost:{port}"}
        return frozenset(names | ({self.tablet.partition("//")[2]} if self.tablet else set()))


def usual_port(folder: Path) -> int:
    """Give the port at which a course is looked for."""
    return FIRST + zlib.crc32(str(folder.resolve()).encode("utf-8", "replace")) % SPAN


def listen(folder: Path, port: int, *, lan: bool) -> Served:
    """Open the sockets of a desk; without a port that of the course, or one of the next that is free.

    Raises ``OSError`` where none can be had.
    """
    outside = lan_address() if lan else ""
    if lan and not outside:
        raise OSError(0, "this machine is in no local network, so no tablet could reach the desk; leave out --lan")
    first = port or usual_port(folder)
    for tried in range(first, first + (1 if port else _TRIES)):
        opened: list[socket.socket] = []
        try:
            for host in filter(None, ("127.0.0.1", outside)):
                opened.append(_bound(host, tried))
        except OSError as bad:
            for one in opened:
                one.close()
            last = bad
            continue
        return Served(tuple(opened), f"http://127.0.0.1:{tried}", f"http://{outside}:{tried}" if outside else "")
    raise OSError(last.errno, f"port {first} cannot be had ({(last.strerror or '').lower()}); give another with --port")


def _bound(host: str, port: int) -> socket.socket:
    made = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        made.bind((host, port))
        made.listen(128)  # whoever asks before all is ready waits
    except OSError:
        made.close()
        raise
    return made


def lan_address() -> str:
    """Find this machine's address in its local network; nothing is sent for it. Empty where there is none."""
    with suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        probe.connect(("192.0.2.1", 9))  # an address for documentation (RFC 5737); it only picks the way out
        found = str(probe.getsockname()[0])
        return "" if found.startswith("127.") or found == "0.0.0.0" else found
    return ""


def _patient() -> type[H11Protocol]:
    """Make the protocol that waits for nobody for ever."""
    import h11
    from uvicorn.protocols.http.h11_impl import H11Protocol

    class Patient(H11Protocol):
        """A connection that is closed where its head does not come, or where one address holds too many."""

        _late: asyncio.TimerHandle | None = None

        def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
            """Close an idle line of an address that has too many, and wait for the head."""
            super().connection_made(transport)
            address = self.client[0] if self.client else ""
            held = [
                one for one in self.connections if isinstance(one, Patient) and one.client and one.client[0] == address
            ]
            if len(held) > (_HERE if address.startswith("127.") else _AWAY):
                idle = (one for one in held if one is not self and (not one.cycle or one.cycle.response_complete))
                next(idle, self).transport.abort()
            self._wait_for_head()

        def data_received(self, data: bytes) -> None:
            """Wait anew for the rest of a head."""
            super().data_received(data)
            self._wait_for_head()

        def connection_lost(self, exc: Exception | None) -> None:
            """Wait for nothing any more."""
            if self._late:
                self._late.cancel()
            super().connection_lost(exc)

        def _wait_for_head(self) -> None:
            waits = self.conn.their_state is h11.IDLE
            if waits and not self._late:
                self._late = self.loop.call_later(_HEAD, self.transport.close)
            elif not waits and self._late:
                self._late.cancel()
                self._late = None

    return Patient


def run(folder: Path, served: Served, token: str) -> None:
    """Serve the desk of a course until Ctrl-C."""
    from datetime import datetime

    import uvicorn

    from lessonplan.desk import actions, filling
    from lessonplan.desk.site import Desk, site
    from lessonplan.desk.store import RefusedError

    tablet = f"{served.tablet}/tablet?token={token}" if served.tablet else ""
    desk = Desk(folder.resolve(), lambda: datetime.now(), tablet)
    with suppress(RefusedError):  # a folder that may only be read can be looked at
        desk.store.thin()
    settings = uvicorn.Config(
        site(desk, served.hosts, token, (*actions.ROUTES, *filling.ROUTES)),
        log_level="critical",
        access_log=False,
        server_header=False,
        timeout_keep_alive=20,
        timeout_graceful_shutdown=1,
        h11_max_incomplete_event_size=16_384,
        http=_patient(),
        ws="none",
        loop="asyncio",
        lifespan="on",
    )
    with suppress(KeyboardInterrupt):
        asyncio.run(uvicorn.Server(settings).serve(sockets=list(served.sockets)))
