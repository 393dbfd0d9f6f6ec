"""How well each slip explains each printed answer: prior times likelihood, 'unexplained' among them.

The likelihood of an answer under a slip is the chance that a student who made it prints just these
figures. 'Unexplained' spreads its share over all magnitudes, so an answer of two figures, which many
slips hit by chance, earns less confidence than one of four.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

from marking.checking.careful import is_drawn
from marking.checking.causes.drawing import drawn_chance
from marking.checking.causes.hypothesis import Hypothesis, Values
from marking.checking.causes.matches import Match
from marking.checking.causes.wrong_answers import WrongAnswers
from marking.findings import Cause

ROUNDED_SHARE = 0.80
"""Of those who made a slip, so many worked it without rounding on the way and rounded the answer."""
CUT_SHARE = 0.05
SPREAD_SHARE = 0.15
"""Rounded a step to three figures on the way, which shifts the answer a little."""
STEP_SPREAD = 0.004
"""Half-width of that shift, relative, for each step."""
UNIT_EVIDENCE = 25.0
"""A unit that fits the wrong formula is so many times likelier under it than under any other slip."""
DECADES = 8.0
NEAR_SHARE = 0.5
"""Of unexplained answers, those that scatter about the right one."""
NEAR_SCALE = 1.1
"""Their scatter in the logarithm: about a factor of three."""


def weigh(
    wrong: WrongAnswers, slips: Sequence[Hypothesis], found: Sequence[Match], prior: Mapping[Cause, float]
) -> tuple[Values, Values]:
    """Return the prior of each slip, and the chance of each printed answer under it.

    Returns:
        Two arrays of shape (slips + matches + 1, answers); the last row is 'unexplained'.
    """
    number = wrong.number
    drawn = wrong.item.formula is not None and is_drawn(wrong.item.formula)
    rounded, cut = wrong.rounded(), wrong.rounded_or_cut()
    with np.errstate(all="ignore"):
        size = np.abs(number)
        largest = np.maximum(np.abs(rounded[0]), np.abs(rounded[1]))
        smallest = np.minimum(np.abs(rounded[0]), np.abs(rounded[1]))
        width = np.log(largest) - np.log(np.maximum(smallest, 1e-3 * size))
        width = np.where(np.isfinite(width), width, 1.0)
        # A cause that several kinds of slip lead to is not the likelier for that.
        totals: dict[Cause, Values] = {}
        for slip in slips:
            totals[slip.cause] = totals.get(slip.cause, 0.0) + slip.share
        priors = [prior.get(slip.cause, 0.0) * _share(slip) / np.maximum(totals[slip.cause], 1.0) for slip in slips]
        priors += [np.full(len(wrong), prior.get(match.cause, 0.0)) for match in found]
        priors.append(np.full(len(wrong), prior[Cause.UNEXPLAINED]))
        chances = [_likelihood(slip, number, rounded, cut, width, drawn) for slip in slips]
        chances += [match.mass for match in found]
        chances.append(_unexplained(wrong, number, width))
    return np.stack(priors), np.nan_to_num(np.stack(chances), nan=0.0, posinf=0.0)


def _share(slip: Hypothesis) -> Values:
    if slip.dimension_agrees is None:
        return slip.share
    return np.asarray(slip.share * np.where(slip.dimension_agrees, UNIT_EVIDENCE, 1.0))


def _likelihood(
    slip: Hypothesis,
    number: Values,
    rounded: tuple[Values, Values],
    cut: tuple[Values, Values],
    width: Values,
    drawn: bool,
) -> Values:
    predicted = slip.predicted
    noise = 1e-9 * np.abs(predicted)
    distance = np.abs(np.log(number / predicted))
    if drawn:
        return drawn_chance(number, predicted, width)
    was_rounded = (predicted >= rounded[0] - noise) & (predicted <= rounded[1] + noise)
    was_cut = (predicted >= cut[0] - noise) & (predicted <= cut[1] + noise)
    likelihood = ROUNDED_SHARE * was_rounded.astype(np.float64) + CUT_SHARE * was_cut.astype(np.float64)
    if slip.steps > 1:
        half = STEP_SPREAD * (slip.steps - 1)
        near = np.maximum(1.0 - distance / half, 0.0)
        likelihood = likelihood + SPREAD_SHARE * np.minimum(near * width / half, 1.0)
    return np.asarray(likelihood)


def _unexplained(wrong: WrongAnswers, number: Values, width: Values) -> Values:
    right = wrong.right() / wrong.scale
    distance = np.abs(np.log(np.abs(number / right)))
    near = np.exp(-distance / NEAR_SCALE) / (2.0 * NEAR_SCALE)
    near = np.where(np.isfinite(near), near, 0.0)
    return np.asarray(width * ((1.0 - NEAR_SHARE) / (DECADES * math.log(10)) + NEAR_SHARE * near))
