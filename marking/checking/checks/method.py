"""A step on the way that a right answer proves; behind a wrong one only the working can show it."""

from __future__ import annotations

from collections.abc import Iterator

from marking.checking.answers import Judgement
from marking.checking.case import Case, Line, Reason
from marking.findings import Basis, Explanation, Outcome
from rubrics.model import Criterion, Item

_STANDS = {Judgement.RIGHT: Basis.OWN_READINGS, Judgement.FOLLOWS: Basis.CARRIED_FORWARD}


SURE = 0.9
"""How likely a named slip is before another criterion takes the mark for it."""


def named_slip(case: Case, item: Item, row: int, details: tuple[str, ...]) -> tuple[Explanation, ...] | None:
    """Return what explains a wrong answer where it is, surely, one of the named slips *details*; else None."""
    found = case.explanations.get((item.name, case.student, row - 1), ())
    share = sum(one.probability for one in found if one.detail in details)
    return found if details and found and found[0].detail in details and share >= SURE else None


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
    paid = named_slip(case, item, row, criterion.pays)
    if paid is not None:
        return Line(
            item=item.name,
            row=None,
            outcome=Outcome.WITHHELD,
            reason=Reason.WRONG_VALUE,
            entry=entry,
            expected=expected,
            basis=Basis.OWN_READINGS,
            explanations=paid,
            facts=case.full_facts(item, at, entry, expected, point=criterion.point),
        )
    return Line(
        item=item.name,
        row=None,
        outcome=Outcome.FOR_TEACHER,
        reason=Reason.METHOD_UNCLEAR,
        entry=entry,
        facts=case.full_facts(item, at, entry, expected, point=criterion.point),
    )
