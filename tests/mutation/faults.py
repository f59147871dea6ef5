"""Small faults that can be planted in a source: each is one expression or statement written otherwise."""

from __future__ import annotations

import ast
import copy
from collections.abc import Iterator
from dataclasses import dataclass

PAIRS: tuple[tuple[type[ast.AST], type[ast.AST]], ...] = (
    *((ast.Lt, ast.LtE), (ast.Gt, ast.GtE), (ast.Eq, ast.NotEq), (ast.In, ast.NotIn), (ast.Is, ast.IsNot)),
    *((ast.Add, ast.Sub), (ast.Mult, ast.Div), (ast.BitOr, ast.BitAnd), (ast.And, ast.Or)),
)
OTHER = {one: two for pair in PAIRS for one, two in (pair, pair[::-1])} | {
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.FloorDiv,
}
CALLED = {"min": "max", "max": "min", "any": "all", "all": "any", "ceil": "floor", "floor": "ceil", "sorted": "list"}
EITHER_WAY = {"min", "max", "minimum", "maximum"}
"""Calls whose arguments may stand in any order: no test could notice them swapped."""
NOT_SEEN = {"annotation", "returns", "decorator_list", "bases"}
"""Fields of a node that no test can hold: types, and what is said about classes."""

Found = tuple[str, ast.expr | ast.stmt, str]


@dataclass(frozen=True, slots=True)
class Fault:
    """A fault: the first and last line it touches (from 1), the line its statement begins on, and the whole source."""

    lines: tuple[int, int, int]
    what: str
    source: str


def faults(source: str) -> Iterator[Fault]:
    """Give every fault of a source that still compiles. Types, texts, decorators and assertions are left alone."""
    for statement, node in _nodes(ast.parse(source), 0):
        for what, place, text in _others(node):
            changed = _replaced(source, place, text)
            if changed != source and _compiles(changed):
                yield Fault((place.lineno, place.end_lineno or place.lineno, statement), what, changed)


def _nodes(node: ast.AST, statement: int) -> Iterator[tuple[int, ast.AST]]:
    # Places inside a formatted text are wrong before Python 3.12.
    if isinstance(node, (ast.JoinedStr, ast.Assert, ast.Import, ast.ImportFrom)):
        return
    statement = node.lineno if isinstance(node, ast.stmt) else statement
    yield statement, node
    for name, value in ast.iter_fields(node):
        if name not in NOT_SEEN:
            for child in value if isinstance(value, list) else [value]:
                if isinstance(child, ast.AST):
                    yield from _nodes(child, statement)


def _others(node: ast.AST) -> Iterator[Found]:
    """Give what a node, or a part of it, could be instead: a word for it, the part, its text."""
    match node:
        case ast.Compare(ops=[op]):
            yield "comparison", node, _with(node, ops=[OTHER[type(op)]()])
        case ast.BinOp(op=op) | ast.AugAssign(op=op) if type(op) in OTHER and not _of_texts(node):
            yield "operator", node, _with(node, op=OTHER[type(op)]())
        case ast.Constant(value=bool(value)):
            yield "yes for no", node, str(not value)
        case ast.Constant(value=int(value) | float(value)):
            yield "constant + 1", node, str(value + 1)
            yield "constant - 1", node, f"({value - 1})"
        case ast.UnaryOp(op=ast.Not() | ast.USub()):
            yield "sign", node, ast.unparse(node.operand)
        case ast.BoolOp(op=op, values=values):
            yield "and for or", node, _with(node, op=OTHER[type(op)]())
            for number in range(len(values)):
                rest = values[:number] + values[number + 1 :]
                yield "condition dropped", node, _with(node, values=rest) if len(rest) > 1 else ast.unparse(rest[0])
        case ast.IfExp():
            yield "branches swapped", node, _with(node, body=node.orelse, orelse=node.body)
        case ast.If(test=test) | ast.While(test=test) if isinstance(test, (ast.Name, ast.Attribute, ast.Call)):
            yield "condition negated", test, f"(not {ast.unparse(test)})"
        case ast.Return(value=value) if value and not isinstance(value, ast.Constant):
            yield "value dropped", node, "return None"
        case ast.Expr(value=ast.Call()):
            yield "call dropped", node, "pass"
        case ast.comprehension(ifs=[test, *_]):
            yield "filter dropped", test, "True"
        case ast.Call(func=ast.Name(id=name) | ast.Attribute(attr=name)):
            if name in CALLED:
                yield "call", node.func, ast.unparse(node.func).removesuffix(name) + CALLED[name]
            if name not in EITHER_WAY:
                yield from _swapped(node)


def _swapped(node: ast.Call) -> Iterator[Found]:
    for one in range(len(node.args) - 1):
        args = list(node.args)
        args[one : one + 2] = args[one + 1], args[one]
        yield _swap_of(node, node.args[one], node.args[one + 1], args=args)
    for one in range(len(node.keywords) - 1):
        first, second = node.keywords[one : one + 2]
        keywords = list(node.keywords)
        keywords[one : one + 2] = ast.keyword(first.arg, second.value), ast.keyword(second.arg, first.value)
        yield _swap_of(node, first.value, second.value, keywords=keywords)


def _swap_of(node: ast.Call, one: ast.expr, two: ast.expr, **changed: object) -> Found:
    return f"swapped: {ast.unparse(one)} <> {ast.unparse(two)}", node, _with(node, **changed)


def _with(node: ast.AST, **changed: object) -> str:
    other = copy.copy(node)
    for name, value in changed.items():
        setattr(other, name, value)
    # Brackets, since the other operator may bind less; a statement has none.
    return ast.unparse(other) if isinstance(node, ast.stmt) else f"({ast.unparse(other)})"


def _of_texts(node: ast.BinOp | ast.AugAssign) -> bool:
    return any(isinstance(part, (ast.JoinedStr, ast.Constant)) and not _is_number(part) for part in ast.walk(node))


def _is_number(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and isinstance(node.value, (int, float))


def _replaced(source: str, node: ast.expr | ast.stmt, text: str) -> str:
    lines = source.encode("utf-8").splitlines(keepends=True)  # columns count bytes
    last = (node.end_lineno or node.lineno) - 1
    before, after = lines[node.lineno - 1][: node.col_offset], lines[last][node.end_col_offset or 0 :]
    changed = [*lines[: node.lineno - 1], before + text.encode("utf-8") + after, *lines[last + 1 :]]
    return b"".join(changed).decode("utf-8")


def _compiles(source: str) -> bool:
    try:
        compile(source, "fault", "exec")
    except (SyntaxError, ValueError):
        return False
    return True
