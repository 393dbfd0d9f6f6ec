"""Lines as they are drawn and spoken of at school: by hand, steepest and shallowest, proportional or only straight."""

from __future__ import annotations

from enum import StrEnum

import numpy as np
from msgspec import Struct
from msgspec.structs import asdict
from numpy.typing import NDArray

from marking.checking.fits import (
    DRAWN_ERRORS,
    DRAWN_SHARE,
    READ_OFF_SHARE,
    UNSURE_SHARE,
    LineFit,
    bends,
    fit_lines,
    odd_points,
)
from marking.distributions import t_limits

Values = NDArray[np.float64]

COVERAGE = 0.95
NEGLIGIBLE_SHARE = 0.10
"""An intercept that could be no larger than this share of the highest point leaves a line proportional; common
practice, no source."""
LEAST_TRIANGLE = 0.5
"""Share of the line that a gradient triangle has to cover; the usual school rule."""


class Proportion(StrEnum):
    """What may be said of y against x."""

    PROPORTIONAL = "directly proportional"
    LINEAR_ONLY = "linear, with an intercept"
    BENT = "not a straight line"
    UNCLEAR = "cannot be told"


def proportions(x: Values, y: Values) -> tuple[Proportion, ...]:
    """Return for each student whether the points are proportional or only linear.

    Decided from the intercept and its standard uncertainty, by Student's t at 95 %: an intercept that
    differs from zero makes a line linear only; one that does not, and could not be large either, leaves it
    proportional; between the two it cannot be told.

    Args:
        x: Shape (students, rows), NaN where nothing was read.
        y: The same shape.
    """
    with np.errstate(all="ignore"):
        x, y = np.broadcast_arrays(x, y)
        fit = fit_lines(x, y)
        freedom = np.where(fit.count > 2, fit.count - 2, np.nan)
        room = (t_limits(freedom, 0.5 + COVERAGE / 2.0) * fit.intercept_error)[:, 0]
        away = np.abs(fit.intercept[:, 0])
        height = np.where(np.isfinite(x) & np.isfinite(y), np.abs(y), 0.0).max(axis=1)
        # Points exactly on a line through the origin have an intercept of binary noise.
        away = np.where(away < 1e-9 * height, 0.0, away)
        bent = bends(x, y)
    found = []
    for student in range(len(x)):
        if not np.isfinite(room[student]):
            found.append(Proportion.UNCLEAR)
        elif bent[student]:
            found.append(Proportion.BENT)
        elif away[student] > room[student]:
            found.append(Proportion.LINEAR_ONLY)
        else:
            largest = away[student] + room[student]
            within = largest <= NEGLIGIBLE_SHARE * height[student]
            found.append(Proportion.PROPORTIONAL if within else Proportion.UNCLEAR)
    return tuple(found)


def steepest_and_shallowest(x: Values, y: Values, x_error: Values, y_error: Values) -> tuple[Values, Values]:
    """Return the gradients of the steepest and the shallowest line that pass through every error bar.

    Args:
        x: Shape (students, rows), NaN where nothing was read.
        y: The same shape.
        x_error: The plus-or-minus of each x; a bar across counts as one upwards of gradient times its length.
        y_error: The plus-or-minus of each y.

    Returns:
        Two arrays of shape (students, 1); NaN where no straight line passes through all the bars.
    """
    with np.errstate(all="ignore"):
        x, y, x_error, y_error = np.broadcast_arrays(x, y, x_error, y_error)
        used = np.isfinite(x) & np.isfinite(y)
        x, y = np.where(used, x, np.nan), np.where(used, y, np.nan)
        bar = y_error + np.abs(fit_lines(x, y).slope) * x_error
        across = x[:, None, :] - x[:, :, None]
        later = across > 0
        up = (y + bar)[:, None, :] - (y - bar)[:, :, None]
        down = (y - bar)[:, None, :] - (y + bar)[:, :, None]
        steepest = np.where(later, up / across, np.inf).min(axis=(1, 2))[:, None]
        shallowest = np.where(later, down / across, -np.inf).max(axis=(1, 2))[:, None]
        exists = np.isfinite(steepest) & (steepest >= shallowest)
        return np.where(exists, steepest, np.nan), np.where(exists, shallowest, np.nan)


class ReadOff(Struct, frozen=True, kw_only=True):
    """Two points that a student read off the drawn line, in the units of the axes."""

    x: tuple[float, float]
    y: tuple[float, float]


class GradientVerdict(StrEnum):
    """How a drawn gradient stands beside the line of least squares."""

    RIGHT = "right"
    NEAR = "near"
    """Between what careful drawing gives and what decides: a teacher looks."""
    WRONG = "wrong"
    INVERTED = "run over rise"
    NONE = "no line"


