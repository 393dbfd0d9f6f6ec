"""Feedback sheets set by several processes, while this one writes the tables."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct

from marking.findings import Script
from marking.many.hands import processes
from rubrics.model import Rubric

if TYPE_CHECKING:
    from reports.student import MarksShown  # what sets paper is loaded where paper is wanted

AT_ONCE = 20
"""Students a task."""


class Printing(Struct, frozen=True, kw_only=True):
    """What all sheets of a run have in common."""

    folder: Path
    rubrics: Mapping[str, Rubric]
    marks: MarksShown


Sheet = tuple[str, Sequence[Script]]
"""Name of the file, without its ending, and what stands on it."""


@contextmanager
def sheets_under_way(printing: Printing, sheets: Sequence[Sheet], workers: int) -> Iterator[None]:
    """Begin to write *sheets* with several processes; when the block ends, all of them are there."""
    from tqdm import tqdm

    with (
        tqdm(total=len(sheets), desc="feedback", unit=" students", disable=None, delay=1) as bar,
        processes(printing, workers) as those,
    ):
        done = those.begun(set_sheets, (sheets[start : start + AT_ONCE] for start in range(0, len(sheets), AT_ONCE)))
        yield
        for count in done:
            bar.update(count)


def set_sheets(printing: Printing, sheets: Sequence[Sheet]) -> int:
    """Write some sheets; return how many."""
    from reports.student import write_feedback

    for name, scripts in sheets:
        write_feedback(printing.folder / f"{name}.pdf", scripts, printing.rubrics, marks=printing.marks)
    return len(sheets)
