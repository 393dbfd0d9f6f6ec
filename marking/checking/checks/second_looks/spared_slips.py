"""A wrong answer whose only slip is one that another criterion takes its mark for."""

from __future__ import annotations

from msgspec.structs import replace

from marking.checking.case import Case, Line, slips_printed
from marking.checking.causes import CERTAIN
from marking.findings import Basis, Outcome
from marking.reasons import Reason
from rubrics.model import Criterion, Rubric


def asks_to_spare(criterion: Criterion, _: Rubric) -> bool:
    """Tell whether the criterion spares any slip."""
    return bool(criterion.spares)


def spared_line(criterion: Criterion, case: Case, line: Line) -> Line:
    """Return *line*; awarded, where it is wrong by nothing but a slip that the criterion spares."""
    if not criterion.spares or line.reason is not Reason.WRONG_VALUE:
        return line
    slip = _named_slip(case, line, criterion.spares)
    if not slip:
        return line
    return replace(
        line,
        outcome=Outcome.AWARDED,
        reason=Reason.RIGHT_BUT_FOR_SLIP,
        basis=Basis.CARRIED_FORWARD,
        explanations=(),
        expected=None,
        facts={**line.facts, "slip": slip},
    )


def _named_slip(case: Case, line: Line, details: tuple[str, ...]) -> str:
    """Return which named slip of *details* a wrong answer is, by arithmetic alone and whatever the class did."""
    row = line.row or 1
    found = case.batch.certain.get((line.item, case.student, row - 1), ())
    share = sum(one.probability for one in found if one.detail in details)
    if found and found[0].detail in details and share >= CERTAIN:
        return found[0].detail
    # One whose formula prints the answer is that slip, whatever its general name.
    printed = {one.detail for one in slips_printed(case, case.item(line.item), row)}
    return next((name for name in details if name in printed), "") if printed <= set(details) else ""
