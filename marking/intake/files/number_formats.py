"""What a spreadsheet shows of a number, as its number format tells.

A cell typed as 2.50 is stored as 2.5; only a format such as 0.00 remembers the zero. A format may also
hold a unit in quotes, which then is what the student sees beside the number.
"""

from __future__ import annotations

import re
from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache

from msgspec import Struct

from rubrics.patterns import late_pattern

_SECTION = late_pattern(r';(?=(?:[^"]*"[^"]*")*[^"]*$)')  # a semicolon outside quotes parts the sections
_PIECE = late_pattern(r'"([^"]*)"|\\(.)|\[\$([^\]-]*)[^\]]*\]|\[[^\]]*\]|_.|\*.')
_DIGITS = late_pattern(r"^(?P<whole>[#0?,]*[#0?])(?:\.(?P<decimals>[0#?]+))?(?P<power>[Ee][+-]?0+)?$")
_MAX_PLACES = 15
"""A double holds no more; a longer format shows zeros that nobody measured."""
_SHOWN_DIGITS = 15
"""As many as a spreadsheet keeps of a typed number."""


class Shown(Struct, frozen=True, kw_only=True):
    """What stands in the cell for a reader's eyes."""

    text: str
    """The number, without grouping marks, then the words of the format (a unit, %)."""
    is_fixed: bool
    """True where the format fixes the decimal places, so that trailing zeros count as typed."""
    suffix: str
    """The words that the format adds; empty for most."""


class _Pattern(Struct, frozen=True):
    digits: int
    """Fewest digits in front of the point: 000 shows 7 as 007."""
    places: int
    has_power: bool
    is_fixed: bool
    is_percent: bool
    before: str
    after: str


def show_number(number: float, number_format: str) -> Shown:
    """Return how a cell with *number* looks; rounding is half up, as in a spreadsheet."""
    pattern = _understand(_SECTION.split(number_format)[1 if number < 0 and ";" in number_format else 0])
    if pattern is None:
        return Shown(text=plain_text(number), is_fixed=False, suffix="")
    value = Decimal(repr(number))
    if pattern.is_percent:
        value *= 100
    if pattern.is_fixed:
        text = _with_power(value, pattern.places) if pattern.has_power else _rounded(value, pattern)
    else:
        text = plain_text(float(value))
    suffix = "%" if pattern.is_percent else pattern.after.strip() or pattern.before.strip()
    glue = "" if suffix == "%" or suffix.startswith("°") else " "
    return Shown(text=f"{text}{glue}{suffix}" if suffix else text, is_fixed=pattern.is_fixed, suffix=suffix)


def plain_text(number: float) -> str:
    """Return a number as it would be typed: no '.0' after a whole one, no digits that a double invents."""
    if number == int(number) and abs(number) < 10**_SHOWN_DIGITS:
        return str(int(number))
    shortest = repr(number)
    return shortest if len(shortest.strip("-0.").replace(".", "")) <= _SHOWN_DIGITS else f"{number:.{_SHOWN_DIGITS}g}"


@lru_cache(maxsize=256)
def _understand(section: str) -> _Pattern | None:
    # None: a format without anything for us to keep (General, text, a fraction, a scaled thousand).
    bare, before, after = "", "", ""
    position = 0
    for piece in _PIECE.finditer(section):
        bare += section[position : piece.start()]
        position = piece.end()
        words = piece.group(1) or piece.group(2) or piece.group(3) or ""
        if re.search(r"[0#?]", bare):
            after += words
        else:
            before += words
    bare = (bare + section[position:]).strip()
    is_percent = bare.endswith("%")
    bare = bare.removesuffix("%").strip(" -+()")  # signs and brackets of a section for negative numbers
    has_words = bool(before.strip() or after.strip() or is_percent)
    match = _DIGITS.match(bare)
    if match is None:
        is_general = bare.lower() in ("general", "")
        return _Pattern(0, 0, False, False, is_percent, before, after) if has_words and is_general else None
    decimals = match["decimals"] or ""
    # '#' and '?' show a digit only where there is one, so they remember no zeros.
    is_fixed = set(decimals) <= {"0"} and len(decimals) <= _MAX_PLACES
    if not is_fixed and not has_words:
        return None
    return _Pattern(
        match["whole"].count("0"), len(decimals), match["power"] is not None, is_fixed, is_percent, before, after
    )


def _rounded(value: Decimal, pattern: _Pattern) -> str:
    if value.adjusted() > _SHOWN_DIGITS:
        return plain_text(float(value))
    text = str(value.quantize(Decimal(1).scaleb(-pattern.places), rounding=ROUND_HALF_UP))
    whole, point, decimals = text.partition(".")
    sign = "-" if whole.startswith("-") else ""
    return f"{sign}{whole.removeprefix('-').zfill(pattern.digits)}{point}{decimals}"


def _with_power(value: Decimal, places: int) -> str:
    if not value:
        return f"{value:.{places}f}E+00"
    power = value.adjusted()
    digits = value.scaleb(-power).quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP)
    if digits.adjusted():  # 9.999 rounded to two places is 10.00
        power += 1
        digits = digits.scaleb(-1).quantize(Decimal(1).scaleb(-places))
    return f"{digits}E{power:+03d}"
