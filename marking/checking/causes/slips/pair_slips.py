"""Two slips in one answer: a wrong formula, reading or rounding together with a slip of unit or point.

Looked for only where no single slip explains an answer well.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from marking.checking.causes.slips.digit_answers import Meant
from marking.checking.causes.slips.digit_slips import swapped_inputs
from marking.checking.causes.slips.formula_slips import likely_formulas
from marking.checking.causes.wrong import (
    ANSWER_SHARE,
    Description,
    Hypothesis,
    Values,
    WrongAnswers,
    count_steps,
    meant_text,
    tree_names,
)
from marking.findings import Cause

PAIR_SHARE = 0.12
"""Of wrong answers, those with two slips that have nothing to do with each other, judged."""
SCALE_CAUSES = (Cause.UNIT_CONVERSION, Cause.POWER_OF_TEN)
"""Slips that only multiply an answer, whatever else was done."""
SCALE_SHARE = 0.55
"""Of pairs, those with a slip that only multiplies."""
SWAPPED_READING_SHARE = 0.1
"""Of pairs, those with two digits of a reading swapped; in the rest it is two digits of the finished answer."""
COPIED_SHARE = 1.0 - SCALE_SHARE - SWAPPED_READING_SHARE
LEAST_FORMULA_SHARE = 0.08
"""Rarer wrong formulas than this are not tried with swapped digits: so many pairs would explain anything."""
LEAST_SHARE = 0.02
"""Rarer single slips than this are not paired."""
NEVER_PAIRED = (Cause.POWER_OF_TEN, Cause.DIGITS_SWAPPED)
"""A moved point is one of the scales; swapped digits have so many ways that pairs of them would explain anything."""
MOST_SCALES = 12
COPIED_CAUSES = (
    Cause.UNIT_CONVERSION,
    Cause.REARRANGEMENT,
    Cause.OPERATION_ORDER,
    Cause.WRONG_QUANTITY,
    Cause.MISSING_FACTOR,
    Cause.COMBINATION_RULE,
    Cause.SIGN,
    Cause.GRADIENT_INVERTED,
)
"""Slips whose answer may then be copied with two digits swapped: those that are worked out forwards."""


def pair_slips(wrong: WrongAnswers, slips: Sequence[Hypothesis], prior: Mapping[Cause, float]) -> Iterator[Hypothesis]:
    """Yield pairs of the likelier single *slips*; the cause named is that of the slip that is not a mere scale."""
    right = wrong.right() / wrong.scale
    scales = _likeliest_scales(slips, prior)
    yield from _swapped_in_wrong_formulas(wrong)
    either = sum(prior.get(cause, 0.0) for cause in SCALE_CAUSES)
    with np.errstate(all="ignore"):
        factors = [scale.predicted / right for scale, _ in scales]
    for slip in slips:
        own = _likely_share(slip)
        if prior.get(slip.cause, 0.0) == 0.0 or not own.any():
            continue
        if slip.cause in NEVER_PAIRED:
            continue
        usual = PAIR_SHARE * SCALE_SHARE * own
        for (scale, its_share), factor in zip(scales, factors, strict=True):
            if scale.cause is slip.cause:
                continue
            # The prior of the first slip is counted where all are weighed; here only that of the second.
            share = usual * its_share * prior.get(scale.cause, 0.0) / either
            if not share.any():
                continue  # too rare for each of these answers: it would only be carried along
            yield Hypothesis(
                cause=slip.cause,
                share=share,
                predicted=slip.predicted * factor,
                describe=_both(slip, scale),
                steps=slip.steps,
            )


def _likely_share(slip: Hypothesis) -> Values:
    """Return the share of a slip, 0 for those answers for which it is too rare to be paired, shape (answers,)."""
    return np.where(slip.share >= LEAST_SHARE, slip.share, 0.0)


def _likeliest_scales(slips: Sequence[Hypothesis], prior: Mapping[Cause, float]) -> list[tuple[Hypothesis, Values]]:
    """Return slips that only multiply, each with its share; for each answer no more than the likeliest few.

    What is tried for one answer never depends on the answers beside it.
    """
    scales = [(slip, _likely_share(slip)) for slip in slips if slip.cause in SCALE_CAUSES]
    scales = [(slip, share) for slip, share in scales if share.any()]
    if not scales:
        return []
    weights = np.stack([share * prior.get(slip.cause, 0.0) for slip, share in scales])
    rank = np.argsort(np.argsort(-weights, axis=0, kind="stable"), axis=0)
    kept = [
        (slip, np.where(place < MOST_SCALES, share, 0.0)) for (slip, share), place in zip(scales, rank, strict=True)
    ]
    return [(slip, share) for slip, share in kept if share.any()]


def _swapped_in_wrong_formulas(wrong: WrongAnswers) -> Iterator[Hypothesis]:
    formulas = list(likely_formulas(wrong, LEAST_FORMULA_SHARE))
    for one in swapped_inputs(wrong):
        for variant, share, describe in formulas:
            both = PAIR_SHARE * SWAPPED_READING_SHARE * share * one.chance
            if one.name in tree_names(variant.tree) and both.any():
                yield Hypothesis(
                    cause=variant.cause,
                    share=both,
                    predicted=wrong.worked(variant.tree, {one.name: one.used}),
                    describe=_with_swap(describe, one.describe),
                    steps=count_steps(variant.tree) + 1,
                )


def copied_slips(slips: Sequence[Hypothesis]) -> list[Hypothesis]:
    """Return the likelier *slips* whose answer may then have been copied with two digits swapped."""
    likely = [(slip, _likely_share(slip)) for slip in slips if slip.cause in COPIED_CAUSES]
    return [replace(slip, share=share) for slip, share in likely if share.any()]


def share_copied(meant: Meant) -> Values:
    """Return the chance that such a slip is followed by the very swap that hides what was *meant*, shape (answers,)."""
    return np.asarray(PAIR_SHARE * COPIED_SHARE * meant.chance / ANSWER_SHARE)


def copied_words(slip: Hypothesis, meant: Meant) -> Callable[[int], Description]:
    """Return the words for *slip* with its answer, *meant*, copied with two digits swapped."""

    def describe(position: int) -> Description:
        detail, facts = slip.describe(position)
        text = meant_text(float(meant.number[position]))
        return f"{detail}; {text} copied", dict(facts) | {"second": str(Cause.DIGITS_SWAPPED), "second_size": ""}

    return describe


def _with_swap(
    first: Callable[[int], Description], second: Callable[[int], Description]
) -> Callable[[int], Description]:
    def describe(position: int) -> Description:
        detail, facts = first(position)
        other, _ = second(position)
        return f"{detail}; {other}", dict(facts) | {"second": str(Cause.DIGITS_SWAPPED), "second_size": ""}

    return describe


def _both(first: Hypothesis, second: Hypothesis) -> Callable[[int], Description]:
    def describe(position: int) -> Description:
        detail, facts = first.describe(position)
        other, more = second.describe(position)
        return f"{detail}; {other}", dict(facts) | {"second": str(second.cause), "second_size": more.get("size", "")}

    return describe
