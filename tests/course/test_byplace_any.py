"""Any edit in any text: another reader finds the one change and nothing else, and no other line is touched.

The texts are written by a writer of the tests' own, in every layout that people have: quotes, brackets, text in
lines, remarks, blank lines, deep and shallow lists, line ends of either kind. Every value and every remark holds a
word that stands nowhere else in its text, so that the lines of the new text tell what happened to each.
"""

from __future__ import annotations

import random
import re
from typing import Any

import yaml
from hypothesis import given, settings, strategies as st

from lessonplan.course.byplace import edits
from lessonplan.course.byplace.entries import EditError, in_brackets, node_at

Path = tuple[str | int, ...]


class Writer:
    """Writes random data as a person would: ``data`` is what was written, ``words`` the word of each place."""

    def __init__(self, seed: int) -> None:
        self.dice = random.Random(seed)
        self.words: dict[str, Path] = {}
        self.remarks: dict[str, Path] = {}
        self.count = 0
        self.width = self.dice.choice((2, 2, 3, 4))

    def chance(self, share: float) -> bool:
        return self.dice.random() < share

    def word(self, path: Path) -> str:
        self.count += 1
        self.words[f"w{self.count}w"] = path
        return f"w{self.count}w"

    def remark(self, path: Path) -> str:
        """A remark; ``path`` is the place that it goes with if that is taken out."""
        self.count += 1
        self.remarks[f"r{self.count}r"] = path
        return f"# r{self.count}r{self.dice.choice((' said', ': no', ' - x', ''))}"

    def file(self) -> tuple[str, Any]:
        lines: list[str] = []
        if self.chance(0.5):
            lines += [self.remark(("",)), ""]
        data = self.mapping((), 0, lines, 0)
        if self.chance(0.5):
            lines += [*[""] * self.dice.randint(0, 2), self.remark(("",))]
        end = self.dice.choice(("\n", "\n", "\r\n"))
        return end.join(lines) + self.dice.choice((end, end, "")), data

    def mapping(self, path: Path, column: int, lines: list[str], depth: int) -> dict[str, Any]:
        data: dict[str, Any] = {}
        apart, first = self.chance(0.3), True
        for key in self.dice.sample(
            ["title", "view", "say", "both yarns", "x", "shots", "note"], self.dice.randint(1, 4)
        ):
            if first and lines and self.chance(0.15):
                lines.append(" " * column + self.remark((*path, key)))
            if not first:
                self.between((*path, key), column, lines, apart=apart)
            head = " " * column + (key if self.chance(0.9) else f'"{key}"') + ":"
            data[key] = self.value((*path, key), column, head, lines, depth + 1)
            first = False
        return data

    def between(self, path: Path, column: int, lines: list[str], *, apart: bool) -> None:
        if apart:
            lines.append("")
            if self.chance(0.2):  # a remark apart, which is only the group's
                lines += [" " * column + self.remark(path[:-1] or ("",)), ""]
        if self.chance(0.2):
            lines.append(" " * column + self.remark(path))

    def value(self, path: Path, column: int, head: str, lines: list[str], depth: int) -> Any:
        kind = self.dice.random()
        if depth < 4 and kind < 0.25:
            lines.append(head + self.tail(path))
            return self.mapping(path, column + self.width, lines, depth)
        if depth < 4 and kind < 0.5:
            lines.append(head + self.tail(path))
            tight = head.lstrip(" ")[:1] != "-" and self.chance(0.3)
            return self.items(path, column + (0 if tight else self.width), lines, depth)
        if kind < 0.6:
            return self.in_brackets(path, head, lines)
        return self.text(path, column, head, lines)

    def tail(self, path: Path, share: float = 0.2) -> str:
        return " " * self.dice.randint(1, 4) + self.remark(path) if self.chance(share) else ""

    def items(self, path: Path, column: int, lines: list[str], depth: int) -> list[Any]:
        data: list[Any] = []
        apart = self.chance(0.4)
        for number in range(self.dice.randint(1, 4)):
            here = (*path, number)
            if not number and self.chance(0.15):
                lines.append(" " * column + self.remark(here))
            if number:
                self.between(here, column, lines, apart=apart)
            if depth < 4 and self.chance(0.5):  # keys begin in the line of the hyphen
                inner: list[str] = []
                data.append(self.mapping(here, column + 2, inner, depth + 1))
                lines += [" " * column + "- " + inner[0][column + 2 :], *inner[1:]]
            else:
                data.append(self.value(here, column, " " * column + "-", lines, depth + 1))
            if self.chance(0.1):
                lines.append(" " * (column + 1) + self.remark(here))
        return data

    def in_brackets(self, path: Path, head: str, lines: list[str]) -> Any:
        inside = [self.word((*path, number)) for number in range(self.dice.randint(0, 3))]
        if self.chance(0.5):
            lines.append(f"{head} [{', '.join(inside)}]{self.tail(path)}")
            return inside
        keys = [f"k{number}" for number, _ in enumerate(inside)]
        for number, one in enumerate(inside):
            self.words[one] = (*path, keys[number])
        told = ", ".join(f"{key}: {one}" for key, one in zip(keys, inside, strict=True))
        lines.append(f"{head} {{{told}}}{self.tail(path)}")
        return dict(zip(keys, inside, strict=True))

    def text(self, path: Path, column: int, head: str, lines: list[str]) -> str:
        word, style = self.word(path), self.dice.random()
        if style < 0.4:
            value = word + self.dice.choice((" and more", "", ", 2 (3, 4)", " it's", " no"))
            lines.append(f"{head} {value}{self.tail(path)}")
        elif style < 0.55:
            value = word + self.dice.choice((": no", " # not a remark", " it's"))
            lines.append(f'{head} "{value}"{self.tail(path)}')
        elif style < 0.7:
            value = word + self.dice.choice((": no", " # not a remark", ' "so"'))
            lines.append(f"{head} '{value}'{self.tail(path)}")
        elif style < 0.85:
            body = [word, "", f"  {self.word(path)}", "# no remark", "- a: b"][: self.dice.randint(1, 5)]
            sign = self.dice.choice(("|", "|-"))
            lines.append(f"{head} {sign}{self.tail(path)}")
            inside = column + self.width
            lines += [" " * inside + line if line else "" for line in body]
            while body and not body[-1]:
                body.pop()
            value = "\n".join(body) + ("\n" if sign == "|" else "")
        else:
            more = self.word(path)
            lines.append(f"{head} >{self.tail(path)}")
            lines += [" " * (column + self.width) + one for one in (word, more)]
            value = f"{word} {more}\n"
        return value


