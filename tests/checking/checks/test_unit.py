"""Whether an answer has a unit of its quantity: independent of its value."""

from __future__ import annotations

import pytest

from tests.checking.checks.told import told
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


@pytest.mark.parametrize(
    ("case", "wanted"),
    [
        ({"c": "973|J/(kg °C)"}, ["c awarded unit-right [973 J/(kg °C)]"]),
        ({"c": "973|"}, ["c withheld unit-missing [973] unit-missing (none for J/(kg °C)) 1"]),
        (
            {"c": "973|J"},
            [
                (
                    "c withheld unit-other-quantity [973 J] unit-wrong (J for J/(kg °C)) 1 note=J is a unit "
                    "of another quantity"
                )
            ],
        ),
        ({"c": "973|jewels each"}, ["c for-teacher unit-unclear [973 jewels each] note=not a unit we know"]),
        ({"c": "97O|"}, ["c for-teacher unreadable [97O]"]),
        ({"c": "97O|J"}, ["c withheld unit-other-quantity [97O J] unit-wrong (J for J/(kg °C)) 1"]),
        ({"c": "97O|J/(kg °C)"}, ["c awarded unit-right [97O J/(kg °C)]"]),
        (
            {"c": "973|kJ/(kg °C)"},
            ["c withheld unit-not-of-number [973 kJ/(kg °C)] unit-wrong (kJ/(kg °C) for J/(kg °C)) 1"],
        ),
        ({"c": ""}, ["c withheld no-answer"]),
        ({"c": "?|"}, ["c withheld no-answer"]),
        ({"c": "0.973|J/(g °C)"}, ["c awarded unit-right [0.973 J/(g °C)]"]),
        (
            {"c": "973|j/kg°c"},
            [("c awarded unit-note [973 j/kg°c] note=read as J/(kg °C): capitals and small letters count")],
        ),
    ],
)
def test_what_is_told_of_a_unit(case: dict[str, str], wanted: list[str]) -> None:
    """Outcome, reason, cause and note of each kind of unit, beside right and wrong numbers."""
    assert told("specific-heat-block", changed(HEAT, **case), "F2", facts=("note",)) == wanted


@pytest.mark.parametrize(
    ("case", "wanted"),
    [
        ("R,1,10.0,Ω\nR,2,10.0,Ω", ["R awarded unit-right [10.0 Ω]"]),
        ("R,1,10.0,\nR,2,10.0,", ["R withheld unit-missing [10.0] unit-missing (none for Ω) 1"]),
        (
            "R,1,10.0,Ω\nR,2,10.0,V",
            [("R 2 withheld unit-other-quantity [10.0 V] unit-wrong (V for Ω) 1 note=V is a unit of another quantity")],
        ),
        ("R,1,10.0,Ω\nR,2,10.0,kΩ", ["R 2 withheld unit-not-of-number [10.0 kΩ] unit-wrong (kΩ for Ω) 1"]),
        ("R,1,10.0,kΩ\nR,2,10.0,Ω", ["R 1 withheld unit-not-of-number [10.0 kΩ] unit-wrong (kΩ for Ω) 1"]),
        ("R,1,10.0,\nR,2,1S.0,", ["R 2 for-teacher unreadable [1S.0]"]),
        ("R,1,1S.0,\nR,2,10.0,", ["R 1 for-teacher unreadable [1S.0]"]),
        ("R,1,10.0,zz\nR,2,10.0,Ω", ["R 1 for-teacher unit-unclear [10.0 zz] note=not a unit we know"]),
        ("R,1,10.0,Ω\nR,2,10.0,zz", ["R 2 for-teacher unit-unclear [10.0 zz] note=not a unit we know"]),
        ("R,1,10.0,Ω\nR,2,1S.0,V", ["R 2 withheld unit-other-quantity [1S.0 V] unit-wrong (V for Ω) 1"]),
        ("R,1,10.0,\nR,2,10.0,ohms", ["R awarded unit-right [10.0 ohms]"]),
        ("R,1,-,\nR,2,-,", ["R for-teacher no-answer"]),
        ("R,1,-,\nR,2,10.0,Ω", ["R awarded unit-right [10.0 Ω]"]),
    ],
)
def test_what_is_told_of_the_unit_of_a_column(case: str, wanted: list[str]) -> None:
    """A column has one unit: the worst in it is told, with its row; one that could not be read may hold the unit."""
    assert told("iv-characteristic", RESISTOR + case, "F2", facts=("note",)) == wanted


