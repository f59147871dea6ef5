"""Which tests run which lines: a plugin for pytest, started by the mutation run, and the choice that follows from it.

The environment says what to watch (``WATCH_FILES``, parted by ``os.pathsep``) and where to write it (``WATCH_OUT``).
"""

from __future__ import annotations

import json
import os
import sys
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import accumulate
from pathlib import Path
from typing import Any

import pytest
from coverage import Coverage

GOLDEN = "tests/test_golden.py"


class Watch:
    """Notes the lines that each test and each shared fixture runs, its seconds, and whether it starts a program."""

    def __init__(self, files: list[str], out: Path) -> None:
        self.coverage = Coverage(data_file=None, config_file=False, include=files)
        self.coverage.start()
        self.files, self.out, self.at, self.module = files, out, "", ""
        self.tests: dict[str, dict[str, Any]] = {}
        sys.addaudithook(self._program)

    def _program(self, event: str, _: tuple[Any, ...]) -> None:
        if event == "subprocess.Popen" and self.at in self.tests:
            self.tests[self.at]["spawns"] = True

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        if item.nodeid.split("::")[0] != self.module:
            self.module = item.nodeid.split("::")[0]
            self._forget()
        known = getattr(item, "_fixtureinfo", None)
        shared = [_label(one) for all_of in (known.name2fixturedefs if known else {}).values() for one in all_of]
        self.tests[item.nodeid] = {"shared": shared, "spawns": False, "passed": True}
        self.at = item.nodeid
        self.coverage.switch_context(self.at)
        start = os.times()
        result = yield
        # Of the processor, programs that the test starts included: a busy machine must not leave tests out.
        self.tests[self.at]["seconds"] = sum(os.times()[:4]) - sum(start[:4])
        self.at = ""
        self.coverage.switch_context("")
        return result

    def _forget(self) -> None:
        # What one test file left in a cache would hide that the next one needs those lines too.
        for name, module in list(sys.modules.items()):
            if name.startswith("lessonplan") and module.__file__ in self.files:
                for value in vars(module).values():
                    if hasattr(value, "cache_clear"):
                        value.cache_clear()

    @pytest.hookimpl(wrapper=True)
    def pytest_fixture_setup(self, fixturedef: Any) -> Iterator[None]:
        if fixturedef.scope != "function":
            self.coverage.switch_context(_label(fixturedef))
        result = yield
        if fixturedef.scope != "function":
            self.coverage.switch_context(self.at)
        return result

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.failed or report.skipped:
            self.tests[report.nodeid]["passed"] = False

    def pytest_sessionfinish(self) -> None:
        self.coverage.stop()
        data = self.coverage.get_data()
        lines = {name: data.contexts_by_lineno(name) for name in data.measured_files()}
        self.out.write_text(json.dumps({"tests": self.tests, "lines": lines}), encoding="utf-8")


def _label(fixturedef: Any) -> str:
    return f"fixture {fixturedef.argname} of {fixturedef.baseid}"


def pytest_configure(config: pytest.Config) -> None:
    if "WATCH_OUT" in os.environ:
        files = os.environ["WATCH_FILES"].split(os.pathsep)
        config.pluginmanager.register(Watch(files, Path(os.environ["WATCH_OUT"])))


@dataclass(frozen=True, slots=True)
class Seen:
    """What was watched, of one or several runs: tests by name, and for each file the tests that ran each line."""

    tests: dict[str, dict[str, Any]]
    lines: dict[str, dict[int, set[str]]]
    failed: list[str]

    @classmethod
    def read(cls, paths: list[Path]) -> Seen:
        """Join what several runs wrote."""
        tests: dict[str, dict[str, Any]] = {}
        lines: dict[str, dict[int, set[str]]] = defaultdict(lambda: defaultdict(set))
        for path in paths:
            data = json.loads(path.read_text(encoding="utf-8"))
            tests |= data["tests"]
            for file, of_file in data["lines"].items():
                for line, contexts in of_file.items():
                    lines[file][int(line)].update(contexts)
        failed = [f"{name}: failed without a fault, not used" for name, test in tests.items() if not test["passed"]]
        return cls({name: test for name, test in tests.items() if test["passed"]}, lines, failed)

    def choose(self, file: str, lines: list[int]) -> list[str]:
        """Give the tests that run one of the lines, the quickest first.

        A line that runs only at import matters to all tests of its file; one that no test runs may be run by the
        programs that tests start, which are not watched.
        """
        of_file = self.lines.get(file, {})
        found = set().union(*(of_file.get(line, set()) for line in lines))
        if found == {""}:
            found = set().union(*of_file.values())
        names = [name for name, test in self.tests.items() if name in found or found & set(test["shared"])]
        names = names or [name for name, test in self.tests.items() if test["spawns"]]
        return sorted(names, key=lambda name: self.tests[name]["seconds"])

    def within(self, names: list[str], seconds: float) -> list[str]:
        """Give as many of the tests, from the first, as fit into so many seconds; at least one."""
        spent = accumulate(self.tests[name]["seconds"] for name in names)
        return [name for name, total in zip(names, spent, strict=True) if total <= seconds] or names[:1]
