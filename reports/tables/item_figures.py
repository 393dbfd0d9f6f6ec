"""How the criteria of each practical did, as rows of a sheet: facility, discrimination, alpha, with their warnings."""

from __future__ import annotations

from collections.abc import Iterator

from marking.cohort.picture import item_statistics
from marking.findings import MarkedSet
from reports.wording import wording

PLACES = 2
"""Decimal places of a correlation; more would pretend to a large class."""

Row = tuple[str | int | float | None, ...]


def statistics_rows(marked: MarkedSet) -> Iterator[Row]:
    """Yield one row for the scheme as a whole, then one for each criterion.

    Columns: practical, criterion, students, facility, discrimination, alpha, its lowest and its highest, remarks. In
    the row of a criterion alpha is that of the others.
    """
    found = item_statistics(marked)
    words = wording("workbook")
    low, high = found.alpha_interval or (None, None)
    whole = (found.practical, words["columns"]["all_criteria"], found.students, None, None, _short(found.alpha))
    yield (*whole, _short(low), _short(high), " ".join(found.warnings))
    for one in found.criteria:
        row = (found.practical, one.code, one.students, _short(one.facility), _short(one.discrimination))
        yield (*row, _short(one.alpha_without), None, None, " ".join(one.warnings))


def _short(value: float | None) -> float | None:
    return None if value is None else round(value, PLACES)
