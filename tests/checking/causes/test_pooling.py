"""Rows of one column that one slip explains speak for each other, and for nobody else's."""

from __future__ import annotations

import math

import numpy as np
import pytest

from marking.checking.causes.pooling import MOST_EVIDENCE, SHARED_SHARE, pool_rows

PRIOR = np.array([[0.2, 0.2, 0.2], [0.1, 0.1, 0.1], [0.1, 0.1, 0.1]])
"""Two slips and 'unexplained', for three answers."""
CHANCE = np.array([[0.8, 0.8, 0.8], [0.8, 0.0, 0.0], [0.001, 0.001, 0.001]])
"""The first slip explains every row, the second the first one only."""


def test_single_rows_are_left_as_they_are() -> None:
    """Answers of three students are not looked at together."""
    assert pool_rows(PRIOR, CHANCE, np.array([0, 1, 2])) == pytest.approx(PRIOR * CHANCE)


def test_a_slip_in_every_row_gains_by_its_neighbours() -> None:
    """The slip of the whole column pulls ahead of the one that fits a single row."""
    alone = PRIOR * CHANCE
    pooled = pool_rows(PRIOR, CHANCE, np.array([4, 4, 4]))
    assert pooled[0, 0] / pooled[1, 0] > 100 * alone[0, 0] / alone[1, 0]


def test_the_gain_is_that_of_the_other_rows() -> None:
    """Two rows: each one's factor is how much better the slip explains the other row than all causes together."""
    prior, chance = PRIOR[:, :2], CHANCE[:, :2]
    joint = prior * chance
    gain = chance[0, 1] / joint[:, 1].sum()
    pooled = pool_rows(prior, chance, np.array([7, 7]))
    assert pooled[0, 0] == pytest.approx(joint[0, 0] * ((1 - SHARED_SHARE) + SHARED_SHARE * gain))


def test_unexplained_is_no_slip_to_share() -> None:
    """Rows without an explanation do not speak for each other."""
    pooled = pool_rows(PRIOR, CHANCE, np.array([4, 4, 4]))
    least = (1 - SHARED_SHARE) + SHARED_SHARE * math.exp(-MOST_EVIDENCE)
    assert pooled[-1] == pytest.approx(PRIOR[-1] * CHANCE[-1] * least)


def test_students_are_pooled_apart() -> None:
    """What one student wrote changes nothing for another."""
    both = pool_rows(np.tile(PRIOR, 2), np.hstack([CHANCE, CHANCE[::-1]]), np.array([0, 0, 0, 1, 1, 1]))
    assert both[:, :3] == pytest.approx(pool_rows(PRIOR, CHANCE, np.array([0, 0, 0])))


def test_much_agreement_stays_finite() -> None:
    """Forty rows that agree add no more than the most that is counted."""
    prior, chance = np.tile(PRIOR[:, :1], 40), np.tile(CHANCE[:, :1], 40)
    pooled = pool_rows(prior, chance, np.zeros(40, np.int64))
    assert np.isfinite(pooled).all()
    assert pooled[0, 0] <= prior[0, 0] * chance[0, 0] * math.exp(MOST_EVIDENCE)


def test_an_accident_of_one_row_gains_nothing_by_the_next() -> None:
    """Two digits that were miscopied are two accidents, however well each explains its row."""
    shared = np.array([False, True, False])
    pooled = pool_rows(PRIOR, CHANCE, np.array([4, 4, 4]), shared)
    least = (1 - SHARED_SHARE) + SHARED_SHARE * math.exp(-MOST_EVIDENCE)
    assert pooled[0] == pytest.approx(PRIOR[0] * CHANCE[0] * least)
