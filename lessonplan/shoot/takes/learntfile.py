"""The file of learnt paces: a block of figures for each pace, those from captions in a block of their own."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from lessonplan.course.problems import Problem, Where, did_you_mean, error
from lessonplan.course.values.quantities import read_decimal
from lessonplan.course.yamltext import MarkedMap, read_yaml
from lessonplan.shoot.takes.learnt import BOUNDS, SPOKEN, Bounds, Estimate, Learnt, sureness

CAPTIONS = "captions"
FIGURES = {
    "value": "What was learnt, in the unit of the pace.",
    "low": "The lower end of where it lies in nine cases of ten.",
    "high": "The upper end of where it lies in nine cases of ten.",
    "n": "From how many observations it was learnt.",
    "default": "What the course said before.",
}
"""The figures of a pace, each with what it means."""


def learnt_yaml(learnt: Learnt) -> str:
    """Write estimates as YAML: a remark on the first line, then a block of figures for each pace."""
    sources = [name for name, some in (("the take log", learnt.estimates), (CAPTIONS, learnt.captions)) if some]
    lines = [f"# Paces learnt from {' and from '.join(sources)}."]
    lines += _blocks(learnt.estimates)
    lines += [f"{CAPTIONS}:", *(f"  {line}" for line in _blocks(learnt.captions))] if learnt.captions else []
    return "\n".join(lines) + "\n"


def _blocks(estimates: Iterable[Estimate]) -> Iterator[str]:
    for one in estimates:
        yield f"{one.name}:"
        yield from (f"  {key}: {getattr(one, key)!r}" for key in FIGURES)


def read_learnt(data: bytes, file: str) -> tuple[Learnt, tuple[Problem, ...]]:
    """Read what `learnt_yaml` wrote, or a person typed: ``value`` and ``n`` are needed in each block.

    Blocks that cannot be read, or whose value is beyond its bounds, are left out and told of with file and line.
    """
    content, problems = read_yaml(data, file)
    content = content if content is not None else MarkedMap()
    spoken = content.get(CAPTIONS)
    takes = _read_blocks(content, BOUNDS, Where(file), problems)
    heard: tuple[Estimate, ...] = ()
    if isinstance(spoken, MarkedMap):
        heard = _read_blocks(spoken, SPOKEN, content.marks.keys[CAPTIONS], problems)
    elif CAPTIONS in content:
        what = "“captions” should hold speech and over_all, each with its figures."
        problems.append(error(content.marks.keys[CAPTIONS], "learnt", what))
    return Learnt(takes, heard), tuple(problems)


def _read_blocks(
    content: MarkedMap, known: Mapping[str, Bounds], file: Where, problems: list[Problem]
) -> tuple[Estimate, ...]:
    estimates: dict[str, Estimate] = {}
    for name, block in content.items():
        where = content.marks.keys.get(name, file)
        if name == CAPTIONS and known is BOUNDS:
            continue
        if name not in known:
            problems.append(error(where, "unknown-key", f"“{name}” is no pace.", did_you_mean(name, known)))
        elif not isinstance(block, MarkedMap):
            problems.append(error(where, "learnt", f"“{name}” should hold value, low, high and n, each on its line."))
        else:
            found = _read_estimate(name, known[name], block, where, problems)
            estimates.update({name: found} if found else {})
    return tuple(estimates[name] for name in known if name in estimates)


def _read_estimate(
    name: str, bounds: Bounds, block: MarkedMap, where: Where, problems: list[Problem]
) -> Estimate | None:
    figures = dict[str, float]()
    before = len(problems)
    for key, text in block.items():
        place = block.marks.values.get((key,), where)
        if key not in FIGURES:
            problems.append(
                error(block.marks.keys[key], "unknown-key", f"“{key}” is not read.", did_you_mean(key, FIGURES))
            )
            continue
        try:
            figures[key] = read_decimal(text if isinstance(text, str) else "")
        except ValueError:
            problems.append(error(place, "learnt", f"“{key}” of {name} should be a number."))
    missing = [key for key in ("value", "n") if key not in block]
    if missing:
        problems.append(error(where, "learnt", f"“{name}” lacks {' and '.join(missing)}."))
    if len(problems) > before:
        return None
    value, n = figures["value"], figures["n"]
    low, high = figures.get("low", value), figures.get("high", value)
    default = figures.get("default", value)
    wrong = ""
    if n < 0 or n != int(n):
        wrong = f"“n” of {name} should be a whole number of observations."
    elif not low <= value <= high:
        wrong = f"The value of {name} should lie between its low and its high."
    elif not (bounds.low <= value <= bounds.high or (n == 0 and value == default >= 0)):
        wrong = f"{value:g} is beyond what is believable for {name}: {bounds.low:g} to {bounds.high:g} {bounds.why}."
    if wrong:
        problems.append(error(block.marks.values.get(("value",), where), "learnt", wrong))
        return None
    return Estimate(name=name, default=default, value=value, low=low, high=high, n=int(n), sure=sureness(int(n)))