def read(text: str) -> Any:
    return yaml.load(text, Loader=yaml.BaseLoader)


def places(data: Any, path: Path = ()) -> list[Path]:
    found = [path] if path else []
    inside = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    return found + [one for key, value in inside for one in places(value, (*path, key))]


def at(data: Any, path: Path) -> Any:
    for step in path:
        data = data[step]
    return data


def words(text: str) -> list[str]:
    return re.findall(r"\b(?:w\d+w|r\d+r)\b", text)


def lines_of(text: str, gone: set[str]) -> list[str]:
    """The lines that hold a word, but none of those."""
    return [line.rstrip("\r") for line in text.split("\n") if words(line) and not gone & set(words(line))]


def below(place: Path, path: Path) -> bool:
    return place[: len(path)] == path


NEW: tuple[Any, ...] = (
    "n1", "no", "12 (13, 14)", "-3", "a: b", "# x", "it's", "one\ntwo\n", "one\n\n  two", " lead\nx\n", "",
    True, ["n1", "n2"], {"view": "n1", "say": "two\nlines\n"}, [{"view": "n1", "shots": ["a"]}, "n2"], [], {},
)  # fmt: skip


def plain(value: Any) -> Any:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict):
        return {key: plain(one) for key, one in value.items()}
    return [plain(one) for one in value] if isinstance(value, list) else value


