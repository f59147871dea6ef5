"""Many courses, right and damaged, through every command: ``python -m tests.fuzz --count 100000 --seed 1``.

The same seed gives the same cases. What fails is printed once a sort, and with ``--keep FOLDER`` its files are kept.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections import Counter
from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

from hypothesis import HealthCheck, Phase, given, seed, settings, strategies as st

from tests.fuzz.bases import bases
from tests.fuzz.damage import damaged, soup
from tests.fuzz.trial import COMMANDS, IN_COURSE, limit_memory, tried
from tests.fuzz.valid import courses


class Case(NamedTuple):
    """Files of a course and beside it, the command that is run over them, and whether they are right."""

    files: Mapping[str, bytes]
    words: list[str]
    valid: bool


@st.composite
def cases(draw: st.DrawFn) -> Case:
    """Of ten cases one is a right course, two are lines thrown together, the others are damaged courses."""
    which = draw(st.integers(0, 9))
    if which == 0:
        return Case(draw(courses()), draw(st.sampled_from(IN_COURSE)), True)
    if which < 3:
        on = draw(st.sampled_from(("0", "1", "12", "40", "40 (44, 48)", "999999999999")))
        more = draw(
            st.sampled_from(([], ["--flat"], ["--until", "3"], ["--language", "de"], ["--terms", "uk"], ["--json"]))
        )
        lines = draw(st.lists(st.one_of(soup, st.text(max_size=30)), min_size=1, max_size=3))
        return Case({}, ["count", "--on", on, *more, "--", *lines], False)
    files = draw(st.sampled_from(bases()))
    return Case(draw(damaged(files)), draw(st.sampled_from(COMMANDS)), False)


def fuzz(count: int, first: int, keep: Path | None) -> Counter[str]:
    """Try so many cases, tell of each sort of fault once, and give how often each came."""
    sorts, done, start = Counter[str](), 0, time.process_time()

    @seed(first)
    @settings(
        max_examples=count,
        database=None,
        deadline=None,
        derandomize=False,
        phases=[Phase.generate],
        suppress_health_check=[*HealthCheck],
    )
    @given(cases())
    def one(case: Case) -> None:
        nonlocal done
        done += 1
        for fault in tried(case.files, case.words, valid=case.valid):
            sorts[fault.sort] += 1
            if sorts[fault.sort] == 1:
                print(f"case {done}: {case.words}: {fault.sort}\n    {fault.told[:1500]}", flush=True)
                if keep:
                    tried(case.files, case.words, keep=keep / str(done))
        if done % 1000 == 0:
            print(f"{done} cases, {time.process_time() - start:.0f} s, {dict(sorts)}", file=sys.stderr, flush=True)

    one()
    print(f"{done} cases in {time.process_time() - start:.0f} s of processor time; faults: {dict(sorts) or 'none'}")
    return sorts


def main() -> int:
    """Try many cases in a process with a limit of memory."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=100_000, help="how many cases")
    parser.add_argument("--seed", type=int, default=1, help="which cases")
    parser.add_argument("--keep", type=Path, help="keep the files of the first case of each sort of fault here")
    given_words = parser.parse_args()
    bases()
    limit_memory()
    return 1 if fuzz(given_words.count, given_words.seed, given_words.keep) else 0


if __name__ == "__main__":
    raise SystemExit(main())
