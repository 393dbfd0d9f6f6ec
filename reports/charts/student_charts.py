"""Graphs of one student's data: drawn as lines on the page, so they stay sharp and read well in grey."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from msgspec.structs import replace
from reportlab.pdfgen.canvas import Canvas

from marking.findings import Plot, Result
from reports.charts.axes import TICK_SIZE, Axis, axis, inset, is_drawable, named
from reports.next_step import line_points
from reports.page import BAND, GRID, INK, REGULAR, SOFT, WHITE, Flowable, width_of, wrapped
from reports.wording import fill, rows_named, wording
from rubrics.formulas import printed

_CROSS, _SMALL_CROSS = 2.4, 1.6
"""Half the width of a data cross, in points; the smaller one where points crowd."""
_CROWD = 15
NAME_SIZE, _NAME_LINE = 9.0, 11.0
"""Points of words on a chart; only the figures along an axis are smaller."""
_STRAIGHT = 0.03
"""Of what the points span upwards: a curve that bends less is a line to the eye."""
_RING = 6.0
_POINT = 2.2
"""Radius of a point of the triangle, in points."""


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

    def __init__(self, plot: Plot, width: float, height: float, *, hides_values: bool = False) -> None:
        """Take the data, the size in points, and whether gradient and intercept are kept back."""
        super().__init__(width, height)
        self.plot, self.hides_values = plot, hides_values
        self.triangle = line_points(plot)
        pairs = enumerate(zip(plot.x, plot.y, strict=True))
        self.points = [(n, x, y) for n, (x, y) in pairs if is_drawable(x) and is_drawable(y)]

    @property
    def is_drawable(self) -> bool:
        """Tell whether there is a point to draw."""
        return bool(self.points)

    @property
    def is_joined(self) -> bool:
        """Tell whether values are read off between the points, for want of a line or a curve that fits them."""
        return self.plot.line is None and not self.plot.curve and len(self.points) > 2

    @property
    def figure(self) -> str:
        """Return what it shows in words, for a reader who does not see it."""
        words = wording("sheet")["figure"]
        xs, ys = [x for _, x, _ in self.points], [y for _, _, y in self.points]
        slots = {
            "x": self.plot.x_label, "y": self.plot.y_label, "count": str(len(self.points)),
            "x_low": printed(min(xs), 3), "x_high": printed(max(xs), 3),
            "y_low": printed(min(ys), 3), "y_high": printed(max(ys), 3),
        }  # fmt: skip
        said = [fill([words["points_one" if len(self.points) == 1 else "points"]], slots)]
        if self.plot.line is not None and self.hides_values:
            said.append(words["line_only"])
        elif self.plot.line is not None:
            gradient, intercept = self.plot.line
            slots |= {"gradient": printed(gradient, 3), "intercept": printed(intercept, 3)}
            said.append(fill([words["line"]], slots))
        elif self.is_joined:
            said.append(words["joined"])
        elif self.plot.curve:
            said.append(words["line_only" if is_straight(self.plot) else "curve"])
        if self.plot.odd_rows:
            said.append(fill([words["odd"]], {"rows": rows_named([row + 1 for row in self.plot.odd_rows])}))
        return " ".join(said)

    def draw(self) -> None:
        """Draw axes, points, line and rings."""
        across, up = self._axes()
        self._grid(across, up)
        path = self.page.beginPath()
        path.rect(across.start, up.start, across.length, up.length)
        self.page.saveState()
        self.page.clipPath(path, stroke=0, fill=0)
        self._trend(across, up)
        self._triangle(across, up)
        self.page.restoreState()
        self._crosses(across, up)
        self._rings(across, up)

    def _axes(self) -> tuple[Axis, Axis]:
        xs, ys = [x for _, x, _ in self.points], [y for _, _, y in self.points]
        zero = self.plot.includes_origin
        up = axis(ys, 0.0, self.height, zero=zero)
        lines = [len(self._name_lines(label, up)) for label in (self.plot.x_label, self.plot.y_label)]
        bottom, top = 15.0 + _NAME_LINE * lines[0], 5.0 + _NAME_LINE * lines[1]
        up = replace(up, start=bottom, length=self.height - bottom - top)
        left = max(width_of(up.short(tick), TICK_SIZE) for tick in up.ticks) + 7
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
            self.page.drawRightString(across.start - 5, up.at(tick) - 2.5, up.short(tick))
        self.letter(NAME_SIZE, INK)
        for number, line in enumerate(self._name_lines(self.plot.y_label, up)):
            self.page.drawString(0, self.height - NAME_SIZE - _NAME_LINE * number, line)
        lines = self._name_lines(self.plot.x_label, across)
        for number, line in enumerate(lines):
            self.page.drawRightString(right, 3 + _NAME_LINE * (len(lines) - 1 - number), line)

    def _name_lines(self, label: str, along: Axis) -> tuple[str, ...]:
        """Return quantity and unit of an axis, on as many lines as they need: neither is cut."""
        name, slash, unit = named(label, along).rpartition(" / ")
        whole = f"{name}{slash}{unit}".replace(" / ", "\u00a0/\u00a0") if slash else unit
        return wrapped(whole, self.width, NAME_SIZE)

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
        if self.is_joined:
            self.pen(0.6, SOFT)
            kept = sorted((x, y) for number, x, y in self.points if number not in self.plot.odd_rows)
            steps = [(across.at(x), up.at(y)) for x, y in kept]
            self.page.lines([(*here, *there) for here, there in pairwise(steps)])

    def _triangle(self, across: Axis, up: Axis) -> None:
        """Draw the triangle of the gradient, and ring its two points."""
        if self.triangle is None:
            return
        (x1, y1), (x2, y2) = ((across.at(x), up.at(y)) for x, y in (self.triangle.low, self.triangle.high))
        self.pen(0.7, SOFT, (2.5, 2))
        self.page.lines([(x1, y1, x2, y1), (x2, y1, x2, y2)])
        self.pen(0.7, INK)
        self.page.setFillGray(WHITE)
        for h, v in ((x1, y1), (x2, y2)):
            self.page.circle(h, v, _POINT, stroke=1, fill=1)

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
        half = width_of(word, NAME_SIZE) / 2 + 1.5
        middle = min(max(h, across.start + half), across.start + across.length - half)
        base = v + _RING + 3 if v + _RING + 12 < up.start + up.length else v - _RING - 9
        self.page.setFillGray(WHITE)
        self.page.rect(middle - half, base - 1.5, 2 * half, NAME_SIZE + 1, stroke=0, fill=1)
        self.letter(NAME_SIZE, INK)
        self.page.drawCentredString(middle, base, word)


def is_straight(plot: Plot) -> bool:
    """Tell whether the curve that was fitted looks like a straight line beside the points, as a resistor's does."""
    if not plot.curve:
        return False
    (x1, y1), (x2, y2) = plot.curve[0], plot.curve[-1]
    rise = (y2 - y1) / (x2 - x1) if x2 != x1 else 0.0
    away = max(abs(y - y1 - rise * (x - x1)) for x, y in plot.curve)
    return away <= _STRAIGHT * (max(plot.y) - min(plot.y))