def same(one: Any, other: Any, ended: bool = False) -> bool:
    """Whether two values are equal, ends of lines behind their texts aside unless the text was ``ended`` by one."""
    if isinstance(one, dict) and isinstance(other, dict):
        return {*one} == {*other} and all(same(one[key], other[key], ended) for key in one)
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(same(a, b, ended) for a, b in zip(one, other, strict=True))
    return bool(one == other or (not ended and one.rstrip("\n") == other.rstrip("\n")))


class Trial:
    """One text with one edit."""

    def __init__(self, seed: int) -> None:
        self.writer = Writer(seed)
        self.text, self.data = self.writer.file()
        if not self.text.endswith("\n"):  # a text in lines at the very end has no end of a line behind it then
            assert same(read(self.text), self.data), self.text
            self.data = read(self.text)
        assert read(self.text) == self.data, self.text  # the writer writes what it says
        self.dice = self.writer.dice
        self.path = self.dice.choice(places(self.data))
        self.new = self.dice.choice(NEW)

    def words_below(self, path: Path) -> set[str]:
        return {word for word, place in self.writer.words.items() if below(place, path)}

    def remarks_below(self, path: Path) -> set[str]:
        return {word for word, place in self.writer.remarks.items() if below(place, path)}

    def reads(self, after: str, wanted: Any) -> None:
        assert same(read(after), wanted, self.text.endswith("\n")), after

    def kept(self, after: str, gone: set[str]) -> None:
        """Every line without one of the words that are concerned is there as it was, in its place among the others."""
        assert lines_of(after, gone) == lines_of(self.text, gone)
        assert "\r" not in after.replace("\r\n", "")
        if "\r\n" in self.text:
            assert after.count("\n") == after.count("\r\n")


MANY = settings(max_examples=60, deadline=None)
SEEDS = st.integers(0, 10**9)


@MANY
@given(SEEDS)
def test_a_value_is_set(seed: int) -> None:
    trial = Trial(seed)
    path, old = trial.path, at(trial.data, trial.path)
    try:
        after = edits.with_value(trial.text, path, trial.new)
    except EditError:
        assert refused(old, trial.new), trial.text
        return
    wanted = read(trial.text)
    at(wanted, path[:-1])[path[-1]] = plain(trial.new)
    trial.reads(after, wanted)
    gone = trial.words_below(path)
    lines = {word for line in trial.text.split("\n") if gone & set(words(line)) for word in words(line)}
    trial.kept(after, lines | gone | trial.remarks_below(path))
    if isinstance(old, str):  # no remark is lost with a single text
        assert set(words(trial.text)) - set(words(after)) <= gone


def refused(old: Any, new: Any) -> bool:
    """Whether a text is to stand where a list or group with others in it stands: too much would be lost."""
    if isinstance(old, dict) and isinstance(new, dict):
        return any(refused(one, new[key]) for key, one in old.items() if key in new)
    if isinstance(old, list) and isinstance(new, list):
        return any(refused(one, other) for one in old for other in new if isinstance(other, dict))
    inside = old.values() if isinstance(old, dict) else old if isinstance(old, list) else ()
    return isinstance(new, (str, bool)) and any(isinstance(one, (list, dict)) for one in inside)


@MANY
@given(SEEDS)
def test_something_is_taken_out(seed: int) -> None:
    trial = Trial(seed)
    after = edits.without(trial.text, trial.path)
    wanted = read(trial.text)
    del at(wanted, trial.path[:-1])[trial.path[-1]]
    trial.reads(after, wanted)
    gone = trial.words_below(trial.path) | trial.remarks_below(trial.path)
    assert set(words(trial.text)) - set(words(after)) <= gone
    assert not trial.words_below(trial.path) & set(words(after))
    # What stood in one line with it, or in the line of its list, may stand in another one now.
    near = {word for line in trial.text.split("\n") if gone & set(words(line)) for word in words(line)}
    near |= trial.remarks_below(trial.path[:-1]) | beside(trial)
    trial.kept(after, gone | near)


