"""Charts of a whole class: marks, criteria, results. Shapes and hatching, never colour."""

from __future__ import annotations

import statistics
from collections import Counter
from collections.abc import Sequence

from marking.cohort.picture import CriterionPicture
from reports.charts.axes import TICK_SIZE, Axis, axis, inset, named
from reports.charts.student_charts import Chart
from reports.page import BAND, BOLD, INK, REGULAR, SOFT, TABLE_SIZE, WHITE, shortened, width_of, wrapped
from reports.wording import fill, wording
from rubrics.formulas import listed, printed
from rubrics.model import AcceptedValue

KINDS = ("full", "part", "none", "pending")
"""The pieces of a strip, from left to right; also the names of the counts in a CriterionPicture."""
FULL, PART = 0.25, 0.68
"""Greys of 'all marks' and 'some'; far apart, so that a copier keeps them apart."""
_FAR = 8.0
"""Spreads (median distances from the median) from which a result is shown at the edge of the scale."""
_DOT = 2.4


class Histogram(Chart):
    """How many students have how many marks."""

    def __init__(self, counts: Sequence[int], width: float, height: float) -> None:
        """Take the students with 0, 1, 2 ... marks and the size in points."""
        super().__init__(width, height)
        self.counts = counts

    @property
    def figure(self) -> str:
        """Return what it shows in words, for a reader who does not see it."""
        words = wording("summary")["figure"]
        pairs = [(mark, count) for mark, count in enumerate(self.counts) if count]
        told = [fill([words["bar"]], {"count": str(count), "mark": str(mark)}) for mark, count in pairs]
        return fill([words["marks"]], {"bars": listed(told, most=len(told))})

    def draw(self) -> None:
        """Draw a bar for each mark with its count on top."""
        floor, top = 22.0, self.height - 10
        step = self.width / len(self.counts)
        tallest = max(1, *self.counts)
        every = next(n for n in (1, 2, 5, 10, 20, 50, 100) if step * n >= width_of("00", TICK_SIZE) + 3)
        self.pen(0.5, INK)
        self.page.setFillGray(PART)
        for mark, count in enumerate(self.counts):
            if count:
                self.page.rect(step * mark + step * 0.14, floor, step * 0.72, (top - floor) * count / tallest, fill=1)
        self.pen(0.7, INK)
        self.page.line(0, floor, self.width, floor)
        self.letter(grey=INK)
        for mark, count in enumerate(self.counts):
            middle = step * (mark + 0.5)
            if count and step >= width_of(str(count), TICK_SIZE):
                self.page.drawCentredString(middle, floor + (top - floor) * count / tallest + 2.5, str(count))
            if mark % every == 0:
                self.page.drawCentredString(middle, floor - 9, str(mark))
        self.letter()
        self.page.drawRightString(self.width, 2, wording("summary")["marks"]["axis"])


