"""Whether an answer has a unit of its quantity."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from marking.checking.answers import Judgement
from marking.checking.case import (
    RIGHT_IN_ANOTHER_UNIT,
    Case,
    Line,
    basic_facts,
    belongs_to_slip,
    is_inverted_gradient,
)
from marking.findings import Cause, Explanation, Outcome
from marking.reasons import Reason
from marking.write_up import Entry, State
from rubrics.model import Criterion, Item
from rubrics.units import Verdict, read_unit

_FAULTS = {
    Verdict.WRONG: (Outcome.WITHHELD, Reason.UNIT_OTHER_QUANTITY, Cause.UNIT_WRONG),
    Verdict.MISSING: (Outcome.WITHHELD, Reason.UNIT_MISSING, Cause.UNIT_MISSING),
    Verdict.AMBIGUOUS: (Outcome.FOR_TEACHER, Reason.UNIT_UNCLEAR, Cause.NONE),
}
_UNKNOWN = (Outcome.FOR_TEACHER, Reason.UNIT_UNCLEAR, Cause.NONE)
"""What cannot be read as a unit may be one all the same."""
SAME_DIGITS = 0.02
"""How near a power of ten two numbers have to be to have the same digits, in the logarithm: two figures."""
_NOT_RIGHT = (Judgement.WRONG, Judgement.NEAR, Judgement.NEAR_LINE, Judgement.UNLABELLED)
_WORST_FIRST = (Verdict.WRONG, Verdict.AMBIGUOUS, Verdict.ACCEPT, Verdict.NOTE, Verdict.MISSING)
"""In a column a unit written once serves for all rows, so a missing one counts only where all are missing."""


def check_unit(criterion: Criterion, case: Case) -> Iterator[Line]:
    """Yield one line for each answer of the criterion; a column has one unit."""
    for name in criterion.items:
        item = case.item(name)
        given = [(row, entry) for row, entry in case.unplaced(item) if entry.state is not State.BLANK]
        if not given:
            # An answer that is missing loses its own mark; the units of the others are there to be judged.
            if not case.gives_any(criterion) and (item.table is None or case.rows_expected(item)):
                yield case.blank_line(item, None, None)
            continue
        yield _unit_line(case, item, given)


def _unit_line(case: Case, item: Item, given: list[tuple[int, Entry]]) -> Line:
    """Return the line for what was *given*, whose entries have no place yet."""
    verdicts = [_verdict(item, entry) if entry.unit is None else entry.unit.verdict for _, entry in given]
    worst = verdicts[0] if len(verdicts) == 1 else next(one for one in _WORST_FIRST if one in verdicts)
    row, entry = given[verdicts.index(worst)]
    placed = case.entry(item, row)
    if worst is Verdict.MISSING and any(one.state is State.UNREADABLE for _, one in given):
        # What could not be read may well hold the unit.
        return _unreadable_line(case, item, given)
    at = case.table_row(item, row) if worst in (Verdict.WRONG, Verdict.AMBIGUOUS) else None
    facts = basic_facts(item, at, entry)
    if entry.unit is not None and entry.unit.note:
        facts["note"] = entry.unit.note
    if worst not in _FAULTS:
        beside = _beside_right_number(case, item, given)
        if beside is not None and _is_behind_another_label(case, item, beside[0]):
            # It may follow from that label, just as it stands: 560 g/cm³ from 20 mm³.
            outcome, reason = Outcome.FOR_TEACHER, Reason.RIGHT_UNDER_OTHER_UNIT
            return Line(item=item.name, row=at, outcome=outcome, reason=reason, entry=placed, facts=facts)
        if beside is not None:
            return _not_of_number(case, item, *beside)
        reason = Reason.UNIT_RIGHT if worst is Verdict.ACCEPT else Reason.UNIT_NOTE
        return Line(item=item.name, row=at, outcome=Outcome.AWARDED, reason=reason, entry=placed, facts=facts)
    if worst is Verdict.WRONG and item.name in case.judged and case.judgement(item, row) is Judgement.OTHER_LABEL:
        # 73 700 mm² is right in mm³: the unit asked for, cm³, would make it wrong.
        return _not_of_number(case, item, row, entry)
    outcome, reason, cause = _UNKNOWN if worst is Verdict.WRONG and _is_unknown(item, entry) else _FAULTS[worst]
    if worst is Verdict.WRONG and _is_wrong(case, item, row):
        # The unit of the wrong formula belongs to the same slip, and one slip costs one mark.
        if is_inverted_gradient(case, item, row, entry):
            outcome, reason, cause = Outcome.AWARDED, Reason.UNIT_OF_INVERTED, Cause.NONE
        elif belongs_to_slip(case, item, row, entry):
            outcome, reason, cause = Outcome.FOR_TEACHER, Reason.UNIT_OF_SLIP, Cause.NONE
    wrote = entry.unit_raw or (entry.unit.typed if entry.unit else "")
    found = (
        ()
        if cause is Cause.NONE
        else (Explanation(cause=cause, detail=f"{wrote or 'none'} for {item.unit.symbol}", probability=1.0),)
    )
    return Line(item=item.name, row=at, outcome=outcome, reason=reason, entry=placed, explanations=found, facts=facts)


def _is_unknown(item: Item, entry: Entry) -> bool:
    reading = entry.unit or read_unit(entry.unit_raw, item.unit, item.recorded_in)
    return reading.unit is None


def _verdict(item: Item, entry: Entry) -> Verdict:
    # A number that cannot be read may still have a unit beside it.
    return read_unit(entry.unit_raw, item.unit, item.recorded_in).verdict


def _unreadable_line(case: Case, item: Item, given: list[tuple[int, Entry]]) -> Line:
    row, entry = next((row, entry) for row, entry in given if entry.state is State.UNREADABLE)
    at = case.table_row(item, row)
    facts = basic_facts(item, at, entry)
    placed = case.entry(item, row)
    return Line(
        item=item.name, row=at, outcome=Outcome.FOR_TEACHER, reason=Reason.UNREADABLE, entry=placed, facts=facts
    )


def _is_wrong(case: Case, item: Item, row: int) -> bool:
    return item.name in case.judged and case.judgement(item, row) in _NOT_RIGHT


def _beside_right_number(case: Case, item: Item, given: list[tuple[int, Entry]]) -> tuple[int, Entry] | None:
    """Return the first answer whose number is right in another unit than the one beside it."""
    if item.name not in case.judged:
        return None
    worth = case.batch.judgements[item.name][case.student]
    if not any(one in worth for one in RIGHT_IN_ANOTHER_UNIT):
        return None  # as of nearly all
    return next((one for one in given if worth[one[0] - 1] in RIGHT_IN_ANOTHER_UNIT), None)


def _is_behind_another_label(case: Case, item: Item, row: int) -> bool:
    """Tell whether an earlier answer that goes into this one is right but for its unit or its point.

    0.019 cm³ for 19 cm³ leads to 6830 g/cm³ as surely as to 6830 kg/m³ where the volume was right.
    """
    items = case.board.rubric.items
    names = item.formula.names if item.formula is not None else ()
    earlier = [items[name] for name in names if name in items and items[name].formula is not None]
    at = {one.name: row if one.table is not None else 1 for one in earlier if one.name in case.judged}
    return any(
        case.judgement(one, at[one.name]) in RIGHT_IN_ANOTHER_UNIT or _is_tens_off(case, one, at[one.name])
        for one in earlier
        if one.name in at
    )


def _is_tens_off(case: Case, item: Item, row: int) -> bool:
    """Tell whether a wrong answer has the digits of the right one, its point elsewhere."""
    if case.judgement(item, row) is not Judgement.WRONG:
        return False
    cell = (case.student, row - 1)
    written, right = case.board.cells[item.name].si[cell], case.judged[item.name].own[cell]
    with np.errstate(all="ignore"):
        power = np.log10(written / right)
    return bool(np.isfinite(power) and round(float(power)) and abs(power - round(float(power))) < SAME_DIGITS)


def _unit_of_number(case: Case, item: Item, row: int, entry: Entry) -> str:
    """Return the unit in which the number is right: the one asked for, or the usual one that fits best."""
    if case.judgement(item, row) is Judgement.RIGHT_AS_ASKED or entry.value is None:
        return item.unit.symbol
    judged, at = case.judged[item.name], (case.student, row - 1)
    values = [float(one[at]) for one in (judged.own, judged.followed) if np.isfinite(one[at])]
    away = {
        unit.symbol: min(abs(unit.from_si(value) - entry.value) for value in values)
        for unit in item.recorded_in
        if values
    }
    return min(away, key=lambda symbol: away[symbol], default=item.unit.symbol)


def _not_of_number(case: Case, item: Item, row: int, entry: Entry) -> Line:
    """Return the line for a unit beside a number that is right in the unit asked for, or in another usual one."""
    at = case.table_row(item, row)
    symbol = _unit_of_number(case, item, row, entry)
    detail = f"{entry.unit_raw or (entry.unit.typed if entry.unit else '')} for {symbol}"
    return Line(
        item=item.name,
        row=at,
        outcome=Outcome.WITHHELD,
        reason=Reason.UNIT_NOT_OF_NUMBER,
        entry=case.entry(item, row),
        explanations=(Explanation(cause=Cause.UNIT_WRONG, detail=detail, probability=1.0),),
        facts={**basic_facts(item, at, entry), "unit": symbol},
    )
