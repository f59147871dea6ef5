"""Whole courses that are right by construction: sizes, stages, lines that work out, states that there are."""

from __future__ import annotations

from collections.abc import Mapping

import yaml
from hypothesis import strategies as st

from tests.fuzz.bases import BESIDE

TITLES = st.sampled_from(("Cowl", "Łódź ring", "Ring & co", "A “quoted” one", "🧶 ring", "كرة", "x" * 80, "Mittens #2"))
SAID = st.sampled_from(
    (
        "We cast on {{ edge.cast_on }} stitches.",
        "*Slowly* now, and [mind](https://example.org) the tail.",
        "",
        "Ærlig talt.",
    )
)


def _sized(draw: st.DrawFn, sizes: int, low: int, high: int, times: int = 1) -> str:
    """A number for each size, going up."""
    first = draw(st.integers(low, high))
    each = [str((first + 2 * n) * times) for n in range(sizes)]
    return each[0] if sizes == 1 else f"{each[0]} ({', '.join(each[1:])})"


@st.composite
def courses(draw: st.DrawFn) -> Mapping[str, bytes]:
    """The files of a course that must plan without an error."""
    sizes = draw(st.integers(1, 3))
    rib = draw(
        st.sampled_from(("*K2, p2; rep from * to end", "*K1, p3; rep from * to end", "Knit", "*K4; rep from * to end"))
    )
    edge = {"title": draw(TITLES), "works": [
        {"cast_on": _sized(draw, sizes, 6, 40, 4), "join": "yes"},
        {"rounds": draw(st.sampled_from(("4", "1", "3 cm", "1 in", "5 cm"))), "lines": rib},
    ]}  # fmt: skip
    body_works: list[Mapping[str, object]] = [
        {"rounds": draw(st.sampled_from(("10", "8 cm", "2"))), "lines": draw(st.sampled_from(("Knit", rib)))}
    ]
    if draw(st.booleans()):
        body_works.append({"rounds": "1", "lines": "*K2, k2tog; rep from * to end"})
    body_works.append({"bind_off": "all"})
    body = {"title": "Body", "after": "edge", "works": body_works}
    pattern = {
        "title": draw(TITLES),
        "gauge": {
            "stitches": draw(st.sampled_from(("20", "18.5", "22½", "32"))),
            "rounds": draw(st.sampled_from(("28", "26,5", "44"))),
        },
        "yarns": {"MC": {"name": draw(TITLES), "metres": "200", "grams": "100"}},
        "stages": {"edge": edge, "body": body},
    }  # fmt: skip
    if sizes > 1:
        pattern["sizes"] = ["Small", "Medium", "Large"][:sizes]
    shots = [_shot(draw) for _ in range(draw(st.integers(1, 4)))]
    episode = {"episode": "1", "title": draw(TITLES), "segments": [{"title": draw(TITLES), "shots": shots}]}
    course: dict[str, object] = {
        "title": draw(TITLES),
        "host": draw(TITLES),
        "shoot": [{"day": draw(st.sampled_from(("2027-03-06", "1990-01-01", "2199-12-31"))), "films": ["1"]}],
    }
    if sizes > 1:
        course["film_size"] = "Medium"
    if draw(st.booleans()):
        course["knitters"] = [
            {"name": draw(TITLES), "pace": draw(st.sampled_from(("5", "30", "80"))), "hours_per_week": "7"}
        ]
    files = {"course.yaml": course, "pattern.yaml": pattern, "episodes/01.yaml": episode}
    texts = {name: yaml.safe_dump(data, allow_unicode=True, sort_keys=False) for name, data in files.items()}
    texts |= {f"beside/{name}": text for name, text in BESIDE.items()}
    codec = draw(st.sampled_from(("utf-8", "utf-8", "utf-8-sig", "utf-16")))
    return {name: text.encode(codec if name.endswith(".yaml") else "utf-8") for name, text in texts.items()}


def _shot(draw: st.DrawFn) -> Mapping[str, object]:
    """A shot with a piece that is shown, worked on, or not there."""
    shot: dict[str, object] = {"view": draw(st.sampled_from(("overhead", "face"))), "say": draw(SAID), "hold": "5 s"}
    which = draw(st.integers(0, 3))
    if which == 1:
        shot["pieces"] = [{"needs": "before edge", "leaves": "edge round 1"}]
        shot["takes"] = draw(st.sampled_from(("1", "3")))
    elif which == 2:
        shot["pieces"] = [{"needs": draw(st.sampled_from(("edge", "edge round 1", "body round 2", "finished")))}]
    elif which == 3:
        shot["points"] = ["why it was washed, 20 s"]
    return shot
