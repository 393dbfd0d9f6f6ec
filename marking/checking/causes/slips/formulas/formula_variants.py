"""Every formula that is one change away from the right one, found from its tree.

The changes are those that students make: a factor on the wrong side of the line, the whole upside
down, a bracket that the calculator never saw, a factor or a square left out, plus for times. All the
operators of one level may change together, for E × m / ΔT and l + w + h are one idea each.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

from msgspec import Struct

from marking.checking.causes.slips.formulas.fingerprints import agree, fingerprint
from marking.findings import Cause
from rubrics.formulas import Call, Formula, Minus, Name, Node, Number, Operation, Power, factors, terms

MOST_FACTORS = 5
"""Sides are tried in every combination up to this many factors: 32 of them."""
NOTHING_ABOVE = 0.2
"""Weight of a formula with nothing left above the line, 1 / (V × I), which hardly anybody is seen to write."""
ZERO_CELSIUS = 273.15
"""0 °C in kelvin; SI Brochure, 9th edition, 2.3.1."""
IN_RADIANS = Number(math.degrees(1.0), "180/pi")
"""What an angle in degrees is multiplied by where a calculator takes its number for radians."""
OF_ANGLES = ("sin", "cos", "tan")
OTHER_KEYS = {"sin": ("cos", "tan"), "cos": ("sin", "tan"), "tan": ("sin", "cos"), "ln": ("log10",), "log10": ("ln",)}
"""What is pressed on a calculator for another function."""
FORGOTTEN_VALUE = 0.5
"""Weight of a mean from which one of the values was left out, whichever; judged."""
COUNTED_OFF = range(5, 51)
"""Whole numbers in a formula that count what was done, ten swings; smaller ones are factors, larger ones units."""
PLUS_FOR_TIMES = 0.5
"""Weight of a + for the last × of a product of three; judged."""
TWICE_IN = 0.06
"""Weight of a factor that came in twice, the current's square for the current; judged."""
HALVED = 0.03
"""Weight of a result halved, or doubled, for no reason; judged."""


class Variant(Struct, frozen=True, kw_only=True):
    """A wrong formula, and what one would call the slip."""

    cause: Cause
    tree: Node
    weight: float
    """Beside the other variants of the same cause."""
    missing: Node | None = None
    """What was left out."""
    rule: str = ""
    """What the slip is called, where its formula alone does not say it."""
    inside: str = ""
    """The earlier answer in which something was left out, where it was not in this one."""


def variants(formula: Formula) -> tuple[Variant, ...]:
    """Return the wrong formulas one change away, each once; the likelier name wins where two agree."""
    right = fingerprint(formula.tree)
    seen, found = [right], []
    every = list(_variants(formula.tree))
    if isinstance(formula.tree, Name):  # only the unit changes: 1000 ÷ ρ for 1000 ρ
        every.append(Variant(cause=Cause.REARRANGEMENT, tree=turned_over(formula.tree), weight=1.0))
    for variant in sorted(every, key=lambda one: -one.weight):
        mark = fingerprint(variant.tree)
        if variant.cause is Cause.SIGN and agree(mark, -right):
            continue  # the whole with its sign turned round is a slip of its own, told once
        if not any(agree(mark, other) for other in seen):
            seen.append(mark)
            found.append(variant)
    return tuple(found)


def turned_over(node: Node) -> Node:
    """Return one over a formula."""
    return Operation("/", Number(1.0, "1"), node)


