"""How well each slip explains each printed answer: prior times likelihood, 'unexplained' among them.

The likelihood of an answer under a slip is the chance that a student who made it prints just these
figures. 'Unexplained' spreads its share over all magnitudes, so an answer of two figures, which many
slips hit by chance, earns less confidence than one of four.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers import is_drawn, magnitude, printed_interval, rounded_interval
from marking.checking.causes.slips import (
    Match,
    Meant,
    copied_slips,
    copied_words,
    share_copied,
    swapped_answers,
)
from marking.checking.causes.wrong import (
    MOST_DIGITS,
    Description,
    Hypothesis,
    Values,
    WrongAnswers,
    as_digits,
    drawn_chance,
)
from marking.findings import Cause

ROUNDED_SHARE = 0.80
"""Of those who made a slip, so many worked it without rounding on the way and rounded the answer."""
CUT_SHARE = 0.05
SPREAD_SHARE = 0.15
"""Rounded a step to three figures on the way, which shifts the answer a little."""
STEP_SPREAD = 0.005
"""Half-width of that shift, relative, for each step."""
UNIT_EVIDENCE = 25.0
"""A unit that fits the wrong formula is so many times likelier under it than under any other slip."""
SCATTERS = ((0.45, 0.05), (0.20, 0.25), (0.15, 1.1))
"""(share, scale in the logarithm) of unexplained answers that lie about the right one.

