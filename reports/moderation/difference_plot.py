"""Differences against mean marks, one script a ring: where a marker is generous, and how wide the scatter is."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from marking.moderation.comparing import SecondLook
from marking.moderation.statistics import Agreement
from reports.charts import TICK_SIZE, Axis, Chart, axis, inset
from reports.page import INK, LINE, SOFT
from reports.wording import wording

_DOT = 2.2
_FLOOR, _LEFT, _RIGHT = 24.0, 30.0, 8.0


class DifferencePlot(Chart):
    """A plot after Bland and Altman, Lancet i (1986) 307."""

    def __init__(self, looks: Sequence[SecondLook], found: Agreement, width: float, height: float) -> None:
        """Take the scripts to draw, their figures, and the size in points."""
        super().__init__(width, height)
        self.points = Counter(((one.first_total + one.second_total) / 2, one.apart) for one in looks)
        self.found = found

    def draw(self) -> None:
        """Draw axes, lines and rings."""
        limits = self.found.limits
        ends = [limits.lower.at, limits.upper.at] if limits else []
        x = inset(axis([mean for mean, _ in self.points] or [0, 1], _LEFT, self.width - _LEFT - _RIGHT))
        y = axis([*(float(apart) for _, apart in self.points), *ends, -1.0, 1.0], _FLOOR, self.height - _FLOOR - 12)
        self.pen(0.7, INK)
        self.page.line(_LEFT, _FLOOR, _LEFT, self.height - 12)
        self.page.line(_LEFT, _FLOOR, self.width - _RIGHT, _FLOOR)
        self._figures(x, y)
        self.pen(0.5, LINE)
        self.page.line(_LEFT, y.at(0), self.width - _RIGHT, y.at(0))
        if self.found.severity is not None:
            self.pen(1.4, INK)
            self.page.line(_LEFT, y.at(self.found.severity.mean), self.width - _RIGHT, y.at(self.found.severity.mean))
        self.pen(0.7, INK, (4, 3))
        for end in ends:
            self.page.line(_LEFT, y.at(end), self.width - _RIGHT, y.at(end))
        self.pen(0.9, INK)
        for (mean, apart), count in sorted(self.points.items()):
            self.page.setFillGray(1.0 if count == 1 else SOFT)
            self.page.circle(x.at(mean), y.at(apart), _DOT * count**0.5, fill=1)

    def _figures(self, x: Axis, y: Axis) -> None:
        words = wording("moderation")["plot"]
        self.letter(grey=INK)
        for value in x.ticks:
            self.page.drawCentredString(x.at(value), _FLOOR - 9, x.label(value))
        for value in y.ticks:
            self.page.drawRightString(_LEFT - 4, y.at(value) - TICK_SIZE / 3, y.label(value))
        self.letter()
        self.page.drawRightString(self.width - _RIGHT, 3, words["x"])
        self.page.drawString(_LEFT + 4, self.height - 8, words["y"])
