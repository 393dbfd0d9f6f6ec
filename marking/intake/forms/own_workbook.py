"""Workbooks that we handed out ourselves: they say which practical they are for."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from marking.intake.entries import SINGLE, Gathered, Sheaf, WrittenUnit, read_entry
from marking.intake.forms import own_layout as layout
from marking.intake.forms.wide import WideSheet
from marking.intake.grids import Grid, cell_name, find_headings, fold, is_empty, text_of
from marking.intake.people import RosterIndex
from marking.intake.remarks import quote
from marking.write_up import Weight


class Origin(Struct, frozen=True, kw_only=True):
    """What the first sheet of one of our workbooks says."""

    practical: str
    edition: str
    is_for_one: bool
    """True for a student's own workbook."""
    student: str
    bench: str
    graph: str = ""
    """What a class workbook says of the graph on paper."""


def origin_of(grids: Sequence[Grid]) -> Origin | None:
    """Return what the workbook says of itself; None where it is not one of ours."""
    first = next((grid for grid in grids if grid.sheet == layout.READ_ME), None)
    if first is None:
        return None

    def said(cell: tuple[int, int]) -> str:
        return text_of(first.at(*cell)).strip()

    if any(said(cell) != label for cell, label in layout.LABELS.items()):
        return None
    is_for_one = said(layout.STUDENT_LABEL) == layout.STUDENT_LABELS[layout.STUDENT_LABEL]
    return Origin(
        practical=said(layout.PRACTICAL),
        edition=said(layout.EDITION),
        is_for_one=is_for_one,
        student=said(layout.STUDENT) if is_for_one else "",
        bench=said(layout.BENCH) if is_for_one else "",
        graph=said(layout.GRAPH) if said(layout.GRAPH_LABEL) == layout.GRAPH_WORDS else "",
    )


def read_results_list(grid: Grid, gathered: Gathered, sheaf: Sheaf) -> bool:
    """Read a results sheet with one item a line into a student's sheaf; tell whether it is one."""
    vocabulary = gathered.vocabulary
    for top in list(grid.filled_rows())[: layout.FIRST_ROW + 2]:
        words = {fold(text_of(value)): column for column, value in grid.rows[top].items()}
        if {"item", "value"} <= words.keys():
            break
    else:
        return False
    for row in grid.filled_rows():
        if row <= top:
            continue
        name = text_of(grid.at(row, words["item"])).strip()
        value = grid.at(row, words["value"])
        named = vocabulary.item_called(name)
        if named is None:
            if not is_empty(value):
                said = f"{quote(name)} is no item of {vocabulary.rubric.id}; {quote(text_of(value))} is not used"
                place = grid.place(row, words["item"])
                gathered.notebook.tell(Weight.QUERY, said, "Correct the name", place=place, student=sheaf.code)
            continue
        column = words.get("unit", 0)
        unit = WrittenUnit(field=grid.at(row, column), cell=cell_name(row, column)) if column else WrittenUnit()
        entry = read_entry(value, unit, named.item, grid.place(row, words["value"]), vocabulary)
        gathered.covered.add(named.item.name)
        sheaf.add(named.item.name, SINGLE, entry)
    return True


def read_student_table(grid: Grid, gathered: Gathered, owner: str, index: RosterIndex | None) -> None:
    """Read a readings sheet without a column of students, for it is all one student's."""
    headings = find_headings(grid, gathered.vocabulary, {}, needs_student=False)
    if headings is not None:
        WideSheet(grid=grid, headings=headings, gathered=gathered, index=index, is_ours=True, owner=owner).read()
