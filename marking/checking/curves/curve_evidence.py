"""How probable a student's points are under a family of curves, whatever its scale, offset and noise.

The scale of the curve and a zero offset of the meter are integrated out in closed form (they enter
linearly, with normal priors); the noise of the readings is summed over a grid; and every reading may be
the one that went wrong, in which case it says nothing. See Gelman and others, Bayesian Data Analysis
(3rd edition), chapter 14 for the linear part and 17.2 for the mixture with a wide distribution.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from marking.checking.curves.curve_families import Family

Values = NDArray[np.float64]

SCALE_SPREAD = 1.0
"""The largest reading is 1, so the curve's scale is about 1."""
SMALL_OFFSET, LARGE_OFFSET = 0.01, 0.08
"""Zero offset of a meter as a share of its largest reading: mostly next to nothing, sometimes plain to see."""
LARGE_SHARE = 0.3
SCHOOL_NOISE = np.geomspace(0.004, 0.1, 5)
"""Scatter of readings, as a share of the reading or of the largest one; with more, no curve can be seen."""
ANY_NOISE = np.geomspace(0.004, 0.6, 8)
USUAL_NOISE, NOISE_SPREAD = 0.012, 1.0
"""Middle of the scatter's prior, and its standard deviation in natural logarithms."""
FULL_SCALE_SHARE = 0.5
"""Scatter that does not grow with the reading, as a share of what it is at the largest."""
SLIP_CHANCE = 0.02
"""How often a single reading has gone wrong altogether."""
SLIP_DENSITY = 0.5
"""Such a reading lies anywhere between minus and plus the largest."""
X_SHARE = 0.005
"""Scatter of the p.d. as a share of it; common for a school meter, no source."""

_LOG_2PI = float(np.log(2.0 * np.pi))


def log_evidence(
    family: Family, v: Values, used: NDArray[np.bool_], step_v: Values, x_error: Values, *, anything: bool = False
) -> Values:
    """Return the logarithm of the probability density of the readings under each member.

    Args:
        family: Curves at the readings' p.d.s.
        v: Currents as a share of the largest, shape (students, rows).
        used: Which of them were read.
        step_v: Smallest step of v, shape (students, 1).
        x_error: Standard uncertainty of u, shape (students, rows).
        anything: Whether offset and scatter may be as large as the readings.

    Returns:
        Shape (students, members).
    """
    shape = (*family.height.shape[:2], 1, v.shape[1])
    f = np.broadcast_to(family.height[:, :, None, :], shape)
    noise = ANY_NOISE if anything else SCHOOL_NOISE
    variance = _variances(family, v, step_v, x_error, noise)
    weight = np.where(used[:, None, None, :], 1.0 / variance, 0.0)
    log_variance = np.where(used[:, None, None, :], np.log(variance), 0.0)
    prior = _noise_prior(noise, flat=anything)[None, None, :]
    largest = _second_largest(v)
    offsets = ((SMALL_OFFSET * largest, 1.0 - LARGE_SHARE), (LARGE_OFFSET * largest, LARGE_SHARE))
    found = [
        np.log(share) + prior + _one_offset(f, v[:, None, None, :], weight, log_variance, spread[:, :, None])
        for spread, share in (((np.ones_like(largest), 1.0),) if anything else offsets)
    ]
    return np.asarray(np.logaddexp.reduce(np.concatenate(found, axis=2), axis=2))


def _second_largest(v: Values) -> Values:
    # The largest may be the one that went wrong; a diode's second largest may be next to nothing.
    return np.asarray(np.maximum(np.sort(np.abs(v), axis=1)[:, -2:][:, :1], 0.4))


def _noise_prior(noise: Values, *, flat: bool) -> Values:
    density = np.ones(noise.size) if flat else np.exp(-0.5 * (np.log(noise / USUAL_NOISE) / NOISE_SPREAD) ** 2)
    one = np.log(density / density.sum() / 2.0)
    return np.concatenate([one, one])


def _variances(family: Family, v: Values, step_v: Values, x_error: Values, noise: Values) -> Values:
    """Return the variance of each reading for each noise of the grid, shape (students, members, noises, rows)."""
    tau = noise[None, None, :, None]
    at = v[:, None, None, :]
    floor = (step_v**2 / 12.0)[:, None, None, :] + 1e-10
    across = (family.steepness * x_error[:, None, :])[:, :, None, :] ** 2
    in_proportion = tau**2 * (at**2 + 1e-3) + floor + across
    steady = np.broadcast_to((FULL_SCALE_SHARE * tau) ** 2, in_proportion.shape) + floor + across
    return np.concatenate([in_proportion, steady], axis=2)


def _one_offset(f: Values, v: Values, weight: Values, log_variance: Values, spread: Values) -> Values:
    """Return the evidence for one width of the offset's prior, shape (students, members, noises)."""
    wf = weight * f
    ff = (wf * f).sum(axis=3) + SCALE_SPREAD**-2
    f1, fv, vv = wf.sum(axis=3), (wf * v).sum(axis=3), (weight * v * v).sum(axis=3)
    one = weight.sum(axis=3) + spread**-2
    v1 = (weight * v).sum(axis=3)
    determinant = ff * one - f1 * f1
    scale = (fv * one - v1 * f1) / determinant
    offset = (v1 * ff - fv * f1) / determinant
    misfit = vv - scale * fv - offset * v1
    n = (weight > 0).sum(axis=3)
    total = -0.5 * (n * _LOG_2PI + log_variance.sum(axis=3) + misfit)
    total -= 0.5 * np.log(determinant) + np.log(SCALE_SPREAD * spread)
    residual = v - scale[..., None] * f - offset[..., None]
    spot = weight * (one[..., None] * f * f - 2.0 * f1[..., None] * f + ff[..., None]) / determinant[..., None]
    left = np.maximum(1.0 - spot, 1e-9)
    # What the reading itself was worth, predicted from the others; without it that much is won or lost.
    own = -0.5 * (_LOG_2PI + log_variance - np.log(left) + weight * residual**2 / left)
    gone = np.where(weight > 0, np.exp(np.minimum(-own, 600.0)), 0.0).sum(axis=3) * SLIP_DENSITY
    total += n * np.log1p(-SLIP_CHANCE) + np.log1p(SLIP_CHANCE / (1.0 - SLIP_CHANCE) * gone)
    # No component lets less current through at a higher p.d.
    return np.asarray(np.where((scale > 0) | (f == 0).all(axis=3), total, -np.inf))
