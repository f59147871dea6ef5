"""A desk for tests: it has time for whatever comes, and ``/settled`` tells when the course is planned as it is now.

``python -m tests.desk.patient desk COURSE`` is the command but for that.
"""

from __future__ import annotations

import time

from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import Route

from lessonplan.desk import actions, guard, planner
from lessonplan.desk.site import desk_of


def settled(request: Request) -> Response:
    """Answer once the folder is planned as it is now, with all remarks."""
    plans = desk_of(request).planner
    plans.settle()
    while not plans.standing().whole:
        time.sleep(0.02)
    return PlainTextResponse("Settled.")


def main() -> None:
    """Open a desk as the command does."""
    from lessonplan.cli import main as command

    planner._PATIENCE = guard.SECONDS = 600.0  # for a plan, for a post that comes slowly
    actions.ROUTES = (*actions.ROUTES, Route("/settled", settled))  # type: ignore[assignment]
    command()


if __name__ == "__main__":
    main()
