"""Between which two differences nearly all pairs fall.

Source: Bland and Altman, Lancet i (1986) 307. Their limits are two standard deviations from the mean; 1.96 is the
number they round. The interval of a limit takes Student's t, as theirs does.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

from marking.moderation.statistics.severity import severity, t_multiple

NORMAL_95 = 1.96


class Limit(Struct, frozen=True, kw_only=True):
    """One of the two limits, in marks."""

    at: float
    low: float
    """Lower end of its 95 % interval."""
    high: float


class LimitsOfAgreement(Struct, frozen=True, kw_only=True):
    """Where 95 in 100 differences are expected."""

    pairs: int
    lower: Limit
    upper: Limit


def limits_of_agreement(
    first: Sequence[float], second: Sequence[float], multiple: float = NORMAL_95
) -> LimitsOfAgreement | None:
    """Return the limits, *multiple* standard deviations from the mean; None for fewer than two pairs."""
    found = severity(first, second)
    if found is None:
        return None
    room = t_multiple(found.pairs - 1) * found.spread * math.sqrt(3 / found.pairs)

    def limit(side: int) -> Limit:
        at = found.mean + side * multiple * found.spread
        return Limit(at=at, low=at - room, high=at + room)

    return LimitsOfAgreement(pairs=found.pairs, lower=limit(-1), upper=limit(1))