def _variants(node: Node) -> Iterator[Variant]:
    match node:
        case Operation(sign, _, _) if sign in "*/":
            yield from _chain_variants(node)
            yield from _inner_variants(node)
        case Operation():
            yield from _sum_variants(node)
            yield from _inner_variants(node)
        case Power(base, exponent):
            yield from _power_variants(base, exponent)
            yield from (
                Variant(cause=v.cause, tree=Power(v.tree, exponent), weight=v.weight, missing=v.missing)
                for v in _variants(base)
            )
        case Call("kelvin", (term,)):
            # Kelvins are what numbers here stand for; degrees Celsius are 273 lower.
            degrees = Operation("-", term, Number(ZERO_CELSIUS, "273"))
            yield Variant(cause=Cause.UNIT_CONVERSION, tree=degrees, weight=3.0)
        case Call(function, (angle,)) if function in OF_ANGLES:
            # A calculator that is set to radians takes 32 (degrees) for 32 rad.
            taken = Call(function, (Operation("*", angle, IN_RADIANS),))
            yield Variant(cause=Cause.UNIT_CONVERSION, tree=taken, weight=3.0)
            yield from _call_variants(function, (angle,), node)
        case Call("sum" | "mean" | "min" | "max"):
            yield from _average_variants(node)
        case Call(function, arguments) if not node.columns and not node.is_along_row:
            yield from _call_variants(function, arguments, node)
        case Minus(term):
            yield Variant(cause=Cause.SIGN, tree=term, weight=3.0)
            for inner in _variants(term):
                yield Variant(cause=inner.cause, tree=Minus(inner.tree), weight=inner.weight, missing=inner.missing)


def _call_variants(function: str, arguments: tuple[Node, ...], node: Call) -> Iterator[Variant]:
    yield Variant(cause=Cause.MISSING_FACTOR, tree=arguments[0], weight=1.0, missing=node)
    for other in OTHER_KEYS.get(function, ()):
        yield Variant(cause=Cause.WRONG_QUANTITY, tree=Call(other, arguments), weight=1.0)
    for inner in _variants(arguments[0]):
        yield Variant(cause=inner.cause, tree=Call(function, (inner.tree,)), weight=inner.weight)


def _each_alike(function: str, arguments: tuple[Node, ...]) -> Iterator[Variant]:
    """Yield the smaller of two amounts, both of them worked out by the same wrong formula: c ÷ V for c × V."""
    for alike in zip(*(list(_variants(one)) for one in arguments), strict=False):
        if len({(one.cause, one.weight) for one in alike}) == 1:
            tree = Call(function, tuple(one.tree for one in alike))
            yield Variant(cause=alike[0].cause, tree=tree, weight=alike[0].weight)


def _average_variants(node: Call) -> Iterator[Variant]:
    """Yield the mean for the sum, and the sum for the mean; of a few values of one row, their wrong formulas."""
    if node.function in ("min", "max"):
        yield from _each_alike(node.function, node.arguments if node.is_along_row else ())
    elif not node.is_along_row:
        if node.function == "mean":
            total, rule = Call("sum", node.arguments), "the sum, not divided by how many values there are"
            yield Variant(cause=Cause.MISSING_FACTOR, tree=total, weight=1.0, rule=rule)
        else:
            yield Variant(cause=Cause.WRONG_QUANTITY, tree=Call("mean", node.arguments), weight=1.0)
    elif node.function == "mean":
        yield from _mean_variants(node.arguments)


def _mean_variants(values: tuple[Node, ...]) -> Iterator[Variant]:
    """Yield a mean without its bracket, one divided by a number too small, and one in which a value was forgotten."""
    count = len(values)
    by = Number(float(count), str(count))
    plus = [(value, 1) for value in values]
    yield _order(_sum([*plus[:-1], (Operation("/", values[-1], by), 1)]))
    less: Node = Number(float(count - 1), str(count - 1))
    rule = f"the sum of {count} values divided by {count - 1}"
    if count > 2:  # of two it is the sum
        tree = Operation("/", _sum(plus), less)
        yield Variant(cause=Cause.MISSING_FACTOR, tree=tree, weight=1.0, rule=rule)
    for left_out, value in enumerate(values):
        tree = Operation("/", _sum(plus[:left_out] + plus[left_out + 1 :]), by)
        yield Variant(cause=Cause.MISSING_FACTOR, tree=tree, weight=FORGOTTEN_VALUE / count, missing=value)


def _product(parts: list[Node]) -> Node:
    tree = parts[0]
    for part in parts[1:]:
        tree = Operation("*", tree, part)
    return tree


