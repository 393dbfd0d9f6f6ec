"""Slips of unit of those who took another value of a constant: g as 10 N/kg, and grams for kilograms.

A rubric lists which values stand in use. The answer is judged by all of them, and slips are worked out with the first.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from msgspec.structs import replace

from marking.checking.answers import nearly
from marking.checking.causes.wrong import Hypothesis, Values, WrongAnswers
from marking.findings import Cause
from rubrics.formulas import Name, factors

OTHER_VALUE_SHARE = 0.15
"""How often another value of a constant is taken than the first, all of them together; judged."""
LEAST_APART = 2e-3
"""Nearer values than this, relative, print the same three figures."""


def with_other_constants(wrong: WrongAnswers, slips: Sequence[Hypothesis]) -> Iterator[Hypothesis]:
    """Yield the slips of unit among *slips* once more for every other value of a constant that is a factor.

    A point is not moved for them: several values and several places print too many answers of few figures.
    """
    if wrong.keeping is not None:
        return
    ratios = list(_ratios(wrong))
    for ratio in ratios:
        for slip in slips:
            if slip.cause is Cause.UNIT_CONVERSION:
                share = slip.share * (OTHER_VALUE_SHARE / len(ratios))
                yield replace(slip, share=share, predicted=slip.predicted * ratio)


def _ratios(wrong: WrongAnswers) -> Iterator[Values]:
    """Yield what the right answer is multiplied by with another value of one constant, shape (answers,)."""
    formula, constants = wrong.item.formula, wrong.board.rubric.constants
    names = [part.name for part, _ in factors(formula.tree) if isinstance(part, Name)] if formula is not None else []
    for name in names:
        first, *others = constants[name].values if name in constants else (0.0,)
        known = [first]
        for value in others:
            if formula is None or any(nearly(np.array(value), one, LEAST_APART) for one in known):
                continue
            known.append(value)
            with np.errstate(all="ignore"):
                yield wrong.value(formula.tree, {name: np.full((1, 1), value)}) / wrong.value(formula.tree)
