"""Numbers as they are printed, everywhere: on sheets, in messages, on the teacher's lists.

One form for one number: 1.23 × 10⁻⁴ on one paper is never 0.000123 on another.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal

_PLAIN = (-3, 6)
"""Powers of ten between which a number is printed without one: 0.001 23 and 999 999 still read well."""
_GROUPED_FROM = 5
"""Digits before the point from which they stand in groups."""
_NARROW = "\u202f"
_SUPERSCRIPTS = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")


def rounded(value: Decimal, figures: int) -> Decimal:
    """Return *value* to *figures* significant figures, halves away from zero, as schools round."""
    if not value:
        return value
    return value.quantize(Decimal(1).scaleb(value.adjusted() - figures + 1), rounding=ROUND_HALF_UP)


def printed(value: float | Decimal, figures: int | None = None) -> str:
    """Return *value* to *figures* significant figures (all digits where None), with a proper minus sign.

    Very large and very small values are printed as 4.9 × 10⁻⁷, long whole parts in groups: 24 600.
    """
    if not math.isfinite(value):
        return "no value"
    number = value if isinstance(value, Decimal) else Decimal(repr(float(value)))
    if not number and (figures is not None or isinstance(value, float)):
        return "0"
    if figures is not None:
        number = rounded(rounded(number, figures), figures)  # 9.996 becomes 10.00 first, then 10.0
    elif not isinstance(value, Decimal):
        number = number.normalize()  # 900, not 900.0: zeros of a float hold a place; they are no figures
    power = number.adjusted() if number else 0
    if is_plain(power):
        return grouped(f"{number:f}".replace("-", "−"))
    mantissa = f"{number.scaleb(-power):f}".replace("-", "−")
    return f"{mantissa}{times_ten_to(power)}"


def is_plain(power: int) -> bool:
    """Tell whether a number whose first figure stands at 10 to the *power* is printed without a power of ten."""
    return _PLAIN[0] <= power < _PLAIN[1]


def times_ten_to(power: int) -> str:
    """Return ' × 10⁻⁷'."""
    return f" × 10{str(power).translate(_SUPERSCRIPTS)}"


def grouped(text: str) -> str:
    """Return a plain number with its whole part in groups of three, from five digits on: '24 600'."""
    whole, point, part = text.partition(".")
    digits = whole.lstrip("−")
    if len(digits) < _GROUPED_FROM or not digits.isdigit():
        return text
    groups = [digits[max(end - 3, 0) : end] for end in range(len(digits), 0, -3)][::-1]
    return whole[: len(whole) - len(digits)] + _NARROW.join(groups) + point + part


def listed(words: Sequence[str], most: int | None = None, last: str = "and") -> str:
    """Return *words* as a list in prose: 'a, b and c', or 'a, b and 4 more' where there are over *most*."""
    shown = list(words)
    if most is not None and len(shown) > most:
        shown = [*shown[: most - 1], f"{len(shown) - most + 1} more"]
    return f" {last} ".join([", ".join(shown[:-1]), shown[-1]]) if len(shown) > 1 else "".join(shown)
