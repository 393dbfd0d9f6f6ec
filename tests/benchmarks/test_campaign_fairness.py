"""The measurement of fairness: a little of it with every run of the tests, more with -m campaign."""

from __future__ import annotations

import pytest

from marking.findings import Outcome
from tests.benchmarks.careful_classes import BY_RUBRIC, BY_SUMS
from tests.benchmarks.fairness import Count, near_misses, right_answers, run

SOME = (("specific-heat-block", BY_SUMS), ("resistor-combinations", BY_SUMS), ("titration", BY_RUBRIC))
MOST_WAITING, MOST_AWARDED, LEAST_WITHHELD = 0.5, 3.0, 70.0
"""Per cent: of right answers left to the teacher, and of near misses."""


def test_some_right_answers() -> None:
    """No right answer of a class of many habits is withheld, and hardly one waits."""
    count = Count()
    for practical, how in SOME:
        count.join(right_answers(practical, how, "suite"))
    assert count.total > 500
    assert count.odd_ones == []
    assert count.share(Outcome.FOR_TEACHER) <= 1.0


@pytest.mark.campaign
def test_some_near_misses() -> None:
    """Of answers 1 to 6 % off hardly one is awarded, and most are withheld."""
    count = Count()
    for practical, how in SOME:
        count.join(near_misses(practical, how, "suite")[0])
    assert count.total > 120
    assert count.share(Outcome.AWARDED) <= 2 * MOST_AWARDED  # so few answers scatter
    assert count.share(Outcome.WITHHELD) >= LEAST_WITHHELD


@pytest.mark.campaign
def test_fairness_over_every_practical() -> None:
    """Over all practicals nothing right is withheld; near misses are not awarded."""
    found, _ = run(20000, 4000, "campaign", [])
    right, near = Count(), Count()
    for own, wrong in found.values():
        right.join(own)
        near.join(wrong)
    assert right.odd_ones == []
    assert right.share(Outcome.FOR_TEACHER) <= MOST_WAITING
    assert near.share(Outcome.AWARDED) <= MOST_AWARDED
    assert near.share(Outcome.WITHHELD) >= LEAST_WITHHELD
