"""Spellings that a teacher accepts, each in other cases and orders too: read as what they mean, or asked about."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rubrics.load import load_catalogue
from rubrics.units import Unit, Verdict, define_unit, read_unit

_READ = (Verdict.ACCEPT, Verdict.NOTE)
_POWERS = ("{}{}", "{}^{}", "{}^({})", "{}**{}")
_WORDS = {
    "J": ("J", "joules", "Joule", "j"),
    "kg": ("kg", "Kg", "KG", "kilogram", "kilograms"),
    "°C": ("°C", "oC", "degC", "degrees C", "celsius", "℃", "K"),
    "m": ("m", "metre", "meters", "Metres"),
    "s": ("s", "sec", "second", "seconds"),
    "g": ("g", "grams", "gram"),
    "cm": ("cm", "CM", "centimetre"),
    "N": ("N", "newtons", "Newton"),
    "mol": ("mol", "moles", "mole", "Mol"),
    "dm": ("dm", "decimetre", "Dm"),
    "Ω": ("Ω", "ohm", "ohms", "Ohms"),
}
_UNITS: tuple[tuple[str, tuple[tuple[str, int], ...]], ...] = (
    ("J/(kg °C)", (("J", 1), ("kg", -1), ("°C", -1))),
    ("kg/m³", (("kg", 1), ("m", -3))),
    ("g/cm³", (("g", 1), ("cm", -3))),
    ("m/s²", (("m", 1), ("s", -2))),
    ("N/m", (("N", 1), ("m", -1))),
    ("mol/dm³", (("mol", 1), ("dm", -3))),
    ("Ω/m", (("Ω", 1), ("m", -1))),
    ("mol/(dm³ s)", (("mol", 1), ("dm", -3), ("s", -1))),
)


def _rows() -> list[tuple[str, str]]:
    with Path(__file__).with_name("spelt_by_students.csv").open(encoding="utf-8", newline="") as file:
        return [(row["typed"], row["meaning"]) for row in csv.DictReader(file)]


def _is_same(unit: Unit | None, wanted: Unit) -> bool:
    return unit is not None and unit.factor == pytest.approx(wanted.factor) and unit.dimension == wanted.dimension


@pytest.mark.parametrize(("typed", "meaning"), _rows(), ids=lambda part: repr(part))
def test_a_spelling_is_read_as_it_is_meant(typed: str, meaning: str) -> None:
    """What a teacher accepts is accepted, at its own scale."""
    reading = read_unit(typed, define_unit(meaning))
    assert reading.verdict in _READ
    assert _is_same(reading.unit, define_unit(meaning))


@pytest.mark.parametrize(("typed", "meaning"), _rows(), ids=lambda part: repr(part))
def test_other_capitals_never_make_another_unit(typed: str, meaning: str) -> None:
    """In capitals, in small letters and with a capital in front it is the same unit, or nothing is taken."""
    wanted = define_unit(meaning)
    for other in (typed.upper(), typed.lower(), typed.title(), typed.capitalize(), typed.swapcase(), f" {typed}. "):
        reading = read_unit(other, wanted)
        assert reading.verdict not in _READ or _is_same(reading.unit, wanted), other


@st.composite
def _put_together(draw: st.DrawFn) -> tuple[str, str]:
    meaning, terms = draw(st.sampled_from(_UNITS))
    power = draw(st.sampled_from(_POWERS))
    words = [(draw(st.sampled_from(_WORDS[symbol])), exponent) for symbol, exponent in draw(st.permutations(terms))]

    def raised(word: str, exponent: int) -> str:
        return word if exponent == 1 else power.format(word, exponent)

    above = [raised(word, exponent) for word, exponent in words if exponent > 0]
    below = [raised(word, -exponent) for word, exponent in words if exponent < 0]
    sep = draw(st.sampled_from([" ", ".", "*", " · ", "⋅"]))
    style = draw(st.sampled_from(["slash", "bracket", "slashes", "per", "powers"]))
    if style == "powers":
        return sep.join(raised(word, exponent) for word, exponent in words), meaning
    top = sep.join(above)
    if style == "slash":
        return f"{top}/{sep.join(below)}", meaning
    if style == "bracket":
        return f"{top}/({sep.join(below)})", meaning
    return top + "".join(f"/{part}" if style == "slashes" else f" per {part}" for part in below), meaning


@given(_put_together())
@settings(deadline=None, max_examples=400)
def test_every_order_and_every_way_to_write_a_power_is_read(made: tuple[str, str]) -> None:
    """Whatever stands first, however it is parted and raised: where the words are clear, so is the unit."""
    typed, meaning = made
    reading = read_unit(typed, define_unit(meaning))
    assert reading.verdict in _READ, reading
    assert _is_same(reading.unit, define_unit(meaning))


@pytest.mark.parametrize("typed", ["mm²", "mm2", "mm^2"])
def test_no_symbol_is_written_twice_running(typed: str) -> None:
    """Beside a volume square millimetres are a unit of another quantity, and no metre times square metre."""
    volume = load_catalogue()["density-cuboid"].items["V"]
    reading = read_unit(typed, volume.unit, volume.recorded_in)
    assert (reading.verdict, reading.unit and reading.unit.symbol) == (Verdict.WRONG, "mm²")