def _chain(parts: list[tuple[Node, int]]) -> Node:
    above = [part for part, side in parts if side > 0]
    below = [part for part, side in parts if side < 0]
    top = _product(above) if above else Number(1.0, "1")
    return Operation("/", top, _product(below)) if below else top


def _parts(node: Node) -> list[tuple[Node, int]]:
    return [(part, side) for part, side in factors(node) if not (isinstance(part, Number) and part.value == 1.0)]


def _chain_variants(node: Node) -> Iterator[Variant]:
    parts = _parts(node)
    if len(parts) == 1:
        yield Variant(cause=Cause.REARRANGEMENT, tree=parts[0][0], weight=3.0)
    elif len(parts) <= MOST_FACTORS:
        yield from _side_variants(parts)
    if len(parts) > 1:
        for position, (part, _) in enumerate(parts):
            rest = parts[:position] + parts[position + 1 :]
            is_below = all(side < 0 for _, side in rest)
            weight = NOTHING_ABOVE if is_below else 2.0
            yield Variant(cause=Cause.MISSING_FACTOR, tree=_chain(rest), weight=weight, missing=part)
            if is_below:
                # Nothing is left above the line: what is left is worked out as it stands, m × ΔT.
                product = _product([other for other, _ in rest])
                yield Variant(cause=Cause.MISSING_FACTOR, tree=product, weight=2.0, missing=part)
    yield from _twice_variants(parts)
    yield from _miscounted_variants(parts)
    yield from _operator_variants(parts)
    yield from _bracket_variants(parts)
    yield from _other_base_variants(parts)


def _twice_variants(parts: list[tuple[Node, int]]) -> Iterator[Variant]:
    """Yield a product with one factor twice, the whole halved or doubled, and the whole raised to a power."""
    for position, (part, side) in enumerate(parts):
        if not isinstance(part, Number):
            squared = [*parts[:position], (Power(part, 2), side), *parts[position + 1 :]]
            yield Variant(cause=Cause.MISSING_FACTOR, tree=_chain(squared), weight=TWICE_IN)
        if isinstance(part, Power) and side > 0:
            rest = [*parts[:position], (part.base, 1), *parts[position + 1 :]]
            yield Variant(cause=Cause.OPERATION_ORDER, tree=Power(_chain(rest), part.exponent), weight=1.0)
    whole, two = _chain(parts), Number(2.0, "2")
    halved, doubled = "the result halved once more", "the result doubled"
    yield Variant(cause=Cause.MISSING_FACTOR, tree=Operation("/", whole, two), weight=HALVED, rule=halved)
    yield Variant(cause=Cause.MISSING_FACTOR, tree=Operation("*", two, whole), weight=HALVED, rule=doubled)


def _miscounted_variants(parts: list[tuple[Node, int]]) -> Iterator[Variant]:
    """Yield a whole number that counts something taken for one more or one less: ten swings for nine."""
    for position, (part, side) in enumerate(parts):
        if isinstance(part, Number) and part.value.is_integer() and part.value in COUNTED_OFF:
            for other in (part.value - 1.0, part.value + 1.0):
                changed = [*parts[:position], (Number(other, f"{other:.0f}"), side), *parts[position + 1 :]]
                yield Variant(cause=Cause.WRONG_QUANTITY, tree=_chain(changed), weight=1.0)


def _side_variants(parts: list[tuple[Node, int]]) -> Iterator[Variant]:
    below = [position for position, (_, side) in enumerate(parts) if side < 0]
    for flips in itertools.product((1, -1), repeat=len(parts)):
        flipped = [position for position, flip in enumerate(flips) if flip < 0]
        if not flipped:
            continue
        tree = _chain([(part, side * flip) for (part, side), flip in zip(parts, flips, strict=True)])
        if len(below) > 1 and flipped == below[1:]:
            # a / b × c: the calculator divides by the first only.
            yield Variant(cause=Cause.OPERATION_ORDER, tree=tree, weight=6.0)
            continue
        sides = {side * flip for (_, side), flip in zip(parts, flips, strict=True)}
        whole = len(flipped) == len(parts)
        weight = NOTHING_ABOVE if sides == {-1} else 3.0 if whole or sides == {1} else 1.5 if len(flipped) == 1 else 1.0
        yield Variant(cause=Cause.REARRANGEMENT, tree=tree, weight=weight)


