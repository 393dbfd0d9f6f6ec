"""All that is told of decimal places: of two readings, a column, the three sides of a block and a burette."""

from __future__ import annotations

import pytest

from tests.checking.checks.told import told
from tests.checking.rows import CUBOID, HEAT, changed, in_table


@pytest.mark.parametrize(
    ("case", "wanted"),
    [
        (
            {"T_start": "20.5", "T_end": "41.5"},
            [("T_start awarded places-right [20.5 °C] quantity=start temperature places=1 places_wanted=1")],
        ),
        (
            {"T_start": "20", "T_end": "41.5"},
            [
                (
                    "T_start withheld places-mixed [20 °C] significant-figures (0 decimal places beside 1) 1 "
                    "quantity=start temperature places=0 places_wanted=1"
                )
            ],
        ),
        (
            {"T_start": "20.5|°C", "T_end": "314.65|K"},
            [("T_start for-teacher places-mixed [20.5 °C] quantity=start temperature places=1 places_wanted=2")],
        ),
        ({"T_start": "", "T_end": ""}, ["T_start for-teacher reading-missing quantity=start temperature"]),
        (
            {"T_start": "4I", "T_end": "41.5"},
            [
                (
                    "T_end awarded places-right [41.5 °C] quantity=highest temperature after switching off "
                    "places=1 places_wanted=1"
                )
            ],
        ),
        (
            {"T_start": "20.50", "T_end": "41.5"},
            [
                (
                    "T_end withheld places-mixed [41.5 °C] significant-figures (1 decimal places beside 2) 1 "
                    "quantity=highest temperature after switching off places=1 places_wanted=2"
                )
            ],
        ),
        (
            {"T_start": "0", "T_end": "41.5"},
            [
                (
                    "T_end awarded places-right [41.5 °C] quantity=highest temperature after switching off "
                    "places=1 places_wanted=1"
                )
            ],
        ),
        ({"T_start": "-", "T_end": "0"}, ["T_start for-teacher reading-missing quantity=start temperature"]),
        (
            {"T_start": "20.005", "T_end": "41.5"},
            [
                (
                    "T_end withheld places-mixed [41.5 °C] significant-figures (1 decimal places beside 3) 1 "
                    "quantity=highest temperature after switching off places=1 places_wanted=3"
                )
            ],
        ),
        (
            {"T_start": "20", "T_end": "41"},
            ["T_start awarded places-right [20 °C] quantity=start temperature places=0 places_wanted=0"],
        ),
    ],
)
def test_what_is_told_of_two_readings(case: dict[str, str], wanted: list[str]) -> None:
    """Which reading is odd, how many places it has and how many are wanted."""
    assert (
        told("specific-heat-block", changed(HEAT, **case), "R2", facts=("quantity", "places", "places_wanted"))
        == wanted
    )


