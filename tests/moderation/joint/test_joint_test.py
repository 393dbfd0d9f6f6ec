"""Who is named, who is not, and what would bring a named marker to the others."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.moderation.joint import Pair, PairTable, adjustment_for, doubts, is_one_criterion, named, table_of
from marking.moderation.joint.adjusting import Adjustment, structural_line
from marking.moderation.joint.joint_test import TOTAL, joint_test, signs
from marking.moderation.joint.marker_effects import mean_contrasts
from tests.benchmarks.departments import department
from tests.benchmarks.moderation import moderated, run, summary

CODES = ("K1", "V1")


def round_robin(shifts: dict[str, tuple[int, int]], each: int = 12) -> PairTable:
    """Return pairs of markers who are off by *shifts* on the two criteria, with a little scatter."""
    names = sorted(shifts)
    pairs = []
    for place, own in enumerate(names):
        for number in range(each):
            other = names[(place + 1 + number % (len(names) - 1)) % len(names)]
            true = (4 + number % 3, 5 + number % 2)
            scatter = (number % 4 == 1) - (number % 4 == 3)
            first = tuple(mark + shift for mark, shift in zip(true, shifts[own], strict=True))
            second = tuple(mark + shift for mark, shift in zip(true, shifts[other], strict=True))
            pairs.append(
                Pair(
                    script=f"{own}{number}",
                    first_marker=own,
                    second_marker=other,
                    first=(first[0] + scatter, first[1]),
                    second=second,
                )
            )
    return table_of(pairs, CODES, (8, 8))


def test_a_marker_who_is_off_is_named_and_nobody_else() -> None:
    """One a mark severe on the first criterion; the others are not made generous by it."""
    table = round_robin({"A": (0, 0), "B": (-1, 0), "C": (0, 0), "D": (0, 0)})
    (found,) = named(table, 15)
    assert found.marker == "B"
    assert found.total.estimate == pytest.approx(-1, abs=0.15)
    assert is_one_criterion(found)
    adjusted = adjustment_for(found, table)
    assert adjusted is not None
    assert (adjusted.slope, adjusted.constant) == (1.0, 1.0)
    assert doubts(table, 15)[0].marker == "B"


def test_a_shift_of_less_than_half_a_mark_is_left_alone() -> None:
    """However sure: four tenths of a mark in 15 is small."""
    shifts: dict[str, tuple[int, int]] = dict.fromkeys("ABCD", (0, 0))
    table = round_robin(shifts, each=60)
    first = table.first.copy()
    first[(table.first_by == 1) & (np.arange(len(first)) % 5 < 2), 1] -= 1
    lowered = PairTable(
        markers=table.markers,
        criteria=table.criteria,
        out_of=table.out_of,
        first_by=table.first_by,
        second_by=table.second_by,
        first=first,
        second=table.second,
    )
    assert min(one.chance for one in joint_test(lowered) if one.marker == "B") < 0.05
    assert named(lowered, 15) == ()


def test_two_markers_are_never_named() -> None:
    """Nobody can say which of two is off."""
    table = round_robin({"A": (0, 0), "B": (-2, 0)})
    assert joint_test(table) == ()
    assert named(table, 15) == ()


def test_markers_that_no_pair_links_cannot_be_compared() -> None:
    """Two couples that never met: each may be off as a couple, and no estimate is made up."""
    pairs = [
        Pair(script=f"{one}{n}", first_marker=one, second_marker=other, first=(n % 4,), second=((n + 1) % 4,))
        for one, other in (("A", "B"), ("C", "D"))
        for n in range(12)
    ]
    table = table_of(pairs, ("K1",), (4,))
    assert not mean_contrasts(table).weights.any()
    assert named(table, 4) == ()


def test_nobody_marks_a_script_twice() -> None:
    """Such a pair says nothing."""
    with pytest.raises(ValueError, match="twice by A"):
        table_of([Pair(script="s", first_marker="A", second_marker="A", first=(1,), second=(1,))], ("K1",), (1,))


def test_tosses_are_fair_and_always_the_same() -> None:
    """As many heads as tails, and no clock in them."""
    tossed = signs(64)
    assert set(np.unique(tossed)) == {-1.0, 1.0}
    assert abs(float(tossed.mean())) < 0.01
    assert tossed[0, :8].tolist() == signs(64)[0, :8].tolist()


@given(st.integers(0, 10_000))
@settings(deadline=None, max_examples=8)
def test_the_family_does_not_hang_on_the_order_of_pairs(seed: int) -> None:
    """Estimates and scores are the same for the same pairs in another order."""
    chance = np.random.default_rng(seed)
    one = department(chance, "seven", "steady")
    table, _ = moderated(one, chance, 8, 16)
    order = chance.permutation(len(table.first_by))
    mixed = PairTable(
        markers=table.markers,
        criteria=table.criteria,
        out_of=table.out_of,
        first_by=table.first_by[order],
        second_by=table.second_by[order],
        first=table.first[order],
        second=table.second[order],
    )
    for before, after in zip(joint_test(table), joint_test(mixed), strict=True):
        assert before.estimate == pytest.approx(after.estimate, abs=1e-9)
        assert before.score == pytest.approx(after.score, abs=1e-6)
        if before.outcome == TOTAL:
            assert abs(before.chance - after.chance) < 0.08  # other tosses of the same coin


def test_structural_line_is_the_same_both_ways() -> None:
    """There and back again: the line of y on x is the inverse of that of x on y."""
    x, y = [3, 5, 6, 8, 9, 12], [2, 5, 5, 6, 8, 9]
    there, back = structural_line(x, y), structural_line(y, x)
    assert there is not None
    assert back is not None
    assert there[0] * back[0] == pytest.approx(1)
    assert structural_line([4, 4, 4], y[:3]) is None


@given(st.floats(0.5, 1.6), st.floats(-3, 3), st.lists(st.integers(0, 15), min_size=2, max_size=30), st.integers(1, 15))
@settings(deadline=None)
def test_an_adjustment_keeps_order_and_stays_in_range(
    slope: float, constant: float, marks: list[int], out_of: int
) -> None:
    """No mark below nought or above the maximum, and nobody overtakes anybody."""
    adjusted = Adjustment(marker="A", slope=slope, constant=constant, out_of=out_of, pairs=20)
    ordered = [adjusted.apply(min(mark, out_of)) for mark in sorted(marks)]
    assert ordered == sorted(ordered)
    assert all(0 <= mark <= out_of for mark in ordered)


@pytest.mark.campaign
def test_simulated_departments() -> None:
    """A short run of the measurement in DEVELOPERS.md; 40 departments, so the bounds are wide."""
    found = summary(run(40, seed=5))
    assert found["named"] >= 0.8
    assert found["sound told to adjust"] <= 0.15
    assert found["scripts a marker"] <= 16.5
    assert found["nearer after"] >= 0.8


@pytest.mark.campaign
def test_many_simulated_departments() -> None:
    """What is promised, over 800 departments."""
    found = summary(run(800, seed=6))
    assert found["named"] >= 0.93
    assert found["sound told to adjust"] <= 0.05
    assert found["scripts a marker"] <= 16.0
    assert found["nearer after"] >= 0.94
