"""The diameter taken for the radius, and the other way: a formula with one of its inputs doubled or halved."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from marking.checking.causes.slips.formulas.fingerprints import same_value
from marking.checking.causes.slips.formulas.formula_variants import Variant, variants
from marking.findings import Cause
from rubrics.formulas import Formula, Name, Node, Number, Operation, replace_name
from rubrics.model import Item, Rubric

WEIGHT = 3.0
"""Beside the other readings that may be taken for the right one; judged."""
DIAMETER, RADIUS = re.compile(r"\bdiameters?\b", re.IGNORECASE), re.compile(r"\b(?:radius|radii)\b", re.IGNORECASE)
DIAMETER_FOR_RADIUS = "the diameter taken for the radius"
RADIUS_FOR_DIAMETER = "the radius taken for the diameter"
TWO = Number(2.0, "2")


def round_things(rubric: Rubric, formula: Formula) -> Iterator[Variant]:
    """Yield *formula* with the diameter where the radius belongs, and the radius where the diameter belongs.

    Which input is which, its quantity says. Where the other one stands on the sheet as well, taking it is another
    reading taken for this one, and told as that; so is a factor of 2 beside a radius a factor, wherever it goes.
    """
    known = variants(formula)
    for name in formula.names:
        item = rubric.items.get(name)
        if item is None:
            continue
        is_diameter, is_radius = (bool(words.search(item.quantity)) for words in (DIAMETER, RADIUS))
        if is_diameter == is_radius:
            continue
        doubled, halved = Operation("*", TWO, Name(name)), Operation("/", Name(name), TWO)
        other = _stands_beside(rubric, item, RADIUS if is_diameter else DIAMETER)
        if is_diameter or not other:
            yield from _variant(formula, name, doubled, DIAMETER_FOR_RADIUS, known if is_diameter else ())
        if is_radius or not other:
            yield from _variant(formula, name, halved, RADIUS_FOR_DIAMETER, known)


def _variant(formula: Formula, name: str, changed: Node, rule: str, known: Sequence[Variant]) -> Iterator[Variant]:
    tree = replace_name(formula.tree, name, changed)
    alike = next((one.tree for one in known if same_value(one.tree, tree)), None)
    if alike is None:
        yield Variant(cause=Cause.WRONG_QUANTITY, tree=tree, weight=WEIGHT, rule=rule)
    elif rule == DIAMETER_FOR_RADIUS:  # (d / 2)**2 without its 2, or π d² / 4 without its 4
        yield Variant(cause=Cause.WRONG_QUANTITY, tree=alike, weight=WEIGHT, rule=rule)


def _stands_beside(rubric: Rubric, item: Item, words: re.Pattern[str]) -> bool:
    """Tell whether the sheet has another value of the same kind that may be taken in its place."""
    return any(
        words.search(other.quantity) and other.unit.dimension == item.unit.dimension and other.table == item.table
        for other in rubric.items.values()
        if other.name != item.name
    )
