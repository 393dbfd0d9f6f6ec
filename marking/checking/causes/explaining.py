"""From the wrong answers of a batch to what may have happened, likeliest first."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from marking.checking.board import Board
from marking.checking.causes.digit_slips import digit_slips
from marking.checking.causes.formula_slips import formula_slips
from marking.checking.causes.hypothesis import Description, Hypothesis, Values
from marking.checking.causes.line_slips import line_slips
from marking.checking.causes.matches import Match, matches
from marking.checking.causes.pair_slips import pair_slips
from marking.checking.causes.pooling import pool_rows
from marking.checking.causes.priors import Priors, kind_of_answer
from marking.checking.causes.quantity_slips import quantity_slips
from marking.checking.causes.rounding_slips import rounding_slips
from marking.checking.causes.unit_slips import unit_slips
from marking.checking.causes.weighing import weigh
from marking.checking.causes.wrong_answers import WrongAnswers, gather
from marking.checking.judging import Judged
from marking.findings import Cause, Explanation

LEAST_SHOWN = 0.05
"""A rarer explanation than this is not worth a teacher's glance."""
MOST_SHOWN = 4
UNEXPLAINED_SHARE = 0.3
"""Pairs of slips are looked for where no single one leaves less than this unexplained."""
UNKNOWN_SLIP_SHARE = 0.25
"""Of answers that no slip known here explains, those that a teacher would still find one for; measured by
``tests.benchmarks.causes``."""
UNROUNDED_SHARE = 0.5
"""Of students whose calculator holds more figures of an earlier answer than their paper, those who use them."""
CHUNK = 4096
"""Answers weighed together; bounds the memory, whatever the size of the set."""

