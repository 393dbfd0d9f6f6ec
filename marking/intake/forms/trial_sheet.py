"""The form for a technician's trial values, blank as it is handed out, and as a sheet of a class workbook."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from pathlib import Path

from marking.intake.entries import Batch
from marking.intake.forms.wide_forms import read_wide_sheets
from marking.intake.grids import Grid
from rubrics.model import Item, Role, Rubric

TRIAL_ROWS = 3
"""Rows of a table that a technician tries: the lowest, one in the middle, the highest."""
PRACTICAL_COLUMN = "practical"
BENCH_COLUMN = "bench"
ROW_COLUMN = "row"


def read_trial_sheet(grid: Grid, practical: str, batch: Batch) -> None:
    """Read the sheet of trial values of one of our class workbooks into *batch*; an empty one leaves nothing."""
    if len(list(grid.filled_rows())) > 1:
        read_wide_sheets([grid], grid.file, batch, practical=practical)


def trial_items(rubric: Rubric) -> tuple[Item, ...]:
    """Return what a technician tries: the readings, repeats as one, and the choice that tells what was tested."""
    return tuple(
        item
        for item in rubric.items.values()
        if (item.role is Role.READING or item.repeats)
        and item.repeat_of is None
        and (item.choices or not item.is_words)
    )


def trial_heading(item: Item) -> str:
    """Return the heading of an item's column, its unit with it: 'm / kg'."""
    return f"{item.name} / {item.unit.symbol}" if item.unit.symbol else item.name


def trial_lines(rubric: Rubric, benches: Sequence[str]) -> list[list[str]]:
    """Return the blank form, its heading line first: practical, bench, row where there is a table, the items."""
    items = trial_items(rubric)
    rows = TRIAL_ROWS if any(item.table for item in items) else 1
    numbered = (ROW_COLUMN,) if rows > 1 else ()
    lines = [[PRACTICAL_COLUMN, BENCH_COLUMN, *numbered, *map(trial_heading, items)]]
    for bench in benches:
        for row in range(1, rows + 1):
            lines.append([rubric.id, bench, *([str(row)] if numbered else []), *([""] * len(items))])
    return lines


def write_trials_file(path: Path, rubric: Rubric, benches: Sequence[str]) -> None:
    """Write the blank form as CSV, with the mark that tells spreadsheet programs of UTF-8."""
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(trial_lines(rubric, benches))
    path.write_bytes(text.getvalue().encode("utf-8-sig"))
