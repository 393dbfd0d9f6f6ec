"""How sure each student's result is, and whether it agrees with the accepted value within that."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from marking.checking.answers import Board
from marking.checking.fits import odd_points
from marking.checking.uncertainty.agreement import Agreement, compare, compare_at_school, fitting
from marking.checking.uncertainty.at_school import SchoolUncertainty, school_uncertainty
from marking.checking.uncertainty.chains import Chain
from marking.checking.uncertainty.jcgm import UncertainValue
from marking.checking.uncertainty.of_answers import AnswerUncertainty, answer_uncertainty
from marking.findings import Agrees, ResultUncertainty
from rubrics.model import AcceptedValue, Item, ResultInfo, Role

PERCENTAGES_FROM = 16
"""Age from which percentage uncertainties are asked for."""
_AGE = re.compile(r"\d+")


class ResultUncertainties(Struct, frozen=True, kw_only=True):
    """The uncertainties of one batch's results, in both forms."""

    item: Item
    info: ResultInfo
    standard: AnswerUncertainty
    school: SchoolUncertainty
    as_percentage: bool

    def value(self, student: int) -> float:
        """Return one student's result in the unit of the answer, odd points left out; NaN where there is none."""
        return self.item.unit.from_si(float(self.standard.value[student, 0]))

    def of(self, student: int, accepted: AcceptedValue | None, *, is_known: bool = False) -> ResultUncertainty | None:
        """Return how sure one student's result is; None where that cannot be told.

        *is_known* says that *accepted* is what was tested, however far off the result lies.
        """
        unit = self.item.unit
        value = self.value(student)
        plus_minus = unit.change_from_si(float(self.school.plus_minus[student, 0]))
        standard = unit.change_from_si(float(self.standard.standard[student, 0]))
        if not (math.isfinite(value) and math.isfinite(plus_minus) and math.isfinite(standard)):
            return None
        sure = UncertainValue(value=value, uncertainty=standard, freedom=float(self.standard.freedom[student, 0]))
        agrees, at_school = _agreement(sure, plus_minus, accepted, self.info, is_known=is_known)
        return ResultUncertainty(
            plus_minus=plus_minus,
            form=self.school.form,
            as_percentage=self.as_percentage and value != 0,
            standard=standard,
            freedom=sure.freedom,
            agrees=agrees,
            direction=at_school.direction if at_school and agrees is Agrees.NO else "",
            usual_cause=at_school.usual_cause if at_school and agrees is Agrees.NO else "",
            is_beyond=agrees is Agrees.NO and accepted is not None and _is_beyond(value, accepted, self.info),
        )


def result_uncertainties(board: Board) -> Mapping[str, ResultUncertainties]:
    """Return how sure the results of *board* are, by final answer; empty where the rubric names no result."""
    info = board.rubric.result
    names = () if info is None else (info.answer, *info.or_answers)
    found = {}
    for item in (board.rubric.items[name] for name in names):
        if info is None or item.formula is None:
            continue
        sound = without_odd(board, item)
        found[item.name] = ResultUncertainties(
            item=item,
            info=info,
            standard=answer_uncertainty(sound, item),
            school=school_uncertainty(sound, item),
            as_percentage=asks_percentages(board.rubric.level),
        )
    return found


def without_odd(board: Board, item: Item) -> Board:
    """Return *board* without the rows that a stated test calls odd on a line that *item* is taken off.

    They are ringed in the plot and left out of the line drawn there; the result is that of the same line.
    """
    cells = dict(board.cells)
    work = Chain(board, item)
    for y_name, x_name in work.axes():
        y, x = np.broadcast_arrays(work.column(y_name), work.column(x_name))
        odd = odd_points(x, y)
        table = board.rubric.items[y_name].table
        for one in board.rubric.columns:
            if one.table == table and one.role is Role.READING and one.name in cells and odd.any():
                kept = cells[one.name]
                cells[one.name] = replace(kept, number=np.where(odd, np.nan, kept.number))
    return replace(board, cells=cells)


def asks_percentages(level: str) -> bool:
    """Tell whether a rubric's level ('14 to 16', '16 to 18') is one where percentage uncertainties are taught."""
    age = _AGE.search(level)
    return age is not None and int(age[0]) >= PERCENTAGES_FROM


def _agreement(
    sure: UncertainValue, plus_minus: float, accepted: AcceptedValue | None, info: ResultInfo, *, is_known: bool
) -> tuple[Agrees, Agreement | None]:
    """Return whether both forms say that the result agrees; where only one does, it is at the edge."""
    if accepted is None or (not is_known and len(info.accepted) > 1 and fitting(info, sure.value) is None):
        # One of several materials, and nobody knows which: no word on how far off it is.
        return Agrees.UNKNOWN, None
    by_guide = compare(sure, accepted, info)
    at_school = compare_at_school(sure.value, plus_minus, accepted, info)
    if by_guide.agrees and at_school.agrees:
        return Agrees.YES, at_school
    if by_guide.agrees or at_school.agrees:
        return Agrees.EDGE, at_school
    return Agrees.NO, at_school


def _is_beyond(value: float, accepted: AcceptedValue, info: ResultInfo) -> bool:
    if info.stop is None or accepted.value == 0:
        return False
    away = value / accepted.value - 1.0
    return not info.stop[0] <= away <= info.stop[1]
