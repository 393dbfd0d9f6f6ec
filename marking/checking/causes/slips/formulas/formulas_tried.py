"""Every wrong formula that an answer may have been worked out by: what each weighs, and what it is called.

It is the same for every student, so it is found once for a practical.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping
from functools import lru_cache

from msgspec import Struct
from msgspec.structs import replace

from marking.checking.case import symbols
from marking.checking.causes.slips.formulas.fingerprints import is_constant, same_value
from marking.checking.causes.slips.formulas.formula_variants import IN_RADIANS, Variant, turned_over, variants
from marking.checking.causes.slips.formulas.round_things import round_things
from marking.checking.causes.wrong import Description, count_steps, tree_names
from marking.findings import Cause
from rubrics.faults import FormulaError
from rubrics.formulas import (
    Call,
    Formula,
    Kind,
    Name,
    Node,
    Number,
    Operation,
    Power,
    kind_of,
    plain_text,
    printed,
    printed_text,
    replace_name,
    terms,
    walk,
)
from rubrics.model import Item, NamedSlip, Role, Rubric
from rubrics.units import NO_DIMENSION, Dimension

EARLIER_SHARE = 0.3
"""A slip inside an earlier step that was not written down, beside one in this step."""
UNLIKE_TERMS = 0.05
"""What is left of the weight of a formula turned round inside one term of a sum, or with something left out inside an
earlier step, which no units would bear out."""
UNLIKE_LEFT_OUT = 0.25
"""The same of a formula in which something was left out: counts less a count a minute."""
UNLIKE_NUMBERS = 0.4
"""What is left of it where numbers are added or subtracted that should be multiplied or divided: V - I for V / I."""
FEWEST_SKIPPED = 2
"""Of one earlier answer that was passed over something was left out."""
MOST_SKIPPED = 64
SKIPPED_WEIGHT = 2.0
"""Weight of a formula that takes what its inputs were worked out from, both of them: masses for moles; judged."""
PERCENT = Number(100.0, "100")
TYPED_WHOLE = 0.6
"""Of percentages with a lost bracket, those typed in one go, the × 100 behind the last term; judged."""
NAMED_WEIGHT = 4.0
"""A slip that the rubric's author names is one that is seen often."""


class WrongFormula(Struct, frozen=True, kw_only=True):
    """A wrong formula, and all of it that no student changes."""

    cause: Cause
    tree: Node
    share: float
    """Of all wrong formulas of its cause."""
    inside: str
    """The earlier answer in which something was left out, where it was not in this one."""
    description: Description
    steps: int
    names: tuple[str, ...]
    dimension: Dimension | None
    """Of the quantity that it leads to; None where that is the right one, or none at all."""
    takes_columns: bool
    """Whether anything in it is worked out from a whole column."""
    takes_either_sign: bool
    """A square was left out of it: what is below zero may be written as its size."""
    has_last_step: bool
    """Whether the × 100 of a percentage stands in it already."""


def wrong_formulas(rubric: Rubric, item: Item) -> tuple[WrongFormula, ...]:
    """Return every wrong formula for *item*, each once; none where it has no formula."""
    return _wrong_formulas(_Key(rubric, item))


@lru_cache(maxsize=256)
def _wrong_formulas(key: _Key) -> tuple[WrongFormula, ...]:
    rubric, item = key.rubric, key.item
    chosen = _weighted(rubric, item)
    totals: dict[Cause, float] = {}
    for variant, weight in chosen:
        totals[variant.cause] = totals.get(variant.cause, 0.0) + weight
    return tuple(
        WrongFormula(
            cause=variant.cause,
            tree=variant.tree,
            share=weight / totals[variant.cause],
            inside=variant.inside,
            description=formula_words(rubric, item, variant),
            steps=count_steps(variant.tree),
            names=tree_names(variant.tree),
            dimension=_other_dimension(rubric, item, variant),
            takes_columns=any(isinstance(node, Call) and bool(node.columns) for node in walk(variant.tree)),
            takes_either_sign=_is_unsquared(variant),
            has_last_step=_has_percent(variant.tree),
        )
        for variant, weight in chosen
    )


def _other_dimension(rubric: Rubric, item: Item, variant: Variant) -> Dimension | None:
    kinds = {name: Kind(one.unit.dimension) for name, one in rubric.items.items()}
    kinds |= {name: Kind(one.unit.dimension, bool(one.unit.offset)) for name, one in rubric.constants.items()}
    try:
        dimension = kind_of(variant.tree, kinds).dimension
    except FormulaError:
        return None
    return None if dimension == item.unit.dimension else dimension


class _Key:
    """A rubric's item as a key: rubrics hold dictionaries and cannot be one themselves."""

    def __init__(self, rubric: Rubric, item: Item) -> None:
        self.rubric, self.item = rubric, item
        self._text = (rubric.id, rubric.sha256, item.name)

    def __hash__(self) -> int:
        return hash(self._text)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Key) and self._text == other._text


