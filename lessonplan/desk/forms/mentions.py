"""Where a course names a stage, a yarn or a tool of its own, and its files once that has another name."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

import yaml

from lessonplan.course.byplace import EditError
from lessonplan.desk.forms.sources import Folder, source_of
from lessonplan.desk.forms.values import Path

_KEYS: Mapping[str, frozenset[str]] = {
    "stages": frozenset({"after", "needs", "leaves", "shows", "state", "stop", "stage", "knitted", "progress"}),
    "yarns": frozenset({"yarn", "carry", "stripes", "colours", "tools"}),
    "tools": frozenset({"tools"}),
}
"""The keys whose texts name an entry of a list; stages and yarns are named by facts in any text besides."""
_FACTS = {"stages": r"(?<![\w.-]){}(?=\.)", "yarns": r"(?<=\byarn\.){}(?![\w-])"}
_BRACES = re.compile(r"\{\{.*?\}\}", re.DOTALL)
Spans = tuple[tuple[int, int], ...]


def can_be_named(file: str, path: Path) -> bool:
    """Tell whether the rest of a course may name what stands at a place."""
    home = "course.yaml" if path and path[0] == "tools" else "pattern.yaml"
    return len(path) == 2 and path[0] in _KEYS and file == home


def mentions(files: Mapping[str, str], path: Path) -> Mapping[str, Spans]:
    """Find what names the entry at a place: by file, from which sign to which."""
    kind, name = str(path[0]), str(path[1])
    folder, word = Folder(files), re.compile(rf"(?<![\w-]){re.escape(name)}(?![\w-])")
    fact = re.compile(_FACTS[kind].format(re.escape(name))) if kind in _FACTS else None
    longer = [one for one in _names(folder, kind) if one != name and word.search(one)]
    found: dict[str, Spans] = {}
    for file, text in files.items():
        source = folder.source(file) if name in text else None
        spans: list[tuple[int, int]] = []
        for steps, node in _texts(source.root, ()) if source else ():
            start, end = node.start_mark.index, node.end_mark.index
            if any(one in text[start:end] for one in longer):
                continue  # it names something else
            if _names_one(kind, steps):
                spans += [hit.span() for hit in word.finditer(text, start, end)]
            elif fact:
                for braces in _BRACES.finditer(text, start, end):
                    spans += [hit.span() for hit in fact.finditer(text, *braces.span())]
        if spans:
            found[file] = tuple(spans)
    return found


def _names_one(kind: str, steps: tuple[str, ...]) -> bool:
    """Whether a text, by the keys that it lies under, names an entry; what a tool is called in words is prose."""
    if steps[0] in ("kit", "tools") and len(steps) > 1:  # a kit holds both, a tool only tools
        held = "holds" in steps[-2:] and steps[-1] in ("holds", "what")
        return held and (kind == "tools" or (kind == "yarns" and steps[0] == "kit"))
    return bool(_KEYS[kind] & {*steps[-2:]})


def check_alone(files: Mapping[str, str], path: Path) -> None:
    """Raise `EditError` where a yarn and a tool have one name: what names them does not say which is meant."""
    kind, name = str(path[0]), str(path[1])
    other = {"yarns": "tools", "tools": "yarns"}.get(kind, "")
    if other and name in _names(Folder(files), other):
        what = f"A yarn and a tool are both called “{name}”, and the places that name it do not say which is meant:"
        raise EditError(f"{what} rename this one alone, without those places, and change them yourself.")


def renamed_in(text: str, spans: Spans, name: str) -> str:
    """Put a name in the place of each mention. Raises `EditError` where the file would not be what it was otherwise."""
    if not re.fullmatch(r"[^\W_](?:[\w -]*\w)?", name):
        raise EditError(f"“{name}” has signs that other places cannot name: take letters, digits and blanks.")
    made = text
    for start, end in sorted(spans, reverse=True):
        made = made[:start] + name + made[end:]
    before, after = source_of(text), source_of(made)
    if not before or not after or [*_places(before.root)] != [*_places(after.root)]:
        raise EditError("The mentions cannot be renamed by themselves: change them where the problems tell of them.")
    return made


def _names(folder: Folder, kind: str) -> Iterator[str]:
    data = folder.data("course.yaml" if kind == "tools" else "pattern.yaml")
    held = data.get(kind)
    for key, one in held.items() if isinstance(held, dict) else ():
        yield str(key)
        works = one.get("works") if isinstance(one, dict) else None
        for work in works if isinstance(works, list) else ():
            if isinstance(work, dict) and isinstance(work.get("point"), str):
                yield work["point"]


def _texts(node: yaml.Node | None, steps: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], yaml.Node]]:
    """Give each text of a file with the keys that it lies under."""
    if isinstance(node, yaml.MappingNode):
        for key, one in node.value:
            yield from _texts(one, (*steps, str(key.value)))
    elif isinstance(node, yaml.SequenceNode):
        for one in node.value:
            yield from _texts(one, steps)
    elif node is not None:
        yield steps, node


def _places(root: yaml.Node | None) -> Iterator[tuple[str, ...]]:
    return (steps for steps, _ in _texts(root, ()))
