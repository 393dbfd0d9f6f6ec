"""What stands for ``dataclasses.dataclass`` at run time; the arguments and what comes out are the same."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Container
from operator import attrgetter
from typing import TypeVar

Class = TypeVar("Class", bound=type)
Value = Callable[[object], object]


def dataclass(cls: Class | None = None, /, **options: bool) -> Class | Callable[[Class], Class]:
    """Return *cls* as a dataclass; the arguments are those of the standard library."""
    is_frozen, is_compared = options.pop("frozen", False), options.pop("eq", True)
    is_shown, is_ordered = options.pop("repr", True), options.get("order", False)

    def made(one: Class) -> Class:
        own = one.__dict__.keys()
        found: Class = dataclasses.dataclass(eq=is_ordered, repr=False, **options)(one)  # type: ignore[assignment]
        if is_shown and "__repr__" not in own:
            found.__repr__ = _shown  # type: ignore[assignment, method-assign]
        if is_compared:
            _compare(found, own, is_hashed=is_frozen)
        return found

    return made if cls is None else made(cls)


def _shown(record: object) -> str:
    fields = [field.name for field in dataclasses.fields(record) if field.repr]  # type: ignore[arg-type]
    return f"{type(record).__qualname__}({', '.join(f'{name}={getattr(record, name)!r}' for name in fields)})"


def _compare(found: type, own: Container[str], *, is_hashed: bool) -> None:
    """Give a class what compares its records, and where they are frozen what makes keys of them."""
    names = [field.name for field in dataclasses.fields(found) if field.compare]
    value: Value = attrgetter(*names) if names else _nothing

    def equal(self: object, other: object) -> bool:
        return value(self) == value(other) if other.__class__ is self.__class__ else NotImplemented

    def hashed(self: object) -> int:
        return hash(value(self))

    if "__eq__" not in own:
        found.__eq__ = equal  # type: ignore[assignment, method-assign]
    if "__hash__" not in own:
        found.__hash__ = hashed if is_hashed else None  # type: ignore[assignment, method-assign]


def _nothing(_: object) -> tuple[()]:
    return ()
