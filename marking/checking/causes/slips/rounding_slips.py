"""Steps that were rounded or cut too soon: to two figures or one, where three are kept by a careful student."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Mapping, Sequence

import numpy as np
from msgspec.structs import replace

from marking.checking.answers import evaluate, magnitude, nearly
from marking.checking.case import number_text, symbols
from marking.checking.causes.wrong import (
    Description,
    Hypothesis,
    Values,
    WrongAnswers,
    count_steps,
    kept,
    stacked,
    summed,
)
from marking.findings import Cause
from rubrics.formulas import (
    OPERATIONS,
    PI,
    Call,
    Formula,
    Minus,
    Name,
    Node,
    Number,
    Operation,
    Power,
    factors,
    printed_text,
    walk,
)

WAYS = ((2, "rounded", 3.0), (1, "rounded", 2.0), (2, "cut", 1.0), (1, "cut", 1.0))
"""(figures kept, how, weight), judged."""
READING_WEIGHT = 0.5
"""Rounding a reading, beside rounding a step that was worked out."""
ONE_OF_TWO_SHARE = 0.4
"""What is left of rounding or cutting a reading of two figures to one: whoever sees both puts both in; judged."""
PI_SQUARED = Power(Name(PI), 2)
PI_SQUARED_WEIGHT = 4.0
"""Taking 10 for it is a habit of its own, beside rounding a step."""
LEAST_SHOWN = 0.2
"""Of all ways to round too soon, so many are counted at the least: where hardly any shows, it was hardly that."""
OTHER_WAY_SHARE = 0.05
"""Of those who wrote down a step of the usual way, those who then went another way that passes it over."""
_STEP = " step"
"""Stands for a step in a formula; no item can have this name."""


def rounding_slips(wrong: WrongAnswers) -> list[Hypothesis]:
    """Return what comes out if one step, or one reading, was rounded or cut too soon.

    A way that changes nothing that shows is none: what it weighs goes to the others.
    """
    formula = wrong.item.formula
    if formula is None or wrong.keeping is not None or any(isinstance(n, Call) for n in walk(formula.tree)):
        return []
    found = list(_ways(wrong, formula))
    shown = summed(stacked([one.share for one in found], len(wrong)))
    whole = sum(weight for _, _, weight in WAYS) * sum(_weight(step) for step, _, _ in _all_steps(wrong, formula))
    usual = np.maximum(shown, LEAST_SHOWN * max(whole, 1.0))
    return [
        replace(one, share=one.share / usual * left) for one, left in zip(found, _left(wrong, formula), strict=True)
    ]


def _all_steps(wrong: WrongAnswers, formula: Formula) -> Iterator[tuple[Node, Node, Values]]:
    """Yield each step that one may write down, the formula without it, and how likely it was done, (answers,)."""
    for way in (formula, *(other for other in wrong.item.also if other.text != formula.text)):
        likely = _taken(wrong, formula, way)
        for tree, step in _steps(way.tree):
            yield step, tree, likely


def _taken(wrong: WrongAnswers, formula: Formula, way: Formula) -> Values:
    """Return how likely *way* was gone: hardly by who wrote down a step of the *formula* that it passes over."""
    passed_over = [name for name in formula.names if name in wrong.judged and name not in way.names]
    written = np.zeros(len(wrong), np.bool_)
    for name in passed_over:
        written |= wrong.is_written(name)
    return np.where(written, OTHER_WAY_SHARE, 1.0)


def _ways(wrong: WrongAnswers, formula: Formula) -> Iterator[Hypothesis]:
    """Yield every step kept in every way too short, weighed one beside another."""
    items = wrong.board.rubric.items
    named = {name for way in (formula, *wrong.item.also) for name in way.names}
    env = {name: wrong.needed(name) for name in sorted(named) if name in items} | wrong.constants()
    names = symbols(wrong.board.rubric)
    steps = count_steps(formula.tree)
    for step, tree, likely in _all_steps(wrong, formula):
        value, called = evaluate(step, env), printed_text(step, names)
        exact = evaluate(tree, env | {_STEP: value})
        every = np.concatenate([kept(value, figures, is_cut=how == "cut") for figures, how, _ in WAYS], axis=1)
        results = evaluate(tree, env | {_STEP: every})
        words = [
            _words(called, value, every[:, way : way + 1], figures, how) for way, (figures, how, _) in enumerate(WAYS)
        ]
        weights = np.array([weight * _weight(step) for _, _, weight in WAYS])[:, None] * likely
        yield from _hypotheses(wrong, results, exact, weights, words, steps)
    exact = evaluate(formula.tree, env)
    for figures, how, weight in WAYS:
        with np.errstate(all="ignore"):
            kept_so = [_all_kept(formula.tree, env, figures, how, spared) for spared in (1, 2)]
        words = [_words("every step", exact, result, figures, how) for result in kept_so]
        weights = np.full((2, len(wrong)), weight / 2)
        yield from _hypotheses(wrong, np.concatenate(kept_so, axis=1), exact, weights, words, steps)
    readings = _readings(wrong, formula)
    for figures, how, weight in WAYS if readings else ():
        short = env | {name: kept(env[name], figures, is_cut=how == "cut") for name in readings}
        result = evaluate(formula.tree, short)
        words = [_words("every reading", exact, result, figures, how)]
        yield from _hypotheses(wrong, result, exact, np.full((1, len(wrong)), weight * READING_WEIGHT), words, steps)


def _readings(wrong: WrongAnswers, formula: Formula) -> list[str]:
    """Return what goes into a formula that takes several readings, none of which is worked out."""
    names = [name for name in formula.names if name in wrong.board.rubric.items]
    return names if len(names) > 1 and not any(name in wrong.judged for name in names) else []


def _left(wrong: WrongAnswers, formula: Formula) -> Iterator[Values]:
    """Yield for each of ``_ways`` what is left of its share, (answers,): who reads two figures hardly keeps one."""
    whole = np.ones(len(wrong))
    for step, _, _ in _all_steps(wrong, formula):
        has_two = whole
        if isinstance(step, Name) and step.name in wrong.board.rubric.items:
            number, last = wrong.recorded(step.name)[:, 0], wrong.places(step.name)[:, 0]
            has_two = np.where(magnitude(number) - last + 1 == 2, ONE_OF_TWO_SHARE, 1.0)
        yield from (has_two if figures == 1 else whole for figures, _, _ in WAYS)
    yield from (whole for _ in WAYS for _ in (1, 2))
    if _readings(wrong, formula):
        yield from (whole for _ in WAYS)


def _weight(step: Node) -> float:
    if step == PI_SQUARED:
        return PI_SQUARED_WEIGHT
    return READING_WEIGHT if isinstance(step, Name) else 1.0


def _hypotheses(
    wrong: WrongAnswers, results: Values, exact: Values, weights: Values, words: Sequence[_Words], steps: int
) -> Iterator[Hypothesis]:
    """Yield what comes out where a step was kept too short, each way by itself.

    Args:
        wrong: The answers.
        results: What the formula comes to with the step kept in each way, shape (answers, ways).
        exact: What it comes to with the step as it is, shape (answers, 1).
        weights: Of each way, shape (ways, answers).
        words: For each way.
        steps: Of working.
    """
    with np.errstate(all="ignore"):
        ratio = np.broadcast_to(results / exact, (len(wrong), len(words))).T
        changed = np.isfinite(ratio) & ~nearly(ratio, 1.0, 1e-9)
        predicted = wrong.right() * ratio / wrong.scale
    share = np.where(changed, weights, 0.0)
    for at, describe in enumerate(words):
        yield Hypothesis(
            cause=Cause.ROUNDED_EARLY, share=share[at], predicted=predicted[at], describe=describe, steps=steps
        )


def _all_kept(node: Node, env: Mapping[str, Values], figures: int, how: str, spared: int) -> Values:
    """Return *node* worked out with every result kept to *figures*, but for the last *spared* steps."""

    def inner(part: Node) -> Values:
        return _all_kept(part, env, figures, how, spared - 1)

    match node:
        case Operation(sign, left, right):
            value = np.asarray(OPERATIONS[sign](inner(left), inner(right)))
        case Power(base, exponent):
            value = np.asarray(inner(base) ** float(exponent))
        case Minus(term):
            value = -inner(term)
        case _:
            return evaluate(node, env)
    return value if spared > 0 else kept(value, figures, is_cut=how == "cut")


_Words = Callable[[int], Description]


def _words(step: str, value: Values, short: Values, figures: int, how: str) -> _Words:
    def describe(position: int) -> Description:
        at = min(position, value.shape[0] - 1)
        facts = {
            "step": step,
            "step_value": number_text(float(value[at, 0]), 4),
            "step_kept": number_text(float(short[at, 0]), figures),
        }
        return f"{step} {how} to {figures} figures", facts

    return describe


def _steps(tree: Node) -> Iterator[tuple[Node, Node]]:
    """Yield (formula with one step replaced by a name, that step) for every step that one may write down."""
    seen: list[Node] = []
    if isinstance(tree, Name):  # only the unit changes: what goes in may have been rounded first
        yield Name(_STEP), tree
    for node in walk(tree):
        if node is not tree and not isinstance(node, Number) and node not in seen:
            seen.append(node)
            yield _replaced(tree, node), node
    parts = [(part, side) for part, side in factors(tree) if not (isinstance(part, Number) and part.value == 1.0)]
    for size in range(2, len(parts)):
        for chosen in itertools.combinations(range(len(parts)), size):
            group = _chain([parts[i] for i in chosen])
            if group in seen:
                continue
            rest = [part for i, part in enumerate(parts) if i not in chosen]
            yield _chain([(Name(_STEP), 1), *rest]), group


def _chain(parts: list[tuple[Node, int]]) -> Node:
    # Only factors below the line: the step is their product, and its place is below the line too; the
    # ratio of rounded to exact is what counts, so one over it serves as well.
    above = [part for part, side in parts if side > 0]
    tree: Node = above.pop(0) if above else Number(1.0, "1")
    for part in above:
        tree = Operation("*", tree, part)
    for part, side in parts:
        if side < 0:
            tree = Operation("/", tree, part)
    return tree


def _replaced(tree: Node, step: Node) -> Node:
    if tree == step:
        return Name(_STEP)
    match tree:
        case Operation(sign, left, right):
            return Operation(sign, _replaced(left, step), _replaced(right, step))
        case Minus(term):
            return Minus(_replaced(term, step))
        case Power(base, exponent):
            return Power(_replaced(base, step), exponent)
        case _:
            return tree
