"""How long the knitters' calendar takes: run by hand, `python -m tests.benchmarks.calendar [--runs N]`.

Made-up work for 60 pieces, 6 knitters and 3 due dates, from half of the knitters' time to more than all of it; then
hundreds of pieces that cannot be in time. Prints for each the processor seconds of one core, the days late and what was
proven; remedies are included where something is late. The answer does not depend on the machine, the time does.
"""

from __future__ import annotations

import argparse
import os
import platform
import random
import time
from datetime import date, timedelta

from lessonplan.samples.calendar.evenings import daily_share
from lessonplan.samples.calendar.jobs import Job, Person
from lessonplan.samples.calendar.plan import plan_calendar

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
            piece=f"piece {n + 1}",
            minutes={name: size * scale * pace for name, pace in paces.items()},
            drying=rng.choice((0.0, 0.0, 0.0, 720.0)),
            due=FIRST + timedelta(rng.choice(DUE)),
        )
        for n, size in enumerate(sizes)
    ]
    return jobs, people


def main() -> None:
    """Run and print."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--runs", type=int, default=3)
    asked = parser.parse_args()
    print(f"{platform.platform()}, {os.cpu_count()} processors, load {os.getloadavg()[0]:.1f}")
    print("pieces  knitters  load  seed  seconds  days late  all three goals proven  remedies")
    sizes = [(60, 6, load) for load in (0.5, 0.7, 0.8, 0.9, 0.95, 1.1)]
    for pieces, knitters, load in (*sizes, (420, 1, 5.0), (420, 6, 5.0), (420, 6, 0.8)):
        for seed in range(asked.runs):
            jobs, people = work(load, seed, pieces, knitters)
            began = time.process_time()
            found = plan_calendar(jobs, people)
            seconds = time.process_time() - began
            late = sum(one.days or 0 for one in found.late)
            proven = "yes" if found.optimal else "no"
            print(
                f"{pieces:6}  {knitters:8}  {load:4.2f}  {seed:4}  {seconds:7.2f}  {late:9}  {proven:22}  "
                f"{len(found.remedies)}",
                flush=True,
            )


if __name__ == "__main__":
    main()
