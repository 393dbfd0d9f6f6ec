"""Slips with a figure that stands for many: the mean for the median, n for n - 1, ranks from the other end."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.answers import column_value, nearly
from marking.checking.case import number_text
from marking.checking.causes.wrong import Description, Hypothesis, Values, WrongAnswers
from marking.findings import Cause
from rubrics.formulas import Call, Minus, Name, Node, Operation, Power, plain_text, walk

IN_WORDS = {
    "mean": "mean",
    "median": "median",
    "min": "smallest value",
    "max": "largest value",
    "stdev": "standard deviation",
    "range": "range, the largest value less the smallest",
}
OFTEN = {"mean": ("median",), "median": ("mean",), "min": ("max",), "max": ("min",), "stdev": ("range",)}
"""What is given in place of what, most often; any other of these words is rarer; common practice, no source."""
OTHER_WEIGHT, RARE_WEIGHT, HARDLY_EVER = 1.0, 0.4, 0.1
"""Judged."""
MOST_TURNED = 0.5
"""Ranks run from the other end where more than so many of those that can tell it do."""
_SAME = 1e-9
_CHANGED = " statistic"
"""Stands for one function of many values in a formula; no item can have this name."""


class _Other(Struct, frozen=True, kw_only=True):
    """What stands in the place of a function of many values."""

    cause: Cause
    value: Values
    """Shape (answers, 1); NaN where there is no such value."""
    detail: str
    facts: Callable[[int], Mapping[str, str]]
    weight: float = OTHER_WEIGHT


def statistic_slips(wrong: WrongAnswers) -> Iterator[Hypothesis]:
    """Yield what comes out with another figure for many values, worked out for all the answers."""
    formula = wrong.item.formula
    if formula is None:
        return
    items = wrong.board.rubric.items
    calls = [node for node in walk(formula.tree) if isinstance(node, Call)]
    found: list[tuple[Node, _Other]] = []
    for call in dict.fromkeys(calls):
        tree = _without(formula.tree, call)
        if all(isinstance(one, Name) and one.name in items for one in call.arguments):
            found += [(tree, other) for other in _others(wrong, call)]
    found += [(Name(_CHANGED), other) for way in wrong.item.also for other in _of_another_way(wrong, way.tree)]
    totals: dict[Cause, float] = {}
    for _, other in found:
        totals[other.cause] = totals.get(other.cause, 0.0) + other.weight
    named = [slip.formula.tree for slip in wrong.board.rubric.slips if slip.answer == wrong.item.name]
    told = [wrong.worked(tree) for tree in named]
    for tree, other in found:
        predicted = wrong.worked(tree, {_CHANGED: other.value})
        # What the practical names is told by its own name, and once.
        is_new = np.isfinite(predicted) & ~np.any([nearly(predicted, one, _SAME) for one in told], axis=0)
        yield Hypothesis(
            cause=other.cause,
            share=np.where(is_new, other.weight / totals[other.cause], 0.0),
            predicted=predicted,
            describe=_words(other),
            is_worked_out=tree == Name(_CHANGED) and formula.tree not in calls,
        )


def _of_another_way(wrong: WrongAnswers, tree: Node) -> Iterator[_Other]:
    """Yield a mean of a column gone wrong, where that is another way to what is taken off a line: R for V ÷ I."""
    items = wrong.board.rubric.items
    if not isinstance(tree, Call) or tree.function != "mean" or tree.is_along_row:
        return
    if all(isinstance(one, Name) and one.name in items for one in tree.arguments):
        yield from _miscounted_means(tree, _values(wrong, tree))


def _miscounted_means(call: Call, values: Values) -> Iterator[_Other]:
    """Yield a mean of a column divided by one too many or too few, and one of which only the last value was divided."""
    count = np.isfinite(values).sum(axis=1)
    yield _by_another_count(call, values, count, 1)
    yield _by_another_count(call, values, count, -1)
    yield _last_alone_divided(call, values, count)


def _words(other: _Other) -> Callable[[int], Description]:
    return lambda position: (other.detail, other.facts(position))


def _others(wrong: WrongAnswers, call: Call) -> Iterator[_Other]:
    """Yield what may stand in the place of *call*, whose values are single items or whole columns."""
    if call.function == "rank":
        yield from _other_ranks(wrong, call)
    elif call.function == "sum":
        yield from _without_a_row(call, _values(wrong, call))
    elif call.function in OFTEN:
        values = _values(wrong, call)
        yield from _other_functions(call, values)
        count = np.isfinite(values).sum(axis=1)
        if call.function == "stdev":
            yield from _other_spreads(call, column_value("stdev", [values]), count)
        elif call.function == "mean" and call.is_along_row:  # of a column, the sum is another formula
            yield _not_divided(call, column_value("mean", [values]), count)
            yield _by_another_count(call, values, count, 1)
            # Of as many values as there may be, these are formulas.
            some = np.where((count < values.shape[1])[:, None], values, np.nan)
            yield _by_another_count(call, some, count, -1)
            yield _last_alone_divided(call, some, count)
        elif call.function == "mean":
            yield from _miscounted_means(call, values)
            yield _without_zeros(call, values)
        elif call.function == "median":
            yield _not_in_order(call, values)


def _values(wrong: WrongAnswers, call: Call) -> Values:
    """Return the values that go into *call*, in the item's unit, shape (answers, values)."""
    names = [node.name for node in call.arguments if isinstance(node, Name)]
    if call.is_along_row:
        return np.concatenate([wrong.needed(name) for name in names], axis=1)
    return wrong.column(names[0])[wrong.students]


