"""Slips of keys and cells: one held fast, + for ×, √ for ², the next answer in this box, 1000 ÷ ρ for 1000 ρ."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from marking.findings import Cause, Explanation
from tests.checking.rows import HEAT, changed, found, in_table

VOLTS = "0.36 0.71 1.05 1.44 1.80"
AMPS = "0.30 0.29 0.31 0.30 0.28"


def first(practical: str, lines: str, item: str, row: int | None = None) -> Explanation:
    """Return the likeliest explanation of a wrong answer."""
    return next(
        one.explanations[0]
        for one in found(practical, lines)
        if one.item == item and one.row == row and one.explanations
    )


def test_a_formula_filled_down_with_one_cell_held_fast() -> None:
    """Every resistance is 0.36 V over its own current: told from the third row on."""
    ohms = " ".join(f"{0.36 / float(one):.3g}" for one in AMPS.split())
    lines = in_table(L="0.2 0.4 0.6 0.8 1.0 m", V=f"{VOLTS} V", I=f"{AMPS} A", R=f"{ohms} Ω")
    for row in (3, 4, 5):
        told = first("wire-resistance", lines, "R", row)
        assert (told.cause, told.detail) == (Cause.WRONG_QUANTITY, f"V: row 1 for row {row}")
        assert told.facts["used_quantity"].endswith("of row 1")
        assert told.probability >= 0.8


@pytest.mark.parametrize(
    ("rise", "cause", "detail"),
    [
        ("10.5", Cause.MISSING_FACTOR, "(T_end - T_start) / 2"),
        ("31.0", Cause.WRONG_QUANTITY, "(T_end + T_start) / 2"),
    ],
)
def test_a_rise_of_temperature_halved_and_the_mean_temperature_for_it(rise: str, cause: Cause, detail: str) -> None:
    """41.5 - 20.5 is 21.0, and 10.5 half of it; (41.5 + 20.5) / 2 is 31.0."""
    told = first("specific-heat-block", changed(HEAT, dT=rise), "dT")
    assert (told.cause, told.detail) == (cause, detail)


@pytest.mark.parametrize(
    ("moles", "cause"), [("0.025", Cause.REARRANGEMENT), ("0.05", Cause.MISSING_FACTOR), ("0.437", Cause.UNEXPLAINED)]
)
def test_the_smaller_of_two_amounts_worked_out_alike(moles: str, cause: Cause) -> None:
    """50.0 cm³ of 2.00 mol/dm³ hold 0.100 mol: V ÷ c for both gives 0.025, V alone 0.05."""
    lines = (
        "V_a,,50.0,cm³\nV_b,,50.0,cm³\nc_a,,2.00,mol/dm³\nc_b,,2.00,mol/dm³\nT_start,,19.0,°C\nT_end,,32.0,°C\n"
        f"dT,,13.0,°C\nm,,100.0,g\nq,,5434,J\nn,,{moles},mol\n"
    )
    assert first("neutralisation-enthalpy", lines, "n").cause is cause


CUBOID = "l,,4.40,cm\nw,,3.02,cm\nh,,1.98,cm\nm,,65.4,g\nV,,{},cm³\n"


@pytest.mark.parametrize(
    ("V", "cause", "detail"),
    [
        ("85.2", Cause.WRONG_QUANTITY, "l for w and h"),
        ("15.3", Cause.OPERATION_ORDER, "l * w + h"),
    ],
)
def test_a_cube_of_one_side_and_a_plus_for_the_last_times(V: str, cause: Cause, detail: str) -> None:
    """4.40 × 3.02 × 1.98 is 26.3; 4.40³ is 85.2, and 4.40 × 3.02 + 1.98 is 15.3."""
    told = first("density-cuboid", CUBOID.format(V), "V")
    assert (told.cause, told.detail) == (cause, detail)


def test_one_over_the_density_turned_into_si_units() -> None:
    """1000 ÷ 2.49 is 402."""
    told = first("density-cuboid", CUBOID.format("26.3") + "rho,,2.49,g/cm³\nrho_si,,402,kg/m³\n", "rho_si")
    assert (told.cause, told.detail) == (Cause.REARRANGEMENT, "1 / rho")


def test_the_radius_in_the_box_of_the_diameter() -> None:
    """The mean of 33.86, 33.88 and 33.90 mm is 33.88, and 16.94 half of it."""
    lines = in_table(d="33.86 33.88 33.90 mm") + "\nobject,,ball,\nm,,55.4,g\nd_mean,,16.94,mm\nr,,16.94,mm\n"
    told = first("density-cylinder-sphere", lines, "d_mean")
    assert (told.cause, told.detail) == (Cause.WRONG_QUANTITY, "r for d_mean")


SWINGS = (12.71, 14.20, 15.54, 16.80, 17.93)
FALLS = (0.249, 0.306, 0.350, 0.392, 0.452)


@pytest.mark.parametrize(
    ("practical", "given", "answers", "times", "wrong", "cause", "detail"),
    [
        ("pendulum-g", "t10", "T s", SWINGS, lambda t: t / 9, Cause.WRONG_QUANTITY, "t10 / 9"),
        ("pendulum-g", "t10", "T s", SWINGS, lambda t: t / 11, Cause.WRONG_QUANTITY, "t10 / 11"),
        ("freefall-g", "t", "t2 s²", FALLS, math.sqrt, Cause.REARRANGEMENT, "sqrt(t)"),
    ],
    ids=["ten swings counted as nine", "as eleven", "a root for a square"],
)
def test_a_column_of_times_gone_wrong_in_every_row(
    practical: str,
    given: str,
    answers: str,
    times: tuple[float, ...],
    wrong: Callable[[float], float],
    cause: Cause,
    detail: str,
) -> None:
    """12.71 s of ten swings over nine is 1.412; √0.306 is 0.553, where 0.306² is 0.0936."""
    item, unit = answers.split()
    entries = {
        given: " ".join(map(str, times)) + " s",
        item: " ".join(f"{wrong(one):.3f}" for one in times) + f" {unit}",
    }
    told = first(practical, in_table(**entries), item, 2)
    assert (told.cause, told.detail) == (cause, detail)


POINTS = "L_a,,0.100,m\nR_a,,0.52,Ω\nL_b,,0.900,m\nR_b,,4.60,Ω\n"


@pytest.mark.parametrize(
    ("gradient", "cause"),
    [("3.26", Cause.REARRANGEMENT), ("5.75", Cause.WRONG_QUANTITY), ("4.53", Cause.WRONG_QUANTITY)],
    ids=["rise times run", "far y over the run", "rise over the far x"],
)
def test_two_points_put_together_by_a_wrong_rule(gradient: str, cause: Cause) -> None:
    """(4.60 - 0.52) ÷ 0.800 is 5.10; × 0.800 it is 3.26, 4.60 ÷ 0.800 is 5.75, and 4.08 ÷ 0.900 is 4.53."""
    ohms = " ".join(f"{0.01 + 5.1 * x:.2f}" for x in (0.2, 0.4, 0.6, 0.8, 1.0))
    lines = in_table(L="0.2 0.4 0.6 0.8 1.0 m", R=f"{ohms} Ω") + f"\n{POINTS}gradient,,{gradient},Ω/m\n"
    assert first("wire-resistance", lines, "gradient").cause is cause


def test_a_mean_for_a_gradient_divided_by_one_too_few() -> None:
    """R of a resistor may be the mean of the column: 50.1 over 4 is 12.5, where there are five of 10.0."""
    lines = (
        in_table(V="1.0 2.0 3.0 4.0 5.0 V", I="0.100 0.199 0.300 0.398 0.500 A", R="10.0 10.05 10.0 10.05 10.0 Ω")
        + "\ncomponent,,resistor,\nR_component,,12.53,Ω\n"
    )
    told = first("iv-characteristic", lines, "R_component")
    assert (told.cause, told.detail) == (Cause.MISSING_FACTOR, "mean(R): n - 1 for n")


@pytest.mark.parametrize(
    ("c", "cause"),
    [("7.154e-5", Cause.REARRANGEMENT), ("8.73", Cause.REARRANGEMENT), ("0.0715", Cause.REARRANGEMENT)],
    ids=["n times V in dm³", "V in dm³ over n", "n times V in cm³"],
)
def test_a_wrong_formula_on_numbers_in_units_that_lead_to_the_answers(c: str, cause: Cause) -> None:
    """0.002862 mol in 25.0 cm³: with V as 0.0250 dm³ n × V is 7.155e-5, and V ÷ n is 8.735."""
    lines = (
        "V_p,,25.0,cm³\nc_a,,0.120,mol/dm³\nrough,,24.80,cm³\n"
        + in_table(v_1="0.00 0.05 0.10 cm³", v_2="23.85 23.90 23.95 cm³", titre="23.85 23.85 23.85 cm³")
        + "\n"
        + in_table(used="23.85 23.85 23.85 cm³")
        + f"\nmean_titre,,23.85,cm³\nn,,0.002862,mol\nc,,{c},mol/dm³\n"
    )
    assert first("titration", lines, "c").cause is cause
