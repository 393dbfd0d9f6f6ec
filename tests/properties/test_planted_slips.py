"""Known slips in invented classes: the cause is found, what is right around them keeps its marks."""

from __future__ import annotations

import pytest

from tests.apparatus import BENCHES
from tests.benchmarks.account import first, lost, named_for_sure, of_kind, share, withheld, within
from tests.benchmarks.causes import run
from tests.benchmarks.scores import Score, Tally

STUDENTS = 840
"""In all; enough for about 230 slips that nothing else prints."""

LEAST_WITHIN = 85.0
LEAST_FIRST = 80.0
LEAST_UNEXPLAINED = 85.0
"""Per cent; well under what longer runs of ``tests.benchmarks.causes`` show, for this sample is small."""


@pytest.fixture(scope="module")
def tallies() -> list[Tally]:
    """Return what was said of the slips of one small run."""
    return run(STUDENTS, "properties", sorted(BENCHES))


def single_slips(tallies: list[Tally]) -> list[Score]:
    """Return the slips that show and that no other simple slip prints."""
    return [score for tally in tallies for score in tally.scores if score.is_single]


def test_nothing_right_is_withheld_beside_a_slip(tallies: list[Tally]) -> None:
    """Answers that are right, or follow from a wrong one, keep their marks; so do right units."""
    assert lost(tallies) == []


def test_planted_slip_is_among_the_causes(tallies: list[Tally]) -> None:
    """A slip that only one cause explains is among the causes given, and mostly the first."""
    slips = single_slips(tallies)
    assert len(slips) > 200
    assert (share(slips, within)[0] or 0) >= LEAST_WITHIN
    assert (share(slips, first)[0] or 0) >= LEAST_FIRST


def test_what_nothing_explains_is_called_so(tallies: list[Tally]) -> None:
    """An answer that no simple slip leads to is left to the teacher as unexplained, not blamed on something."""
    strays = of_kind([score for tally in tallies for score in tally.scores], "unexplained")
    assert (share(strays, first)[0] or 0) >= LEAST_UNEXPLAINED


def test_a_slip_that_was_then_copied_wrongly_is_found(tallies: list[Tally]) -> None:
    """A wrong formula whose answer was copied with two digits swapped is told by one of the two."""
    pairs = of_kind([score for tally in tallies for score in tally.scores], "copied pair")
    assert len(pairs) > 15
    assert (share(pairs, first)[0] or 0) >= 60.0


def test_what_is_near_for_no_reason_is_seldom_named_for_sure(tallies: list[Tally]) -> None:
    """Of answers that are off by a little, few are given a cause as if it were known."""
    near = withheld(of_kind([score for tally in tallies for score in tally.scores], "near"))
    assert len(near) > 10
    assert (share(near, named_for_sure)[0] or 0) <= 15.0


@pytest.mark.parametrize("kind", ["figures", "unit-missing", "unit-wrong"])
def test_slips_of_writing_are_named(tallies: list[Tally], kind: str) -> None:
    """A right value with too many figures, no unit or a wrong one is told by its own cause, and nearly always."""
    slips = of_kind([score for tally in tallies for score in tally.scores], kind)
    assert len(slips) > 20
    assert (share(slips, first)[0] or 0) >= 95.0
