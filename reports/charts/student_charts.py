"""Graphs of one student's data: drawn as lines on the page, so they stay sharp and read well in grey."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from marking.findings import Plot, Result
from reports.charts.axes import TICK_SIZE, Axis, axis, inset, is_drawable, named
from reports.page import GRID, INK, REGULAR, SOFT, TINT, WHITE, shortened, width_of
from reports.wording import printed, wording

_CROSS, _SMALL_CROSS = 2.4, 1.6
"""Half the width of a data cross, in points; the smaller one where points crowd."""
_CROWD = 15
_RING = 6.0


class Chart(Flowable):
    """A drawing of a fixed size."""

    def __init__(self, width: float, height: float) -> None:
        """Take the size in points."""
        super().__init__()
        self.width, self.height = width, height

    @property
    def page(self) -> Canvas:
        """Return the canvas that is being drawn on."""
        return self.canv

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        """Return the size, whatever room is offered."""
        return self.width, self.height

    def pen(self, width: float = 0.6, grey: float = INK, dash: Sequence[float] = ()) -> None:
        """Set line width, grey and dashes."""
        self.page.setLineWidth(width)
        self.page.setStrokeGray(grey)
        self.page.setDash(list(dash))

    def letter(self, size: float = TICK_SIZE, grey: float = SOFT) -> None:
        """Set the type."""
        self.page.setFont(REGULAR, size)
        self.page.setFillGray(grey)


class Scatter(Chart):
    """A student's points as crosses, with the line or curve that was fitted to them."""

    def __init__(self, plot: Plot, width: float, height: float) -> None:
        """Take the data and the size in points."""
        super().__init__(width, height)
        self.plot = plot
        pairs = enumerate(zip(plot.x, plot.y, strict=True))
        self.points = [(n, x, y) for n, (x, y) in pairs if is_drawable(x) and is_drawable(y)]

    @property
    def is_drawable(self) -> bool:
        """Tell whether there is a point to draw."""
        return bool(self.points)

    def draw(self) -> None:
        """Draw axes, points, line and rings."""
        across, up = self._axes()
        self._grid(across, up)
        path = self.page.beginPath()
        path.rect(across.start, up.start, across.length, up.length)
        self.page.saveState()
        self.page.clipPath(path, stroke=0, fill=0)
        self._trend(across, up)
        self.page.restoreState()
        self._crosses(across, up)
        self._rings(across, up)

    def _axes(self) -> tuple[Axis, Axis]:
        xs, ys = [x for _, x, _ in self.points], [y for _, _, y in self.points]
        bottom, top = 24.0, 14.0
        zero = self.plot.includes_origin
        up = axis(ys, bottom, self.height - bottom - top, zero=zero)
        left = max(width_of(up.short(tick), TICK_SIZE) for tick in up.ticks) + 5
        across = axis(xs, left, self.width - left, zero=zero, most=5)
        return replace(across, length=across.length - width_of(across.short(across.high), TICK_SIZE) / 2), up

    def _grid(self, across: Axis, up: Axis) -> None:
        right, top = across.start + across.length, up.start + up.length
        self.pen(0.4, GRID)
        self.page.lines(
            [(across.at(t), up.start, across.at(t), top) for t in across.ticks]
            + [(across.start, up.at(t), right, up.at(t)) for t in up.ticks]
        )
        self.pen(0.7, INK)
        crossing_x = across.at(0.0) if across.low < 0 < across.high else across.start
        crossing_y = up.at(0.0) if up.low < 0 < up.high else up.start
        self.page.lines([(across.start, crossing_y, right, crossing_y), (crossing_x, up.start, crossing_x, top)])
        self.letter()
        for tick in across.ticks:
            self.page.drawCentredString(across.at(tick), up.start - 9, across.short(tick))
        for tick in up.ticks:
            self.page.drawRightString(across.start - 3, up.at(tick) - 2.5, up.short(tick))
        self.letter(7.5, INK)
        self.page.drawString(0, self.height - 8, shortened(named(self.plot.y_label, up), self.width, 7.5))
        self.page.drawRightString(right, 3, shortened(named(self.plot.x_label, across), self.width, 7.5))

    def _trend(self, across: Axis, up: Axis) -> None:
        self.pen(0.9, INK)
        if self.plot.line is not None:
            gradient, intercept = self.plot.line
            ends = [across.low, across.high]
            (x1, y1), (x2, y2) = ((across.at(x), up.at(gradient * x + intercept)) for x in ends)
            if all(map(math.isfinite, (y1, y2))):
                self.page.line(x1, y1, x2, y2)
        curve = [(across.at(x), up.at(y)) for x, y in self.plot.curve if is_drawable(x) and is_drawable(y)]
        self.page.lines([(*here, *there) for here, there in pairwise(curve)])

    def _crosses(self, across: Axis, up: Axis) -> None:
        self.pen(1.0, INK)
        arm = _CROSS if len(self.points) <= _CROWD else _SMALL_CROSS
        strokes = []
        for _, x, y in self.points:
            h, v = across.at(x), up.at(y)
            strokes += [(h - arm, v - arm, h + arm, v + arm), (h - arm, v + arm, h + arm, v - arm)]
        self.page.lines(strokes)

    def _rings(self, across: Axis, up: Axis) -> None:
        self.pen(0.7, INK, (1.6, 1.4))
        word = wording("sheet")["data"]["left_out"]
        odd = [(across.at(x), up.at(y)) for number, x, y in self.points if number in self.plot.odd_rows]
        for h, v in odd:
            self.page.circle(h, v, _RING, stroke=1, fill=0)
        if not odd:
            return
        h, v = odd[0]
        half = width_of(word, TICK_SIZE) / 2 + 1.5
        middle = min(max(h, across.start + half), across.start + across.length - half)
        base = v + _RING + 3 if v + _RING + 10 < up.start + up.length else v - _RING - 8
        self.page.setFillGray(WHITE)
        self.page.rect(middle - half, base - 1.5, 2 * half, TICK_SIZE + 1, stroke=0, fill=1)
        self.letter(grey=INK)
        self.page.drawCentredString(middle, base, word)


