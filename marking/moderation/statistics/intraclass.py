"""Share of the variance of marks that is students: the intraclass correlations.

Sources: Shrout and Fleiss, Psychological Bulletin 86 (1979) 420, whose names the six forms bear; McGraw and Wong,
Psychological Methods 1 (1996) 30, for the interval of ICC(2,1).
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray
from scipy.special import fdtri

from marking.moderation.statistics.severity import COVERAGE


class MeanSquares(Struct, frozen=True, kw_only=True):
    """The analysis of variance of marks, shape (scripts, markers)."""

    scripts: int
    markers: int
    between: float
    """Of the scripts' means."""
    within: float
    judges: float
    """Of the markers' means."""
    residual: float


class Intraclass(Struct, frozen=True, kw_only=True):
    """An intraclass correlation with its 95 % interval."""

    scripts: int
    markers: int
    value: float
    low: float
    high: float


def mean_squares(marks: NDArray[np.float64]) -> MeanSquares:
    """Return the mean squares of *marks*, shape (scripts, markers), at least two of each."""
    scripts, markers = marks.shape
    grand, by_script, by_marker = marks.mean(), marks.mean(axis=1), marks.mean(axis=0)
    between = markers * float(((by_script - grand) ** 2).sum())
    judges = scripts * float(((by_marker - grand) ** 2).sum())
    within = float(((marks - by_script[:, None]) ** 2).sum())
    return MeanSquares(
        scripts=scripts,
        markers=markers,
        between=between / (scripts - 1),
        within=within / (scripts * (markers - 1)),
        judges=judges / (markers - 1),
        residual=max(0.0, within - judges) / ((scripts - 1) * (markers - 1)),
    )


def six_forms(squares: MeanSquares) -> dict[str, float]:
    """Return ICC(1,1) to ICC(3,k) by name; nan where all marks are the same."""
    between, within, judges, rest = squares.between, squares.within, squares.judges, squares.residual
    n, k = squares.scripts, squares.markers
    return {
        "ICC(1,1)": _ratio(between - within, between + (k - 1) * within),
        "ICC(2,1)": _ratio(between - rest, between + (k - 1) * rest + k * (judges - rest) / n),
        "ICC(3,1)": _ratio(between - rest, between + (k - 1) * rest),
        "ICC(1,k)": _ratio(between - within, between),
        "ICC(2,k)": _ratio(between - rest, between + (judges - rest) / n),
        "ICC(3,k)": _ratio(between - rest, between),
    }


def _ratio(above: float, below: float) -> float:
    return above / below if below else float("nan")


def absolute_agreement(marks: NDArray[np.float64]) -> Intraclass | None:
    """Return ICC(2,1), absolute agreement of single marks, of *marks*, shape (scripts, markers).

    Returns:
        The correlation; None for fewer than two scripts or markers, or where all marks are the same.
    """
    if min(marks.shape) < 2 or not np.ptp(marks) > 0:
        return None
    squares = mean_squares(marks)
    value = six_forms(squares)["ICC(2,1)"]
    if not squares.residual > 0:
        # Markers that differ by a constant alone: the spread of the constant is all there is, and it has no interval.
        return Intraclass(scripts=squares.scripts, markers=squares.markers, value=value, low=value, high=value)
    low, high = _interval(squares, value)
    return Intraclass(scripts=squares.scripts, markers=squares.markers, value=value, low=low, high=high)


def _interval(squares: MeanSquares, value: float) -> tuple[float, float]:
    """Return the interval of ICC(2,1): McGraw and Wong's Table 7, with Satterthwaite's degrees of freedom."""
    n, k = squares.scripts, squares.markers
    between, judges, rest = squares.between, squares.judges, squares.residual
    if value >= 1:
        return value, value
    part = k * value / (n * (1 - value))
    whole = 1 + k * value * (n - 1) / (n * (1 - value))
    scatter = (part * judges) ** 2 / (k - 1) + (whole * rest) ** 2 / ((n - 1) * (k - 1))
    if not scatter > 0:
        return -1.0, 1.0  # both parts vanish for this one value: nothing is known of it
    freedom = (part * judges + whole * rest) ** 2 / scatter
    tail = (1 + COVERAGE) / 2
    above, below = float(fdtri(n - 1, freedom, tail)), float(fdtri(freedom, n - 1, tail))
    spare = k * judges + (k * n - k - n) * rest
    low = n * (between - above * rest) / (above * spare + n * between)
    high = n * (below * between - rest) / (spare + n * below * between)
    return low, high
