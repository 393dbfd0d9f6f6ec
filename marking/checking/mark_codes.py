"""What a mark code leaves to the teacher: recording with given readings, careful readings with faulty apparatus.

Common practice, no published source: who works with given readings cannot show recording, and how far readings
agree or reach says nothing of a student whose apparatus was at fault. Processing is marked from the readings as ever.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from marking.checking.case import Line
from marking.findings import Outcome
from marking.reasons import Reason
from marking.write_up import MarkCode
from rubrics.model import CheckKind, Criterion

RECORDING = frozenset({CheckKind.READING, CheckKind.PLACES, CheckKind.ROWS})
"""Checks of how readings were taken and written down."""


def left_to_teacher(criterion: Criterion, lines: Sequence[Line], codes: Collection[str]) -> list[Line]:
    """Return *lines*, or one line that waits for the teacher where a mark code of the student asks for that."""
    if MarkCode.GIVEN in codes and criterion.check in RECORDING:
        return [_waiting(criterion, Reason.GIVEN_DATA)]
    # What was earned in spite of the fault stays.
    is_short = any(line.outcome is Outcome.WITHHELD for line in lines)
    if MarkCode.FAULT in codes and criterion.check is CheckKind.ROWS and is_short:
        return [_waiting(criterion, Reason.BENCH_FAULT)]
    return list(lines)


def _waiting(criterion: Criterion, reason: Reason) -> Line:
    name = criterion.items[0] if criterion.items else ""
    return Line(item=name, row=None, outcome=Outcome.FOR_TEACHER, reason=reason, facts={"point": criterion.point})
