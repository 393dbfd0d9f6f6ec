"""Slips of the formula: worked on the numbers that the student held, in every unit they may have held them in."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Mapping
from functools import lru_cache

import numpy as np
from msgspec.structs import replace
from numpy.typing import NDArray

from marking.checking.case import symbols
from marking.checking.causes.slips.formula_variants import IN_RADIANS, Variant, is_constant, same_value, variants
from marking.checking.causes.slips.round_things import round_things
from marking.checking.causes.wrong import Description, Hypothesis, Values, WrongAnswers, count_steps
from marking.findings import Cause
from rubrics.faults import FormulaError
from rubrics.formulas import (
    Formula,
    Kind,
    Name,
    Node,
    Operation,
    kind_of,
    plain_text,
    printed_text,
    replace_name,
    terms,
    walk,
)
from rubrics.model import Item, NamedSlip, Role, Rubric
from rubrics.units import Dimension

NEEDED_SHARE = 0.7
"""Of those who use a wrong formula, so many still convert their readings as the formula needs them."""
LEFT_ALONE_SHARE = 0.2
"""Or they convert some and leave one as it was recorded."""
SI_SHARE = 0.5
"""Of those who answer in SI units where the sheet works in others, those who convert every reading first."""
SYSTEM_SHARE = 0.7
"""Of those who write another unit of the quantity, those who first put their readings into the units it is made of."""
MOST_INPUTS = 4
CONVERTED_LABEL_SHARE = 0.5
"""Where another unit of the quantity was written: as a conversion, or only as a name for the number."""
LAST_STEP_SHARE = 0.8
"""Of those who use a wrong formula, those who still put in the last factor, such as 100 for a percentage."""
WRITTEN_SHARE = 0.05
"""What is left of something left out inside an earlier answer that stands on the page."""
EARLIER_SHARE = 0.3
"""A slip inside an earlier step that was not written down, beside one in this step."""
UNLIKE_TERMS = 0.05
"""What is left of the weight of a formula turned round inside one term of a sum, or with something left out inside an
earlier step, which no units would bear out."""
UNLIKE_LEFT_OUT = 0.25
"""The same of a formula in which something was left out: counts less a count a minute."""
UNLIKE_NUMBERS = 0.4
"""What is left of it where numbers are added or subtracted that should be multiplied or divided: V - I for V / I."""
NAMED_WEIGHT = 4.0
"""A slip that the rubric's author names is one that is seen often."""


def formula_slips(wrong: WrongAnswers) -> Iterator[Hypothesis]:
    """Yield every wrong formula, worked out for all the answers."""
    chosen = _weighted(wrong.board.rubric, wrong.item)
    totals: dict[Cause, float] = {}
    for variant, weight in chosen:
        totals[variant.cause] = totals.get(variant.cause, 0.0) + weight
    held = _Held(wrong)
    for variant, weight in chosen:
        yield from held.hypotheses(variant, weight / totals[variant.cause])


def _weighted(rubric: Rubric, item: Item) -> list[tuple[Variant, float]]:
    return list(_variants_of(_Key(rubric, item)))


def likely_formulas(wrong: WrongAnswers, least: float) -> Iterator[tuple[Variant, float, Callable[[int], Description]]]:
    """Yield the wrong formulas that make up at least the share *least* of their cause, with share and words."""
    chosen = _weighted(wrong.board.rubric, wrong.item)
    totals: dict[Cause, float] = {}
    for variant, weight in chosen:
        totals[variant.cause] = totals.get(variant.cause, 0.0) + weight
    for variant, weight in chosen:
        share = weight / totals[variant.cause]
        if share >= least:
            yield variant, share, formula_words(wrong, variant)


class _Key:
    """A rubric's item as a key: rubrics hold dictionaries and cannot be one themselves."""

    def __init__(self, rubric: Rubric, item: Item) -> None:
        self.rubric, self.item = rubric, item
        self._text = (rubric.id, rubric.sha256, item.name)

    def __hash__(self) -> int:
        return hash(self._text)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Key) and self._text == other._text


@lru_cache(maxsize=256)
def _variants_of(key: _Key) -> tuple[tuple[Variant, float], ...]:
    rubric, item = key.rubric, key.item
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
    turned = UNLIKE_TERMS if len(terms(formula.tree)) > 1 else UNLIKE_NUMBERS
    found = [(one, weight * (_unlike(one, turned) if _adds_unlike(rubric, one) else 1.0)) for one, weight in found]
    zeros = {name for name, one in rubric.constants.items() if 0 in one.values}
    return tuple(one for one in found if not (_leaves_nothing(one[0], zeros) or is_constant(one[0].tree)))


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


