"""Room for the student's hand: lines, boxes and an empty table."""

from __future__ import annotations

from collections.abc import Sequence

from reports.page.blocks import Space
from reports.page.flowable import Flowable
from reports.page.house_style import (
    BODY,
    BODY_SIZE,
    BOLD,
    LABEL_SIZE,
    LINE,
    MAIN_WIDTH,
    TABLE_SIZE,
    printable,
    shortened,
    text,
    width_of,
    wrapped,
)
from reports.page.sheet_parts import HANG, Hung, Part
from reports.page.tagging import furniture, grouped_as

LEAST_COLUMN = 70.0
"""Points that a hand needs for one column of a table."""
SHORT_QUESTION = 0.72
"""A question that takes at most this share of its line has room for the answer beside it."""
_ROW_NUMBER = 16.0
"""Width for the numbers of rows, where a table is in parts."""
WRITING_STEP = 21.0
"""Between two lines to write on by hand."""


class WritingLines(Part):
    """Empty lines for the student's hand."""

    def __init__(self, count: int) -> None:
        """Take how many."""
        super().__init__()
        self.count = count

    def own_height(self) -> float:
        """Return the height of all lines."""
        return self.count * WRITING_STEP

    def fill_in(self) -> None:
        """Draw the lines."""
        self.page.setLineWidth(0.5)
        self.page.setStrokeGray(LINE)
        steps = [WRITING_STEP * number + 3 for number in range(self.count)]
        self.page.lines([(HANG, step, self.width, step) for step in steps])


class EntryRow(Part):
    """A quantity, an empty box, and its unit: one line of a sheet to fill in."""

    _LINE = 11.5

    def __init__(self, quantity: str, unit: str) -> None:
        """Take what is asked for and the unit."""
        super().__init__()
        self.quantity, self.unit = quantity, unit

    def own_height(self) -> float:
        """Return the height of the box, or of the name where that is taller."""
        self.lines = wrapped(self.quantity, self.width * 0.49, LABEL_SIZE)
        return max(24.0, self._LINE * len(self.lines) + 7)

    def fill_in(self) -> None:
        """Draw the line."""
        middle = self.height / 2
        first = middle - 3 + self._LINE * (len(self.lines) - 1) / 2
        for number, line in enumerate(self.lines):
            self.put(line, 0, first - self._LINE * number, LABEL_SIZE)
        room = self.width * 0.24
        size = max(TABLE_SIZE - 1, LABEL_SIZE * min(1.0, room / max(1.0, width_of(self.unit, LABEL_SIZE))))
        self.put(shortened(self.unit, room, size), self.width * 0.76, middle - 3, size)
        self.page.setStrokeGray(LINE)
        self.page.setLineWidth(0.5)
        self.page.rect(self.width * 0.52, middle - 9, self.width * 0.22, 18, stroke=1, fill=0)


class ShortQuestion(Part):
    """A question of a few words with the line for its answer beside it."""

    def __init__(self, number: str, question: str) -> None:
        """Take the number and the question, ready to print."""
        super().__init__()
        self.number, self.question = number, question

    def own_height(self) -> float:
        """Return the height of one line to write on."""
        return WRITING_STEP

    def fill_in(self) -> None:
        """Draw question and line."""
        self.put(self.number, 0, 4, BODY_SIZE)
        self.put(self.question, HANG, 4, BODY_SIZE)
        self.page.setLineWidth(0.5)
        self.page.setStrokeGray(LINE)
        self.page.line(HANG + width_of(self.question, BODY_SIZE) + 10, 2, self.width, 2)


def question_parts(number: int, question: str, lines: int, width: float = MAIN_WIDTH) -> Sequence[Flowable]:
    """Return one question of a task with room to write in a column of *width*: beside a short one, else below."""
    shown = printable(question)
    if lines == 1 and width_of(shown, BODY_SIZE) <= SHORT_QUESTION * (width - HANG):
        return (ShortQuestion(f"{number}.", shown), Space(3))
    return (Space(4), Hung(f"{number}.", text(BODY, question)), WritingLines(lines), Space(4))


def column_parts(count: int, width: float) -> list[range]:
    """Return which of *count* columns stand beside each other in *width*, in parts as even as can be."""
    most = max(1, int(width // LEAST_COLUMN))
    wide = -(-count // -(-count // most))
    return [range(first, min(first + wide, count)) for first in range(0, count, wide)]


class ResultsGrid(Part):
    """An empty table of readings to fill in: one column an item, quantity and unit at the head."""

    role = ""

    _LINE, _UNIT_LINE = 9.5, 11.0

    def __init__(
        self,
        columns: Sequence[tuple[str, str]],
        rows: int,
        *,
        row: float = 20.0,
        notes: Sequence[str] = (),
        is_part: bool = False,
    ) -> None:
        """Take (quantity, symbol / unit) of each column, how many rows to draw and how high, and a note for each.

        A part of a table has the numbers of its rows, so that each goes on in the next part.
        """
        super().__init__()
        self.columns, self.rows, self.row, self.said = columns, rows, row, notes
        self.start = _ROW_NUMBER if is_part else 0.0

    @property
    def wide(self) -> float:
        """Return the width of one column."""
        return (self.width - self.start) / len(self.columns)

    def own_height(self) -> float:
        """Return the height of head and rows."""
        wide = self.wide
        self.names = [wrapped(quantity, wide - 6, TABLE_SIZE) for quantity, _ in self.columns]
        self.notes = [wrapped(note, wide - 6, TABLE_SIZE) if note else () for note in self.said]
        self.units = [wrapped(unit, wide - 6, LABEL_SIZE, BOLD) for _, unit in self.columns]
        self.under = self._LINE * max(map(len, self.notes), default=0)
        self.under += self._UNIT_LINE * (max(map(len, self.units)) - 1)
        return self._LINE * max(map(len, self.names)) + 18.0 + self.under + self.row * self.rows

    def draw(self) -> None:
        """Draw the grid, and its head as the first row of a table."""
        wide = self.wide
        with furniture(self.page):
            self.page.setStrokeGray(LINE)
            self.page.setLineWidth(0.5)
            self.page.grid(
                [self.start + wide * number for number in range(len(self.columns) + 1)],
                [self.row * number for number in range(self.rows + 1)],
            )
            if self.start:
                self._start_print()
                for number in range(self.rows):
                    base = self.row * (self.rows - number - 0.5) - TABLE_SIZE / 2 + 1
                    self.put(str(number + 1), 0, base, TABLE_SIZE, soft=True)
                self.page.drawText(self._print)
        with grouped_as(self.page, "Table"), grouped_as(self.page, "TR"):
            for place in range(len(self.columns)):
                with self.piece("TH", scope="Column"):
                    self._head(place, self.start + wide * place + 3, self.row * self.rows + self.under)

    def _head(self, place: int, left: float, base: float) -> None:
        names, units = self.names[place], self.units[place]
        for number, line in enumerate(names, start=1):
            self.put(line, left, base + 18 + self._LINE * (len(names) - number), TABLE_SIZE, soft=True)
        for below, line in enumerate(units):
            self.put(line, left, base + 6 - self._UNIT_LINE * below, LABEL_SIZE, font=BOLD)
        base -= self._UNIT_LINE * (len(units) - 1)
        for below, line in enumerate(self.notes[place] if self.notes else (), start=1):
            self.put(line, left, base + 6 - self._LINE * below, TABLE_SIZE, soft=True)
