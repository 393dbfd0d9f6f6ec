"""What uncertainties after JCGM 100:2008 need beside the formulas: coverage, degrees of freedom, resolution.

How readings move an answer stands in ``chains``; the school's own form in ``at_school``.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

from marking.distributions import t_limit

COVERAGE = 0.95
"""Share of results that an expanded uncertainty is to hold."""
SMALL_STEP = 1e-3
"""Share of an uncertainty by which an input is moved to take a derivative: far into the straight part, and
far above binary noise."""


class UncertainValue(Struct, frozen=True, kw_only=True):
    """A value, how far it may be off, and how well that is known."""

    value: float
    uncertainty: float
    """Standard uncertainty, in the unit of the value."""
    freedom: float = math.inf
    """Degrees of freedom behind the uncertainty; infinite where it is not from a few repeats."""


def coverage_factor(freedom: float, coverage: float = COVERAGE) -> float:
    """Return Student's t for *coverage*; degrees of freedom are cut to a whole number (JCGM 100, G.4.1)."""
    upper = 0.5 + coverage / 2.0
    # A whole number that binary arithmetic has missed from below is still that number.
    return t_limit(freedom if math.isinf(freedom) else max(1, math.floor(freedom + 1e-9)), upper)


def rectangular(half_width: float) -> float:
    """Return the standard uncertainty of a value that lies anywhere within ± *half_width* (JCGM 100, 4.3.7)."""
    return half_width / math.sqrt(3.0)


def effective_freedom(parts: Sequence[tuple[float, float]]) -> float:
    """Return the degrees of freedom of a sum of (uncertainty, degrees of freedom): Welch and Satterthwaite, G.4.1."""
    total = sum(part**2 for part, _ in parts) ** 2
    rest = sum(part**4 / freedom for part, freedom in parts)
    return math.inf if rest == 0 else total / rest