class DrawnLine(Struct, frozen=True, kw_only=True):
    """What two read-off points tell of a line drawn by hand."""

    gradient: float
    intercept: float
    verdict: GradientVerdict
    triangle: float
    """Share of the points' range that the triangle covers."""
    is_large: bool
    is_on_line: bool
    """Both points lie on the line that follows the readings."""
    is_forced: bool
    """It goes through the origin though the readings' own line does not."""
    follows_odd: bool
    """It follows a reading that a stated test calls odd."""


class Points(Struct, frozen=True, kw_only=True):
    """Points of some students, with the lines that they give; arrays of (students, rows), and of (students, 1)."""

    x: Values
    y: Values
    odd: NDArray[np.bool_]
    """Points that a stated test calls odd."""
    fit: LineFit
    """Without those."""
    everything: LineFit
    """Through all points."""

    @classmethod
    def of(cls, x: Values, y: Values) -> Points:
        """Return points with their lines.

        Args:
            x: Readings, shape (students, rows), NaN where nothing was read.
            y: The same shape.
        """
        with np.errstate(all="ignore"):
            x, y = np.broadcast_arrays(x, y)
            odd = odd_points(x, y)
            return cls(x=x, y=y, odd=odd, fit=fit_lines(x, np.where(odd, np.nan, y)), everything=fit_lines(x, y))

    def one(self, student: int) -> Points:
        """Return those of one student alone."""
        own = slice(student, student + 1)
        fit, everything = _fit_of(self.fit, own), _fit_of(self.everything, own)
        return Points(x=self.x[own], y=self.y[own], odd=self.odd[own], fit=fit, everything=everything)


def _fit_of(fit: LineFit, students: slice) -> LineFit:
    return LineFit(**{name: values[students] for name, values in asdict(fit).items()})


def judge_drawn(points: Points, read_off: ReadOff, stated: float | None = None) -> DrawnLine:
    """Return what the two points that one student read off tell of the drawn line.

    Args:
        points: Those of the student, of which one at least is there.
        read_off: Two points of the drawn line, in the same units.
        stated: The gradient as written; left out, that of the two points is judged.
    """
    with np.errstate(all="ignore"):
        return _judged(points, read_off, stated)


def _judged(points: Points, read_off: ReadOff, stated: float | None) -> DrawnLine:
    x, y, odd, fit, everything = points.x, points.y, points.odd, points.fit, points.everything
    used = np.isfinite(x) & np.isfinite(y)
    (x1, x2), (y1, y2) = read_off.x, read_off.y
    gradient = (y2 - y1) / (x2 - x1) if x1 != x2 else np.nan
    intercept = y1 - gradient * x1
    height, width = float(np.ptp(y[used])), float(np.ptp(x[used]))
    small_y = READ_OFF_SHARE * max(height, float(np.abs(y[used]).max()))
    triangle = abs(x2 - x1) / width if width else 0.0
    slope = float(fit.slope[0, 0])
    return DrawnLine(
        gradient=gradient,
        intercept=intercept,
        verdict=_verdict(gradient if stated is None else stated, fit),
        triangle=triangle,
        is_large=triangle >= LEAST_TRIANGLE * (1 - 1e-9),
        is_on_line=all(_is_on(fit, x, one, other, small_y) for one, other in ((x1, y1), (x2, y2))),
        is_forced=_is_forced(fit, intercept, small_y),
        follows_odd=bool(odd.any()) and abs(gradient - float(everything.slope[0, 0])) < abs(gradient - slope),
    )


def _verdict(gradient: float, fit: LineFit) -> GradientVerdict:
    slope = float(fit.slope[0, 0])
    if not (np.isfinite(slope) and np.isfinite(gradient)):
        return GradientVerdict.NONE
    error = float(np.nan_to_num(DRAWN_ERRORS * fit.slope_error[0, 0]))
    away = abs(gradient - slope)
    if away <= max(DRAWN_SHARE * abs(slope), error):
        return GradientVerdict.RIGHT
    if abs(gradient * slope - 1.0) <= max(DRAWN_SHARE, error / abs(slope)):
        return GradientVerdict.INVERTED
    return GradientVerdict.NEAR if away <= UNSURE_SHARE * abs(slope) else GradientVerdict.WRONG


def _is_on(fit: LineFit, x: Values, at: float, height: float, small: float) -> bool:
    middle = float(np.nanmean(x))
    centre_error = np.nan_to_num(fit.intercept_error[0, 0]) ** 2 - (np.nan_to_num(fit.slope_error[0, 0]) * middle) ** 2
    error = np.sqrt(max(float(centre_error), 0.0) + (np.nan_to_num(fit.slope_error[0, 0]) * (at - middle)) ** 2)
    line = float(fit.intercept[0, 0] + fit.slope[0, 0] * at)
    return bool(abs(height - line) <= max(small, DRAWN_ERRORS * float(error)))


def _is_forced(fit: LineFit, intercept: float, small: float) -> bool:
    own, error = float(fit.intercept[0, 0]), float(np.nan_to_num(fit.intercept_error[0, 0]))
    return abs(intercept) < 0.25 * small and abs(own) > max(DRAWN_ERRORS * error, small)
