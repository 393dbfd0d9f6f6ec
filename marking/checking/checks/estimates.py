"""Answers that no formula gives exactly, judged by a range from the student's own figures."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from marking.checking.answers import Judgement, unit_used
from marking.checking.case import Case, Facts, Line, basic_facts, number_text, with_unit
from marking.findings import Basis, Cause, Explanation, Outcome
from marking.reasons import Reason
from marking.write_up import Entry
from rubrics.model import Item

RANGE_FIGURES = 2
_VERDICTS = {
    Judgement.RIGHT: (Outcome.AWARDED, Reason.ESTIMATE_RIGHT),
    Judgement.WRONG: (Outcome.WITHHELD, Reason.ESTIMATE_WRONG),
    Judgement.UNSURE: (Outcome.FOR_TEACHER, Reason.ESTIMATE_UNSURE),
    Judgement.NOT_RECALCULABLE: (Outcome.FOR_TEACHER, Reason.NOT_RECALCULABLE),
    Judgement.UNREADABLE: (Outcome.FOR_TEACHER, Reason.UNREADABLE),
}
UNEXPLAINED = (Explanation(cause=Cause.UNEXPLAINED, detail="outside the range", probability=1.0),)


def estimate_line(case: Case, item: Item, row: int, entry: Entry) -> Line:
    """Return the line for an answer that was given and is judged by a range."""
    outcome, reason = _VERDICTS[case.judgement(item, row)]
    expected = case.expected(item, row, entry, followed=False)
    at = case.table_row(item, row)
    return Line(
        item=item.name,
        row=at,
        outcome=outcome,
        reason=reason,
        entry=entry,
        expected=expected,
        basis=Basis.OWN_READINGS if expected is not None else Basis.NONE,
        explanations=UNEXPLAINED if outcome is Outcome.WITHHELD else (),
        facts=Facts(lambda: {**basic_facts(item, at, entry), **_range(case, item, row, entry)}),
    )


def _range(case: Case, item: Item, row: int, entry: Entry) -> Mapping[str, str]:
    """Return the ends of the range, in the unit that the student wrote."""
    unit = unit_used(item, entry)
    ends = [end[case.student, row - 1] for end in case.judged[item.name].own_interval]
    if not np.isfinite(ends).all():
        return {}
    shown = [number_text(unit.from_si(float(end)), RANGE_FIGURES) for end in ends]
    low, high = (with_unit(text, unit.symbol) for text in shown)
    facts = {"range_low": low, "range_high": high}
    if item.uncertainty_of is not None:
        facts["whose"] = case.item(item.uncertainty_of).quantity
    if item.turn_on is not None:
        facts["rises"] = case.item(item.turn_on[1]).quantity
    return facts
