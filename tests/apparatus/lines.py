"""Straight lines by the sums of a textbook."""

from __future__ import annotations

import math
from collections.abc import Sequence


def best_line(x: Sequence[float], y: Sequence[float]) -> tuple[float, float]:
    """Return gradient and intercept of the least-squares line."""
    middle_x, middle_y = sum(x) / len(x), sum(y) / len(y)
    across = sum((one - middle_x) ** 2 for one in x)
    gradient = sum((one - middle_x) * (two - middle_y) for one, two in zip(x, y, strict=True)) / across
    return gradient, middle_y - gradient * middle_x


def gradient_error(x: Sequence[float], y: Sequence[float]) -> float:
    """Return the standard error of the gradient; 0 with two points."""
    if len(x) < 3:
        return 0.0
    gradient, intercept = best_line(x, y)
    left = sum((two - gradient * one - intercept) ** 2 for one, two in zip(x, y, strict=True))
    middle = sum(x) / len(x)
    return math.sqrt(left / (len(x) - 2) / sum((one - middle) ** 2 for one in x))
