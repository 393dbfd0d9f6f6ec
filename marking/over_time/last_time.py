"""What went wrong the last times a practical was done, for the teacher who prepares it again."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping

from msgspec import Struct

from marking.decided import (
    CellMended,
    Decision,
)
from marking.findings import Cause
from marking.over_time.histories import histories
from rubrics.model import Rubric

MOST_CLASSES = 4
"""The latest ones; more are not read before a lesson."""


class Fault(Struct, frozen=True, kw_only=True):
    """Something that several students lost marks by."""

    point: str
    """The criterion in words; empty for a kind of slip."""
    cause: Cause
    """NONE for a criterion."""
    students: int


class LastTime(Struct, frozen=True, kw_only=True):
    """One class's round of the practical."""

    class_name: str
    day: str
    handed_in: int
    faults: tuple[Fault, ...]
    """Criteria that were not earned in full, then kinds of slip; commonest first in each."""
    cells: int
    """Cells that could not be read and were mended by a teacher."""


def last_times(decisions: Iterable[Decision], rubric: Rubric) -> tuple[LastTime, ...]:
    """Return what *decisions* on one practical tell of its rounds, the latest first."""
    taken = tuple(decisions)
    cells = Counter(one.set.class_name for one in taken if isinstance(one, CellMended))
    points = {one.code: one.point for one in rubric.criteria}
    found = []
    for one in reversed(histories(taken)):
        if not one.works:
            continue
        lost = Counter(
            given.criterion
            for work in one.works.values()
            for given in work.marks
            if given.marks is not None and given.marks < given.out_of and given.criterion in points
        )
        slips = Counter(cause.value for work in one.works.values() for cause in work.causes)
        # Two students who share a fault may be a chance; of a smaller class one is told.
        least = 2 if len(one.works) > 2 else 1
        found.append(
            LastTime(
                class_name=one.name.class_name,
                day=one.day,
                handed_in=len(one.works),
                faults=(
                    *(
                        Fault(point=points[code], cause=Cause.NONE, students=count)
                        for code, count in _commonest(lost)
                        if count >= least
                    ),
                    *(
                        Fault(point="", cause=Cause(cause), students=count)
                        for cause, count in _commonest(slips)
                        if count >= least
                    ),
                ),
                cells=cells[one.name.class_name],
            )
        )
    return tuple(found[:MOST_CLASSES])


def _commonest(counts: Mapping[str, int]) -> list[tuple[str, int]]:
    return sorted(counts.items(), key=lambda pair: (-pair[1], pair[0]))
