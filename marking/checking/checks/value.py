"""Whether an answer follows from the student's own readings, or from their own earlier answers."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from marking.checking.answers import Judgement
from marking.checking.case import Case, Line, basic_facts, written
from marking.checking.checks.method import blank_line, is_passed_by
from marking.checking.checks.teacher import check_teacher
from marking.findings import Basis, Outcome
from marking.reasons import Reason
from marking.write_up import Entry, State
from rubrics.model import Blank, Criterion, Item, Role
from rubrics.units import Verdict

InRange = Callable[[Case, Item, int, Entry], Line]

_STANDS = (Judgement.RIGHT, Judgement.RIGHT_AS_ASKED, Judgement.FOLLOWS)
_TO_TEACHER = {
    Judgement.ROUGH: Reason.ROUGH_FIGURE,
    Judgement.UNLABELLED: Reason.RIGHT_IF_OTHER_UNIT,
    Judgement.OTHER_LABEL: Reason.RIGHT_UNDER_OTHER_UNIT,
    Judgement.NEAR_LINE: Reason.NEAR_LINE,
    Judgement.NEAR: Reason.NEAR_VALUE,
    Judgement.NOT_RECALCULABLE: Reason.NOT_RECALCULABLE,
    Judgement.UNREADABLE: Reason.UNREADABLE,
}
MOST_NEAR = 0.1
"""Share by which what is called near may be off."""


def check_value(criterion: Criterion, case: Case, in_range: InRange) -> Iterator[Line]:
    """Yield one line for each answer of the criterion, one a row for a column.

    Args:
        criterion: What is asked for.
        case: The student.
        in_range: Makes the line of an answer that no formula gives exactly, and that was given.
    """
    for name in criterion.items:
        item = case.item(name)
        if item.is_estimate and item.blank is Blank.TEACHER and not case.gives_any(criterion):
            # Not entered, and it may well stand on the graph.
            yield from check_teacher(criterion, case)
            continue
        if is_passed_by(case, item, [case.item(one) for one in criterion.items]):
            continue
        for row, entry in case.answer_entries(item):
            line = _value_line(case, item, row, entry, in_range)
            if line is not None:
                yield line


def _value_line(case: Case, item: Item, row: int, entry: Entry | None, in_range: InRange) -> Line | None:
    """Return the line for one answer; None where there is nothing to work out and nothing was written."""
    at = case.table_row(item, row)
    verdict = case.judgement(item, row)
    if entry is None or entry.state is State.BLANK:
        if not _has_value(case, item, row):
            return None
        return blank_line(case, item, at, entry)
    if item.is_estimate:
        return in_range(case, item, row, entry)
    if verdict is Judgement.NO_VALUE:
        facts = case.full_facts(item, at, entry, None)
        return Line(
            item=item.name, row=at, outcome=Outcome.AWARDED, reason=Reason.NO_VALUE_HERE, entry=entry, facts=facts
        )
    if verdict in _STANDS:
        return _right(case, item, (row, at), entry, verdict)
    if verdict is Judgement.NOT_RECALCULABLE and item.may_stand_alone and _stands_alone(case, item, row):
        facts = basic_facts(item, at, entry)
        return Line(
            item=item.name, row=at, outcome=Outcome.AWARDED, reason=Reason.READING_GIVEN, entry=entry, facts=facts
        )
    # What the student's own earlier answers lead to is nearest to what was meant.
    followed = case.expected(item, row, entry, followed=True)
    expected = case.expected(item, row, entry, followed=False) if followed is None else followed
    facts = case.full_facts(item, at, entry, expected, followed=followed is not None)
    if verdict is Judgement.WRONG and _hangs_on_unread(case, item, row):
        verdict, expected = Judgement.NOT_RECALCULABLE, None
    if verdict is Judgement.WRONG:
        return Line(
            item=item.name,
            row=at,
            outcome=Outcome.WITHHELD,
            reason=Reason.WRONG_VALUE,
            entry=entry,
            expected=expected,
            basis=Basis.OWN_READINGS if followed is None or not case.departs(item, row) else Basis.CARRIED_FORWARD,
            explanations=case.batch.explanations.get((item.name, case.student, row - 1), ()),
            facts=facts,
        )
    reason = Reason.UNIT_UNCLEAR if verdict is Judgement.UNLABELLED and _is_unclear(entry) else _TO_TEACHER[verdict]
    if reason is Reason.NEAR_VALUE and _is_far(case, item, row, expected):
        reason = Reason.NOT_FROM_READINGS
    return Line(
        item=item.name,
        row=at,
        outcome=Outcome.FOR_TEACHER,
        reason=reason,
        entry=entry,
        expected=expected,
        explanations=case.batch.explanations.get((item.name, case.student, row - 1), ()),
        basis=Basis.OWN_READINGS if expected is not None else Basis.NONE,
        facts=facts,
    )


def _is_far(case: Case, item: Item, row: int, expected: float | None) -> bool:
    """Tell whether an answer is further from what is expected than anybody would call near."""
    number = float(case.board.cells[item.name].number[case.student, row - 1])
    return expected is not None and abs(number - expected) > MOST_NEAR * abs(expected)


def _stands_alone(case: Case, item: Item, row: int) -> bool:
    """Tell whether nothing at all that an answer is worked out from was written."""
    items = [case.item(name) for name in (item.formula.names if item.formula else ()) if name in case.rubric.items]
    entries = [case.entry(one, row if one.table is not None else 1) for one in items]
    return all(entry is None or entry.state is State.BLANK for entry in entries)


def _is_unclear(entry: Entry) -> bool:
    """Tell whether a unit stands there that cannot be read for sure."""
    return entry.unit is not None and entry.unit.unit is None and bool(entry.unit.typed)


def _hangs_on_unread(case: Case, item: Item, row: int) -> bool:
    """Tell whether an answer that it may follow from is written but cannot be read: 4#7, and what was it?"""
    for name in item.formula.names if item.formula else ():
        earlier = case.rubric.items.get(name)
        if earlier is None or earlier.role is not Role.ANSWER:
            continue
        is_whole_column = earlier.table is not None and item.table is None
        rows = [at for at, _ in case.answer_entries(earlier)] if is_whole_column else [row]
        entries = [case.entry(earlier, at) for at in rows]
        if any(entry is not None and entry.state is State.UNREADABLE for entry in entries):
            return True
        if any(_hangs_on_unread(case, earlier, at) for at in rows):
            return True
    return False


