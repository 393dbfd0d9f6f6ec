"""All that looks at an answer, in one place: a kind of check, a range, a second look or a mark code is a line here.

A ``Looker`` is the one way to the lines of a criterion, ``judged_in_ranges`` the one way to what has no formula.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import partial

from marking.checking.answers import Board, Judged, judge_turn_ons
from marking.checking.case import Case, Line
from marking.checking.checks.choice import check_choice, check_nearest
from marking.checking.checks.decimal_places import check_places
from marking.checking.checks.estimates import estimate_line
from marking.checking.checks.figures import check_figures
from marking.checking.checks.ideas import check_ideas
from marking.checking.checks.method import check_method
from marking.checking.checks.read_off_points import check_line, check_scale
from marking.checking.checks.readings import check_reading
from marking.checking.checks.rows import check_rows
from marking.checking.checks.second_looks import (
    asks_for_gradient,
    asks_for_mean,
    asks_to_spare,
    gradient_line,
    mean_line,
    spared_line,
    with_faulty_apparatus,
    with_given_readings,
)
from marking.checking.checks.teacher import check_teacher
from marking.checking.checks.unit import check_unit
from marking.checking.checks.value import check_value
from marking.checking.curves import Shapes
from marking.checking.uncertainty import judge_uncertainties
from marking.findings import Outcome
from marking.reasons import Reason
from marking.write_up import MarkCode
from rubrics.model import CheckKind, Criterion, Rubric

Curves = Mapping[tuple[str, str], Shapes]
"""(x, y) columns to the shapes of all students' points."""

Check = Callable[[Criterion, Case], Iterator[Line]]
SecondLook = Callable[[Criterion, Case, Line], Line]
Asks = Callable[[Criterion, Rubric], bool]
"""Whether a second look may have anything to say of a criterion."""
CodeEffect = Callable[[Criterion, Sequence[Line]], list[Line]]
InRanges = Callable[[Board, Curves], Mapping[str, Judged]]

CHECKS: Mapping[CheckKind, Check] = {
    CheckKind.READING: check_reading,
    CheckKind.PLACES: check_places,
    CheckKind.ROWS: check_rows,
    CheckKind.VALUE: partial(check_value, in_range=estimate_line),
    CheckKind.UNIT: check_unit,
    CheckKind.FIGURES: check_figures,
    CheckKind.METHOD: check_method,
    CheckKind.CHOICE: check_choice,
    CheckKind.NEAREST: check_nearest,
    CheckKind.IDEAS: check_ideas,
    CheckKind.SCALE: check_scale,
    CheckKind.LINE: check_line,
    CheckKind.TEACHER: check_teacher,
}

RANGES: tuple[InRanges, ...] = (lambda board, _: judge_uncertainties(board), judge_turn_ons)
"""Answers that no formula gives exactly, each judged by a range of its own."""

SECOND_LOOKS: Mapping[CheckKind, tuple[tuple[Asks, SecondLook], ...]] = {
    CheckKind.VALUE: (
        (asks_for_mean, mean_line),
        (asks_for_gradient, gradient_line),
        (asks_to_spare, spared_line),
    )
}
"""What looks at each line of a check once more, in this order."""

RESTS_ON: Mapping[CheckKind, Callable[[Criterion, Rubric], tuple[str, ...]]] = {
    CheckKind.IDEAS: lambda criterion, _: criterion.items,
    CheckKind.SCALE: lambda _, rubric: () if rubric.graph is None else rubric.graph.axes,
    CheckKind.LINE: lambda _, rubric: () if rubric.graph is None else rubric.graph.read_off,
    CheckKind.TEACHER: lambda criterion, rubric: (
        *criterion.items,
        *(() if rubric.graph is None else rubric.graph.read_off),
    ),
}
"""Items of which a check looks at something, where all students who have no cell for any of them get the same lines."""

CODE_EFFECTS: Mapping[MarkCode, CodeEffect] = {
    MarkCode.GIVEN: with_given_readings,
    MarkCode.FAULT: with_faulty_apparatus,
}
"""What a student's mark codes leave to the teacher, in this order."""


def judged_in_ranges(board: Board, curves: Curves) -> dict[str, Judged]:
    """Return the answers of a class that have a range and no formula, judged."""
    return {name: judged for judge in RANGES for name, judged in judge(board, curves).items()}


class Looker:
    """What looks at one criterion of a batch; what is the same for its students is made once."""

    __slots__ = ("_check", "_looks", "_rests_on", "_untouched", "criterion")

    def __init__(self, criterion: Criterion, rubric: Rubric) -> None:
        """Find out what there is to look at."""
        kind = criterion.check
        self.criterion, self._check = criterion, CHECKS[kind]
        self._looks = [look for asks, look in SECOND_LOOKS.get(kind, ()) if asks(criterion, rubric)]
        self._rests_on = RESTS_ON[kind](criterion, rubric) if kind in RESTS_ON else None
        self._untouched: list[Line] | None = None

    def lines(self, case: Case) -> list[Line]:
        """Return the lines of the criterion for one student; never none."""
        lines = self._lines(case) if self._rests_on is None or self._is_touched(case) else self._of_untouched(case)
        if codes := case.write_up.student.codes:
            for code, effect in CODE_EFFECTS.items():
                lines = effect(self.criterion, lines) if code in codes else lines
        return lines

    def _is_touched(self, case: Case) -> bool:
        singles, columns = case.write_up.singles, case.write_up.columns
        return any(name in singles or name in columns for name in self._rests_on or ())

    def _of_untouched(self, case: Case) -> list[Line]:
        if self._untouched is None:
            self._untouched = self._lines(case)
        return self._untouched

    def _lines(self, case: Case) -> list[Line]:
        criterion = self.criterion
        lines = list(self._check(criterion, case))
        for look in self._looks:
            lines = [look(criterion, case, line) for line in lines]
        if lines:
            return lines
        # Nothing of it was handed in, not even a row to put an answer in: a teacher looks.
        name = criterion.items[0] if criterion.items else ""
        facts = {"point": criterion.point}
        return [Line(item=name, row=None, outcome=Outcome.FOR_TEACHER, reason=Reason.NOT_RECALCULABLE, facts=facts)]
