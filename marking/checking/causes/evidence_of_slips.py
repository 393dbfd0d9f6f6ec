"""What a batch of wrong answers says of each slip that was tried on it: the shares before, the chances, the words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.causes.wrong import Agrees, Values, Words
from marking.findings import Cause


class Evidence(Struct, frozen=True, kw_only=True):
    """Explanations of a batch of wrong answers; arrays of shape (explanations, answers)."""

    causes: tuple[Cause, ...]
    words: tuple[Words, ...]
    """Detail and facts for the answer at one position."""
    agrees: tuple[Agrees, ...]
    """Where the unit that was written is the one that the slip leads to."""
    prior: Values
    chance: Values
    """Of each printed answer under each explanation."""

    def at(self, positions: NDArray[np.int64]) -> Evidence:
        """Return what there is on the answers at *positions* alone, without what has nothing to do with them."""
        where = dict(enumerate(positions.tolist()))
        chance = self.chance[:, positions]
        rows = np.flatnonzero(chance.any(axis=1))
        index = rows.tolist()
        return Evidence(
            causes=tuple(self.causes[one] for one in index),
            words=tuple(_moved(self.words[one], where) for one in index),
            agrees=tuple(_at(self.agrees[one], positions) for one in index),
            prior=self.prior[rows[:, None], positions],
            chance=chance[rows],
        )

    def named(self) -> Evidence:
        """Return what the explanations are called, without the arrays, which are large where pairs are among them."""
        nothing = np.zeros((0, 0))
        return Evidence(causes=self.causes, words=self.words, agrees=self.agrees, prior=nothing, chance=nothing)

    def spread(self, positions: NDArray[np.int64], count: int, share: float) -> Evidence:
        """Return what was found for the answers at *positions* of *count*, each weighing *share* of its prior."""
        where = {position: index for index, position in enumerate(positions.tolist())}
        prior, chance = np.zeros((len(self.causes), count)), np.zeros((len(self.causes), count))
        prior[:, positions], chance[:, positions] = self.prior * share, self.chance
        agrees = tuple(None if one is None else _spread(one, positions, count) for one in self.agrees)
        words = tuple(_moved(describe, where) for describe in self.words)
        return Evidence(causes=self.causes, words=words, agrees=agrees, prior=prior, chance=chance)


def _at(agrees: Agrees, positions: NDArray[np.int64]) -> Agrees:
    return None if agrees is None else agrees[positions]


def _spread(agrees: NDArray[np.bool_], positions: NDArray[np.int64], count: int) -> NDArray[np.bool_]:
    wide = np.zeros(count, np.bool_)
    wide[positions] = agrees
    return wide


def _moved(describe: Words, where: Mapping[int, int]) -> Words:
    return lambda position: describe(where[position])


def joined(parts: Sequence[Evidence]) -> Evidence:
    """Return all explanations of the same answers together."""
    return Evidence(
        causes=tuple(cause for part in parts for cause in part.causes),
        words=tuple(words for part in parts for words in part.words),
        agrees=tuple(agrees for part in parts for agrees in part.agrees),
        prior=np.concatenate([part.prior for part in parts]),
        chance=np.concatenate([part.chance for part in parts]),
    )
