"""Numbers that can be read, and yet be meant in another way: 3l for a time, 200C, 2:30 beside seconds."""

from __future__ import annotations

import re
from math import floor, log10

from msgspec import Struct

from marking.intake.entries.missing_units import in_limits
from marking.intake.numbers import NumberReading
from marking.write_up import State
from rubrics.model import Item
from rubrics.patterns import late_pattern
from rubrics.units import TEMPERATURE, Dimension, Unit, UnitReading, Verdict, define_unit, read_unit

TIME: Dimension = (0, 0, 1, 0, 0, 0, 0)
_LETTER_OR_UNIT = late_pattern(r"[+-]?[0-9.,]*[0-9]l")
_CLOCK = late_pattern("[0-9]{1,2}:[0-9]{2}")
_STOPWATCH = late_pattern("(?P<front>[0-9]{2}):(?P<behind>[0-9]{2})")
_NOUGHT_OR_RING = late_pattern("(?P<front>[+-]?[0-9]+(?:[.,][0-9]+)?)0[CF]")
_TWO_OF_THREE = late_pattern("[1-9][0-9]{2} [0-9]{3}")
_TENS = late_pattern("10(?P<power>[⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)")
_FLAT = str.maketrans("⁻⁰¹²³⁴⁵⁶⁷⁸⁹", "-0123456789")
_OWN_POWER = late_pattern(r"[0-9.] ?(?:[eE][+-]?[0-9]|[x×X*·] ?10)")
_SIGN_FOR_POINT = late_pattern(r"[+-]?(?P<whole>[0-9]+)(?P<sign>[^\W\d_]{1,2})(?P<decimals>[0-9]{1,2})")
_LIKE_MINUTES = late_pattern(r"(?P<front>[1-9][0-9]?)\.(?P<behind>[0-5][0-9])(?![0-9.,])")
_SPEED: Dimension = (1, 0, -1, 0, 0, 0, 0)
_ENERGY = define_unit("J").dimension
_MOLAR_ENERGY = define_unit("J/mol").dimension
_OUT = late_pattern(
    r"\b(?:given (?:out|off)|gives (?:out|off)|released|evolved|lost|exothermic|produced)\b", re.IGNORECASE
)
_IN = late_pattern(r"\b(?:taken in|takes in|absorbed|gained|endothermic|needed)\b", re.IGNORECASE)
_GLUED_MS = late_pattern("[+-]?[0-9.,]+ms")
_MINUTE = 60.0
_SUM_OF_TWO = late_pattern("[0-9]+ ?[/⁄] ?[0-9]+.*")


class Written(Struct, frozen=True, kw_only=True):
    """A number as it was written, with what stands beside it."""

    text: str
    """The entry, without outer spaces."""
    near: UnitReading
    """The unit beside or above it, as it reads."""
    is_beside: bool
    """That unit stands in a field of its own, not in the heading."""
    item: Item


def doubt(reading: NumberReading, written: Written) -> NumberReading:
    """Return *reading*, or why it is left to a person."""
    if reading.state is not State.NUMBER or reading.value is None:
        return reading
    problem = (
        _letter_or_unit(reading, written)
        or _clock(reading.value, written)
        or _nought_or_ring(reading.value, written)
        or _one_or_two(reading.value, written)
        or _power_twice(reading.value, written)
        or _share_or_sum(reading, written)
        or _sign_for_point(reading, written)
        or _minutes_or_decimal(reading, written)
        or _lost_stroke(written)
        or _direction(reading.value, written)
    )
    return NumberReading(state=State.UNREADABLE, problem=problem) if problem else reading


def _letter_or_unit(reading: NumberReading, written: Written) -> str:
    item = written.item
    if not _LETTER_OR_UNIT.fullmatch(written.text):
        return ""
    is_wrong = read_unit(reading.unit_text, item.unit, item.recorded_in).verdict is Verdict.WRONG
    return "its last character is the letter l or a unit" if is_wrong else ""


def _clock(seconds: float, written: Written) -> str:
    if written.item.unit.dimension != TIME or not _CLOCK.fullmatch(written.text):
        return ""
    unit = written.near.unit
    if written.is_beside and unit is not None and unit.factor == 1.0:
        return "minutes and seconds, or a number of seconds"
    watch = _STOPWATCH.fullmatch(written.text)
    if watch is None or written.near.typed.strip():
        return ""
    # Stopwatches show seconds and hundredths in the same way.
    other = float(f"{watch['front']}.{watch['behind']}")
    if _only_the_first(seconds, other, written.item):
        return ""
    return f"could be {int(watch['front'])} min {int(watch['behind'])} s or {other:.2f} s"


def _only_the_first(first: float, other: float, item: Item) -> bool:
    """Tell whether the limits, in the coherent unit, leave the first of two readings alone."""
    if item.limits is None:
        return False
    base = define_unit("s")
    return in_limits(first, base, item) and not in_limits(other, base, item)


def _nought_or_ring(value: float, written: Written) -> str:
    item = written.item
    match = _NOUGHT_OR_RING.fullmatch(written.text)
    if item.unit.dimension != TEMPERATURE or match is None:
        return ""
    other = float(match["front"].replace(",", "."))
    unit = define_unit(f"°{written.text[-1]}")
    if item.limits is not None and in_limits(value, unit, item) and not in_limits(other, unit, item):
        return ""
    return (
        f"could be {match['front']}0 °{written.text[-1]}, or {match['front']} °{written.text[-1]} with 0 for the ring"
    )


