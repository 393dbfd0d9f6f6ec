"""All figures of one set of pairs, in the order in which they are to be read: severity first.

Under ten scripts there are counts only: an interval from so few is wide, and a kappa from so few is noise.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from marking.moderation.statistics.closeness import Closeness, closeness, usual_tolerance
from marking.moderation.statistics.intraclass import Intraclass, absolute_agreement
from marking.moderation.statistics.limits_of_agreement import LimitsOfAgreement, limits_of_agreement
from marking.moderation.statistics.quality_trend import QualityTrend, quality_trend
from marking.moderation.statistics.severity import Severity, severity
from marking.moderation.statistics.weighted_kappa import Kappa, quadratic_kappa

FEWEST_PAIRS = 10
"""With fewer, nothing but counts is given; common practice, no source."""


class Agreement(Struct, frozen=True, kw_only=True):
    """What a set of pairs shows; a figure is None where there are too few pairs, or no spread, to tell."""

    pairs: int
    out_of: int
    counts: Closeness
    severity: Severity | None
    limits: LimitsOfAgreement | None
    trend: QualityTrend | None
    kappa: Kappa | None
    intraclass: Intraclass | None


def agreement(first: Sequence[int], second: Sequence[int], out_of: int, tolerance: int | None = None) -> Agreement:
    """Return the agreement of *first* and *second* marks, each out of *out_of*.

    Args:
        first: Marks of the first markers, script by script.
        second: Marks of the second markers for the same scripts.
        out_of: The most that can be had.
        tolerance: Marks that two markers may differ by; None for the usual one.
    """
    allowed = usual_tolerance(out_of) if tolerance is None else tolerance
    counts = closeness(first, second, allowed)
    if counts.pairs < FEWEST_PAIRS:
        bare = {"severity": None, "limits": None, "trend": None, "kappa": None, "intraclass": None}
        return Agreement(pairs=counts.pairs, out_of=out_of, counts=counts, **bare)
    return Agreement(
        pairs=counts.pairs,
        out_of=out_of,
        counts=counts,
        severity=severity(first, second),
        limits=limits_of_agreement(first, second),
        trend=quality_trend(first, second),
        kappa=quadratic_kappa(first, second, out_of),
        intraclass=absolute_agreement(np.array([first, second], dtype=np.float64).T),
    )
