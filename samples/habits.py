"""How one student works: steps kept, figures given, lines drawn, bad habits; and a number as that student writes it."""

from __future__ import annotations

import math
from decimal import ROUND_DOWN, ROUND_HALF_UP, Decimal
from random import Random

from msgspec import Struct

DISPLAY_FIGURES = 8
"""What a calculator shows; it drops zeros at the end."""
PLAIN = (1e-3, 1e6)
"""Numbers outside this range are written with a power of ten."""


class Habits(Struct, frozen=True, kw_only=True):
    """What one student always does."""

    figures: int | None = 3
    """Of an answer; None: all that the calculator shows."""
    has_places: bool = False
    """Keeps one number of decimal places down a column."""
    keeps: int | None = None
    """Figures of a step on the way; None: all of them."""
    cuts: bool = False
    """Cuts figures off where others round."""
    carries_written: bool = False
    """Goes on with the answer as it stands on the paper, not as it stands in the calculator."""
    tilt: float = 0.0
    """How much steeper their drawn line is than the fitted one, as a share."""
    likes_e: bool = False
    forgets_units: float = 0.0
    """How often an answer stands without its unit."""
    copies_display: float = 0.0
    """How often an answer has all that the calculator shows."""
    leaves_out: float = 0.3
    """How often an answer is left out that need not be given."""

    def keep(self, value: float) -> float:
        """Return a step as it is carried on."""
        return value if self.keeps is None else float(_shortened(value, self.keeps, cuts=self.cuts))

    def text(self, value: float, figures: int | None) -> str:
        """Return *value* to *figures* figures (None: the display), with a power of ten where it needs one."""
        if value == 0:
            return "0"
        if figures is None:
            number = _shortened(value, DISPLAY_FIGURES, cuts=True).normalize()
        else:
            number = _shortened(value, figures, cuts=self.cuts)
        if PLAIN[0] <= abs(value) < PLAIN[1]:
            return f"{number:f}"
        power = number.adjusted()
        mantissa = f"{number.scaleb(-power):f}"
        return f"{mantissa}e{power}" if self.likes_e else f"{mantissa} x 10^{power}"

    def to_places(self, value: float, places: int) -> str:
        """Return *value* with so many decimal places; never a minus before a zero."""
        mode = ROUND_DOWN if self.cuts else ROUND_HALF_UP
        number = shown(value).quantize(Decimal(1).scaleb(-places), mode)
        return f"{abs(number) if number == 0 else number:f}"


def ordinary(chance: Random) -> Habits:
    """Return the habits of some student of a sample class."""
    return Habits(
        carries_written=chance.random() < 0.5,
        tilt=0.0 if chance.random() < 0.2 else chance.gauss(0, 0.012),
        likes_e=chance.random() < 0.5,
        forgets_units=0.6 if chance.random() < 0.15 else 0.0,
        copies_display=0.6 if chance.random() < 0.15 else 0.0,
    )


def number_of(text: str) -> float:
    """Return the number that :meth:`Habits.text` wrote."""
    return float(text.replace(" x 10^", "e"))


def shown(value: float) -> Decimal:
    """Return *value* without the noise of binary arithmetic."""
    return Decimal(f"{value:.11e}")


def places_for(values: list[float], figures: int) -> int:
    """Return the decimal places that leave the smallest of *values* with *figures* figures."""
    smallest = min((abs(one) for one in values if one), default=1.0)
    return max(0, figures - 1 - math.floor(math.log10(smallest)))


def _shortened(value: float, figures: int, *, cuts: bool) -> Decimal:
    number = shown(value)
    if not number:
        return Decimal(0)
    mode = ROUND_DOWN if cuts else ROUND_HALF_UP
    for _ in range(2):  # 9.996 to three figures is 10.0
        number = number.quantize(Decimal(1).scaleb(number.adjusted() - figures + 1), mode)
    return number
