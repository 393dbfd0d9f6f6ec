"""A step on the way that a right answer proves; behind a wrong one a certain slip may tell, else the working."""

from __future__ import annotations

from collections.abc import Iterator

from marking.checking.answers import Judgement
from marking.checking.case import Case, Line, Reason
from marking.checking.causes import denies
from marking.findings import Basis, Outcome
from rubrics.model import Criterion, Item

_STANDS = {Judgement.RIGHT: Basis.OWN_READINGS, Judgement.FOLLOWS: Basis.CARRIED_FORWARD}

_DECIDED = {
    None: (Outcome.FOR_TEACHER, Reason.METHOD_UNCLEAR),
    True: (Outcome.WITHHELD, Reason.METHOD_NOT_DONE),
    False: (Outcome.AWARDED, Reason.METHOD_BEHIND_SLIP),
}
"""Whether a slip that arithmetic makes certain denies the step, and what follows."""


def check_method(criterion: Criterion, case: Case) -> Iterator[Line]:
    """Yield one line for each answer whose value would prove the step; one right row of a column proves it."""
    for name in criterion.items:
        yield _method_line(criterion, case, case.item(name))


def _method_line(criterion: Criterion, case: Case, item: Item) -> Line:
    given = [(row, entry) for row, entry in case.answer_entries(item) if entry is not None]
    worth = [(case.judgement(item, row), row, entry) for row, entry in given]
    worth = [one for one in worth if one[0] not in (Judgement.NOT_GIVEN, Judgement.NO_VALUE)]
    if not worth:
        return case.blank_line(item, None, given[0][1] if given else None)
    judgement, row, entry = next((one for one in worth if one[0] in _STANDS), worth[0])
    follows = judgement is Judgement.FOLLOWS
    expected = case.expected(item, row, entry, followed=follows)
    at = case.table_row(item, row)
    if judgement in _STANDS:
        return Line(
            item=item.name,
            row=None,
            outcome=Outcome.AWARDED,
            reason=Reason.METHOD_SHOWN,
            entry=entry,
            basis=_STANDS[judgement],
            facts=case.full_facts(item, at, entry, expected, followed=follows),
        )
    told = case.certain.get((item.name, case.student, row - 1), ())
    outcome, reason = _DECIDED[denies(told, criterion.lost_by)]
    return Line(
        item=item.name,
        row=None,
        outcome=outcome,
        reason=reason,
        entry=entry,
        facts=case.full_facts(item, at, entry, expected, point=criterion.point),
    )
