"""One number at its place in a text: sign, figures or a fraction, and a power of ten."""

from __future__ import annotations

from fractions import Fraction
from math import floor, log10
from unicodedata import numeric

from msgspec import Struct
from msgspec.structs import replace

from marking.intake.numbers.mantissa import Figures, LastPlace, read_figures
from marking.intake.numbers.powers_of_ten import power_alone, power_behind, print_power, times_sign
from marking.intake.numbers.refusals import NotANumberError
from rubrics.patterns import late_pattern

MAX_FIGURES = 40
"""Characters of a number's figures that are read and kept."""
_FRACTION_FIGURES = 15
"""Figures that a fraction is good for: as many as a double holds."""

_SIGN = late_pattern("[+-] ?")
_RUN = late_pattern(r"[0-9]+(?:[.,'][0-9]*| [0-9]{3}(?![0-9]))*|[.,][0-9]+")
_FRACTION = late_pattern(r"(?:(?P<whole>[0-9]{1,3}) )?(?P<top>[0-9]{1,6}) ?/ ?(?P<bottom>[0-9]{1,6})(?![0-9.,/])")
_ONE_SIGN_FRACTION = late_pattern("(?:(?P<whole>[0-9]{1,4}(?! )|[0-9]{1,3}) ?)?(?P<sign>[¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞])")
_LOST_SPACE = late_pattern("(?P<whole>[1-9][0-9]?)(?P<top>[1-9])/(?P<bottom>[2-9])")
"""51/2 is 5½ as likely as 25.5."""
_LARGEST_PART = 100
"""Nobody writes a fraction of two numbers as large as this; 896/869 is an answer changed, or a sum."""
_LARGEST_BOTTOM = 100
"""Of a fraction in one sign (⅒ has 10); the float of the sign is turned back into its fraction."""


class WrittenNumber(Struct, frozen=True, kw_only=True):
    """A number without its unit."""

    end: int
    """Index of the first character behind it."""
    ways: tuple[Figures, ...] = ()
    """Two where a mark is unclear; none for a fraction."""
    fraction: Fraction | None = None
    power: int = 0
    is_negative: bool = False
    note: str = ""
    """How it was put; empty for a plain number."""

    def printed(self, figures: Figures | None) -> str:
        """Return the number as it was read; *figures* is one of its ways, None for a fraction."""
        if figures is None:
            return f"{self.value(None):.6g}"
        digits = figures.digits
        if not figures.is_decimal and figures.mark:
            digits = f"{int(digits):,}".replace(",", " ")
        return print_power(f"{'-' if self.is_negative else ''}{digits}", self.power)

    def value(self, figures: Figures | None) -> float:
        """Return the value, read in one way."""
        size = float(self.fraction or 0) if figures is None else float(f"{figures.digits}e{self.power}")
        return -size if self.is_negative and size else size

    def last_place(self, figures: Figures | None) -> LastPlace:
        """Return the place of the last significant figure; far down for a fraction, which has none."""
        if figures is not None:
            finest, coarsest = figures.last_place
            return finest + self.power, coarsest + self.power
        size = abs(self.value(None))
        place = (floor(log10(size)) if size else 0) + 1 - _FRACTION_FIGURES
        return place, place


def read_at(text: str, at: int, *, has_decimal_commas: bool) -> WrittenNumber | None:
    """Return the number that starts at *at*; None where none does.

    Raises:
        NotANumberError: One starts there, but it cannot be made out.
    """
    sign = _SIGN.match(text, at)
    start = sign.end() if sign else at
    found = _fraction(text, start) or _ten(text, start, has_decimal_commas) or _figures(text, start, has_decimal_commas)
    return replace(found, is_negative=bool(sign and sign[0][0] == "-")) if found else None


def _fraction(text: str, at: int) -> WrittenNumber | None:
    if match := _FRACTION.match(text, at):
        if not int(match["bottom"]):
            raise NotANumberError("a fraction with nothing below the line")
        if min(int(match["top"]), int(match["bottom"])) >= _LARGEST_PART:
            raise NotANumberError("two numbers, or a sum that was not worked out")
        mixed = None if match["whole"] else _LOST_SPACE.fullmatch(f"{match['top']}/{match['bottom']}")
        if mixed is not None and mixed["top"] < mixed["bottom"]:
            meant = (f"{mixed['whole']} {mixed['top']}/{mixed['bottom']}", mixed[0])
            raise NotANumberError("a fraction, or a whole number that lost its space", *meant)
        value = int(match["whole"] or 0) + Fraction(int(match["top"]), int(match["bottom"]))
    elif match := _ONE_SIGN_FRACTION.match(text, at):
        value = int(match["whole"] or 0) + Fraction(numeric(match["sign"])).limit_denominator(_LARGEST_BOTTOM)
    else:
        return None
    return WrittenNumber(end=match.end(), fraction=value, note="a fraction")


def _ten(text: str, at: int, has_decimal_commas: bool) -> WrittenNumber | None:
    # 10^-7 for itself, or in front of its figures: 10^-7 x 4.9.
    power = power_alone(text, at)
    if power is None:
        return None
    behind = times_sign(text, power.end)
    run = _RUN.match(text, behind) if behind > power.end else None
    ways = _ways(run[0], has_decimal_commas) if run else (Figures(digits="1", is_decimal=False),)
    return WrittenNumber(end=run.end() if run else power.end, ways=ways, power=power.power, note=power.note)


def _figures(text: str, at: int, has_decimal_commas: bool) -> WrittenNumber | None:
    run = _RUN.match(text, at)
    if run is None:
        return None
    if len(run[0]) > MAX_FIGURES:
        raise NotANumberError("too long for a number")
    ways = _ways(run[0], has_decimal_commas)
    power = power_behind(text, run.end(), ways[0].digits)
    return WrittenNumber(end=power.end, ways=ways, power=power.power, note=power.note)


def _ways(run: str, has_decimal_commas: bool) -> tuple[Figures, ...]:
    ways = read_figures(run, has_decimal_commas=has_decimal_commas)
    if not ways:
        raise NotANumberError("its commas or points do not stand between groups of three figures")
    return ways