def _one_or_two(value: float, written: Written) -> str:
    item, unit = written.item, written.near.unit or written.item.unit
    if not _TWO_OF_THREE.fullmatch(written.text) or written.text.endswith("00"):
        return ""
    each = [float(part) for part in written.text.split()]
    is_settled = item.limits is not None and not any(in_limits(part, unit, item) for part in each)
    return "" if is_settled and in_limits(value, unit, item) else "one number with a space in it, or two"


def _power_twice(value: float, written: Written) -> str:
    """Tell of a power of ten in the unit that the number may hold already: 0.0045 beside 10⁻³ s⁻¹."""
    unit, item = written.near.unit, written.item
    tens = _TENS.match(unit.symbol) if unit is not None else None
    if unit is None or tens is None or not value:
        return ""
    power, order = int(tens["power"].translate(_FLAT)), floor(log10(abs(value)))
    is_small_enough = order <= power if power < 0 else order >= power
    is_open = item.limits is not None and in_limits(value, unit, item) and in_limits(value / 10.0**power, unit, item)
    if not is_small_enough and not is_open and not _OWN_POWER.search(written.text):
        return ""
    if item.limits is not None and in_limits(value, unit, item) and not in_limits(value / 10.0**power, unit, item):
        return ""
    return f"a power of ten in the number, and {tens[0]} in its unit: counted once or twice, is not sure"


def is_power_of_ten(unit: Unit | None) -> bool:
    """Tell whether a unit begins with a power of ten, which the number beside it may hold already."""
    return unit is not None and _TENS.match(unit.symbol) is not None


def _share_or_sum(reading: NumberReading, written: Written) -> str:
    """Tell of two numbers with a line between beside a percentage: 5/40 may be the sum, or 0.125 %."""
    is_percentage = "%" in (reading.unit_text, written.near.unit.symbol if written.near.unit is not None else "")
    is_percentage = is_percentage or written.item.unit.symbol == "%"
    is_sum = reading.is_fraction and is_percentage and bool(_SUM_OF_TWO.fullmatch(written.text))
    return "a sum that was not worked out, or a fraction of one per cent" if is_sum else ""


def _sign_for_point(reading: NumberReading, written: Written) -> str:
    """Tell of 5Ω2, which is 5.2 Ω on a component, and else a power of the unit that nobody asks for."""
    match, item = _SIGN_FOR_POINT.fullmatch(written.text), written.item
    if match is None or not reading.unit_text:
        return ""
    if read_unit(reading.unit_text, item.unit, item.recorded_in).verdict is not Verdict.WRONG:
        return ""
    return f"may be {match['whole']}.{match['decimals']} {match['sign']}, or two numbers"


def _lost_stroke(written: Written) -> str:
    """Tell of 343ms for a speed, in one go: milliseconds as written, and metres per second without their stroke."""
    is_glued = written.item.unit.dimension == _SPEED and bool(_GLUED_MS.fullmatch(written.text))
    return "milliseconds, or metres per second without the stroke" if is_glued else ""


def depends_on_figures(item: Item) -> bool:
    """Tell whether a few plain figures, with a space and a unit behind them, may be doubted for what the figures are.

    A time in minutes may be minutes and seconds, and 'given out' is a sign. Whatever else is in doubt above has another
    form, or a unit of its own beside it.
    """
    return item.unit.dimension == TIME or _is_energy_of_either_sign(item)


def _is_energy_of_either_sign(item: Item) -> bool:
    is_signed = item.unit.dimension == _MOLAR_ENERGY if item.limits is None else item.limits[0] < 0 < item.limits[1]
    return is_signed and item.unit.dimension in (_MOLAR_ENERGY, _ENERGY)


def _direction(value: float, written: Written) -> str:
    """Tell of '57.1 kJ/mol given out': the words say the sign, where one is asked for, and the figure has another."""
    if not _is_energy_of_either_sign(written.item):
        return ""
    says_out, says_in = _OUT.search(written.text), _IN.search(written.text)
    if bool(says_out) == bool(says_in) or value == 0 or (value < 0) == bool(says_out):
        return ""
    return f"'{(says_out or says_in or [''])[0]}' says the other sign than the number has"


def _minutes_or_decimal(reading: NumberReading, written: Written) -> str:
    """Tell of 2.10 for a single time without a unit, or in minutes nobody asked for: 2 min 10 s may be typed so."""
    item, match = written.item, _LIKE_MINUTES.match(written.text)
    if match is None or item.unit.dimension != TIME or item.table is not None:
        return ""
    behind_it = written.text[match.end() :].strip()
    if behind_it != reading.unit_text.strip():
        return ""
    unit = read_unit(behind_it, item.unit).unit if behind_it else written.near.unit
    has_unit = bool(behind_it or written.near.typed.strip())
    if has_unit and (unit is None or unit.factor != _MINUTE or item.unit.factor == _MINUTE):
        return ""
    front, behind = int(match["front"]), int(match["behind"])
    shown = unit if has_unit and unit is not None else item.unit
    decimal = shown.to_si(float(match[0]))
    if decimal == _MINUTE * front + behind or _only_the_first(decimal, _MINUTE * front + behind, item):
        return ""  # ten minutes are 10.00 min either way
    meant = f"could be {match[0]} {shown.symbol}, or {front} min {behind} s"
    return meant if has_unit else f"no unit: {meant}"
