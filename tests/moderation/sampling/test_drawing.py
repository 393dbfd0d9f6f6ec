"""The sample keeps to its rule, whatever the department looks like."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.moderation.sampling import Candidate, Reason, SamplingRule, draw, in_turn, to_mark_together
from tests.moderation.scripts import candidate

MARKERS = ("Ann", "Ben", "Cy")


def department(sizes: dict[str, int], per_class: int = 15) -> list[Candidate]:
    """Return scripts with totals all over the range."""
    return [
        candidate(f"{marker}{n}", marker, (7 * n) % 13, class_name=f"{marker} {n // per_class}")
        for marker, size in sizes.items()
        for n in range(size)
    ]


@given(st.lists(st.integers(1, 60), min_size=2, max_size=5), st.text(max_size=5))
@settings(deadline=None, max_examples=40)
def test_every_marker_and_class_is_in_and_the_seed_decides(sizes: list[int], seed: str) -> None:
    """As many of each marker as the rule says, both ends of the range, and the same words draw the same scripts."""
    scripts = department({f"M{n}": size for n, size in enumerate(sizes)})
    rule = SamplingRule()
    sample = draw(scripts, rule, seed)
    assert sample == draw(scripts, rule, seed)
    drawn = Counter(one.candidate.marker for one in sample if Reason.DRAWN in one.reasons)
    for n, size in enumerate(sizes):
        assert drawn[f"M{n}"] == rule.drawn_of(size, len(sizes), sum(sizes))
    totals = [one.candidate.total for one in sample]
    assert max(totals) == max(one.total for one in scripts)
    assert min(totals) == min(one.total for one in scripts)
    taken = Counter(one.candidate.class_name for one in sample)
    sizes_of = Counter(one.class_name for one in scripts)
    assert all(taken[name] >= min(2, size) for name, size in sizes_of.items())


@pytest.mark.parametrize(
    ("scripts", "markers", "cohort", "drawn"),
    [(8, 2, 10, 8), (9, 2, 12, 9), (30, 3, 90, 11), (150, 4, 500, 15), (151, 4, 500, 16), (200, 1, 200, 20)],
)
def test_sizes(scripts: int, markers: int, cohort: int, drawn: int) -> None:
    """All of a small cohort, else eleven or a tenth, rounded up."""
    assert SamplingRule().drawn_of(scripts, markers, cohort) == drawn


def test_thirds_of_the_range_have_their_share() -> None:
    """Of 30 scripts and 12 drawn, four from each third."""
    scripts = [candidate(str(n), "Ann", n, class_name="one") for n in range(30)]
    sample = draw([*scripts, candidate("x", "Ben", 3)], SamplingRule(each_marker=12), "s")
    own = [one.candidate.total for one in sample if one.candidate.marker == "Ann" and Reason.DRAWN in one.reasons]
    assert Counter(total // 10 for total in own) == {0: 4, 1: 4, 2: 4}


def test_boundaries_codes_and_overruled_marks_are_added_and_do_not_count_for_severity() -> None:
    """Near a boundary up to a third of those drawn; every code but absence; faulty apparatus is counted in nothing."""
    plain = [candidate(f"A{n}", "Ann", 6 if n % 2 else 2) for n in range(60)]
    special = [
        candidate("late", "Ann", 3, codes=("LATE",)),
        candidate("fault", "Ann", 3, codes=("FAULT",)),
        candidate("away", "Ann", 0, codes=("AB",)),
        candidate("over", "Ann", 3, overruled=("F1",)),
    ]
    sample = draw([*plain, *special], SamplingRule(boundaries=(6,), each_marker=9), "s")
    reasons = {one.candidate.student: one.reasons for one in sample}
    near = [one for one in sample if Reason.BOUNDARY in one.reasons]
    drawn = sum(Reason.DRAWN in one.reasons for one in sample)
    assert len(near) == drawn // 3
    assert all(not one.is_drawn for one in near)
    assert Reason.CODE in reasons["late"]
    assert Reason.OVERRULED in reasons["over"]
    assert reasons["fault"] == (Reason.ASIDE,)
    assert "away" not in reasons


@pytest.mark.parametrize(("total", "near"), [(4, False), (5, True), (6, True), (7, False)])
def test_near_a_boundary(total: int, near: bool) -> None:
    """The last mark below it and the first above."""
    assert SamplingRule(boundaries=(6,)).is_near(total) is near


def test_a_class_that_is_wanted_whole() -> None:
    """Every script of it, and they count."""
    scripts = department(dict.fromkeys(MARKERS, 30))
    sample = draw(scripts, SamplingRule(), "s", whole=["Ann 1"])
    own = [one for one in sample if one.candidate.class_name == "Ann 1"]
    assert len(own) == 15
    assert all(one.is_drawn for one in own)


def test_a_second_stage_takes_more_of_the_doubtful_and_nothing_twice() -> None:
    """Twenty more of one marker, none that was had before."""
    scripts = department(dict.fromkeys(MARKERS, 40))
    first = draw(scripts, SamplingRule(), "s")
    taken = [(one.candidate.class_name, one.candidate.student) for one in first]
    more = draw(scripts, SamplingRule(), "s", taken=taken, more={"Ben": 20})
    assert {one.candidate.marker for one in more} == {"Ben"}
    assert len(more) == 20
    assert not {(one.candidate.class_name, one.candidate.student) for one in more} & set(taken)


@given(st.lists(st.integers(2, 40), min_size=2, max_size=6), st.text(max_size=4))
@settings(deadline=None, max_examples=40)
def test_the_others_take_turns(sizes: list[int], seed: str) -> None:
    """Nobody marks an own script again, and each marker's drawn scripts are shared out among the others alike."""
    scripts = department({f"M{n}": size for n, size in enumerate(sizes)})
    markers = [f"M{n}" for n in range(len(sizes))]
    shared = in_turn(draw(scripts, SamplingRule(), seed), markers, seed)
    for marker in markers:
        own = Counter(one.second_marker for one in shared if one.candidate.marker == marker and one.is_drawn)
        assert marker not in own
        assert max(own.values()) - min(own[other] for other in markers if other != marker) <= 1


def test_scripts_to_mark_together() -> None:
    """A good one, a middling one, a weak one, and odd ones; from different markers where that can be."""
    scripts = department(dict.fromkeys(MARKERS, 20))
    sample = to_mark_together(scripts, 5, "s")
    assert [one.reasons[0] for one in sample] == [Reason.GOOD, Reason.MIDDLING, Reason.WEAK, Reason.ODD, Reason.ODD]
    good, middling, weak = (one.candidate.total for one in sample[:3])
    assert good > middling > weak
    assert len({one.candidate.marker for one in sample[:3]}) == 3
    assert len(to_mark_together(scripts, 1, "s")) == 3
