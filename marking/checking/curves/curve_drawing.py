"""The curve to draw through one student's points, once their shape is known."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from marking.checking.curves.curve_families import Family, flattening, straight, threshold

Values = NDArray[np.float64]

DRAWN_POINTS = 61


def drawn_curve(x: Values, y: Values, shape: str) -> tuple[tuple[float, float], ...]:
    """Return points of the curve of least squares of the family *shape*; empty where there is none.

    Args:
        x: One student's points, shape (rows,), all finite; two different ones or more.
        y: The same shape.
        shape: 'proportional', 'flattening' or 'threshold'.
    """
    top_x, top_y = float(np.abs(x).max()), float(np.abs(y).max())
    if not (top_x > 0 and top_y > 0):
        return ()
    u, v = x / top_x, y / top_y
    along = np.linspace(u.min(), u.max(), DRAWN_POINTS)
    way = -1.0 if shape == "threshold" and (v * np.abs(v)).sum() < 0 else 1.0
    reach = max(float((way * u).max()), 1e-9) if shape == "threshold" else 1.0
    points, drawn = (_family(shape, way * one[None, :] / reach).height[0] for one in (u, along))
    # A meter that does not start at zero lifts the whole curve, but no current is no current.
    lift = 0.0 if shape == "threshold" else 1.0
    fits = [_fitted(member, v, lift) for member in points]
    number = min(range(len(fits)), key=lambda n: fits[n][0])
    _, scale, offset = fits[number]
    heights = (scale * drawn[number] + offset) * top_y
    return tuple((float(a * top_x), float(b)) for a, b in zip(along, heights, strict=True))


def _family(shape: str, u: Values) -> Family:
    return {"proportional": straight, "flattening": flattening, "threshold": threshold}[shape](u)


def _fitted(f: Values, v: Values, lift: float) -> tuple[float, float, float]:
    """Return the sum of squares, the scale and the offset of v = scale f + offset."""
    design = np.stack([f, np.full_like(f, lift)], axis=1)
    (scale, offset), *_ = np.linalg.lstsq(design, v, rcond=None)
    rest = v - design @ np.array([scale, offset])
    return float(rest @ rest), float(scale), float(offset * lift)