def _weighted(rubric: Rubric, item: Item) -> tuple[tuple[Variant, float], ...]:
    formula = item.formula
    if formula is None:
        return ()
    named = [slip for slip in rubric.slips if slip.answer == item.name]
    right = [formula.tree, *(other.tree for other in item.also)]
    found = [(_from_named(slip), NAMED_WEIGHT) for slip in named]
    taken = [*right, *(slip.formula.tree for slip in named)]
    for variant in round_things(rubric, formula):
        if not any(same_value(variant.tree, other) for other in taken):
            taken.append(variant.tree)
            found.append((variant, variant.weight))
    for way in (formula, *item.also):
        for variant in variants(way):
            if not any(same_value(variant.tree, other) for other in taken):
                taken.append(variant.tree)
                found.append((_as_term(rubric, variant), variant.weight))
    found += [(v, EARLIER_SHARE * v.weight) for v in _earlier_variants(rubric, formula, taken)]
    found += [(v, v.weight) for v in _steps_skipped(rubric, item, formula, taken)]
    turned = UNLIKE_TERMS if len(terms(formula.tree)) > 1 else UNLIKE_NUMBERS
    found = [(one, weight * (_unlike(one, turned) if _adds_unlike(rubric, one) else 1.0)) for one, weight in found]
    found = [(each, weight * share) for one, weight in found for each, share in _with_percent(item, one)]
    zeros = {name for name, one in rubric.constants.items() if 0 in one.values}
    return tuple(one for one in found if not (_leaves_nothing(one[0], zeros) or is_constant(one[0].tree)))


def _is_unsquared(variant: Variant) -> bool:
    power = variant.missing
    return isinstance(power, Power) and power.exponent % 2 == 0 and variant.tree == power.base


def _is_typed_whole(item: Item, variant: Variant) -> bool:
    """Tell whether a percentage went into the calculator in one go, a bracket lost: the × 100 is of its last term."""
    is_percentage = item.unit.dimension == NO_DIMENSION and item.unit.factor == 1.0 / PERCENT.value
    return is_percentage and variant.cause is Cause.OPERATION_ORDER and len(terms(variant.tree)) > 1


def _has_percent(tree: Node) -> bool:
    """Tell whether the × 100 stands behind the last term of a sum."""
    return isinstance(tree, Operation) and isinstance(tree.right, Operation) and tree.right.right == PERCENT


def _with_percent(item: Item, variant: Variant) -> Iterator[tuple[Variant, float]]:
    """Yield *variant* and its share; c - ref / ref * 100, and the whole times 100 afterwards, for c - ref / ref."""
    if not (_is_typed_whole(item, variant) and isinstance(variant.tree, Operation)):
        yield variant, 1.0
        return
    first, last = variant.tree.left, variant.tree.right
    yield replace(variant, tree=Operation(variant.tree.sign, first, Operation("*", last, PERCENT))), TYPED_WHOLE
    yield variant, 1.0 - TYPED_WHOLE


def _unlike(variant: Variant, turned: float) -> float:
    """Return what is left of the weight of a formula that adds two quantities, *turned* if it was turned round."""
    if variant.cause is Cause.REARRANGEMENT:
        return turned
    return UNLIKE_TERMS if variant.inside else UNLIKE_LEFT_OUT


def _adds_unlike(rubric: Rubric, variant: Variant) -> bool:
    """Tell whether a formula adds or subtracts two different quantities: joules less joules per kelvin².

    A bracket that was lost does so by itself, and is told by its rule where a rubric names it.
    """
    if variant.cause not in (Cause.REARRANGEMENT, Cause.MISSING_FACTOR):
        return False
    amounts = {name: Kind(one.unit.dimension) for name, one in rubric.items.items()}
    amounts |= {name: Kind(one.unit.dimension) for name, one in rubric.constants.items()}
    try:
        kind_of(variant.tree, amounts)
    except FormulaError:
        return True
    return False


def _leaves_nothing(variant: Variant, zeros: set[str]) -> bool:
    # T − 0 °C without its T is no reading taken for another: the whole term is gone, and that is told as such.
    names = {node.name for node in walk(variant.tree) if isinstance(node, Name)}
    return variant.cause is Cause.WRONG_QUANTITY and variant.missing is not None and bool(names & zeros)


def _as_term(rubric: Rubric, variant: Variant) -> Variant:
    """Return *variant*; an earlier answer that is a product of its own is a term left out, and no reading mistaken."""
    missing = rubric.items.get(variant.missing.name) if isinstance(variant.missing, Name) else None
    if variant.cause is not Cause.WRONG_QUANTITY or missing is None or missing.formula is None:
        return variant
    tree = missing.formula.tree
    is_product = isinstance(tree, Operation) and tree.sign == "*"
    return replace(variant, cause=Cause.MISSING_FACTOR) if is_product else variant


def _from_named(slip: NamedSlip) -> Variant:
    return Variant(cause=Cause(slip.cause), tree=slip.formula.tree, weight=NAMED_WEIGHT)


