"""Lengths, masses, volumes and angles written in two units: 1 m 20 cm, 2 kg 350 g, 34° 30'.

Of other quantities nobody writes them so: 2 A 50 mA may be two meters.
"""

from __future__ import annotations

from marking.intake.numbers.typed_numbers import NumberReading, read_number
from marking.intake.numbers.typed_text import make_plain
from marking.write_up import State
from rubrics.patterns import late_pattern
from rubrics.units import Unit, Verdict, define_unit, read_unit

_PARTS = late_pattern(
    "(?P<large>[0-9]{1,4}) ?(?P<first>[A-Za-z]+)(?: and |, ?| )(?P<small>[0-9]+(?:[.,][0-9]+)?) ?(?P<second>[A-Za-z]+)"
)
_ANGLE = "°"
_OF_ARC = late_pattern("(?P<degrees>[0-9]{1,3}) ?° ?(?P<minutes>[0-5]?[0-9]) ?'")
_MINUTES_OF_ARC = 60
_ARC_PLACES = (-2, -1)
"""A minute of arc is 0.017°."""
_MEASURED_SO = frozenset(define_unit(symbol).dimension for symbol in ("m", "kg", "l"))


def read_compound(text: str, wanted: Unit) -> NumberReading | None:
    """Return an amount in two units, in the smaller of them; None where *text* is none.

    Args:
        text: The entry as typed.
        wanted: Fixes the quantity.
    """
    if wanted.symbol == _ANGLE:
        return _of_arc(text)
    if wanted.dimension not in _MEASURED_SO or not text.strip()[-1:].isalpha():
        return None
    plain = make_plain(text)
    match = _PARTS.fullmatch(plain.plain)
    if match is None:
        return None
    units = [read_unit(match[name], wanted) for name in ("first", "second")]
    first, second = units[0].unit, units[1].unit
    if first is None or second is None or any(one.verdict not in (Verdict.ACCEPT, Verdict.NOTE) for one in units):
        return None
    small = read_number(match["small"])
    if small.state is not State.NUMBER or small.value is None or small.last_place is None:
        return None
    if small.value * second.factor >= first.factor:
        return None
    places = -min(small.last_place[0], 0)
    value = round(int(match["large"]) * first.factor / second.factor + small.value, places)
    return NumberReading(
        state=State.NUMBER,
        value=value,
        last_place=small.last_place,
        unit_text=match["second"],
        notes=(*plain.notes, f"read as {value:.{places}f} {second.symbol}"),
    )


def _of_arc(text: str) -> NumberReading | None:
    """Return degrees and minutes of arc, 34° 30', in degrees; None where *text* is none."""
    plain = make_plain(text)
    match = _OF_ARC.fullmatch(plain.plain)
    if match is None:
        return None
    value = round(int(match["degrees"]) + int(match["minutes"]) / _MINUTES_OF_ARC, 4)
    return NumberReading(
        state=State.NUMBER,
        value=value,
        last_place=_ARC_PLACES,
        unit_text=_ANGLE,
        notes=(*plain.notes, f"read as {value:.2f}°"),
    )