class ResultScale(Chart):
    """A student's result on a number line, beside the accepted value and its band."""

    def __init__(self, result: Result, width: float) -> None:
        """Take the result and the width in points."""
        super().__init__(width, 68.0)
        self.result = result

    @property
    def figure(self) -> str:
        """Return what it shows in words, for a reader who does not see it."""
        words, accepted = wording("sheet")["figure"], self.result.accepted
        slots = {"own": printed(self.result.value, 3), "unit": self.result.unit}
        if accepted is not None:
            slots["accepted"] = printed(accepted.value, 3)
            slots["spread"] = printed(accepted.uncertainty, 2) if accepted.uncertainty > 0 else ""
        return fill(words["result"], slots)

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
            self.page.setFillGray(BAND)
            self.page.rect(along.at(low), level - 5, max(along.at(high) - along.at(low), 1.0), 10, stroke=0, fill=1)
        self._number_line(along, level)
        self._bar(along, level)
        words = wording("sheet")["data"]
        own, right = (f"{printed(value, 3)} {self.result.unit}" for value in (self.result.value, accepted.value))
        self._mark(along, self.result.value, level, f"{words['own']} {own}".strip(), above=True)
        self._mark(along, accepted.value, level, f"{words['accepted']} {right}".strip(), above=False)

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
        self.letter(NAME_SIZE, INK)
        half = width_of(label, NAME_SIZE) / 2
        middle = min(max(place, half), self.width - half)
        self.page.drawCentredString(middle, base, label)
