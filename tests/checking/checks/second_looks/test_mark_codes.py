"""What a mark code leaves to the teacher, and what it leaves as it is."""

from __future__ import annotations

import pytest

from marking.checking.case.student_case import Line
from marking.checking.checks.second_looks.mark_codes import with_faulty_apparatus, with_given_readings
from marking.findings import Outcome
from marking.reasons import Reason
from rubrics.load import load_catalogue
from rubrics.model.practical import CheckKind, Criterion


def criterion_of(check: CheckKind) -> Criterion:
    """Return a criterion of that kind, of any practical."""
    return next(one for rubric in load_catalogue().values() for one in rubric.criteria if one.check is check)


def line(outcome: Outcome) -> Line:
    """Return a line of that outcome."""
    return Line(item="x", row=1, outcome=outcome, reason=Reason.ROWS_RIGHT)


@pytest.mark.parametrize("check", CheckKind)
def test_given_readings_leave_recording_alone_to_the_teacher(check: CheckKind) -> None:
    """Of recording one line waits, whatever the lines said; everything else is as it was."""
    criterion = criterion_of(check)
    lines = [line(Outcome.AWARDED), line(Outcome.WITHHELD)]
    found = with_given_readings(criterion, lines)
    if check in (CheckKind.READING, CheckKind.PLACES, CheckKind.ROWS):
        item = criterion.items[0]
        facts = {"point": criterion.point}
        assert found == [Line(item=item, row=None, outcome=Outcome.FOR_TEACHER, reason=Reason.GIVEN_DATA, facts=facts)]
    else:
        assert found == lines


@pytest.mark.parametrize(
    ("check", "outcomes", "waits"),
    [
        (CheckKind.ROWS, [Outcome.WITHHELD], True),
        (CheckKind.ROWS, [Outcome.AWARDED, Outcome.WITHHELD], True),
        (CheckKind.ROWS, [Outcome.AWARDED], False),
        (CheckKind.ROWS, [Outcome.FOR_TEACHER], False),
        (CheckKind.PLACES, [Outcome.WITHHELD], False),
        (CheckKind.VALUE, [Outcome.WITHHELD], False),
    ],
)
def test_a_fault_of_apparatus_leaves_what_was_not_reached_to_the_teacher(
    check: CheckKind, outcomes: list[Outcome], waits: bool
) -> None:
    """Too few or scattered readings are not the student's doing; what was earned all the same stays earned."""
    criterion = criterion_of(check)
    lines = [line(outcome) for outcome in outcomes]
    found = with_faulty_apparatus(criterion, lines)
    assert found == lines if not waits else [one.reason for one in found] == [Reason.BENCH_FAULT]
