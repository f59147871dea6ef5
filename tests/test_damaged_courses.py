"""Damaged courses: whatever is mistyped, dropped, doubled or cut, the answer is problems with their places."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

import lessonplan

WORDS = (
    "no", "0", "-1", "finished", "before thumb", "1e9", "cuff round 99", "~", "[a, b]", "{x: 1}", '"', "12:30",
    "999999", "K1, *p2; rep from * to end", "until 3 stitches remain",
    "5 cm", "5 (6, 7) in", "🧶", "all", "2.10.1", "%", "yes",
)  # fmt: skip
CASES = 40


def damage(lines: list[str], chance: random.Random) -> list[str]:
    """Do one to three things to a file that happen at a keyboard."""
    lines = list(lines)
    for _ in range(chance.randint(1, 3)):
        place = chance.randrange(len(lines))
        line = lines[place]
        what = chance.randrange(5)
        if what == 0:
            del lines[place]
        elif what == 1:
            lines.insert(place, line)
        elif what == 2:
            lines[place] = f"{line.split(':')[0]}: {chance.choice(WORDS)}"
        elif what == 3:
            lines[place] = "  " + line
        elif line:
            column = chance.randrange(len(line))
            lines[place] = line[:column] + chance.choice("()[]{}*&,:;#\"'x9 \t") + line[column + 1 :]
    return lines


@pytest.mark.parametrize("seed", range(4))
def test_a_damaged_sample_course_gives_problems_never_a_crash(root: Path, tmp_path: Path, seed: int) -> None:
    chance = random.Random(seed)
    names = [path.relative_to(root / "sample_course") for path in sorted((root / "sample_course").rglob("*.yaml"))]
    texts = {name: (root / "sample_course" / name).read_text(encoding="utf-8") for name in names}
    for number in range(CASES):
        hurt = chance.choice(names)
        course = tmp_path / str(number)
        for name, text in texts.items():
            (course / name).parent.mkdir(parents=True, exist_ok=True)
            changed = "\n".join(damage(text.split("\n"), chance)) if name == hurt else text
            (course / name).write_text(changed, encoding="utf-8")
        result = lessonplan.load(course)
        assert result.worked is not None or result.problems
        for problem in result.problems:
            assert problem.where.file in {*map(str, map(Path.as_posix, names)), "episodes"}
            assert problem.message