def _operator_variants(parts: list[tuple[Node, int]]) -> Iterator[Variant]:
    above = [part for part, side in parts if side > 0]
    below = [part for part, side in parts if side < 0]
    if above and below:
        top, bottom = _product(above), _product(below)
        yield Variant(cause=Cause.REARRANGEMENT, tree=Operation("-", top, bottom), weight=0.6)
        yield Variant(cause=Cause.REARRANGEMENT, tree=Operation("+", top, bottom), weight=0.6)
    if len(above) > 2 and not below:  # + pressed for the last ×
        added = Operation("+", _product(above[:-1]), above[-1])
        yield Variant(cause=Cause.OPERATION_ORDER, tree=added, weight=PLUS_FOR_TIMES)
    for group, others in ((above, below), (below, above)):
        if len(group) > 1:
            total = group[0]
            for part in group[1:]:
                total = Operation("+", total, part)
            is_top = group is above
            rest = _product(others) if others else None
            if rest is None:
                tree: Node = total if is_top else Operation("/", Number(1.0, "1"), total)
            else:
                tree = Operation("/", total, rest) if is_top else Operation("/", rest, total)
            yield Variant(cause=Cause.REARRANGEMENT, tree=tree, weight=0.8 if rest is not None else 2.0)


def _other_base_variants(parts: list[tuple[Node, int]]) -> Iterator[Variant]:
    """Yield a difference that is divided by the other of its two: (a - b) / a for (a - b) / b."""
    sums = [terms(part) for part, side in parts if side > 0]
    for position, (part, side) in enumerate(parts):
        for chain in sums if side < 0 else []:
            ends = [term for term, _ in chain]
            if len(ends) == 2 and part in ends:
                other = ends[1 - ends.index(part)]
                tree = _chain([*parts[:position], (other, side), *parts[position + 1 :]])
                yield Variant(cause=Cause.WRONG_QUANTITY, tree=tree, weight=2.0)
                if len(parts) == 2:  # nothing was subtracted, and the whole is upside down as well
                    yield Variant(cause=Cause.REARRANGEMENT, tree=Operation("/", part, other), weight=0.5)


def _bracket_variants(parts: list[tuple[Node, int]]) -> Iterator[Variant]:
    """Yield what a calculator makes of a bracket round a sum that was never typed."""
    for position, (part, side) in enumerate(parts):
        chain = terms(part)
        if len(chain) < 2:
            continue
        rest = parts[:position] + parts[position + 1 :]
        first, last = chain[0], chain[-1]
        if side < 0:  # a / (b + c) typed a / b + c
            tree = _chain([*rest, (first[0], -1)])
            tail = chain[1:]
        elif rest and any(s < 0 for _, s in rest):  # (b + c) / a typed b + c / a
            tree = _sum(list(chain[:-1]))
            yield _order(Operation("+" if last[1] > 0 else "-", tree, _chain([(last[0], 1), *rest])))
            continue
        else:  # a * (b + c) typed a * b + c
            tree = _chain([*rest, (first[0], 1)])
            tail = chain[1:]
        for term, sign in tail:
            tree = Operation("+" if sign > 0 else "-", tree, term)
        yield _order(tree)


def _order(tree: Node) -> Variant:
    return Variant(cause=Cause.OPERATION_ORDER, tree=tree, weight=4.0)


def _sum(chain: list[tuple[Node, int]]) -> Node:
    tree = chain[0][0] if chain[0][1] > 0 else Minus(chain[0][0])
    for term, sign in chain[1:]:
        tree = Operation("+" if sign > 0 else "-", tree, term)
    return tree


