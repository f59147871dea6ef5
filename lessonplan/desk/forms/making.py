"""The form of any place of a course file, made from the model, from what stands there, and from the problems told."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from lessonplan.course.model.episodes import Segment, Shot
from lessonplan.course.model.pattern import Stage
from lessonplan.course.model.publishing import Erratum
from lessonplan.course.model.works import WORK_KEYS, Work
from lessonplan.course.problems import Problem
from lessonplan.course.values.fields import Item
from lessonplan.craft.words import common_words, craft_named
from lessonplan.desk.forms.mentions import can_be_named, mentions
from lessonplan.desk.forms.pickers import Pickers
from lessonplan.desk.forms.shapes import Shape, held_at, model_of_file, shape_at, shapes_of, work_of
from lessonplan.desk.forms.sources import Folder, Source, Told, told_in
from lessonplan.desk.forms.values import Choice, Entries, Entry, Field, Form, Other, Path
from lessonplan.desk.forms.words import (
    SHOWN,
    SHOWN_ELSEWHERE,
    entry_title,
    help_of,
    label_of,
    one_of,
    value_label,
    work_label,
)
from lessonplan.reference.keys import Doc, default_of, docs_of
from lessonplan.reference.schema import OTHER_NAMES

ONE_LINE = frozenset({"title", "do", "text", "show", "of", "right"})
"""Texts with facts in them that are short."""
_ASKED: Mapping[str, tuple[str, ...]] = {
    "PieceOnTable": ("needs", "leaves"),
    "Hands": ("do", "time"),
    "CueAsked": ("show",),
    "Mention": ("what", "of"),
    "ShootDay": ("day", "films"),
    "Stage": ("title", "after"),
    "Yarn": ("name", "colour", "metres", "grams"),
}
"""What a new entry is asked for where that is not what it needs, by its model."""
_NO_DOC = Doc("")


def form_of(
    files: Mapping[str, str],
    file: str,
    path: Path = (),
    problems: Sequence[Problem] = (),
    facts: Sequence[str] = (),
) -> Form | None:
    """Make the form of a place of a course file, be it there already or not.

    ``files``: the texts of the course by their names; ``problems``: those of its last check; ``facts``: the names that
    texts may use. A list is shown in the form of what it belongs to. None for a file that is only text: it cannot be
    read as keys with values, or it is no file of a course.
    """
    folder = Folder(files)
    source, model = folder.source(file), model_of_file(file)
    if source is None or model is None:
        return None
    maker = _Maker(folder, file, source, told_in(source, file, problems))
    path = _group_above(file, path, source.data)
    return replace(maker.place(path), facts=tuple(facts))


def told_place(files: Mapping[str, str], file: str, path: Path) -> str:
    """Say where a place of a file is by the titles of the forms around it: “Plain hand, 9 rounds: Knit, Yarn”."""
    folder = Folder(files)
    source = folder.source(file)
    if source is None or model_of_file(file) is None:
        return file
    maker = _Maker(folder, file, source, told_in(source, file, ()))
    group = _group_above(file, path, source.data)
    around = [maker.title(above) for _, above in maker.above(group)[1:]]
    return ", ".join([*around, *(maker.title(path[:end]) for end in range(len(group), len(path) + 1))])


def _group_above(file: str, path: Path, data: Any) -> Path:
    """Shorten a path to the place that has a form of its own: the group of keys that it lies in, and is there."""
    for end in range(len(path), 0, -1):
        shape, held = shape_at(file, path[:end], data), held_at(data, path[:end])
        if shape and shape.what == "group" and (isinstance(held, dict) or (held is None and end == len(path))):
            return path[:end]
    return ()


class _Maker:
    """Makes the forms of one file."""

    def __init__(self, folder: Folder, file: str, source: Source, told: Told) -> None:
        self.file, self.source, self.told, self.pickers = file, source, told, Pickers(folder)
        craft = craft_named(str(self.pickers.pattern.get("craft") or "knitting"))
        self.knitted = common_words(craft).maker == common_words("knitting").maker
        counts = bool(common_words(craft).pace)
        self.shown = SHOWN if counts else {**SHOWN, **SHOWN_ELSEWHERE}
        self.works = sorted(WORK_KEYS, key=lambda one: not counts and one not in ("minutes", "units", "point"))

    def place(self, path: Path) -> Form:
        """Make the form of a group of keys, with the way to it."""
        shape = shape_at(self.file, path, self.source.data)
        data = self.data(path)
        model = (shape.model or work_of(data)) if shape else None
        made = self.group(path, model, data, self.title(path))
        return replace(made, above=self.above(path))

    def data(self, path: Path) -> Any:
        """What stands in the file at a path."""
        return held_at(self.source.data, path)

    def above(self, path: Path) -> tuple[tuple[str, Path], ...]:
        """The groups with forms of their own around a place, outermost first."""
        ends = [end for end in range(len(path)) if _group_above(self.file, path[:end], self.source.data) == path[:end]]
        return tuple((self.title(path[:end]), path[:end]) for end in ends)

    def title(self, path: Path) -> str:
        """What the entry or group at a path is called."""
        if not path:
            return file_title(self.file, self.source.data)
        key = next((str(step) for step in reversed(path[:-1]) if isinstance(step, str)), str(path[-1]))
        if isinstance(path[-1], int):
            return self.numbered(path, entry_title(self.data(path), "", key, path[-1] + 1))
        holder = shape_at(self.file, path[:-1], self.source.data)
        if holder and holder.what == "named":
            return entry_title(self.data(path), path[-1], key, 1)
        return label_of(path[-1])

    def numbered(self, path: Path, title: str) -> str:
        """Put the number of a segment or shot before its title, by which messages and papers call it."""
        if path[-2:-1] not in (("segments",), ("shots",)):
            return title
        steps = [str(step + 1) for step in path if isinstance(step, int)]
        return f"{'.'.join([str(self.source.data.get('episode', '')), *steps])} {title}"

    def group(self, path: Path, model: type[Item] | None, data: Any, title: str, *, main: bool = True) -> Form:
        """Make the form of a group of keys of a model; without one (a work that names none) all is text."""
        held = data if isinstance(data, dict) else {}
        names = self.names(model, held) if model else {}
        fields: list[Field] = []
        groups: list[Form] = []
        lists: list[Entries] = []
        known = {names.get(key, key): (key, shape) for key, shape in (shapes_of(model).items() if model else ())}
        others = [replace(self.other((*path, key)), key=key if model else "") for key in held if key not in known]
        for key, (name, shape) in known.items():
            made = self.part((*path, key), name, shape, held.get(key), model)
            if key != name and isinstance(made, (Field, Entries)):
                made = replace(made, label=label_of(key))
            match made:
                case Field():
                    fields.append(made)
                case Form():
                    groups.append(made)
                case Entries():
                    lists.append(made)
                case Other():
                    others.append(made)
        return Form(
            file=self.file,
            path=path,
            title=title,
            help=_help(model) if path else "",
            fields=tuple(fields),
            groups=tuple(groups),
            lists=tuple(lists),
            others=tuple(others),
            problems=self.told.only_at(path),
            line=self.source.line(path),
            main=main,
        )

    def names(self, model: type[Item], held: Mapping[str, Any]) -> Mapping[str, str]:
        """Give the keys of a group that have another name here, in a craft that is not knitting or as it is typed."""
        others = OTHER_NAMES.get(model, {})
        return {new: old for old, new in others.items() if old in held or (new not in held and not self.knitted)}

    def part(self, path: Path, name: str, shape: Shape, raw: Any, model: type[Item] | None) -> object:
        """Make what shows one key of a group; ``name`` is the key's name in the model."""
        doc = docs_of(model).get(name, _NO_DOC) if model else _NO_DOC
        shown = self.main(path, name, raw, model)
        if isinstance(raw, str) and not raw.strip() and shape.what != "value":
            raw = None
        match shape.what:
            case "group" if isinstance(raw, dict) or (raw is None and not shape.short):
                return self.group(path, shape.model, raw, label_of(name, model), main=shown)
            case "list" if isinstance(raw, list) or raw is None:
                return self.entries(path, label_of(name, model), shape, raw or [], doc, main=shown)
            case "named" if isinstance(raw, dict) or raw is None:
                return self.entries(path, label_of(name, model), shape, raw or {}, doc, main=shown)
            case "group" | "list" | "named" if shape.short and (raw is None or isinstance(raw, str)):
                return self.field(path, name, Shape("value", "text"), raw, doc, model, main=shown)
            case "value" if raw is None or isinstance(raw, str) or _plain_list(raw, shape):
                return self.field(path, name, shape, raw, doc, model, main=shown)
        return self.other(path)

    def main(self, path: Path, name: str, raw: Any, model: type[Item] | None) -> bool:
        """Whether something is shown at once: it stands there, has problems, is needed, or is common."""
        if raw is not None or self.told.at(path) or model is None:
            return True
        shown = self.shown.get(model.__name__)
        common = name not in Work.model_fields or name in ("yarn", "note") if shown is None else name in shown
        return common or model.model_fields[name].is_required()

    def field(
        self, path: Path, name: str, shape: Shape, raw: Any, doc: Doc, model: type[Item] | None, *, main: bool = True
    ) -> Field:
        """Make the field of one value."""
        value = typed(raw, shape)
        kind = shape.kind
        if kind == "text" and ("\n" in value or (shape.facts and name not in ONE_LINE)):
            kind = "long text"
        field, label = model.model_fields.get(name) if model else None, label_of(name, model)
        return Field(
            path=path,
            label=label,
            help=help_of(name, model, doc.meaning),
            kind=kind,
            value=value,
            default=default_of(field) if field else "",
            unit="" if doc.unit.lower() in f"{label} {doc.meaning}".lower() else doc.unit,
            example=doc.example.strip("[]'\"") if shape.kind in ("lines", "names") else doc.example,
            choices=_choices(shape, value),
            offered=() if shape.facts else self.pickers.offers(path),
            problems=self.told.at(path),
            line=self.source.line(path),
            needed=bool(field and field.is_required()),
            main=main,
        )

    def entries(self, path: Path, label: str, shape: Shape, raw: Any, doc: Doc, *, main: bool) -> Entries:
        """Make a list, or entries under names of the teacher's own."""
        inside, name = shape.inside or Shape("value"), str(path[-1])
        steps = [*raw] if isinstance(raw, dict) else [*range(len(raw))]
        made = tuple(
            Entry(
                path=(*path, step),
                title=self.numbered(
                    (*path, step), entry_title(raw[step], step if isinstance(step, str) else "", name, number + 1)
                ),
                line=self.source.line((*path, step)),
                problems=counted(self.told.at((*path, step))),
                first=not number,
                last=number == len(steps) - 1,
                name=step if isinstance(step, str) else "",
                mentioned=self.mentioned((*path, step)),
                form=self.inline((*path, step), name, shape, raw[step]),
            )
            for number, step in enumerate(steps)
        )
        works = inside.what == "group" and inside.model is None
        return Entries(
            path=path,
            label=label,
            help=help_of(name, None, doc.meaning),
            one=one_of(name),
            entries=made,
            asks=tuple(self.asks(path, name, inside, doc)),
            named=shape.what == "named",
            names=self.pickers.names(path) if shape.what == "named" else (),
            works=tuple(Choice(key, work_label(key)) for key in self.works) if works else (),
            problems=self.told.only_at(path),
            line=self.source.line(path),
            main=main,
        )

    def mentioned(self, path: Path) -> int:
        """Count where the rest of the course names an entry."""
        if not can_be_named(self.file, path):
            return 0
        return sum(len(spans) for spans in mentions(self.pickers.folder.files, path).values())

    def inline(self, path: Path, name: str, shape: Shape, raw: Any) -> Form | None:
        """Make the form of an entry that is short enough to stand in its list; None for one with a page of its own."""
        inside = shape.inside or Shape("value")
        title = entry_title(raw, "", name, 1)
        if inside.what == "value":
            fits = raw is None or isinstance(raw, str) or _plain_list(raw, inside)
            lone = (
                replace(self.field(path, name, inside, raw, _NO_DOC, None), label=value_label(name)) if fits else None
            )
            return self._alone(path, title, (lone,) if lone else (), () if fits else (self.other(path),))
        if isinstance(raw, str) and inside.model is not None and (shape.short_each or inside.short):
            return self._in_short(path, name, shape.short_each, inside.model, raw, title)
        if inside.model is None or self.file == "agreed.yaml" or not _is_short(inside.model):
            return None if isinstance(raw, dict) else self._alone(path, title, (), (self.other(path),))
        if not isinstance(raw, dict):
            return self._alone(path, title, (), (self.other(path),))
        return self.group(path, inside.model, raw, title)

    def _in_short(self, path: Path, name: str, key: str, model: type[Item], raw: str, title: str) -> Form:
        """The form of an entry that is one text: that text, and the keys that it may have besides."""
        if not key:
            return self._alone(path, title, (self.field(path, one_of(name), Shape("value"), raw, _NO_DOC, None),), ())
        docs, shapes = docs_of(model), shapes_of(model)
        first = self.field(path, key, shapes[key], raw, docs.get(key, _NO_DOC), model)
        rest = (
            self.field((*path, one), one, shape, None, docs.get(one, _NO_DOC), model, main=False)
            for one, shape in shapes.items()
            if one != key and shape.what == "value"
        )
        return self._alone(path, title, (first, *rest), ())

    def _alone(self, path: Path, title: str, fields: tuple[Field, ...], others: tuple[Other, ...]) -> Form:
        line = self.source.line(path)
        return Form(self.file, path, title, fields=fields, others=others, line=line)

    def asks(self, path: Path, name: str, inside: Shape, doc: Doc) -> Iterator[Field]:
        """Give the fields that a new entry of a list is asked for."""
        if inside.what == "value":
            made = self.field((*path, ""), name, inside, None, Doc("", example=_value_of(doc.example)), None)
            yield replace(made, name="value", label=value_label(name))
        elif inside.model is not None:
            fields, docs, shapes = inside.model.model_fields, docs_of(inside.model), shapes_of(inside.model)
            needed = [key for key, shape in shapes.items() if fields[key].is_required() and shape.what == "value"]
            for key in _ASKED.get(inside.model.__name__, tuple(needed) or tuple(shapes)[:1]):
                made = self.field((*path, -1, key), key, shapes[key], None, docs.get(key, _NO_DOC), inside.model)
                yield replace(made, name=f"value.{key}")
            if inside.model is Segment:
                docs, shapes = docs_of(Shot), shapes_of(Shot)
                made = self.field((*path, -1, "shots", -1, "view"), "view", shapes["view"], None, docs["view"], Shot)
                yield replace(made, name="value.shots.0.view", label="View of its first shot")

    def other(self, path: Path) -> Other:
        """Show what a form cannot say as the lines that it has in the file."""
        label = str(path[-1]) if isinstance(path[-1], str) else f"Entry {path[-1] + 1}"
        line = self.source.line(path)
        return Other(path=path, label=label, text=self.source.lines(path), line=line, problems=self.told.at(path))


