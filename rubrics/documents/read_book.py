"""From the sheets of a workbook back to the document that a TOML file would hold, every key with its cell."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from msgspec import Struct, field

from rubrics.documents.sheet_grids import Grid, Place, Spot
from rubrics.documents.sheet_layout import VALUE, holders_of
from rubrics.documents.sheet_shape import Column, Kind, Path, Rows, Sheet, column_at, sheets, single_parts
from rubrics.documents.typed_cells import Cell, read_back
from rubrics.faults import Key


class Read(Struct):
    """What the sheets hold."""

    document: dict[str, Any] = field(default_factory=dict)
    places: dict[Key, Place] = field(default_factory=dict)
    """Where each table and key stands."""
    faults: list[tuple[Place, str, str]] = field(default_factory=list)
    """(place, problem, mend) of what no document can be made of."""

    def complain(self, place: Place, problem: str, mend: str) -> None:
        """Note a fault."""
        self.faults.append((place, problem, mend))


def read_sheets(grids: Mapping[str, Grid]) -> Read:
    """Return what *grids*, by name of the sheet, hold; a sheet that is not there holds nothing."""
    read = Read()
    # Tables with names first: what belongs to them is looked up by name.
    for sheet in sheets():
        grid = grids.get(sheet.name)
        if grid is not None:
            _read_sheet(sheet, grid, read)
    return read


def _read_sheet(sheet: Sheet, grid: Grid, read: Read) -> None:
    wanted = [*sheet.fixed, VALUE] if sheet.rows is Rows.KEY else [*sheet.fixed, sheet.columns[0].heading]
    heading_row, headings = grid.headings(wanted)
    if not headings:
        told = f"no row of headings with {' and '.join(wanted)}"
        read.complain(grid.place(1, 1), told, "write the headings back, or start from a new workbook")
        return
    if sheet.rows is not Rows.KEY:
        _check_headings(sheet, headings, read)
    for row in grid.rows_below(heading_row):
        cells = {name: spot for name, column in headings.items() if (spot := grid.spot(row, column))}
        if sheet.rows is Rows.KEY:
            _read_key(sheet, cells, read)
        elif (where := _where(sheet, cells, read)) is not None:
            _read_table(sheet, where, cells, read)


def _check_headings(sheet: Sheet, headings: Mapping[str, Spot], read: Read) -> None:
    for name, spot in headings.items():
        path = tuple(name.split("."))
        if name not in sheet.fixed and not any(column_at(model, path) for model in sheet.models.values()):
            read.complain(spot.place, f"{name} is no key here", "check its spelling, or leave the column out")


def _read_key(sheet: Sheet, cells: Mapping[str, Spot], read: Read) -> None:
    key, value = cells[sheet.fixed[0]], cells[VALUE]
    name = str(key.value or "").strip()
    path = tuple(name.split("."))
    read.places.setdefault(path, value.place)
    if value.value is None:
        return
    column = column_at(sheet.models[""], path) if name else None
    if column is None:
        told = f"{name} is no key of a rubric" if name else "a value without a key"
        read.complain(key.place, told, "check its spelling, or clear the row")
        return
    _set(read, read.document, path, (), value, column)


def _where(sheet: Sheet, cells: Mapping[str, Spot], read: Read) -> tuple[dict[str, Any], Key] | None:
    """Return the table that a row fills, new, and its key; None where that cannot be told."""
    if sheet.rows is Rows.LISTED:
        return _listed(read.document, sheet.name, (sheet.name,))
    fixed = [_said(cells[name]) for name in sheet.fixed]
    missing = [name for name, said in zip(sheet.fixed, fixed, strict=True) if not said]
    if missing:
        read.complain(cells[missing[0]].place, f"{missing[0]} is missing", "write it in, or clear the row")
        return None
    if sheet.rows is Rows.NAMED:
        return _named(sheet, fixed, cells, read)
    return _nested(sheet, fixed, cells, read)


def _named(sheet: Sheet, fixed: list[str], cells: Mapping[str, Spot], read: Read) -> tuple[dict[str, Any], Key] | None:
    part, name = fixed if len(fixed) > 1 else (next(iter(sheet.models)), fixed[0])
    if part not in sheet.models:
        _not_offered(cells[sheet.fixed[0]], part, sheet.models, read)
        return None
    tables = read.document.setdefault(part, {})
    if name in tables:
        read.complain(cells[sheet.fixed[-1]].place, f"{name} stands twice", "give one of them another name")
        return None
    tables[name] = {}
    return tables[name], (part, name)


def _nested(sheet: Sheet, fixed: list[str], cells: Mapping[str, Spot], read: Read) -> tuple[dict[str, Any], Key] | None:
    name, key = fixed if len(fixed) > 1 else (fixed[0], next(iter(sheet.models)))
    if key not in sheet.models:
        _not_offered(cells[sheet.fixed[-1]], key, sheet.models, read)
        return None
    holders = {part: holders_of(part, read.document[part]) for part in sheet.holders[key] if part in read.document}
    for part, tables in holders.items():
        if isinstance(tables.get(name), dict):
            where = (part, key) if part in single_parts() else (part, name, key)
            return _listed(tables[name], key, where)
    known = ", ".join(name for tables in holders.values() for name in tables)
    told = f"{sheet.name} of {name}, which stands nowhere ({known or 'there is none'})"
    read.complain(cells[sheet.fixed[0]].place, told, "mend the name")
    return None


def _listed(holder: dict[str, Any], name: str, key: Key) -> tuple[dict[str, Any], Key] | None:
    tables = holder.setdefault(name, [])
    if not isinstance(tables, list):
        return None  # the schema tells what else stands there
    tables.append({})
    return tables[-1], (*key, len(tables) - 1)


def _read_table(sheet: Sheet, where: tuple[dict[str, Any], Key], cells: Mapping[str, Spot], read: Read) -> None:
    table, key = where
    part = key[0] if sheet.rows is Rows.NAMED else key[-2]
    model = sheet.models[str(part)]
    own_name = sheet.fixed[-1] if sheet.rows is Rows.NAMED else next(iter(cells))
    read.places[key] = cells[own_name].place
    for name, spot in cells.items():
        if name in sheet.fixed:
            continue
        path = tuple(name.split("."))
        read.places[(*key, *path)] = spot.place
        if spot.value is not None:
            # A key of another kind of row is told by the schema, at its cell.
            _set(read, table, path, key, spot, column_at(model, path) or Column(path, Kind.TEXT))


def _set(read: Read, table: dict[str, Any], path: Path, key: Key, spot: Spot, column: Column) -> None:
    for part in path[:-1]:
        inner = table.setdefault(part, {})
        if not isinstance(inner, dict):
            return  # the schema tells what else stands there
        table = inner
    value = read_back(spot.value, column.kind)
    given = table.get(path[-1])
    if isinstance(given, list) and isinstance(value, list):
        # A list over several rows of the first sheet.
        for number in range(len(given), len(given) + len(value)):
            read.places[(*key, *path, number)] = spot.place
        given += value
    elif given is None:
        table[path[-1]] = value
        read.places[(*key, *path)] = spot.place
    else:
        read.complain(spot.place, f"{'.'.join(path)} stands twice", "clear one of the two")


def _said(spot: Spot) -> str:
    value: Cell | bool = spot.value
    return "" if value is None else str(read_back(value, Kind.TEXT))


def _not_offered(spot: Spot, said: str, offered: Mapping[str, object], read: Read) -> None:
    read.complain(spot.place, f"{said!r} stands here", f"use one of {', '.join(offered)}")
