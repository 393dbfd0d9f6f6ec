"""Which sheets and columns a rubric has as a workbook, derived from the schema and from nothing else.

Single keys stand on one sheet, a row each. Tables with names (readings, answers) have a row each, those that begin
with the same key on one sheet. Lists of tables (criteria) have a sheet each, and so have the tables that belong
to one of these (choices, ideas). What fits none of this stands in its cell as TOML.
"""

from __future__ import annotations

import types
from collections.abc import Mapping
from enum import StrEnum
from functools import cache
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from msgspec import Struct
from pydantic import BaseModel

from rubrics.documents.schema import RubricTable

Path = tuple[str, ...]

SINGLE = "practical"
"""The sheet of the keys that stand once."""


class Kind(StrEnum):
    """What a key holds, as far as a cell is concerned."""

    TEXT = "text"
    NUMBER = "number"
    TRUTH = "yes or no"
    TEXTS = "texts"
    NUMBERS = "numbers"
    EITHER = "a text, or several"
    PAIRS = "names with texts"
    COUNTS = "names with numbers"
    TABLE = "table"
    TABLES = "list of tables"
    NAMED = "tables with names"
    OTHER = "TOML"


class Rows(StrEnum):
    """What a row of a sheet is."""

    KEY = "a key of the practical"
    NAMED = "a table with a name"
    LISTED = "a table of a list"
    NESTED = "a table of a list that belongs to another table"


class Column(Struct, frozen=True):
    """One key of a sheet; dotted where it lies in a table of its own."""

    path: Path
    kind: Kind
    offered: tuple[str, ...] = ()
    """All that the key may hold, where that is a list of words."""

    @property
    def heading(self) -> str:
        """Return the key as it stands on the sheet."""
        return ".".join(self.path)


class Sheet(Struct, frozen=True):
    """A sheet of the workbook."""

    name: str
    rows: Rows
    models: Mapping[str, type[BaseModel]]
    """Part of the rubric (or, for nested tables, the key of the list) to the table that a row is."""
    holders: Mapping[str, tuple[str, ...]]
    """For nested tables: key of the list to the parts whose tables hold such a list."""
    fixed: tuple[str, ...]
    """Headings, in front of the keys, that say where a row belongs."""
    columns: tuple[Column, ...]


def bare(annotation: Any) -> Any:  # noqa: ANN401
    """Return *annotation* without metadata and without None."""
    while get_origin(annotation) is Annotated:
        annotation = get_args(annotation)[0]
    if get_origin(annotation) in (Union, types.UnionType):
        rest = [one for one in get_args(annotation) if one is not type(None)]
        return bare(rest[0]) if len(rest) == 1 else Union[tuple(rest)]  # noqa: UP007
    return annotation


def kind_of(annotation: Any) -> Kind:  # noqa: ANN401
    """Return what a key of this type holds."""
    wanted = bare(annotation)
    origin, inside = get_origin(wanted), get_args(wanted)
    if origin is Literal:
        return Kind.TEXT if isinstance(inside[0], str) else Kind.NUMBER
    if origin is Union:
        return Kind.EITHER if {kind_of(one) for one in inside} == {Kind.TEXT, Kind.TEXTS} else Kind.OTHER
    if origin is list:
        of = kind_of(inside[0])
        return {Kind.TEXT: Kind.TEXTS, Kind.NUMBER: Kind.NUMBERS, Kind.TABLE: Kind.TABLES}.get(of, Kind.OTHER)
    if origin is dict:
        of = kind_of(inside[1])
        found = {Kind.TABLE: Kind.NAMED, Kind.NUMBER: Kind.COUNTS, Kind.TEXT: Kind.PAIRS, Kind.EITHER: Kind.PAIRS}
        return found.get(of, Kind.OTHER)
    if isinstance(wanted, type) and issubclass(wanted, BaseModel):
        return Kind.TABLE
    return {str: Kind.TEXT, bool: Kind.TRUTH, int: Kind.NUMBER, float: Kind.NUMBER}.get(wanted, Kind.OTHER)


def model_of(annotation: Any) -> type[BaseModel]:  # noqa: ANN401
    """Return the table inside an *annotation* of the kinds TABLE, TABLES and NAMED."""
    wanted = bare(annotation)
    if get_origin(wanted) in (list, dict):
        return model_of(get_args(wanted)[-1])
    assert isinstance(wanted, type)
    assert issubclass(wanted, BaseModel)
    return wanted


