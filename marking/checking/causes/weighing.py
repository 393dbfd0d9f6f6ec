"""How well each slip explains each printed answer: prior times likelihood, 'unexplained' among them.

The likelihood of an answer under a slip is the chance that a student who made it prints just these
figures. 'Unexplained' spreads its share over all magnitudes, so an answer of two figures, which many
slips hit by chance, earns less confidence than one of four.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

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
DRAWN_SPREAD = 0.02
"""Standard deviation of a gradient drawn by hand, relative; common practice, no source."""
UNIT_EVIDENCE = 25.0
"""A unit that fits the wrong formula is so many times likelier under it than under any other slip."""
DECADES = 8.0
NEAR_SHARE = 0.5
"""Of unexplained answers, those that scatter about the right one."""
NEAR_SCALE = 1.1
"""Their scatter in the logarithm: about a factor of three."""


def weigh(
    wrong: WrongAnswers, slips: Sequence[Hypothesis], found: Sequence[Match], prior: Mapping[Cause, float]
) -> Values:
    """Return the probability of each slip for each answer.

    Returns:
        Shape (slips + matches + 1, answers), columns adding up to one; the last row is 'unexplained'.
    """
    number = wrong.number
    rounded, cut = wrong.rounded(), wrong.rounded_or_cut()
    with np.errstate(all="ignore"):
        size = np.abs(number)
        width = np.log(np.maximum(np.abs(rounded[0]), np.abs(rounded[1]))) - np.log(
            np.maximum(np.minimum(np.abs(rounded[0]), np.abs(rounded[1])), 1e-3 * size)
        )
        width = np.where(np.isfinite(width), width, 1.0)
        rows = [prior.get(slip.cause, 0.0) * _joint(slip, number, rounded, cut, width) for slip in slips]
        rows += [prior.get(match.cause, 0.0) * match.mass for match in found]
        rows.append(prior[Cause.UNEXPLAINED] * _unexplained(wrong, number, width))
        weight = np.stack(rows)
        weight = np.where(np.isfinite(weight), weight, 0.0)
        return np.asarray(weight / weight.sum(axis=0))


def _joint(slip: Hypothesis, number: Values, rounded: tuple[Values, Values], cut: tuple[Values, Values], width: Values) -> Values:
    predicted = slip.predicted
    noise = 1e-9 * np.abs(predicted)
    distance = np.abs(np.log(number / predicted))
    if slip.drawn:
        likelihood = width * np.exp(-0.5 * (distance / DRAWN_SPREAD) ** 2) / (DRAWN_SPREAD * math.sqrt(2 * math.pi))
        likelihood = np.minimum(likelihood, 1.0)
    else:
        likelihood = ROUNDED_SHARE * ((predicted >= rounded[0] - noise) & (predicted <= rounded[1] + noise))
        likelihood = likelihood + CUT_SHARE * ((predicted >= cut[0] - noise) & (predicted <= cut[1] + noise))
        if slip.steps > 1:
            half = STEP_SPREAD * (slip.steps - 1)
            near = np.maximum(1.0 - distance / half, 0.0)
            likelihood = likelihood + SPREAD_SHARE * np.minimum(near * width / half, 1.0)
    share = slip.share
    if slip.dimension_agrees is not None:
        share = share * np.where(slip.dimension_agrees, UNIT_EVIDENCE, 1.0)
    return np.asarray(share * np.nan_to_num(likelihood))


def _unexplained(wrong: WrongAnswers, number: Values, width: Values) -> Values:
    right = wrong.right() / wrong.scale
    distance = np.abs(np.log(np.abs(number / right)))
    near = np.exp(-distance / NEAR_SCALE) / (2.0 * NEAR_SCALE)
    near = np.where(np.isfinite(near), near, 0.0)
    return np.asarray(width * ((1.0 - NEAR_SHARE) / (DECADES * math.log(10)) + NEAR_SHARE * near))
