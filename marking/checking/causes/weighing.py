"""How well each slip explains each printed answer: prior times likelihood, 'unexplained' among them.

The likelihood of an answer under a slip is the chance that a student who made it prints just these
figures. 'Unexplained' spreads its share over all magnitudes, so an answer of two figures, which many
slips hit by chance, earns less confidence than one of four.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.answers import Places, is_drawn, magnitude, printed_interval, rounded_interval
from marking.checking.causes.evidence_of_slips import Evidence, joined
from marking.checking.causes.slips import (
    ONE_DIGIT_SHARE,
    Match,
    Meanings,
    Pairs,
    chance_of_one_digit,
    changed_words,
    copied_slips,
    copied_words,
    share_copied,
    swapped_answers,
)
from marking.checking.causes.wrong import (
    MOST_DIGITS,
    Description,
    Slips,
    Values,
    Words,
    WrongAnswers,
    as_digits,
    drawn_chance,
    later_answers,
    stacked,
    summed,
)
from marking.findings import Cause

ROUNDED_SHARE = 0.80
"""Of those who made a slip, so many worked it without rounding on the way and rounded the answer."""
CUT_SHARE = 0.05
SPREAD_SHARE = 0.15
"""Rounded a step to three figures on the way, which shifts the answer a little."""
SPREAD_IN_FULL = 0.3
"""What is left of that share where an answer has so many figures that steps kept short are tried one by one."""
STEP_SPREAD = 0.005
"""Half-width of that shift, relative, for each step."""
UNIT_EVIDENCE = 25.0
"""A unit that fits the wrong formula is so many times likelier under it than under any other slip."""
SCATTERS = ((0.25, 0.05), (0.25, 0.25), (0.07, 1.1))
"""(share, scale in the logarithm) of unexplained answers that lie about the right one.

