"""What the joint model looks at: scripts that two markers have marked without knowing of each other."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

Values = NDArray[np.float64]


class Pair(Struct, frozen=True, kw_only=True):
    """One script, marked twice; the marks of the criteria that people mark, in one order for all pairs."""

    script: str
    first_marker: str
    second_marker: str
    first: tuple[int, ...]
    second: tuple[int, ...]


class PairTable(Struct, frozen=True, kw_only=True):
    """Pairs as arrays. Shapes: n pairs, k criteria, m markers."""

    markers: tuple[str, ...]
    """In alphabetical order."""
    criteria: tuple[str, ...]
    out_of: tuple[int, ...]
    """Marks of each criterion."""
    first_by: NDArray[np.int64]
    """Place of the first marker in *markers*, shape (n,)."""
    second_by: NDArray[np.int64]
    first: Values
    """Marks, shape (n, k)."""
    second: Values

    @property
    def apart(self) -> Values:
        """Return first less second, shape (n, k)."""
        return self.first - self.second

    @property
    def quality(self) -> Values:
        """Return the mean of the two totals, shape (n,)."""
        return np.asarray((self.first.sum(axis=1) + self.second.sum(axis=1)) / 2, dtype=np.float64)

    def scripts_of(self, marker: str) -> int:
        """Return how many scripts that *marker* marked first have been marked again."""
        return int((self.first_by == self.markers.index(marker)).sum()) if marker in self.markers else 0

    def without(self, marker: str) -> PairTable:
        """Return the pairs that *marker* has no part in."""
        place = self.markers.index(marker)
        kept = (self.first_by != place) & (self.second_by != place)
        left = tuple(one for one in self.markers if one != marker)
        place_of = np.array([left.index(one) if one in left else -1 for one in self.markers], dtype=np.int64)
        return PairTable(
            markers=left,
            criteria=self.criteria,
            out_of=self.out_of,
            first_by=place_of[self.first_by[kept]],
            second_by=place_of[self.second_by[kept]],
            first=self.first[kept],
            second=self.second[kept],
        )


def table_of(pairs: Sequence[Pair], criteria: Sequence[str], out_of: Sequence[int]) -> PairTable:
    """Return *pairs* as arrays.

    Args:
        pairs: Scripts marked twice, each by two different markers.
        criteria: Codes of the criteria, in the order of the pairs' marks.
        out_of: Marks of each criterion.

    Raises:
        ValueError: A script was marked twice by one person, or a pair has another number of marks.
    """
    for pair in pairs:
        if pair.first_marker == pair.second_marker:
            raise ValueError(f"{pair.script} was marked twice by {pair.first_marker}")
        if not len(pair.first) == len(pair.second) == len(criteria):
            raise ValueError(f"{pair.script} has marks for another number of criteria")
    markers = tuple(sorted({name for pair in pairs for name in (pair.first_marker, pair.second_marker)}))
    shape = (len(pairs), len(criteria))
    return PairTable(
        markers=markers,
        criteria=tuple(criteria),
        out_of=tuple(out_of),
        first_by=np.array([markers.index(pair.first_marker) for pair in pairs], dtype=np.int64),
        second_by=np.array([markers.index(pair.second_marker) for pair in pairs], dtype=np.int64),
        first=np.array([pair.first for pair in pairs], dtype=np.float64).reshape(shape),
        second=np.array([pair.second for pair in pairs], dtype=np.float64).reshape(shape),
    )
