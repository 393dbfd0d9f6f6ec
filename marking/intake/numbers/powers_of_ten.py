"""The power of ten behind a typed number, in all the spellings that keyboards leave a student with."""

from __future__ import annotations

import re

from msgspec import Struct

from marking.intake.numbers.refusals import NotANumberError
from rubrics.patterns import late_pattern

MAX_POWER = 99
"""Powers of ten beyond it are no reading of a school practical."""

_TIMES = " ?[x×X*·⋅∙•✕✖] ?"
_RAISED_SIGNS = "⁻⁺⁰¹²³⁴⁵⁶⁷⁸⁹"
_FLAT = str.maketrans(_RAISED_SIGNS, "-+0123456789")
_RAISE = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")
_UP = r"(?: ?(?:\^|\*\*) ?\(? ?(?P<caret>[+-]? ?[0-9]{1,9})\)?|(?P<raised>[⁻⁺-]?[⁰¹²³⁴⁵⁶⁷⁸⁹]{1,9}))"
_ALONE = late_pattern(rf"10{_UP}")
_BEHIND = late_pattern(rf"{_TIMES}10(?:{_UP}| ?(?P<signed>[+-] ?[0-9]{{1,2}})|(?P<lost>[0-9]{{1,2}})|)(?![0-9.,])")
_LETTER_E = late_pattern(r" ?[eE] ?(?P<caret>[+-]? ?[0-9]{1,9})(?![0-9.,])")
_TIMES_SIGN = late_pattern(_TIMES)


class PowerOfTen(Struct, frozen=True, kw_only=True):
    """A power of ten and where it stood."""

    power: int
    end: int
    """Index of the first character behind it."""
    note: str = ""
    """How it was read; empty for 9.1E3 and where there is none."""


def power_alone(text: str, at: int) -> PowerOfTen | None:
    """Return the power that *text* has at *at* instead of figures: 10^-7 or 10³; None where there is none."""
    match = _ALONE.match(text, at)
    return None if match is None else _found(match, "power of ten")


def power_behind(text: str, at: int, figures: str) -> PowerOfTen:
    """Return the power of ten behind the figures that end at *at*; 10⁰ where there is none.

    Raises:
        NotANumberError: A power is there but cannot be made out; the readings are those of *figures* with it.
    """
    if at < len(text) and text[at] in _RAISED_SIGNS:
        raised = re.match(rf"[{_RAISED_SIGNS}]+", text[at:])
        raise NotANumberError("a power without its × 10", f"{figures} × 10{raised[0] if raised else ''}")
    if match := _LETTER_E.match(text, at):
        return _found(match, "")
    match = _BEHIND.match(text, at)
    if match is None:
        return PowerOfTen(power=0, end=at)
    if match["lost"]:
        if match["lost"].startswith("0"):
            raise NotANumberError("a sum that was not worked out")
        meant = tuple(f"{figures} × 10{_raised(int(sign + match['lost']))}" for sign in ("", "-"))
        raise NotANumberError(f"could be {meant[0]} or {meant[1]}", *meant)
    if match["signed"]:
        return _found(match, "power of ten not raised")
    if not match["caret"] and not match["raised"]:
        raise NotANumberError("the power of ten is missing")
    return _found(match, "power of ten")


def times_sign(text: str, at: int) -> int:
    """Return the index behind a multiplication sign at *at*, or *at* where there is none."""
    match = _TIMES_SIGN.match(text, at)
    return match.end() if match else at


def print_power(figures: str, power: int) -> str:
    """Return figures with their power of ten as it is printed: 4.9 × 10⁻⁷; the figures alone for 10⁰."""
    return f"{figures} × 10{_raised(power)}" if power else figures


def _raised(power: int) -> str:
    return str(power).translate(_RAISE)


def _found(match: re.Match[str], note: str) -> PowerOfTen:
    groups = match.groupdict()
    text = next(groups[name] for name in ("caret", "raised", "signed") if groups.get(name))
    power = int(text.translate(_FLAT).replace(" ", ""))
    if abs(power) > MAX_POWER:
        raise NotANumberError("far beyond any reading")
    return PowerOfTen(power=power, end=match.end(), note=note)