def _other_functions(call: Call, values: Values) -> Iterator[_Other]:
    of = f"({', '.join(plain_text(one) for one in call.arguments)})"
    for function, words in IN_WORDS.items():
        if function == call.function:
            continue
        facts = {"used_quantity": words, "right_quantity": IN_WORDS[call.function]}
        yield _Other(
            cause=Cause.WRONG_QUANTITY,
            value=_figure(function, values),
            detail=f"{function}{of} for {plain_text(call)}",
            facts=_same(facts),
            weight=OTHER_WEIGHT if function in OFTEN[call.function] else HARDLY_EVER,
        )


def _without_a_row(call: Call, values: Values) -> Iterator[_Other]:
    """Yield the sum of a column from which one row was left out, whichever."""
    total = column_value("sum", [values])
    for row in range(values.shape[1]):
        yield _Other(
            cause=Cause.MISSING_FACTOR,
            value=total - values[:, row : row + 1],
            detail=f"{plain_text(call)} without row {row + 1}",
            facts=_same({"missing": f"row {row + 1}"}),
            weight=OTHER_WEIGHT / values.shape[1],
        )


def _figure(function: str, values: Values) -> Values:
    """Return one of IN_WORDS of each row of *values*, shape (answers, 1)."""
    if function == "range":
        return np.asarray(column_value("max", [values]) - column_value("min", [values]))
    return column_value(function, [values])


def _same(facts: Mapping[str, str]) -> Callable[[int], Mapping[str, str]]:
    return lambda _: facts


def _not_divided(call: Call, mean: Values, count: NDArray[np.int64]) -> _Other:
    return _Other(
        cause=Cause.MISSING_FACTOR,
        value=mean * count[:, None],
        detail=f"{plain_text(call)} * n",
        facts=lambda position: {"missing": f"the division by {count[position]}"},
    )


def _by_another_count(call: Call, values: Values, count: NDArray[np.int64], more: int) -> _Other:
    """Return the sum divided by one *more* than there are values, or one less."""
    by = np.maximum(count + more, 1)
    value = column_value("sum", [values]) / by[:, None]
    is_sum = by == 1  # the sum itself is another formula
    return _Other(
        cause=Cause.MISSING_FACTOR,
        value=np.where(is_sum[:, None], np.nan, value),
        detail=f"{plain_text(call)}: n {'+' if more > 0 else '-'} 1 for n",
        facts=lambda position: {"rule": f"the sum of {count[position]} values divided by {by[position]}"},
        weight=RARE_WEIGHT,
    )


def _last_alone_divided(call: Call, values: Values, count: NDArray[np.int64]) -> _Other:
    """Return what a calculator makes of a sum without its bracket: only the last value is divided."""
    last = column_value("last", [values])
    before = column_value("sum", [values]) - last
    value = before + last / np.maximum(count, 1)[:, None]

    def told(position: int) -> Mapping[str, str]:
        first, second = (number_text(float(one[position, 0])) for one in (before, last))
        by = count[position]
        return {"used": f"{first} + {second} ÷ {by}", "right": f"({first} + {second}) ÷ {by}"}

    return _Other(
        cause=Cause.OPERATION_ORDER,
        value=np.where(count[:, None] > 1, value, np.nan),
        detail=f"{plain_text(call)}: only the last divided",
        facts=told,
    )


