"""A cell held fast while a formula is filled down, a change that was halved, amounts both worked out the wrong way."""

from __future__ import annotations

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