@pytest.mark.parametrize(
    ("case", "wanted"),
    [
        (
            {"rho": "0.370|cm³/g", "rho_si": ""},
            [
                "rho withheld wrong-value [0.370 cm³/g] → 2.702 own-readings rearrangement (V / m) 1",
                "rho for-teacher unit-of-slip [0.370 cm³/g]",
            ],
        ),
        (
            {"rho": "2.70|cm³/g", "rho_si": ""},
            [
                "rho awarded right [2.70 cm³/g] → 2.701 own-readings",
                "rho withheld unit-other-quantity [2.70 cm³/g] unit-wrong (cm³/g for g/cm³) 1",
            ],
        ),
        (
            {"rho": "0.370|cm", "rho_si": ""},
            [
                "rho withheld wrong-value [0.370 cm] → 2.702 own-readings rearrangement (V / m) 1",
                "rho withheld unit-other-quantity [0.370 cm] unit-wrong (cm for g/cm³) 1",
            ],
        ),
        (
            {"rho": "0.370|g/cm³", "rho_si": ""},
            [
                "rho withheld wrong-value [0.370 g/cm³] → 2.702 own-readings rearrangement (V / m) 1",
                "rho awarded unit-right [0.370 g/cm³]",
            ],
        ),
    ],
)
def test_what_is_told_of_the_unit_of_a_slip(case: dict[str, str], wanted: list[str]) -> None:
    """The unit of a turned formula belongs to the slip of the value; of a right value or another slip it does not."""
    assert told("density-cuboid", changed(CUBOID, **case), "F1", "F2") == wanted


@pytest.mark.parametrize(
    ("case", "wanted"),
    [
        (
            "0.233,m/Ω",
            [
                (
                    "gradient withheld wrong-value [0.233 m/Ω] → 4.293 own-readings gradient-inverted (run / "
                    "rise: L / R) 1"
                ),
                "gradient awarded unit-of-inverted [0.233 m/Ω]",
            ],
        ),
        (
            "4.29,m/Ω",
            [
                "gradient awarded right [4.29 m/Ω] → 4.293 own-readings",
                "gradient withheld unit-other-quantity [4.29 m/Ω] unit-wrong (m/Ω for Ω/m) 1",
            ],
        ),
        (
            "0.233,Ω/m",
            [
                (
                    "gradient withheld wrong-value [0.233 Ω/m] → 4.293 own-readings gradient-inverted (run / "
                    "rise: L / R) 1"
                ),
                "gradient awarded unit-right [0.233 Ω/m]",
            ],
        ),
        (
            "4.29,Ω/m",
            ["gradient awarded right [4.29 Ω/m] → 4.293 own-readings", "gradient awarded unit-right [4.29 Ω/m]"],
        ),
        (
            "0.233,V",
            [
                (
                    "gradient withheld wrong-value [0.233 V] → 4.293 own-readings gradient-inverted (run / "
                    "rise: L / R) 1"
                ),
                "gradient withheld unit-other-quantity [0.233 V] unit-wrong (V for Ω/m) 1",
            ],
        ),
    ],
)
def test_what_is_told_of_the_unit_of_a_turned_gradient(case: str, wanted: list[str]) -> None:
    """Run over rise with its own unit loses the value alone."""
    assert told("wire-resistance", WIRE + "\ngradient,," + case, "F2", "G5") == wanted


LABELLED = "l,,2.9,cm\nw,,1.5,cm\nh,,4.5,cm\nm,,10.9,g\nV,,{},{}\nrho,,{},{}"


@pytest.mark.parametrize(
    ("case", "outcome"),
    [
        # 10.9 g over 19.575 mm³ would be 557 g/cm³: the unit follows from the other label, or is one more.
        (("20", "mm³", "557", "g/cm³"), "for-teacher"),
        # Behind a volume with its own unit, 557 is the number of kg/m³ alone.
        (("19.6", "cm³", "557", "g/cm³"), "withheld"),
        (("19.6", "mm³", "0.557", "g/cm³"), "awarded"),
    ],
)
def test_a_unit_behind_another_label(case: tuple[str, str, str, str], outcome: str) -> None:
    """What may follow from a label as it stands is no unit that is wrong for certain."""
    assert rows("density-cuboid", LABELLED.format(*case), "F2")[0][2] == outcome
