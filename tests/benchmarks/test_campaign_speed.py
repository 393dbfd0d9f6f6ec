"""Marking grows in proportion, stays as small as a class, and near the floor; at sizes that take half a minute."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.benchmarks.floor import Cost
from tests.benchmarks.speed import (
    MOST_EXPONENT,
    MOST_MEGABYTES_MORE,
    MOST_MEGABYTES_WITH_SHEETS,
    Size,
    exponent,
    marginal,
    with_sheets,
    without_paper,
)

MOST_OF_FLOOR = 8.0
"""Twice what is aimed at: the machine may have other things to do."""


def size(write_ups: int, seconds: float) -> Size:
    """Return a size that took so long."""
    cost = Cost(seconds=seconds, megabytes=80.0)
    return Size(write_ups=write_ups, program=cost, floor=Cost(seconds=seconds / 4, megabytes=40.0))


def test_growth_is_told_as_an_exponent_and_as_what_each_more_takes() -> None:
    """Ten times as many in ten times as long is 1, in a hundred times as long 2; starting counts for nothing."""
    assert exponent(size(1000, 2.0), size(10_000, 20.0)) == pytest.approx(1.0)
    assert exponent(size(1000, 2.0), size(10_000, 200.0)) == pytest.approx(2.0)
    assert marginal(size(1000, 2.5), size(3000, 3.5)) == pytest.approx(2000.0)
    assert size(1000, 2.0).ratio == pytest.approx(4.0)


@pytest.mark.campaign
def test_a_large_set_takes_no_more_memory_and_grows_in_proportion(tmp_path: Path) -> None:
    """Four times as many write-ups take four times as long at most, and no more room."""
    small, large = without_paper(1000, tmp_path), without_paper(4000, tmp_path)
    assert exponent(small, large) <= MOST_EXPONENT
    assert large.program.megabytes - small.program.megabytes <= MOST_MEGABYTES_MORE


@pytest.mark.campaign
def test_sheets_are_near_the_floor(tmp_path: Path) -> None:
    """A few classes with their sheets, by one process."""
    found = with_sheets(150, tmp_path)
    assert found.ratio <= MOST_OF_FLOOR
    assert found.program.megabytes <= MOST_MEGABYTES_WITH_SHEETS
