"""Numbers as they are printed on a sheet."""

from __future__ import annotations

import math
from decimal import ROUND_HALF_UP, Decimal

_PLAIN = (-4, 6)
"""Powers of ten between which a number is printed without one: 0.000 12 and 999 999 still read well."""
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

    Very large and very small values are printed as 4.9 × 10⁻⁷.
    """
    if not math.isfinite(value):
        return "no value"
    number = Decimal(repr(value)) if isinstance(value, float) else value
    if figures is None and isinstance(value, float) and value.is_integer():
        number = number.quantize(Decimal(1))  # 900, not 900.0
    if figures is not None:
        number = rounded(rounded(number, figures), figures)  # 9.996 becomes 10.00 first, then 10.0
    power = number.adjusted() if number else 0
    if _PLAIN[0] <= power < _PLAIN[1]:
        return f"{number:f}".replace("-", "−")
    if figures is None and isinstance(value, float):
        number = number.normalize()  # zeros of a float hold a place; they are no figures
    mantissa = f"{number.scaleb(-power):f}".replace("-", "−")
    return f"{mantissa} × 10{str(power).translate(_SUPERSCRIPTS)}"


def grouped(text: str) -> str:
    """Return a plain number with its whole part in groups of three, from five digits on: '24 600'."""
    whole, point, part = text.partition(".")
    digits = whole.lstrip("−")
    if len(digits) < _GROUPED_FROM:
        return text
    groups = [digits[max(end - 3, 0) : end] for end in range(len(digits), 0, -3)][::-1]
    return whole[: len(whole) - len(digits)] + _NARROW.join(groups) + point + part


def listed(words: list[str], most: int = 3) -> str:
    """Return *words* as a list in prose: 'a, b and c', or 'a, b and 4 more' beyond *most*."""
    if len(words) > most:
        words = [*words[: most - 1], f"{len(words) - most + 1} more"]
    return " and ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else "".join(words)


def rows_named(rows: list[int]) -> str:
    """Return table rows in words: 'row 3', 'rows 2 and 5', 'rows 1 to 8'; empty for none."""
    if not rows:
        return ""
    if len(rows) == 1:
        return f"row {rows[0]}"
    if len(rows) > 2 and rows == list(range(rows[0], rows[-1] + 1)):
        return f"rows {rows[0]} to {rows[-1]}"
    return f"rows {listed([str(row) for row in rows], most=5)}"
