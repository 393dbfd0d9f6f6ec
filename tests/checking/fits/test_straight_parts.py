"""The straight part of points that leave it further on, and points that only scatter."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.checking.fits import line_room
from marking.checking.fits.straight_parts import straight_part

FORCE = np.array([[0.98, 1.96, 2.94, 3.92, 4.90, 5.88, 6.86, 7.84]])


def past_a_limit(straight: int) -> np.ndarray:
    """Return extensions in m of 25 N/m, with a reading error, the points behind *straight* going further each."""
    error = np.array([[1, -1, 1, 0, -1, 1, -1, 0]]) * 0.0005
    behind = np.maximum(np.arange(8) - straight + 1, 0)[None]
    return FORCE / 25 + error + 0.02 * behind * (behind + 1)


@pytest.mark.parametrize("straight", [4, 5, 6, 7])
def test_points_before_the_limit_are_the_straight_part(straight: int) -> None:
    """The longest run from the smallest on that lies on one line, in whatever order the rows stand."""
    x = past_a_limit(straight)
    assert straight_part(x, FORCE).sum() == straight
    assert straight_part(x, FORCE)[0, :straight].all()
    turned = straight_part(x[:, ::-1], FORCE[:, ::-1])
    assert turned[0, ::-1][:straight].all()


@pytest.mark.parametrize("straight", [3, 8])
def test_no_straight_part_of_three_points_nor_where_nothing_leaves_it(straight: int) -> None:
    """Three points say too little, and a line that goes on has no end."""
    assert not straight_part(past_a_limit(straight), FORCE).any()


def test_one_odd_point_is_no_bend() -> None:
    """Where the points come back to the line, it has not ended."""
    x = past_a_limit(8)
    x[0, 5] += 0.06
    assert not straight_part(x, FORCE).any()


def test_both_lines_may_be_drawn() -> None:
    """All points, and the straight part alone, of 25 N/m: what lies between the two is on neither."""
    room = line_room("slope", [FORCE, past_a_limit(6)], 0.05)
    assert room is not None
    fitted = [float(value[0, 0]) for value, _, _ in room]
    assert fitted[-1] == pytest.approx(25, rel=0.01)
    assert fitted[0] < 20


@settings(deadline=None)
@given(st.integers(0, 2**32 - 1), st.integers(5, 12))
def test_points_that_scatter_seldom_have_a_straight_part(seed: int, count: int) -> None:
    """Of 200 lines of points that only scatter, hardly any is said to end."""
    random = np.random.default_rng(seed)
    x = np.tile(np.arange(1.0, count + 1), (200, 1))
    y = 3 * x + random.normal(0, 0.2, x.shape)
    assert straight_part(x, y).any(axis=1).sum() <= 6


def test_the_spring_constant_of_the_straight_part_stands() -> None:
    """One who lays the ruler along the straight part has done what is asked."""
    from tests.checking.answers.test_judging import Judgement, judgement
    from tests.checking.rows import in_table

    masses = " ".join(f"{force / 9.81:.3f}" for force in FORCE[0]) + " kg"
    forces = " ".join(f"{force:.2f}" for force in FORCE[0]) + " N"
    lengths = " ".join(f"{0.1 + one:.4f}" for one in past_a_limit(6)[0]) + " m"
    extensions = " ".join(f"{one:.4f}" for one in past_a_limit(6)[0]) + " m"
    page = "L_0,,0.1000,m\n" + in_table(M=masses, L=lengths, F=forces, x=extensions)
    assert judgement("spring-extension", page + "\nk,,25.0,N/m", "k") is Judgement.RIGHT
    assert judgement("spring-extension", page + "\nk,,34.0,N/m", "k") is Judgement.WRONG
