"""The same step once more, with other numbers: same formula, same items, in the units the student wrote them in.

Numbers are drawn near the student's own from a hash of the student's code, so that a sheet printed again is the same,
and every answer is worked out from the figures that are printed.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from decimal import ROUND_HALF_UP, Decimal

from msgspec import Struct

from reports.next_step.drawing_lots import draw
from reports.next_step.own_numbers import Odd, without
from reports.next_step.setting_out import Given, SetOut, is_mean, name_words, number_shown, set_out
from reports.wording import symbol_words
from rubrics.formulas import listed, rounded
from rubrics.model import Item, Rubric
from rubrics.units import Unit

_FACTORS = ("0.72", "0.81", "0.88", "0.92", "0.95", "1.06", "1.09", "1.13", "1.24", "1.37")
_TRIES = 32
_FAR = (0.4, 2.5)
"""How far the new answer may be from the student's own: beyond, the numbers make no sense for the apparatus."""
_CLOSE = 0.14
"""Nearer than this, it makes sense even where nature sets the answer."""
_NEAR = 0.03
"""Nearer than this, the old answer would pass for the new one."""
_MOST_OF_A_COLUMN = 3
_MOST_FIGURES, _MOST_DIGITS = 4, 6
CALCULATOR = 7
"""Digits that a calculator shows."""
_STEEPEST_ANGLE = 80


class Another(Struct, frozen=True, kw_only=True):
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
        return listed(self.values)

    @property
    def number(self) -> str:
        """Return the answer without its unit."""
        return self.step.number(max(self.figures, 2))

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
    *,
    is_long: bool = False,
    odd: Odd | None = None,
) -> Another | None:
    """Return the step to *item* with other numbers; None where none near the student's own make sense.

    Of the numbers that are drawn, those are taken whose answer lies near the student's own and is not to be taken for
    it: a density stays that of some metal, and a constant of nature about what it is.

    Args:
        rubric: The practical.
        item: An answer with a formula.
        given: The student's own numbers, as `given_numbers` returns them.
        wanted: Unit of the answer.
        own: What the student's numbers lead to, in *wanted*; None where that is not known yet.
        seed: What the numbers are drawn from.
        is_long: Only numbers whose answer a calculator shows with many digits.
        odd: The reading that a mean leaves out; it is told with the others.
    """
    if own is None:
        known = set_out(rubric, item, without(given, odd), wanted, None)
        own = known.value if known is not None else None
    best: tuple[float, Another] | None = None
    for attempt in range(_TRIES):
        drawn = _all_drawn(rubric, item, given, f"{seed}/{attempt}")
        step = set_out(rubric, item, without(drawn, odd), wanted, None)
        if step is None:
            return None
        if not step.value or not _makes_sense(step.value, own) or _has_odd(drawn):
            continue
        made = _another(rubric, item, drawn, step)
        if is_long and not _has_many_digits(step.value, made.figures):
            continue
        away = abs(step.value / own - 1) if own else 0.0
        away += 0.0 if reads_clearly(made.number, max(made.figures, 2)) else _FAR[1]
        if away <= _CLOSE:
            return made
        if best is None or away < best[0]:
            best = away, made
    return best[1] if best else None


def _another(rubric: Rubric, item: Item, drawn: Mapping[str, Given | Sequence[Given]], step: SetOut) -> Another:
    measured = [
        one for name, numbers in drawn.items() for one in _listed(numbers) if not _is_count(rubric.items[name], one)
    ]
    fewest = min((len(one.value.as_tuple().digits) for one in measured), default=3)
    low, high = item.figures
    return Another(values=_told(rubric, drawn), step=step, symbol=name_words(item), figures=min(max(fewest, low), high))


def reads_clearly(number: str, figures: int) -> bool:
    """Tell whether every figure of a printed number can be seen: 39 988 to three figures is 40 000 and cannot."""
    if "." in number or "×" in number:
        return True
    digits = re.sub(r"\D", "", number)
    return len(digits) <= figures or len(digits.rstrip("0")) >= figures


def _has_many_digits(value: float, figures: int) -> bool:
    return len(Decimal(f"{value:.{CALCULATOR}g}").normalize().as_tuple().digits) > max(figures, 2) + 1


def _listed(numbers: Given | Sequence[Given]) -> Sequence[Given]:
    return (numbers,) if isinstance(numbers, Given) else numbers


def _has_odd(drawn: Mapping[str, Given | Sequence[Given]]) -> bool:
    return any(_is_odd(one) for one in drawn.values() if isinstance(one, Given))


def _is_odd(number: Given) -> bool:
    return number.value == 0 or (number.unit.symbol == "°" and abs(number.value) > _STEEPEST_ANGLE)


def _makes_sense(value: float, own: float | None) -> bool:
    if own is None or not own:
        return math.isfinite(value)
    ratio = value / own
    return _FAR[0] <= ratio <= _FAR[1] and abs(ratio - 1) > _NEAR


def _all_drawn(
    rubric: Rubric, item: Item, given: Mapping[str, Given | Sequence[Given]], seed: str
) -> dict[str, Given | Sequence[Given]]:
    """Return every number drawn anew; repeats of one reading stay as near to each other as they were."""
    together = is_mean(item)
    drawn: dict[str, Given | Sequence[Given]] = {}
    for name, one in given.items():
        factor = Decimal(_FACTORS[draw(f"{seed}/{'' if together else name}", len(_FACTORS))])
        source = rubric.items[name]
        if isinstance(one, Given):
            drawn[name] = _scaled(one, factor, source)
        else:
            drawn[name] = [_scaled(number, factor, source) for number in list(one)[:_MOST_OF_A_COLUMN]]
    return drawn


def _scaled(number: Given, factor: Decimal, item: Item) -> Given:
    """Return a number of the same unit and decimal places, on a step of the instrument where that is known."""
    value = number.value * factor
    if item.resolution and item.unit.factor == number.unit.factor:
        step = Decimal(repr(item.resolution))
        value = (value / step).quantize(Decimal(1), rounding=ROUND_HALF_UP) * step
    place = min(int(number.value.as_tuple().exponent), 0)
    value = value.quantize(Decimal(1).scaleb(place), rounding=ROUND_HALF_UP)
    # No more figures than anybody would copy down, and no decimal place that was not written.
    short = rounded(value, min(_MOST_FIGURES, max(3, len(number.value.as_tuple().digits)))) if value else value
    value = short if int(short.as_tuple().exponent) > place else value
    return Given(value=_written_out(value), unit=number.unit)


def _is_count(item: Item, number: Given) -> bool:
    """Tell whether a number was counted, not measured."""
    return item.is_whole_count or (not number.unit.symbol and int(number.value.as_tuple().exponent) >= 0)


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