def _is_reading_alike(rubric: Rubric, earlier: Item, tree: Node) -> bool:
    """Tell whether *tree* is nothing but a reading of the dimension and table of an *earlier* answer."""
    other = rubric.items.get(tree.name) if isinstance(tree, Name) else None
    return other is not None and other.unit.dimension == earlier.unit.dimension and other.table == earlier.table


class _Held:
    """The numbers that the students held, in each unit they may have held them in."""

    def __init__(self, wrong: WrongAnswers) -> None:
        self.wrong = wrong
        self.rubric = wrong.board.rubric
        names = {
            n.name
            for variant, _ in _weighted(self.rubric, wrong.item)
            for n in walk(variant.tree)
            if isinstance(n, Name)
        }
        items = sorted(name for name in names if name in self.rubric.items)
        self.needed: Mapping[str, Values] = {name: wrong.needed(name) for name in items} | wrong.constants()
        self.recorded: Mapping[str, Values] = {name: wrong.recorded(name) for name in items} | wrong.constants()
        self.other_label = ~np.isclose(wrong.scale, 1.0, rtol=1e-9)
        self.dimension_codes: dict[Dimension, int] = {}
        self.written = np.array([self._dimension_code(position) for position in range(len(wrong))], np.int64)
        self.left_alone = self._left_alone(items)
        factors = {name: self.rubric.items[name].unit.factor for name in items}
        self.si = {name: self.needed[name] * factors[name] for name in items} | wrong.constants()
        self.systems = list(self._systems())
        self.ways = np.maximum(np.sum([mask for _, mask in self.systems], axis=0), 1) if self.systems else 1
        constants = self.rubric.constants.values()
        self.other_constants: list[Mapping[str, Values]] = [
            {**self.needed, one.name: np.full((1, 1), value)} for one in constants for value in one.values[1:]
        ]
        self.in_si = self.other_label & np.isclose(wrong.scale * wrong.item.unit.factor, 1.0, rtol=1e-9)

    def _share(self, variant: Variant, share: float) -> Values:
        """Return the *share* of a formula for each answer: hardly any where what it leaves out was done on the page."""
        if not variant.inside:
            return np.full(len(self.wrong), share)
        return np.where(self.wrong.is_written(variant.inside), WRITTEN_SHARE, 1.0) * share

    def hypotheses(self, variant: Variant, weight: float) -> Iterator[Hypothesis]:
        share = self._share(variant, weight)
        needed = _flat(self.wrong.evaluated(variant.tree, self.needed), len(self.wrong))
        recorded = _flat(self.wrong.evaluated(variant.tree, self.recorded), len(self.wrong))
        differs = np.isfinite(recorded) & ~np.isclose(recorded, needed, rtol=1e-9, atol=0.0)
        describe = formula_words(self.wrong, variant)
        steps = count_steps(variant.tree)
        agrees = self._unit_agrees(variant)
        in_needed = np.where(differs, NEEDED_SHARE, 1.0) * share / (1 + len(self.other_constants))
        in_recorded = np.where(differs, 1.0 - NEEDED_SHARE, 0.0) * share
        held = [(needed, in_needed), (recorded, in_recorded)]
        for other in self.other_constants:
            held.append((_flat(self.wrong.evaluated(variant.tree, other), len(self.wrong)), in_needed))
        for values, mask in self.left_alone:
            part = np.where(mask, LEFT_ALONE_SHARE / len(self.left_alone), 0.0) * share
            held.append((_flat(self.wrong.evaluated(variant.tree, values), len(self.wrong)), part))
        if self.in_si.any():
            in_si = _flat(self.wrong.evaluated(variant.tree, self.si), len(self.wrong)) * self.wrong.scale
            held.append((in_si, np.where(self.in_si, SI_SHARE, 0.0) * share))
        for values, mask in self.systems:
            predicted = _flat(self.wrong.evaluated(variant.tree, values), len(self.wrong)) * self.wrong.scale
            held.append((predicted, np.where(mask, SYSTEM_SHARE / self.ways, 0.0) * share))
        for predicted, part in self._with_last_step(held):
            if not part.any():
                continue
            converted = np.where(self.other_label, CONVERTED_LABEL_SHARE, 1.0)
            for label, value in ((converted, predicted / self.wrong.scale), (1.0 - converted, predicted)):
                if label.any():
                    yield Hypothesis(
                        cause=variant.cause,
                        share=part * label,
                        predicted=value,
                        describe=describe,
                        steps=steps,
                        dimension_agrees=agrees,
                    )

    def _with_last_step(self, held: list[tuple[Values, Values]]) -> list[tuple[Values, Values]]:
        """Return the same, with the last factor (100 for a percentage) put in, and as often left out."""
        step = self.wrong.last_step()
        if step == 1.0:
            return held
        taken = [(predicted * step, part * LAST_STEP_SHARE) for predicted, part in held]
        return taken + [(predicted, part * (1.0 - LAST_STEP_SHARE)) for predicted, part in held]

    def _dimension_code(self, position: int) -> int:
        """Return a number for the dimension of the unit beside one answer, -1 where there is none."""
        entry = self.wrong.entry(position, self.wrong.item.name)
        unit = entry.unit.unit if entry is not None and entry.unit is not None else None
        if unit is None:
            return -1
        return self.dimension_codes.setdefault(unit.dimension, len(self.dimension_codes))

    def _systems(self) -> Iterator[tuple[Mapping[str, Values], NDArray[np.bool_]]]:
        """Yield the numbers of those who work in the units that lead straight to the one they write: V and mA to kΩ."""
        formula, wrong = self.wrong.item.formula, self.wrong
        names = [name for name in formula.names if name in self.rubric.items] if formula else []
        if formula is None or not self.other_label.any() or len(names) > MOST_INPUTS:
            return
        if any(name not in self.needed for name in names):  # a line's columns are not put into a wrong formula
            return
        right = wrong.right() / wrong.scale
        for units in itertools.product(*(self.rubric.items[name].recorded_in for name in names)):
            own = [self.rubric.items[name].unit for name in names]
            changed = [
                (name, mine.factor / unit.factor)
                for name, mine, unit in zip(names, own, units, strict=True)
                if unit.factor != mine.factor and unit.offset == mine.offset
            ]
            if not changed:
                continue
            values = {**self.needed, **{name: self.needed[name] * factor for name, factor in changed}}
            with np.errstate(all="ignore"):
                worked = _flat(wrong.evaluated(formula.tree, values), len(wrong))
                fits = self.other_label & np.isclose(worked, right, rtol=1e-6)
            if fits.any():
                yield values, fits

    def _left_alone(self, items: list[str]) -> list[tuple[Mapping[str, Values], NDArray[np.bool_]]]:
        """Return the cases in which one reading was left as recorded and others were converted."""
        with np.errstate(all="ignore"):
            differs = {
                name: (~np.isclose(self.recorded[name], self.needed[name], rtol=1e-9, atol=0.0, equal_nan=True)).any(
                    axis=1
                )
                for name in items
            }
        several = np.sum(list(differs.values()), axis=0) > 1 if differs else np.zeros(0, np.bool_)
        return [
            ({**self.needed, name: self.recorded[name]}, mask & several)
            for name, mask in differs.items()
            if (mask & several).any()
        ]

    def _unit_agrees(self, variant: Variant) -> NDArray[np.bool_]:
        """Tell for each answer whether the unit that stands beside it is of the wrong formula's own quantity."""
        kinds = {name: Kind(item.unit.dimension) for name, item in self.rubric.items.items()}
        kinds |= {n: Kind(one.unit.dimension, bool(one.unit.offset)) for n, one in self.rubric.constants.items()}
        agrees = np.zeros(len(self.wrong), np.bool_)
        try:
            dimension = kind_of(variant.tree, kinds).dimension
        except FormulaError:
            return agrees
        if dimension == self.wrong.item.unit.dimension:
            return agrees
        code = self.dimension_codes.get(dimension)
        return agrees if code is None else self.written == code


def formula_words(wrong: WrongAnswers, variant: Variant) -> Callable[[int], Description]:
    """Return the words for a wrong formula."""
    rubric, formula = wrong.board.rubric, wrong.item.formula
    names = symbols(rubric)
    right = printed_text(formula.tree, names) if formula else ""
    facts = {"used": printed_text(variant.tree, names), "right": right}
    if variant.missing is not None:
        facts["missing"] = printed_text(variant.missing, names)
    if variant.rule:
        facts["rule"] = variant.rule
    named = next((s for s in rubric.slips if s.formula.tree == variant.tree), None)
    if named is not None:
        facts["rule"] = named.detail
    description = (plain_text(variant.tree), facts)
    angle = next(
        (node for node in walk(variant.tree) if isinstance(node, Operation) and node.right is IN_RADIANS), None
    )
    if angle is not None:
        description = ("radians for degrees", {"angle": printed_text(angle.left, names)})
    return lambda _: description


def _flat(values: Values, count: int) -> Values:
    return np.broadcast_to(values, (count, values.shape[1]))[:, 0]
