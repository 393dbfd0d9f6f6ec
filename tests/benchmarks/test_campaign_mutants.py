"""Planted faults: a sample of the functions that decide marks, a few of each file, noticed by the room's own tests."""

from __future__ import annotations

import importlib.util

import pytest

from tests.benchmarks.mutants import files_that_decide, room_tests, shares

EACH, SEED = 3, 20
LEAST = 0.85
SECONDS = 60.0
"""For one room, once it is known which test reaches what."""


def test_every_file_that_decides_has_tests_of_its_own_room() -> None:
    """A file that was moved or renamed is not left out in silence."""
    files = files_that_decide()
    assert len(files) == len(set(files)) > 10
    assert all(room_tests(file) for file in files)


@pytest.mark.campaign
@pytest.mark.skipif(importlib.util.find_spec("mutmut") is None, reason="mutmut, of the extra 'dev', is not installed")
def test_planted_faults_are_noticed() -> None:
    """Of some fifty faults in the files that decide, at least 85 % are noticed where they were planted."""
    found = list(shares(files_that_decide(), EACH, SEED, seconds=SECONDS))
    tried = sum(one.tried for one in found)
    assert tried >= 40
    missed = "\n".join(text for one in found for text in one.survivors)
    assert sum(one.noticed for one in found) / tried >= LEAST, missed
