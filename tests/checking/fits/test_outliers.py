"""Repeats that do not belong: named by a published test, never where the instrument's steps explain them."""

from __future__ import annotations

import numpy as np
import pytest

from marking.checking.fits.outliers import (
    DIXON_LIMITS,
    MeanKind,
    OutlierTest,
    dixon_ratio,
    grubbs_limit,
    kind_of_mean,
    odd_repeats,
)


def odd(values: list[float], step: float, test: OutlierTest = OutlierTest.GRUBBS) -> list[int]:
    """Return the positions of one set that a test calls odd."""
    return [int(i) for i in np.flatnonzero(odd_repeats(np.array([values]), step, test)[0])]


@pytest.mark.parametrize("test", list(OutlierTest))
@pytest.mark.parametrize(
    ("values", "step", "named"),
    [
        ([1.82, 1.83, 1.84, 1.83, 2.31], 0.01, [4]),
        ([1.31, 1.82, 1.83], 0.01, [0]),
        ([1.82, 1.84, 2.31], 0.01, []),
        ([1.82, 1.82, 1.83], 0.01, []),
        ([1.82, 1.82, 1.84], 0.01, []),
        ([1.82, 1.82, 1.85], 0.01, [2]),
        ([1.80, 1.84, 1.87], 0.01, []),
        ([2.0, 2.0, 2.0], 0.1, []),
        ([1.82, 2.31], 0.01, []),
        ([1.82, np.nan, 1.83, 1.82, 2.31], 0.01, [4]),
        ([1.82, 1.83, 2.31, 2.30], 0.01, []),
    ],
    ids=[
        "high",
        "low",
        "three-have-no-power",
        "one-step-off",
        "two-steps-off",
        "three-steps-off",
        "spread",
        "all-equal",
        "two-repeats",
        "a-gap",
        "two-and-two",
    ],
)
def test_odd_repeat(values: list[float], step: float, named: list[int], test: OutlierTest) -> None:
    """The reading far from the others is named, one within two steps or in an even spread is not."""
    assert odd(values, step, test) == named


@pytest.mark.parametrize(("test", "limit"), [(OutlierTest.GRUBBS, grubbs_limit(5)), (OutlierTest.DIXON, 0.710)])
def test_just_inside_and_just_outside(test: OutlierTest, limit: float) -> None:
    """A reading just within the published limit stays, one just beyond it is named."""

    def size(last: float) -> float:
        values = np.array([[0.0, 1.0, 2.0, 3.0, last]])
        if test is OutlierTest.DIXON:
            return float(np.nanmax(dixon_ratio(values)))
        return float((last - values.mean()) / values.std(ddof=1))

    inside, outside = 3.5, 500.0
    for _ in range(60):
        middle = (inside + outside) / 2
        inside, outside = (middle, outside) if size(middle) < limit else (inside, middle)
    assert odd([0.0, 1.0, 2.0, 3.0, inside * (1 - 1e-6)], 0.1, test) == []
    assert odd([0.0, 1.0, 2.0, 3.0, outside * (1 + 1e-6)], 0.1, test) == [4]


@pytest.mark.parametrize("count", [3, 5, 8])
@pytest.mark.parametrize("test", list(OutlierTest))
def test_one_sound_set_in_twenty_is_named(count: int, test: OutlierTest) -> None:
    """Of sound repeats a reading is named in 5 % of the sets, as the test says."""
    values = np.random.default_rng(count).normal(10, 1, (20_000, count))
    assert odd_repeats(values, 0.0, test).any(axis=1).mean() == pytest.approx(0.05, abs=0.006)


def test_grubbs_needs_three() -> None:
    """Three readings have a limit, two have none."""
    assert grubbs_limit(3) == pytest.approx(1.1543, abs=1e-4)
    with pytest.raises(ValueError, match="too few"):
        grubbs_limit(2)


def test_dixon_has_no_limit_beyond_ten() -> None:
    """The published table ends at ten; an eleventh repeat leaves nothing named by it, though Grubbs still does."""
    values = [1.80, 1.81, 1.82, 1.83, 1.84, 1.82, 1.81, 1.83, 1.82, 2.9]
    assert max(DIXON_LIMITS) == len(values)
    assert odd(values, 0.01, OutlierTest.DIXON) == [9]
    assert odd([*values, 1.82], 0.01, OutlierTest.DIXON) == []
    assert odd([*values, 1.82], 0.01) == [9]


REPEATS = [1.82, 1.84, 1.83, 2.31]


@pytest.mark.parametrize(
    ("values", "mean", "kind"),
    [
        (REPEATS, 1.83, MeanKind.WITHOUT_ODD),
        (REPEATS, 1.95, MeanKind.ODD_KEPT),
        (REPEATS, 1.99, MeanKind.SOUND_LEFT_OUT),
        (REPEATS, 2.10, MeanKind.NEITHER),
        ([1.82, 1.84, 2.31], 1.83, MeanKind.WITHOUT_DOUBTFUL),
        ([1.82, 1.84, 2.31], 1.99, MeanKind.OF_ALL),
        ([1.82, 1.84, 2.31], 2.075, MeanKind.SOUND_LEFT_OUT),
        ([1.80, 1.84, 1.88], 1.84, MeanKind.OF_ALL),
        ([1.80, 1.84, 1.88], 1.82, MeanKind.SOUND_LEFT_OUT),
        ([1.80, 1.84, 1.88], 5.52, MeanKind.NEITHER),
        ([np.nan, np.nan], 1.0, MeanKind.NEITHER),
    ],
    ids=[
        "left-out",
        "kept",
        "wrong-one-out",
        "none",
        "doubtful-out",
        "doubtful-kept",
        "not-the-doubtful-out",
        "sound",
        "sound-one-out",
        "sum",
        "nothing",
    ],
)
def test_kind_of_mean(values: list[float], mean: float, kind: MeanKind) -> None:
    """A mean is told apart: with the odd repeat, without it, or without one that belonged."""
    assert kind_of_mean(np.array(values), 0.01, mean - 0.005, mean + 0.005) is kind
