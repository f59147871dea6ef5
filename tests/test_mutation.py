"""The faults that the mutation run plants, in lines short enough to work out by hand, and the choice of tests."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.mutation.faults import faults
from tests.mutation.watch import Seen


def planted(line: str) -> set[str]:
    """All faults of one line."""
    return {fault.source for fault in faults(line)}


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("a < b", {"(a <= b)"}),
        ("a is b", {"(a is not b)"}),
        ("a + b * c", {"(a - b * c)", "a + (b / c)"}),
        ("f'{a}' + b", set()),
        ("x = 3", {"x = 4", "x = (2)"}),
        ("x = True", {"x = False"}),
        ("x -= y", {"x += y"}),
        ("not a", {"a"}),
        ("a and b", {"(a or b)", "a", "b"}),
        ("a if b else c", {"(c if b else a)"}),
        ("if a: pass", {"if (not a): pass"}),
        ("[a for a in b if c]", {"[a for a in b if True]"}),
        ("x = max(a)", {"x = min(a)"}),
        ("x = max(a, b)", {"x = min(a, b)"}),
        ("x = math.ceil(a)", {"x = math.floor(a)"}),
        ("x = f(a, b)", {"x = (f(b, a))"}),
        ("x = f(one=a, two=b)", {"x = (f(one=b, two=a))"}),
        ("f(a)", {"pass"}),
        ("def f(a: int = b) -> None: return a", {"def f(a: int = b) -> None: return None"}),
        ("@f(True)\nclass A: pass", set()),
        ("assert a < b", set()),
        ("# ä\nx = 'ä', y or z", {"# ä\nx = 'ä', (y and z)", "# ä\nx = 'ä', y", "# ä\nx = 'ä', z"}),
    ],
)
def test_each_kind_of_fault(line: str, expected: set[str]) -> None:
    assert planted(line) == expected


def test_the_lines_of_a_fault_are_those_of_the_expression_and_of_its_statement() -> None:
    (fault,) = faults("a = b\nc = [\n    d\n    < e,\n]\n")
    assert fault.lines == (3, 4, 2)
    assert fault.source == "a = b\nc = [\n    (d <= e),\n]\n"


def test_tests_are_chosen_by_the_lines_they_run_the_quickest_first() -> None:
    def test(seconds: float, shared: tuple[str, ...] = (), spawns: bool = False) -> dict[str, object]:
        return {"seconds": seconds, "shared": list(shared), "spawns": spawns, "passed": True}

    seen = Seen(
        {"slow": test(3), "quick": test(1), "shared": test(2, ("fixture",)), "program": test(1, spawns=True)},
        {"a.py": {1: {""}, 2: {"slow", "quick"}, 3: {"fixture"}}},
        [],
    )
    assert seen.choose("a.py", [2]) == ["quick", "slow"]
    both = ["quick", "slow"]  # one second and three
    assert [seen.within(both, seconds) for seconds in (0.5, 3.5, 4)] == [["quick"], ["quick"], both]
    assert seen.choose("a.py", [3]) == ["shared"]
    assert seen.choose("a.py", [1]) == ["quick", "shared", "slow"], "run at import: all tests of the file"
    assert seen.choose("a.py", [4]) == ["program"], "run by no test: perhaps by a program that one starts"


def test_what_failed_without_a_fault_is_not_used(tmp_path: Path) -> None:
    text = '{"tests": {"good": {"passed": true}, "bad": {"passed": false}}, "lines": {"a.py": {"1": ["good"]}}}'
    (tmp_path / "one.json").write_text(text)
    (tmp_path / "two.json").write_text('{"tests": {}, "lines": {"a.py": {"1": [""]}}}')
    seen = Seen.read([tmp_path / "one.json", tmp_path / "two.json"])
    assert list(seen.tests) == ["good"]
    assert seen.failed == ["bad: failed without a fault, not used"]
    assert seen.lines["a.py"][1] == {"good", ""}
