"""The formula of a row used once on the means of its columns, where that is near the mean of the rows."""

from __future__ import annotations

import pytest

from marking.checking.answers.judged import Judgement
from tests.checking.answers.test_limits_and_zeros import judgement
from tests.checking.rows import in_table

WAVES = in_table(
    f="20.0 30.0 40.0 50.0 60.0 Hz",
    wavelength="2.40 1.61 1.20 0.962 0.801 m",
)
"""Speeds of 48.0, 48.3, 48.0, 48.1 and 48.1 m/s, 48.09 in the mean; 40.0 Hz by 1.39 m is 55.8 m/s."""
NEARLY_ALIKE = in_table(f="39.0 40.0 41.0 Hz", wavelength="1.23 1.20 1.17 m")
"""Speeds of 47.97, 48.00 and 47.97 m/s; 40.0 Hz by 1.20 m is 48.0 m/s as well."""


@pytest.mark.parametrize(
    ("table", "v_mean", "wanted"),
    [
        (WAVES, "48.1", Judgement.RIGHT),
        (WAVES, "55.8", Judgement.WRONG),
        (NEARLY_ALIKE, "48.0", Judgement.RIGHT),
        (NEARLY_ALIKE, "47.98", Judgement.RIGHT),
    ],
    ids=["mean-of-the-rows", "product-of-the-means", "where-both-are-one", "to-four-figures"],
)
def test_a_mean_of_products_is_no_product_of_means(table: str, v_mean: str, wanted: Judgement) -> None:
    """What only the means lead to is wrong; where they lead to the mean of the rows, nobody can tell."""
    assert judgement("wave-speed", f"{table}\nv_mean,,{v_mean},m/s", "v_mean") is wanted
