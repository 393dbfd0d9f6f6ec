"""Who is looked at before a set is marked, and when they have shown enough."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.checking.settling_class import (
    BATCH,
    ENOUGH,
    ROUND,
    SAMPLE,
    TOGETHER,
    Counted,
    Counting,
    is_sampled,
    rounds,
)
from marking.findings import Cause
from rubrics.load import load_catalogue

BLOCK = load_catalogue()["specific-heat-block"]


def counted(chain: float, difference: float) -> Counted:
    """Return a round with so many wrong answers of two kinds."""
    return Counted(
        causes={"chain": {Cause.UNIT_CONVERSION: chain}, "difference": {Cause.UNIT_CONVERSION: difference}},
        nearest={"iron": 1},
    )


@settings(deadline=None)
@given(students=st.integers(0, 30_000))
def test_all_of_a_set_or_groups_spread_over_it(students: int) -> None:
    """Nobody twice, nobody from outside, and of a large set a round has its groups in all quarters."""
    found = rounds(students)
    places = [place for one in found for place in one]
    whole_groups = students if not is_sampled(students) else students // TOGETHER * TOGETHER
    assert len(set(places)) == len(places) == min(whole_groups, SAMPLE)
    assert all(0 <= place < students for place in places)
    assert all(len(one) <= ROUND for one in found)
    if is_sampled(students):
        for one in found:
            assert all(place % TOGETHER == at % TOGETHER for at, place in enumerate(one))
            assert {place * 4 // students for place in one} == {0, 1, 2, 3}


LARGER = BATCH + 1


@pytest.mark.parametrize(
    ("students", "last", "is_enough"), [(BATCH, 1.0, False), (LARGER, 1.0, True), (LARGER, 0.5, False)]
)
def test_enough_is_a_hundred_of_every_kind(students: int, last: float, is_enough: bool) -> None:
    """A set that is not sampled is counted to its end; of others the rarest kind decides."""
    counting = Counting(BLOCK, students)
    assert not counting.is_enough
    counting.add(counted(10.0 * ENOUGH, ENOUGH - 1.0))
    assert not counting.is_enough
    counting.add(counted(0.0, last))
    assert (counting.is_enough, counting.rounds) == (is_enough, 2)


def test_what_comes_after_enough_changes_nothing() -> None:
    """Rounds that were under way when it was enough are not counted in."""
    counting = Counting(BLOCK, LARGER)
    counting.add(counted(ENOUGH, ENOUGH))
    before = counting.settled()
    counting.add(counted(ENOUGH, 5.0 * ENOUGH))
    assert (counting.settled(), counting.rounds) == (before, 1)
