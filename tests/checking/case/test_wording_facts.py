"""The working that a student reads: their own numbers in the formula, as they can be keyed in."""

from __future__ import annotations

import pytest

from tests.checking.rows import HEAT, changed, found, in_table, rubric_of


def working(practical: str, lines: str, criterion: str) -> str:
    """Return the working that the first finding of a criterion quotes."""
    return found(practical, lines, criterion)[0].facts["working"]


@pytest.mark.parametrize(
    ("volts", "amperes", "wanted"),
    [
        ("0.45|V", "0.50|A", "0.45 ÷ 0.50"),
        ("0.45|V", "500|mA", "0.45 ÷ 0.500"),
        ("450|mV", "0.50|A", "0.450 ÷ 0.50"),
        ("0.45|V", "0.5|mA", "0.45 ÷ (5 × 10⁻⁴)"),
        ("0.45|V", "6.40e-9|A", "0.45 ÷ (6.40 × 10⁻⁹)"),
        ("-0.45|V", "-0.50|A", "−0.45 ÷ (−0.50)"),
        ("12000|V", "1.0|A", "12\u202f000 ÷ 1.0"),
    ],
    ids=["as-written", "milliamperes", "millivolts", "half-a-milliampere", "tiny", "negative", "large"],
)
def test_readings_as_they_go_into_the_formula(volts: str, amperes: str, wanted: str) -> None:
    """Readings are quoted with their own figures, converted where they must be, and bracketed where that matters."""
    volts, volt_unit = volts.split("|")
    amperes, ampere_unit = amperes.split("|")
    lines = f"V,1,{volts},{volt_unit}\nI,1,{amperes},{ampere_unit}\nR,1,123,Ω\ncomponent,,resistor,"
    assert working("iv-characteristic", lines, "P1") == wanted


@pytest.mark.parametrize(
    ("changes", "wanted"),
    [
        ({"c": "123"}, "20\u202f400 ÷ (0.998 × 21.0)"),
        ({"c": "123", "m": "998|g"}, "20\u202f400 ÷ (0.998 × 21.0)"),
        ({"c": "123", "E": "20.4|kJ"}, "20\u202f400 ÷ (0.998 × 21.0)"),
        ({"c": "123", "E": "0.0057|kWh"}, "20\u202f520 ÷ (0.998 × 21.0)"),
    ],
    ids=["as-written", "grams", "kilojoules", "kilowatt-hours"],
)
def test_converted_readings_lose_no_figures(changes: dict[str, str], wanted: str) -> None:
    """A reading that is converted keeps its figures, and enough of them to lead to the value that is told."""
    assert working("specific-heat-block", changed(HEAT, **changes), "F1") == wanted


def test_temperatures_in_kelvin_go_in_as_celsius() -> None:
    """A temperature recorded in K is quoted in the unit of the formula, to the same decimal places."""
    lines = changed(HEAT, T_start="293.65|K", T_end="314.65|K", dT="12.0")
    assert working("specific-heat-block", lines, "P1") == "41.50 − 20.50"


WARM_WATER = """format = 1
id = "warm-water"
edition = 1
title = "Warm water"
level = "14 to 16"
purpose = "To find the energy in warm water."
cautions = ["Before you start, follow your school's own risk assessment and local rules."]

[readings.m]
quantity = "mass"
unit = "kg"

[constants.c]
quantity = "specific heat capacity"
unit = "J/kg"
values = [CONSTANT]
source = "none"

[answers.E]
quantity = "energy"
unit = "J"
formula = "m * c"

[[criteria]]
code = "F1"
point = "Energy follows"
check = "value"
items = ["E"]
"""


@pytest.mark.parametrize(
    ("constant", "wanted"), [("4184", "4184"), ("9.8", "9.8"), ("10", "10"), ("9.80665", "9.80665"), ("3e8", "3 × 10⁸")]
)
def test_constants_are_quoted_as_the_rubric_gives_them(constant: str, wanted: str) -> None:
    """A constant keeps all its figures, so that the working leads to the value beside it."""
    lines = "m,,0.50,kg\nE,,1,J"
    printed = f"({wanted})" if "×" in wanted else wanted
    (finding,) = found(rubric_of(WARM_WATER.replace("CONSTANT", constant)), lines, "F1")
    assert finding.facts["working"] == f"0.50 × {printed}"


def test_columns_are_quoted_by_name() -> None:
    """What is taken off a line is told by its columns, not by twenty numbers."""
    lines = in_table(L="0.2 0.4 0.6 m", V="0.4 0.8 1.2 V", I="0.5 0.5 0.5 A", R="0.8 1.6 2.4 Ω")
    (finding,) = found("wire-resistance", lines + "\ngradient,,9.0,Ω/m", "G5")
    assert finding.facts["readings"] == "your columns R and L"
    assert "working" not in finding.facts
