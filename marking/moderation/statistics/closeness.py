"""How many pairs are the same, a mark apart, within tolerance: counts that need no model."""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

from marking.moderation.statistics.severity import differences

_ONE_MARK_TO = 20
"""Up to this maximum the usual tolerance is one mark; common practice, no source."""
_SHARE_BEYOND = 0.06
"""Of the maximum, above that: 6 marks in 100, as one awarding body illustrates."""


class Closeness(Struct, frozen=True, kw_only=True):
    """How close the marks of a set of pairs are."""

    pairs: int
    exact: int
    adjacent: int
    """A mark apart or less."""
    within: int
    """No farther apart than the tolerance."""
    tolerance: int


def usual_tolerance(out_of: int) -> int:
    """Return the usual tolerance between two markers on a maximum of *out_of* marks."""
    return 1 if out_of <= _ONE_MARK_TO else math.floor(_SHARE_BEYOND * out_of + 1e-9)


def closeness(first: Sequence[float], second: Sequence[float], tolerance: int) -> Closeness:
    """Return how many pairs are the same, within one mark, and within *tolerance* marks."""
    apart = [abs(one) for one in differences(first, second)]
    return Closeness(
        pairs=len(apart),
        exact=sum(one == 0 for one in apart),
        adjacent=sum(one <= 1 for one in apart),
        within=sum(one <= tolerance for one in apart),
        tolerance=tolerance,
    )
