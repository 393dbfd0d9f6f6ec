"""Which shape a student's own points have: straight through the origin, flattening, or with a turn-on.

Three models are fitted to the points and compared by the Bayesian information criterion (Schwarz,
Annals of Statistics 6 (1978) 461). Where no model stands out, the answer is that it cannot be told.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]

MODELS = ("proportional", "flattening", "threshold")
PARAMETERS = np.array([1.0, 2.0, 2.0, 2.0])
"""Of each model, and of the one without a name: a straight line that misses the origin, as a meter off zero gives."""
PRIORS = np.array([1.0, 1.0, 1.0, 0.003])
"""A meter off zero has to show clearly; where it does, 'proportional' is neither right nor wrong."""
FEWEST_POINTS = 5
SURE = 0.90
"""A shape is named from this probability on."""
METER_SHARE = 0.02
"""A school meter and its reader are good to about this share of a reading; common practice, no source."""
FLATTENING_POWERS = np.linspace(0.30, 0.85, 12)
"""I ~ |V|**p: a lamp lies near 0.5 to 0.6; above 0.85 it is not told from a straight line."""
TURN_ON_SHARES = np.linspace(0.10, 0.95, 35)
"""Turn-on p.d. as a share of the largest p.d. in the forward direction."""
RISE_SHARES = np.geomspace(0.02, 0.30, 10)
"""Steepness of an exponential rise, as a share of the same p.d."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shapes:
    """The probability of each model for each student, shape (students, 3); NaN with too few points.

    What a row lacks to 1 is the probability of a straight line that misses the origin.
    """

    probability: Values

    def named(self, student: int) -> str | None:
        """Return the shape of one student's points, or None where it cannot be told."""
        row = self.probability[student]
        best = int(np.argmax(np.nan_to_num(row)))
        return MODELS[best] if row[best] >= SURE else None


def shapes(x: Values, y: Values, step_y: Values) -> Shapes:
    """Return how well each model fits.

    Args:
        x: Shape (students, rows), NaN where nothing was read.
        y: The same shape.
        step_y: Smallest step of y that the readings show, shape (students, rows).
    """
    with np.errstate(all="ignore"):
        used = np.isfinite(x) & np.isfinite(y)
        x, y = np.where(used, x, 0.0), np.where(used, y, 0.0)
        n = used.sum(axis=1).astype(np.float64)
        step = np.nan_to_num(np.where(used, step_y, 0.0)).max(axis=1, keepdims=True)
        noise = np.sqrt(step**2 / 12.0 + (METER_SHARE * y) ** 2) + 1e-12 * np.abs(y).max(axis=1, keepdims=True)
        weight = np.where(used, 1.0 / np.where(noise > 0, noise, 1.0) ** 2, 0.0)
        peak = np.abs(x).max(axis=1, keepdims=True)
        forward = np.where(y == np.abs(y).max(axis=1, keepdims=True), 1.0, 0.0).max(axis=1, keepdims=True)
        sign = np.where(forward > 0, 1.0, -1.0)
        misfit = np.stack(
            [
                _misfit(x[:, None, :], y, weight),
                _misfit(_powers(x), y, weight),
                np.minimum(
                    _misfit(_hinges(sign * x, peak), sign * y, weight),
                    _misfit(_rises(sign * x, peak), sign * y, weight),
                ),
                _offset_misfit(x, y, weight),
            ],
            axis=1,
        )
        score = -0.5 * (
            n[:, None] * np.log(np.maximum(misfit / n[:, None], 1.0)) + PARAMETERS * np.log(n)[:, None]
        ) + np.log(PRIORS)
        score -= score.max(axis=1, keepdims=True)
        probability = np.exp(score) / np.exp(score).sum(axis=1, keepdims=True)
        return Shapes(probability=np.where(n[:, None] >= FEWEST_POINTS, probability[:, : len(MODELS)], np.nan))


def _powers(x: Values) -> Values:
    return np.sign(x)[:, None, :] * np.abs(x)[:, None, :] ** FLATTENING_POWERS[None, :, None]


def _hinges(x: Values, peak: Values) -> Values:
    return np.maximum(x[:, None, :] - TURN_ON_SHARES[None, :, None] * peak[:, :, None], 0.0)


def _rises(x: Values, peak: Values) -> Values:
    # Counted from the peak, so that the exponential of a steep rise stays finite.
    forward = np.where(x > 0, x, 0.0)
    top = forward.max(axis=1, keepdims=True)
    width = RISE_SHARES[None, :, None] * peak[:, :, None]
    zero = np.exp(-top[:, :, None] / width)
    return np.where(x[:, None, :] > 0, np.exp((x[:, None, :] - top[:, :, None]) / width) - zero, 0.0)


def _misfit(shape: Values, y: Values, weight: Values) -> Values:
    """Return the least weighted sum of squares over the grid, each member scaled to fit; (students,)."""
    w, target = weight[:, None, :], y[:, None, :]
    scale = (w * shape * target).sum(axis=2) / (w * shape * shape).sum(axis=2)
    left = (w * (target - scale[:, :, None] * shape) ** 2).sum(axis=2)
    return np.asarray(np.where(np.isfinite(left), left, np.inf).min(axis=1))


def _offset_misfit(x: Values, y: Values, weight: Values) -> Values:
    """Return the least weighted sum of squares of a straight line with an intercept; (students,)."""
    total = weight.sum(axis=1, keepdims=True)
    dx = x - (weight * x).sum(axis=1, keepdims=True) / total
    dy = y - (weight * y).sum(axis=1, keepdims=True) / total
    slope = (weight * dx * dy).sum(axis=1, keepdims=True) / (weight * dx * dx).sum(axis=1, keepdims=True)
    left = (weight * (dy - slope * dx) ** 2).sum(axis=1)
    return np.asarray(np.where(np.isfinite(left), left, np.inf))
