"""How likely each cause is before the figures are looked at, by kind of answer."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from importlib import resources
from typing import Any

import rtoml

from marking.findings import Cause
from rubrics.formulas import Call, Operation, factors, terms, walk
from rubrics.model import Item, Rubric
from rubrics.units import NO_DIMENSION

Priors = Mapping[str, Mapping[Cause, float]]

FEWEST_TO_LEARN = 30
"""Wrong answers of one kind from which a class's own shares are counted in."""


@cache
def load_priors() -> Priors:
    """Return the shares of each cause, for each kind of answer, as ``priors.toml`` states them."""
    return {
        kind: {Cause(word): float(share) for word, share in shares.items()}
        for kind, shares in _table().items()
        if isinstance(shares, dict)
    }


def pseudo_answers() -> float:
    """Return how many wrong answers of a class weigh as much as the starting shares."""
    return float(_table()["pseudo_answers"])


@cache
def _table() -> Mapping[str, Any]:
    return rtoml.loads((resources.files("marking.checking.causes") / "priors.toml").read_text("utf-8"))


def learn(starting: Priors, counts: Mapping[str, Mapping[Cause, float]]) -> Priors:
    """Return the shares with a class's own wrong answers counted in, for the kinds that have enough of them.

    Args:
        starting: The shares before.
        counts: For each kind of answer, how many answers of the class each cause explains; an answer with
            two likely causes counts for both in part.
    """
    weight = pseudo_answers()
    learned = dict(starting)
    for kind, own in counts.items():
        total = sum(own.values())
        if total >= FEWEST_TO_LEARN:
            learned[kind] = {
                cause: (weight * share + own.get(cause, 0.0)) / (weight + total)
                for cause, share in starting[kind].items()
            }
    return learned


def kind_of_answer(rubric: Rubric, item: Item) -> str:
    """Return which column of the priors an answer belongs to, from its formula."""
    if item.formula is None:
        return "quotient"
    tree = item.formula.tree
    if any(slip.answer == item.name and slip.cause == Cause.COMBINATION_RULE for slip in rubric.slips):
        return "combination"
    if any(isinstance(node, Call) and node.function in ("slope", "intercept") for node in walk(tree)):
        return "line"
    if isinstance(tree, Operation) and len(terms(tree)) > 1:
        return "difference"
    chain = factors(tree)
    if any(side > 0 and len(terms(part)) > 1 for part, side in chain) and item.unit.dimension == NO_DIMENSION:
        return "percentage"
    if all(side > 0 for _, side in chain):
        return "product"
    return "quotient" if len(chain) == 2 else "chain"
