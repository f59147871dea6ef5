"""Work done in a process of its own, which can be stopped: for what a course's own templates may do.

Nothing inside Python stops a template that builds a number of a billion digits; the end of its process does.
"""

from __future__ import annotations

import os
import pickle
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import ParamSpec, TypeVar

Given = ParamSpec("Given")
Made = TypeVar("Made")

MAX_SECONDS = 60.0
MAX_BYTES = 2**30


_NO_NETWORK = dict.fromkeys(("http_proxy", "https_proxy", "all_proxy"), "http://127.0.0.1:0") | {"no_proxy": ""}
_NO_NETWORK |= {name.upper(): value for name, value in _NO_NETWORK.items()}
"""Whatever would fetch something (typst its packages) is sent to a port at which nothing can listen."""


class StoppedError(Exception):
    """The work was stopped: it took longer, or more memory, than it may."""


def apart(work: Callable[Given, Made], *given: Given.args, **named: Given.kwargs) -> Made:
    """Call a function of a module in a process of its own; what goes in and comes out must be fit to be pickled.

    Raises `StoppedError` after `MAX_SECONDS` or when the process broke down (where the system can, it may take
    `MAX_BYTES` more than it starts with), ``RuntimeError`` with the process's own account when the work raised.
    """
    ways = {**os.environ, **_NO_NETWORK, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
    words = [sys.executable, "-P", "-m", "lessonplan.render.apart"]
    job = pickle.dumps((work, given, named))
    try:
        done = subprocess.run(words, input=job, capture_output=True, timeout=MAX_SECONDS, env=ways, check=False)
    except subprocess.TimeoutExpired:
        raise StoppedError from None
    if done.returncode == 1:
        raise RuntimeError(done.stderr.decode("utf-8", "replace"))
    if done.returncode:
        raise StoppedError
    made: Made = pickle.loads(done.stdout)
    return made


def _bound() -> None:
    """Bound the memory and the time of this process; the time in case that nobody is left to end it."""
    if sys.platform == "win32":
        return
    import resource

    taken = Path("/proc/self/statm")  # Linux; elsewhere the system starts to count at nothing
    pages = int(taken.read_text().split()[5]) if taken.exists() else 0
    bounds = ((resource.RLIMIT_DATA, pages * resource.getpagesize() + MAX_BYTES), (resource.RLIMIT_CPU, 600))
    for kind, most in bounds:
        hard = resource.getrlimit(kind)[1]
        resource.setrlimit(kind, (most if hard == resource.RLIM_INFINITY else min(most, hard), hard))


def main() -> None:
    """Do the work that comes on standard input, and give what it made on standard output."""
    work, given, named = pickle.load(sys.stdin.buffer)
    _bound()
    sys.stdout.buffer.write(pickle.dumps(work(*given, **named)))


if __name__ == "__main__":
    main()
