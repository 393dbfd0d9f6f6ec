"""Answers that are counted and never measured: ranks, how many there are, and what is made of counts alone."""

from __future__ import annotations

from rubrics.formulas import Call, Minus, Name, Node, Number, Operation, Power
from rubrics.model import Item, Rubric

COUNTING = ("rank", "count")


def is_counted(rubric: Rubric, item: Item) -> bool:
    """Tell whether every way to an answer counts, adds, subtracts and multiplies what was counted, and nothing else."""
    return item.formula is not None and all(_counts(rubric, way.tree) for way in (item.formula, *item.also))


def _counts(rubric: Rubric, node: Node) -> bool:
    match node:
        case Number(value, _):
            return value.is_integer()
        case Name(name):
            return name in rubric.items and (
                rubric.items[name].is_whole_count or is_counted(rubric, rubric.items[name])
            )
        case Minus(term):
            return _counts(rubric, term)
        case Operation(sign, left, right) if sign in "+-*":
            return _counts(rubric, left) and _counts(rubric, right)
        case Power(base, exponent):
            return exponent > 0 and _counts(rubric, base)
        case Call(function, _) if function in COUNTING:
            return True
        case Call("sum" | "abs", arguments):
            return all(_counts(rubric, one) for one in arguments)
        case _:
            return False
