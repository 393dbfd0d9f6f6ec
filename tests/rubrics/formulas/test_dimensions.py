"""Whether the dimensions of a formula fit, and that a temperature is not taken for a change."""

from __future__ import annotations

import pint
import pytest

from rubrics.faults.errors import FormulaError
from rubrics.formulas.dimensions import Kind, kind_of
from rubrics.formulas.formula import parse_formula
from rubrics.units.definition import define_unit
from rubrics.units.unit_record import NO_DIMENSION, TEMPERATURE

UNITS = {
    "E": "J",
    "m": "kg",
    "V": "V",
    "I": "A",
    "R": "Ω",
    "L": "m",
    "d": "mm",
    "t": "s",
    "n": "",
    "angle": "°",
    "dT": "K",
    "g": "m/s²",
}
KINDS = {name: Kind(define_unit(unit).dimension) for name, unit in UNITS.items()} | {
    "T_start": Kind(TEMPERATURE, is_point=True),
    "T_end": Kind(TEMPERATURE, is_point=True),
    "dT": Kind(TEMPERATURE),
}


def kind(text: str) -> Kind:
    """Return the kind of the formula *text* over the items above."""
    return kind_of(parse_formula(text).tree, KINDS)


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("E / (m * dT)", "J/(kg K)"),
        ("E / (m * (T_end - T_start))", "J/(kg K)"),
        ("V / I", "Ω"),
        ("R * pi * d**2 / (4 * L)", "Ω m"),
        ("slope(R, L)", "Ω/m"),
        ("intercept(R, L)", "Ω"),
        ("slope(T_end, t)", "K/s"),
        ("mean(R)", "Ω"),
        ("4 * pi**2 * L / t**2", "m/s²"),
        ("2 * pi * sqrt(L / g)", "s"),
        ("sqrt(L**2)", "m"),
        ("count(R)", ""),
        ("sin(angle) / sin(angle)", ""),
        ("ln(L / d)", ""),
        ("-L + d", "m"),
        ("1 / (1 / R + 1 / R)", "Ω"),
        ("2.5", ""),
        ("pi", ""),
        ("n**0", ""),
        ("t**-1", "Hz"),
    ],
)
def test_formula_has_the_dimension_of_its_unit(text: str, unit: str) -> None:
    """The dimension of a formula is that of the unit its answer is given in."""
    assert kind(text) == Kind(define_unit(unit).dimension)


def test_dimension_is_pint_s() -> None:
    """The exponents agree with those of the units library for the same product."""
    registry: pint.UnitRegistry[float] = pint.UnitRegistry()
    theirs = (registry("J") / (registry("kg") * registry("delta_degC"))).dimensionality
    order = ("[length]", "[mass]", "[time]", "[current]", "[temperature]", "[substance]", "[luminosity]")
    assert kind("E / (m * dT)").dimension == tuple(int(theirs.get(name, 0)) for name in order)


@pytest.mark.parametrize(
    ("text", "is_point"),
    [
        ("T_end - T_start", False),
        ("T_start + dT", True),
        ("dT + T_start", True),
        ("T_end - dT", True),
        ("dT + dT", False),
        ("mean(T_end)", True),
        ("max(T_end) - min(T_end)", False),
        ("intercept(T_end, t)", True),
        ("slope(T_end, t) * t", False),
    ],
)
def test_temperatures_and_changes_are_kept_apart(text: str, is_point: bool) -> None:
    """Two temperatures make a change, a temperature and a change make a temperature."""
    assert kind(text) == Kind(TEMPERATURE, is_point=is_point)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("E + m", "E + m adds or subtracts two different quantities"),
        ("L - t", "two different quantities"),
        ("L + 1", "two different quantities"),
        ("T_start + T_end", "adds two temperatures"),
        ("dT - T_start", "takes a temperature from a change"),
        ("E / (m * T_end)", "T_end is a temperature, not a change"),
        ("2 * T_end", "T_end is a temperature"),
        ("T_end / T_start", "T_end is a temperature"),
        ("T_end**2", "T_end is a temperature"),
        ("-T_end", "T_end is a temperature"),
        ("sqrt(T_end)", "T_end is a temperature"),
        ("sqrt(L)", "the root of L has no unit"),
        ("sqrt(E)", "the root of E has no unit"),
        ("sin(L)", "sin needs a pure number, and L has a unit"),
        ("ln(V)", "ln needs a pure number"),
        ("exp(t)", "exp needs a pure number"),
    ],
)
def test_formula_that_does_not_fit_is_refused(text: str, words: str) -> None:
    """A formula whose parts do not fit is a fault that names the part."""
    with pytest.raises(FormulaError, match="^" + ".*" + words.replace("+", r"\+")):
        kind(text)


def test_function_of_a_quotient_of_lengths_is_allowed() -> None:
    """What matters is the dimension, not the unit: millimetres over metres is a pure number."""
    assert kind("asin(d / L)") == Kind(NO_DIMENSION)