The first are slips of mental arithmetic and of the hand, a few per cent off; the others are off by a factor of three or
so. The rest of the unexplained lie anywhere. Judged, and weighed on ``tests.benchmarks``.
"""
ONE_OFF_SHARE = 0.03
"""Of the unexplained, sums that went wrong by one in one place, 41.3 - 20.7 = 21.6; judged."""
DECADES = 6.0
"""Over which those that lie anywhere are spread."""
OTHER_SIGN = 0.05
"""Of the unexplained, those with the other sign than the right one; judged. What goes wrong for no reason keeps it."""
_CODES = {cause: number for number, cause in enumerate(Cause)}


class Fitting(Struct, frozen=True, kw_only=True):
    """What was tried on some wrong answers, whatever its shares are, and what of it may have led to any of them."""

    slips: Slips
    rows: NDArray[np.int64]
    """Those of the slips that may."""
    backwards: Sequence[Match]
    """Those found backwards that may."""
    chance: Values
    """Of each printed answer under each of both, shape (rows and matches, answers)."""


def fitting(slips: Slips, found: Sequence[Match]) -> Fitting:
    """Return which of *slips*, and of what was *found* backwards, may have led to any of the answers."""
    chance = chances(slips, found)
    fits = np.flatnonzero(chance.any(axis=1))
    rows = fits[fits < len(slips)]
    matches = [found[at - len(slips)] for at in fits[rows.size :].tolist()]
    return Fitting(slips=slips, rows=rows, backwards=matches, chance=chance[fits])


def chances(slips: Slips, found: Sequence[Match]) -> Values:
    """Return the chance of each printed answer under each slip, and under what was found backwards behind them."""
    wrong, later = slips.wrong, later_answers(slips.wrong)
    forwards = _likelihoods(slips, wrong.number[None], _printed(wrong))[0]
    mass = np.nan_to_num(stacked([match.mass for match in found], len(wrong)), nan=0.0, posinf=0.0)
    if later is not None:
        fits = np.flatnonzero(forwards.any(axis=1))
        forwards[fits] *= later.chance(slips.predicted[fits], _shifts(slips)[fits])
        pen, other = later.chance(wrong.right() / wrong.scale, is_pen=True), later.chance_of_any()
        is_pen = np.array([match.is_pen for match in found], np.bool_)
        mass *= np.where(is_pen[:, None], pen, other)
    return np.concatenate([forwards, mass])


def weighed(tried: Fitting, prior: Mapping[Cause, float]) -> Evidence:
    """Return the prior of each slip that fits, and the chance of each printed answer under it."""
    slips, rows, found = tried.slips, tried.rows, tried.backwards
    whole = [np.full(len(slips.wrong), prior.get(match.cause, 0.0)) for match in found]
    return Evidence(
        causes=(*(slips.causes[slip] for slip in rows.tolist()), *(match.cause for match in found)),
        words=(*(slips.words_of(slip) for slip in rows.tolist()), *(match.describe for match in found)),
        agrees=(*(slips.agrees[slip] for slip in rows.tolist()), *(None for _ in found)),
        prior=np.concatenate([_priors(slips, prior, rows), stacked(whole, len(slips.wrong))]),
        chance=tried.chance,
    )


def weigh_pairs(pairs: Pairs, priors: Sequence[Mapping[Cause, float]]) -> list[Evidence]:
    """Return the same of so many *pairs* of slips, for each of the *priors* that they were made for.

    Those are left out that lead to none of the answers.
    """
    chance = chances(pairs.slips, [])
    rows = np.flatnonzero(chance.any(axis=1))
    causes = tuple(pairs.slips.causes[pair] for pair in rows.tolist())
    words = tuple(pairs.slips.words_of(pair) for pair in rows.tolist())
    chance = chance[rows]
    found = []
    for number, prior in enumerate(priors):
        of_cause = np.array([prior.get(cause, 0.0) for cause in causes])[:, None]
        found.append(
            Evidence(
                causes=causes,
                words=words,
                agrees=(None,) * len(causes),
                prior=of_cause * pairs.shares(rows, number) / _whole_of_pairs(pairs, causes, number),
                chance=chance,
            )
        )
    return found


def _whole_of_pairs(pairs: Pairs, causes: Sequence[Cause], number: int) -> Values | float:
    """Return what all pairs of each of the *causes* have together of its prior, shape (causes, answers); 1 or more."""
    if not pairs.may_fill_up(number):
        return 1.0
    rows = {cause: np.array([at for at, other in enumerate(pairs.slips.causes) if other is cause]) for cause in causes}
    wholes = {cause: np.maximum(summed(pairs.shares(own, number)), 1.0) for cause, own in rows.items()}
    return stacked([wholes[cause] for cause in causes], len(pairs.slips.wrong))


def weigh_copied(slips: Slips, priors: Sequence[Mapping[Cause, float]]) -> list[Evidence]:
    """Return the same for answers that came out of one of *slips* and were then copied with a slip of the pen."""
    chosen = copied_slips(slips)
    later = later_answers(slips.wrong)
    goes_on = later.chance(chosen.predicted, _shifts(chosen), is_pen=True) if later is not None else 1.0
    swapped, changed = _swapped_after(chosen, goes_on, priors), _changed_after(chosen, goes_on, priors)
    return [joined(both) for both in zip(swapped, changed, strict=True)]


def _swapped_after(
    chosen: Slips, goes_on: Values | float, priors: Sequence[Mapping[Cause, float]]
) -> Iterator[Evidence]:
    """Yield for each of the *priors* what two digits swapped in the answers of the slips *chosen* lead to."""
    meant = swapped_answers(chosen.wrong)
    chance = _likelihoods(chosen, meant.number, [_printed_as(meant)]) * goes_on
    swaps, which = np.nonzero(((chosen.share > 0) & (chance > 0)).any(axis=2))
    share, chance = share_copied(meant)[swaps], chance[swaps, which]
    words = [copied_words(chosen, slip, meant[swap]) for swap, slip in zip(swaps.tolist(), which.tolist(), strict=True)]
    for prior in priors:
        yield _after(chosen, which, words, _priors(chosen, prior, which) * share, chance)


def _changed_after(
    chosen: Slips, goes_on: Values | float, priors: Sequence[Mapping[Cause, float]]
) -> Iterator[Evidence]:
    """Yield the same of one digit taken for another."""
    chance = ROUNDED_SHARE * chance_of_one_digit(chosen.wrong, chosen.predicted) * goes_on
    which = np.flatnonzero(((chosen.share > 0) & (chance > 0)).any(axis=1))
    words = [changed_words(chosen, slip) for slip in which.tolist()]
    for prior in priors:
        yield _after(chosen, which, words, _priors(chosen, prior, which) * ONE_DIGIT_SHARE, chance[which])


def _after(chosen: Slips, which: NDArray[np.int64], words: Sequence[Words], prior: Values, chance: Values) -> Evidence:
    """Return what there is on those *which* of the slips *chosen*, with what came after them."""
    return Evidence(
        causes=tuple(chosen.causes[slip] for slip in which.tolist()),
        words=tuple(words),
        agrees=tuple(chosen.agrees[slip] for slip in which.tolist()),
        prior=prior,
        chance=chance,
    )


def _priors(slips: Slips, prior: Mapping[Cause, float], chosen: NDArray[np.int64]) -> Values:
    """Return what each of the slips that were *chosen* has of the prior of its cause, shape (chosen, answers)."""
    # A cause that several kinds of slip lead to is not the likelier for that.
    codes, own = np.array([_CODES[cause] for cause in slips.causes], np.int64), slips.share[chosen]
    kinds, kind = np.unique(codes[chosen], return_inverse=True)
    wholes = [np.maximum(summed(slips.share[codes == code]), 1.0) for code in kinds.tolist()]
    shares = np.array([prior.get(slips.causes[slip], 0.0) for slip in chosen.tolist()])[:, None]
    for row, slip in enumerate(chosen.tolist()):
        agrees = slips.agrees[slip]
        if agrees is not None:
            own[row] *= np.where(agrees, UNIT_EVIDENCE, 1.0)
    return np.asarray(shares * own / stacked(wholes, len(slips.wrong))[kind])


def unexplained(wrong: WrongAnswers, prior: Mapping[Cause, float]) -> Evidence:
    """Return how well the printed answers go with no slip at all."""
    later = later_answers(wrong)
    chance = np.nan_to_num(_unexplained(wrong), nan=0.0, posinf=0.0)
    chance *= later.chance_unexplained() if later is not None else 1.0
    return Evidence(
        causes=(Cause.UNEXPLAINED,),
        words=(_nothing,),
        agrees=(None,),
        prior=np.full((1, len(wrong)), prior[Cause.UNEXPLAINED]),
        chance=chance[None, :],
    )


def _nothing(_: int) -> Description:
    return "", {}


def _likelihoods(slips: Slips, number: Values, printed: Sequence[_Printed]) -> Values:
    """Return the chance that each slip puts each of several numbers on paper, shape (numbers, slips, answers).

    Args:
        slips: What was done.
        number: Of each answer, shape (numbers, answers).
        printed: What it stands for on paper, in every way of counting its zeros.
    """
    wrong, chance = slips.wrong, np.zeros((number.shape[0], *slips.predicted.shape))
    half = _shifts(slips)
    is_drawn_line = wrong.item.formula is not None and is_drawn(wrong.item.formula)
    drawn = np.flatnonzero(~slips.is_worked_out) if is_drawn_line else np.zeros(0, np.int64)
    sums = np.flatnonzero(slips.is_worked_out) if is_drawn_line else np.arange(len(slips))
    with np.errstate(all="ignore"):
        if drawn.size:
            # What was divided by zero has no value, and nobody prints one.
            predicted = np.where(np.isfinite(slips.predicted[drawn]), slips.predicted[drawn], np.nan)
            for one in printed:
                near = drawn_chance(number[:, None], predicted, one.width[..., None, :])
                chance[:, drawn] += one.share[..., None, :] * near
        # Few slips lead anywhere near: only those are looked at closely, answer by answer.
        predicted, half = slips.predicted[sums], half[sums]
        is_near = _is_near(predicted, half, number, printed)
        which, slip, at = np.unravel_index(np.flatnonzero(is_near), is_near.shape)
        some = [one.at(which, at) for one in printed]
        close = _chance(predicted[slip, at], half[slip, 0], number[which, at], some, _spread_shares(wrong)[at])
        chance[which, sums[slip], at] = close
    return chance


def _shifts(slips: Slips) -> Values:
    """Return how far each slip's number may be shifted by steps kept to three figures, relative; (slips, 1)."""
    if slips.wrong.keeping is not None:
        return np.zeros((len(slips), 1))
    return np.asarray(STEP_SPREAD * np.maximum(slips.steps[:, None] + slips.wrong.steps_before() - 1, 0))


