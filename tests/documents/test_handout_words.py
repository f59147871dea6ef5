"""What a viewer stopped at: words that are not in every head, inches of what stretches, yarn between stripes."""

from __future__ import annotations

from pathlib import Path

from lessonplan.documents.handout import handout_view
from lessonplan.planning.worked import Plan
from tests.documents.test_handout import MATERIALS, PATTERN, stage_of, view


def test_what_is_spelled_out_is_explained_too(sample: Plan) -> None:
    found = {one.short: one.how for one in handout_view(sample).abbreviations}
    # Who can knit and purl has never made a cord, and the loop that has one is not filmed.
    assert found["cord"].startswith("knit the stitches, slide them to the other tip")
    assert {"hold", "pick up and knit", "join in the round"} <= set(found)
    (draw,) = (one.lead for one in stage_of(handout_view(sample), "top").works if one.one_way)
    assert draw.endswith("draw it through the 8\u00a0sts and pull it tight.")
    assert handout_view(sample).again == "Then make the second one in the same way."


def test_what_stretches_to_fit_is_less_by_what_a_reader_subtracts(tmp_path: Path) -> None:
    text = MATERIALS.replace("  ease: 2 cm\n", "  edge circumference: 56.8 (103.9) cm\n")
    # 50 and 100 cm round 56.8 and 103.9: printed as 19¾ and 39¼ in round 22¼ and 41 in.
    ease = view(tmp_path, text).measurements.ease.replace("\u00a0", " ")
    assert "circumference -6.8 (-3.9) cm, -2½ (-1¾) in, for one of 56.8 (103.9) cm, 22¼ (41) in" in ease


def test_carried_yarn_and_lines_of_a_stripe_are_printed(tmp_path: Path) -> None:
    text = PATTERN.replace(
        "rounds: 2 cm\n", "rounds: 6\n        stripes: 2 MC, 2 CC\n        in_stripe: {2 CC: Purl}\n"
    ).replace('          - "Knit"\n', '          - "Knit"\n        carry: CC\n', 1)
    made = view(tmp_path, text)
    rib = stage_of(made, "edge").works[1]
    assert [(line.label, line.text) for line in rib.lines] == [
        ("Rnds\u00a01 and\u00a02 (MC)", "*K2, p2; rep from * to end"),
        ("Rnd\u00a03 (CC)", "*K2, p2; rep from * to end"),
        ("Rnd\u00a04 (CC)", "Purl"),
    ]
    assert rib.end == "Go on in this way to the end of rnd\u00a06."
    assert stage_of(made, "body").works[0].yarn == "Carry CC along; do not cut it."
    # Each yarn leaves two ends, so neither is cut between its stripes; but after a single stripe it may well be, and
    # where the teacher says herself how it is done she is not spoken over.
    assert rib.yarn.endswith("Do not cut between the stripes; carry the resting yarn along.")
    for one in (
        text.replace("rounds: 6\n", "rounds: 4\n"),
        text.replace("rounds: 6\n", "rounds: 6\n        note: Cut.\n"),
    ):
        assert "cut" not in stage_of(view(tmp_path, one), "edge").works[1].yarn
