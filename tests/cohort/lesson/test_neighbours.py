"""What a neighbour with the same part found speaks against a point that was moved."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.cohort.lesson.neighbours import contradicted
from tests.benchmarks.lesson import score
from tests.benchmarks.lesson_classes import alike

BENCHES = ("1", "1", "2", "2", "3", "3", "", "")


def spoken_against(*values: float) -> list[int]:
    """Return which of eight results, two a bench but for the last two, are contradicted."""
    return np.flatnonzero(contradicted(BENCHES, np.log(np.array(values))[:, None])).tolist()


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        pytest.param((10, 100, 10.2, 9.9, 10, 10.1, 100, 10), [1], id="the neighbour has what the class has"),
        pytest.param((10, 100, 10.2, 102, 10, 0.1, 10, 10), [1, 3, 5], id="three of one slip, each with a neighbour"),
        pytest.param((100, 101, 10.2, 9.9, 10, 10.1, 100, 10), [], id="a bench of its own kind"),
        pytest.param((10, 22, 10.2, 33, 10, 10.1, 47, 10), [], id="other parts, no power of ten"),
        pytest.param((10, 150, 10.2, 9.9, 10, 10.1, 10, 10), [], id="fifteen times is no moved point"),
    ],
)
def test_who_is_contradicted(values: tuple[float, ...], expected: list[int]) -> None:
    """Only beside a neighbour, by a power of ten, and with more of the class on the neighbour's side."""
    assert spoken_against(*values) == expected


def test_one_against_one_is_undecided() -> None:
    """Where a class of two disagrees nobody is wrong."""
    assert not contradicted(("1", "1"), np.log(np.array([[10.0], [100.0]]))).any()


@settings(deadline=None, max_examples=60)
@given(st.lists(st.floats(2.0, 15.0), min_size=8, max_size=8))
def test_less_than_a_power_of_ten_is_never_one(values: list[float]) -> None:
    """Parts of one decade are never contradicted."""
    assert spoken_against(*values) == []


@pytest.mark.parametrize("practical", ["density-cuboid", "density-displacement"])
def test_a_moved_point_that_eight_share_is_told(practical: str) -> None:
    """No material is ten times as dense as what most of the class has, nor a tenth."""
    found = score(alike, practical, "point", 2, 300, sharing=8)
    assert found is not None
    assert found.named >= 0.9
    assert found.others == 0
