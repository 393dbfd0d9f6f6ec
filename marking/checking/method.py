"""A step on the way that a right answer proves; behind a wrong one only the working can show it."""

from __future__ import annotations

from collections.abc import Iterator

from marking.checking.case import Case, Line
from marking.checking.reasons import Reason
from marking.checking.value import value_line
from marking.findings import Outcome
from rubrics.model import Criterion


def check_method(criterion: Criterion, case: Case) -> Iterator[Line]:
    """Yield one line for each answer whose value would prove the step."""
    for name in criterion.items:
        item = case.item(name)
        lines = [
            line
            for row, entry in case.answer_entries(item)
            if (line := value_line(case, item, row, entry)) is not None
        ]
        if not lines:
            yield case.blank_line(item, None, None)
            continue
        stands = next((line for line in lines if line.outcome is Outcome.AWARDED), None)
        blank = all(line.reason is Reason.NO_ANSWER for line in lines)
        if stands is not None:
            # One row worked rightly shows the step.
            yield Line(
                item=name,
                row=None,
                outcome=Outcome.AWARDED,
                reason=Reason.METHOD_SHOWN,
                entry=stands.entry,
                basis=stands.basis,
                facts=stands.facts,
            )
        elif blank:
            yield case.blank_line(item, None, lines[0].entry)
        else:
            yield Line(
                item=name,
                row=None,
                outcome=Outcome.FOR_TEACHER,
                reason=Reason.METHOD_UNCLEAR,
                entry=lines[0].entry,
                facts=dict(lines[0].facts) | {"point": criterion.point},
            )
