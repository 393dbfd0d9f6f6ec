"""Which value of a rubric's document stands on which sheet, in which row."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from msgspec import Struct
from pydantic import BaseModel

from rubrics.documents.sheet_shape import (
    Column,
    Kind,
    Path,
    Rows,
    Sheet,
    column_at,
    has_rows,
    kind_of,
    model_of,
    sheets,
    single_parts,
)
from rubrics.documents.typed_cells import Cell, written

Table = Mapping[str, Any]
Row = Mapping[str, Cell]
"""Heading to what stands in the cell; a heading that is not there has an empty cell."""

VALUE = "value"
"""Heading of the second column where a row is one key."""


class Filled(Struct, frozen=True):
    """A sheet with its rows."""

    sheet: Sheet
    headings: tuple[str, ...]
    rows: tuple[Row, ...]


def laid_out(document: Table) -> tuple[Filled, ...]:
    """Return the sheets that hold *document*, which the schema has found in order."""
    return tuple(_filled(sheet, document) for sheet in sheets())


def _filled(sheet: Sheet, document: Table) -> Filled:
    if sheet.rows is Rows.KEY:
        return Filled(sheet, (*sheet.fixed, VALUE), tuple(_key_rows(sheet, document)))
    rows = tuple({**place, **_cells(table, model)} for place, table, model in _tables(sheet, document))
    known = [*sheet.fixed, *(column.heading for column in sheet.columns)]
    # An empty list of tables has no row on a sheet of its own, and stands with what it belongs to.
    more = [heading for row in rows for heading in row if heading not in known]
    return Filled(sheet, (*known, *dict.fromkeys(more)), rows)


def _key_rows(sheet: Sheet, document: Table) -> Iterator[Row]:
    model = sheet.models[""]
    given = dict(_leaves(document, model))
    extra = [path for path in given if all(column.path != path for column in sheet.columns)]
    for path in [*(column.path for column in sheet.columns), *extra]:
        column = column_at(model, path)
        assert column is not None
        value = given.get(path)
        if column.kind is Kind.TEXTS and value:
            # Long texts, such as cautions: a row each.
            for one in value:
                yield {sheet.fixed[0]: column.heading, VALUE: written([one], column.kind)}
        else:
            yield {sheet.fixed[0]: column.heading, VALUE: None if value is None else written(value, column.kind)}


def _tables(sheet: Sheet, document: Table) -> Iterator[tuple[Row, Table, type[BaseModel]]]:
    for part, model in sheet.models.items():
        if sheet.rows is Rows.LISTED:
            yield from (({}, table, model) for table in document.get(part, ()))
        elif sheet.rows is Rows.NAMED:
            for name, table in document.get(part, {}).items():
                yield dict(zip(sheet.fixed[::-1], (written(name, Kind.TEXT), part), strict=False)), table, model
    if sheet.rows is Rows.NESTED:
        yield from _nested(sheet, document)


def _nested(sheet: Sheet, document: Table) -> Iterator[tuple[Row, Table, type[BaseModel]]]:
    parts = dict.fromkeys(part for holders in sheet.holders.values() for part in holders)
    for part in parts:
        for name, holder in holders_of(part, document[part]).items() if part in document else ():
            for key, model in sheet.models.items():
                if part in sheet.holders[key]:
                    place = dict(zip(sheet.fixed, (written(name, Kind.TEXT), key), strict=False))
                    yield from ((place, table, model) for table in holder.get(key, ()))


def holders_of(part: str, inside: Table) -> Mapping[str, Any]:
    """Return the tables of *part* by name: a table that stands once goes by the name of its part."""
    return {part: inside} if part in single_parts() else inside


def _cells(table: Table, model: type[BaseModel]) -> Row:
    cells: dict[str, Cell] = {}
    for path, value in _leaves(table, model):
        column = column_at(model, path) or Column(path, Kind.OTHER)
        cells[column.heading] = written(value, column.kind)
    return cells


def _leaves(table: Table, model: type[BaseModel], prefix: Path = ()) -> Iterator[tuple[Path, Any]]:
    """Yield what stands in cells of the row of *table*; tables with rows of their own are left out."""
    for name, value in table.items():
        kind = kind_of(model.model_fields[name].annotation)
        if value and kind is Kind.TABLE:
            yield from _leaves(value, model_of(model.model_fields[name].annotation), (*prefix, name))
        elif not value or not has_rows(model, name):
            yield (*prefix, name), value
