"""Take logs that tablets send: kept at once, whole, and taken into the course once each, once it can be planned."""

from __future__ import annotations

import re
import threading
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from lessonplan.course.files import inside, locked, write_file
from lessonplan.desk.history import HOME
from lessonplan.desk.store import RefusedError, Store
from lessonplan.planning.filmed.kepttakes import KEPT
from lessonplan.planning.filmed.taking import take_in

_WAITING, _IN = f"{HOME}/takes/waiting", f"{HOME}/takes/in"
_KEY = re.compile(r"(?P<day>\d{4}-\d\d-\d\d)/(?P<device>[a-z0-9][a-z0-9-]{0,39})/(?P<count>[1-9]\d{0,8})")


@dataclass(frozen=True, slots=True)
class Key:
    """Which log it is: the shoot day, the device, and the how-manieth that the device sends of that day."""

    day: str
    device: str
    count: int

    @property
    def file(self) -> str:
        """The name under which it is kept."""
        return f"{self.day}.{self.device}.{self.count}.csv"


def read_key(text: str) -> Key:
    """Read the key that a tablet sends with a log. Raises `RefusedError`."""
    found = _KEY.fullmatch(text)
    try:
        if found:
            date.fromisoformat(found["day"])
            return Key(found["day"], found["device"], int(found["count"]))
    except ValueError:
        pass
    raise RefusedError("This log does not say from which day and device it is.", 400)


class Inbox:
    """The logs that came, of which each device's newest counts for a day: a log always holds all of its takes."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._taking = threading.Lock()

    def put(self, key: Key, data: bytes) -> bool:
        """Keep a log; False where it, or a newer one, came before. Raises `RefusedError`, ``OSError``."""
        home = self._store.folder
        self._store.at_home()
        with self._taking, locked(home):  # what is just being taken in stays until it is
            for folder in (_WAITING, _IN):
                for other in self._keys(folder):
                    if (other.day, other.device) != (key.day, key.device) or other.count < key.count:
                        continue
                    if other.count == key.count and inside(home, f"{folder}/{other.file}").read_bytes() != data:
                        raise RefusedError("Another log came under this number; send it under the next.", 409)
                    return False
            write_file(inside(home, f"{_WAITING}/{key.file}"), data)
            self._drop_older(_WAITING, key)
        return True

    def waiting(self) -> tuple[Key, ...]:
        """Give the logs that are not in the course yet."""
        return self._keys(_WAITING)

    def take_in(self) -> tuple[str, ...]:
        """Take the waiting logs into the course. Gives why one still waits, in sentences; nothing: all are in."""
        told = list[str]()
        with self._taking:
            for key in self.waiting():
                path = inside(self._store.folder, f"{_WAITING}/{key.file}")
                with self._store.recording(f"takes of {key.device}", KEPT):
                    result, taken = take_in(self._store.folder, [path], before=self._before(key))
                if taken is None:
                    count = sum(one.severity == "error" for one in result.problems)
                    told.append(f"The takes wait until the course has no errors any more ({count} now).")
                    continue
                stopped = next((one for one in taken.problems if one.code == "not-kept"), None)
                if stopped:
                    told.append(f"{stopped.where.file}: {stopped.message} {stopped.hint}")
                    continue
                with locked(self._store.folder):
                    done = inside(self._store.folder, f"{_IN}/{key.file}")
                    done.parent.mkdir(parents=True, exist_ok=True)
                    path.replace(done)
                    self._drop_older(_IN, key)
        return tuple(dict.fromkeys(told))

    def _before(self, key: Key) -> list[Path]:
        """What the device sent of that day and is in the course."""
        same = (one for one in self._keys(_IN) if (one.day, one.device) == (key.day, key.device))
        return [inside(self._store.folder, f"{_IN}/{one.file}") for one in same]

    def _keys(self, folder: str) -> tuple[Key, ...]:
        place = inside(self._store.folder, folder)
        names = sorted(path.name for path in place.iterdir()) if place.is_dir() else []
        found = (_KEY.fullmatch(name.removesuffix(".csv").replace(".", "/")) for name in names if name[0] != ".")
        keys = (Key(one["day"], one["device"], int(one["count"])) for one in found if one)
        return tuple(sorted(keys, key=lambda key: (key.day, key.device, key.count)))

    def _drop_older(self, folder: str, key: Key) -> None:
        for other in self._keys(folder):
            if (other.day, other.device) == (key.day, key.device) and other.count < key.count:
                inside(self._store.folder, f"{folder}/{other.file}").unlink()
