"""Worked patterns built by hand, round by round, for the tests of drawings: no notation has to be read for them."""

from __future__ import annotations

from collections.abc import Sequence

from lessonplan.craft.gauge import Fabric
from lessonplan.pattern.worked import Step, WorkedPattern, WorkedStage

PLAIN = Fabric.of(20, 30, 100)


def rounds(counts: Sequence[int], yarn: str = "MC", start: int | None = None, kind: str = "round") -> tuple[Step, ...]:
    """Rounds that end with these many stitches; the first begins with ``start`` (else the same)."""
    before = counts[0] if start is None else start
    found = []
    for after in counts:
        found.append(Step(kind, "k", before, after, yarns=((yarn, float(after)),)))
        before = after
    return tuple(found)


def stage(key: str, *steps: Step, fabric: Fabric = PLAIN, short: int | None = None, title: str = "") -> WorkedStage:
    """A stage of these steps, beginning with the stitches of the first."""
    return WorkedStage(key, title or key.title(), steps[0].before, steps, fabric, short=short)


def pattern(*stages: WorkedStage, after: dict[str, tuple[str, ...]] | None = None) -> WorkedPattern:
    """A pattern in one size; each stage comes after the one before it unless ``after`` says otherwise."""
    keys = [one.key for one in stages]
    before = {key: (keys[index - 1],) if index else () for index, key in enumerate(keys)}
    return WorkedPattern(("one",), tuple(keys), before | (after or {}), {one.key: (one,) for one in stages})


def cast_on(count: int, yarn: str = "MC") -> Step:
    """A cast-on."""
    return Step("cast-on", f"Cast on {count} sts", 0, count, yarns=((yarn, float(count)),))


def tube(count: int = 40, length: int = 30) -> WorkedPattern:
    """A plain tube, bound off."""
    off = Step("bind-off", f"Bind off {count} sts", count, 0)
    return pattern(stage("edge", cast_on(count)), stage("body", *rounds([count] * length), off))


def scarf(count: int = 40, length: int = 100) -> WorkedPattern:
    """A strip in rows."""
    rows = rounds([count] * length, kind="row")
    return pattern(stage("edge", cast_on(count)), stage("strip", *rows, Step("bind-off", "Bind off", count, 0)))


def mitten() -> WorkedPattern:
    """A mitten with a gusset, a striped band, a shaped top, and a thumb from held stitches (a middling size)."""
    rib, bands, plain = Fabric.of(28, 32, 100), Fabric.of(23, 36, 100), Fabric.of(22, 30, 100)
    grown = [45] + [n for turn in range(6) for n in (45 + 2 * turn, 47 + 2 * turn)] + [57] * 5
    aside = Step("round", "hold 13", 57, 44, yarns=(("MC", 44.0),), held=13)
    stripes = tuple(s for n in range(12) for s in rounds([44], "CC" if n // 2 % 2 == 0 else "MC"))
    shaped = [40, 40, 36, 36, 32, 32, 28, 28, 24, 20, 16, 12, 8]
    taken = Step("take-up", "Put the 13 held sts back", 0, 13)
    picked = Step("pick-up", "Pick up and knit 5 sts", 13, 18, yarns=(("CC", 5.0),))
    drawn = Step("draw-through", "Draw through", 8, 0, one_way=True)
    thumb = (taken, picked, *rounds([16] * 18 + [8], "CC", 18), drawn)
    return pattern(
        stage("edge", cast_on(44, "CC"), title="Cast-on edge"),
        stage("cuff", *rounds([44] * 22, "CC"), fabric=rib, short=6, title="Ribbed cuff"),
        stage("gusset", *rounds(grown, "MC", 44), aside, fabric=plain, title="Thumb gusset"),
        stage("band", *stripes, fabric=bands, short=4, title="Cobble band"),
        stage("hand", *rounds([44] * 15), fabric=plain, short=4, title="Plain hand"),
        stage("top", *rounds(shaped, "MC", 44), drawn, fabric=plain, title="Shaped top"),
        stage("thumb", *thumb, fabric=plain, short=6, title="Thumb"),
        stage("ends", Step("weave-ends", "Weave in 8 ends", 0, 0), title="Weaving in"),
        stage("blocking", Step("block", "Block (wet)", 0, 0), title="Blocking"),
        after={"thumb": ("gusset",), "ends": ("top", "thumb")},
    )  # fmt: skip


def steps_of(worked: WorkedPattern, **done: int) -> tuple[int, ...]:
    """A state: so many steps of the named stages, none of the others; -1 is all of them."""
    whole = {key: len(worked.stage(key, 0).steps) for key in worked.order}
    return tuple(whole[key] if done.get(key, 0) == -1 else done.get(key, 0) for key in worked.order)
