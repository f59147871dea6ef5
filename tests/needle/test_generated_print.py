"""Lines made by a model of print, whose counts the model knows: read in any style, and every planted error found."""

from __future__ import annotations

from dataclasses import dataclass

from hypothesis import given, settings, strategies as st

from lessonplan.needle.count import Counted, count_lines

LABELS = ("", "Rnd {n}: ", "Round {n} - ", "{n}th rnd: ", "Next rnd: ", "Dec rnd: ", "R{n}: ")
REPEATS = (
    "*{a}; rep from * around", "*{a}* around", "[{a}] to end", "({a}) around", "*{a}, repeat from * to end of round",
    "*{a}; rep from * {more} times more", "[{a}] {times} times", "({a}) x {times}",
)  # fmt: skip
COUNTS = (" ({c} sts)", ". {c} sts rem.", " - {c} sts", " = {c} sts", ": {c} stitches", ". You now have {c} sts")
LISTS = ("{} ({})", "{}[{}]", "{} [{}]", "{}({})")
SHAPING = (("k2tog", 2, 1), ("ssk", 2, 1), ("kfb", 1, 2), ("yo", 0, 1), ("m1", 0, 1), ("sk2p", 3, 1), ("p2tog", 2, 1))


@dataclass(frozen=True)
class Model:
    """A round of equal repeats in several sizes, as printed, with the stitches before and after it."""

    text: str
    on: tuple[int, ...]
    after: tuple[int, ...]
    count: str


def listed(values: tuple[int, ...], style: str) -> str:
    """One number for all sizes, or one for each in this style."""
    if len(set(values)) == 1:
        return str(values[0])
    return style.format(values[0], ", ".join(map(str, values[1:])))


@st.composite
def models(draw: st.DrawFn) -> Model:
    sizes = draw(st.integers(1, 4))
    plain = draw(st.integers(1, 12))
    name, takes, makes = draw(st.sampled_from(SHAPING))
    repeats = tuple(draw(st.lists(st.integers(2, 20), min_size=sizes, max_size=sizes)))
    body = draw(st.sampled_from((f"K{plain}, {name}", f"k {plain}, {name}", f"{name}, k{plain}")))
    style = draw(st.sampled_from(LISTS))
    more = listed(tuple(each - 1 for each in repeats), style)
    text = draw(st.sampled_from(REPEATS)).format(a=body, times=listed(repeats, style), more=more)
    label = draw(st.sampled_from(LABELS)).format(n=draw(st.integers(4, 9)))
    on = tuple(each * (plain + takes) for each in repeats)
    after = tuple(each * (plain + makes) for each in repeats)
    count = draw(st.sampled_from(COUNTS))
    return Model(label + text + count.replace("{c}", "{}"), on, after, style)


def counted(model: Model, printed: tuple[int, ...]) -> Counted:
    return count_lines([model.text.format(listed(printed, model.count))], model.on)


@settings(max_examples=150, deadline=None)
@given(models())
def test_a_line_of_the_model_is_read_to_the_count_that_the_model_knows(model: Model) -> None:
    found = counted(model, model.after)
    assert [problem.sentence for problem in found.problems if problem.severity != "note"] == []
    assert found.lines[0].stitches == model.after


@settings(max_examples=150, deadline=None)
@given(models(), st.integers(0, 3), st.sampled_from((-1, 1)))
def test_a_planted_error_is_found_in_its_size(model: Model, which: int, by: int) -> None:
    size = which % len(model.on)
    printed = tuple(each + by * (place == size) for place, each in enumerate(model.after))
    found = [problem for problem in counted(model, printed).problems if problem.severity != "note"]
    assert [problem.kind for problem in found] == ["disagrees"]
    assert found[0].size == (size + 1 if len(model.on) > 1 else None)


@settings(max_examples=100, deadline=None)
@given(models())
def test_what_was_worked_printed_again_reads_the_same(model: Model) -> None:
    first = counted(model, model.after)
    if len(model.on) > 1:
        return
    printed = ", ".join(
        f"k{each}" if name == "k" else f"[{name}] {each} times" for name, (each,) in first.lines[0].techniques
    )
    again = count_lines([printed], model.on)
    assert again.lines[0].techniques == first.lines[0].techniques
    assert again.lines[0].stitches == first.lines[0].stitches