def _right(case: Case, item: Item, place: tuple[int, int | None], entry: Entry, verdict: Judgement) -> Line:
    (row, at), follows = place, verdict is Judgement.FOLLOWS
    expected = case.expected(item, row, entry, followed=follows)
    more = {"carried": _carried(case, item, row)} if follows else {}
    facts = case.full_facts(item, at, entry, expected, followed=follows, **more)
    reason = Reason.RIGHT
    if follows:
        reason = Reason.RIGHT_CARRIED_FORWARD
    elif verdict is Judgement.RIGHT_AS_ASKED:
        reason = Reason.RIGHT_AS_ASKED
    elif entry.unit is not None and entry.unit.verdict is Verdict.NOTE and entry.unit.unit not in (None, item.unit):
        reason = Reason.RIGHT_OTHER_UNIT
    return Line(
        item=item.name,
        row=at,
        outcome=Outcome.AWARDED,
        reason=reason,
        entry=entry,
        expected=expected,
        basis=Basis.CARRIED_FORWARD if follows else Basis.OWN_READINGS,
        facts=facts,
    )


def _carried(case: Case, item: Item, row: int) -> str:
    """Return which earlier answers an answer follows from: 'your ΔT of 21.6 °C'."""
    parts = []
    for name in item.formula.names if item.formula else ():
        earlier = case.rubric.items.get(name)
        if earlier is None or earlier.role is not Role.ANSWER:
            continue
        if earlier.table is not None and item.table is None:
            parts.append(f"your column {earlier.symbol}")
            continue
        entry = case.entry(earlier, row if earlier.table is not None else 1)
        if entry is not None and entry.state is State.NUMBER:
            parts.append(f"your {earlier.symbol} of {written(earlier, entry)}")
    return " and ".join(parts)


def _has_value(case: Case, item: Item, row: int) -> bool:
    # A row without current has no resistance to work out: a blank there is as it should be. A row whose
    # readings are missing is told with the readings.
    if item.table is None:
        return True
    return case.expected(item, row, None, followed=False) is not None
