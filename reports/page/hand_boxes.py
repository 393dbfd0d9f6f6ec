"""What a student writes in by hand: lines for a name, boxes for readings, room for working, squared paper."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.lib.units import mm

from reports.page.house_style import (
    BOLD,
    GRID,
    INK,
    LABEL_SIZE,
    LINE,
    REGULAR,
    TABLE_SIZE,
    shortened,
    width_of,
    wrapped,
)
from reports.page.sheet_parts import Part

BOX_HEIGHT = 27.0
"""Points, nearly a centimetre: what a figure written by hand needs."""
_LINE, _NOTE_LINE = 11.5, 10.0
_FIELD_STEP = 25.0
_SMALL_SQUARE = 2 * mm
_BOLD_EVERY = 5
"""Small squares from one stronger line to the next: a centimetre."""


def _fitting(words: str, room: float) -> float:
    """Return the size at which the longest of *words* fits the room, no smaller than the least that is printed."""
    longest = max((width_of(word, LABEL_SIZE, BOLD) for word in words.split()), default=0.0)
    return LABEL_SIZE if longest <= room else max(TABLE_SIZE - 1, LABEL_SIZE * room / longest)


class Fields(Part):
    """Short labels with a line each to write on, or with what is known already."""

    def __init__(self, fields: Sequence[tuple[str, str, float]], each_row: int) -> None:
        """Take (label, what is known or '', share of the row) of each field, and how many stand in one row."""
        super().__init__()
        self.fields, self.each_row = fields, each_row

    def own_height(self) -> float:
        """Return a step for each row."""
        return _FIELD_STEP * -(-len(self.fields) // self.each_row)

    def fill_in(self) -> None:
        """Draw labels, lines, and what is known."""
        self.page.setLineWidth(0.5)
        self.page.setStrokeGray(LINE)
        for first in range(0, len(self.fields), self.each_row):
            row = self.fields[first : first + self.each_row]
            base = self.height - _FIELD_STEP * (first // self.each_row + 1) + 5
            left, whole = 0.0, sum(share for *_, share in row)
            for label, known, share in row:
                right = left + self.width * share / whole
                start = left + width_of(label, LABEL_SIZE) + 5
                self.put(label, left, base, LABEL_SIZE, soft=True)
                self.put(shortened(known, right - start - 12, LABEL_SIZE, BOLD), start, base, LABEL_SIZE, font=BOLD)
                self.page.line(start, base - 3, right - 10, base - 3)
                left = right


class ReadingBox(Part):
    """A quantity, what it is read off, a box for the number, and the unit to record it in."""

    _BOX, _UNIT = 0.33, 0.2

    def __init__(self, quantity: str, note: str, unit: str, other_unit: str) -> None:
        """Take the quantity with its symbol, the instrument in words, the unit, and 'or g' where there are two."""
        super().__init__()
        self.quantity, self.note, self.unit, self.other_unit = quantity, note, unit, other_unit

    def own_height(self) -> float:
        """Return the height of the box, or of the words where these are taller."""
        room = self.width * (1 - self._BOX - self._UNIT) - 6
        self.lines = wrapped(self.quantity, room, LABEL_SIZE)
        self.notes = wrapped(self.note, room, TABLE_SIZE) if self.note else ()
        self.unit_size = _fitting(self.unit, self.width * self._UNIT - 6)
        self.units = wrapped(self.unit, self.width * self._UNIT - 6, self.unit_size, BOLD) if self.unit else ()
        return max(BOX_HEIGHT, _LINE * len(self.lines) + _NOTE_LINE * len(self.notes)) + 7

    def fill_in(self) -> None:
        """Draw words, box and unit."""
        words = _LINE * len(self.lines) + _NOTE_LINE * len(self.notes)
        base = (self.height + words) / 2 - LABEL_SIZE
        for line in self.lines:
            self.put(line, 0, base, LABEL_SIZE)
            base -= _LINE
        for line in self.notes:
            self.put(line, 0, base + 1, TABLE_SIZE, soft=True)
            base -= _NOTE_LINE
        left, wide = self.width * (1 - self._BOX - self._UNIT), self.width * self._BOX
        self.page.setStrokeGray(LINE)
        self.page.setLineWidth(0.7)
        self.page.rect(left, (self.height - BOX_HEIGHT) / 2, wide, BOX_HEIGHT, stroke=1, fill=0)
        start, room = left + wide + 5, self.width * self._UNIT - 6
        under = (self.other_unit,) if self.other_unit else ()
        base = self.height / 2 - 3 + _LINE / 2 * (len(self.units) + len(under) - 1)
        for line in self.units:
            self.put(line, start, base, self.unit_size, font=BOLD)
            base -= _LINE
        for line in under:
            self.put(shortened(line, room, LABEL_SIZE), start, base, LABEL_SIZE, soft=True)


class AnswerBox(Part):
    """A frame to work an answer out in, with a line for the answer at its foot."""

    def __init__(self, quantity: str, symbol: str, unit: str, working: float, open_unit: str = "") -> None:
        """Take the quantity, its symbol, its unit, the height for working, and the word for a unit left open."""
        super().__init__()
        self.quantity, self.symbol, self.unit, self.working, self.open_unit = quantity, symbol, unit, working, open_unit

    def own_height(self) -> float:
        """Return the height of the name, the working and the answer."""
        self.lines = wrapped(self.quantity, self.width - 12, LABEL_SIZE)
        return _LINE * len(self.lines) + self.working + 28

    def fill_in(self) -> None:
        """Draw frame, name, and the line for the answer."""
        self.page.setStrokeGray(LINE)
        self.page.setLineWidth(0.7)
        self.page.rect(0, 5, self.width, self.height - 5, stroke=1, fill=0)
        base = self.height - 11
        for line in self.lines:
            self.put(line, 6, base, LABEL_SIZE)
            base -= _LINE
        foot, right = 12.0, self.width - 6
        self.page.setLineWidth(0.5)
        unit = shortened(self.unit, self.width * 0.3, LABEL_SIZE, BOLD)
        last, font = (self.open_unit, REGULAR) if self.open_unit else (unit, BOLD)
        line_of_unit = 50.0 if self.open_unit else 0.0
        start = right - line_of_unit - width_of(last, LABEL_SIZE, font)
        end = start - 6 if last else right
        equals = shortened(f"{self.symbol} =", self.width * 0.4, LABEL_SIZE)
        left = max(6.0, end - max(64.0, self.width * 0.3) - width_of(equals, LABEL_SIZE) - 6)
        self.put(equals, left, foot, LABEL_SIZE)
        self.put(last, start, foot, LABEL_SIZE, font=font, soft=bool(self.open_unit))
        self.page.line(left + width_of(equals, LABEL_SIZE) + 6, foot - 2, end, foot - 2)
        if self.open_unit:
            self.page.line(right - line_of_unit + 4, foot - 2, right, foot - 2)


class Beside(Part):
    """Parts of one row, as tall as the tallest or with their heads level."""

    role = ""
    _GAP = 18.0

    def __init__(self, parts: Sequence[Part], shares: Sequence[float], *, stretch: bool = True) -> None:
        """Take the parts, the shares of the width (of more than there are parts, the rest stays empty)."""
        super().__init__()
        self.parts, self.shares, self.stretch = parts, shares, stretch

    def own_height(self) -> float:
        """Return the height of the tallest."""
        free = self.width - self._GAP * (len(self.shares) - 1)
        widths = [free * share / sum(self.shares) for share in self.shares]
        self.lefts = [sum(widths[:number]) + self._GAP * number for number in range(len(widths))]
        tallest = max(part.wrap(wide, 0)[1] for part, wide in zip(self.parts, widths, strict=False))
        for part in self.parts if self.stretch else ():
            part.height = tallest
        return tallest

    def draw(self) -> None:
        """Draw the parts from left to right."""
        for part, left in zip(self.parts, self.lefts, strict=False):
            part.draw_on(self.page, left, self.height - part.height)


class SquaredPaper(Part):
    """Squares of 2 mm on the paper, with a stronger line every centimetre."""

    def __init__(self, height: float, scale: float) -> None:
        """Take the height in points, and how much larger the sheet is drawn."""
        super().__init__()
        # A reader of large print gets squares of 4 mm.
        self.step = _SMALL_SQUARE * max(1, int(scale)) / scale
        self.tall = height

    def own_height(self) -> float:
        """Return the height of as many whole centimetres as fit."""
        self.rows = int(self.tall / self.step / _BOLD_EVERY) * _BOLD_EVERY
        self.columns = int(self.width / self.step / _BOLD_EVERY) * _BOLD_EVERY
        return self.rows * self.step

    def fill_in(self) -> None:
        """Draw the lines, the weaker ones first."""
        across, up = self.columns * self.step, self.rows * self.step
        start = (self.width - across) / 2
        for every, grey, thick in ((1, GRID, 0.3), (_BOLD_EVERY, LINE, 0.6)):
            self.page.setStrokeGray(grey)
            self.page.setLineWidth(thick)
            steps = [start + self.step * number for number in range(0, self.columns + 1, every)]
            lines = [(x, 0.0, x, up) for x in steps]
            lines += [(start, self.step * n, start + across, self.step * n) for n in range(0, self.rows + 1, every)]
            self.page.lines(lines)
        self.page.setStrokeGray(INK)
