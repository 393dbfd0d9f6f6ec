"""All that is told of a value: of what was written, of rows, of chains of answers and of gradients."""

from __future__ import annotations

import pytest

from tests.checking.checks.told import told
from tests.checking.rows import CUBOID, HEAT, WIRE, changed, in_table

FOUR = in_table(
    L="0.200 0.300 0.400 0.500 m", V="0.45 0.66 0.88 1.08 V", I="0.50 0.50 0.50 0.50 A", R="0.90 1.32 1.76 2.16 Ω"
)
OFF = in_table(
    L="0.200 0.300 0.400 0.500 m", V="0.45 0.66 0.88 1.08 V", I="0.50 0.50 0.50 0.50 A", R="0.090 0.132 0.176 0.216 Ω"
)
"""A power of ten lost in every row."""


@pytest.mark.parametrize(
    ("case", "wanted"),
    [
        ({}, ["dT awarded right [21.0 °C] → 21 own-readings", "c awarded right [973 J/(kg °C)] → 973.4 own-readings"]),
        (
            {"dT": "62.0", "c": "330"},
            [
                "dT withheld wrong-value [62.0 °C] → 21 own-readings",
                ("c awarded right-carried-forward [330 J/(kg °C)] → 329.7 carried-forward carried=your ΔT of 62.0 °C"),
            ],
        ),
        (
            {"dT": "12.0", "c": "973"},
            [
                "dT withheld wrong-value [12.0 °C] → 21 own-readings",
                "c awarded right [973 J/(kg °C)] → 973.4 own-readings",
            ],
        ),
        (
            {"dT": "12.0", "c": "123"},
            [
                "dT withheld wrong-value [12.0 °C] → 21 own-readings",
                "c withheld wrong-value [123 J/(kg °C)] → 1703 carried-forward",
            ],
        ),
        (
            {"c": "123"},
            [
                "dT awarded right [21.0 °C] → 21 own-readings",
                "c withheld wrong-value [123 J/(kg °C)] → 973.4 own-readings",
            ],
        ),
        (
            {"c": "97O"},
            [
                "dT awarded right [21.0 °C] → 21 own-readings",
                "c for-teacher unreadable [97O J/(kg °C)] → 973.4 own-readings",
            ],
        ),
        ({"c": "?|"}, ["dT awarded right [21.0 °C] → 21 own-readings", "c withheld no-answer [?]"]),
        (
            {"dT": ""},
            ["dT awarded method-shown own-readings proof=c", "c awarded right [973 J/(kg °C)] → 973.4 own-readings"],
        ),
        (
            {"m": "", "c": "973"},
            ["dT awarded right [21.0 °C] → 21 own-readings", "c for-teacher not-recalculable [973 J/(kg °C)]"],
        ),
        (
            {"E": "30000", "c": "1000"},
            [
                "dT awarded right [21.0 °C] → 21 own-readings",
                "c for-teacher rough-figure [1000 J/(kg °C)] → 1431 own-readings",
            ],
        ),
        (
            {"c": "0.973|"},
            [
                "dT awarded right [21.0 °C] → 21 own-readings",
                "c for-teacher right-if-other-unit [0.973] → 973.4 own-readings",
            ],
        ),
        (
            {"c": "0.973|kJ/(kg °C)"},
            [
                "dT awarded right [21.0 °C] → 21 own-readings",
                "c awarded right [0.973 kJ/(kg °C)] → 0.9734 own-readings",
            ],
        ),
        (
            {"c": "973|kJ/(kg °C)"},
            [
                "dT awarded right [21.0 °C] → 21 own-readings",
                "c awarded right-as-asked [973 kJ/(kg °C)] → 0.9734 own-readings",
            ],
        ),
        (
            {"c": "1.2|kJ/(kg °C)"},
            [
                "dT awarded right [21.0 °C] → 21 own-readings",
                "c withheld wrong-value [1.2 kJ/(kg °C)] → 0.9734 own-readings",
            ],
        ),
        (
            {"c": "973|J/(kg K)"},
            ["dT awarded right [21.0 °C] → 21 own-readings", "c awarded right [973 J/(kg K)] → 973.4 own-readings"],
        ),
        (
            {"c": "973|j/kg°c"},
            ["dT awarded right [21.0 °C] → 21 own-readings", "c awarded right [973 j/kg°c] → 973.4 own-readings"],
        ),
    ],
)
def test_what_is_told_of_a_value(case: dict[str, str], wanted: list[str]) -> None:
    """Outcome, reason, what was expected and from which figures, for right, carried, wrong and unclear answers."""
    assert (
        told("specific-heat-block", changed(HEAT, **case), "P1", "F1", facts=("carried", "proof"), causes=False)
        == wanted
    )