class CriterionStrips(Chart):
    """For each criterion a strip of the class: all marks, some, none, still to decide."""

    _LEGEND, _LINE, _PAD = 22.0, 9.5, 7.5
    _CODE, _COUNT = 26.0, 56.0

    def __init__(self, criteria: Sequence[CriterionPicture], width: float) -> None:
        """Take the criteria and the width in points."""
        self.criteria = criteria
        self.bar_left = width * 0.6
        self.bar_width = width - self.bar_left - self._COUNT
        room = self.bar_left - self._CODE - 8
        self.points = [wrapped(criterion.point, room, TABLE_SIZE) for criterion in criteria]
        self.heights = [len(lines) * self._LINE + self._PAD for lines in self.points]
        super().__init__(width, sum(self.heights) + self._LEGEND)

    @property
    def figure(self) -> str:
        """Return what it shows in words, for a reader who does not see it."""
        words = wording("summary")["figure"]
        return " ".join(
            fill([words["criterion"]], {"code": one.code, **{kind: str(getattr(one, kind)) for kind in KINDS}})
            for one in self.criteria
        )

    def draw(self) -> None:
        """Draw legend and strips."""
        self._legend()
        top = self.height - self._LEGEND
        for criterion, lines, height in zip(self.criteria, self.points, self.heights, strict=True):
            self._strip(criterion, lines, top - self._PAD)
            top -= height

    def _legend(self) -> None:
        words = wording("summary")["criteria"]
        right = self.width
        for kind in reversed(KINDS):
            right -= width_of(words[kind], TICK_SIZE)
            self.letter()
            self.page.drawString(right, self.height - 10, words[kind])
            self._box(right - 11, self.height - 11.5, 8.0, kind)
            right -= 25

    def _strip(self, criterion: CriterionPicture, lines: Sequence[str], base: float) -> None:
        self.page.setFillGray(INK)
        self.page.setFont(BOLD, TABLE_SIZE)
        self.page.drawString(0, base, shortened(criterion.code, self._CODE - 3, TABLE_SIZE, BOLD))
        self.page.setFont(REGULAR, TABLE_SIZE)
        for number, line in enumerate(lines):
            self.page.drawString(self._CODE, base - number * self._LINE, line)
        everyone = sum(getattr(criterion, kind) for kind in KINDS)
        left = self.bar_left
        for kind in KINDS:
            width = self.bar_width * getattr(criterion, kind) / max(everyone, 1)
            if width:
                self._box(left, base - 1.5, width, kind)
            left += width
        decided = everyone - criterion.pending
        words = wording("summary")["criteria"]
        count = {"full": str(criterion.full), "all": str(decided)}
        self.page.setFillGray(INK)
        self.page.drawRightString(self.width, base, fill([words["count"]], count) if decided else words["pending"])

    def _box(self, left: float, base: float, width: float, kind: str) -> None:
        """Draw one piece of a strip; what is still to decide is hatched."""
        self.pen(0.5, INK)
        self.page.setFillGray({"full": FULL, "part": PART}.get(kind, WHITE))
        self.page.rect(left, base, width, 8.5, stroke=1, fill=1)
        if kind == "pending":
            self.pen(0.4, SOFT)
            count = int(width / 3)
            self.page.lines([(left + 3 * n + 1.5, base, left + 3 * n + 1.5, base + 8.5) for n in range(count)])


