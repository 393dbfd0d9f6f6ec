"""How far a sound bench may lie from the others: what is usual, and what the class itself shows."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from marking.cohort.benches.unknown_spread import DOUBT_OF_PARTS, Others, chance_of

USUAL = 0.01


def class_of(spread: float, benches: int = 11) -> Others:
    """Return benches whose distances are those of a normal distribution of that spread, evenly."""
    random = np.random.default_rng(5)
    away = np.sort(random.normal(0, 1, 1000))[np.linspace(50, 950, benches).astype(int)]
    away = (away - away.mean()) / away.std(ddof=1) * spread
    return Others(
        away=away,
        shares=np.full(benches, 0.4),
        kinds=1,
        usual=USUAL**2,
        scatter=0.0,
        scatter_degrees=0,
        companions=float(benches),
    )


def test_a_class_that_spreads_widely_is_judged_by_itself() -> None:
    """What is 1 in 1000 where benches differ by 1 % is nothing where they differ by 4 %."""
    usual, _ = chance_of(0.045, 0.4, class_of(USUAL))
    wide, error = chance_of(0.045, 0.4, class_of(4 * USUAL))
    assert usual < 0.002
    assert wide > 0.2
    assert error > 0.03


def test_a_class_that_hardly_spreads_is_not_held_to_nothing() -> None:
    """However alike a dozen benches look, half of what is usual is allowed for."""
    alike, error = chance_of(0.018, 0.4, class_of(0.001))
    assert error > USUAL / 2
    assert alike > 0.0005


def test_few_groups_at_a_bench_count_for_less() -> None:
    """One group lies farther off by luck than three do, the more the groups of a bench differ."""
    others = replace(class_of(USUAL), scatter=0.02**2, scatter_degrees=18)
    assert chance_of(0.06, 1.0, others)[0] > 3 * chance_of(0.06, 1 / 3, others)[0]


def test_a_loss_has_no_long_tails() -> None:
    """Between no loss and all that lagging lets through: four deviations off is not reached, one is as common."""
    others = class_of(USUAL)
    lossy = replace(others, is_lossy=True)
    assert chance_of(0.04, 0.4, lossy)[0] < chance_of(0.04, 0.4, others)[0] / 2
    assert chance_of(0.01, 0.4, lossy)[0] == pytest.approx(chance_of(0.01, 0.4, others)[0], abs=0.15)


@given(
    away=st.floats(-0.5, 0.5),
    share=st.floats(0.1, 1.0),
    spread=st.floats(0.0005, 0.1),
    lossy=st.booleans(),
    farther=st.floats(1.01, 3.0),
)
@settings(deadline=None)
def test_farther_is_less_likely(away: float, share: float, spread: float, *, lossy: bool, farther: float) -> None:
    """A chance is one, the same either way, and falls with the distance."""
    others = replace(class_of(spread), scatter=0.01**2, scatter_degrees=12, is_lossy=lossy)
    chance, error = chance_of(away, share, others)
    assert -1e-12 <= chance <= 1 + 1e-9
    assert error > 0
    assert chance_of(-away, share, others)[0] == pytest.approx(chance, abs=1e-12)
    assert chance_of(away * farther, share, others)[0] <= chance + 1e-12


def test_sound_classes_are_named_as_seldom_as_the_chance_says() -> None:
    """Of 2,000 benches drawn from their class's own spread, 1 %, 3 % or 5 %, few have a chance below 1 in 100."""
    random = np.random.default_rng(7)
    for spread in (0.01, 0.03, 0.05):
        below = 0
        for _ in range(300):
            drawn = random.normal(0, spread, 12)
            others = replace(class_of(USUAL), away=drawn[1:] - drawn[1:].mean())
            below += chance_of(float(drawn[0] - drawn[1:].mean()), 0.4, others)[0] < 0.01
        assert below <= 12, spread


def test_parts_of_which_little_is_known_are_named_no_oftener() -> None:
    """Springs or cells that differ by 3 or 5 %, each drawn 300 times: a chance below 1 in 100 is as rare as that."""
    random = np.random.default_rng(8)
    for spread in (0.03, 0.05):
        below = 0
        for _ in range(300):
            drawn = random.normal(0, spread, 12)
            others = replace(class_of(USUAL), away=drawn[1:] - drawn[1:].mean(), doubt=DOUBT_OF_PARTS)
            below += chance_of(float(drawn[0] - drawn[1:].mean()), 0.4, others)[0] < 0.01
        assert below <= 7, spread


def test_another_bench_that_is_off_does_not_hide_this_one() -> None:
    """Where one of the others is 30 % off, the rest still tell how far sound benches lie."""
    alike = class_of(USUAL)
    one_off = replace(alike, away=np.append(alike.away, 0.3), shares=np.append(alike.shares, 0.4))
    assert chance_of(0.045, 0.4, one_off)[0] < 2 * chance_of(0.045, 0.4, alike)[0]


def test_others_that_lie_far_off_are_no_proof_of_a_narrow_class() -> None:
    """Two of eleven at 5 % either way may be off, but they make it likelier that benches differ that much."""
    alike = class_of(USUAL)
    wide = replace(alike, away=np.append(alike.away, [-0.05, 0.05]), shares=np.append(alike.shares, [0.4, 0.4]))
    assert chance_of(0.05, 0.4, wide)[0] > 5 * chance_of(0.05, 0.4, alike)[0]