def _sum_variants(node: Node) -> Iterator[Variant]:
    chain = list(terms(node))
    flipped = [(term, -sign) for term, sign in chain]
    yield Variant(cause=Cause.SIGN, tree=_sum(flipped), weight=2.0)
    for position in range(1, len(chain)):
        changed = list(chain)
        changed[position] = (changed[position][0], -changed[position][1])
        yield Variant(cause=Cause.SIGN, tree=_sum(changed), weight=2.0)
    for position, (term, _) in enumerate(chain):
        rest = chain[:position] + chain[position + 1 :]
        # What is left of a change is another quantity, the final temperature; of a sum, a part was forgotten.
        is_change = any(sign < 0 for _, sign in chain)
        cause = Cause.WRONG_QUANTITY if isinstance(term, Name) and is_change else Cause.MISSING_FACTOR
        yield Variant(cause=cause, tree=_sum([(t, abs(s)) for t, s in rest]), weight=2.0, missing=term)
    yield Variant(cause=Cause.REARRANGEMENT, tree=_product([term for term, _ in chain]), weight=1.0)
    halved = "the result halved, as for a mean"
    yield Variant(cause=Cause.MISSING_FACTOR, tree=Operation("/", node, Number(2.0, "2")), weight=HALVED, rule=halved)
    if len(chain) == 2:
        yield from _added_first(chain)
        if all(isinstance(term, Name) for term, _ in chain) and any(sign < 0 for _, sign in chain):
            middle = Operation("/", Operation("+", chain[0][0], chain[1][0]), Number(2.0, "2"))
            rule = "the mean of the two, not the change"
            yield Variant(cause=Cause.WRONG_QUANTITY, tree=middle, weight=0.5, rule=rule)
        yield Variant(cause=Cause.REARRANGEMENT, tree=Operation("/", chain[0][0], chain[1][0]), weight=0.6)
        yield Variant(cause=Cause.REARRANGEMENT, tree=Operation("/", chain[1][0], chain[0][0]), weight=0.4)


def _added_first(chain: Sequence[tuple[Node, int]]) -> Iterator[Variant]:
    """Yield a + b × c worked out from left to right: (a + b) × c."""
    (first, _), (last, sign) = chain
    parts = list(factors(last))
    if len(parts) > 1 and parts[0][1] > 0:
        added = Operation("+" if sign > 0 else "-", first, parts[0][0])
        yield Variant(cause=Cause.OPERATION_ORDER, tree=_chain([(added, 1), *parts[1:]]), weight=2.0)


def _power_variants(base: Node, exponent: int) -> Iterator[Variant]:
    power = Power(base, exponent)
    yield Variant(cause=Cause.MISSING_FACTOR, tree=base, weight=2.0, missing=power)
    yield Variant(
        cause=Cause.MISSING_FACTOR, tree=Operation("*", Number(float(exponent), str(exponent)), base), weight=1.0
    )
    if exponent == 2:
        yield Variant(cause=Cause.REARRANGEMENT, tree=Call("sqrt", (base,)), weight=0.5)
    for other in (exponent - 1, exponent + 1):
        if other > 1:
            yield Variant(cause=Cause.MISSING_FACTOR, tree=Power(base, other), weight=0.7, missing=power)


def _deeper(inner: Variant) -> float:
    # A term left out deep inside is rarer than a whole reading taken for another.
    return (0.3 if inner.cause is Cause.WRONG_QUANTITY else 0.7) * inner.weight


def _inner_variants(node: Node) -> Iterator[Variant]:
    """Yield *node* with one part deeper down changed; what belongs to this level is made above."""
    chain = factors(node) if isinstance(node, Operation) and node.sign in "*/" else None
    if chain is not None:
        for position, (part, side) in enumerate(chain):
            for inner in _variants(part):
                changed = [*chain[:position], (inner.tree, side), *chain[position + 1 :]]
                yield Variant(cause=inner.cause, tree=_chain(changed), weight=_deeper(inner), missing=inner.missing)
        return
    parts = terms(node)
    for position, (term, sign) in enumerate(parts):
        for inner in _variants(term):
            tree = _sum([*parts[:position], (inner.tree, sign), *parts[position + 1 :]])
            yield Variant(cause=inner.cause, tree=tree, weight=_deeper(inner), missing=inner.missing)
