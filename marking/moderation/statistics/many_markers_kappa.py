"""Agreement beyond chance of more than two markers on one criterion: Fleiss's kappa, for scripts that all have marked.

Source: Fleiss, Psychological Bulletin 76 (1971) 378.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray


def many_markers_kappa(counts: NDArray[np.float64]) -> float | None:
    """Return Fleiss's kappa.

    Args:
        counts: How many markers gave each mark, shape (scripts, marks); the same number of markers in every row.

    Returns:
        The kappa; None for fewer than two markers, no script, or one mark throughout.

    Raises:
        ValueError: The rows are not of the same number of markers.
    """
    if counts.size == 0:
        return None
    markers = counts.sum(axis=1)
    if not np.allclose(markers, markers[0]):
        raise ValueError("every script is marked by the same number of markers")
    each = float(markers[0])
    if each < 2:
        return None
    agreed = float(((counts**2).sum(axis=1) - each).mean() / (each * (each - 1)))
    shares = counts.sum(axis=0) / counts.sum()
    chance = float(shares @ shares)
    return None if math.isclose(chance, 1.0, abs_tol=1e-12) else (agreed - chance) / (1 - chance)