def file_title(file: str, data: Any) -> str:
    """Say what a file of a course is, in words."""
    if file.startswith("episodes/"):
        held = data if isinstance(data, dict) else {}
        number, title = held.get("episode", ""), held.get("title", "")
        return f"Episode {number}: {title}" if isinstance(title, str) and title else f"Episode {number}".strip()
    return {"course.yaml": "Course", "pattern.yaml": "Pattern", "errata.yaml": "Errata"}.get(file, "Agreed")


def counted(problems: Sequence[Problem]) -> int:
    """Count what should be mended: notes are not."""
    return sum(one.severity != "note" for one in problems)


def typed(raw: Any, shape: Shape) -> str:
    """Give a value as it is typed in a field, lists of texts in the way of their kind."""
    if not isinstance(raw, list):
        return str(raw or "").removesuffix("\n")
    if shape.kind == "sizes":
        return f"{raw[0]} ({', '.join(raw[1:])})" if len(raw) > 1 else "".join(raw)
    return ("\n" if shape.kind == "lines" or any("," in one for one in raw) else ", ").join(raw)


def _plain_list(raw: Any, shape: Shape) -> bool:
    one_line = isinstance(raw, list) and all(isinstance(one, str) and "\n" not in one for one in raw)
    return one_line and (shape.listed or shape.kind == "sizes")


def _choices(shape: Shape, value: str) -> tuple[Choice, ...]:
    known = ("yes", "no") if shape.kind == "yes or no" else shape.choices
    said = value if value not in known else ""
    return tuple(Choice(one, one) for one in (*known, *([said] if said and known else [])))


def _is_short(model: type[Item]) -> bool:
    """Whether the entries of a list have few keys and nothing below them, so that their forms stand in the list."""
    if model in (Shot, Segment, Stage, Erratum):
        return False
    shapes = shapes_of(model).values()
    return len(shapes) <= 8 and all(shape.what == "value" for shape in shapes)


def _value_of(example: str) -> str:
    """The value of an example of names with values, such as ``{k2tog: 1.8}``."""
    return example.partition(": ")[2].partition(";")[0].strip("}]'\"")


def _help(model: type[Item] | None) -> str:
    return help_of(model.__name__, None, (model.__doc__ or "").split("\n")[0].replace("``", "")) if model else ""
