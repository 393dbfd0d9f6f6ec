"""A step on the way that a right answer proves; behind a wrong one a certain slip may tell, else the working."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from msgspec.structs import replace

from marking.checking.answers import Judgement
from marking.checking.case import Case, Line, basic_facts, number_text, slips_printed
from marking.checking.causes import denies
from marking.findings import Basis, Cause, Explanation, Outcome
from marking.reasons import Reason
from marking.write_up import Entry, State
from rubrics.formulas import Formula, terms
from rubrics.model import Blank, Criterion, Item

_STANDS = {
    Judgement.RIGHT: Basis.OWN_READINGS,
    Judgement.RIGHT_AS_ASKED: Basis.OWN_READINGS,
    Judgement.FOLLOWS: Basis.CARRIED_FORWARD,
}
_WORKED_OUT = (Judgement.WRONG, Judgement.NEAR, Judgement.NEAR_LINE, Judgement.ROUGH)

_DECIDED = {
    None: (Outcome.FOR_TEACHER, Reason.METHOD_UNCLEAR),
    True: (Outcome.WITHHELD, Reason.METHOD_NOT_DONE),
    False: (Outcome.AWARDED, Reason.METHOD_BEHIND_SLIP),
}
"""Whether a slip that arithmetic makes certain denies the step, and what follows."""


def check_method(criterion: Criterion, case: Case) -> Iterator[Line]:
    """Yield one line for each answer whose value would prove the step; of a column half of its rows have to."""
    for name in criterion.items:
        yield _method_line(criterion, case, case.item(name))


def _proved_line(case: Case, item: Item, row: int | None, entry: Entry | None) -> Line | None:
    """Return the line of a step that was not written down and that a later answer proves; None where none does.

    Args:
        case: The student.
        item: The answer that is blank.
        row: Its row; None for a single item, and for a whole column that is blank.
        entry: What stands there; an entry that says '?' is no step that was left unwritten.
    """
    if entry is not None and entry.is_declined:
        return None
    rows = case.rows_expected(item) if row is None else [row]
    proofs = [proof for one in rows if (proof := _proof(case, item, one)) is not None]
    if not proofs or len(proofs) * 2 <= len(rows):
        return None
    expected = case.expected(item, rows[0], None, followed=False)
    facts = case.full_facts(item, row, entry, expected, proof=proofs[0].symbol)
    return Line(
        item=item.name,
        row=row,
        outcome=Outcome.AWARDED,
        reason=Reason.METHOD_SHOWN,
        entry=entry,
        basis=Basis.OWN_READINGS,
        facts=facts,
    )


def blank_line(case: Case, item: Item, row: int | None, entry: Entry | None) -> Line:
    """Return the line of an answer that was not given: proved by a later one, or lost, or for the teacher.

    A column of which no row was written waits where a later answer is right that rests on it.
    """
    proved = _proved_line(case, item, row, entry)
    if proved is not None:
        return proved
    line = case.blank_line(item, row, entry)
    is_empty = item.table is not None and not _is_begun(case, item)
    return replace(line, outcome=Outcome.FOR_TEACHER) if is_empty and _is_led_to(case, item) else line


def is_passed_by(case: Case, item: Item, others: Sequence[Item]) -> bool:
    """Tell whether nothing of a column was written, and one of *others* stands by a way that does without it."""
    if item.table is None or item.blank is not Blank.TEACHER:
        return False
    if _is_begun(case, item):
        return False
    return any(
        case.judgement(other, 1) in _STANDS
        for other in others
        if other.table is None and other.formula is not None
        if len({item.name in way.names for way in (other.formula, *other.also)}) > 1
    )


def _is_begun(case: Case, item: Item) -> bool:
    """Tell whether anything was written of an answer, be it that it was not known."""
    return any(entry.state is not State.BLANK or entry.is_declined for _, entry in case.unplaced(item))


def _is_led_to(case: Case, item: Item) -> bool:
    """Tell whether a later answer that is worked out from the whole of a column stands."""
    return any(
        case.judgement(later.item, 1) in _STANDS
        for later in case.judged.values()
        if later.item.table is None and later.item.formula is not None and item.name in later.item.formula.names
    )


def _proof(case: Case, item: Item, row: int) -> Item | None:
    """Return the later answer that proves *item* in *row*: of the same row, or of the whole class of rows.

    What is worked out from a column proves a blank in it only where most of the column stands. A single step between
    the two that was not written down either is passed over.
    """
    unwritten: list[Item] = []
    for later in case.judged.values():
        if later.item.formula is None or item.name not in later.item.formula.names:
            continue
        if item.table is not None and later.item.table != item.table and not _mostly_there(case, item):
            continue
        same = item.table is not None and later.item.table == item.table
        at = [row] if same else [found for found, _ in case.unplaced(later.item)]
        if any(case.judgement(later.item, one) in _STANDS for one in at):
            return later.item
        if item.table is None and later.item.table is None and not _is_written(case, later.item):
            unwritten.append(later.item)
    proofs = (_proof(case, one, 1) for one in unwritten)
    return next((proof for proof in proofs if proof is not None), None)


def _is_written(case: Case, item: Item) -> bool:
    entry = case.entry(item, 1)
    return entry is not None and (entry.state is not State.BLANK or entry.is_declined)


def _mostly_there(case: Case, item: Item) -> bool:
    rows = case.rows_expected(item)
    there = [row for row, entry in case.unplaced(item) if entry.state is not State.BLANK]
    return len(there) * 2 > len(rows)


def _method_line(criterion: Criterion, case: Case, item: Item) -> Line:
    given = [(row, entry) for row, entry in case.answer_entries(item) if entry is not None]
    worth = [(case.judgement(item, row), row, entry) for row, entry in given]
    worth = [one for one in worth if one[0] not in (Judgement.NOT_GIVEN, Judgement.NO_VALUE)]
    if not worth:
        blank = given[0][1] if given else None
        return blank_line(case, item, None, blank)
    standing = [one for one in worth if one[0] in _STANDS]
    # What proves one row does not prove another method in most: V ÷ I in the first, then steps of V over steps of I.
    shown = standing if len(standing) * 2 >= len(worth) else [one for one in worth if one[0] not in _STANDS]
    judgement, row, entry = (shown or worth)[0]
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
    if _asks_for_sign(criterion, item) and judgement in _WORKED_OUT:
        return _sign_line(criterion, case, (item, row), entry)
    told = case.batch.certain.get((item.name, case.student, row - 1), ())
    denied = denies(told, criterion.lost_by)
    if denied is None:
        causes = {slip.cause for slip in slips_printed(case, item, row)}
        denied = True if causes and causes <= set(criterion.lost_by) else None
    outcome, reason = _DECIDED[denied]
    return Line(
        item=item.name,
        row=None,
        outcome=outcome,
        reason=reason,
        entry=entry,
        facts=case.full_facts(item, at, entry, expected, point=criterion.point),
    )


def _asks_for_sign(criterion: Criterion, item: Item) -> bool:
    """Tell whether the step is a sign alone: no other slip loses it, and nothing is added that could have one."""
    return criterion.lost_by == (Cause.SIGN,) and item.formula is not None and _is_product(item.formula)


def _is_product(formula: Formula) -> bool:
    return len(list(terms(formula.tree))) == 1


def _sign_line(criterion: Criterion, case: Case, at: tuple[Item, int], entry: Entry) -> Line:
    """Return the line of a sign, which shows in any number, however far off it is."""
    item, row = at
    judged = case.judged[item.name]
    place = (case.student, row - 1)
    wanted = judged.followed[place] if np.isfinite(judged.followed[place]) else judged.own[place]
    number = float(case.board.cells[item.name].number[place])
    is_there = number * float(wanted) > 0
    facts = basic_facts(item, case.table_row(item, row), entry)
    shown = Line(
        item=item.name,
        row=None,
        outcome=Outcome.AWARDED,
        reason=Reason.METHOD_SHOWN,
        entry=entry,
        basis=Basis.OWN_READINGS,
        facts=facts,
    )
    if is_there:
        return shown
    told = {"used": number_text(number), "right": number_text(-number)}
    slip = Explanation(cause=Cause.SIGN, detail=f"{item.name}: sign", probability=1.0, facts=told)
    return replace(
        shown,
        outcome=Outcome.WITHHELD,
        reason=Reason.METHOD_NOT_DONE,
        basis=Basis.NONE,
        facts={**facts, "point": criterion.point},
        explanations=(slip,) if number else (),
    )
