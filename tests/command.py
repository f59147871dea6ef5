"""The command line run in this process, from its first line on: a hundredth of what a process of its own costs.

Only what is about a process starts one: its streams, its terminal, what it imports, what it does to another.
"""

from __future__ import annotations

import sys
from io import BytesIO, TextIOWrapper
from subprocess import CompletedProcess
from unittest.mock import patch

from lessonplan.__main__ import main


def run(*words: object, stdin: str = "") -> CompletedProcess[str]:
    """Run ``lessonplan`` with these words; give its exit status and what it said on both streams."""
    command = ["lessonplan", *map(str, words)]
    given, out, err = (TextIOWrapper(BytesIO(text), "utf-8") for text in (stdin.encode(), b"", b""))
    with patch.multiple(sys, argv=command, stdin=given, stdout=out, stderr=err):
        status: object = 0
        try:
            main()
        except SystemExit as end:
            status = end.code
    said = []
    for stream in (out, err):
        stream.flush()
        said.append(stream.buffer.getvalue().decode("utf-8"))
    return CompletedProcess(command, status if isinstance(status, int) else int(status is not None), *said)