def beside(trial: Trial) -> set[str]:
    """The words of the key that comes up into the line of a hyphen when the first key is taken out."""
    group = at(trial.data, trial.path[:-1])
    keys = [*group] if isinstance(group, dict) else [*range(len(group))]
    after = keys[keys.index(trial.path[-1]) + 1 :][:1]
    return {word for key in after for word in trial.words_below((*trial.path[:-1], key))}


@MANY
@given(SEEDS)
def test_something_is_moved(seed: int) -> None:
    trial = Trial(seed)
    group = at(trial.data, trial.path[:-1])
    keys = [*group] if isinstance(group, dict) else [*range(len(group))]
    now, to = keys.index(trial.path[-1]), trial.dice.randrange(len(keys))
    after = edits.moved(trial.text, trial.path, to)
    wanted = read(trial.text)
    held = at(wanted, trial.path[:-1])
    if isinstance(held, list):
        held.insert(to, held.pop(now))
        trial.reads(after, wanted)
    else:
        names = [*held]
        names.insert(to, names.pop(now))
        trial.reads(after, wanted)
        assert [*at(read(after), trial.path[:-1])] == names
    assert sorted(words(after)) == sorted(words(trial.text))
    trial.kept(after, trial.words_below(trial.path[:-1]) | trial.remarks_below(trial.path[:-1]))
    if not in_brackets(node_at(trial.text, trial.path[:-1])):
        assert sorted(bare(after)) == sorted(bare(trial.text))


def bare(text: str) -> list[str]:
    """The lines without blanks and hyphens before them."""
    return [bare for line in text.splitlines() if (bare := line.strip().lstrip("- "))]


@MANY
@given(SEEDS)
def test_something_is_put_in(seed: int) -> None:
    trial = Trial(seed)
    groups = [path for path in [(), *places(trial.data)] if isinstance(at(trial.data, path), (list, dict))]
    path = trial.dice.choice(groups)
    held = at(trial.data, path)
    number = trial.dice.randint(0, len(held))
    wanted = read(trial.text)
    if isinstance(held, list):
        after = edits.with_item(trial.text, path, trial.new, number, spaced=trial.dice.random() < 0.3)
        at(wanted, path).insert(number, plain(trial.new))
        trial.reads(after, wanted)
    else:
        after = edits.with_entry(trial.text, (*path, "fresh one"), number, value=trial.new)
        entries = [*at(wanted, path).items()]
        entries.insert(number, ("fresh one", plain(trial.new)))
        whole = at(wanted, path)
        whole.clear()
        whole |= dict(entries)
        trial.reads(after, wanted)
        assert [*at(read(after), path)] == [key for key, _ in entries]
    assert words(after) == words(trial.text)
    concerned = trial.words_below(path) | trial.remarks_below(path)
    near = {word for line in trial.text.split("\n") if concerned & set(words(line)) for word in words(line)}
    if held in ([], {}) or in_brackets(node_at(trial.text, path)):
        trial.kept(after, near)
    else:  # nothing that stood there was touched, but that a new first key comes into the line of a hyphen
        top = [(*path, key) for key in [*held][:1] if not number]
        first = {word for key in top for word in trial.words_below(key) | trial.remarks_below(key)}
        trial.kept(after, {word for line in trial.text.split("\n") if first & set(words(line)) for word in words(line)})


@MANY
@given(SEEDS)
def test_a_key_is_renamed(seed: int) -> None:
    trial = Trial(seed)
    named = [path for path in places(trial.data) if isinstance(path[-1], str)]
    path = trial.dice.choice(named)
    new = trial.dice.choice(("plain", "two words", "no", "12", "a: b", "#x", "it's"))
    after = edits.renamed(trial.text, path, new)
    wanted = [(new if key == path[-1] else key, one) for key, one in at(read(trial.text), path[:-1]).items()]
    assert [*at(read(after), path[:-1]).items()] == wanted
    assert words(after) == words(trial.text)
    changed = [(a, b) for a, b in zip(trial.text.split("\n"), after.split("\n"), strict=True) if a != b]
    assert len(changed) == 1
