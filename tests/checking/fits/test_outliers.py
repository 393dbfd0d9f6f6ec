"""How far a repeat may stand from the others before a test names it."""

from __future__ import annotations

import numpy as np
import pytest

from marking.checking.fits.outliers import grubbs_distance, grubbs_limit


@pytest.mark.parametrize("count", [3, 5, 8])
@pytest.mark.parametrize("chance", [0.05, 0.01])
def test_a_sound_set_is_named_as_often_as_the_test_says(count: int, chance: float) -> None:
    """Of sound repeats a reading lies beyond the limit in as many sets as the chance that was asked for."""
    values = np.random.default_rng(count).normal(10, 1, (40_000, count))
    named = np.nanmax(grubbs_distance(values), axis=1) > grubbs_limit(count, chance=chance)
    assert named.mean() == pytest.approx(chance, rel=0.12)


def test_a_repeat_that_was_not_taken_is_passed_over() -> None:
    """A gap changes neither the distances of the others nor has one of its own."""
    whole, gap = np.array([[1.82, 1.83, 1.82, 2.31]]), np.array([[1.82, np.nan, 1.83, 1.82, 2.31]])
    found = grubbs_distance(gap)[0]
    assert np.isnan(found[1])
    assert found[[0, 2, 3, 4]] == pytest.approx(grubbs_distance(whole)[0])


def test_the_distance_is_in_standard_deviations_of_the_whole_set() -> None:
    """Mean 2, deviation 1: the readings 1, 2 and 3 stand 1, 0 and 1 away."""
    assert grubbs_distance(np.array([[1.0, 2.0, 3.0]]))[0] == pytest.approx([1.0, 0.0, 1.0])


def test_grubbs_needs_three() -> None:
    """Three readings have a limit, two have none."""
    assert grubbs_limit(3) == pytest.approx(1.1543, abs=1e-4)
    with pytest.raises(ValueError, match="too few"):
        grubbs_limit(2)