@pytest.mark.parametrize(
    ("case", "wanted"),
    [
        (
            {},
            [
                "R 1 awarded right [0.90 Ω] → 0.9 own-readings",
                "R 2 awarded right [1.32 Ω] → 1.32 own-readings",
                "R 3 awarded right [1.76 Ω] → 1.76 own-readings",
                "R 4 awarded right [2.16 Ω] → 2.16 own-readings",
            ],
        ),
        (
            {"V_3": "0.8B"},
            [
                "R 1 awarded right [0.90 Ω] → 0.9 own-readings",
                "R 2 awarded right [1.32 Ω] → 1.32 own-readings",
                "R 3 for-teacher not-recalculable [1.76 Ω]",
                "R 4 awarded right [2.16 Ω] → 2.16 own-readings",
            ],
        ),
        (
            {"I_3": "0.00"},
            [
                "R 1 awarded right [0.90 Ω] → 0.9 own-readings",
                "R 2 awarded right [1.32 Ω] → 1.32 own-readings",
                "R 3 for-teacher not-recalculable [1.76 Ω]",
                "R 4 awarded right [2.16 Ω] → 2.16 own-readings",
            ],
        ),
        (
            {"R_3": "1.6"},
            [
                "R 1 awarded right [0.90 Ω] → 0.9 own-readings",
                "R 2 awarded right [1.32 Ω] → 1.32 own-readings",
                "R 3 withheld wrong-value [1.6 Ω] → 1.76 own-readings",
                "R 4 awarded right [2.16 Ω] → 2.16 own-readings",
            ],
        ),
        (
            {"R_3": "?"},
            [
                "R 1 awarded right [0.90 Ω] → 0.9 own-readings",
                "R 2 awarded right [1.32 Ω] → 1.32 own-readings",
                "R 3 withheld no-answer [? Ω]",
                "R 4 awarded right [2.16 Ω] → 2.16 own-readings",
            ],
        ),
        (
            {"R_3": ""},
            [
                "R 1 awarded right [0.90 Ω] → 0.9 own-readings",
                "R 2 awarded right [1.32 Ω] → 1.32 own-readings",
                "R 3 withheld no-answer",
                "R 4 awarded right [2.16 Ω] → 2.16 own-readings",
            ],
        ),
        (
            {"R_3": "1760|mΩ"},
            [
                "R 1 awarded right [0.90 Ω] → 0.9 own-readings",
                "R 2 awarded right [1.32 Ω] → 1.32 own-readings",
                "R 3 awarded right [1760 mΩ] → 1760 own-readings",
                "R 4 awarded right [2.16 Ω] → 2.16 own-readings",
            ],
        ),
        (
            {"L_3": "", "V_3": "", "I_3": "", "R_3": ""},
            [
                "R 1 awarded right [0.90 Ω] → 0.9 own-readings",
                "R 2 awarded right [1.32 Ω] → 1.32 own-readings",
                "R 4 awarded right [2.16 Ω] → 2.16 own-readings",
            ],
        ),
    ],
)
def test_what_is_told_of_a_row(case: dict[str, str], wanted: list[str]) -> None:
    """Each row of a column is told with its own number, its own reading and in its own unit."""
    assert told("wire-resistance", changed(FOUR, **case), "P1", causes=False) == wanted


