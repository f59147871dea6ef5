"""``dataclass`` as the standard library means it, loaded in less time: a new process makes some three hundred of them.

That one compiles up to six functions for each class on Python before 3.13; this one compiles ``__init__`` alone, since
the others say the same of every class. It knows what this house asks for: no ``order``, ``InitVar`` or ``hash=``.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from operator import attrgetter
from typing import TYPE_CHECKING, Any

__all__ = ["dataclass"]


def _made(kind: type, frozen: bool, slots: bool, kw_only: bool, eq: bool, repr: bool) -> type:
    own = {*vars(kind)}
    made: type = dataclasses.dataclass(init=False, eq=False, repr=False, slots=slots, kw_only=kw_only)(kind)
    shared: dict[str, object] = {"__init__": _filling(made, kw_only)}
    if repr:
        shared["__repr__"] = _shown
    if eq:
        compared = [each.name for each in dataclasses.fields(made) if each.compare]
        shared |= _comparing(attrgetter(*compared) if compared else lambda _: ())
    if not frozen:
        shared |= {"__hash__": None} if eq else {}
    else:
        shared |= {"__setattr__": _refuse, "__delattr__": _refuse, "__getstate__": _kept, "__setstate__": _fill}
    for name in shared.keys() - own:
        setattr(made, name, shared[name])
    return made


def _filling(made: type, kw_only: bool) -> Callable[..., None]:
    """``__init__``: each field put where it belongs, frozen or not, a new default made where a factory makes it."""
    known: dict[str, Any] = {"_put": object.__setattr__, "_none": dataclasses.MISSING}
    taken, lines = ["self", *["*"] * kw_only], []
    for each in dataclasses.fields(made):
        name = value = each.name
        if each.default_factory is not dataclasses.MISSING:
            known[f"_new_{name}"] = each.default_factory
            value = f"_new_{name}() if {name} is _none else {name}" if each.init else f"_new_{name}()"
            default = "=_none"
        elif each.default is not dataclasses.MISSING:
            known[f"_default_{name}"] = each.default
            default = f"=_default_{name}"
        elif each.init:
            default = ""
        else:
            continue
        taken += [f"{name}{default}"] * each.init
        lines.append(f" _put(self, {name!r}, {value})")
    if hasattr(made, "__post_init__"):
        lines.append(" self.__post_init__()")
    exec("\n".join([f"def __init__({', '.join(taken)}):", *(lines or [" pass"])]), known)
    made_init: Callable[..., None] = known["__init__"]
    made_init.__qualname__ = f"{made.__qualname__}.__init__"
    return made_init


def _comparing(values: Callable[[Any], object]) -> dict[str, object]:
    def same(self: object, other: object) -> bool:
        return values(self) == values(other) if other.__class__ is self.__class__ else NotImplemented

    return {"__eq__": same, "__hash__": lambda self: hash(values(self))}


def _shown(self: Any) -> str:
    told = (f"{each.name}={getattr(self, each.name)!r}" for each in dataclasses.fields(self) if each.repr)
    return f"{type(self).__qualname__}({', '.join(told)})"


def _refuse(self: object, name: str, *_: object) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot change {type(self).__qualname__}.{name}")


def _kept(self: Any) -> dict[str, object]:
    return {each.name: getattr(self, each.name) for each in dataclasses.fields(self)}


def _fill(self: object, state: dict[str, object]) -> None:
    for name, value in state.items():
        object.__setattr__(self, name, value)


if TYPE_CHECKING:
    from dataclasses import dataclass
else:

    def dataclass(*, frozen=False, slots=False, kw_only=False, eq=True, repr=True):
        """Make a class one whose fields are told of, as `dataclasses.dataclass` does."""
        return lambda kind: _made(kind, frozen, slots, kw_only, eq, repr)
