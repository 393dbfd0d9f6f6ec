"""Rows of a table in words."""

from __future__ import annotations

from rubrics.formulas import listed


def rows_named(rows: list[int]) -> str:
    """Return table rows in words: 'row 3', 'rows 2 and 5', 'rows 1 to 8'; empty for none."""
    if not rows:
        return ""
    if len(rows) == 1:
        return f"row {rows[0]}"
    if len(rows) > 2 and rows == list(range(rows[0], rows[-1] + 1)):
        return f"rows {rows[0]} to {rows[-1]}"
    return f"rows {listed([str(row) for row in rows], most=5)}"
