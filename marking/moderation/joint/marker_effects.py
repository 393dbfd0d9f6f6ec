"""Markers and scripts in one model: how far each marker is from the others, whoever marked what.

The model is mark = script + marker + chance, fitted by least squares. With two marks a script its script effects go
out in the difference of the two, so what is fitted is difference = first marker - second marker + chance. A marker is
compared with the mean of all the others. The growth of a marker's severity with quality is fitted in the same way,
from columns that carry the script's quality.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from marking.moderation.joint.pairs import PairTable, Values


class Contrasts(Struct, frozen=True, kw_only=True):
    """How estimates come out of the differences of one outcome. Shapes: n pairs, m markers, r columns."""

    basis: Values
    """Orthonormal columns of the fitted model, shape (n, r)."""
    weights: Values
    """Row by marker: estimate = weights @ differences, shape (m, n)."""
    lengths: Values
    """Of each row: standard error = length × standard deviation of a difference; 0 where it cannot be told."""
    freedom: int
    """Degrees of freedom of the scatter."""

    def studentized(self, apart: Values) -> tuple[Values, Values]:
        """Return estimates and estimates over their standard errors, each of shape (..., m).

        Args:
            apart: Differences, shape (..., n).
        """
        estimates = apart @ self.weights.T
        fitted = apart @ self.basis
        scatter = ((apart**2).sum(axis=-1) - (fitted**2).sum(axis=-1)) / max(1, self.freedom)
        errors = np.sqrt(np.maximum(scatter, 0.0))[..., None] * self.lengths
        known = errors > 1e-12
        return estimates, np.where(known, estimates / np.where(known, errors, 1.0), 0.0)


def mean_contrasts(table: PairTable) -> Contrasts:
    """Return how far each marker is from the mean of the others, over all scripts alike."""
    return _contrasts(_design(table), len(table.markers))


def growth_contrasts(table: PairTable) -> Contrasts:
    """Return how much farther each marker is from the others with each mark of quality."""
    quality = table.quality - table.quality.mean() if len(table.first_by) else table.quality
    design = _design(table)
    return _contrasts(np.hstack([design * quality[:, None], design]), len(table.markers))


def _design(table: PairTable) -> Values:
    count = len(table.first_by)
    design = np.zeros((count, len(table.markers)))
    design[np.arange(count), table.first_by] = 1
    design[np.arange(count), table.second_by] = -1
    return design


def _contrasts(design: Values, markers: int) -> Contrasts:
    """Return the contrasts of the first *markers* columns, each with the mean of the others among them."""
    count = len(design)
    left, sizes, right = np.linalg.svd(design, full_matrices=False)
    held = sizes > 1e-9 * max(1.0, float(sizes.max(initial=0.0)))
    basis = left[:, held]
    inverse = (right[held].T / sizes[held]) @ basis.T
    own = inverse[:markers]
    others = (own.sum(axis=0)[None, :] - own) / max(1, markers - 1)
    weights = own - others
    # A marker whom no chain of pairs links with all the others cannot be compared with them.
    row = np.full((markers, design.shape[1]), 0.0)
    row[:, :markers] = -1 / max(1, markers - 1)
    row[np.arange(markers), np.arange(markers)] = 1
    linked = np.abs(row - row @ (right[held].T @ right[held])).max(axis=1, initial=0.0) < 1e-6
    weights = np.where(linked[:, None], weights, 0.0)
    return Contrasts(
        basis=basis, weights=weights, lengths=np.sqrt((weights**2).sum(axis=1)), freedom=count - int(held.sum())
    )
