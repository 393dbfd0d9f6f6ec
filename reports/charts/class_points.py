"""The points of a whole class on one graph, for a practical that is about a shape and not about one value."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from msgspec.structs import replace

from marking.findings import Plot
from reports.charts.axes import TICK_SIZE, Axis, axis, is_drawable
from reports.charts.class_charts import sound_range
from reports.charts.student_charts import Chart
from reports.page import GRID, INK, width_of, wrapped
from reports.wording import fill, wording

_DOT = 1.5
_NAME_LINE = 1.35
"""Of the size of the type."""
FEWEST = 2
"""Students whose points make a picture of a class."""


class ClassPoints(Chart):
    """Every point of every student as a dot over the axes of the practical's graph."""

    def __init__(self, plots: Mapping[str, Plot], width: float, size: float = TICK_SIZE) -> None:
        """Take the graph of each student by code, the width, and the size of the figures, both in points."""
        super().__init__(width, 0.52 * width + 4 * size)
        self.size, self.dot = size, _DOT * size / TICK_SIZE
        points = [
            (code, x, y)
            for code, plot in plots.items()
            for x, y in zip(plot.x, plot.y, strict=True)
            if is_drawable(x) and is_drawable(y)
        ]
        self.count = len({code for code, _, _ in points})
        self.labels = next(((plot.x_label, plot.y_label) for plot in plots.values()), ("", ""))
        low_x, high_x = sound_range([x for _, x, _ in points]) if points else (math.nan, math.nan)
        low_y, high_y = sound_range([y for _, _, y in points]) if points else (math.nan, math.nan)
        self.inside = [(x, y) for _, x, y in points if low_x <= x <= high_x and low_y <= y <= high_y]
        self.beyond = list(
            dict.fromkeys(code for code, x, y in points if not (low_x <= x <= high_x and low_y <= y <= high_y))
        )
        """Students with a point off the scale, to be named beside the chart."""

    @property
    def is_drawable(self) -> bool:
        """Tell whether there are points of several students."""
        return self.count >= FEWEST and bool(self.inside)

    @property
    def figure(self) -> str:
        """Return what it shows in words, for a reader who does not see it."""
        slots = {"count": str(len(self.inside)), "students": str(self.count), "x": self.labels[0], "y": self.labels[1]}
        return fill([wording("summary")["figure"]["points"]], slots)

    def draw(self) -> None:
        """Draw axes, names and dots."""
        across, up = self._axes()
        right, top = across.start + across.length, up.start + up.length
        self.pen(0.4, GRID)
        self.page.lines([(across.start, up.at(t), right, up.at(t)) for t in up.ticks])
        self.page.lines([(across.at(t), up.start, across.at(t), top) for t in across.ticks])
        self.pen(0.7, INK)
        self.page.lines([(across.start, up.start, right, up.start), (across.start, up.start, across.start, top)])
        self.letter(self.size, INK)
        for tick in across.ticks:
            self.page.drawCentredString(across.at(tick), up.start - self.size - 3, across.short(tick))
        for tick in up.ticks:
            self.page.drawRightString(across.start - 4, up.at(tick) - self.size * 0.35, up.short(tick))
        self._names(right)
        self.page.setFillGray(INK)
        for x, y in self.inside:
            self.page.circle(across.at(x), up.at(y), self.dot, stroke=0, fill=1)

    def _names(self, right: float) -> None:
        for number, line in enumerate(self._lines(1)):
            self.page.drawString(0, self.height - self.size * (1 + _NAME_LINE * number), line)
        lines = self._lines(0)
        for number, line in enumerate(lines):
            self.page.drawRightString(right, 2 + self.size * _NAME_LINE * (len(lines) - 1 - number), line)

    def _lines(self, side: int) -> Sequence[str]:
        return wrapped(self.labels[side], self.width, self.size)

    def _axes(self) -> tuple[Axis, Axis]:
        xs, ys = [x for x, _ in self.inside], [y for _, y in self.inside]
        bottom = self.size * (2 + _NAME_LINE * len(self._lines(0)))
        top = self.size * (0.6 + _NAME_LINE * len(self._lines(1)))
        up = axis(ys, bottom, self.height - bottom - top, most=5)
        left = max(width_of(up.short(tick), self.size) for tick in up.ticks) + 6
        across = axis(xs, left, self.width - left, most=6)
        end = width_of(across.short(across.high), self.size) / 2
        return replace(across, length=across.length - end), up
