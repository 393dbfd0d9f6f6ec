"""The same step once more, with other numbers: same formula, same items, in the units the student wrote them in.

Numbers are drawn near the student's own from a hash of the student's code, so that a sheet printed again is the same,
and every answer is worked out from the figures that are printed.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from marking.findings import Plot
from reports.next_step.drawing_lots import draw
from reports.next_step.line_points import LinePoints, line_points
from reports.next_step.setting_out import Given, SetOut, number_shown, set_out
from reports.wording import symbol_words
from rubrics.formulas import rounded
from rubrics.model import Item, Rubric
from rubrics.units import Unit

_FACTORS = ("0.72", "0.81", "0.88", "1.13", "1.24", "1.37", "0.64", "1.46")
_TRIES = 24
_FAR = (0.4, 2.5)
"""How far the new answer may be from the student's own: beyond, the numbers make no sense for the apparatus."""
_NEAR = 0.03
"""Nearer than this, the old answer would pass for the new one."""
_MOST_OF_A_COLUMN = 3
_MOST_FIGURES, _MOST_DIGITS = 4, 6
_STEEPEST_ANGLE = 80


@dataclass(frozen=True, slots=True, kw_only=True)
class Another:
    """A step with other numbers."""

    values: tuple[str, ...]
    """'m = 640 g', as they would be written down: no change of unit is shown."""
    step: SetOut
    symbol: str
    figures: int
    """As many as the number with the fewest has, inside what is usual for the answer."""

    @property
    def told(self) -> str:
        """Return the values in a row."""
        return " and ".join([", ".join(self.values[:-1]), self.values[-1]]) if len(self.values) > 1 else self.values[0]

    @property
    def answer(self) -> str:
        """Return the answer with symbol and unit."""
        return f"{self.symbol} = {self.step.answer(max(self.figures, 2))}"


def another(
    rubric: Rubric,
    item: Item,
    given: Mapping[str, Given | Sequence[Given]],
    wanted: Unit,
    own: float | None,
    seed: str,
) -> Another | None:
    """Return the step to *item* with other numbers; None where none near the student's own make sense.

    Args:
        rubric: The practical.
        item: An answer with a formula.
        given: The student's own numbers, as `given_numbers` returns them.
        wanted: Unit of the answer.
        own: What the student's numbers lead to, in *wanted*.
        seed: What the numbers are drawn from.
    """
    for attempt in range(_TRIES):
        drawn = {name: _drawn(rubric, name, one, f"{seed}/{name}/{attempt}") for name, one in given.items()}
        step = set_out(rubric, item, drawn, wanted, None)
        if step is None:
            return None
        if (
            step.value
            and _makes_sense(step.value, own)
            and not any(_is_odd(one) for one in drawn.values() if isinstance(one, Given))
        ):
            numbers = list(_all(drawn))
            fewest = min((len(one.value.as_tuple().digits) for one in numbers), default=3)
            low, high = item.figures
            return Another(
                values=_told(rubric, drawn),
                step=step,
                symbol=symbol_words(item),
                figures=min(max(fewest, low), high),
            )
    return None


def _all(drawn: Mapping[str, Given | Sequence[Given]]) -> Iterator[Given]:
    for one in drawn.values():
        yield from (one,) if isinstance(one, Given) else one


def _is_odd(number: Given) -> bool:
    return number.value == 0 or (number.unit.symbol == "°" and abs(number.value) > _STEEPEST_ANGLE)


def _makes_sense(value: float, own: float | None) -> bool:
    if own is None or not own:
        return math.isfinite(value)
    ratio = value / own
    return _FAR[0] <= ratio <= _FAR[1] and abs(ratio - 1) > _NEAR


def _drawn(rubric: Rubric, name: str, one: Given | Sequence[Given], seed: str) -> Given | list[Given]:
    factor = Decimal(_FACTORS[draw(seed, len(_FACTORS))])
    item = rubric.items.get(name)
    if isinstance(one, Given):
        return _scaled(one, factor, item)
    return [_scaled(number, factor, item) for number in list(one)[:_MOST_OF_A_COLUMN]]


def _scaled(number: Given, factor: Decimal, item: Item | None) -> Given:
    """Return a number of the same unit and decimal places, on a step of the instrument where that is known."""
    value = number.value * factor
    if item is not None and item.resolution and item.unit.factor == number.unit.factor:
        step = Decimal(repr(item.resolution))
        value = (value / step).quantize(Decimal(1), rounding=ROUND_HALF_UP) * step
    place = min(int(number.value.as_tuple().exponent), 0)
    value = value.quantize(Decimal(1).scaleb(place), rounding=ROUND_HALF_UP)
    # No more figures than anybody would copy down.
    value = rounded(value, min(_MOST_FIGURES, max(3, len(number.value.as_tuple().digits)))) if value else value
    return Given(value=_written_out(value), unit=number.unit)


def _written_out(value: Decimal) -> Decimal:
    """Return a whole number without a power of ten."""
    is_short = int(value.as_tuple().exponent) > 0 and value.adjusted() < _MOST_DIGITS
    return value.quantize(Decimal(1)) if is_short else value


def _told(rubric: Rubric, drawn: Mapping[str, Given | Sequence[Given]]) -> tuple[str, ...]:
    told = []
    for name, one in drawn.items():
        symbol = symbol_words(rubric.items[name])
        numbers = [one] if isinstance(one, Given) else list(one)
        unit = numbers[0].unit.symbol if numbers else ""
        shown = ", ".join(number_shown(number.value) for number in numbers)
        told.append(f"{symbol} = {shown}{'' if unit in ('', '°') else ' '}{unit}")
    return tuple(told)


# ---- gradients ------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Triangle:
    """A gradient from two points."""

    points: tuple[str, str]
    low: tuple[float, float]
    """The first of them."""
    working: str
    value: float
    unit: str


def triangle(points: LinePoints, wanted: str) -> Triangle:
    """Return the gradient of *points* set out; its unit is *wanted*."""
    x1, y1, x2, y2 = points.texts()
    return Triangle(
        points=(f"({x1}, {y1})", f"({x2}, {y2})"),
        low=points.low,
        working=f"({y2} − {_bracketed(y1)}) ÷ ({x2} − {_bracketed(x1)})",
        value=points.gradient,
        unit=wanted,
    )


def another_triangle(plot: Plot, wanted: str, seed: str) -> Triangle | None:
    """Return the gradient of another line over the same axes."""
    if plot.line is None:
        return None
    factor = float(_FACTORS[draw(seed, len(_FACTORS))])
    gradient, intercept = plot.line
    points = line_points(_with_line(plot, (gradient * factor, intercept * factor)))
    return None if points is None else triangle(points, wanted)


def _with_line(plot: Plot, line: tuple[float, float]) -> Plot:
    return Plot(x_label=plot.x_label, y_label=plot.y_label, x=plot.x, y=plot.y, odd_rows=plot.odd_rows, line=line)


def _bracketed(text: str) -> str:
    return f"({text})" if text.startswith("−") else text
