"""The tables of the technician's list: what to put out, and where to write trial values."""

from __future__ import annotations

from collections.abc import Sequence

from reports.page import BOLD, LABEL_SIZE, LINE, REGULAR, TABLE_SIZE, Part, printable, shortened, width_of, wrapped

_LINE, _SMALL_LINE = 11.5, 9.5
_BOX = 9.0
"""Side of the square to tick when a thing is out."""
_NAME, _RANGE = 0.35, 0.37
"""Shares of the width."""


class KitTable(Part):
    """One line a thing: a box to tick, what it is, its range, how many a bench needs, how many in all."""

    def __init__(self, lines: Sequence[tuple[str, str, str, str]]) -> None:
        """Take (name, range, each, in all) of each line, the headings first."""
        super().__init__()
        self.lines = lines

    def own_height(self) -> float:
        """Return the height of all lines."""
        names = self.width * _NAME - _BOX - 14
        self.cells = [
            (
                wrapped(name, names, LABEL_SIZE, BOLD if number == 0 else REGULAR),
                wrapped(range_, self.width * _RANGE - 10, LABEL_SIZE) if range_ else (),
                each,
                total,
            )
            for number, (name, range_, each, total) in enumerate(self.lines)
        ]
        self.heights = [_LINE * max(len(names), len(ranges), 1) + 7 for names, ranges, *_ in self.cells]
        return sum(self.heights)

    def fill_in(self) -> None:
        """Draw the lines, each over a thin rule."""
        top = self.height
        each_right, total_right = self.width * 0.86, self.width
        for number, ((names, ranges, each, total), height) in enumerate(zip(self.cells, self.heights, strict=True)):
            base = top - LABEL_SIZE - 2
            is_head = number == 0
            self.page.setStrokeGray(LINE)
            self.page.setLineWidth(0.5)
            if not is_head:
                self.page.rect(0, base - 1, _BOX, _BOX, stroke=1, fill=0)
            self._down(names, _BOX + 7, base, is_head=is_head)
            self._down(ranges, self.width * _NAME, base, is_head=is_head)
            for words, right in ((each, each_right), (total, total_right)):
                shown = printable(words, 20, "…")
                font = BOLD if is_head or right == total_right else REGULAR
                self.put(shown, right - width_of(shown, LABEL_SIZE, font), base, LABEL_SIZE, font=font)
            top -= height
            self.page.line(0, top + 1.5, self.width, top + 1.5)

    def _down(self, lines: Sequence[str], left: float, base: float, *, is_head: bool) -> None:
        for line in lines:
            self.put(line, left, base, LABEL_SIZE, font=BOLD if is_head else REGULAR)
            base -= _LINE


class TrialGrid(Part):
    """One line of a table to write in: bench (and row), then an empty box for each reading; or its heading."""

    _ROW, _LEAD = 16.5, 44.0

    def __init__(self, leads: Sequence[str], columns: Sequence[tuple[str, str]], *, is_head: bool = True) -> None:
        """Take the words of the first columns, and (quantity, symbol / unit) of each other one."""
        super().__init__()
        self.leads, self.columns, self.is_head = leads, columns, is_head

    def own_height(self) -> float:
        """Return the height of one line, or of the heading."""
        self.each = (self.width - self._LEAD * len(self.leads)) / len(self.columns)
        if not self.is_head:
            return self._ROW
        self.names = [wrapped(quantity, self.each - 6, TABLE_SIZE) for quantity, _ in self.columns]
        self.units = [wrapped(unit, self.each - 6, LABEL_SIZE, BOLD) for _, unit in self.columns]
        return _SMALL_LINE * max(map(len, self.names)) + _LINE * max(map(len, self.units)) + 6

    def fill_in(self) -> None:
        """Draw the line."""
        lefts = [self._LEAD * number for number in range(len(self.leads))]
        start = self._LEAD * len(self.leads)
        lefts += [start + self.each * number for number in range(len(self.columns))]
        for word, left in zip(self.leads, lefts, strict=False):
            self.put(shortened(word, self._LEAD - 6, LABEL_SIZE), left + 3, 6, LABEL_SIZE)
        if not self.is_head:
            self.page.setStrokeGray(LINE)
            self.page.setLineWidth(0.5)
            self.page.grid([*lefts, self.width], [0, self.height])
            return
        for names, units, left in zip(self.names, self.units, lefts[len(self.leads) :], strict=True):
            base = self.height - TABLE_SIZE - 1
            for line in names:
                self.put(line, left + 3, base, TABLE_SIZE, soft=True)
                base -= _SMALL_LINE
            base -= 2
            for line in units:
                self.put(line, left + 3, base, LABEL_SIZE, font=BOLD)
                base -= _LINE