def _spread_shares(wrong: WrongAnswers) -> Values:
    """Return how often a step was rounded on the way to each answer, shape (answers,)."""
    return SPREAD_SHARE * np.where(wrong.in_full() | wrong.shows_steps(), SPREAD_IN_FULL, 1.0)


def _is_near(predicted: Values, half: Values, number: Values, printed: Sequence[_Printed]) -> NDArray[np.bool_]:
    """Tell which slips lead near which numbers, wide enough for all that may have a chance: (numbers, slips, answers).

    Slips of shape (slips, answers), numbers of shape (numbers, answers).
    """
    room = math.exp(float(half.max())) if half.size else 1.0
    # A shift is told from half the width either way: of few figures more than the lower half of what they stand for.
    shifted = [number * by for one in printed for by in (np.exp(0.5 * one.width), np.exp(-0.5 * one.width))]
    found = np.array([*(end for one in printed for end in (*one.rounded, *one.cut)), *shifted])
    ends = np.concatenate([found * room, found / room])
    low, high = np.fmin.reduce(ends), np.fmax.reduce(ends)
    edge = 1e-6 * np.maximum(np.abs(low), np.abs(high))
    return np.asarray((predicted >= (low - edge)[:, None]) & (predicted <= (high + edge)[:, None]))


def _chance(
    predicted: Values, half: Values, number: Values, printed: Sequence[_Printed], spread_share: Values
) -> Values:
    """Return the chance of each number under the slip that leads to *predicted*, give or take *half*, relative.

    All arrays have one shape.
    """
    predicted = np.where(np.isfinite(predicted), predicted, np.nan)
    chance = np.zeros(predicted.shape)
    room = np.where(half > 0, half, np.inf)
    noise = 1e-9 * np.abs(predicted)
    distance = np.abs(np.log(number / predicted))
    for one in printed:
        was_rounded = (predicted >= one.rounded[0] - noise) & (predicted <= one.rounded[1] + noise)
        was_cut = (predicted >= one.cut[0] - noise) & (predicted <= one.cut[1] + noise)
        # What is printed stands for half a unit of its last figure either way.
        off = np.maximum(distance - 0.5 * one.width, 0.0)
        near = np.where(half > 0, np.maximum(1.0 - off / room, 0.0), 0.0)
        spread = np.minimum(near * one.width / room, 1.0)
        chance += one.share * (ROUNDED_SHARE * was_rounded + CUT_SHARE * was_cut + spread_share * spread)
    return np.nan_to_num(chance, nan=0.0, posinf=0.0)


