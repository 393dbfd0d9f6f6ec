"""Whether a table has enough rows over a wide enough range."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from marking.checking.case import Case, Line, basic_facts, number_text, with_unit
from marking.checking.fits import mean_of
from marking.findings import Outcome
from marking.reasons import Reason
from marking.write_up import State
from rubrics.formulas import Call, Name, walk
from rubrics.model import Criterion, Item, Rubric

NEARLY_WIDE = 0.99
"""Of the range that is asked for, what is wide enough: 0.302 to 0.800 m was set out as half a metre.
Common practice, no source."""


_OF_REPEATS = frozenset({"mean", "concordant", "count"})
_SAME_PLACES = 9
"""Decimal places to which two values are compared: only the noise of binary numbers is below."""

_USUAL_FIGURES, _MOST_FIGURES = 3, 6
"""Of a reading that is quoted; more are those of a mean."""

Values = np.ndarray[tuple[int], np.dtype[np.float64]]


def check_rows(criterion: Criterion, case: Case) -> Iterator[Line]:
    """Yield one line for each column of the criterion."""
    for name in criterion.items:
        yield _column(criterion, case, case.item(name))


def _column(criterion: Criterion, case: Case, item: Item) -> Line:
    read = np.stack([case.board.cells[one.name].si[case.student] for one in case.readings(item)])
    values = item.unit.from_si(mean_of(read.T)[:, 0])
    values = values[np.isfinite(values)]
    different = values if _is_averaged(case.rubric, item) else _different(values)
    facts = basic_facts(item, None, None) | _facts(criterion, item, values)
    if different.size < values.size and different.size < (criterion.rows or 1):
        del facts["rows"]  # there are enough of them, and too many alike
    entries = [entry for one in case.readings(item) for _, entry in case.entries(one)]
    unread = any(entry.state is State.UNREADABLE for entry in entries)
    reason = _fault(criterion, different)
    if reason is None:
        return Line(item=item.name, row=None, outcome=Outcome.AWARDED, reason=Reason.ROWS_RIGHT, facts=facts)
    # A cell that could not be read may be the row that is missing.
    outcome = Outcome.FOR_TEACHER if unread or not values.size else Outcome.WITHHELD
    return Line(item=item.name, row=None, outcome=outcome, reason=reason, facts=facts)


def _is_averaged(rubric: Rubric, item: Item) -> bool:
    """Tell whether the rows of a column are repeats of one quantity: equal ones count as often as they stand."""
    return any(
        isinstance(node, Call) and node.function in _OF_REPEATS and Name(item.name) in node.arguments
        for answer in rubric.items.values()
        if answer.formula is not None
        for node in walk(answer.formula.tree)
    )


def _different(values: Values) -> Values:
    """Return each value once; the same reading three times is one point of a pattern."""
    return np.unique(np.round(values, _SAME_PLACES))


def _facts(criterion: Criterion, item: Item, values: Values) -> dict[str, str]:
    facts = {"rows": str(values.size), "rows_wanted": str(criterion.rows or 1)}
    if values.size:
        facts["span"] = with_unit(number_text(float(np.ptp(values))), item.unit.symbol)
        if criterion.within is None and np.ptp(values) > 0:  # how far readings reach that should agree is no praise
            facts["lowest"] = _as_read(item, float(values.min()))
            facts["highest"] = _as_read(item, float(values.max()))
    if criterion.span is not None:
        facts["span_wanted"] = with_unit(number_text(criterion.span, 1), item.unit.symbol)
    if criterion.within is not None:
        facts["within"] = with_unit(number_text(criterion.within, 2), item.unit.symbol)
    if criterion.each_way is not None:
        facts["each_way"] = str(criterion.each_way)
    if criterion.near is not None:
        low, high, count = criterion.near
        facts["near"] = f"{number_text(low, 2)} to {with_unit(number_text(high, 2), item.unit.symbol)}"
        facts["near_wanted"] = str(count)
    return facts


def _as_read(item: Item, value: float) -> str:
    """Return a reading to all its figures, up to six: 25.65 is not 25.7. A mean that has more is shown to the usual."""
    if not item.unit.symbol and value.is_integer():
        return str(round(value))  # counted, not measured
    enough = (n for n in range(_USUAL_FIGURES, _MOST_FIGURES + 1) if math.isclose(float(f"{value:.{n}g}"), value))
    return with_unit(number_text(value, next(enough, _USUAL_FIGURES)), item.unit.symbol)


def _fault(criterion: Criterion, values: Values) -> Reason | None:
    nearly = 1 - 1e-6  # what falls short by the noise of binary numbers is enough
    if criterion.rows is not None and values.size < criterion.rows:
        return Reason.ROWS_TOO_FEW
    if criterion.span is not None and (not values.size or np.ptp(values) < criterion.span * NEARLY_WIDE):
        return Reason.SPAN_TOO_SMALL
    if criterion.each_way is not None and min((values > 0).sum(), (values < 0).sum()) < criterion.each_way:
        return Reason.SIDE_MISSING
    if criterion.within is not None and values.size and np.ptp(values) > criterion.within * (2 - nearly):
        return Reason.NOT_CONCORDANT
    if criterion.near is not None:
        low, high, count = criterion.near
        if ((values >= low) & (values <= high)).sum() < count:
            return Reason.TOO_FEW_NEAR
    return None
