"""How generous one marker is beside another: the mean of the differences, and how well it is known.

A difference is the first mark less the second: positive where the first marker is more generous.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct
from scipy.special import stdtrit

COVERAGE = 0.95


class Severity(Struct, frozen=True, kw_only=True):
    """The mean difference of a set of pairs, in marks."""

    pairs: int
    mean: float
    low: float
    """Lower end of its 95 % interval, from Student's t."""
    high: float
    spread: float
    """Standard deviation of the differences."""

    @property
    def is_shown(self) -> bool:
        """Tell whether the interval leaves zero out."""
        return self.low > 0 or self.high < 0


def differences(first: Sequence[float], second: Sequence[float]) -> list[float]:
    """Return first less second, pair by pair.

    Raises:
        ValueError: The two are not of one length.
    """
    return [x - y for x, y in zip(first, second, strict=True)]


def t_multiple(freedom: float) -> float:
    """Return the number of standard errors on either side of a 95 % interval with so many degrees of freedom."""
    return float(stdtrit(freedom, (1 + COVERAGE) / 2))


def severity(first: Sequence[float], second: Sequence[float]) -> Severity | None:
    """Return the mean difference of the pairs with its interval; None for fewer than two pairs."""
    apart = differences(first, second)
    count = len(apart)
    if count < 2:
        return None
    mean = math.fsum(apart) / count
    spread = math.sqrt(math.fsum((one - mean) ** 2 for one in apart) / (count - 1))
    room = t_multiple(count - 1) * spread / math.sqrt(count)
    return Severity(pairs=count, mean=mean, low=mean - room, high=mean + room, spread=spread)