class _Printed(Struct, frozen=True, kw_only=True):
    """What printed numbers stand for, in one way of counting trailing zeros; arrays of shape (numbers, answers)."""

    share: Values
    rounded: tuple[Values, Values]
    cut: tuple[Values, Values]
    width: Values
    """What the last figure spans, in the logarithm."""

    def at(self, which: NDArray[np.int64], positions: NDArray[np.int64]) -> _Printed:
        """Return the same of some of the numbers for some of the answers, all of one shape."""
        (low, high), (least, most) = self.rounded, self.cut
        return _Printed(
            share=self.share[which, positions],
            rounded=(low[which, positions], high[which, positions]),
            cut=(least[which, positions], most[which, positions]),
            width=self.width[which, positions],
        )


def _printed(wrong: WrongAnswers) -> list[_Printed]:
    return [_printed_to(wrong.number[None], last[None], share[None]) for share, last in wrong.readings() if share.any()]


def _printed_as(meant: Meanings) -> _Printed:
    """Return what stands for the numbers that were *meant*; their share is in the chance of the swap."""
    return _printed_to(meant.number, meant.last, np.ones(meant.number.shape))


def _printed_to(number: Values, last: Places, share: Values) -> _Printed:
    rounded = rounded_interval(number, last)
    return _Printed(share=share, rounded=rounded, cut=printed_interval(number, last), width=_width(number, rounded))


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
    width = sum((one.share[0] * one.width[0] for one in _printed(wrong)), np.zeros(len(wrong)))
    right = wrong.right() / wrong.scale
    with np.errstate(all="ignore"):
        distance = np.abs(np.log(np.abs(wrong.number / right)))
    distance = np.where(np.isfinite(distance), distance, np.inf)
    about = sum((share * np.exp(-distance / scale) / (2.0 * scale) for share, scale in SCATTERS), np.zeros(len(wrong)))
    anywhere = 1.0 - ONE_OFF_SHARE - sum(share for share, _ in SCATTERS)
    chance = width * (anywhere / (DECADES * math.log(10)) + about) + ONE_OFF_SHARE * _one_off(wrong, right)
    chance = chance * np.where(wrong.number * right < 0, OTHER_SIGN, 1.0)
    # Nothing can be told from a zero: whatever is small enough prints it, and readings that lead to none are not meant.
    has_size = (wrong.number != 0) & np.isfinite(right) & (right != 0)
    return np.where(has_size, chance, 1.0)
