"""How long the knitters' calendar takes: run by hand, `python -m tests.benchmarks.calendar [--limit SECONDS]`.

Made-up work for 60 pieces, 6 knitters and 3 due dates, from half of the knitters' time to more than all of it.
Prints for each load the wall time of each run and what was proven within the limit; remedies are included where
something is late. The time depends on what else the machine does: its load is printed too.
"""

from __future__ import annotations

import argparse
import os
import platform
import random
import time
from datetime import date, timedelta

from lessonplan.samples.calendar import Job, Person, daily_share, plan_calendar

FIRST = date(2027, 2, 1)
DUE = (28, 35, 42)
"""Days after the first."""


def work(load: float, seed: int, pieces: int = 60, knitters: int = 6) -> tuple[list[Job], list[Person]]:
    """Pieces of very different sizes that fill ``load`` of the knitters' time until the last due date."""
    rng = random.Random(seed)
    people, paces = [], {}
    for n in range(knitters):
        away = FIRST + timedelta(rng.randint(5, 20))
        gone = ((away, away + timedelta(rng.randint(0, 3))),) if rng.random() < 0.5 else ()
        people.append(Person(f"knitter {n + 1}", rng.choice((4.0, 5.0, 6.0, 8.0, 10.0)), FIRST, gone))
        paces[people[-1].name] = rng.uniform(0.8, 1.3)
    sizes = [rng.uniform(40, 600) for _ in range(pieces)]
    room = sum(daily_share(person.hours_per_week) for person in people) * (DUE[-1] + 1)
    scale = room * load / sum(sizes)
    jobs = [
        Job(
            f"piece {n + 1}",
            "",
            {name: size * scale * pace for name, pace in paces.items()},
            rng.choice((0.0, 0.0, 0.0, 720.0)),
            FIRST + timedelta(rng.choice(DUE)),
        )
        for n, size in enumerate(sizes)
    ]
    return jobs, people


def main() -> None:
    """Run and print."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--limit", type=float, default=20.0)
    parser.add_argument("--runs", type=int, default=3)
    asked = parser.parse_args()
    print(f"{platform.platform()}, {os.cpu_count()} processors, load {os.getloadavg()[0]:.1f}, limit {asked.limit:g} s")
    print("load  seed  seconds  days late (proven at least)  all three goals proven  remedies")
    for load in (0.5, 0.7, 0.8, 0.9, 0.95, 1.1):
        for seed in range(asked.runs):
            jobs, people = work(load, seed)
            began = time.perf_counter()
            found = plan_calendar(jobs, people, time_limit=asked.limit)
            seconds = time.perf_counter() - began
            late = sum(one.days or 0 for one in found.late)
            proven = "yes" if found.optimal else "no"
            days = f"{late} ({found.least_late})"
            print(f"{load:4.2f}  {seed:4}  {seconds:7.2f}  {days:27}  {proven:22}  {len(found.remedies)}", flush=True)


if __name__ == "__main__":
    main()
