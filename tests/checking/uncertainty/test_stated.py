"""A student's own uncertainty answers: every convention in use stands, and nothing right is withheld."""

from __future__ import annotations

import pytest

from rubrics.faults.errors import RubricError
from tests.checking.rows import found, in_table, rows, rubric_of

TEXT = """format = 1
id = "own"
edition = 1
title = "Own"
level = "16 to 18"
purpose = "To find a density."
cautions = ["Before you start, follow your school's own risk assessment and local rules."]

[readings.m]
quantity = "mass"
unit = "g"
resolution = 0.1

[readings.d]
quantity = "side"
unit = "cm"
table = "sides"
recorded_in = ["mm"]
resolution = 0.01

[readings.T]
quantity = "temperature"
unit = "°C"
resolution = 0.5

[answers.u_m]
quantity = "uncertainty of the mass"
unit = "g"
uncertainty_of = "m"

[answers.p_m]
quantity = "percentage uncertainty of the mass"
unit = "%"
uncertainty_of = "m"

[answers.u_d]
quantity = "uncertainty of the side"
unit = "cm"
recorded_in = ["mm"]
uncertainty_of = "d"

[answers.u_T]
quantity = "uncertainty of the temperature"
unit = "°C"
uncertainty_of = "T"

[answers.rho]
quantity = "density"
unit = "g/cm³"
formula = "m / mean(d)**3"

[answers.u_rho]
quantity = "uncertainty of the density"
unit = "g/cm³"
uncertainty_of = "rho"

[answers.p_rho]
quantity = "percentage uncertainty of the density"
unit = "%"
uncertainty_of = "rho"

[answers.p_double]
quantity = "twice the percentage of the mass"
unit = "%"
formula = "2 * p_m"

[[criteria]]
code = "U"
point = "Uncertainties follow"
check = "value"
items = ["u_m", "p_m", "u_d", "u_T", "u_rho", "p_rho", "p_double"]

[[criteria]]
code = "F"
point = "Density follows, with figures"
check = "figures"
items = ["rho", "u_rho"]
"""
OWN = rubric_of(TEXT)
BLOCK = in_table(d="2.04 2.05 2.08 2.03 cm") + "\nm,,74.6,g\nT,,19.5,°C\n"
"""Mean side 2.05, half the range 0.025, standard error 0.011, a division 0.01; density 74.6 ÷ 2.05³ = 8.66,
3 × 0.025 ÷ 2.05 = 3.66 % for the sides and 0.067 % for the mass: 3.7 %, or 0.32 g/cm³."""


def outcome(answer: str, entry: str, unit: str) -> str:
    """Return what becomes of one uncertainty answer."""
    name = {"%": "p_"}.get(unit, "u_")
    assert answer.startswith(name) or answer == "p_double"
    lines = found(OWN, f"{BLOCK}{answer},,{entry},{unit}", "U")
    return next(one.outcome.value for one in lines if one.item == answer)


@pytest.mark.parametrize(
    ("answer", "entry", "unit"),
    [
        pytest.param("u_m", "0.05", "g", id="half a division"),
        pytest.param("u_m", "0.1", "g", id="a division"),
        pytest.param("u_m", "± 0.1", "g", id="with its sign"),
        pytest.param("u_m", "0.0001", "kg", id="in another unit"),
        pytest.param("p_m", "0.067", "%", id="half a division in per cent"),
        pytest.param("p_m", "0.13", "%", id="a division in per cent"),
        pytest.param("p_m", "0.1", "%", id="to one figure"),
        pytest.param("u_d", "0.03", "cm", id="half the range, to one figure"),
        pytest.param("u_d", "0.025", "cm", id="half the range"),
        pytest.param("u_d", "0.05", "cm", id="the range"),
        pytest.param("u_d", "0.25", "mm", id="half the range in mm"),
        pytest.param("u_d", "0.022", "cm", id="standard deviation"),
        pytest.param("u_d", "0.011", "cm", id="standard error"),
        pytest.param("u_d", "0.01", "cm", id="a division of repeats"),
        pytest.param("u_d", "0.005", "cm", id="half a division of repeats"),
        pytest.param("u_T", "0.5", "°C", id="temperature, a division"),
        pytest.param("u_T", "0.25", "°C", id="temperature, half a division"),
        pytest.param("u_T", "0.5", "K", id="temperature in kelvin"),
        pytest.param("u_rho", "0.32", "g/cm³", id="percentages added"),
        pytest.param("u_rho", "0.3", "g/cm³", id="added, to one figure"),
        pytest.param("u_rho", "0.14", "g/cm³", id="in quadrature, standard errors"),
        pytest.param("p_rho", "3.7", "%", id="percentages added, per cent"),
        pytest.param("p_rho", "4", "%", id="percentages added, one figure"),
        pytest.param("p_rho", "7.4", "%", id="whole ranges"),
    ],
)
def test_each_convention_stands(answer: str, entry: str, unit: str) -> None:
    """Half-range, half and whole divisions, standard error, percentages added; common practice, worked by hand."""
    assert outcome(answer, entry, unit) == "awarded"