class ResultScale(Chart):
    """A student's result on a number line, beside the accepted value and its band."""

    def __init__(self, result: Result, width: float) -> None:
        """Take the result and the width in points."""
        super().__init__(width, 64.0)
        self.result = result

    @property
    def is_drawable(self) -> bool:
        """Tell whether there are two values to compare."""
        accepted = self.result.accepted
        return accepted is not None and is_drawable(self.result.value) and is_drawable(accepted.value)

    def draw(self) -> None:
        """Draw the number line, the accepted band, and a mark for each value."""
        accepted = self.result.accepted
        if accepted is None:
            return
        low, high = accepted.value - accepted.uncertainty, accepted.value + accepted.uncertainty
        values = (self.result.value, low, high, *self._ends())
        room = (max(values) - min(values)) * 0.15 or abs(accepted.value) * 0.05
        along = inset(axis([min(values) - room, max(values) + room], 0.0, self.width, most=4))
        level = 34.0
        if accepted.uncertainty > 0:
            self.page.setFillGray(TINT)
            self.page.rect(along.at(low), level - 5, max(along.at(high) - along.at(low), 1.0), 10, stroke=0, fill=1)
        self._number_line(along, level)
        self._bar(along, level)
        words = wording("sheet")["data"]
        self._mark(along, self.result.value, level, f"{words['own']} {printed(self.result.value, 3)}", above=True)
        self._mark(along, accepted.value, level, f"{words['accepted']} {printed(accepted.value, 3)}", above=False)

    def _number_line(self, along: Axis, level: float) -> None:
        self.pen(0.7, INK)
        self.page.line(along.start, level, along.start + along.length, level)
        self.page.lines([(along.at(t), level - 2.5, along.at(t), level + 2.5) for t in along.ticks])
        self.letter()
        for tick in along.ticks:
            self.page.drawCentredString(along.at(tick), level - 12, along.label(tick))

    def _ends(self) -> tuple[float, ...]:
        """Return the two ends of the result's plus-or-minus, nothing where there is none or it would fill the page."""
        sure = self.result.uncertainty
        if sure is None or not 0 < sure.plus_minus < abs(self.result.value):
            return ()
        return self.result.value - sure.plus_minus, self.result.value + sure.plus_minus

    def _bar(self, along: Axis, level: float) -> None:
        """Draw the plus-or-minus of the result as a bar with ends, as on a graph, just above the line."""
        if not self._ends():
            return
        left, right = (along.at(end) for end in self._ends())
        height = level + 4
        self.pen(0.9, INK)
        self.page.lines([(left, height, right, height), *((x, height - 2, x, height + 2) for x in (left, right))])

    def _mark(self, along: Axis, value: float, level: float, label: str, *, above: bool) -> None:
        """Draw a filled wedge above the line, or an open one below the figures, and its label."""
        place = along.at(value)
        tip, back, base = (level + 5, level + 12, level + 17) if above else (level - 15, level - 21, level - 30)
        path = self.page.beginPath()
        path.moveTo(place, tip)
        path.lineTo(place - 3.5, back)
        path.lineTo(place + 3.5, back)
        path.close()
        self.pen(0.8, INK)
        self.page.setFillGray(INK if above else WHITE)
        self.page.drawPath(path, stroke=1, fill=1)
        self.letter(7.5, INK)
        half = width_of(label, 7.5) / 2
        middle = min(max(place, half), self.width - half)
        self.page.drawCentredString(middle, base, label)