Explanations = Mapping[tuple[str, int, int], tuple[Explanation, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Explained:
    """What may have happened in a batch."""

    explanations: Explanations
    counts: Mapping[str, Mapping[Cause, float]]
    """For each kind of answer, how many answers each cause explains; parts of answers count as parts."""


def explain(board: Board, judged: Mapping[str, Judged], priors: Priors) -> Explained:
    """Return what may have happened in each wrong answer of *board*, by (item, student, row from 0)."""
    found: dict[tuple[str, int, int], tuple[Explanation, ...]] = {}
    counts: dict[str, dict[Cause, float]] = {}
    for name, one in judged.items():
        wrong = gather(board, judged, one.item)
        kind = kind_of_answer(board.rubric, one.item)
        for start in range(0, len(wrong), CHUNK):
            chunk = slice(start, start + CHUNK)
            part = replace(wrong, students=wrong.students[chunk], rows=wrong.rows[chunk])
            listed, sums = _explain(part, priors[kind])
            for position, explanations in enumerate(listed):
                found[name, int(part.students[position]), int(part.rows[position])] = explanations
            own = counts.setdefault(kind, {})
            for cause, total in sums.items():
                own[cause] = own.get(cause, 0.0) + total
    return Explained(explanations=found, counts=counts)


def _explain(
    wrong: WrongAnswers, prior: Mapping[Cause, float]
) -> tuple[list[tuple[Explanation, ...]], Mapping[Cause, float]]:
    """Return the explanations of each answer, and how many answers each cause explains."""
    slips, backwards = _found_in(wrong)
    more = wrong.carries_more()
    if more.any():
        kept, kept_backwards = _found_in(replace(wrong, unrounded=True))
        split = np.where(more, UNROUNDED_SHARE, 0.0)
        slips = [replace(one, share=one.share * (1.0 - split)) for one in slips]
        slips += [replace(one, share=one.share * split) for one in kept]
        backwards = [replace(one, mass=one.mass * (1.0 - split)) for one in backwards]
        backwards += [replace(one, mass=one.mass * split) for one in kept_backwards]
    chances = weigh(wrong, slips, backwards, prior)
    joint = pool_rows(*chances, wrong.students) if wrong.item.table is not None else chances[0] * chances[1]
    left_open = joint[-1] > UNEXPLAINED_SHARE * joint.sum(axis=0)
    if left_open.any():
        pairs = list(pair_slips(wrong, slips, prior))
        prior_of_pairs, chance_of_pairs = weigh(wrong, pairs, [], prior)
        joint = np.concatenate([prior_of_pairs[:-1] * chance_of_pairs[:-1] * left_open, joint])
        slips = [*pairs, *slips]
    return _list_all(wrong, joint / joint.sum(axis=0), slips, backwards)


def _found_in(wrong: WrongAnswers) -> tuple[list[Hypothesis], list[Match]]:
    """Return every slip, worked forwards or found backwards."""
    slips = [
        *unit_slips(wrong),
        *formula_slips(wrong),
        *quantity_slips(wrong),
        *line_slips(wrong),
        *digit_slips(wrong),
        *rounding_slips(wrong),
    ]
    return slips, list(matches(wrong))


def _list_all(
    wrong: WrongAnswers, probability: Values, slips: list[Hypothesis], backwards: list[Match]
) -> tuple[list[tuple[Explanation, ...]], Mapping[Cause, float]]:
    causes = [slip.cause for slip in slips] + [match.cause for match in backwards] + [Cause.UNEXPLAINED]
    words = [slip.describe for slip in slips] + [match.describe for match in backwards] + [_nothing]
    agrees = [slip.dimension_agrees for slip in slips] + [None] * (len(backwards) + 1)
    order = np.argsort(-probability, axis=0, kind="stable")[: 4 * MOST_SHOWN]
    kinds = sorted(set(causes))
    sums = np.stack([probability[[c == kind for c in causes]].sum(axis=0) for kind in kinds])
    listed = [
        _listed(position, probability, order, causes, words, agrees, dict(zip(kinds, sums[:, position], strict=True)))
        for position in range(len(wrong))
    ]
    # A slip in a whole column is one slip, not seven.
    weight = 1.0 / np.bincount(wrong.students)[wrong.students]
    return listed, dict(zip(kinds, (sums * weight).sum(axis=1).tolist(), strict=True))


def _less_sure(explanation: Explanation) -> Explanation:
    if explanation.cause is not Cause.UNEXPLAINED:
        return explanation
    return replace(explanation, probability=explanation.probability * (1.0 - UNKNOWN_SLIP_SHARE))


def _nothing(_: int) -> Description:
    return "", {}


def _listed(
    position: int,
    probability: np.ndarray[tuple[int, int], np.dtype[np.float64]],
    order: np.ndarray[tuple[int, int], np.dtype[np.int64]],
    causes: list[Cause],
    words: list[Callable[[int], Description]],
    agrees: list[np.ndarray[tuple[int], np.dtype[np.bool_]] | None],
    sums: Mapping[Cause, float],
) -> tuple[Explanation, ...]:
    """Return the explanations of one answer, the likeliest cause first.

    The first one carries what its cause's unlisted ways add, so that the listed ways sum to the cause.
    """
    best = max(sums, key=lambda cause: sums[cause])
    listed: list[Explanation] = []
    seen: set[tuple[Cause, str]] = set()
    ranked = sorted(order[:, position], key=lambda index: (causes[index] is not best, -probability[index, position]))
    for index in ranked:
        share = float(probability[index, position])
        if listed and (share < LEAST_SHOWN or len(listed) == MOST_SHOWN):
            continue
        detail, facts = words[index](position)
        if (causes[index], detail) in seen:
            continue
        seen.add((causes[index], detail))
        fits = agrees[index]
        if fits is not None and fits[position]:
            facts = dict(facts) | {"unit_agrees": "yes"}
        listed.append(Explanation(cause=causes[index], detail=detail, probability=share, facts=facts))
    rest = float(sums[best]) - sum(one.probability for one in listed if one.cause is best)
    listed[0] = replace(listed[0], probability=min(1.0, listed[0].probability + max(0.0, rest)))
    listed = [_less_sure(one) for one in listed]
    return tuple(listed)
