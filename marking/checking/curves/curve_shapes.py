"""Which shape a student's own points have: straight through the origin, flattening, or with a turn-on.

Families of curves (``curve_families.py``) are compared by how probable they make the student's readings
(``curve_evidence.py``). A meter that does not start at zero, one reading that went wrong, a narrow range,
a component the other way round and minus signs left out are part of the comparison. Where no family
stands out, or where something else fits better, the answer is that it cannot be told.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.curves.curve_evidence import X_SHARE, log_evidence
from marking.checking.curves.curve_families import (
    SEEN_ON,
    TURNED_ON,
    Family,
    flattening,
    level,
    reaches,
    steepening,
    straight,
    threshold,
)

Values = NDArray[np.float64]

MODELS = ("proportional", "flattening", "threshold")
PRIORS = (0.313, 0.313, 0.313)
STEEPENING_PRIOR, LEVEL_PRIOR = 0.03, 0.015
"""What else the points may show: a curve that gets steeper, or nothing but scatter."""
FEWEST_POINTS = 5
LEAST_RANGE = 0.2
"""Share of the largest p.d. that the sizes of the readings must cover before a line and a lamp's curve can be told
apart; readings at the same p.d. either way are one size twice."""
FEWEST_STEPS = 4
"""A largest current of fewer steps of the meter does not tell a line from a lamp's curve."""
FEWEST_STEPS_OF_A_TURN_ON = 3
"""No current at most p.d.s and three counts at the last shows a turn-on; fewer show nothing."""
SURE = 0.95
"""A shape is named from this probability on."""
LITTLE = 0.02
"""Less than this share of the largest current counts as none where signs are mended."""
PLAIN = 0.15
"""More than this share of the largest is no zero offset; its sign means something."""
CHUNK = 25
"""Students weighed at a time; keeps the arrays small enough for the cache."""


class Shapes(Struct, frozen=True, kw_only=True):
    """How well each model fits each student's points; NaN with too few points."""

    probability: Values
    """Shape (students, 3), in the order of MODELS; what is left to 1 is for none of them."""
    turn_on: Values
    """Where the current starts to rise, in the unit of x and with its sign, if there is a turn-on; (students,)."""
    turn_on_error: Values
    """Its standard uncertainty, (students,)."""

    def named(self, student: int) -> str | None:
        """Return the shape of one student's points, or None where it cannot be told."""
        row = np.nan_to_num(self.probability[student])
        best = int(np.argmax(row))
        return MODELS[best] if row[best] >= SURE else None


def shapes(x: Values, y: Values, step_y: Values, step_x: Values | None = None) -> Shapes:
    """Return how well each model fits.

    Args:
        x: Shape (students, rows), NaN where nothing was read.
        y: The same shape.
        step_y: Smallest step of y that the readings show, shape (students, rows).
        step_x: The same of x; left out, x counts as exact but for the scatter of a school meter.
    """
    steps = np.zeros_like(x) if step_x is None else step_x
    parts = [
        _weigh(x[start : start + CHUNK], y[start : start + CHUNK], step_y[start : start + CHUNK], steps[start:][:CHUNK])
        for start in range(0, len(x), CHUNK)
    ]
    if not parts:
        return Shapes(probability=np.empty((0, len(MODELS))), turn_on=np.empty(0), turn_on_error=np.empty(0))
    return Shapes(
        probability=np.concatenate([part.probability for part in parts]),
        turn_on=np.concatenate([part.turn_on for part in parts]),
        turn_on_error=np.concatenate([part.turn_on_error for part in parts]),
    )