@pytest.mark.parametrize(
    ("case", "wanted"),
    [
        (
            "8.00 9.00 10.0 11.0 12.0 V",
            [
                "V 1 for-teacher places-mixed [8.00 V] places=2 places_wanted=1",
                "I awarded places-right [0.80 A] places=2 places_wanted=2",
            ],
        ),
        (
            "8.0 9.0 10 11 12 V",
            [
                (
                    "V 1 withheld places-mixed [8.0 V] significant-figures (1 decimal places beside 0) 1 "
                    "places=1 places_wanted=0"
                ),
                "I awarded places-right [0.80 A] places=2 places_wanted=2",
            ],
        ),
        (
            "99.8 99.9 100 101 102 V",
            [
                "V 1 for-teacher places-mixed [99.8 V] places=1 places_wanted=0",
                "I awarded places-right [0.80 A] places=2 places_wanted=2",
            ],
        ),
        (
            "0.98 1.02 1.00 1.1 1.20 V",
            [
                (
                    "V 4 withheld places-mixed [1.1 V] significant-figures (1 decimal places beside 2) 1 "
                    "places=1 places_wanted=2"
                ),
                "I awarded places-right [0.80 A] places=2 places_wanted=2",
            ],
        ),
        (
            "9.8 9.90 10.0 11.00 12 V",
            [
                (
                    "V 1 withheld places-mixed [9.8 V] significant-figures (1 decimal places beside 2) 1 "
                    "places=1 places_wanted=2"
                ),
                "I awarded places-right [0.80 A] places=2 places_wanted=2",
            ],
        ),
        (
            "8.00 9.0 10.0 11.0 12.0 V",
            [
                (
                    "V 2 withheld places-mixed [9.0 V] significant-figures (1 decimal places beside 2) 1 "
                    "places=1 places_wanted=2"
                ),
                "I awarded places-right [0.80 A] places=2 places_wanted=2",
            ],
        ),
        (
            "8.001 9.001 10.00 11.00 12.00 V",
            [
                "V 1 for-teacher places-mixed [8.001 V] places=3 places_wanted=2",
                "I awarded places-right [0.80 A] places=2 places_wanted=2",
            ],
        ),
        (
            "-8.00 -9.00 10.0 11.0 V",
            [
                "V 3 for-teacher places-mixed [10.0 V] places=1 places_wanted=2",
                "I awarded places-right [0.80 A] places=2 places_wanted=2",
            ],
        ),
        (
            "8.00 9.00 8.0 9.0 V",
            [
                (
                    "V 3 withheld places-mixed [8.0 V] significant-figures (1 decimal places beside 2) 1 "
                    "places=1 places_wanted=2"
                ),
                "I awarded places-right [0.80 A] places=2 places_wanted=2",
            ],
        ),
        (
            "8.00 -- V",
            [
                "V awarded places-right [8.00 V] places=2 places_wanted=2",
                "I awarded places-right [0.80 A] places=2 places_wanted=2",
            ],
        ),
        ("0 0 0 V", ["V for-teacher reading-missing", "I awarded places-right [0.80 A] places=2 places_wanted=2"]),
    ],
)
def test_what_is_told_of_a_column(case: str, wanted: list[str]) -> None:
    """Three figures throughout may be a meter that changed its range; two, or a row that breaks them, are not."""
    assert (
        told(
            "iv-characteristic",
            in_table(V=case, I="0.80 0.90 1.00 1.10 1.20 A") + "\ncomponent,,resistor,",
            "R2",
            facts=("places", "places_wanted"),
        )
        == wanted
    )


@pytest.mark.parametrize(
    ("case", "wanted"),
    [
        (
            {"l": "4.0"},
            ["l for-teacher places-mixed [4.0 cm] quantity=length places=1 places_wanted=2"],
        ),
        (
            {"w": "3.021"},
            [
                (
                    "w withheld places-mixed [3.021 cm] significant-figures (3 decimal places beside 2) 1 "
                    "quantity=width places=3 places_wanted=2"
                )
            ],
        ),
        ({"l": "40.5|mm"}, ["l for-teacher places-mixed [40.5 mm] quantity=length places=1 places_wanted=2"]),
        (
            {"h": "2"},
            [
                (
                    "h withheld places-mixed [2 cm] significant-figures (0 decimal places beside 2) 1 "
                    "quantity=height places=0 places_wanted=2"
                )
            ],
        ),
        ({}, ["l awarded places-right [4.05 cm] quantity=length places=2 places_wanted=2"]),
    ],
)
def test_what_is_told_of_three_sides(case: dict[str, str], wanted: list[str]) -> None:
    """Sides by one rule are one group, told by the first of them; its places are those of its own unit."""
    assert (
        told("density-cuboid", changed(CUBOID, **case), "R2", facts=("quantity", "places", "places_wanted")) == wanted
    )


@pytest.mark.parametrize(
    ("burette", "wanted"),
    [
        ("1.05 2.10 3.00 cm³", []),
        ("1.05 2.12 3.00 cm³", ["2"]),
        ("1.05 2.101 3.003 cm³", []),  # places first
        ("1.03 2.12 3.00 cm³", ["1"]),
        ("0.00 49.95 23.07 cm³", ["3"]),
        ("0.15 0.30 0.35 cm³", []),  # 0.15 / 0.05 is not quite three in binary
        ("1.05 2.10 3.00 ml", []),
        ("1.05 2.12 3.00 ml", ["2"]),
    ],
)
def test_a_reading_between_the_marks_of_a_burette(burette: str, wanted: list[str]) -> None:
    """A burette is read to 0.05 cm³: 2.12 lies between, in the one column; the other keeps to its steps."""
    lines = in_table(v_1=burette, v_2="26.00 27.05 28.10 cm³")
    given = told("titration", lines, "R2", facts=("step",))
    detail = "significant-figures (between steps of 0.05 cm³) 1 step=0.05 cm³"
    between = [one for one in given if "between-steps" in one]
    entries, unit = burette.split(" ")[:-1], burette.split(" ")[-1]
    assert between == [f"v_1 {row} withheld between-steps [{entries[int(row) - 1]} {unit}] {detail}" for row in wanted]
    assert len(given) == 2
