"""What a mark code leaves to the teacher: recording with given readings, careful readings with faulty apparatus.

Common practice, no published source: who works with given readings cannot show recording, and how far readings
agree or reach says nothing of a student whose apparatus was at fault. Processing is marked from the readings as ever.
"""

from __future__ import annotations

from collections.abc import Sequence

from marking.checking.case import Line
from marking.findings import Outcome
from marking.reasons import Reason
from rubrics.model import CheckKind, Criterion

RECORDING = frozenset({CheckKind.READING, CheckKind.PLACES, CheckKind.ROWS})
"""Checks of how readings were taken and written down."""


def with_given_readings(criterion: Criterion, lines: Sequence[Line]) -> list[Line]:
    """Return *lines*, or one that waits for the teacher where the criterion is about recording."""
    return [_waiting(criterion, Reason.GIVEN_DATA)] if criterion.check in RECORDING else list(lines)


def with_faulty_apparatus(criterion: Criterion, lines: Sequence[Line]) -> list[Line]:
    """Return *lines*, or one that waits for the teacher where readings do not reach or agree as they are asked to."""
    # What was earned in spite of the fault stays.
    is_short = any(line.outcome is Outcome.WITHHELD for line in lines)
    return [_waiting(criterion, Reason.BENCH_FAULT)] if criterion.check is CheckKind.ROWS and is_short else list(lines)


def _waiting(criterion: Criterion, reason: Reason) -> Line:
    name = criterion.items[0] if criterion.items else ""
    return Line(item=name, row=None, outcome=Outcome.FOR_TEACHER, reason=reason, facts={"point": criterion.point})
