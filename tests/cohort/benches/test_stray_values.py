"""A group's own slip is told from apparatus that is off, by its neighbours and by how far benches differ."""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.cohort.benches.stray_values import AS_DEVIATION, FEWEST_PAIRS, _scatter, without_strays

BENCH_OF = np.array([0, 0, 0, 1, 1, 1, 2, 2])
USUAL = 0.01
NONE = np.zeros(8, np.bool_)


def dropped(values: list[float], fixed: np.ndarray = NONE) -> list[int]:
    """Return which of eight groups at three benches are left out."""
    kept = without_strays(np.array(values), BENCH_OF, np.zeros(8), USUAL, fixed)
    return np.flatnonzero(np.isnan(kept)).tolist()


@pytest.mark.parametrize("size", [-0.5, -0.1, 0.08, 0.3, 2.3])
def test_one_of_three_who_misread_is_left_out(size: float) -> None:
    """His neighbours have what the class has."""
    assert dropped([0.0, 0.004, size, 0.0, 0.003, -0.004, 0.002, -0.002]) == [2]


@pytest.mark.parametrize("size", [-0.3, -0.1, 0.2])
def test_a_slip_at_a_bench_that_is_off_does_not_hide_it(size: float) -> None:
    """Two that agree at 5 % stand; the third, far on either side, goes."""
    assert dropped([0.05, 0.046, size, 0.0, 0.003, -0.004, 0.002, -0.002]) == [2]


@pytest.mark.parametrize("factor", [-0.3, -0.05, 0.05, 0.1, 0.6])
def test_groups_that_agree_are_the_bench(factor: float) -> None:
    """All of one bench off alike are no slips, however far."""
    assert dropped([factor, factor + 0.008, factor - 0.004, 0.0, 0.003, -0.004, 0.002, -0.002]) == []


def test_what_lies_as_near_as_benches_do_stays() -> None:
    """Two per cent from neighbours that repeat to a tenth of that does no harm."""
    assert dropped([0.0, 0.001, 0.02, 0.0, 0.001, -0.001, 0.001, 0.0]) == []


def test_a_technician_does_not_misread() -> None:
    """What is fixed stands, though both groups of the bench disagree with it."""
    fixed = np.array([False, False, True, *[False] * 5])
    assert 2 not in dropped([0.15, 0.14, 0.0, 0.0, 0.003, -0.004, 0.002, -0.002], fixed)


def test_where_everybody_differs_nobody_misread() -> None:
    """Six per cent from the neighbours is a slip in a class that repeats to one, and nothing in one that does not."""
    assert dropped([0.0, 0.004, 0.12, 0.0, 0.003, -0.004, 0.002, -0.002]) == [2]
    assert dropped([0.0, 0.06, 0.12, -0.09, 0.03, -0.04, 0.1, -0.06]) == []


@settings(deadline=None, max_examples=60)
@given(st.lists(st.floats(-0.015, 0.015), min_size=8, max_size=8))
def test_sound_values_are_never_left_out(values: list[float]) -> None:
    """Within one and a half of what sound benches differ by, everything stays."""
    assert dropped(values) == []


@given(st.lists(st.tuples(st.integers(0, 4), st.floats(-3, 3) | st.just(math.nan)), max_size=40))
@settings(deadline=None)
def test_how_far_groups_of_a_bench_differ_is_the_middle_of_all_their_pairs(groups: list[tuple[int, float]]) -> None:
    """Bench by bench as for all pairs of the class at once; groups without a value, and none at all, among them."""
    away, benches = np.array([value for _, value in groups]), np.array([bench for bench, _ in groups], np.int64)
    pairs = [abs(x - y) for (a, x), (b, y) in combinations(groups, 2) if a == b]
    known = sorted(one for one in pairs if math.isfinite(one))
    wanted = max(float(np.median(known)) / AS_DEVIATION, USUAL) if len(known) >= FEWEST_PAIRS else USUAL
    assert _scatter(away, benches, USUAL) == pytest.approx(wanted)
