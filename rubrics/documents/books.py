"""A rubric's workbook as a whole: read back to its document, with the cell of every key."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from rubrics.documents.read_book import read_sheets
from rubrics.documents.sheet_grids import Grid, read_grids
from rubrics.documents.sheet_shape import SINGLE, sheets
from rubrics.faults import Fault, Key, RubricError, Where

READ_ME = "Read me first"


def read_book(name: str, data: bytes) -> tuple[dict[str, Any], Callable[[Key], Where]]:
    """Return the document in the workbook *data*, and what tells the cell of a key.

    Raises:
        RubricError: No document can be made of it; every reason with its cell.
    """
    grids = _known(name, read_grids(name, data))
    read = read_sheets(grids)
    if read.faults:
        raise RubricError(
            tuple(
                Fault(file=name, line=0, place=str(place), problem=problem, mend=mend)
                for place, problem, mend in sorted(read.faults)
            )
        )

    def where(key: Key) -> Where:
        wanted = tuple(key)
        while wanted and wanted not in read.places:
            wanted = wanted[:-1]
        if not wanted:
            return Where((0,))
        place = read.places[wanted]
        return Where((place.number, place.row, place.column), place=str(place))

    return read.document, where


def _known(name: str, grids: dict[str, Grid]) -> dict[str, Grid]:
    wanted = {sheet.name.casefold(): sheet.name for sheet in sheets()}
    found: dict[str, Grid] = {}
    faults = []
    for title, grid in grids.items():
        known = wanted.get(title.strip().casefold())
        if known is not None:
            found[known] = grid
        elif title.strip().casefold() != READ_ME.casefold():
            problem = f"the sheet {title!r} is none of a rubric"
            mend = f"call it one of {', '.join(wanted.values())}, or delete it"
            faults.append(Fault(file=name, line=0, problem=problem, mend=mend))
    if SINGLE not in found:
        # One fault says more than one a sheet, where the workbook is something else.
        mend = "start from a workbook that writeups rubric-check --as-workbook has made"
        faults = [Fault(file=name, line=0, problem=f"a workbook without the sheet {SINGLE}", mend=mend)]
    if faults:
        raise RubricError(tuple(faults))
    return found
