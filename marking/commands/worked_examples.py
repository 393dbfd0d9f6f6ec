"""The worked examples of a rubric, marked as a student's would be: what is meant to be right has to stand."""

from __future__ import annotations

import csv
import math
import tempfile
from collections.abc import Iterator
from pathlib import Path

from marking.checking import mark_set
from marking.findings import Finding, Outcome
from marking.intake import read_inputs
from marking.write_up import Weight
from rubrics.model import CheckKind, Rubric, Worked

_STUDENT = "worked"
_HEADINGS = ("student", "practical", "item", "row", "entry")
_JUDGED = (CheckKind.VALUE, CheckKind.UNIT, CheckKind.METHOD, CheckKind.CHOICE, CheckKind.READING)


def faults_of(rubric: Rubric, worked: Worked) -> tuple[str, ...]:
    """Return what is wrong with a worked example, one sentence part each; empty where all of it stands."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "worked.csv"
        with file.open("w", encoding="utf-8", newline="") as stream:
            csv.writer(stream).writerows([_HEADINGS, *_lines(rubric, worked)])
        (class_set,) = read_inputs([file], {rubric.id: rubric})
    queries = [remark.message for remark in class_set.remarks if remark.weight is not Weight.NOTE]
    (script,) = mark_set(rubric, class_set).scripts
    checks = {criterion.code: criterion.check for criterion in rubric.criteria}
    wrong = [
        f"{one.item} = {one.entry} does not stand in {one.criterion} ({one.reason}){_led_to(rubric, one)}"
        for one in script.findings
        if one.item in worked.answers and checks.get(one.criterion) in _JUDGED and one.outcome is not Outcome.AWARDED
    ]
    judged = {one.item for one in script.findings}
    unseen = [f"no criterion looks at {name}" for name in worked.answers if name not in judged]
    return (*queries, *wrong, *unseen)


def _led_to(rubric: Rubric, finding: Finding) -> str:
    """Return what the readings of the example lead to, where that can be worked out."""
    if finding.expected is None or not math.isfinite(finding.expected):
        return ""
    unit = finding.unit or rubric.items[finding.item].unit.symbol
    return f"; its readings lead to {finding.expected:.4g} {unit}".rstrip()


def _lines(rubric: Rubric, worked: Worked) -> Iterator[tuple[str, str, str, str, str]]:
    for name, texts in {**worked.entries, **worked.answers}.items():
        for row, text in enumerate(texts, start=1):
            yield _STUDENT, rubric.id, name, str(row) if rubric.items[name].table else "", text
