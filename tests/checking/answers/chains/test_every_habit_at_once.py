"""Steps kept in every habit at once come to what each habit keeps of them alone."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.checking.answers.chains import kept_steps
from marking.checking.answers.chains.kept_steps import (
    HABITS,
    Ways,
    as_kept,
    by_habit,
    combined,
    either,
    kept_each,
    sharp,
)

NUMBERS = st.floats(-1e6, 1e6) | st.sampled_from((0.0, 1.0, 9.995, 0.0099995, float("nan"), float("inf")))


@settings(deadline=None)
@given(
    values=st.lists(st.tuples(NUMBERS, NUMBERS), min_size=1, max_size=4),
    figures=st.lists(st.integers(1, 5), min_size=2, max_size=2),
    room=st.sampled_from((0.0, 0.03)),
)
def test_each_habit_has_its_own(values: list[tuple[float, float]], figures: list[int], room: float) -> None:
    """Two answers, one or several alternatives, single or with a width: the same to the last place."""
    low, of_readings = np.array(values)[..., None], np.array(figures)[:, None]
    one = Ways(low, low + room, of_readings) if room else sharp(low, of_readings)
    high = np.tile(one.high, (1, len(HABITS), 1))
    tiled = np.tile(of_readings, (len(HABITS), 1))
    stacked = Ways(np.tile(low, (1, len(HABITS), 1)), high, tiled) if room else sharp(high, tiled)
    for habit, found in enumerate(by_habit(kept_each(stacked, len(figures)))):
        alone = as_kept(one, habit)
        assert found.is_sharp is alone.is_sharp
        assert found.figures.tolist() == alone.figures.tolist()
        np.testing.assert_array_equal(found.low, alone.low)
        np.testing.assert_array_equal(found.high, alone.high)


@pytest.mark.parametrize("answers", [1, 3])
def test_what_is_the_same_for_all_answers_is_kept_for_each_habit(answers: int) -> None:
    """A constant has one value, and as many as there are habits once it is kept."""
    every = kept_each(sharp(np.full((1, 1, 1), np.pi), np.full((1, 1), 9)), answers)
    assert every.low.shape == (1, len(HABITS) * answers, 1)
    assert [float(one.low[0, -1, 0]) for one in by_habit(every)] == [np.pi, 3.14, 3.142, 3.1416, 3.14, 3.141, 3.14]


@settings(deadline=None)
@given(
    values=st.lists(st.lists(st.sampled_from((1.0, 2.0, 2.5, float("nan"))), min_size=5, max_size=5), min_size=1),
    room=st.sampled_from((0.0, 0.03)),
    most=st.sampled_from((2, 160)),
)
def test_some_answers_after_others_come_to_the_same(values: list[list[float]], room: float, most: int) -> None:
    """However few numbers are put in order at a time: the same alternatives, and empty ones behind them at the most."""
    low, figures = np.array(values)[..., None], np.full((5, 1), 3)
    one = Ways(low, low + room, figures) if room else sharp(low, figures)
    constant = sharp(np.array([3.14, 3.142])[:, None, None], np.full((1, 1), 9))
    with pytest.MonkeyPatch.context() as patched:
        found = []
        for numbers in (kept_steps.MOST_NUMBERS, 1):
            patched.setattr(kept_steps, "MOST_NUMBERS", numbers)
            found.append((combined(one, constant, np.multiply), either(one, constant, one, most=most)))
    for whole, lots in zip(*found, strict=True):
        assert lots.is_sharp is whole.is_sharp
        assert lots.figures.tolist() == np.broadcast_to(whole.figures, (5, 1)).tolist()
        for ends, others in ((whole.low, lots.low), (whole.high, lots.high)):
            np.testing.assert_array_equal(others[: len(ends)], ends)
            assert np.isnan(others[len(ends) :]).all()
