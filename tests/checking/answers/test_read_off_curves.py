"""Values read off a curve through points one of which is far out, and values of a row for those in between."""

from __future__ import annotations

import numpy as np
import pytest

from marking.checking.answers.judged import Judgement
from marking.checking.fits import crossings
from tests.checking.answers.test_limits_and_zeros import judgement
from tests.checking.rows import in_table

SOUND, ASTRAY = "18.0 7.0 -4.0 -15.0 -24.0 %", "18.0 -60.0 -4.0 -15.0 -24.0 %"


@pytest.mark.parametrize(
    ("change", "c_iso", "wanted"),
    [
        (SOUND, "0.33", Judgement.RIGHT),
        (SOUND, "0.55", Judgement.WRONG),
        (SOUND, "0.40", Judgement.WRONG),
        (ASTRAY, "0.05", Judgement.NEAR_LINE),
        (ASTRAY, "0.13", Judgement.WRONG),
    ],
    ids=["between-its-points", "far-off", "the-nearest-row", "where-the-curve-as-drawn-passes", "where-none-passes"],
)
def test_a_curve_is_drawn_from_left_to_right(change: str, c_iso: str, wanted: Judgement) -> None:
    """18 and -60 meet zero at 0.05; sorted by their change the points meet it at 0.36."""
    lines = in_table(c="0.00 0.20 0.40 0.60 0.80 mol/dm³", change=change)
    assert judgement("osmosis", f"{lines}\nc_iso,,{c_iso},mol/dm³", "c_iso") is wanted


@pytest.mark.parametrize(
    ("R_at", "wanted"),
    [("4.4", Judgement.RIGHT), ("5.2", Judgement.WRONG), ("5.1", Judgement.NEAR_LINE)],
    ids=["between-its-rows", "the-row-before", "hardly-less-than-it"],
)
def test_the_value_of_a_row_is_not_read_off_between_two(R_at: str, wanted: Judgement) -> None:
    """At 45 °C, half way from 5.2 to 3.7 kΩ."""
    lines = in_table(T="20 30 40 50 60 °C", R="12.5 8.0 5.2 3.7 2.6 kΩ")
    assert judgement("thermistor", f"{lines}\nT_at,,45,°C\nR_at,,{R_at},kΩ", "R_at") is wanted


def test_crossings_of_a_broken_line() -> None:
    """Against hand calculation: from 2 down to -2 and up again, zero is passed half way, twice; a flat part is not."""
    x = np.array([[0.0, 1.0, 2.0, 3.0, np.nan]])
    y = np.array([[2.0, -2.0, 2.0, 2.0, 9.0]])
    found = crossings(x, y, np.array([[0.0]]))
    assert found.shape == (1, 4)
    np.testing.assert_allclose(found, [[0.5, 1.5, np.nan, np.nan]])
