"""Whether a table has enough rows over a wide enough range."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from marking.checking.case import (
    PLACES_COMPARED,
    Case,
    Line,
    basic_facts,
    number_text,
    unshortened_text,
    with_unit,
    written,
)
from marking.checking.fits import mean_of
from marking.findings import Cause, Explanation, Outcome
from marking.reasons import Reason
from marking.write_up import State
from rubrics.model import Criterion, Item

NEARLY_WIDE = 0.99
"""Of the range that is asked for, what is wide enough: 0.302 to 0.800 m was set out as half a metre.
Common practice, no source."""


ODD_IS_KEPT = 0.9
"""How sure it is that one reading too many was averaged, where the others agree without it; judged."""


def check_rows(criterion: Criterion, case: Case) -> Iterator[Line]:
    """Yield one line for each column of the criterion."""
    for name in criterion.items:
        yield _column(criterion, case, case.item(name))


def _column(criterion: Criterion, case: Case, item: Item) -> Line:
    read = case.readings(item)
    values, different = _values(case, item, read)
    if case.batch.averaged[item.name]:
        different = values
    facts = basic_facts(item, None, None) | _facts(criterion, item, values)
    if len(different) < len(values) and len(different) < (criterion.rows or 1):
        del facts["rows"]  # there are enough of them, and too many alike
    reason = _fault(criterion, different)
    if reason is None:
        return Line(item=item.name, row=None, outcome=Outcome.AWARDED, reason=Reason.ROWS_RIGHT, facts=facts)
    # A cell that could not be read may be the row that is missing.
    unread = any(entry.state is State.UNREADABLE for one in read for _, entry in case.unplaced(one))
    outcome = Outcome.FOR_TEACHER if unread or not values else Outcome.WITHHELD
    odd = _odd_one(criterion, case, item) if reason is Reason.NOT_CONCORDANT else ()
    return Line(item=item.name, row=None, outcome=outcome, reason=reason, facts=facts, explanations=odd)


def _odd_one(criterion: Criterion, case: Case, item: Item) -> tuple[Explanation, ...]:
    """Return that one reading was kept without which the others, two or more, agree closely enough; () for none."""
    entries = {row: entry for row, entry in case.entries(item) if entry.state is State.NUMBER}
    values = {row: case.batch.in_own_unit[item.name][case.student][row - 1] for row in entries}
    odd = [
        row
        for row in values
        if len(rest := [one for other, one in values.items() if other != row]) > 1 and _fault(criterion, rest) is None
    ]
    # Of two that lie apart nobody knows which is the odd one, and nought is no reading at all.
    if len(odd) != 1 or values[odd[0]] == 0:
        return ()
    facts = {"used_value": written(item, entries[odd[0]])}
    return (
        Explanation(cause=Cause.ANOMALY_INCLUDED, detail=f"{item.name} {odd[0]}", probability=ODD_IS_KEPT, facts=facts),
    )


def _values(case: Case, item: Item, read: list[Item]) -> tuple[list[float], list[float]]:
    """Return the values of a column in the item's unit, and each once: the same reading thrice is one point."""
    batch = case.batch
    if read == [item]:
        values, same = batch.in_own_unit[item.name][case.student], batch.compared[item.name][case.student]
    else:
        means = item.unit.from_si(mean_of(np.array([batch.si[one.name][case.student] for one in read]).T)[:, 0])
        values, same = means.tolist(), np.round(means, PLACES_COMPARED).tolist()
    both = [(one, as_compared) for one, as_compared in zip(values, same, strict=True) if math.isfinite(one)]
    return [one for one, _ in both], list({as_compared for _, as_compared in both})


def _facts(criterion: Criterion, item: Item, values: Sequence[float]) -> dict[str, str]:
    facts = {"rows": str(len(values)), "rows_wanted": str(criterion.rows or 1)}
    if values:
        span = max(values) - min(values)
        facts["span"] = with_unit(number_text(span), item.unit.symbol)
        if criterion.within is None and span > 0:  # how far readings reach that should agree is no praise
            facts["lowest"] = _as_read(item, min(values))
            facts["highest"] = _as_read(item, max(values))
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
    return with_unit(unshortened_text(value), item.unit.symbol)


def _fault(criterion: Criterion, values: Sequence[float]) -> Reason | None:
    nearly = 1 - 1e-6  # what falls short by the noise of binary numbers is enough
    span = max(values) - min(values) if values else 0.0
    if criterion.rows is not None and len(values) < criterion.rows:
        return Reason.ROWS_TOO_FEW
    if criterion.span is not None and (not values or span < criterion.span * NEARLY_WIDE):
        return Reason.SPAN_TOO_SMALL
    if criterion.each_way is not None and not _has_both_sides(values, criterion.each_way):
        return Reason.SIDE_MISSING
    if criterion.within is not None and values and span > criterion.within * (2 - nearly):
        return Reason.NOT_CONCORDANT
    if criterion.near is not None:
        low, high, count = criterion.near
        if sum(low <= one <= high for one in values) < count:
            return Reason.TOO_FEW_NEAR
    return None


def _has_both_sides(values: Sequence[float], each_way: int) -> bool:
    return min(sum(one > 0 for one in values), sum(one < 0 for one in values)) >= each_way
