"""Which instrument a bench that is off is likeliest to have at fault.

Each instrument is tried alone. The one factor is found by which it would have to read wrong, and then how well that
factor explains every quantity of the bench: those that came out wrong and those that stayed right.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.cohort.benches.bench_quantities import Quantities
from marking.cohort.benches.contrasts import beside_sound
from marking.cohort.benches.instruments import readiness
from marking.distributions import gamma_rest

Values = NDArray[np.float64]

NAMED_FROM = 0.15
"""A suspect at least this likely beside the first is named with it; the readings cannot tell them apart."""
MENTIONED_FROM = 0.01
"""Down to this it is mentioned as less likely."""
STEADY = 0.001
"""Below this probability of so large a misfit, the instrument does not read wrong by a steady factor: the bench may
have another part, say."""


ASTRAY = 2.0
"""A quantity this many standard deviations from what the factor makes of it counts for less the farther it is (Huber,
Annals of Mathematical Statistics 35 (1964) 73): one reading that went wrong is no evidence against the rest."""
MOST_MISFIT = 9.0
"""No single quantity speaks louder than this against an instrument, in units of a variance."""
ROUNDS = 20
"""Times the factor is found anew; it settles after a few."""


class Suspect(Struct, frozen=True, kw_only=True):
    """One instrument that may be off."""

    instrument: str
    factor: float
    """Natural logarithm of what it shows over the true value."""
    share: float
    """Its probability among the suspects, which add up to 1."""
    fit: float
    """Probability of a misfit as large or larger, if this instrument does read wrong by that factor."""


def suspects(parts: Sequence[Quantities], bench: str, sound: frozenset[str]) -> tuple[Suspect, ...]:
    """Return the instruments of those practicals, the likeliest first."""
    found = []
    for instrument in dict.fromkeys(name for part in parts for name in part.exponents):
        factor, misfit, degrees = _alone(parts, bench, sound, instrument)
        if np.isfinite(factor):
            fit = gamma_rest(degrees / 2, misfit / 2) if degrees else 1.0
            found.append((instrument, factor, readiness(instrument), misfit, fit))
    if not found:
        return ()
    best = min(misfit for *_, misfit, _ in found)
    weights = [weight * float(np.exp(-(misfit - best) / 2)) for _, _, weight, misfit, _ in found]
    ranked = [
        Suspect(instrument=instrument, factor=factor, share=weight / sum(weights), fit=fit)
        for (instrument, factor, _, _, fit), weight in zip(found, weights, strict=True)
    ]
    # Rounded, so that two that cannot be told apart stay in the order of the rubric.
    return tuple(sorted(ranked, key=lambda one: -round(one.share, 6)))


def _alone(parts: Sequence[Quantities], bench: str, sound: frozenset[str], instrument: str) -> tuple[float, float, int]:
    """Return the best factor of *instrument*, what it leaves (a chi-squared), and its degrees of freedom."""
    values, powers, variances = [], [], []
    for part in parts:
        if bench not in part.benches:
            continue
        residuals, usual = beside_sound(part, sound)
        values.append(residuals[part.benches.index(bench)])
        powers.append(part.exponents.get(instrument, np.zeros(len(part.names))))
        variances.append(usual)
    value, power, variance = (np.concatenate(one) for one in (values, powers, variances))
    known = np.isfinite(value)
    value, power, variance = value[known], power[known], variance[known]
    if not np.any(power):
        return np.nan, np.inf, 0
    factor = _robust_factor(value, power, variance)
    misfits = np.minimum((value - factor * power) ** 2 / variance, MOST_MISFIT)
    return factor, float(misfits.sum()), int(known.sum()) - 1


def _robust_factor(value: Values, power: Values, variance: Values) -> float:
    """Return the factor that fits the quantities best, those astray counting for less; some power is not zero."""
    weight = np.ones(value.shape)
    factor = 0.0
    for _ in range(ROUNDS):
        factor = float((weight * power * value / variance).sum() / (weight * power**2 / variance).sum())
        away = np.abs(value - factor * power) / np.sqrt(variance)
        weight = ASTRAY / np.maximum(away, ASTRAY)
    return factor


def named(ranked: Sequence[Suspect]) -> tuple[Suspect, ...]:
    """Return the suspects that the readings cannot tell apart from the first."""
    return tuple(one for one in ranked if one.share >= NAMED_FROM * ranked[0].share)


def mentioned(ranked: Sequence[Suspect]) -> tuple[Suspect, ...]:
    """Return the suspects that are less likely, but not out of the question."""
    limits = MENTIONED_FROM * ranked[0].share, NAMED_FROM * ranked[0].share
    return tuple(one for one in ranked if limits[0] <= one.share < limits[1])
