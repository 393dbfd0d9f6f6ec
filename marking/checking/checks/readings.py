"""Whether readings are there, with a unit of their quantity."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from marking.checking.case import Case, Line, basic_facts, number_text, with_unit
from marking.findings import Cause, Explanation, Outcome
from marking.reasons import Reason
from marking.write_up import Entry, State
from rubrics.model import Criterion, Item, plain_quantity
from rubrics.units import Verdict

Reading = tuple[Item, int, Entry]
"""What was read, its row, and what stands there."""


def check_reading(criterion: Criterion, case: Case) -> Iterator[Line]:
    """Yield one line for each reading of the criterion; a column is one line."""
    for name in criterion.items:
        item = case.item(name)
        read = case.readings(item)
        line = _clear_line(case, item, read)
        if line is not None:
            yield _enough(criterion, case, line)
            continue
        given = [
            (one, row, entry) for one in read for row, entry in case.unplaced(one) if entry.state is not State.BLANK
        ]
        if not given:
            yield _missing(item)
            continue
        line = _column_line(case, item, given)
        line = _without_unit(criterion, case, line) if line.reason is Reason.UNIT_MISSING else line
        yield _enough(criterion, case, line)


def _clear_line(case: Case, item: Item, read: list[Item]) -> Line | None:
    """Return the line for readings of which nothing is to be asked, as most are; None for any other."""
    batch, student = case.batch, case.student
    first = None
    for one in read:
        if one.is_words or not batch.clear[one.name][student]:
            return None
        row = batch.first[one.name][student]
        if row and first is None:
            first = one, row
    return None if first is None else _line(item, None, case.entry(*first), Outcome.AWARDED, Reason.READING_GIVEN)


def _enough(criterion: Criterion, case: Case, line: Line) -> Line:
    """Return *line*, withheld where the reading is below the least that the criterion asks for."""
    least = dict(criterion.least).get(line.item) if criterion.least else None
    if least is None or line.outcome is not Outcome.AWARDED:
        return line
    item = case.item(line.item)
    if not case.number(case.batch.in_own_unit, line.item) < least:
        return line
    facts = dict(line.facts) | {"least": with_unit(number_text(least), item.unit.symbol)}
    return replace(line, outcome=Outcome.WITHHELD, reason=Reason.TOO_LITTLE, facts=facts)


def _without_unit(criterion: Criterion, case: Case, line: Line) -> Line:
    """Return *line*, a reading without its unit: awarded where a criterion further up asks for the unit already.

    One slip costs one mark: 'mass measured' is not left open for what 'with its unit' is there for.
    """
    if any(line.item in one.items for one in _reading_criteria_before(criterion, case)):
        return replace(line, outcome=Outcome.AWARDED, reason=Reason.READING_GIVEN)
    return line


def _reading_criteria_before(criterion: Criterion, case: Case) -> Iterator[Criterion]:
    for one in case.rubric.criteria:
        if one.code == criterion.code:
            return
        if one.check is criterion.check:
            yield one


def _missing(item: Item) -> Line:
    # It may stand on paper, and other answers may prove that it was taken.
    facts = basic_facts(item, None, None)
    return Line(item=item.name, row=None, outcome=Outcome.FOR_TEACHER, reason=Reason.READING_MISSING, facts=facts)


def _column_line(case: Case, item: Item, given: list[Reading]) -> Line:
    """Return the line for what was *given*, whose entries have no place yet."""
    verdicts: set[Verdict] = set()
    for one, row, entry in given:
        verdict = None if entry.unit is None else entry.unit.verdict
        if entry.state is State.UNREADABLE or verdict is Verdict.WRONG or verdict is Verdict.AMBIGUOUS:
            reason = Reason.UNREADABLE if entry.state is State.UNREADABLE else Reason.READING_UNIT_WRONG
            return _line(item, case.table_row(item, row), case.entry(one, row), Outcome.FOR_TEACHER, reason)
        if verdict is not None:
            verdicts.add(verdict)
    first, row, _ = given[0]
    if verdicts == {Verdict.MISSING}:
        are_asked_for = all(entry.has_unit_box for _, _, entry in given)
        return _missing_unit(case, item, case.entry(first, row), are_asked_for=are_asked_for)
    return _line(item, None, case.entry(first, row), Outcome.AWARDED, Reason.READING_GIVEN)


def _missing_unit(case: Case, item: Item, first: Entry | None, *, are_asked_for: bool) -> Line:
    """Return the line for readings without any unit: withheld where the unit was asked for and was left out.

    Where there was no box for it, or units were hardly typed at all, it may stand on paper: the teacher looks.
    """
    if not (are_asked_for and _types_units(case)):
        return _line(item, None, first, Outcome.FOR_TEACHER, Reason.UNIT_MISSING)
    found = Explanation(cause=Cause.UNIT_MISSING, detail=f"none for {item.unit.symbol}", probability=1.0)
    return replace(_line(item, None, first, Outcome.WITHHELD, Reason.UNIT_MISSING), explanations=(found,))


def _types_units(case: Case) -> bool:
    """Tell whether the student typed more units than were left out, each column counted once."""
    typed, left_out = 0, 0
    for other in case.rubric.items.values():
        if other.is_words or other.is_read_off:
            continue
        units = [entry.unit.verdict for _, entry in case.unplaced(other) if entry.unit is not None]
        if units and other.unit.symbol:
            is_typed = any(verdict is not Verdict.MISSING for verdict in units)
            typed, left_out = typed + is_typed, left_out + (not is_typed)
    return typed > left_out


def _line(item: Item, row: int | None, entry: Entry | None, outcome: Outcome, reason: Reason) -> Line:
    facts = basic_facts(item, row, entry)
    if row is None and item.repeats:
        facts["quantity"] = plain_quantity(item)
    return Line(item=item.name, row=row, outcome=outcome, reason=reason, entry=entry, facts=facts)
