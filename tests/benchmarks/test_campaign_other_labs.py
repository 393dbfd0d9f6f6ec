"""Sound classes of nineteen other practicals: hardly anybody under suspicion, hardly a sound sheet queried."""

from __future__ import annotations

import pytest

from tests.benchmarks.other_labs.counts import PRACTICALS, said_of

pytestmark = pytest.mark.campaign

MOST_WITH_LEAD = 1 / 500
MOST_WARNED = 0.01
MOST_FLAGGED = 0.10
"""More than 1 in 20: with a careless reading in every seventh write-up, a few slopes of few points still bring benches
up (``FIGURES.md``)."""


def test_sound_classes_are_left_alone() -> None:
    """Over all of them together, one class for each way to work."""
    said = [said_of(practical, 1, 300) for practical in PRACTICALS]
    write_ups = sum(one.write_ups for one in said)
    assert sum(one.with_lead for one in said) <= MOST_WITH_LEAD * write_ups
    assert sum(one.warned for one in said) <= MOST_WARNED * sum(one.clean_write_ups for one in said)
    assert sum(one.flagged for one in said) <= MOST_FLAGGED * sum(one.classes for one in said)
