"""Two slips in one answer: a wrong formula, reading or rounding together with a slip of unit or point.

Looked for only where no single slip explains an answer well.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import partial

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.answers import nearly
from marking.checking.causes.slips.digit_answers import Meanings, Meant
from marking.checking.causes.slips.digit_slips import ChangedInput, swapped_inputs, worked_with
from marking.checking.causes.slips.formulas import WrongFormula, wrong_formulas
from marking.checking.causes.slips.other_readings import OtherReading, other_readings
from marking.checking.causes.wrong import (
    ANSWER_SHARE,
    Description,
    Slips,
    Values,
    WrongAnswers,
    formula_inputs,
    kept,
    meant_text,
    tried,
)
from marking.findings import Cause

PAIR_SHARE = 0.125
"""Of wrong answers, those with two slips that have nothing to do with each other, judged. Markers tell of 3 to 5 in 100
of them, and of as many that are copied wrongly behind another slip."""
SCALE_CAUSES = (Cause.UNIT_CONVERSION, Cause.POWER_OF_TEN)
"""Slips that only multiply an answer, whatever else was done."""
SCALE_SHARE = 0.42
"""Of pairs, those with a slip that only multiplies."""
SWAPPED_READING_SHARE = 0.07
"""Of pairs, those with two digits of a reading swapped in a wrong formula."""
OTHER_READING_SHARE = 0.11
"""Of pairs, those with another reading in a wrong formula."""
ROUNDED_READING_SHARE = 0.04
"""Of pairs, those with a reading of a wrong formula rounded to two figures or one."""
CHANGED_SHARE = 0.10
"""Of pairs, those with one digit of the finished answer taken for another; in the rest two of them are swapped."""
COPIED_SHARE = 1.0 - SCALE_SHARE - SWAPPED_READING_SHARE - OTHER_READING_SHARE - ROUNDED_READING_SHARE - CHANGED_SHARE
ONE_DIGIT_SHARE = PAIR_SHARE * CHANGED_SHARE
"""How often a slip is followed by one digit of the answer taken for another."""
FEW_FIGURES = (2, 1)
"""To which a reading is rounded too soon."""
LEAST_FORMULA_SHARE = 0.08
"""Rarer wrong formulas than this are not tried with other numbers: so many pairs would explain anything."""
LEAST_SHARE = 0.02
"""Rarer single slips than this are not paired."""
NEVER_PAIRED = (Cause.POWER_OF_TEN, Cause.DIGITS_SWAPPED, Cause.COPYING)
"""A moved point is one of the scales; miscopied digits have so many ways that pairs of them would explain anything."""
MOST_SCALES = 12
NEARLY_ALL = 0.999
"""So much of a prior, added up in any order, is surely not all of it."""
COPIED_CAUSES = (
    Cause.UNIT_CONVERSION,
    Cause.REARRANGEMENT,
    Cause.OPERATION_ORDER,
    Cause.WRONG_QUANTITY,
    Cause.MISSING_FACTOR,
    Cause.COMBINATION_RULE,
    Cause.SIGN,
    Cause.GRADIENT_INVERTED,
)
"""Slips whose answer may then be copied with two digits swapped: those that are worked out forwards."""

_CODES = {cause: number for number, cause in enumerate(Cause)}


class Pairs(Struct, frozen=True, kw_only=True):
    """Pairs of slips, and what they have of the priors of their causes under each of several shares."""

    slips: Slips
    """All pairs, named by the slip that is not a mere scale; how likely they are is told by :meth:`shares` alone."""
    changed: Values
    """Shares of the foremost, shape (those, answers), which hold under any shares of causes."""
    likely: Values
    """Shares of single slips, shape (slips, answers)."""
    first: NDArray[np.int64]
    """Of each of the other pairs the slip that is no scale."""
    second: NDArray[np.int64]
    """And which of the scales stands beside it."""
    scales: Sequence[_Scales]
    """What there is of each scale, a part for each of the shares of causes."""

    def shares(self, rows: NDArray[np.int64], number: int) -> Values:
        """Return what each of some pairs has of the prior of its cause under one of the shares, (rows, answers)."""
        own, at = self.scales[number], rows[rows >= len(self.changed)] - len(self.changed)
        other = self.second[at]
        both = PAIR_SHARE * SCALE_SHARE * self.likely[self.first[at]] * own.share[other] * own.prior[other] / own.either
        return np.concatenate([self.changed[rows[rows < len(self.changed)]], both])

    def may_fill_up(self, number: int) -> bool:
        """Tell whether all pairs of one cause together may have more than the whole of its prior."""
        own = self.scales[number]
        scales = (own.share * own.prior).sum(axis=0) / own.either
        most = PAIR_SHARE * SCALE_SHARE * self.likely.sum(axis=0) * scales + self.changed.sum(axis=0)
        return bool((most >= NEARLY_ALL).any())


class _Scales(Struct, frozen=True, kw_only=True):
    """Slips that only multiply, under some shares of causes."""

    share: Values
    """Shape (scales, answers), 0 for those that are not the likeliest."""
    prior: Values
    """Of the cause of each, shape (scales, 1)."""
    either: float
    """Of all their causes together."""


def pair_slips(slips: Slips, priors: Sequence[Mapping[Cause, float]]) -> Pairs:
    """Return pairs of the likelier single *slips*; all that may be under any of the shares of causes *priors*."""
    changed, share = _changed_in_wrong_formulas(slips.wrong), _likely_share(slips)
    chosen = [_likeliest_scales(slips, share, prior) for prior in priors]
    scales = np.unique(np.concatenate([found for found, _ in chosen]))
    of_scales = [_of_scales(slips, scales, one, prior) for one, prior in zip(chosen, priors, strict=True)]
    usable = [
        cause not in NEVER_PAIRED and any(prior.get(cause, 0.0) != 0.0 for prior in priors) for cause in slips.causes
    ]
    first = np.flatnonzero(np.array(usable, np.bool_) & share.any(axis=1)) if len(slips) else np.zeros(0, np.int64)
    codes = np.array([_CODES[cause] for cause in slips.causes], np.int64)
    # Of so many pairs only those are made that are not too rare for each of these answers.
    any_scale = np.any([one.share * one.prior > 0 for one in of_scales], axis=0).astype(np.float32)
    together = (share[first] > 0).astype(np.float32) @ any_scale.T
    one, other = np.nonzero((codes[first][:, None] != codes[scales][None, :]) & (together > 0))
    return Pairs(
        slips=_with_scales(slips, changed, first[one], scales[other]),
        changed=changed.share,
        likely=share,
        first=first[one],
        second=other,
        scales=of_scales,
    )


def _with_scales(slips: Slips, changed: Slips, which: NDArray[np.int64], scale: NDArray[np.int64]) -> Slips:
    """Return the pairs with a *changed* reading, and behind them of *slips* each of *which* with its *scale*."""
    right = slips.wrong.right() / slips.wrong.scale
    with np.errstate(all="ignore"):
        # Nothing times a factor without bound is no value: such a pair prints no answer.
        predicted = slips.predicted[which] * (slips.predicted / right)[scale]
    words, second, count = changed.words, _both(slips, which, scale), len(changed)
    causes = (*changed.causes, *(slips.causes[slip] for slip in which.tolist()))
    return Slips(
        wrong=slips.wrong,
        causes=causes,
        share=np.broadcast_to(0.0, (len(causes), len(slips.wrong))),
        predicted=np.concatenate([changed.predicted, predicted]),
        steps=np.concatenate([changed.steps, slips.steps[which]]),
        is_worked_out=np.concatenate([changed.is_worked_out, slips.is_worked_out[which]]),
        agrees=(None,) * len(causes),
        words=lambda pair, at: words(pair, at) if pair < count else second(pair - count, at),
    )


def _of_scales(
    slips: Slips,
    scales: NDArray[np.int64],
    chosen: tuple[NDArray[np.int64], Values],
    prior: Mapping[Cause, float],
) -> _Scales:
    """Return what there is of the *scales* that may be under any shares, under those with which some were *chosen*."""
    share = np.zeros((scales.size, len(slips.wrong)))
    share[np.searchsorted(scales, chosen[0])] = chosen[1]
    return _Scales(
        share=share,
        prior=np.array([prior.get(slips.causes[scale], 0.0) for scale in scales.tolist()])[:, None],
        either=sum(prior.get(cause, 0.0) for cause in SCALE_CAUSES) or 1.0,
    )


def _likely_share(slips: Slips) -> Values:
    """Return the shares, 0 for those answers for which a slip is too rare to be paired, shape (slips, answers)."""
    return np.where(slips.share >= LEAST_SHARE, slips.share, 0.0)


def _likeliest_scales(slips: Slips, share: Values, prior: Mapping[Cause, float]) -> tuple[NDArray[np.int64], Values]:
    """Return which slips only multiply, each with its share; for each answer no more than the likeliest few.

    What is tried for one answer never depends on the answers beside it.
    """
    scales = np.array([cause in SCALE_CAUSES for cause in slips.causes], np.bool_)
    found = np.flatnonzero(scales & share.any(axis=1)) if len(slips) else np.zeros(0, np.int64)
    own = share[found]
    weights = own * np.array([prior.get(slips.causes[slip], 0.0) for slip in found.tolist()])[:, None]
    rank = np.argsort(np.argsort(-weights, axis=0, kind="stable"), axis=0)
    kept = np.where(rank < MOST_SCALES, own, 0.0)
    some = kept.any(axis=1)
    return found[some], kept[some]


class _Changed(ChangedInput, frozen=True, kw_only=True):
    """An input with other numbers in its place, and which slip that is; the chances are of all pairs."""

    second: Cause


def _changed_in_wrong_formulas(wrong: WrongAnswers) -> Slips:
    """Return every likely wrong formula with each number that may stand for one of its readings, by number."""
    every = wrong_formulas(wrong.board.rubric, wrong.item)
    formulas = [one for one in every if one.share >= LEAST_FORMULA_SHARE]
    names = {name for one in formulas for name in one.names}
    inputs = [one for one in _changed_inputs(wrong) if one.name in names] if formulas else []
    if not inputs:
        return tried(wrong, [])
    of_number = [(one, at) for one in inputs for at in range(len(one.chance))]
    takes = np.array([[one.name in formula.names for formula in formulas] for one, _ in of_number], np.bool_)
    factors = np.array([PAIR_SHARE * formula.share for formula in formulas])
    share = factors[:, None] * np.concatenate([one.chance for one in inputs])[:, None]
    numbers, chosen = np.nonzero(takes & share.any(axis=2))
    worked = np.empty((len(formulas), len(wrong), len(of_number)))
    for number in np.flatnonzero(takes.any(axis=0)).tolist():
        worked[number] = worked_with(wrong, formulas[number].tree, [(one.name, one.used) for one in inputs])
    return Slips(
        wrong=wrong,
        causes=tuple(formulas[number].cause for number in chosen.tolist()),
        share=share[numbers, chosen],
        predicted=worked[chosen, :, numbers],
        steps=np.array([formulas[number].steps + 1 for number in chosen.tolist()], np.int64),
        is_worked_out=np.zeros(chosen.size, np.bool_),
        agrees=(None,) * chosen.size,
        words=_with_number(formulas, of_number, chosen.tolist(), numbers.tolist()),
    )


def _changed_inputs(wrong: WrongAnswers) -> Iterator[_Changed]:
    """Yield inputs with two of their digits swapped, with another reading in their place, and with too few figures."""
    for one in swapped_inputs(wrong):
        yield _Changed(
            name=one.name,
            used=one.used,
            chance=SWAPPED_READING_SHARE * one.chance,
            second=Cause.DIGITS_SWAPPED,
            describe=one.describe,
        )
    readings = other_readings(wrong)
    total = sum(other.weight for other in readings)
    for other in readings:
        if len(other.changed) > 1:
            continue  # a whole row for another is one slip of the eye, and two with a wrong formula are rare
        ((name, used),) = other.changed.items()
        if used.shape[1] > 1:
            continue
        there = np.broadcast_to(np.isfinite(used), (len(wrong), 1)).T
        yield _Changed(
            name=name,
            used=np.broadcast_to(used, (len(wrong), 1)),
            chance=np.where(there, OTHER_READING_SHARE * other.weight / total, 0.0),
            second=Cause.WRONG_QUANTITY,
            describe=partial(_of_other, other),
        )
    for name, figures, used, there in _rounded_readings(wrong):
        yield _Changed(
            name=name,
            used=used,
            chance=(ROUNDED_READING_SHARE * there)[None],
            second=Cause.ROUNDED_EARLY,
            describe=partial(_of_rounded, name, figures),
        )


def _rounded_readings(wrong: WrongAnswers) -> Iterator[tuple[str, int, Values, Values]]:
    """Yield names and figures, with the number that a reading is then, (answers, 1), and the share of that, (answers,).

    What a reading of so few figures is already is no slip: what it weighs goes to the others.
    """
    found = []
    for one in formula_inputs(wrong):
        recorded = wrong.recorded(one.name)
        for figures in FEW_FIGURES:
            with np.errstate(all="ignore"):
                ratio = kept(recorded, figures, is_cut=False) / recorded
            there = one.there & (np.isfinite(ratio) & ~nearly(ratio, 1.0, 1e-9))[:, 0]
            found.append((one.name, figures, wrong.needed(one.name) * ratio, there))
    count = np.maximum(np.sum([there for *_, there in found], axis=0), 1)
    for name, figures, used, there in found:
        yield name, figures, used, there / count


def _of_other(other: OtherReading, _: int, position: int) -> Description:
    return other.describe(position)


def _of_rounded(name: str, figures: int, _: int, __: int) -> Description:
    return f"{name} rounded to {figures} figures", {}


def copied_slips(slips: Slips) -> Slips:
    """Return the likelier *slips* whose answer may then have been copied with two digits swapped."""
    share = _likely_share(slips)
    copied = np.array([cause in COPIED_CAUSES for cause in slips.causes], np.bool_)
    chosen = np.flatnonzero(copied & share.any(axis=1)) if len(slips) else np.zeros(0, np.int64)
    return slips.only(chosen, share[chosen])


def share_copied(meant: Meanings) -> Values:
    """Return the chance that such a slip is followed by the very swap that hides what was *meant*, (swaps, answers)."""
    return np.asarray(PAIR_SHARE * COPIED_SHARE * meant.chance / ANSWER_SHARE)


def changed_words(slips: Slips, slip: int) -> Callable[[int], Description]:
    """Return the words for one of *slips* whose answer was copied with one digit taken for another."""
    wrong = slips.wrong

    def meant(position: int) -> str:
        number = float(slips.predicted[slip, position])
        for last in (int(wrong.last_place[position]), int(wrong.finest_place[position])):
            rounded = round(number / 10.0**last) * 10.0**last
            # To the zeros that hold a place it may be the very number that stands there: 1871 for 1870.
            if not nearly(np.array(rounded), float(wrong.number[position]), 1e-9):
                break
        return meant_text(rounded, last)

    return _copied_words(slips, slip, meant, Cause.COPYING)


def copied_words(slips: Slips, slip: int, meant: Meant) -> Callable[[int], Description]:
    """Return the words for one of *slips* with its answer, *meant*, copied with two digits swapped."""

    def text(position: int) -> str:
        return meant_text(float(meant.number[position]), int(meant.last[position]))

    return _copied_words(slips, slip, text, Cause.DIGITS_SWAPPED)


def _copied_words(slips: Slips, slip: int, meant: Callable[[int], str], second: Cause) -> Callable[[int], Description]:
    def describe(position: int) -> Description:
        detail, facts = slips.words(slip, position)
        return f"{detail}; {meant(position)} copied", dict(facts) | {"second": str(second), "second_size": ""}

    return describe


def _with_number(
    formulas: Sequence[WrongFormula],
    of_number: Sequence[tuple[_Changed, int]],
    chosen: Sequence[int],
    numbers: Sequence[int],
) -> Callable[[int, int], Description]:
    def words(pair: int, position: int) -> Description:
        detail, facts = formulas[chosen[pair]].description
        one, at = of_number[numbers[pair]]
        other, _ = one.describe(at, position)
        return f"{detail}; {other}", dict(facts) | {"second": str(one.second), "second_size": ""}

    return words


def _both(slips: Slips, first: NDArray[np.int64], second: NDArray[np.int64]) -> Callable[[int, int], Description]:
    def words(pair: int, position: int) -> Description:
        other_cause = slips.causes[int(second[pair])]
        detail, facts = slips.words(int(first[pair]), position)
        other, more = slips.words(int(second[pair]), position)
        return f"{detail}; {other}", dict(facts) | {"second": str(other_cause), "second_size": more.get("size", "")}

    return words
