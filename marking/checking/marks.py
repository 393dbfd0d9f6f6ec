"""From the lines of a criterion to its marks, and from lines to findings."""

from __future__ import annotations

from msgspec.structs import replace

from marking.cells import NOWHERE, Entry, State
from marking.checking.case import Line
from marking.findings import CriterionMark, Finding, Outcome
from marking.write_up import WriteUp
from rubrics.model import Criterion


def count_marks(criterion: Criterion, lines: list[Line]) -> CriterionMark:
    """Return what a criterion comes to.

    It stands undecided only while a line that waits for the teacher could still change it.
    """
    outcomes = _counted(criterion, lines)
    stands, waits = outcomes.count(Outcome.AWARDED), outcomes.count(Outcome.FOR_TEACHER)
    if not lines:
        return CriterionMark(criterion=criterion, outcome=Outcome.FOR_TEACHER, marks=None)
    least = _marks(criterion, stands, len(outcomes))
    most = _marks(criterion, stands + waits, len(outcomes)) if waits else least
    if least != most or (waits and not stands and least == 0 and waits == len(outcomes)):
        return CriterionMark(criterion=criterion, outcome=Outcome.FOR_TEACHER, marks=None)
    outcome = Outcome.AWARDED if least == criterion.marks else Outcome.WITHHELD
    return CriterionMark(criterion=criterion, outcome=outcome, marks=least)


def marks_of_one_line(criterion: Criterion) -> dict[Outcome, CriterionMark]:
    """Return what ``count_marks`` does of a single line, by its outcome: most criteria have no more for any student.

    Empty where the marks are counted by the line, or there are none.
    """
    if criterion.award or not criterion.marks:
        return {}
    marks = {Outcome.AWARDED: criterion.marks, Outcome.WITHHELD: 0, Outcome.FOR_TEACHER: None}
    return {outcome: CriterionMark(criterion=criterion, outcome=outcome, marks=own) for outcome, own in marks.items()}


def _counted(criterion: Criterion, lines: list[Line]) -> list[Outcome]:
    """Return what counts one for the marks: of several items each, whatever its rows are, else each line."""
    if not criterion.award or len(criterion.items) == 1:
        return [line.outcome for line in lines]
    outcomes: dict[str, list[Outcome]] = {}
    for line in lines:
        outcomes.setdefault(line.item or "", []).append(line.outcome)
    return [
        next((one for one in (Outcome.WITHHELD, Outcome.FOR_TEACHER) if one in rows), Outcome.AWARDED)
        for rows in outcomes.values()
    ]


def _marks(criterion: Criterion, stands: int, of: int) -> int:
    if not criterion.award:
        return criterion.marks if stands == of else 0
    return next((marks for lines, marks in criterion.award if stands >= lines), 0)


def as_findings(write_up: WriteUp, practical: str, mark: CriterionMark, lines: list[Line]) -> list[Finding]:
    """Return the lines as findings; the criterion's marks stand on the one line that carries its outcome."""
    carrier = 0
    if len(lines) > 1:
        outcomes = [line.outcome for line in lines]
        carrier = outcomes.index(mark.outcome) if mark.outcome in outcomes else 0
    findings = []
    student, criterion, code = write_up.student.code, mark.criterion, mark.criterion.code
    for position, line in enumerate(lines):
        marks, out_of = (None if line.outcome is Outcome.FOR_TEACHER else 0), 0
        if position == carrier:
            marks, out_of = mark.marks, criterion.marks
        entry = line.entry or _NOTHING
        finding = Finding(  # fifteen fields: a call that names one more takes four times as long
            student=student,
            practical=practical,
            item=line.item,
            row=line.row,
            criterion=code,
            outcome=line.outcome,
            marks=marks,
            out_of=out_of,
            reason=line.reason,
            entry=entry.raw,
            unit=entry.unit_raw,
            expected=line.expected,
            basis=line.basis,
            source=None if entry is _NOTHING else entry.place,
            facts=line.facts,
        )
        findings.append(replace(finding, explanations=line.explanations) if line.explanations else finding)
    return findings


_NOTHING = Entry(raw="", unit_raw="", state=State.BLANK, place=NOWHERE)
"""Where a line is about no cell."""
