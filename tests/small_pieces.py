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


def stage(
    key: str,
    *steps: Step,
    fabric: Fabric = PLAIN,
    title: str = "",
    works: Sequence[tuple[str, int]] = (),
    points: Sequence[tuple[str, int]] = (),
    numbers: tuple[int, ...] | None = None,
    start: int = 0,
) -> WorkedStage:
    """A stage of these steps, beginning with the stitches of the first (or ``start``, without any).

    ``numbers`` are those of its rounds in the full piece, if it leaves out rounds.
    """
    return WorkedStage(
        key=key,
        title=title or key.title(),
        start=steps[0].before if steps else start,
        steps=steps,
        fabric=fabric,
        works=tuple(works),
        points=tuple(points),
        numbers=numbers,
    )


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


RIB, BANDS, STOCKINETTE = Fabric.of(28, 32, 100), Fabric.of(23, 36, 100), Fabric.of(22, 30, 100)
DRAWN = Step("draw-through", "Draw through", 8, 0, one_way=True)
THUMB_WORKS = (("take_up", 1), ("pick_up", 2))


def mitten(short: bool = False) -> WorkedPattern:
    """A mitten with a gusset, a striped band, a shaped top, and a thumb from held stitches (a middling size).

    A ``short`` one has 6 of 22 rounds of the cuff, 4 of 12 of the band and of 15 of the hand, and of the thumb's 19
    the first three and the last three. Its top leaves out nothing.
    """
    grown = [45] + [n for turn in range(6) for n in (45 + 2 * turn, 47 + 2 * turn)] + [57] * 5
    aside = Step("round", "hold 13", 57, 44, yarns=(("MC", 44.0),), held=13)
    cuff, band, hand = (6, 4, 4) if short else (22, 12, 15)
    stripes = tuple(s for n in range(band) for s in rounds([44], "CC" if n // 2 % 2 == 0 else "MC"))
    shaped = [40, 40, 36, 36, 32, 32, 28, 28, 24, 20, 16, 12, 8]
    taken = Step("take-up", "Put the 13 held sts back", 0, 13)
    picked = Step("pick-up", "Pick up and knit 5 sts", 13, 18, yarns=(("CC", 5.0),))
    plain = 5 if short else 18
    thumb = (taken, picked, *rounds([16] * plain + [8], "CC", 18), DRAWN)
    thumb_works = (*THUMB_WORKS, ("rounds", plain + 2), ("decrease", plain + 3), ("draw_through", plain + 4))

    def kept(count: int) -> tuple[int, ...] | None:
        return tuple(range(1, count + 1)) if short else None

    return pattern(
        stage("edge", cast_on(44, "CC"), title="Cast-on edge", works=[("cast_on", 1)]),
        stage("cuff", *rounds([44] * cuff, "CC"), fabric=RIB, title="Ribbed cuff", numbers=kept(cuff)),
        stage("gusset", *rounds(grown, "MC", 44), aside, fabric=STOCKINETTE, title="Thumb gusset"),
        stage("band", *stripes, fabric=BANDS, title="Cobble band", numbers=kept(band)),
        stage("hand", *rounds([44] * hand), fabric=STOCKINETTE, title="Plain hand", numbers=kept(hand)),
        stage("top", *rounds(shaped, "MC", 44), DRAWN, fabric=STOCKINETTE, title="Shaped top",
              works=[("rounds", 13), ("draw_through", 14)], points=[("ready to draw through", 13)]),
        stage("thumb", *thumb, fabric=STOCKINETTE, title="Thumb", works=thumb_works,
              numbers=(1, 2, 3, 17, 18, 19) if short else None),
        stage("ends", Step("weave-ends", "Weave in 8 ends", 0, 0), title="Weaving in"),
        stage("blocking", Step("block", "Block (wet)", 0, 0), title="Blocking"),
        after={"thumb": ("gusset",), "ends": ("top", "thumb")},
    )  # fmt: skip


def steps_of(worked: WorkedPattern, **done: int) -> tuple[int, ...]:
    """A state: so many steps of the named stages, none of the others; -1 is all of them."""
    whole = {key: len(worked.stage(key, 0).steps) for key in worked.order}
    return tuple(whole[key] if done.get(key, 0) == -1 else done.get(key, 0) for key in worked.order)
