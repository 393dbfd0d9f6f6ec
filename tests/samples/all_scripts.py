"""Every script of the samples and of the examiner's banks, for tests of what is printed."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

import pytest

from marking.findings import MarkedSet, Script
from rubrics.model import Rubric
from tests.banks.cases import bank_cases
from tests.checking.rows import mark_class
from tests.samples.marked import FOLDERS, marked

BANK = "bank of "
SETS = [*FOLDERS, *(f"{BANK}{name}" for name in sorted({case.practical for case in bank_cases()}))]
"""Folders of samples, and the practicals of the banks."""
TRIED = [
    pytest.param(name, marks=pytest.mark.campaign) if name.startswith(BANK) else pytest.param(name) for name in SETS
]
"""The same as parameters of a test: those of the banks in the campaigns."""


@cache
def sets(name: str) -> tuple[MarkedSet, ...]:
    """Return the marked set of a folder, or each case of a bank marked alone."""
    if not name.startswith(BANK):
        return (marked(name),)
    practical = name.removeprefix(BANK)
    cases = [case for case in bank_cases() if case.practical == practical]
    return tuple(mark_class(practical, {case.id: case.entries}) for case in cases)


def scripts(name: str) -> Iterator[tuple[Script, Rubric]]:
    """Yield every script that was handed in, with its rubric."""
    for one in sets(name):
        yield from ((script, one.rubric) for script in one.scripts if script.write_up.is_handed_in)
