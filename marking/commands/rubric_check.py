"""``writeups rubric-check``: is this rubric sound?"""

from __future__ import annotations

import argparse
from pathlib import Path

from rubrics.errors import Fault, InputError, RubricError
from rubrics.lines import key_lines, line_of
from rubrics.load import read_rubric
from rubrics.model import CheckKind, Rubric


def run(arguments: argparse.Namespace) -> int:
    """Read the rubric; a faulty one is told by the error that the reader raises."""
    path = Path(arguments.file)
    if not path.is_file():
        raise InputError(path.name, "there is no such file", "check the name")
    rubric = read_rubric(path)
    _run_worked(path, rubric)
    theirs = sum(one.marks for one in rubric.criteria if one.check in (CheckKind.TEACHER, CheckKind.IDEAS))
    print(f"{path.name}: sound. {rubric.title}: {len(rubric.items)} items, {rubric.total} marks.")
    print(f"Criteria: {len(rubric.criteria)}; marks that a teacher decides: {theirs}.")
    print(f"Worked examples: {len(rubric.worked)}{', all of them stand' if rubric.worked else ''}.")
    return 0


def _run_worked(path: Path, rubric: Rubric) -> None:
    if not rubric.worked:
        return
    from marking.commands.worked_examples import faults_of

    lines = key_lines(path.read_text(encoding="utf-8-sig"))
    mend = "mend the example, or the formula that it shows"
    faults = [
        Fault(file=path.name, line=line_of(("worked", number), lines), problem=f"worked example: {fault}", mend=mend)
        for number, worked in enumerate(rubric.worked)
        for fault in faults_of(rubric, worked)
    ]
    if faults:
        raise RubricError(tuple(faults))