class DotPlot(Chart):
    """Every result of a class as a dot over a number line, with the accepted values."""

    def __init__(
        self,
        values: Sequence[float],
        accepted: Sequence[AcceptedValue],
        width: float,
        label: str = "",
        size: float = TICK_SIZE,
    ) -> None:
        """Take results, accepted values, width, 'quantity / unit', and the size of the figures, both in points."""
        low, high = sound_range(values)
        low = min(low, *(one.value - one.uncertainty for one in accepted), low)
        high = max(high, *(one.value + one.uncertainty for one in accepted), high)
        self.low = [value for value in values if value < low]
        self.high = [value for value in values if value > high]
        self.inside = sorted(value for value in values if low <= value <= high)
        self.accepted = sorted(accepted, key=lambda one: one.value)
        self.size, self.dot = size, _DOT * size / TICK_SIZE
        ends = [one.value + side * one.uncertainty for one in self.accepted for side in (-1, 1)]
        drawn = [*self.inside, *ends]  # never empty: the median lies inside its own range
        room = (max(drawn) - min(drawn)) * 0.04
        self.along = _apart([min(drawn) - room, max(drawn) + room], width - 12.0, size)
        self.label = named(label, self.along)
        self.stacks = Counter(round(self.along.at(value) / (2 * self.dot)) for value in self.inside)
        self.line = size * 1.5
        self.names = wrapped(self.label, width, size) if label else ()
        self.floor = self.line * (1 + len(self.names) + bool(self.low or self.high)) + 4
        super().__init__(width, self.floor + self.line * 1.4 + 2 * self.dot * max(6, *self.stacks.values()))

    @property
    def figure(self) -> str:
        """Return what it shows in words, for a reader who does not see it."""
        words = wording("summary")["figure"]
        values = [*self.low, *self.inside, *self.high]
        slots = {
            "count": str(len(values)),
            "label": self.label,
            "lowest": printed(min(values), 3),
            "highest": printed(max(values), 3),
        }
        said = [fill([words["results"]], slots)]
        for one in self.accepted:
            ends = {"low": printed(one.value - one.uncertainty, 3), "high": printed(one.value + one.uncertainty, 3)}
            said.append(fill([words["accepted"]], {"name": one.name, **ends}))
        return " ".join(said)

    def draw(self) -> None:
        """Draw band, number line, dots, its name, and how many lie beyond."""
        floor = self.floor
        top = self.height - self.line
        for name, place, one in zip(names_of(self.accepted), self.name_places(), self.accepted, strict=True):
            self._accepted(one, floor, top)
            self.letter(self.size, INK)
            self.page.drawCentredString(place, top + self.size * 0.5, name)
        self.pen(0.7, INK)
        self.page.line(self.along.start, floor, self.along.start + self.along.length, floor)
        self.page.lines([(self.along.at(t), floor - 3, self.along.at(t), floor) for t in self.along.ticks])
        self.letter(self.size, INK)
        for tick in self.along.ticks:
            self.page.drawCentredString(self.along.at(tick), floor - 3 - self.size, self.along.short(tick))
        self.page.setFillGray(INK)
        self.pen(0.5, WHITE)
        for place, count in self.stacks.items():
            for number in range(count):
                at = floor + self.dot * (2 * number + 1) + 1
                self.page.circle(place * 2 * self.dot, at, self.dot, stroke=1, fill=1)
        base = floor - 3 - self.size
        for line in self.names:
            base -= self.line
            self.letter(self.size, INK)
            self.page.drawCentredString(self.width / 2, base, line)
        self._beyond(base - self.line)

    def _accepted(self, one: AcceptedValue, floor: float, top: float) -> None:
        at = self.along.at(one.value)
        left, right = self.along.at(one.value - one.uncertainty), self.along.at(one.value + one.uncertainty)
        self.page.setFillGray(BAND)
        self.page.rect(left, floor, max(right - left, 0.0), top - floor, stroke=0, fill=1)
        self.pen(0.9, INK, (3, 2))
        self.page.line(at, floor, at, top)
        self.pen()

    def name_places(self) -> list[float]:
        """Return where the names of the accepted values stand, each over its line or pushed right by the one before."""
        widths = [width_of(name, self.size) for name in names_of(self.accepted)]
        places: list[float] = []
        for one, width in zip(self.accepted, widths, strict=True):
            least = places[-1] + widths[len(places) - 1] / 2 + width / 2 + 4 if places else width / 2
            places.append(max(self.along.at(one.value), least))
        return [min(place, self.width - width / 2) for place, width in zip(places, widths, strict=True)]

    def _beyond(self, base: float) -> None:
        words = wording("summary")["results"]
        self.letter(self.size, INK)
        if self.low:
            self.page.drawString(0, base, "◂ " + fill([words["beyond_low"]], {"count": str(len(self.low))}))
        if self.high:
            note = fill([words["beyond_high"]], {"count": str(len(self.high))}) + " ▸"
            self.page.drawRightString(self.width, base, note)


def _apart(ends: Sequence[float], length: float, size: float) -> Axis:
    """Return an axis with as many figures as stand clear of each other."""
    for most in (8, 5, 4, 3, 2):
        along = inset(axis(ends, 6.0, length, most=most), size)
        widest = max(width_of(along.short(tick), size) for tick in along.ticks)
        if widest + size <= along.length * along.step / (along.high - along.low):
            break
    return along


def names_of(accepted: Sequence[AcceptedValue]) -> list[str]:
    """Return how accepted values are marked: a word where there is one, letters where there are more."""
    word = str(wording("summary")["results"]["accepted"])
    return [word] if len(accepted) == 1 else [chr(ord("A") + place) for place in range(len(accepted))]


def sound_range(values: Sequence[float]) -> tuple[float, float]:
    """Return the range outside which a value would squeeze all others together: 8 median distances either way."""
    middle = statistics.median(values)
    distances = [abs(value - middle) for value in values]
    spread = statistics.median(distances) or max(abs(middle) * 0.05, 1e-12)
    return middle - _FAR * spread, middle + _FAR * spread
