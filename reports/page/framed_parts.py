"""A framed part of a sheet, and a line to be finished by hand: what is to be done first."""

from __future__ import annotations

from collections.abc import Sequence

from reports.page.flowable import Flowable
from reports.page.house_style import (
    BOLD,
    INK,
    LINE,
    REGULAR,
    STEP_SIZE,
    WHITE,
    printable,
    width_of,
    wrapped,
)
from reports.page.sheet_parts import Part
from reports.page.tagging import furniture, grouped_as

_PAD = 11.0
_BORDER = 1.4
_HEAD = 12.0
"""Points of the words that stand in the frame's upper edge."""
_TALL = 26.0
"""Height of a line that a number is written on by hand."""
_NARROW_GAP = 84.0
"""The same where it saves a line of its own."""
_LEAST_GAP = 118.0
"""Width of a gap for a number with its unit's room beside it."""


class Frame(Part):
    """Parts inside a border, with a name in its upper edge."""

    role = ""

    def __init__(self, name: str, parts: Sequence[Flowable]) -> None:
        """Take the name and the parts, in reading order."""
        super().__init__()
        self.name, self.parts = name, parts

    def own_height(self) -> float:
        """Return the height of the parts, the border and the air inside it."""
        room = self.width - 2 * _PAD
        self.heights = [float(part.wrap(room, 0)[1]) for part in self.parts]
        return sum(self.heights) + 2 * _PAD + _HEAD / 2 + 2

    def draw(self) -> None:
        """Draw the border, its name, and the parts."""
        top = self.height - _HEAD / 2
        with furniture(self.page):
            self.page.setStrokeGray(INK)
            self.page.setLineWidth(_BORDER)
            self.page.rect(0, 0, self.width, top, stroke=1, fill=0)
            self.page.setFillGray(WHITE)
        with grouped_as(self.page, "Sect"):
            self._draw_name(top)
            base = top - _PAD - 2
            for part, height in zip(self.parts, self.heights, strict=True):
                base -= height
                part.draw_on(self.page, _PAD, base)

    def _draw_name(self, top: float) -> None:
        wide = width_of(self.name, _HEAD, BOLD)
        with furniture(self.page):
            self.page.setFillGray(self.ground)
            self.page.rect(_PAD - 4, top - 2, wide + 8, 4, stroke=0, fill=1)
        with self.piece("H2"):
            self.put(self.name, _PAD, top - _HEAD * 0.36, _HEAD, font=BOLD)

    ground = WHITE


class AnswerLine(Part):
    """The last line of a step: the sum, then a gap for the answer, then its unit."""

    def __init__(self, before: str, after: str, last: str, *, size: float = STEP_SIZE, left: float = 0.0) -> None:
        """Take what stands before the gap, the unit behind it, a second unit ('' for none), and the size of type."""
        super().__init__()
        self.before, self.after, self.last = printable(before), printable(after), printable(last)
        self.size, self.left = size, left
        self.alt = " ".join(filter(None, (self.before, "…", self.after, "=" if last else "", self.last)))

    role = "Formula"

    def own_height(self) -> float:
        """Return the height of all lines, those for the hand taller."""
        room = self.width - self.left
        self.lines = wrapped(self.before, room, self.size) if self.before else ("",)
        behind = width_of(self.after, self.size) + 10
        self.gap = min(_LEAST_GAP, room - behind)
        needed = width_of(self.lines[-1], self.size) + 8 + behind
        if needed + self.gap > room >= needed + _NARROW_GAP:
            self.gap = room - needed
        self.has_own_line = needed + self.gap > room
        self.sign = "= " if self.has_own_line and self.before.endswith("=") else ""
        if self.sign:  # no line ends in the sign that the gap belongs to
            self.lines = wrapped(self.before[:-1].rstrip(), room, self.size)
        count = len(self.lines) - (0 if self.has_own_line else 1)
        return count * self.size * 1.5 + _TALL * (2 if self.last else 1)

    def fill_in(self) -> None:
        """Draw the words and the gaps."""
        base = self.height - self.size - 2
        above = self.lines if self.has_own_line else self.lines[:-1]
        for line in above:
            self.put(line, self.left, base, self.size)
            base -= self.size * 1.5
        base = _TALL * (2 if self.last else 1) - self.size - 6
        start = self.left if self.has_own_line else self.left + width_of(self.lines[-1], self.size) + 8
        self.put(self.sign if self.has_own_line else self.lines[-1], self.left, base, self.size)
        start += width_of(self.sign, self.size)
        self._gap(start, base, self.after)
        if self.last:
            self.put("=", start - width_of("=", self.size) - 6, base - _TALL, self.size)
            self._gap(start, base - _TALL, self.last)

    def _gap(self, start: float, base: float, unit: str) -> None:
        self.page.setStrokeGray(INK)
        self.page.setLineWidth(0.7)
        self.page.line(start, base - 3, start + self.gap, base - 3)
        self.put(unit, start + self.gap + 6, base, self.size, font=REGULAR)


class OpenLines(Part):
    """Empty lines for the student's hand, far enough apart for any hand."""

    def __init__(self, count: int, step: float = 23.0) -> None:
        """Take how many, and how far apart."""
        super().__init__()
        self.count, self.step = count, step

    role = ""

    def own_height(self) -> float:
        """Return the height of all lines."""
        return self.count * self.step

    def draw(self) -> None:
        """Draw the lines: nothing to be read."""
        with furniture(self.page):
            self.page.setLineWidth(0.5)
            self.page.setStrokeGray(LINE)
            self.page.lines([(0, self.step * n + 3, self.width, self.step * n + 3) for n in range(self.count)])
