"""Lines through points that were met before: the same numbers as when they are met for the first time."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.checking.fits import line_room, line_rooms
from marking.checking.fits.lines_known import LINES, MOST_KNOWN, _Known, _worked_out, lines_through

ROWS = 6
ANY = st.lists(
    st.lists(st.sampled_from((0.1, 0.2, 0.31, 0.4, 0.5, 5.0, float("nan"))), min_size=ROWS, max_size=ROWS),
    min_size=1,
    max_size=5,
)


@settings(deadline=None, max_examples=60)
@given(ANY, ANY)
def test_points_met_again_have_the_same_lines(some: list[list[float]], others: list[list[float]]) -> None:
    """Whoever they stood beside, and in whatever order, to the last bit."""
    known = _Known(ROWS)
    across = np.arange(1.0, ROWS + 1)
    for ys in (some, others, [*others, *some[::-1]]):
        y = np.array(ys)
        x = np.broadcast_to(across, y.shape)
        with np.errstate(all="ignore"):
            each = [_worked_out(x[at : at + 1].copy(), y[at : at + 1]) for at in range(len(y))]
        assert known.of(x, y).tobytes() == np.concatenate(each).tobytes()


def test_more_points_than_are_kept_have_their_lines_too() -> None:
    """What is kept is let go when it is full, and a set that would fill it alone is worked out for itself."""
    rng = np.random.default_rng(4)
    known = _Known(4)
    x = np.broadcast_to(np.arange(1.0, 5.0), (MOST_KNOWN, 4))
    for count in (MOST_KNOWN - 1, 2, MOST_KNOWN + 1, 3):
        y = rng.normal(size=(count, 4))
        x = np.broadcast_to(np.arange(1.0, 5.0), y.shape)
        assert np.array_equal(known.of(x, y), _worked_out(x, y), equal_nan=True)


def test_a_third_line_is_there_where_someone_has_a_straight_part() -> None:
    """Points that leave their line further on give it; points on one line alone give two lines."""
    x = np.arange(1.0, 9.0)[None]
    bent = np.where(x > 5, x + 3.0 * (x - 5) ** 2, x) + 0.001 * np.array([[1, -1, 1, 0, -1, 1, -1, 0]])
    assert len(lines_through(x, 2.0 * x)) == LINES - 1
    both = lines_through(np.concatenate([x, x]), np.concatenate([2.0 * x, bent]))
    assert len(both) == LINES
    assert np.isnan(both[-1][1].slope[0, 0])
    assert abs(both[-1][1].slope[1, 0] - 1.0) < 0.01


@pytest.mark.parametrize("function", ["slope", "intercept"])
def test_lines_of_several_sets_are_those_of_each(function: str) -> None:
    """Fitted together, each set has the lines that it has alone: a third one only where it has a straight part."""
    x = np.arange(1.0, 9.0)[None]
    bent = np.where(x > 5, x + 3.0 * (x - 5) ** 2, x) + 0.001 * np.array([[1, -1, 1, 0, -1, 1, -1, 0]])
    several = [[2.0 * x, x], [np.concatenate([bent, 3.0 * x]), x], [np.concatenate([x, np.full_like(x, np.nan)]), x]]
    each = [line_room(function, one, 0.05) for one in several]
    assert [len(one or ()) for one in each] == [LINES - 1, LINES, LINES - 1]
    found = line_rooms(function, several, 0.05)
    assert repr(found) == repr(each)