@pytest.mark.parametrize(
    ("case", "wanted"),
    [
        (
            {"V": "242", "rho": "0.270", "rho_si": "270"},
            [
                "V withheld wrong-value [242 cm³] → 24.22 own-readings",
                ("rho awarded right-carried-forward [0.270 g/cm³] → 0.2702 carried-forward carried=your V of 242 cm³"),
                (
                    "rho_si awarded right-carried-forward [270 kg/m³] → 270 carried-forward carried=your ρ "
                    "of 0.270 g/cm³"
                ),
            ],
        ),
        (
            {"V": "24"},
            [
                "V awarded right [24 cm³] → 24.22 own-readings",
                "rho awarded right [2.70 g/cm³] → 2.701 own-readings",
                "rho_si awarded right [2700 kg/m³] → 2701 own-readings",
            ],
        ),
        (
            {"V": "24.2|ml", "rho": "2700|kg/m³"},
            [
                "V awarded right [24.2 ml] → 24.22 own-readings",
                "rho awarded right [2700 kg/m³] → 2701 own-readings",
                "rho_si awarded right [2700 kg/m³] → 2701 own-readings",
            ],
        ),
        (
            {"m": ""},
            [
                "V awarded right [24.2 cm³] → 24.22 own-readings",
                "rho for-teacher not-recalculable [2.70 g/cm³]",
                (
                    "rho_si awarded right-carried-forward [2700 kg/m³] → 2700 carried-forward carried=your ρ "
                    "of 2.70 g/cm³"
                ),
            ],
        ),
        (
            {"V": "", "rho": "", "rho_si": ""},
            ["V for-teacher no-answer", "rho for-teacher no-answer", "rho_si for-teacher no-answer"],
        ),
        (
            {"V": ""},
            [
                "V awarded method-shown own-readings proof=ρ",
                "rho awarded right [2.70 g/cm³] → 2.701 own-readings",
                "rho_si awarded right [2700 kg/m³] → 2701 own-readings",
            ],
        ),
        (
            {"rho": "0.370", "rho_si": "370"},
            [
                "V awarded right [24.2 cm³] → 24.22 own-readings",
                "rho withheld wrong-value [0.370 g/cm³] → 2.702 own-readings",
                (
                    "rho_si awarded right-carried-forward [370 kg/m³] → 370 carried-forward carried=your ρ "
                    "of 0.370 g/cm³"
                ),
            ],
        ),
    ],
)
def test_what_is_told_of_a_chain(case: dict[str, str], wanted: list[str]) -> None:
    """What was carried is named, and what is expected follows from it."""
    assert (
        told("density-cuboid", changed(CUBOID, **case), "P1", "F1", "P3", facts=("carried", "proof"), causes=False)
        == wanted
    )


@pytest.mark.parametrize(
    ("case", "wanted"),
    [
        ("FOUR;4.29,Ω/m", ["gradient awarded right [4.29 Ω/m] → 4.22 own-readings"]),
        ("FOUR;4.02,Ω/m", ["gradient awarded right [4.02 Ω/m] → 4.22 own-readings"]),
        (
            "OFF;0.429,Ω/m",
            [("gradient awarded right-carried-forward [0.429 Ω/m] → 0.422 carried-forward carried=your column R")],
        ),
        ("OFF;0.460,Ω/m", ["gradient for-teacher near-line [0.460 Ω/m] → 0.422 own-readings"]),
        ("OFF;4.29,Ω/m", ["gradient awarded right [4.29 Ω/m] → 4.22 own-readings"]),
        ("OFF;0.9,Ω/m", ["gradient withheld wrong-value [0.9 Ω/m] → 0.422 carried-forward"]),
    ],
)
def test_what_is_told_of_a_gradient(case: str, wanted: list[str]) -> None:
    """A gradient names the column it follows from."""
    assert (
        told(
            "wire-resistance",
            {"FOUR": FOUR, "OFF": OFF}[case.split(";")[0]] + "\ngradient,," + case.split(";")[1],
            "G5",
            facts=("carried",),
            causes=False,
        )
        == wanted
    )


CARRIED = ("carried", "readings", "working")


