"""Two slips in one answer: a wrong formula, reading or rounding together with a slip of unit or point.

Looked for only where no single slip explains an answer well.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from marking.checking.causes.slips.digit_answers import Meant
from marking.checking.causes.slips.digit_slips import SwappedInput, swapped_inputs
from marking.checking.causes.slips.formulas import WrongFormula, wrong_formulas
from marking.checking.causes.wrong import (
    ANSWER_SHARE,
    Description,
    Hypothesis,
    Slips,
    Values,
    WrongAnswers,
    meant_text,
    tried,
)
from marking.findings import Cause

PAIR_SHARE = 0.09
"""Of wrong answers, those with two slips that have nothing to do with each other, judged. Markers tell of 3 to 5 in 100
of them, and of as many that are copied wrongly behind another slip."""
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
NEVER_PAIRED = (Cause.POWER_OF_TEN, Cause.DIGITS_SWAPPED, Cause.COPYING)
"""A moved point is one of the scales; miscopied digits have so many ways that pairs of them would explain anything."""
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

_CODES = {cause: number for number, cause in enumerate(Cause)}


def pair_slips(slips: Slips, prior: Mapping[Cause, float]) -> Slips:
    """Return pairs of the likelier single *slips*; the cause named is that of the slip that is not a mere scale."""
    swapped = list(_swapped_in_wrong_formulas(slips.wrong))
    scaled = _scaled(slips, prior)
    if not swapped:
        return scaled
    others = tried(slips.wrong, swapped)
    first, second, count = others.words, scaled.words, len(others)
    return Slips(
        wrong=slips.wrong,
        causes=others.causes + scaled.causes,
        share=np.concatenate([others.share, scaled.share]),
        predicted=np.concatenate([others.predicted, scaled.predicted]),
        steps=np.concatenate([others.steps, scaled.steps]),
        is_worked_out=np.concatenate([others.is_worked_out, scaled.is_worked_out]),
        agrees=others.agrees + scaled.agrees,
        words=lambda pair, at: first(pair, at) if pair < count else second(pair - count, at),
    )


def _scaled(slips: Slips, prior: Mapping[Cause, float]) -> Slips:
    """Return every likely slip with every likely one that only multiplies."""
    right = slips.wrong.right() / slips.wrong.scale
    share = _likely_share(slips)
    scales, scale_share = _likeliest_scales(slips, share, prior)
    either = sum(prior.get(cause, 0.0) for cause in SCALE_CAUSES)
    usable = [prior.get(cause, 0.0) != 0.0 and cause not in NEVER_PAIRED for cause in slips.causes]
    first = np.flatnonzero(np.array(usable, np.bool_) & share.any(axis=1)) if len(slips) else np.zeros(0, np.int64)
    with np.errstate(all="ignore"):
        factors = slips.predicted[scales] / right
    # The prior of the first slip is counted where all are weighed; here only that of the second.
    of_scale = np.array([prior.get(slips.causes[scale], 0.0) for scale in scales.tolist()])[:, None]
    codes = np.array([_CODES[cause] for cause in slips.causes], np.int64)
    # Of so many pairs only those are made that are not too rare for each of these answers.
    together = (share[first] > 0).astype(np.float32) @ (scale_share * of_scale > 0).astype(np.float32).T
    one, other = np.nonzero((codes[first][:, None] != codes[scales][None, :]) & (together > 0))
    which, scale = first[one], scales[other]
    shares = PAIR_SHARE * SCALE_SHARE * share[which] * scale_share[other] * of_scale[other] / either
    with np.errstate(invalid="ignore"):
        # Nothing times a factor without bound is no value: such a pair prints no answer.
        predicted = slips.predicted[which] * factors[other]
    return Slips(
        wrong=slips.wrong,
        causes=tuple(slips.causes[slip] for slip in which.tolist()),
        share=shares,
        predicted=predicted,
        steps=slips.steps[which],
        is_worked_out=slips.is_worked_out[which],
        agrees=(None,) * which.size,
        words=_both(slips, which, scale),
    )


def _likely_share(slips: Slips) -> Values:
    """Return the shares, 0 for those answers for which a slip is too rare to be paired, shape (slips, answers)."""
    return np.where(slips.share >= LEAST_SHARE, slips.share, 0.0)


def _likeliest_scales(slips: Slips, share: Values, prior: Mapping[Cause, float]) -> tuple[NDArray[np.int64], Values]:
    """Return which slips only multiply, each with its share; for each answer no more than the likeliest few.

    What is tried for one answer never depends on the answers beside it.
    """
    scales = np.array([cause in SCALE_CAUSES for cause in slips.causes], np.bool_)
    found = np.flatnonzero(scales & share.any(axis=1)) if len(slips) else np.zeros(0, np.int64)
    own = share[found]
    weights = own * np.array([prior.get(slips.causes[slip], 0.0) for slip in found.tolist()])[:, None]
    rank = np.argsort(np.argsort(-weights, axis=0, kind="stable"), axis=0)
    kept = np.where(rank < MOST_SCALES, own, 0.0)
    some = kept.any(axis=1)
    return found[some], kept[some]


def _swapped_in_wrong_formulas(wrong: WrongAnswers) -> Iterator[Hypothesis]:
    every = wrong_formulas(wrong.board.rubric, wrong.item)
    formulas = [one for one in every if one.share >= LEAST_FORMULA_SHARE]
    inputs = list(swapped_inputs(wrong)) if formulas else []
    worked = _worked_with_swaps(wrong, formulas, inputs)
    for at, one in enumerate(inputs):
        for number, formula in enumerate(formulas):
            both = PAIR_SHARE * SWAPPED_READING_SHARE * formula.share * one.chance
            if one.name in formula.names and both.any():
                yield Hypothesis(
                    cause=formula.cause,
                    share=both,
                    predicted=worked[number, at],
                    describe=_with_swap(formula.description, one.describe),
                    steps=formula.steps + 1,
                )


def _worked_with_swaps(
    wrong: WrongAnswers, formulas: Sequence[WrongFormula], inputs: Sequence[SwappedInput]
) -> Mapping[tuple[int, int], Values]:
    """Return what each formula comes to with each swap, (answers,): all swaps in one reading in one go."""
    found: dict[tuple[int, int], Values] = {}
    for name in dict.fromkeys(one.name for one in inputs):
        places = [at for at, one in enumerate(inputs) if one.name == name]
        used = np.concatenate([inputs[at].used for at in places], axis=1)
        for number, formula in enumerate(formulas):
            if name in formula.names:
                worked = wrong.worked_each(formula.tree, {name: used})
                found |= {(number, at): worked[:, column] for column, at in enumerate(places)}
    return found


def copied_slips(slips: Slips) -> Slips:
    """Return the likelier *slips* whose answer may then have been copied with two digits swapped."""
    share = _likely_share(slips)
    copied = np.array([cause in COPIED_CAUSES for cause in slips.causes], np.bool_)
    chosen = np.flatnonzero(copied & share.any(axis=1)) if len(slips) else np.zeros(0, np.int64)
    return slips.only(chosen, share[chosen])


def share_copied(meant: Meant) -> Values:
    """Return the chance that such a slip is followed by the very swap that hides what was *meant*, shape (answers,)."""
    return np.asarray(PAIR_SHARE * COPIED_SHARE * meant.chance / ANSWER_SHARE)


def copied_words(slips: Slips, slip: int, meant: Meant) -> Callable[[int], Description]:
    """Return the words for one of *slips* with its answer, *meant*, copied with two digits swapped."""

    def describe(position: int) -> Description:
        detail, facts = slips.words(slip, position)
        text = meant_text(float(meant.number[position]), int(meant.last[position]))
        return f"{detail}; {text} copied", dict(facts) | {"second": str(Cause.DIGITS_SWAPPED), "second_size": ""}

    return describe


def _with_swap(first: Description, second: Callable[[int], Description]) -> Callable[[int], Description]:
    detail, facts = first

    def describe(position: int) -> Description:
        other, _ = second(position)
        return f"{detail}; {other}", dict(facts) | {"second": str(Cause.DIGITS_SWAPPED), "second_size": ""}

    return describe


def _both(slips: Slips, first: NDArray[np.int64], second: NDArray[np.int64]) -> Callable[[int, int], Description]:
    def words(pair: int, position: int) -> Description:
        other_cause = slips.causes[int(second[pair])]
        detail, facts = slips.words(int(first[pair]), position)
        other, more = slips.words(int(second[pair]), position)
        return f"{detail}; {other}", dict(facts) | {"second": str(other_cause), "second_size": more.get("size", "")}

    return words
