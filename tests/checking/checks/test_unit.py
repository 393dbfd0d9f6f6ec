"""Whether an answer has a unit of its quantity: independent of its value."""

from __future__ import annotations

import pytest

from tests.checking.rows import CUBOID, HEAT, WIRE, changed, found, rows

STANDS = [
    "J/(kg °C)",
    "J/kg °C",
    "J/kg°C",
    "J/kg/°C",
    "J kg⁻¹ °C⁻¹",
    "J kg-1 K-1",
    "J/(kg K)",
    "j/kg°c",
    "J/Kg°C",
    "J per kg per °C",
]


@pytest.mark.parametrize("unit", STANDS)
def test_unit_that_stands(unit: str) -> None:
    """Every way in which a student may write the unit of a specific heat capacity keeps the mark."""
    assert rows("specific-heat-block", changed(HEAT, c=f"973|{unit}"), "F2") == [("c", "F2", "awarded", "none")]


@pytest.mark.parametrize(
    ("unit", "outcome", "cause"),
    [
        ("", "withheld", "unit-missing"),
        ("-", "withheld", "unit-missing"),
        ("none", "withheld", "unit-missing"),
        ("J", "withheld", "unit-wrong"),
        ("J/kg", "withheld", "unit-wrong"),
        ("kg °C/J", "withheld", "unit-wrong"),
        ("J kg °C", "withheld", "unit-wrong"),
        ("J/kg⁻¹ °C⁻¹", "for-teacher", "none"),
        ("Jules each kg and degree", "for-teacher", "none"),
    ],
)
def test_unit_that_does_not_stand(unit: str, outcome: str, cause: str) -> None:
    """A missing unit and one of another quantity lose the mark of the unit; an unclear one is the teacher's."""
    assert rows("specific-heat-block", changed(HEAT, c=f"973|{unit}"), "F2") == [("c", "F2", outcome, cause)]


@pytest.mark.parametrize(
    ("entry", "f1", "f2"),
    [
        ("123|J/(kg °C)", "withheld", "awarded"),
        ("973|J", "awarded", "withheld"),
        ("973|", "awarded", "withheld"),
        ("0.973|J/(kg °C)", "withheld", "awarded"),
        ("0.973|kJ/(kg °C)", "awarded", "awarded"),
        ("973|kJ/(kg °C)", "awarded", "withheld"),
        ("97O|J/(kg °C)", "for-teacher", "awarded"),
        ("97O|J", "for-teacher", "withheld"),
        ("97O|", "for-teacher", "for-teacher"),
        ("973|jewels each", "awarded", "for-teacher"),
        ("0.973|jewels each", "for-teacher", "for-teacher"),
        ("973 J/(kg °C) or so|", "awarded", "awarded"),
    ],
    ids=[
        "wrong-value-right-unit",
        "right-value-wrong-unit",
        "right-value-no-unit",
        "value-of-another-prefix",
        "value-and-prefix-agree",
        "prefix-does-not-agree",
        "unreadable-right-unit",
        "unreadable-wrong-unit",
        "unreadable-no-unit",
        "right-value-unknown-unit",
        "value-of-another-prefix-unknown-unit",
        "hedged-and-the-unit-in-it",
    ],
)
def test_value_and_unit_are_two_marks(entry: str, f1: str, f2: str) -> None:
    """A wrong value with a right unit keeps the mark of the unit, and the other way round."""
    lines = changed(HEAT, c=entry)
    assert [row[2] for row in rows("specific-heat-block", lines, "F1", "F2")] == [f1, f2]


def test_answer_not_given_has_no_unit_to_see() -> None:
    """Without the answer there is no unit, and the finding says that the answer is missing, not the unit."""
    (finding,) = found("specific-heat-block", changed(HEAT, c=""), "F2")
    assert (finding.outcome, finding.cause, finding.reason) == ("withheld", "none", "no-answer")


@pytest.mark.parametrize(
    ("unit", "outcome"),
    [
        ("Ω/m", "awarded"),
        ("ohm/m", "awarded"),
        ("ohms per metre", "awarded"),
        ("Ω m⁻¹", "awarded"),
        ("Ω", "withheld"),
        ("Ω m", "withheld"),
        ("m/Ω", "withheld"),
    ],
)
def test_unit_of_a_gradient(unit: str, outcome: str) -> None:
    """A gradient has the unit of rise over run, and no other."""
    lines = WIRE + f"\ngradient,,4.29,{unit}"
    assert [row[2] for row in rows("wire-resistance", lines, "F2")] == [outcome]


def test_unit_of_the_wrong_formula_is_not_lost_twice() -> None:
    """Who turned the fraction and gave the unit of the turned one made one slip: the second mark is the teacher's."""
    lines = changed(CUBOID, rho="0.370|cm³/g", rho_si="")
    assert rows("density-cuboid", lines, "F1", "F2") == [
        ("rho", "F1", "withheld", "rearrangement"),
        ("rho", "F2", "for-teacher", "none"),
    ]


RESISTOR = "V,1,1.00,V\nV,2,2.00,V\nI,1,0.10,A\nI,2,0.20,A\ncomponent,,resistor,\n"


@pytest.mark.parametrize(
    ("first", "second", "outcome"),
    [
        ("Ω", "Ω", "awarded"),
        ("Ω", "", "awarded"),
        ("", "Ω", "awarded"),
        ("Ω", "ohms", "awarded"),
        ("", "", "withheld"),
        ("Ω", "V", "withheld"),
    ],
)
def test_a_column_has_one_unit(first: str, second: str, outcome: str) -> None:
    """In a column a unit written once serves for all rows; one of another quantity does not."""
    lines = RESISTOR + f"R,1,10.0,{first}\nR,2,10.0,{second}"
    assert [row[2] for row in rows("iv-characteristic", lines, "F2")] == [outcome]
