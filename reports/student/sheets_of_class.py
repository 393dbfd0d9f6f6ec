"""Sheets of several students at a time: a job that any process can do."""

from __future__ import annotations

import pickle
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from pathlib import Path

from msgspec import Struct

from marking.findings import Script
from reports.next_step import Tasks
from reports.student.feedback import write_feedback
from reports.student.feedback_columns import MarksShown
from rubrics.model import Rubric

AT_ONCE = 20
"""Sheets a job."""
Sheet = tuple[str, Sequence[Script]]
"""Name of a student's file, without its ending, and what stands in it."""
Job = tuple[bytes, Sequence[Sheet]]
"""What all jobs have in common, made ready to be sent once for all of them, and the sheets."""


class Printing(Struct, frozen=True, kw_only=True):
    """What all sheets of a run have in common."""

    folder: Path
    rubrics: Mapping[str, Rubric]
    marks: MarksShown


def sheet_jobs(printing: Printing, files: Sequence[Sheet]) -> Iterator[Job]:
    """Yield jobs that are about as long as each other and set all *files* together."""
    sent = pickle.dumps(printing)
    students = max(1, AT_ONCE // max(1, len(printing.rubrics)))
    return ((sent, files[start : start + students]) for start in range(0, len(files), students))


class SheetsSet(Struct, frozen=True):
    """Some files that were written."""

    files: int
    tasks: Tasks
    """What the sheets in them ask for."""


def set_sheets(_: object, job: Job) -> SheetsSet:
    """Write some files."""
    sent, files = job
    printing = _printing(sent)
    tasks: Tasks = {}
    for name, scripts in files:
        write_feedback(printing.folder / f"{name}.pdf", scripts, printing.rubrics, marks=printing.marks, tasks=tasks)
    return SheetsSet(len(files), tasks)


@lru_cache(maxsize=1)
def _printing(sent: bytes) -> Printing:
    found = pickle.loads(sent)
    assert isinstance(found, Printing)
    return found
