"""Every spelling of the bank beside this file, read beside what it means, or beside all that a school asks for."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

import pytest

from rubrics.units import Unit, UnitReading, Verdict, define_unit, read_unit

_BANKS = (
    "spellings_open.csv",
    "spellings_held.csv",
    "spellings_held_second.csv",
    "spellings_third.csv",
    "spellings_fourth.csv",
)
_READ = (Verdict.ACCEPT, Verdict.NOTE)
_OUR_SYMBOLS = {
    "in": "inch",
    "ft": "foot",
    "lb/in^2": "psi",
    "lux": "lx",
    "rev/min": "count/min",
    "bubbles/min": "count/min",
    "breaths/min": "count/min",
}
"""Meanings that the bank writes in another way than the author of a rubric does."""
_ASKED_FOR = (
    *("m", "mm", "cm", "km", "kg", "g", "s", "min", "A", "mA", "V", "Ω", "kΩ", "J", "kJ", "W", "N", "N/m", "Pa", "kPa"),
    *("°C", "K", "J/(kg °C)", "kg/m³", "g/cm³", "m/s", "m/s²", "cm³", "m³", "dm³", "mol", "g/dm³", "Hz"),
    *("1/s", "1/m", "Ω/m", "Ω m", "%", "°", "C", "F", "m²", "s²", "s²/m", "N/kg", "kJ/mol", "count", "N/C", "T"),
)
"""Units that school practicals ask for."""
_CLEAR_BESIDE = {
    "ms": ("s", "min"),
    "ms2": ("s²",),
    "n/a": ("count",),
    "k": ("Ω", "kΩ", "°C", "K"),
    "J/kg°": ("J/(kg °C)",),
    **dict.fromkeys(("°", "deg", "degrees"), ("°C", "°")),
    "C": ("°C", "K", "C"),
    "F": ("F",),
    "J/C": ("V",),
    "As": ("C",),
    "n": ("N",),
    "rad": ("°",),
    "cps": ("Hz", "1/s"),
    "kW": ("W",),
    "o": ("°",),
    "c": ("°C", "K", "C"),
    "h": ("s", "min"),
    "1": ("count",),
    "/": ("count",),
    "cm2/cm3": ("1/m",),
    "J/kg °C⁻¹": ("J/(kg °C)",),
    "×10³ J": ("J", "kJ"),
}
"""Spellings for which the bank, which names no question, would ask; beside these units one reading is left.

ms is the millisecond where a time is asked, and 'n/a' beside a count says that it has no unit. k beside a
resistance is the kilohm and beside a temperature the kelvin. A degree of a change is as large in °C as in K. Where an
angle is asked, degrees and radians are those of an angle; where a temperature is asked in °C, degrees and C are
Celsius. Beside its own quantity a symbol is what it is: F, J/C for the volt, A s for the coulomb, a small n for the
newton. A cycle and a count a second are one number. Where a time is asked h is the hour, where a power is asked kW
the kilowatt, where an angle is asked a small o its ring. Beside a count 1 and a stroke say as a dash does: none.
A surface over a volume is the unit of just that. J/kg °C⁻¹ is right when read from the left, as two other banks say.
A power of ten in front of the unit belongs to it; whether the number beside it holds it already, the reader of entries
asks.
"""
_ASKED_ALL_THE_SAME = frozenset({"K Pa"})
"""A product of two units as it stands, like K g, for which the other bank asks."""


@cache
def _rows(name: str) -> tuple[dict[str, str], ...]:
    with Path(__file__).with_name(name).open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))


def _spellings(*fair: str) -> list[dict[str, str]]:
    return [row for name in _BANKS for row in _rows(name) if row["fair"] in fair]


def _meaning(row: dict[str, str]) -> Unit:
    return define_unit(_OUR_SYMBOLS.get(row["meaning"], row["meaning"]))


def _reads_as(reading: UnitReading, unit: Unit) -> bool:
    return reading.verdict in _READ and reading.unit is not None and reading.unit.factor == pytest.approx(unit.factor)


@pytest.mark.parametrize("row", _spellings("accept", "other"), ids=lambda row: row["written"])
def test_what_can_be_read_is_read_as_what_it_means(row: dict[str, str]) -> None:
    """A spelling that a teacher understands is understood, at its own scale."""
    reading = read_unit(row["written"], _meaning(row))
    is_asked = row["written"] in _ASKED_ALL_THE_SAME
    assert reading.verdict is Verdict.AMBIGUOUS if is_asked else _reads_as(reading, _meaning(row))


@pytest.mark.parametrize("row", _spellings("ask", "no"), ids=lambda row: repr(row["written"]))
def test_what_only_a_person_can_say_is_never_taken(row: dict[str, str]) -> None:
    """A spelling with two readings, and what is no unit at all, is taken beside no unit that a school asks for."""
    clear = _CLEAR_BESIDE.get(row["written"], ())
    taken = [asked for asked in _ASKED_FOR if read_unit(row["written"], define_unit(asked)).verdict in _READ]
    assert set(taken) == set(clear)


@pytest.mark.parametrize("row", _spellings("other"), ids=lambda row: row["written"])
def test_another_quantity_is_not_taken_for_the_one_that_looks_like_it(row: dict[str, str]) -> None:
    """kg/m is no kg/m³ and J/°C no J/(kg °C): nothing but its own quantity accepts it."""
    taken = [asked for asked in _ASKED_FOR if read_unit(row["written"], define_unit(asked)).verdict in _READ]
    assert {define_unit(asked).dimension for asked in taken} <= {_meaning(row).dimension}
