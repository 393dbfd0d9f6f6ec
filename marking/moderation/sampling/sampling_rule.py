"""How many scripts of whom are second-marked, and why each one is.

The rule is a department's own; the numbers below are where it starts from. Every number stands in the report.
"""

from __future__ import annotations

import math
from enum import StrEnum

from msgspec import Struct

from marking.moderation.joint import FIRST_STAGE
from marking.write_up import MarkCode


class Reason(StrEnum):
    """Why a script is in the sample."""

    DRAWN = "drawn"
    """By lot, spread over classes and thirds of the range: these alone tell how severe a marker is."""
    HIGHEST = "highest"
    LOWEST = "lowest"
    BOUNDARY = "boundary"
    CODE = "code"
    OVERRULED = "overruled"
    WHOLE = "whole"
    """Its marker is new to the scheme or was out of tolerance last time."""
    GOOD = "good"
    MIDDLING = "middling"
    WEAK = "weak"
    ODD = "odd"
    """Good to odd: scripts that all mark together beforehand."""
    ASIDE = "aside"
    """Faulty apparatus, or a question still open: looked at, counted in nothing."""


_COHORT = ((10, None), (100, 10), (200, 15), (math.inf, 20))
"""Scripts of a task up to a size of the cohort; None for all. Long-standing rule of UK awarding bodies, as reported."""
NEVER = frozenset({MarkCode.ABSENT, MarkCode.EXCUSED, MarkCode.LOST})
"""Codes with no script behind them, or none that a marker judged."""
ASIDE = frozenset({MarkCode.FAULT, MarkCode.QUERY})


class SamplingRule(Struct, frozen=True, kw_only=True):
    """The numbers of a rule."""

    each_marker: int = FIRST_STAGE
    """Fewest scripts drawn of each marker; from simulated departments, see DEVELOPERS.md."""
    share: float = 0.10
    """Of each marker's scripts, rounded up; common practice, no source."""
    each_class: int = 2
    """Fewest scripts drawn of each class; common practice, no source."""
    boundaries: tuple[int, ...] = ()
    """Totals from which a higher grade starts."""
    near: int = 1
    """Marks on either side of a boundary that count as near it."""
    boundary_cap: float = 1 / 3
    """Scripts near a boundary, as a share of those drawn; common practice, no source."""

    def drawn_of(self, scripts: int, markers: int, cohort: int) -> int:
        """Return how many scripts are drawn of a marker who has *scripts*, in a department of so many markers."""
        most = next(size for limit, size in _COHORT if cohort <= limit)
        fair = scripts if most is None else math.ceil(most / max(1, markers))
        return min(scripts, max(self.each_marker, math.ceil(self.share * scripts - 1e-9), fair))

    def boundary_most(self, drawn: int) -> int:
        """Return how many scripts near a boundary are added to so many drawn ones."""
        return math.floor(self.boundary_cap * drawn + 1e-9)

    def is_near(self, total: int) -> bool:
        """Tell whether a total is near a boundary: a mark below the first that counts, or a mark above it."""
        return any(-self.near <= total - boundary < self.near for boundary in self.boundaries)
