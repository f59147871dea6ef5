"""What is decided about findings, written: dismissed for good (``proofed.yaml``), or taken over as an erratum."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

from lessonplan.course.byplace import EditError, changed, with_item
from lessonplan.course.files import decode, inside, locked, read_plain, write_file
from lessonplan.course.problems import Where
from lessonplan.course.words import clock_of
from lessonplan.course.yamltext import MAX_BYTES
from lessonplan.edit.proof.episode import Proof, known_words
from lessonplan.edit.proof.findings import Finding
from lessonplan.planning.worked import Worked

DECIDED, ERRATA = "proofed.yaml", "errata.yaml"
HEAD = (
    "# What was decided about findings of proofing. lessonplan writes this file when asked:\n"
    "# lessonplan proof COURSE EPISODE CAPTIONS --dismiss NUMBER (or --erratum NUMBER). A finding is known again by\n"
    "# its words, whenever they are said. “why” may say why; take an item out and its finding is open again.\n"
)
PROOFING = "proofing"
"""Who found an erratum that was taken over from captions: nobody."""
_UNITS = ("stitches", "rounds", "rows")


def chosen(proof: Proof, numbers: Sequence[int]) -> tuple[Finding, ...]:
    """Give the findings of some numbers (from 1). Raises `EditError` for numbers that no finding has."""
    for number in numbers:
        if not 1 <= number <= len(proof.findings):
            count = len(proof.findings)
            what = f"there {'is' if count == 1 else 'are'} {count or 'none'}"
            raise EditError(f"There is no finding {number}; {what}.")
    return tuple(proof.findings[number - 1] for number in dict.fromkeys(numbers))


def decide(
    folder: Path, worked: Worked, proof: Proof, dismissed: Sequence[int], errata: Sequence[int], on: date
) -> tuple[Proof, tuple[Path, ...]]:
    """Dismiss findings for good and write others into the errata log, found ``on`` that day.

    Gives the proof as it is then, and the files written. Raises `EditError`, `UnfitError` and ``OSError``; what is
    asked wrongly is told before anything is written.
    """
    away, over = chosen(proof, dismissed), chosen(proof, errata)
    for one in over:
        if not can_be_erratum(one):
            number = proof.findings.index(one) + 1
            raise EditError(f"Finding {number} ({one.kind}) has nothing that would be right instead; dismiss it.")
    still = [one for one, done in zip(proof.findings, proof.decided, strict=True) if not done]
    items = {
        (ERRATA, "errata"): [erratum(proof, one, on) for one in over if one in still],
        (DECIDED, "dismissed"): _decisions(worked, proof, [one for one in away if one in still]),
        (DECIDED, "taken_over"): _decisions(worked, proof, [one for one in over if one in still]),
    }
    with locked(folder):
        written = [_add(folder, name, key, added) for (name, key), added in items.items() if added]
    done = tuple(
        before or ("dismissed" if one in away else "taken over" if one in over else "")
        for one, before in zip(proof.findings, proof.decided, strict=True)
    )
    return replace(proof, decided=done), tuple(dict.fromkeys(written))


def can_be_erratum(one: Finding) -> bool:
    """Whether something was said that the pattern has otherwise: else there is nothing to put right."""
    return bool(one.right) and one.kind not in ("never said", "took it back", "said twice")


def _decisions(worked: Worked, proof: Proof, found: Sequence[Finding]) -> list[Mapping[str, str]]:
    keys = dict.fromkeys((one.kind, known_words(worked, one)) for one in found)
    return [{"episode": str(proof.episode.episode), "kind": kind, "words": words} for kind, words in keys]


def erratum(proof: Proof, one: Finding, on: date) -> Mapping[str, str]:
    """Word a finding as an entry of the errata log; a number that a fact gives is named by it."""
    unit = next((name for name in _UNITS if f" {name} (" in one.right), "")
    return {
        "found": on.isoformat(),
        "by": PROOFING,
        "role": "captions",
        "where": f"episode {proof.episode.episode}, segment {one.segment}, at {clock_of(one.start)}",
        "said": f"“… {one.context} …”" if one.said else one.context,
        "right": f"{{{{ {one.fact} }}}} {unit}" if one.fact and unit else one.right.partition(" (")[0],
        "kind": "number" if one.kind != "swapped words" and re.search(r"\d", one.right) else "word",
        "state": "open",
    }


def _add(folder: Path, name: str, key: str, items: Sequence[Mapping[str, str]]) -> Path:
    """Put items at the end of a list of a file, all else as it stands."""
    path = inside(folder, name)
    before = read_plain(path, Where(name), MAX_BYTES) if path.exists() else b""
    decode(before, name)  # what cannot be read is told with its place

    def put(text: str) -> str:
        """The text of a file with the entries added."""
        text = text if text.strip() or name == ERRATA else HEAD
        for item in items:
            text = with_item(text, (key,), item)
        return text

    write_file(path, changed(before, put))
    return path