def _without_zeros(call: Call, values: Values) -> _Other:
    """Return the mean of those values that are not zero, where some are."""
    has_zeros = (values == 0.0).any(axis=1, keepdims=True)
    mean = column_value("mean", [np.where(values == 0.0, np.nan, values)])
    return _Other(
        cause=Cause.WRONG_QUANTITY,
        value=np.where(has_zeros, mean, np.nan),
        detail=f"{plain_text(call)}: zeros left out",
        facts=_same({"rule": "the zeros were left out of the mean"}),
    )


def _other_spreads(call: Call, spread: Values, count: NDArray[np.int64]) -> Iterator[_Other]:
    """Yield the standard deviation with n below, and the variance."""
    with np.errstate(all="ignore"):
        by_all = spread * np.sqrt((count - 1) / count)[:, None]
    yield _Other(
        cause=Cause.MISSING_FACTOR,
        value=by_all,
        detail=f"{plain_text(call)}: n for n - 1",
        facts=lambda position: {"rule": f"divided by {count[position]}, not by {count[position] - 1}"},
    )
    yield _Other(
        cause=Cause.MISSING_FACTOR,
        value=spread**2,
        detail=f"{plain_text(call)}**2",
        facts=_same({"missing": "the square root"}),
        weight=RARE_WEIGHT,
    )


def _not_in_order(call: Call, values: Values) -> _Other:
    """Return the value in the middle of the list as it stands, where nothing was put in order of size."""
    middle = np.full((values.shape[0], 1), np.nan)
    for answer, row in enumerate(values):
        given = row[np.isfinite(row)]
        if given.size:
            middle[answer, 0] = (given[(given.size - 1) // 2] + given[given.size // 2]) / 2.0
    return _Other(
        cause=Cause.WRONG_QUANTITY,
        value=middle,
        detail=f"{plain_text(call)}: not in order",
        facts=_same({"rule": "the middle of the list, not put in order of size first"}),
        weight=RARE_WEIGHT,
    )


def _other_ranks(wrong: WrongAnswers, call: Call) -> Iterator[_Other]:
    """Yield ranks that run from the other end, where most of a student's column do."""
    name = next(node.name for node in call.arguments if isinstance(node, Name))
    values = wrong.column(name)
    ranks, turned = column_value("rank", [values]), column_value("rank", [-values])
    given = wrong.board.cells[wrong.item.name].number
    if wrong.item.formula is None or wrong.item.formula.tree != call or given.shape != ranks.shape:
        return
    yield _unshared(wrong, call, values, given)
    with np.errstate(invalid="ignore"):
        tells = np.isfinite(given) & (ranks != turned)
        run_back = (tells & (given == turned)).sum(axis=1) > MOST_TURNED * tells.sum(axis=1)
    value = np.where(run_back[:, None], turned, np.nan)[wrong.students, wrong.rows][:, None]
    yield _Other(
        cause=Cause.REARRANGEMENT,
        value=value,
        detail=f"{plain_text(call)} from the largest",
        facts=_same({"rule": "1 given to the largest value, not to the smallest"}),
    )


def _unshared(wrong: WrongAnswers, call: Call, values: Values, given: Values) -> _Other:
    """Return the ranks given to equal values one after another, or the same one to all, from either end."""
    with np.errstate(invalid="ignore"):
        below = (values[:, None, :] < values[:, :, None]).sum(axis=2)
        above = (values[:, None, :] > values[:, :, None]).sum(axis=2)
        equals = (values[:, None, :] == values[:, :, None]).sum(axis=2)
        places = [(given > start) & (given <= start + equals) for start in (below, above)]
        is_one = (equals > 1) & (given == np.rint(given)) & (places[0] | places[1])
    return _Other(
        cause=Cause.MISSING_FACTOR,
        value=np.where(is_one, given, np.nan)[wrong.students, wrong.rows][:, None],
        detail=f"{plain_text(call)}: equals not shared",
        facts=_same({"rule": "equal values share the mean of their places"}),
    )


def _without(node: Node, call: Call) -> Node:
    """Return the formula with a name in the place of *call*."""
    if node == call:
        return Name(_CHANGED)
    match node:
        case Operation(sign, left, right):
            return Operation(sign, _without(left, call), _without(right, call))
        case Minus(term):
            return Minus(_without(term, call))
        case Power(base, exponent):
            return Power(_without(base, call), exponent)
        case Call(function, arguments):
            return Call(function, tuple(_without(one, call) for one in arguments))
        case _:
            return node
