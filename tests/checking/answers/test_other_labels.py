"""Numbers that are right in another unit than the one beside them: a slip of the label, or of the value."""

from __future__ import annotations

import pytest

from tests.checking.answers.test_judging import Judgement, judgement
from tests.checking.checks.told import told
from tests.checking.rows import HEAT, changed, found, in_table

RIGHT, WRONG, LABEL = Judgement.RIGHT, Judgement.WRONG, Judgement.OTHER_LABEL

WAVES = in_table(
    f="8.0 10.0 12.0 15.0 20.0 Hz",
    l="29.9 24.2 20.1 15.9 12.1 cm",
    n="10 10 10 10 10 waves",
    wl="2.99 2.42 2.01 1.59 1.21 cm",
    v="23.9 24.2 24.1 23.9 24.2 cm/s",
)
WIRE = (
    "L,,2.05,m\n"
    + in_table(d="0.38 0.38 0.37 0.38 mm")
    + "\n"
    + in_table(M="0.200 0.600 1.000 1.400 kg", x="0.00030 0.00095 0.00160 0.00220 m", F="1.96 5.89 9.81 13.7 N")
    + "\nd_mean,,0.378,mm\nA,,1.12e-7,m²\ngradient,,6200,N/m\nE,,"
)


@pytest.mark.parametrize(
    ("v_mean", "wanted"),
    [("24.1,cm/s", RIGHT), ("0.241,m/s", RIGHT), ("24.1,m/s", LABEL), ("2.41,m/s", WRONG), ("25.1,m/s", WRONG)],
)
def test_a_mean_in_the_unit_of_its_rows(v_mean: str, wanted: Judgement) -> None:
    """The mean of speeds in cm/s is so many cm/s, whatever stands beside it."""
    assert judgement("wave-speed", f"{WAVES}\nv_mean,,{v_mean}\n", "v_mean") is wanted


@pytest.mark.parametrize(
    ("E", "wanted"),
    [("113,GPa", RIGHT), ("1.13e11,Pa", RIGHT), ("113,Pa", LABEL), ("113,MPa", WRONG), ("120,Pa", WRONG)],
)
def test_a_prefix_lost(E: str, wanted: Judgement) -> None:
    """6200 × 2.05 ÷ 1.12e-7 is 1.135e11 Pa: 113 comes by way of GPa alone, 113 MPa from N/mm."""
    assert judgement("young-modulus", f"{WIRE}{E}\n", "E") is wanted


def test_kilojoules_that_were_not_turned_into_joules_are_a_slip_of_the_value() -> None:
    """0.973 is E in kJ over m ΔT: the value is off, as ever."""
    assert judgement("specific-heat-block", changed(HEAT, c="0.973|J/(kg °C)"), "c") is WRONG


def test_what_is_told_of_value_and_unit() -> None:
    """The value waits, the unit's mark is lost, and the unit that fits is named."""
    proposed = "unit-conversion (E: GPa for Pa) 1 unit=Pa"
    assert told("young-modulus", f"{WIRE}113,Pa\n", "F1", "F2", facts=("unit",)) == [
        f"E for-teacher right-under-other-unit [113 Pa] → 1.135e+11 own-readings {proposed}",
        "E withheld unit-not-of-number [113 Pa] unit-wrong (Pa for GPa) 1 unit=GPa",
    ]


@pytest.mark.parametrize(
    ("V", "value", "unit"),
    [
        ("73700,mm³", "awarded", "awarded"),
        ("73700,mm²", "for-teacher", "withheld"),  # the millimetres are there, and no change of unit leads to an area
        ("73.7,cm²", "awarded", "withheld"),
        ("73700,cm³", "withheld", "awarded"),
    ],
)
def test_a_number_beside_a_unit_of_another_quantity(V: str, value: str, unit: str) -> None:
    """45.6 × 40.5 × 39.9 mm is 73 690 mm³: a wrong unit of another quantity costs its own mark alone."""
    lines = f"l,,45.6,mm\nw,,40.5,mm\nh,,39.9,mm\nm,,846.0,g\nV,,{V}\n"
    of_volume = {one.criterion: str(one.outcome) for one in found("density-cuboid", lines) if one.item == "V"}
    assert of_volume == {"P1": value, "P2": unit}


def test_the_unit_that_fits_the_number_is_named_and_not_the_one_asked_for() -> None:
    """Who wrote 73 700 mm² is told of mm³: beside cm³ the number would be wrong."""
    lines = "l,,45.6,mm\nw,,40.5,mm\nh,,39.9,mm\nm,,846.0,g\nV,,73700,mm²\n"
    (line,) = [one for one in found("density-cuboid", lines) if one.criterion == "P2"]
    assert (line.reason, line.facts["unit"], line.cause) == ("unit-not-of-number", "mm³", "unit-wrong")