def _weigh(x: Values, y: Values, step_y: Values, step_x: Values) -> Shapes:
    with np.errstate(all="ignore"):
        used = np.isfinite(x) & np.isfinite(y)
        x, y = np.where(used, x, 0.0), np.where(used, y, 0.0)
        top_x, top_y = _largest(x), _largest(y)
        u, v = _with_signs_mended(x / top_x, y / top_y)
        way = np.where((v * np.abs(v)).sum(axis=1, keepdims=True) < 0, -1.0, 1.0)
        reach = np.maximum((way * u).max(axis=1, keepdims=True), 1e-9)
        forward = way * u / reach
        step_v = np.nan_to_num(np.where(used, step_y, 0.0)).max(axis=1, keepdims=True) / top_y
        error = np.sqrt((np.nan_to_num(step_x) / top_x) ** 2 / 12.0 + (X_SHARE * u) ** 2)
        turning_on = _members(threshold(forward), way * v, used, step_v, error / reach)
        evidence = [
            _members(straight(u), v, used, step_v, error),
            _members(flattening(u), v, used, step_v, error),
            turning_on,
            _members(steepening(u), v, used, step_v, error),
            _members(level(u), v, used, step_v, error, anything=True),
        ]
        priors = np.log([*PRIORS, STEEPENING_PRIOR, LEVEL_PRIOR])
        total = np.stack([np.logaddexp.reduce(one, axis=1) for one in evidence], axis=1) + priors
        total -= np.logaddexp.reduce(total, axis=1)[:, None]
        probability = np.exp(total[:, : len(MODELS)])
        probability[_range(u, used) < LEAST_RANGE, :2] = 0.0
        enough = (used.sum(axis=1) >= FEWEST_POINTS) & np.isfinite(probability).all(axis=1)
        steps = 1.0 / np.maximum(step_v[:, 0], 1e-12) + 1e-6
        probability[steps < FEWEST_STEPS, :2] = 0.0
        enough &= steps >= FEWEST_STEPS_OF_A_TURN_ON
        turn_on, turn_on_error = _turn_on(turning_on, forward, used)
        scale = (way * reach * top_x)[:, 0]
        return Shapes(
            probability=np.where(enough[:, None], probability, np.nan),
            turn_on=np.where(enough, turn_on * scale, np.nan),
            turn_on_error=np.where(enough, turn_on_error * np.abs(scale), np.nan),
        )


def _members(
    family: Family,
    v: Values,
    used: NDArray[np.bool_],
    step_v: Values,
    x_error: Values,
    *,
    anything: bool = False,
) -> Values:
    return log_evidence(family, v, used, step_v, x_error, anything=anything) + np.log(family.weight)


def _range(u: Values, used: NDArray[np.bool_]) -> Values:
    """Return the range of sizes of the p.d.s that were read, as a share of the largest, (students,)."""
    size = np.abs(u)
    return np.asarray(np.where(used, size, -np.inf).max(axis=1) - np.where(used, size, np.inf).min(axis=1))


def _largest(values: Values) -> Values:
    return np.asarray(np.abs(values).max(axis=1, keepdims=True))


def _with_signs_mended(u: Values, v: Values) -> tuple[Values, Values]:
    """Return the points with minus signs put back that were left out.

    No component drives a current against the p.d., so a plain current takes the sign of its p.d. And a
    component that lets nothing through at a high p.d. but something at a lower one was turned round.
    """
    plain = np.abs(v) > PLAIN
    against = plain & (u * v < 0)
    below, above = plain & (u < 0), plain & (u > 0)
    backwards, forwards = _any(u < 0), _any(u > 0)
    whole_side = ~_any(against != below) | ~_any(against != above) | ~backwards
    v = np.where(against & whole_side, -v, v)
    lowest = np.where(plain, np.abs(u), np.inf).min(axis=1, keepdims=True)
    blocked = (np.abs(v) < LITTLE) & (np.abs(u) > lowest) & ~(backwards & forwards)
    return np.where(blocked, -u, u), v


def _any(flags: NDArray[np.bool_]) -> NDArray[np.bool_]:
    return np.asarray(flags.any(axis=1, keepdims=True))


def _turn_on(evidence: Values, u: Values, used: NDArray[np.bool_]) -> tuple[Values, Values]:
    """Return where the turn-on lies, as a share of the largest forward p.d., and its standard uncertainty."""
    at = reaches(TURNED_ON)
    early, late = (reaches(share) for share in SEEN_ON)
    share = np.exp(evidence - evidence.max(axis=1, keepdims=True))
    share /= share.sum(axis=1, keepdims=True)
    middle = share @ at
    spread = np.sqrt(np.maximum(share @ at**2 - middle**2, 0.0))
    # Between two readings nobody has looked, and readers differ over where it starts: both rectangular.
    above = np.where(used & (u >= middle[:, None]), u, np.inf).min(axis=1)
    below = np.where(used & (u <= middle[:, None]), u, -np.inf).max(axis=1)
    gap = np.where(np.isfinite(above - below), above - below, 0.0)
    return middle, np.sqrt(spread**2 + (gap**2 + (share @ (late - early)) ** 2) / 12.0)
