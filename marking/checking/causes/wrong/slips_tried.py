"""All slips that were tried on the same wrong answers, as arrays: a row a slip, a column an answer."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.causes.wrong.hypothesis import Description, Hypothesis, Values
from marking.checking.causes.wrong.wrong_answers import WrongAnswers
from marking.findings import Cause

Agrees = NDArray[np.bool_] | None
Words = Callable[[int], Description]


class Slips(Struct, frozen=True, kw_only=True):
    """Slips, worked out for all of *wrong*."""

    wrong: WrongAnswers
    causes: tuple[Cause, ...]
    share: Values
    """Of the prior of its cause, shape (slips, answers)."""
    predicted: Values
    """In the unit that each student wrote, the same shape; NaN where a slip leads to no number."""
    steps: NDArray[np.int64]
    """Steps of working, shape (slips,)."""
    is_worked_out: NDArray[np.bool_]
    """Whether it is a sum, though the right answer is taken off a drawn line; shape (slips,)."""
    agrees: tuple[Agrees, ...]
    """Where the unit that was written is the one that the slip leads to."""
    words: Callable[[int, int], Description]
    """Detail and facts of a slip for one answer."""

    def __len__(self) -> int:
        """Return how many slips there are."""
        return len(self.causes)

    def at(self, positions: NDArray[np.int64]) -> Slips:
        """Return the same slips for some of the answers."""
        index, words = positions.tolist(), self.words
        return Slips(
            wrong=self.wrong.at(positions, self.wrong.carried),
            causes=self.causes,
            share=self.share[:, positions],
            predicted=self.predicted[:, positions],
            steps=self.steps,
            is_worked_out=self.is_worked_out,
            agrees=tuple(None if one is None else one[positions] for one in self.agrees),
            words=lambda slip, answer: words(slip, index[answer]),
        )

    def only(self, chosen: NDArray[np.int64], share: Values | None = None) -> Slips:
        """Return some of the slips for the same answers, with other shares where *share* is given."""
        index, words = chosen.tolist(), self.words
        return Slips(
            wrong=self.wrong,
            causes=tuple(self.causes[one] for one in index),
            share=self.share[chosen] if share is None else share,
            predicted=self.predicted[chosen],
            steps=self.steps[chosen],
            is_worked_out=self.is_worked_out[chosen],
            agrees=tuple(self.agrees[one] for one in index),
            words=lambda slip, answer: words(index[slip], answer),
        )

    def words_of(self, slip: int) -> Words:
        """Return what tells of one slip for each answer; it keeps none of the arrays."""
        words = self.words
        return lambda answer: words(slip, answer)


def tried(wrong: WrongAnswers, slips: Sequence[Hypothesis]) -> Slips:
    """Return *slips* side by side."""
    describe = [slip.describe for slip in slips]
    return Slips(
        wrong=wrong,
        causes=tuple(slip.cause for slip in slips),
        share=stacked([slip.share for slip in slips], len(wrong)),
        predicted=stacked([slip.predicted for slip in slips], len(wrong)),
        steps=np.array([slip.steps for slip in slips], np.int64),
        is_worked_out=np.array([slip.is_worked_out for slip in slips], np.bool_),
        agrees=tuple(slip.dimension_agrees for slip in slips),
        words=lambda slip, answer: describe[slip](answer),
    )


def stacked(rows: Sequence[Values], count: int) -> Values:
    """Return *rows* of shape (count,) as one array, (rows, count)."""
    return np.array(rows, dtype=np.float64) if rows else np.zeros((0, count))


def summed(rows: Values) -> Values:
    """Return the sums of the columns of *rows*, added up from the top whatever the number of columns."""
    # One column alone would be added up in pairs, which may differ in the last binary place.
    return np.asarray(np.repeat(rows, 2, axis=1).sum(axis=0)[:1] if rows.shape[1] == 1 else rows.sum(axis=0))
