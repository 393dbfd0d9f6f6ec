"""Whether a result agrees with the accepted value within its uncertainty, and which way it is off."""

from __future__ import annotations

import math

from msgspec import Struct

from marking.checking.uncertainty.jcgm import COVERAGE, UncertainValue, coverage_factor, effective_freedom, rectangular
from rubrics.model import AcceptedValue, ResultInfo

DEFAULT_BAND = (-0.1, 0.1)
"""Where careful results fall, relative, if the rubric does not say."""


class Agreement(Struct, frozen=True, kw_only=True):
    """A result beside an accepted value."""

    agrees: bool
    difference: float
    """Result minus accepted value, in their unit."""
    allowed: float
    """How large the difference may be by the uncertainties of the two."""
    direction: str
    """'high' or 'low' where they do not agree; else empty."""
    usual_cause: str
    """The rubric's sentence on a result that is off this way; empty where they agree."""


def fitting(info: ResultInfo, value: float) -> AcceptedValue | None:
    """Return the accepted value in whose expected band *value* lies, the nearest to the band's middle of several."""
    low, high = info.expected or DEFAULT_BAND
    found = []
    for accepted in info.accepted:
        bottom = (1 + low) * accepted.value - accepted.uncertainty
        top = (1 + high) * accepted.value + accepted.uncertainty
        if bottom <= value <= top:
            found.append((abs(value - 0.5 * (bottom + top)), accepted))
    return min(found, key=lambda one: one[0])[1] if found else None


def compare(result: UncertainValue, accepted: AcceptedValue, info: ResultInfo, coverage: float = COVERAGE) -> Agreement:
    """Return whether the two differ by no more than their combined expanded uncertainty.

    The accepted value lies anywhere within its stated half-spread (rectangular, JCGM 100, 4.3.7).
    """
    spread = rectangular(accepted.uncertainty)
    freedom = effective_freedom([(result.uncertainty, result.freedom), (spread, math.inf)])
    allowed = coverage_factor(freedom, coverage) * math.hypot(result.uncertainty, spread)
    return _agreement(result.value - accepted.value, allowed, info)


def compare_at_school(value: float, plus_minus: float, accepted: AcceptedValue, info: ResultInfo) -> Agreement:
    """Return whether the two ranges, value ± plus-or-minus, touch: the school's form of the same question."""
    return _agreement(value - accepted.value, plus_minus + accepted.uncertainty, info)


def _agreement(difference: float, allowed: float, info: ResultInfo) -> Agreement:
    # Ranges that just touch agree, whatever binary arithmetic makes of their ends.
    agrees = abs(difference) <= allowed * (1.0 + 1e-9)
    is_high = difference > 0
    return Agreement(
        agrees=agrees,
        difference=difference,
        allowed=allowed,
        direction="" if agrees else "high" if is_high else "low",
        usual_cause="" if agrees else info.too_high if is_high else info.too_low,
    )
