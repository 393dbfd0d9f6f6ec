"""From simulated pages through the main path to findings, a class at a time."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from pathlib import Path

from marking.checking.marking_set import mark_set
from marking.findings import Finding, MarkedSet
from marking.intake.read_inputs import read_inputs
from rubrics.load import load_catalogue
from rubrics.model.practical import CheckKind, Rubric
from tests.apparatus import Sheet, write_tidy

CLASS_SIZE = 400
"""Pages in one file."""


@cache
def known_rubrics() -> dict[str, Rubric]:
    """Return the catalogue, read once."""
    return dict(load_catalogue())


def mark_sheets(folder: Path, sheets: Sequence[Sheet]) -> MarkedSet:
    """Write the pages as one tidy CSV, read them and mark them."""
    rubrics = known_rubrics()
    path = write_tidy(folder / "set.csv", sheets)
    (class_set,) = read_inputs([path], rubrics)
    return mark_set(rubrics[class_set.practical], class_set)


def kinds_of_check(rubric: Rubric) -> dict[str, CheckKind]:
    """Return the kind of check of each criterion."""
    return {criterion.code: criterion.check for criterion in rubric.criteria}


def told(finding: Finding) -> str:
    """Return one finding in one line, for the message of a failed test."""
    place = f"{finding.student} {finding.item}" + (f" row {finding.row}" if finding.row else "")
    said = f"{finding.criterion} {finding.outcome} ({finding.reason}, {finding.cause}, {finding.basis or 'no basis'})"
    return f"{place}: {finding.entry!r} {finding.unit!r}, expected {finding.expected}: {said}"
