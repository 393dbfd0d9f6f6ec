"""Cells to mend: what could not be read, as it stands in the file, with what stands around it."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from msgspec import Struct

from marking.decided import (
    cell_of,
    entries_of,
)
from marking.desk.shelf import HeldSet
from marking.write_up import State, Weight, WriteUp


class Neighbour(Struct, frozen=True, kw_only=True):
    """A cell beside the one that could not be read."""

    label: str
    text: str


class UnreadCell(Struct, frozen=True, kw_only=True):
    """One cell to mend."""

    student: str
    name: str
    cell: str
    """As decisions name it."""
    label: str
    """Quantity, with its row where it has one."""
    unit: str
    """The unit asked for."""
    raw: str
    note: str
    """Why it could not be read."""
    place: str
    number: int
    """Of the next decision about it."""
    neighbours: tuple[Neighbour, ...]


class CellsPage(Struct, frozen=True, kw_only=True):
    """All cells of a set that could not be read."""

    cells: tuple[UnreadCell, ...]
    buttons: tuple[str, ...]
    """Id of the button of each."""
    remarks: tuple[str, ...]
    """What else there is to ask about the input; mended in the file, not here."""


def cells_page(held: HeldSet, fresh: Callable[[], str]) -> CellsPage:
    """Return the page; *fresh* makes an id for each button."""
    cells = unread_cells(held)
    places = {(cell.student, cell.place) for cell in cells}
    told = [
        remark.message
        for remark in held.marked.remarks
        if remark.weight is Weight.QUERY and (remark.student, str(remark.place)) not in places
    ]
    return CellsPage(cells=cells, buttons=tuple(fresh() for _ in cells), remarks=tuple(dict.fromkeys(told)))


def unread_cells(held: HeldSet) -> tuple[UnreadCell, ...]:
    """Return the cells of a set that could not be read, student by student."""
    return tuple(cell for script in held.found.scripts for cell in _of_student(held, script.write_up))


def _of_student(held: HeldSet, work: WriteUp) -> Iterator[UnreadCell]:
    entries = entries_of(work)
    items = held.rubric.items
    for (name, row), entry in entries.items():
        if entry.state is not State.UNREADABLE or name not in items:
            continue
        item = items[name]
        cell = cell_of(name, row if item.table is not None else None)
        beside = [
            Neighbour(label=_label(held, other, at), text=f"{near.raw} {near.unit_raw}".strip())
            for (other, at), near in entries.items()
            if (other, at) != (name, row)
            and other in items
            and items[other].table == item.table
            and (at == row or (other == name and abs(at - row) == 1))
        ]
        yield UnreadCell(
            student=work.student.code,
            name=work.student.name,
            cell=cell,
            label=_label(held, name, row),
            unit=item.unit.symbol,
            raw=f"{entry.raw} {entry.unit_raw}".strip() if entry.unit_raw not in entry.raw else entry.raw,
            note="; ".join(entry.notes),
            place=str(entry.place),
            number=len(held.about("cell", student=work.student.code, cell=cell)) + 1,
            neighbours=tuple(beside),
        )


def _label(held: HeldSet, name: str, row: int) -> str:
    item = held.rubric.items[name]
    return item.quantity if item.table is None else f"{item.quantity} {row}"
