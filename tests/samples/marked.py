"""Marks the sample files in memory, and says of each finding which kind of check it comes from."""

from __future__ import annotations

from functools import cache

from msgspec import Struct

from marking.checking.marking_set import mark_set
from marking.findings import Finding, MarkedSet
from marking.intake.read_inputs import read_inputs
from rubrics.load import load_catalogue
from rubrics.model.practical import CheckKind
from samples.make_samples import FilledSet, fill
from samples.scenario import FOLDER, sample_sets

FOLDERS = sorted(roster.parent.name for roster in FOLDER.glob("*/roster.csv"))
"""Every folder of samples, those made by hand among them."""
SCENARIO_FOLDERS = [sample.folder for sample in sample_sets()]
"""Those whose mistakes are on record."""


class Told(Struct, frozen=True, kw_only=True):
    """One finding and the kind of its criterion."""

    finding: Finding
    kind: CheckKind


@cache
def marked(folder: str) -> MarkedSet:
    """Return the marked set of a folder of samples."""
    rubrics = load_catalogue()
    (class_set,) = read_inputs([FOLDER / folder], rubrics, practical=None, columns=None, roster=None)
    return mark_set(rubrics[class_set.practical], class_set)


@cache
def filled(folder: str) -> FilledSet:
    """Return the write-ups of the scenario's set, made in memory."""
    return fill(next(sample for sample in sample_sets() if sample.folder == folder))


@cache
def told(folder: str) -> tuple[Told, ...]:
    """Return every finding of a folder that belongs to a criterion."""
    return tuple(
        Told(finding=finding, kind=mark.criterion.check)
        for script in marked(folder).scripts
        for mark in script.criteria
        for finding in script.findings
        if finding.criterion == mark.criterion.code
    )
