"""Readings that are not there: a cell of a row, a row between two others, a single reading that the class has."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct

from marking.checking.answers import entries_of
from marking.cohort.lesson.reading_sets import Sheet, numbers_of
from marking.write_up import State
from rubrics.model import CheckKind, Item, Rubric

MOST_OF_CLASS = 0.5
"""A reading that fewer of the other sheets than this share have is not asked for in this lesson."""
MOST_OF_ROWS = 0.5
"""A repeat that a student took in no more than this share of the rows is not asked for in the others."""
FEWEST_SHEETS = 8
"""Fewer sheets than this do not show how many rows a class was told to take."""


class Gap(Struct, frozen=True, kw_only=True):
    """Something that is not there."""

    item: Item | None
    """None for a whole row."""
    row: int | None
    """None for a single reading, and for rows that are missing at the end."""
    rows: int = 0
    """How many rows are missing at the end."""


def gaps_of(sheet: Sheet, sheets: Sequence[Sheet]) -> Iterator[Gap]:
    """Yield what is missing on one sheet of a class."""
    for item in numbers_of(sheet.rubric):
        if item.table is None and not item.repeat_of and not _has(sheet, item) and _is_asked_for(item, sheets):
            yield Gap(item=item, row=None)
    for table in dict.fromkeys(item.table for item in numbers_of(sheet.rubric) if item.table is not None):
        yield from _in_table(sheet, table, sheets)


def _has(sheet: Sheet, item: Item) -> bool:
    """Tell whether a sheet has a reading anywhere; of a mean, whether it has that or one of its repeats."""
    every = [sheet.rubric.items[name] for name in (item.name, *item.repeats)]
    return any(entry.state is not State.BLANK for one in every for _, entry in entries_of(one, sheet.write_up))


def _is_asked_for(item: Item, sheets: Sequence[Sheet]) -> bool:
    return sum(_has(sheet, item) for sheet in sheets) >= MOST_OF_CLASS * (len(sheets) - 1)


def _filled(sheet: Sheet, table: str) -> dict[int, set[str]]:
    """Return for each row that holds anything the readings it has."""
    found: dict[int, set[str]] = {}
    for item in numbers_of(sheet.rubric):
        if item.table == table:
            for row, entry in entries_of(item, sheet.write_up):
                if entry.state is not State.BLANK:
                    found.setdefault(row, set()).add(item.name)
    return found


def _in_table(sheet: Sheet, table: str, sheets: Sequence[Sheet]) -> Iterator[Gap]:
    filled = _filled(sheet, table)
    columns = [item for item in numbers_of(sheet.rubric) if item.table == table]
    asked = [item for item in columns if not item.repeat_of and _is_asked_for(item, sheets)]
    if not asked:
        return
    asked += [item for item in columns if item.repeat_of and _is_kept_up(item, filled)]
    last = max(filled, default=0)
    for row in range(1, last + 1):
        if row not in filled:
            yield Gap(item=None, row=row)
            continue
        yield from (Gap(item=item, row=row) for item in asked if _is_missed(sheet.rubric, item, filled[row]))
    short = _rows_wanted(sheet.rubric, table, sheets) - last
    if short > 0:
        yield Gap(item=None, row=None, rows=short)


def _is_kept_up(item: Item, filled: dict[int, set[str]]) -> bool:
    """Tell whether a repeat was taken in most rows; how many are taken is the teacher's choice, not the rubric's."""
    return sum(item.name in names for names in filled.values()) > MOST_OF_ROWS * len(filled)


def _is_missed(rubric: Rubric, item: Item, there: set[str]) -> bool:
    """Tell whether a reading is missing in a row: a mean where no repeat is, a repeat where others of it are."""
    mean = rubric.items[item.repeat_of] if item.repeat_of else item
    others = there & {mean.name, *mean.repeats}
    return item.name not in there and bool(others) == bool(item.repeat_of)


def _rows_wanted(rubric: Rubric, table: str, sheets: Sequence[Sheet]) -> int:
    """Return how many rows a sheet has to have: those that all others have, or the mark scheme's fewest.

    All the others must have equally many, for some benches take fewer rows on purpose.
    """
    least = [
        criterion.rows
        for criterion in rubric.criteria
        if criterion.check is CheckKind.ROWS
        and criterion.rows is not None
        and any(rubric.items[name].table == table for name in criterion.items)
    ]
    counts = [max(filled) for one in sheets if (filled := _filled(one, table))]
    usual = max(set(counts), key=lambda count: (counts.count(count), count)) if counts else 0
    shared = usual if len(counts) >= FEWEST_SHEETS and counts.count(usual) >= len(counts) - 1 else 0
    return max([shared, *([min(least)] if least else [])])
