"""The longer measurement of causes; run with -m campaign."""

from __future__ import annotations

import pytest

from tests.apparatus import BENCHES
from tests.benchmarks.account import first, lost, share
from tests.benchmarks.causes import run

STUDENTS = 3000


@pytest.mark.campaign
def test_causes_over_many_students() -> None:
    """Over 3,000 write-ups nothing right is withheld, and nine slips in ten are named first."""
    tallies = run(STUDENTS, "campaign", sorted(BENCHES))
    assert lost(tallies) == []
    single = [score for tally in tallies for score in tally.scores if score.is_single]
    assert (share(single, first)[0] or 0) >= 90.0