def _earlier_variants(rubric: Rubric, formula: Formula, taken: list[Node]) -> Iterator[Variant]:
    """Yield the formula with a slip inside an earlier answer: temperatures added, not subtracted."""
    for name in formula.names:
        earlier = rubric.items.get(name)
        if earlier is None or earlier.role is not Role.ANSWER or earlier.formula is None:
            continue
        for inner in (*round_things(rubric, earlier.formula), *variants(earlier.formula)):
            if _is_reading_alike(rubric, earlier, inner.tree):
                continue  # that reading taken for this one is a slip of quantities
            if inner.cause in (Cause.SIGN, Cause.WRONG_QUANTITY, Cause.MISSING_FACTOR):
                tree = replace_name(formula.tree, name, inner.tree)
                if tree != formula.tree and not any(same_value(tree, other) for other in taken):
                    taken.append(tree)
                    yield replace(inner, tree=tree, inside=name if inner.cause is Cause.MISSING_FACTOR else "")


def _steps_skipped(rubric: Rubric, item: Item, formula: Formula, taken: list[Node]) -> Iterator[Variant]:
    """Yield the formula on what all its earlier answers were worked out from, where units allow it: mass by mass."""
    names = [name for name in formula.names if name in rubric.items and rubric.items[name].formula is not None]
    if len(names) < FEWEST_SKIPPED:
        return
    kinds = {name: Kind(one.unit.dimension, bool(one.unit.offset)) for name, one in rubric.items.items()}
    kinds |= {name: Kind(one.unit.dimension, bool(one.unit.offset)) for name, one in rubric.constants.items()}
    choices = [_inputs_of(rubric, name) for name in names]
    for chosen in itertools.islice(itertools.product(*choices), MOST_SKIPPED):
        if len({rubric.items[one].unit.dimension for one in chosen}) > 1 or len(set(chosen)) < len(chosen):
            continue
        tree = _put_in(formula.tree, dict(zip(names, chosen, strict=True)))
        try:
            fits = kind_of(tree, kinds).dimension == item.unit.dimension
        except FormulaError:
            continue
        if fits and not any(same_value(tree, other) for other in taken):
            taken.append(tree)
            yield Variant(cause=Cause.WRONG_QUANTITY, tree=tree, weight=SKIPPED_WEIGHT)


def _inputs_of(rubric: Rubric, name: str) -> list[str]:
    """Return the items that an answer is worked out from, of its own table."""
    item = rubric.items[name]
    inputs = item.formula.names if item.formula is not None else ()
    return [one for one in inputs if one in rubric.items and rubric.items[one].table == item.table]


def _put_in(tree: Node, names: Mapping[str, str]) -> Node:
    """Return *tree* with other names in the place of some, all at once."""
    for name in names:
        tree = replace_name(tree, name, Name(f" {name}"))
    for name, other in names.items():
        tree = replace_name(tree, f" {name}", Name(other))
    return tree


def _is_reading_alike(rubric: Rubric, earlier: Item, tree: Node) -> bool:
    """Tell whether *tree* is nothing but a reading of the dimension and table of an *earlier* answer."""
    other = rubric.items.get(tree.name) if isinstance(tree, Name) else None
    return other is not None and other.unit.dimension == earlier.unit.dimension and other.table == earlier.table


def formula_words(rubric: Rubric, item: Item, variant: Variant) -> Description:
    """Return detail and facts of a wrong formula."""
    ways, names = [way for way in (item.formula, *item.also) if way is not None], symbols(rubric)
    # The sum of R is the mean of R gone wrong, though a gradient is right as well.
    own = next((way for way in ways if set(way.names) == set(tree_names(variant.tree))), ways[0] if ways else None)
    right = printed_text(own.tree, names) if own else ""
    facts = {"used": printed_text(variant.tree, names), "right": right, **_with_change_of_unit(rubric, item, variant)}
    if variant.missing is not None:
        facts["missing"] = printed_text(variant.missing, names)
    if variant.rule:
        facts["rule"] = variant.rule
    named = next((s for s in rubric.slips if s.formula.tree == variant.tree), None)
    if named is not None:
        facts["rule"] = named.detail
    description: Description = (plain_text(variant.tree), facts)
    angle = next(
        (node for node in walk(variant.tree) if isinstance(node, Operation) and node.right is IN_RADIANS), None
    )
    if angle is not None:
        description = ("radians for degrees", {"angle": printed_text(angle.left, names)})
    return description


def _with_change_of_unit(rubric: Rubric, item: Item, variant: Variant) -> dict[str, str]:
    """Return what was done and what is right where only the unit changes: 1000 ÷ ρ for 1000 × ρ; else {}."""
    tree = item.formula.tree if item.formula is not None else None
    if not isinstance(tree, Name) or tree.name not in rubric.items or variant.tree != turned_over(tree):
        return {}
    factor = rubric.items[tree.name].unit.factor / item.unit.factor
    symbol, number = symbols(rubric)[tree.name], printed(factor)
    return {"used": f"{number} ÷ {symbol}", "right": f"{number} × {symbol}"} if factor > 1.0 else {}