def column_at(model: type[BaseModel], path: Path) -> Column | None:
    """Return the column of the key at *path* below *model*, or None where the schema has no such key."""
    field = model.model_fields.get(path[0])
    if field is None:
        return None
    kind = kind_of(field.annotation)
    if len(path) == 1:
        is_cell = kind not in (Kind.TABLE, Kind.TABLES, Kind.NAMED)
        return Column(path, kind, _offered(field.annotation)) if is_cell else Column(path, Kind.OTHER)
    if kind is not Kind.TABLE:
        return None
    inner = column_at(model_of(field.annotation), path[1:])
    return None if inner is None else Column(path, inner.kind, inner.offered)


def _offered(annotation: Any) -> tuple[str, ...]:  # noqa: ANN401
    wanted = bare(annotation)
    if get_origin(wanted) is list:
        return _offered(get_args(wanted)[0])
    if wanted is bool:
        return ("yes", "no")
    return tuple(str(one) for one in get_args(wanted)) if get_origin(wanted) is Literal else ()


def parts_of(kind: Kind) -> dict[str, type[BaseModel]]:
    """Return the parts of a rubric that are of this kind, each with its table."""
    fields = RubricTable.model_fields
    return {name: model_of(one.annotation) for name, one in fields.items() if kind_of(one.annotation) is kind}


@cache
def single_parts() -> tuple[str, ...]:
    """Return the parts of a rubric that are one table each."""
    return tuple(parts_of(Kind.TABLE))


@cache
def has_rows(model: type[BaseModel], key: str) -> bool:
    """Tell whether the tables in *key* of a table *model* have rows of their own, on another sheet."""
    kind = kind_of(model.model_fields[key].annotation)
    if model is RubricTable:
        return kind in (Kind.TABLES, Kind.NAMED)
    return kind is Kind.TABLES and model in (*parts_of(Kind.NAMED).values(), *parts_of(Kind.TABLE).values())


def _columns(model: type[BaseModel], prefix: Path = ()) -> list[Column]:
    columns: list[Column] = []
    for name, field in model.model_fields.items():
        if kind_of(field.annotation) is Kind.TABLE:
            columns += _columns(model_of(field.annotation), (*prefix, name))
        elif not has_rows(model, name):
            column = column_at(model, (name,))
            assert column is not None
            columns.append(Column((*prefix, name), column.kind, column.offered))
    return columns


@cache
def sheets() -> tuple[Sheet, ...]:
    """Return the sheets of a rubric in their order."""
    named, listed = parts_of(Kind.NAMED), parts_of(Kind.TABLES)
    made = [Sheet(SINGLE, Rows.KEY, {"": RubricTable}, {}, ("key",), tuple(_columns(RubricTable)))]
    for first in dict.fromkeys(map(_first_key, named.values())):
        parts = {name: model for name, model in named.items() if _first_key(model) == first}
        title = "items" if len(parts) > 1 else next(iter(parts))
        fixed = ("part", "name") if len(parts) > 1 else ("name",)
        made.append(Sheet(title, Rows.NAMED, parts, {}, fixed, _joined(parts)))
    made += _nested({**named, **parts_of(Kind.TABLE)})
    made += [Sheet(name, Rows.LISTED, {name: model}, {}, (), _joined({name: model})) for name, model in listed.items()]
    return tuple(made)


def _first_key(model: type[BaseModel]) -> str:
    return next(iter(model.model_fields))


def _joined(models: Mapping[str, type[BaseModel]]) -> tuple[Column, ...]:
    columns: dict[Path, Column] = {}
    for model in models.values():
        for column in _columns(model):
            columns.setdefault(column.path, column)
    return tuple(columns.values())


def _nested(models: Mapping[str, type[BaseModel]]) -> list[Sheet]:
    # One sheet for each class of table, named after the first key that holds such a list.
    found: dict[type[BaseModel], dict[str, list[str]]] = {}
    for part, model in models.items():
        for key, field in model.model_fields.items():
            if kind_of(field.annotation) is Kind.TABLES:
                found.setdefault(model_of(field.annotation), {}).setdefault(key, []).append(part)
    return [
        Sheet(
            next(iter(lists)),
            Rows.NESTED,
            dict.fromkeys(lists, model),
            {key: tuple(parts) for key, parts in lists.items()},
            ("of", "list") if len(lists) > 1 else ("of",),
            _joined({"": model}),
        )
        for model, lists in found.items()
    ]
