"""Feedback sheets set by several processes, while this one compares the class and writes the tables.

The processes are started when it is known how many students there are. They load what sheets are made of while the
class is still being marked.
"""

from __future__ import annotations

import pickle
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct

from marking.findings import Script
from marking.many.hands import Processes, processes
from rubrics.model import Rubric

if TYPE_CHECKING:  # what sets paper is loaded where paper is wanted
    from reports.next_step import Tasks
    from reports.student import MarksShown

AT_ONCE = 20
"""Students a task."""


class Printing(Struct, frozen=True, kw_only=True):
    """What all sheets of a run have in common."""

    folder: Path
    rubrics: Mapping[str, Rubric]
    marks: MarksShown


Sheet = tuple[str, Sequence[Script]]
"""Name of the file, without its ending, and what stands on it."""


class Setters:
    """Processes that set sheets."""

    def __init__(self, those: Processes) -> None:
        """Work through *those*."""
        self._those = those

    @contextmanager
    def under_way(self, printing: Printing, sheets: Sequence[Sheet], tasks: Tasks) -> Iterator[None]:
        """Begin to write *sheets*; when the block ends, all of them are there. What they ask for comes into *tasks*."""
        from tqdm import tqdm

        sent = pickle.dumps(printing)
        jobs = [(sent, sheets[start : start + AT_ONCE]) for start in range(0, len(sheets), AT_ONCE)]
        with tqdm(total=len(sheets), desc="feedback", unit=" students", disable=None, delay=1) as bar:
            done = self._those.begun(set_sheets, jobs, then=tasks.update)
            yield
            for (_, some), _ in zip(jobs, done, strict=True):
                bar.update(len(some))


@contextmanager
def setters(workers: int) -> Iterator[Setters]:
    """Start so many processes and have them load what they need; they end with the block."""
    with processes(None, workers) as those:
        those.begun(load, range(workers))
        yield Setters(those)


def load(_: object, number: int) -> int:
    """Load what sheets are made of, so that nobody waits for it later."""
    import reports.student  # noqa: F401

    return number


def set_sheets(_: object, job: tuple[bytes, Sequence[Sheet]]) -> Tasks:
    """Write some sheets; return what they ask for."""
    from reports.student import write_feedback

    sent, sheets = job
    printing = _printing(sent)
    tasks: Tasks = {}
    for name, scripts in sheets:
        write_feedback(printing.folder / f"{name}.pdf", scripts, printing.rubrics, marks=printing.marks, tasks=tasks)
    return tasks


@lru_cache(maxsize=1)
def _printing(sent: bytes) -> Printing:
    found = pickle.loads(sent)
    assert isinstance(found, Printing)
    return found
