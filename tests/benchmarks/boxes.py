"""An answer box with all that a slip in it may draw on, and the intervals that decide what prints alike."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from msgspec import Struct, field

from tests.apparatus import Bench, Key, Quantity, Working
from tests.apparatus.figures import (
    CAREFUL_HANDS,
    DISPLAY_DIGITS,
    Form,
    Hand,
    Rounding,
    kept,
    on_display,
    shown,
    written,
    written_to_places,
)
from tests.apparatus.lines import gradient_error
from tests.apparatus.sheets import Answer
from tests.apparatus.wire import DRAWING_ERROR, WireBench
from tests.benchmarks.digits import value_of

LINE_TO_TEACHER = 0.10
"""A gradient within a tenth of least squares is right, or at worst for the teacher to look at."""

STANDARD_ERRORS = 3.0
"""And one within so many standard errors of it."""

SPREAD_OF_STEPS = 0.006
"""What a step kept to 3 figures does to a wrong answer, at the most."""


class Slip(Struct, frozen=True, kw_only=True):
    """One way to get an answer wrong."""

    cause: str
    detail: str
    value: float
    """What the student arrives at, in the unit written."""
    text: str = ""
    """What is written, where the slip is in the writing itself."""
    is_diffuse: bool = False
    """One of dozens of the kind (any digit changed to any other), which no reader would think of first."""
    is_rare: bool = False
    """Possible, and so a rival of others, but too far-fetched to be planted."""
    unit_text: str = ""
    """A wrong unit that goes with the wrong formula."""


class Box(Struct, frozen=True, kw_only=True):
    """One answer as the student would have given it without a slip."""

    bench: Bench
    answer: Answer
    earlier: Mapping[Key, Quantity]
    """Earlier answers as carried."""
    texts: Mapping[Key, str]
    """Earlier answers as written."""
    hand: Hand
    rounding: Rounding
    form: Form
    unrounded: Mapping[Key, Quantity] = field(default_factory=dict)
    """Earlier answers with every figure."""

    @property
    def key(self) -> Key:
        """Return the box."""
        return self.answer.key

    @property
    def unit(self) -> str:
        """Return the unit the answer is given in."""
        return self.answer.unit

    @property
    def working(self) -> Working:
        """Return how the answer is worked out."""
        return self.answer.working

    @property
    def right(self) -> float:
        """Return the answer with every step at full figures."""
        return self.working.exact()

    @property
    def is_line(self) -> bool:
        """Tell whether the answer is read off a drawn line."""
        return not self.working.numbers

    def held(self, name: str) -> Quantity:
        """Return a number that goes in, as the student has it on the page."""
        if name in self.working.readings:
            return self.working.readings[name].quantity
        return self.earlier[self.working.carried[name]]

    def held_text(self, name: str) -> str:
        """Return the text of that number."""
        if name in self.working.readings:
            return self.working.readings[name].text
        return self.texts[self.working.carried[name]]

    def with_numbers(self, changed: Mapping[str, float], hand: Hand) -> float:
        """Return what the first way of working gives with some numbers changed."""
        return self.working.routes[0]({**self.working.numbers, **changed}, hand.keep)


def print_value(box: Box, value: float, figures: int | None) -> tuple[str, float]:
    """Return a value as it is written in this box, and the size of its last place.

    Args:
        box: The box.
        value: In the unit of the box.
        figures: Significant figures; None for a difference to its decimals, or the whole display.
    """
    places = box.bench.natural_places(box.key)
    if figures is None and places is not None:
        return written_to_places(value, places), 10.0**-places
    if figures is None:
        return on_display(value), 10.0 ** (shown(value).adjusted() - DISPLAY_DIGITS + 1)
    text = written(value, figures, box.rounding, box.form)
    return text, 10.0 ** (shown(float(written(value, figures, box.rounding))).adjusted() - figures + 1)


def finest_place(text: str) -> float:
    """Return the size of the last digit of a text in plain or e-form."""
    mantissa, _, power = text.partition("e")
    return 10.0 ** (int(power or 0) - len(mantissa.partition(".")[2]))


def careful_values(box: Box, *, lenient: bool = False) -> list[float]:
    """Return the values that careful work leads to in this box, before they are written.

    Where *lenient*, steps and earlier answers may be as short as readings of two figures.
    """
    hands = lenient_hands(box) if lenient else CAREFUL_HANDS
    values = []
    for earlier in _ways_to_carry(box, lenient=len(hands) > len(CAREFUL_HANDS)):
        working = box.bench.working(box.key, box.unit, earlier)
        values += [
            working.follow(route, hand.keep, keeps_conversions=converts)
            for route in working.routes
            for hand in hands
            for converts in (False, True)
        ]
    return values


def lenient_hands(box: Box) -> tuple[Hand, ...]:
    """Return careful hands, and with readings of two figures those that keep steps of two."""
    if box.bench.own_figures(box.key) > 2:
        return CAREFUL_HANDS
    return (*CAREFUL_HANDS, Hand(figures=2), Hand(figures=2, rounding=Rounding.HALF_EVEN))


def _ways_to_carry(box: Box, *, lenient: bool) -> Iterable[Mapping[Key, Quantity]]:
    yield box.earlier
    yield box.unrounded
    if lenient:
        yield {
            key: Quantity(value=kept(quantity.value, 2, Rounding.HALF_UP), unit=quantity.unit)
            for key, quantity in box.unrounded.items()
        }


def careful_line(box: Box, *, lenient: bool) -> tuple[float, float]:
    """Return the lowest and highest gradient of a careful drawing; where *lenient*, of one left to the teacher too."""
    drawn = getattr(box.bench, "drawn", 1.0)
    middle = box.right / drawn
    error = (LINE_TO_TEACHER if lenient else DRAWING_ERROR) * abs(middle)
    if lenient and isinstance(box.bench, WireBench):
        error = max(error, STANDARD_ERRORS * gradient_error(*box.bench.columns(box.unit, box.earlier)))
    return middle - error, middle + error


def is_right(box: Box, value: float, last_place: float) -> bool:
    """Tell whether *value*, as written, is what careful work leads to."""
    lower, upper = value - last_place / 2, value + last_place / 2
    if box.is_line:
        return _touches(lower, upper, *careful_line(box, lenient=False))
    return any(_touches(lower, upper, one, one) for one in careful_values(box))


def could_pass(box: Box, text: str, last_place: float) -> bool:
    """Tell whether what is written may pass: with steps as short as the readings, or the last figure cut.

    The zeros at the end of a whole number may stand for nothing: 2800 may be 2.8 thousand.
    """
    value = value_of(text)
    if "." not in text and "e" not in text:
        digits = text.lstrip("-")
        last_place = max(last_place, 10.0 ** (len(digits) - len(digits.rstrip("0"))))
    if box.is_line:
        low, high = careful_line(box, lenient=True)
    else:
        values = careful_values(box, lenient=True)
        low, high = min(values), max(values)
    lower = value - (last_place if value < 0 else last_place / 2)
    upper = value + (last_place if value > 0 else last_place / 2)
    return _touches(lower, upper, low, high)


def _touches(lower: float, upper: float, low: float, high: float) -> bool:
    return lower <= high + 1e-9 * abs(high) and upper >= low - 1e-9 * abs(low)


def prints_alike(slip: Slip, value: float, last_place: float) -> bool:
    """Tell whether a slip could have put *value* on the page, steps kept to 3 figures or more."""
    spread = SPREAD_OF_STEPS * abs(slip.value) if not slip.text else 0.0
    return math.isfinite(slip.value) and abs(slip.value - value) <= last_place / 2 + spread
