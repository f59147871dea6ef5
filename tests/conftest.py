"""What all tests share."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, ParamSpec, TypeVar

import pytest
from hypothesis import HealthCheck, settings

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page

    from lessonplan.planning.worked import Plan

Given = ParamSpec("Given")
Made = TypeVar("Made", "BrowserContext", "Page")

ROOT = Path(__file__).resolve().parent.parent

# A busy machine must not fail a property for being slow; where CI is set, every run tries the same examples.
settings.register_profile(
    "here", deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=bool(os.environ.get("CI"))
)
settings.load_profile("here")


@pytest.fixture(scope="session")
def root() -> Path:
    """The checkout's folder."""
    return ROOT


@pytest.fixture(scope="session")
def sample(root: Path) -> Plan:
    """The sample course, planned once for all tests of a process: nothing changes a plan."""
    import lessonplan

    result = lessonplan.plan(root / "sample_course")
    assert result.plan is not None, [str(problem) for problem in result.problems]
    return result.plan


@pytest.fixture(scope="session")
def sample_output(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample course, built by the real function into a folder of its own: once for all processes of a run."""
    import lessonplan
    from lessonplan.course.files import locked

    own = tmp_path_factory.getbasetemp()
    home = own.parent if "PYTEST_XDIST_WORKER" in os.environ else own
    out = home / "sample" / "out"
    with locked(home, wait=600):
        out.parent.mkdir(exist_ok=True)
        if not out.exists():
            result = lessonplan.build(ROOT / "sample_course", out)
            assert result.plan is not None, [str(problem) for problem in result.problems]
    return out


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """A headless Chromium of the machine; where there is none the tests that need it are left out, and said so."""
    path = next(
        (found for name in ("chromium", "chromium-browser", "google-chrome") if (found := shutil.which(name))), None
    )
    if path is None:
        pytest.skip("no browser (chromium) on this machine: browser tests are left out")
    from playwright.sync_api import expect, sync_playwright

    expect.set_options(timeout=PATIENCE)
    flags = [
        "--no-sandbox",
        "--disable-gpu",
        "--disable-quic",
        "--disable-background-networking",
        "--disable-component-update",
    ]
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=path, args=flags, timeout=PATIENCE)
        started.new_context = _patient(started.new_context)  # type: ignore[method-assign]
        started.new_page = _patient(started.new_page)  # type: ignore[method-assign]
        yield started
        started.close()


PATIENCE = 120_000.0
"""So many milliseconds a browser may take for anything: only what hangs is ended."""


def _patient(make: Callable[Given, Made]) -> Callable[Given, Made]:
    def made(*given: Given.args, **named: Given.kwargs) -> Made:
        one = make(*given, **named)
        one.set_default_timeout(PATIENCE)
        return one

    return made


AXE = """
;(run => {
  axe.run = (...given) => given.length ? run(...given) : run({resultTypes: ["violations"]});
})(axe.run);
"""
"""All rules run, but what passed is not described element by element: three quarters of the time went into that."""


@pytest.fixture(scope="session")
def axe(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The accessibility checker axe-core, from npm."""
    script = ROOT / "node_modules" / "axe-core" / "axe.min.js"
    if not script.exists():
        pytest.skip("no axe-core (npm install axe-core): accessibility tests are left out")
    told = tmp_path_factory.mktemp("axe") / "axe.js"
    told.write_text(script.read_text(encoding="utf-8") + AXE, encoding="utf-8")
    return told


LONG = frozenset(("tests", "browser", "desk", "fuzz", "kill", "walk"))
"""Folders of tests of which some take seconds: they start browsers or programs, or build whole courses."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put the long tests first, so that two processes which share the tests out among them end together."""
    items.sort(key=lambda item: item.path.parent.name not in LONG)


@pytest.hookimpl(trylast=True)
def pytest_sessionfinish(session: pytest.Session) -> None:
    """Where skips are not allowed, a run that skipped anything has failed."""
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")
    skipped = reporter.stats.get("skipped", []) if reporter else []
    if os.environ.get("LESSONPLAN_NO_SKIPS") and skipped and not hasattr(session.config, "workerinput"):
        session.exitstatus = pytest.ExitCode.TESTS_FAILED
