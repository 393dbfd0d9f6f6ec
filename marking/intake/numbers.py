"""Numbers as students type them: read whole, or not at all.

A full-match grammar of our own: what ``float`` takes (nan, 1_000, figures of other scripts) is refused,
what it refuses (20,5, 8.8×10³, −4.5, ½) is read, and of a text that is left over never half is taken.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from math import floor, log10

from marking.intake.mantissa import Figures, LastPlace, read_figures
from marking.intake.powers_of_ten import power_alone, power_behind, print_power, times_sign
from marking.intake.refusals import NotANumberError, Refusal, explain, letter_for_figure, says_nothing_given
from marking.intake.typed_text import PlainText, make_plain, show_text
from marking.write_up import State
from rubrics.units import knows_unit

__all__ = ["NumberReading", "read_number", "show_text"]

MAX_FIGURES = 40
"""Characters of a number's figures that are read and kept."""
MAX_DECIMALS = 400
"""Characters of a plain decimal that is cut to MAX_FIGURES: calculators and spreadsheets show many."""
MAX_TEXT = 100
"""Characters of any other entry; a unit spelt out in words is under 50."""
_FRACTION_FIGURES = 15
"""Figures that a fraction is good for: as many as a double holds."""

_LONG_DECIMAL = re.compile(rf"-?[0-9]{{1,{MAX_FIGURES}}}[.,][0-9]*")
_SIGN = re.compile("[+-] ?")
_RUN = re.compile(r"[0-9]+(?:[.,'][0-9]*| [0-9]{3}(?![0-9]))*|[.,][0-9]+")
_FRACTION = re.compile(r"(?:(?P<whole>[0-9]{1,3}) )?(?P<top>[0-9]{1,6}) ?/ ?(?P<bottom>[0-9]{1,6})(?![0-9.,/])")
_ONE_SIGN_FRACTION = re.compile("(?P<whole>[0-9]{0,4})(?P<sign>[¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞])")
_ABOUT = re.compile(r"(?:~|(?:c|ca|circa|about|approx|approximately|around|roughly)\b\.?(?<!\bc)) ?", re.IGNORECASE)
_ISH = re.compile(" ?-?ish(?![A-Za-z])", re.IGNORECASE)
_PLUS_MINUS = re.compile(r"±|\+ ?/ ?-|\+ ?-")
_BRACKETED = re.compile(r"\((?P<inside>[^()]*)\)")


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberReading:
    """What one typed text says as a number."""

    state: State
    """NUMBER, BLANK or UNREADABLE."""
    value: float | None = None
    last_place: LastPlace | None = None
    """As in Entry. A fraction has no last place of its own: its interval is practically exact."""
    is_fraction: bool = False
    """Written as 1/5 or ½: its significant figures cannot be told."""
    uncertainty: float | None = None
    """The plus-or-minus written with it, in the same unit; a percentage of the value is worked out."""
    unit_text: str = ""
    """What followed the number, as typed: kJ, %."""
    notes: tuple[str, ...] = ()
    """What was done to the text, each a short clause."""
    problem: str = ""
    """Why it cannot be read, a clause to stand in brackets behind the text; empty unless UNREADABLE."""
    likely: tuple[str, ...] = ()
    """What may have been meant, to be shown; never used."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Number:
    """A number without its unit, at its place in the text."""

    ways: tuple[Figures, ...]
    """Two where a mark is unclear; none for a fraction."""
    end: int
    is_negative: bool = False
    fraction: Fraction | None = None
    power: int = 0
    note: str = ""

    def printed(self, figures: Figures) -> str:
        """Return the number as it was read in one way."""
        return print_power(f"{'-' if self.is_negative else ''}{figures.digits}", self.power)

    def value(self, figures: Figures) -> Decimal:
        """Return the number read in one way."""
        value = figures.value.scaleb(self.power)
        return -value if self.is_negative and value else value


def read_number(
    text: str, *, decimal_comma: bool | None = None, limits: tuple[float, float] | None = None
) -> NumberReading:
    """Return what *text* says as a number.

    Args:
        text: The entry exactly as typed.
        decimal_comma: True where the file is known to write 20,5 for 20.5, False where it is known to write
            decimal points; it settles 10,400.
        limits: Lowest and highest possible value, in the unit of the number; settles 10,400 where only one
            reading is possible, and never anything else.
    """
    plain = make_plain(text)
    if plain.problem:
        return _unreadable(Refusal(problem=plain.problem))
    if says_nothing_given(plain.plain):
        notes = (f'"{show_text(plain.typed)}" taken as not given',) if plain.typed else ()
        return NumberReading(state=State.BLANK, notes=notes)
    plain, cut = _cut(plain)
    if len(plain.plain) > MAX_TEXT:
        return _unreadable(Refusal(problem="too long for a number"))
    refusal = letter_for_figure(plain.plain)
    if refusal is not None:
        return _unreadable(refusal)
    try:
        reading = _read(plain, decimal_comma, limits)
    except NotANumberError as error:
        return _unreadable(error.refusal)
    return replace(reading, notes=(*plain.notes, *cut, *reading.notes))
