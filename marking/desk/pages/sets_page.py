"""Sets: what was handed in, what waits, and the next thing to do for each."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from marking.desk.pages.cells_page import unread_cells
from marking.desk.pages.waiting import waiting
from marking.desk.shelf import HeldSet, KnownSet, Refusal, Stage


class SetRow(Struct, frozen=True, kw_only=True):
    """One set."""

    sid: str
    class_name: str
    practical: str
    """Title of the practical."""
    handed_in: int
    students: int
    """In the class; as many as handed in while the files are not read."""
    cells: int | None
    """Cells that could not be read; None while the files are not read."""
    waits: int
    """Marks that wait for the teacher."""
    state: str
    """'open', 'signed' or 'closed'."""
    step: str
    """The next thing to do: 'cells', 'decide', 'feedback' or 'close'."""


class SetsPage(Struct, frozen=True, kw_only=True):
    """All sets."""

    rows: tuple[SetRow, ...]
    reading: tuple[Stage, ...]
    """Folders that are being read just now, and how far each is."""
    refused: tuple[Refusal, ...]
    is_first: bool
    """Nothing is here yet."""


def sets_page(
    sets: Sequence[HeldSet],
    reading: tuple[Stage, ...],
    refused: tuple[Refusal, ...],
    coming: Sequence[KnownSet] = (),
) -> SetsPage:
    """Return the page; *coming* are sets that the record knows and whose files are not read yet."""
    here = {held.sid for held in sets}
    later = [_coming_row(one) for one in coming if one.sid not in here]
    rows = tuple(sorted([*(_row(held) for held in sets), *later], key=lambda row: (row.class_name, row.practical)))
    return SetsPage(rows=rows, reading=reading, refused=refused, is_first=not (rows or reading))


def _row(held: HeldSet) -> SetRow:
    cells, waits = len(unread_cells(held)), len(waiting(held))
    return SetRow(
        sid=held.sid,
        class_name=held.name.class_name,
        practical=held.rubric.title,
        handed_in=sum(bool(script.criteria) for script in held.marked.scripts),
        students=len(held.marked.scripts),
        cells=cells,
        waits=waits,
        state=held.state,
        step="feedback" if held.state == "closed" else "cells" if cells else "decide" if waits else "close",
    )


def _coming_row(one: KnownSet) -> SetRow:
    return SetRow(
        sid=one.sid,
        class_name=one.name.class_name,
        practical=one.title,
        handed_in=one.handed_in,
        students=one.handed_in,
        cells=None,
        waits=one.waits,
        state=one.state,
        step="feedback" if one.state == "closed" else "decide" if one.waits else "close",
    )
