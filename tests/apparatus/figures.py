"""Numbers as a calculator shows them and a hand writes them down: plain decimal arithmetic."""

from __future__ import annotations

import decimal
from decimal import Decimal
from enum import StrEnum

from msgspec import Struct

CALCULATOR_DIGITS = 12
"""Digits that a school calculator works with; beyond them stands only the noise of binary arithmetic."""

DISPLAY_DIGITS = 10
"""Digits that its display shows."""


class Rounding(StrEnum):
    """How a figure is shortened."""

    HALF_UP = "half-up"
    HALF_EVEN = "half-even"
    CUT = "cut"


_MODES = {
    Rounding.HALF_UP: decimal.ROUND_HALF_UP,
    Rounding.HALF_EVEN: decimal.ROUND_HALF_EVEN,
    Rounding.CUT: decimal.ROUND_DOWN,
}


class Form(StrEnum):
    """How a number is spelled."""

    PLAIN = "plain"
    LETTER_E = "9.97e2"
    CARET = "9.97 x 10^2"
    RAISED = "9.97 × 10²"


class Hand(Struct, frozen=True, kw_only=True):
    """How a student keeps the steps of a calculation."""

    figures: int | None
    """Significant figures of each step; None for all that the calculator shows."""
    rounding: Rounding = Rounding.HALF_UP

    def keep(self, value: float) -> float:
        """Return *value* as it is carried into the next step."""
        return kept(value, self.figures, self.rounding)


CAREFUL_HANDS = (
    Hand(figures=None),
    *(Hand(figures=figures, rounding=mode) for figures in (3, 4) for mode in (Rounding.HALF_UP, Rounding.HALF_EVEN)),
)
"""Every way of keeping steps that no careful student may lose a mark for."""


def shown(value: float) -> Decimal:
    """Return *value* to the digits that a calculator works with."""
    return Decimal(f"{value:.{CALCULATOR_DIGITS - 1}e}")


def kept(value: float, figures: int | None, rounding: Rounding) -> float:
    """Return *value* shortened to *figures* significant figures; unchanged where they are None."""
    if figures is None or value == 0:
        return value
    return float(_shortened(shown(value), figures, rounding))


def written(value: float, figures: int, rounding: Rounding = Rounding.HALF_UP, form: Form = Form.PLAIN) -> str:
    """Return *value* as text with *figures* significant figures, trailing zeros kept."""
    number = _shortened(shown(value), figures, rounding)
    if form is Form.PLAIN or number == 0:
        return format(number, "f")
    power = number.adjusted()
    mantissa = format(number.scaleb(-power).quantize(Decimal(1).scaleb(1 - figures)), "f")
    if form is Form.LETTER_E:
        return f"{mantissa}e{power}"
    if form is Form.CARET:
        return f"{mantissa} x 10^{power}"
    return f"{mantissa} × 10{str(power).translate(str.maketrans('-0123456789', '⁻⁰¹²³⁴⁵⁶⁷⁸⁹'))}"


def written_to_places(value: float, places: int, rounding: Rounding = Rounding.HALF_UP) -> str:
    """Return *value* as text with *places* decimals; never a minus before a zero."""
    number = shown(value).quantize(Decimal(1).scaleb(-places), rounding=_MODES[rounding])
    return format(abs(number) if number == 0 else number, "f")


def on_display(value: float) -> str:
    """Return *value* as it stands on a calculator's display."""
    if value != 0 and not 1e-9 < abs(value) < 1e10:
        return written(value, DISPLAY_DIGITS, form=Form.LETTER_E)
    number = _shortened(shown(value), DISPLAY_DIGITS, Rounding.HALF_UP) if value else Decimal(0)
    text = format(number, "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def figures_in(text: str) -> tuple[int, int]:
    """Return the fewest and the most significant figures that a plain or e-form number may claim."""
    mantissa = text.lower().split("e")[0].split("x")[0].split("×")[0].strip().lstrip("+-−")
    digits = mantissa.replace(".", "").lstrip("0")
    most = len(digits)
    return (most, most) if "." in mantissa or "e" in text.lower() else (len(digits.rstrip("0")), most)


def _shortened(number: Decimal, figures: int, rounding: Rounding) -> Decimal:
    if number == 0:
        return Decimal(0)
    short = number
    # A second time, for 9.996 becomes 10.00 first, which is a figure too many.
    for _ in range(2):
        short = short.quantize(Decimal(1).scaleb(short.adjusted() - figures + 1), rounding=_MODES[rounding])
    return short