@pytest.mark.parametrize(
    ("answer", "entry", "unit"),
    [
        ("u_m", "0.5", "g"),
        ("u_m", "0.01", "g"),
        ("u_d", "0.2", "cm"),
        ("u_T", "2", "°C"),
        ("p_rho", "15", "%"),
        ("p_m", "1", "%"),
        ("u_m", "0", "g"),
    ],
)
def test_a_rule_of_thumb_goes_to_the_teacher(answer: str, entry: str, unit: str) -> None:
    """A value that no convention gives, and that a school may use all the same."""
    assert outcome(answer, entry, unit) in ("for-teacher",)


@pytest.mark.parametrize(
    ("answer", "entry", "unit"),
    [
        ("u_m", "74.6", "g"),
        ("u_d", "2.05", "cm"),
        ("u_d", "25", "cm"),
        ("p_rho", "0.037", "%"),
        ("u_rho", "8.7", "g/cm³"),
    ],
)
def test_what_no_convention_comes_near_is_wrong(answer: str, entry: str, unit: str) -> None:
    """The value itself for its uncertainty, a share for a percentage, mm for cm."""
    assert outcome(answer, entry, unit) == "withheld"


def test_a_formula_may_use_a_stated_uncertainty() -> None:
    """What follows from an uncertainty answer follows from it as it was written."""
    lines = f"{BLOCK}p_m,,0.13,%\np_double,,"
    assert ("p_double", "U", "awarded", "none") in rows(OWN, f"{lines}0.26,%", "U")
    assert any(one[:3] == ("p_double", "U", "withheld") for one in rows(OWN, f"{lines}0.065,%", "U"))


def test_no_readings_no_verdict() -> None:
    """Without the readings that it belongs to, an uncertainty goes to the teacher."""
    lines = found(OWN, "m,,74.6,g\nu_d,,0.03,cm", "U")
    assert next(one.outcome.value for one in lines if one.item == "u_d") == "for-teacher"


def test_a_number_without_a_unit_is_not_withheld() -> None:
    """It may be meant in another unit."""
    lines = found(OWN, f"{BLOCK}u_d,,25,", "U")
    assert next(one.outcome.value for one in lines if one.item == "u_d") == "for-teacher"


@pytest.mark.parametrize(
    ("old", "new", "problem"),
    [
        ('uncertainty_of = "T"', 'uncertainty_of = "x"', "x is no reading and no answer with a formula"),
        ('uncertainty_of = "T"', 'uncertainty_of = "d"', "u_T is in °C, which is no unit of d"),
        ('uncertainty_of = "T"', 'uncertainty_of = "T"\nformula = "T"', "is an estimate too"),
        ('uncertainty_of = "m"', 'uncertainty_of = "m"\ntable = "sides"', "stands in a table that m is not in"),
    ],
)
def test_a_rubric_that_does_not_fit_is_told(old: str, new: str, problem: str) -> None:
    """Faults of the keys are named."""
    with pytest.raises(RubricError, match=problem):
        rubric_of(TEXT.replace(old, new, 1))
