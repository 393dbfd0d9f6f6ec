"""A table with thin rules between its rows: a head, the name of each row, and text that wraps within its column."""

from __future__ import annotations

from collections.abc import Sequence

from reports.page.house_style import BOLD, FINE_SIZE, GRID, shortened, wrapped
from reports.page.sheet_parts import Part
from reports.page.tagging import furniture, grouped_as

_GAP = 8.0
"""Points between the widest column and the next."""


class RuleTable(Part):
    """Rows of text; the first row is the head, the first column names the row."""

    role = ""
    _ROW, _PAD = 12.0, 3.2

    def __init__(self, rows: Sequence[Sequence[str]], widths: Sequence[float | None]) -> None:
        """Take the rows, head first, and the width of each column in points; the one that is None has what is left."""
        super().__init__()
        self.rows = rows
        self._asked = widths

    def own_height(self) -> float:
        """Return the height of all rows."""
        fixed = sum(width for width in self._asked if width is not None)
        self.widths = [self.width - fixed - _GAP if width is None else width for width in self._asked]
        self.lines = [
            [wrapped(cell, width, FINE_SIZE) for cell, width in zip(row[1:], self.widths[1:], strict=True)]
            for row in self.rows
        ]
        self.heights = [max(1, *map(len, cells)) * self._ROW + 2 * self._PAD for cells in self.lines]
        return sum(self.heights)

    def draw(self) -> None:
        """Draw the rows as a table with a head."""
        top = self.height
        with grouped_as(self.page, "Table"):
            for number, height in enumerate(self.heights):
                with grouped_as(self.page, "TR"):
                    self._draw_row(number, top)
                top -= height
                with furniture(self.page):
                    self.page.setStrokeGray(GRID)
                    self.page.setLineWidth(0.5)
                    self.page.line(0, top, self.width, top)

    def _draw_row(self, number: int, top: float) -> None:
        first = top - self._PAD - FINE_SIZE
        is_head = number == 0
        role, scope = ("TH", "Column") if is_head else ("TD", "")
        with self.piece("TH", scope="Column" if is_head else "Row"):
            name = shortened(self.rows[number][0], self.widths[0] - 3, FINE_SIZE, BOLD)
            self.put(name, 0, first, FINE_SIZE, font=BOLD, soft=is_head)
        left = self.widths[0]
        for width, asked, lines in zip(self.widths[1:], self._asked[1:], self.lines[number], strict=True):
            with self.piece(role, scope=scope):
                for place, line in enumerate(lines):
                    self.put(line, left, first - self._ROW * place, FINE_SIZE, soft=is_head)
            left += width + (_GAP if asked is None else 0.0)
