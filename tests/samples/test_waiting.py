"""At most a quarter of the marks of a sample class waits for a teacher, 15 % in the practicals of every school."""

from __future__ import annotations

from functools import cache

import pytest

from rubrics.load import load_catalogue
from tests.benchmarks.waiting import Waiting, measure


@cache
def waiting() -> dict[str, Waiting]:
    """Return what waits in each practical."""
    return {one.practical: one for one in measure()}


@pytest.mark.campaign
@pytest.mark.parametrize("practical", list(load_catalogue()))
def test_at_most_a_quarter_waits(practical: str) -> None:
    """As typed, mistakes and untidy cells among it."""
    found = waiting()[practical]
    assert found.share <= found.most, found.by_code