The first are slips of mental arithmetic and of the hand, a few per cent off; the others are off by a factor of three or
so. The rest of the unexplained lie anywhere. Judged, and weighed on ``tests.benchmarks``.
"""
ONE_OFF_SHARE = 0.1
"""Of the unexplained, sums that went wrong by one in one place, 41.3 - 20.7 = 21.6; judged."""
DECADES = 6.0
"""Over which those that lie anywhere are spread."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """Explanations of a batch of wrong answers; arrays of shape (explanations, answers)."""

    causes: tuple[Cause, ...]
    words: tuple[Callable[[int], Description], ...]
    """Detail and facts for the answer at one position."""
    agrees: tuple[NDArray[np.bool_] | None, ...]
    """Where the unit that was written is the one that the slip leads to."""
    prior: Values
    chance: Values
    """Of each printed answer under each explanation."""

    def at(self, positions: NDArray[np.int64]) -> Evidence:
        """Return what there is on the answers at *positions* alone."""
        where = dict(enumerate(positions.tolist()))
        return Evidence(
            causes=self.causes,
            words=tuple(_moved(describe, where) for describe in self.words),
            agrees=tuple(None if one is None else one[positions] for one in self.agrees),
            prior=self.prior[:, positions],
            chance=self.chance[:, positions],
        )

    def spread(self, positions: NDArray[np.int64], count: int, share: float) -> Evidence:
        """Return what was found for the answers at *positions* of *count*, each weighing *share* of its prior."""
        where = {int(position): index for index, position in enumerate(positions)}
        prior, chance = np.zeros((len(self.causes), count)), np.zeros((len(self.causes), count))
        prior[:, positions], chance[:, positions] = self.prior * share, self.chance
        agrees: list[NDArray[np.bool_] | None] = []
        for one in self.agrees:
            wide = np.zeros(count, np.bool_)
            if one is not None:
                wide[positions] = one
            agrees.append(None if one is None else wide)
        words = tuple(_moved(describe, where) for describe in self.words)
        return Evidence(causes=self.causes, words=words, agrees=tuple(agrees), prior=prior, chance=chance)


def _moved(describe: Callable[[int], Description], where: Mapping[int, int]) -> Callable[[int], Description]:
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


def weigh(
    wrong: WrongAnswers, slips: Sequence[Hypothesis], found: Sequence[Match], prior: Mapping[Cause, float]
) -> Evidence:
    """Return the prior of each slip, and the chance of each printed answer under it."""
    whole = [np.full(len(wrong), prior.get(match.cause, 0.0)) for match in found]
    return Evidence(
        causes=(*(slip.cause for slip in slips), *(match.cause for match in found)),
        words=(*(slip.describe for slip in slips), *(match.describe for match in found)),
        agrees=(*(slip.dimension_agrees for slip in slips), *(None for _ in found)),
        prior=_stacked([*_priors(slips, prior), *whole], len(wrong)),
        chance=np.concatenate(
            [
                _likelihoods(wrong, slips, wrong.number, _printed(wrong)),
                np.nan_to_num(_stacked([match.mass for match in found], len(wrong)), nan=0.0, posinf=0.0),
            ]
        ),
    )


def weigh_copied(wrong: WrongAnswers, slips: Sequence[Hypothesis], prior: Mapping[Cause, float]) -> Evidence:
    """Return the same for answers that came out of one of *slips* and were then copied with two digits swapped."""
    chosen = copied_slips(slips)
    before = _stacked(_priors(chosen, prior), len(wrong))
    parts = [weigh(wrong, [], [], prior)]
    for meant in swapped_answers(wrong):
        chance = _likelihoods(wrong, chosen, meant.number, [_printed_as(meant)])
        fits = np.flatnonzero((before * chance).any(axis=1))
        part = Evidence(
            causes=tuple(chosen[index].cause for index in fits),
            words=tuple(copied_words(chosen[index], meant) for index in fits),
            agrees=tuple(chosen[index].dimension_agrees for index in fits),
            prior=before[fits] * share_copied(meant),
            chance=chance[fits],
        )
        parts.append(part)
    return joined(parts)


def _stacked(rows: Sequence[Values], count: int) -> Values:
    """Return *rows* of shape (count,) as one array, (rows, count)."""
    return np.stack(rows) if rows else np.zeros((0, count))


def _priors(slips: Sequence[Hypothesis], prior: Mapping[Cause, float]) -> list[Values]:
    """Return what each slip has of the prior of its cause, each of shape (answers,)."""
    # A cause that several kinds of slip lead to is not the likelier for that.
    totals: dict[Cause, Values] = {}
    for slip in slips:
        totals[slip.cause] = totals.get(slip.cause, 0.0) + slip.share
    return [prior.get(slip.cause, 0.0) * _share(slip) / np.maximum(totals[slip.cause], 1.0) for slip in slips]


def unexplained(wrong: WrongAnswers, prior: Mapping[Cause, float]) -> Evidence:
    """Return how well the printed answers go with no slip at all."""
    chance = np.nan_to_num(_unexplained(wrong), nan=0.0, posinf=0.0)
    return Evidence(
        causes=(Cause.UNEXPLAINED,),
        words=(_nothing,),
        agrees=(None,),
        prior=np.full((1, len(wrong)), prior[Cause.UNEXPLAINED]),
        chance=chance[None, :],
    )


def _nothing(_: int) -> Description:
    return "", {}


def _share(slip: Hypothesis) -> Values:
    if slip.dimension_agrees is None:
        return slip.share
    return np.asarray(slip.share * np.where(slip.dimension_agrees, UNIT_EVIDENCE, 1.0))


def _likelihoods(
    wrong: WrongAnswers, slips: Sequence[Hypothesis], number: Values, printed: Sequence[_Printed]
) -> Values:
    """Return the chance that each slip puts *number* on paper as *printed*, shape (slips, answers)."""
    predicted = _stacked([slip.predicted for slip in slips], len(wrong))
    # What was divided by zero has no value, and nobody prints one.
    predicted = np.where(np.isfinite(predicted), predicted, np.nan)
    chance = np.zeros(predicted.shape)
    with np.errstate(all="ignore"):
        if wrong.item.formula is not None and is_drawn(wrong.item.formula):
            for one in printed:
                chance += one.share * drawn_chance(number, predicted, one.width)
            return np.nan_to_num(chance, nan=0.0, posinf=0.0)
        steps = np.array([slip.steps for slip in slips], np.int64)[:, None] + wrong.steps_before()
        half = STEP_SPREAD * np.maximum(steps - 1, 0)
        room = np.where(half > 0, half, np.inf)
        noise = 1e-9 * np.abs(predicted)
        off = np.abs(np.log(number / predicted))
        for one in printed:
            was_rounded = (predicted >= one.rounded[0] - noise) & (predicted <= one.rounded[1] + noise)
            was_cut = (predicted >= one.cut[0] - noise) & (predicted <= one.cut[1] + noise)
            near = np.where(half > 0, np.maximum(1.0 - off / room, 0.0), 0.0)
            spread = np.minimum(near * one.width / room, 1.0)
            chance += one.share * (ROUNDED_SHARE * was_rounded + CUT_SHARE * was_cut + SPREAD_SHARE * spread)
    return np.nan_to_num(chance, nan=0.0, posinf=0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Printed:
    """What printed answers stand for, in one way of counting trailing zeros; arrays of shape (answers,)."""

    share: Values
    rounded: tuple[Values, Values]
    cut: tuple[Values, Values]
    width: Values
    """What the last figure spans, in the logarithm."""


def _printed(wrong: WrongAnswers) -> list[_Printed]:
    found = []
    for share, last in wrong.readings():
        if share.any():
            rounded = rounded_interval(wrong.number, last)
            cut = printed_interval(wrong.number, last)
            found.append(_Printed(share=share, rounded=rounded, cut=cut, width=_width(wrong.number, rounded)))
    return found


def _printed_as(meant: Meant) -> _Printed:
    """Return what stands for the number that was *meant*; its share is in the chance of the swap."""
    rounded = rounded_interval(meant.number, meant.last)
    cut = printed_interval(meant.number, meant.last)
    share = np.ones(meant.number.size)
    return _Printed(share=share, rounded=rounded, cut=cut, width=_width(meant.number, rounded))


def _width(number: Values, rounded: tuple[Values, Values]) -> Values:
    low, high = rounded
    with np.errstate(all="ignore"):
        largest = np.maximum(np.abs(low), np.abs(high))
        smallest = np.minimum(np.abs(low), np.abs(high))
        width = np.log(largest) - np.log(np.maximum(smallest, 1e-3 * np.abs(number)))
        return np.where(np.isfinite(width), width, 1.0)


def _one_off(wrong: WrongAnswers, right: Values) -> Values:
    """Return the chance that a sum off by one in one place, up or down, prints each number, shape (answers,)."""
    chance = np.zeros(len(wrong))
    for share, last in wrong.readings():
        off = np.abs(as_digits(wrong.number, last) - as_digits(right, last))
        length = np.clip(magnitude(wrong.number) - last + 1, 1, MOST_DIGITS)
        one = (
            (off[:, None] == 10 ** np.arange(MOST_DIGITS)).any(axis=1)
            & (off < 10.0**length)
            & (wrong.number * right > 0)
        )
        chance += np.where(one, share / (2.0 * length), 0.0)
    return chance


def _unexplained(wrong: WrongAnswers) -> Values:
    width = sum((one.share * one.width for one in _printed(wrong)), np.zeros(len(wrong)))
    right = wrong.right() / wrong.scale
    with np.errstate(all="ignore"):
        distance = np.abs(np.log(np.abs(wrong.number / right)))
    distance = np.where(np.isfinite(distance), distance, np.inf)
    about = sum((share * np.exp(-distance / scale) / (2.0 * scale) for share, scale in SCATTERS), np.zeros(len(wrong)))
    anywhere = 1.0 - ONE_OFF_SHARE - sum(share for share, _ in SCATTERS)
    chance = width * (anywhere / (DECADES * math.log(10)) + about) + ONE_OFF_SHARE * _one_off(wrong, right)
    # Nothing can be told from a zero: whatever is small enough prints it, and readings that lead to none are not meant.
    has_size = (wrong.number != 0) & np.isfinite(right) & (right != 0)
    return np.where(has_size, chance, 1.0)
