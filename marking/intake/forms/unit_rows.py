"""A second heading row that holds nothing but units."""

from __future__ import annotations

from marking.intake.entries import Gathered
from marking.intake.grids import Grid, HeadingRow, is_empty, text_of
from marking.intake.remarks import quote
from marking.write_up import Weight
from rubrics.units import Verdict


def is_unit_row(grid: Grid, headings: HeadingRow, row: int, gathered: Gathered) -> bool:
    """Tell whether a row has no code and nothing but units under the items."""
    code_column = headings.code_column
    if code_column is not None and not is_empty(grid.at(row, code_column)):
        return False
    items = gathered.vocabulary.rubric.items
    typed = [(text_of(grid.at(row, h.column)).strip(), items[h.item]) for h in headings.values]
    units = [(text, item) for text, item in typed if text]
    return bool(units) and all(
        not any(sign.isdigit() for sign in text[:1])
        and gathered.vocabulary.unit_of(text, item).verdict in (Verdict.ACCEPT, Verdict.NOTE)
        for text, item in units
    )


def units_below(grid: Grid, headings: HeadingRow, row: int, gathered: Gathered) -> dict[int, str]:
    """Return column to unit as the row of units says, and tell the teacher that it was taken so."""
    units: dict[int, str] = {}
    vocabulary = gathered.vocabulary
    for heading in headings.values:
        text = text_of(grid.at(row, heading.column)).strip()
        item = vocabulary.rubric.items[heading.item]
        if not text:
            continue
        below, above = vocabulary.unit_of(text, item), vocabulary.unit_of(heading.unit, item)
        if above.unit is not None and below.unit is not None and above.unit.symbol != below.unit.symbol:
            said = f"the unit {quote(text)} below the heading {quote(heading.text)} is another one; it is not used"
            place = grid.place(row, heading.column)
            gathered.notebook.tell(Weight.QUERY, said, "Correct one of the two", place=place, item=item.name)
            continue
        units[heading.column] = text
    said = f"row {row} holds units and is no student ({', '.join(units.values())})"
    gathered.notebook.tell(Weight.NOTE, said, place=grid.place(row, headings.headings[0].column))
    return units