@pytest.mark.parametrize(
    ("changes", "criterion", "wanted"),
    [
        (
            {"V": "30.0", "rho": "2.18"},
            "F1",
            "rho awarded right-carried-forward [2.18 g/cm³] → 2.18 carried-forward carried=your V of 30.0 cm³ "
            "readings=m = 65.4 g and V = 30.0 cm³ working=65.4 ÷ 30.0",
        ),
        (
            {},
            "F1",
            "rho awarded right [2.70 g/cm³] → 2.701 own-readings "
            "readings=m = 65.4 g and V = 24.2 cm³ working=65.4 ÷ 24.2",
        ),
        (
            {"V": "2#2", "rho": "9.9"},
            "F1",
            "rho for-teacher not-recalculable [9.9 g/cm³] readings=m = 65.4 g and V = 24.2 cm³ working=65.4 ÷ 24.2",
        ),
        (
            {"V": "2#2", "rho": "", "rho_si": "9900"},
            "P3",
            "rho_si for-teacher not-recalculable [9900 kg/m³] readings=ρ = 2.70 g/cm³ working=2.70",
        ),
        (
            {"rho": "2#7", "rho_si": "9900"},
            "P3",
            "rho_si for-teacher not-recalculable [9900 kg/m³] readings=ρ = 2#7 g/cm³",
        ),
        (
            {"rho": "9.9", "rho_si": "9900"},
            "P3",
            "rho_si awarded right-carried-forward [9900 kg/m³] → 9900 carried-forward carried=your ρ of 9.9 g/cm³ "
            "readings=ρ = 9.9 g/cm³ working=9.9",
        ),
        (
            {"V": "", "rho": "9.9"},
            "F1",
            "rho withheld wrong-value [9.9 g/cm³] → 2.701 own-readings "
            "readings=m = 65.4 g and V = 24.2 cm³ working=65.4 ÷ 24.2",
        ),
    ],
    ids=[
        "follows-from-a-wrong-one",
        "follows-from-readings",
        "behind-one-unread",
        "behind-one-unread-two-steps-back",
        "the-step-itself-unread",
        "follows-one-step",
        "behind-a-blank",
    ],
)
def test_what_an_answer_is_said_to_follow_from(changes: dict[str, str], criterion: str, wanted: str) -> None:
    """The earlier answer as written, where it follows from that; behind one that cannot be read, the teacher looks."""
    answers = told("density-cuboid", changed(CUBOID, **changes), criterion, facts=CARRIED, causes=False)
    assert wanted in answers


@pytest.mark.parametrize(
    ("column", "gradient", "wanted"),
    [
        (
            "0.90 1.32 1.76 2#6 2.64 3.02 3.48 Ω",
            "9.9",
            "gradient for-teacher not-recalculable [9.9 Ω/m] readings=your columns R and L",
        ),
        (
            "0.090 0.132 0.176 0.216 0.264 0.302 0.348 Ω",
            "0.429",
            "gradient awarded right-carried-forward [0.429 Ω/m] → 0.4293 carried-forward carried=your column R "
            "readings=your columns R and L",
        ),
    ],
    ids=["a-row-unread", "follows-from-the-column"],
)
def test_what_a_gradient_is_said_to_follow_from(column: str, gradient: str, wanted: str) -> None:
    """A column that was worked out is named as a whole; one row of it that cannot be read leaves it to the teacher."""
    readings = "\n".join(line for line in WIRE.split("\n") if not line.startswith("R,"))
    lines = f"{readings}\n{in_table(R=column)}\ngradient,,{gradient},Ω/m"
    assert told("wire-resistance", lines, "G5", facts=CARRIED, causes=False) == [wanted]


def test_a_row_follows_from_its_own_row() -> None:
    """T² of the second row follows from the T of the second row, and is told so."""
    lines = in_table(
        L="0.300 0.500 0.700 m",
        t10_1="11.0 14.2 16.8 s",
        t10="11.0 14.2 16.8 s",
        T="1.10 2.42 1.68 s",
        T2="1.21 5.86 2.82 s²",
    )
    found = [one for one in told("pendulum-g", lines, "P2", facts=("carried",), causes=False) if one.startswith("T2 2")]
    assert found == ["T2 2 awarded right-carried-forward [5.86 s²] → 5.856 carried-forward carried=your T of 2.42 s"]
