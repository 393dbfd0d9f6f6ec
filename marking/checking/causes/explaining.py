"""From the wrong answers of a batch to what may have happened, likeliest first."""

from __future__ import annotations

import dataclasses
from collections.abc import Collection, Iterator, Mapping, Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from marking.checking.answers import Board, Judged, magnitude
from marking.checking.causes.evidence_of_slips import Evidence, joined
from marking.checking.causes.other_constants import with_other_constants
from marking.checking.causes.pooling import pool_rows
from marking.checking.causes.priors import Priors, kind_of_answer
from marking.checking.causes.slips import (
    clock_slips,
    digit_slips,
    formula_slips,
    line_slips,
    matches,
    miscounted_slips,
    pair_slips,
    quantity_slips,
    rounding_slips,
    statistic_slips,
    unit_slips,
)
from marking.checking.causes.weighing import Fitting, fitting, unexplained, weigh_copied, weigh_pairs, weighed
from marking.checking.causes.wrong import WAYS_TO_KEEP, Carried, Slips, Values, WrongAnswers, gather, tried
from marking.findings import Cause, Explanation

ACCIDENTS = (Cause.COPYING, Cause.DIGITS_SWAPPED, Cause.UNEXPLAINED)
"""Of one row each, whatever stands in the others, where nothing that goes into all rows may have been miscopied."""
LEAST_SHOWN = 0.05
"""A rarer explanation than this is not worth a teacher's glance."""
MOST_SHOWN = 4
UNEXPLAINED_SHARE = 0.3
"""Pairs of slips are looked for where no single one leaves less than this unexplained."""
UNKNOWN_SLIP_SHARE = 0.1
"""Of answers that no slip known here explains, those that a teacher would still find one for; measured by
``tests.benchmarks.causes``."""
COPIED_ODDS = 0.6
"""The odds of a miscopied figure as it is told, beside those that its shares come to: any of nine digits in any place
prints much, and of 400 told first at 0.8 on the whole 0.72 were right; measured by ``tests.benchmarks.causes``."""
COPIED_READING_ODDS = 0.4
"""The same where the figure is one of a reading and the answer has few: among nine digits in every place of every
reading some one prints it. Of 18 told at 0.8 or more without this, at 0.93 on the whole, 0.83 were right."""
ROUNDED_ODDS = 0.35
"""The same of a step rounded too soon: any step cut or rounded, to one figure or two, prints much. Of 30 told at 0.8 or
more in write-ups by another hand, at 0.91 on the whole, 0.63 were right, and of 26 in our own, at 0.73, 0.42."""
FEW_FIGURES = 3
LEFT_OPEN = 0.02
"""Earlier answers carried on unrounded are tried where the written ones leave more than this unexplained."""
HARDLY_EXPLAINED = 0.003
"""Or where all explanations together, prior times chance, come to less than this: a plain slip comes to more."""
UNROUNDED_SHARE = 0.5
"""How often an earlier answer is carried on as the calculator held it, beside as it was written."""
KEPT_SHARE = 0.04
"""How often every step is kept to three or four figures in one of the ways tried, beside not at all; judged."""
CHUNK = 512
"""Answers weighed together: enough that arrays pay, and so few that what is tried on them stays small."""

TOGETHER = 256
"""Answers for which pairs of slips are weighed at a time."""
COUNTED_IN = 2.0**-30
"""Parts of answers are counted in this: exact for eight million answers, finer than any share needs."""

Explanations = Mapping[tuple[str, int, int], tuple[Explanation, ...]]


class Explained(Struct, frozen=True, kw_only=True):
    """What may have happened in a batch."""

    explanations: dict[tuple[str, int, int], tuple[Explanation, ...]]
    counts: dict[str, dict[Cause, float]]
    """For each kind of answer, how many answers each cause explains; parts of answers count as parts."""

    def add(
        self, wrong: WrongAnswers, kind: str, listed: Sequence[tuple[Explanation, ...]], sums: Mapping[Cause, float]
    ) -> None:
        """Put down what some answers of one kind were explained by, and what each cause explains of them."""
        places = zip(wrong.students.tolist(), wrong.rows.tolist(), strict=True)
        for (student, row), explanations in zip(places, listed, strict=bool(listed)):
            self.explanations[wrong.item.name, student, row] = explanations
        own = self.counts.setdefault(kind, {})
        for cause, total in sums.items():
            own[cause] = own.get(cause, 0.0) + total


class Tried:
    """What was tried on the wrong answers of a batch: once, however often it is weighed with other shares."""

    def __init__(self) -> None:
        """Know nothing yet."""
        self._found: dict[tuple[str, Carried, bool, bytes, bytes], Fitting] = {}

    def on(self, wrong: WrongAnswers) -> Fitting:
        """Return every slip, worked forwards or found backwards."""
        key = (wrong.item.name, wrong.carried, wrong.keeping is None, wrong.students.tobytes(), wrong.rows.tobytes())
        if key not in self._found:
            units = list(unit_slips(wrong))
            forwards = [
                *units,
                *clock_slips(wrong),
                *formula_slips(wrong),
                *quantity_slips(wrong),
                *line_slips(wrong),
                *statistic_slips(wrong),
                *digit_slips(wrong, units),
                *miscounted_slips(wrong),
                *rounding_slips(wrong),
            ]
            forwards += list(with_other_constants(wrong, forwards))
            self._found[key] = fitting(tried(wrong, forwards), list(matches(wrong)))
        return self._found[key]


def explain(
    board: Board,
    judged: Mapping[str, Judged],
    priors: Priors,
    *,
    names: Collection[str] | None = None,
    known: Tried | None = None,
) -> Explained:
    """Return what may have happened in each wrong answer of *board*, by (item, student, row from 0).

    Args:
        board: The batch.
        judged: What each answer is worth.
        priors: The shares of the causes.
        names: Items whose answers are explained; all of them where None.
        known: What was tried on this batch before, with other shares; it learns what is tried now.
    """
    (found,) = explain_each(board, judged, [(priors, judged.keys() if names is None else names)], known)
    return found


def count_causes(board: Board, judged: Mapping[str, Judged], priors: Priors) -> Mapping[str, Mapping[Cause, float]]:
    """Return the counts of ``explain`` alone, without the words, which would be let go unread."""
    (found,) = explain_each(board, judged, [(priors, judged.keys())], None, told=False)
    return found.counts


def explain_each(
    board: Board,
    judged: Mapping[str, Judged],
    asked: Sequence[tuple[Priors, Collection[str]]],
    known: Tried | None,
    *,
    told: bool = True,
) -> tuple[Explained, ...]:
    """Return the same for each of several shares, with the items whose answers are explained by them.

    Some answers after others: what was tried on them serves all shares, and is let go where nothing *known* keeps it.
    Where it is not to be *told*, what each cause explains is counted and nothing else.
    """
    found = tuple(Explained(explanations={}, counts={}) for _ in asked)
    for name, one in judged.items():
        by_these = [(each, priors) for each, (priors, names) in zip(found, asked, strict=True) if name in names]
        if not by_these:
            continue
        wrong = gather(board, judged, one.item)
        kind = kind_of_answer(board.rubric, one.item)
        for chunk in _chunks(wrong.students, CHUNK):
            part = dataclasses.replace(wrong, students=wrong.students[chunk], rows=wrong.rows[chunk])
            on_these = Tried() if known is None else known
            for each, priors in by_these:
                each.add(part, kind, *_explain(part, priors[kind], on_these, told=told))
    return found


def _chunks(students: NDArray[np.int64], most: int) -> Iterator[slice]:
    """Yield about *most* answers at a time; those of one student, who stand together, are never parted."""
    start = 0
    while start < students.size:
        end = min(start + most, students.size)
        if end < students.size:
            first = int(np.searchsorted(students, students[end - 1]))
            end = first if first > start else int(np.searchsorted(students, students[end - 1], side="right"))
        yield slice(start, end)
        start = end


def _explain(
    wrong: WrongAnswers, prior: Mapping[Cause, float], known: Tried, *, told: bool
) -> tuple[list[tuple[Explanation, ...]], Mapping[Cause, float]]:
    """Return the explanations of each answer, none where they are not *told*, and how many each cause explains."""
    nothing = unexplained(wrong, prior)
    one = known.on(wrong)
    found = [weighed(one, prior)]
    joint = _joint(wrong, [*found, nothing])
    # The rarer ways of having come to an answer are gone through only where the plain ones do not explain it.
    ways: list[_Way] = [(np.arange(len(wrong)), one.slips)]
    for carried in (Carried.EXACT, Carried.ONE_STEP):
        hardly = joint.sum(axis=0) < HARDLY_EXPLAINED
        open_still = np.flatnonzero((_left_open(joint) > LEFT_OPEN) | hardly | wrong.in_full())
        part = wrong.at(open_still, carried)
        others = [wrong.at(open_still, other.wrong.carried) for _, other in ways]
        differs = np.logical_and.reduce([part.differs_from(other) for other in others])
        positions = open_still[differs]
        if positions.size:
            one = known.on(wrong.at(positions, carried))
            found.append(weighed(one, prior).spread(positions, len(wrong), UNROUNDED_SHARE))
            ways.append((positions, one.slips))
            joint = _joint(wrong, [*found, nothing])
    hardly = joint.sum(axis=0) < HARDLY_EXPLAINED
    positions = np.flatnonzero(((_left_open(joint) > LEFT_OPEN) | hardly) & wrong.shows_steps())
    if positions.size:
        one = known.on(wrong.kept_each_way(positions))
        every = weighed(one, prior)
        for way in np.split(np.arange(len(one.slips.wrong)), len(WAYS_TO_KEEP)):
            found.append(every.at(way).spread(positions, len(wrong), KEPT_SHARE))
        ways.append((np.tile(positions, len(WAYS_TO_KEEP)), one.slips))
        joint = _joint(wrong, [*found, nothing])
    # Rows speak for each other: where one is open, the slip that all share may be a pair in every one of them.
    open_ones = wrong.students[_left_open(joint) > UNEXPLAINED_SHARE]
    unexplained_still = np.isin(wrong.students, open_ones)
    listed: list[tuple[Explanation, ...]] = []
    counts: dict[Cause, float] = {}
    # Pairs are so many that all of them for all answers would fill the memory: a few answers at a time.
    for few in _chunks(wrong.students, TOGETHER):
        inside = np.arange(few.start, few.stop)
        part = wrong.at(inside, wrong.carried)
        plain = [one.at(inside) for one in found]
        everything = joined([*plain, *_pairs(ways, inside, unexplained_still, prior), nothing.at(inside)])
        joint = _joint(part, [everything])
        joint /= joint.sum(axis=0)
        everything = everything.named()
        by_cause = _by_cause(joint, everything.causes)
        listed += _list_all(part, joint, everything, by_cause) if told else ()
        sums = _counted(part, *by_cause)
        for cause, total in sums.items():
            counts[cause] = counts.get(cause, 0.0) + total
    return listed, counts


_Way = tuple[NDArray[np.int64], Slips]
"""One way of carrying earlier answers on: the positions of the answers among all, and their single slips.

Where steps were kept, the same positions stand there once for every way of keeping them.
"""


def _pairs(
    ways: Sequence[_Way], inside: NDArray[np.int64], open_still: NDArray[np.bool_], prior: Mapping[Cause, float]
) -> Iterator[Evidence]:
    """Yield what pairs of slips say of the answers at *inside*, as far as they are open still."""
    for positions, slips in ways:
        chosen = np.flatnonzero(np.isin(positions, inside[open_still[inside]]))
        if chosen.size:
            inner = slips.at(chosen)
            share = 1.0 if slips.wrong.carried is Carried.WRITTEN else UNROUNDED_SHARE
            share *= 1.0 if slips.wrong.keeping is None else KEPT_SHARE
            both = weigh_pairs(pair_slips(inner, prior), prior), weigh_copied(inner, prior)
            one_way = np.split(np.arange(chosen.size), 1 if slips.wrong.keeping is None else len(WAYS_TO_KEEP))
            for way in one_way:
                for evidence in both:
                    part = evidence if len(one_way) == 1 else evidence.at(way)
                    yield part.spread(positions[chosen[way]] - inside[0], inside.size, share)


def _joint(wrong: WrongAnswers, parts: list[Evidence]) -> Values:
    """Return prior times likelihood, shape (explanations, answers); 'unexplained' stands last."""
    evidence = joined(parts)
    if wrong.item.table is not None:
        accidents = () if wrong.has_input_of_all_rows() else ACCIDENTS
        is_shared = np.array([cause not in accidents for cause in evidence.causes], np.bool_)
        return pool_rows(evidence.prior, evidence.chance, wrong.students, is_shared)
    return evidence.prior * evidence.chance


def _left_open(joint: Values) -> Values:
    return np.asarray(joint[-1] / joint.sum(axis=0))


def _by_cause(probability: Values, causes: Sequence[Cause]) -> tuple[list[Cause], Values]:
    """Return the causes, each once, and what each has of every answer in all its ways, shape (causes, answers)."""
    kinds = sorted(set(causes))
    places = {kind: place for place, kind in enumerate(kinds)}
    place_of = np.array([places[cause] for cause in causes])
    return kinds, np.stack([probability[place_of == place].sum(axis=0) for place in range(len(kinds))])


def _counted(wrong: WrongAnswers, kinds: Sequence[Cause], sums: Values) -> Mapping[Cause, float]:
    """Return how many answers each cause explains."""
    # A slip in a whole column is one slip, not seven.
    weight = 1.0 / np.bincount(wrong.students)[wrong.students]
    # Rounded to a power of two, so that sums are exact: parts counted apart come to the same as the whole.
    shares = np.round(sums * weight / COUNTED_IN) * COUNTED_IN
    return dict(zip(kinds, shares.sum(axis=1).tolist(), strict=True))


def _list_all(
    wrong: WrongAnswers, probability: Values, evidence: Evidence, by_cause: tuple[Sequence[Cause], Values]
) -> list[tuple[Explanation, ...]]:
    kinds, sums = by_cause
    order = np.argsort(-probability, axis=0, kind="stable")[: 4 * MOST_SHOWN]
    shown = np.take_along_axis(probability, order, axis=0)
    best = np.argmax(sums * np.array([_share_left(kind) for kind in kinds])[:, None], axis=0)
    whole = np.take_along_axis(sums, best[None, :], axis=0)[0]
    # Lists: to take one number out of an array costs more than to look at it.
    copied = sums[kinds.index(Cause.COPYING)] if Cause.COPYING in kinds else np.zeros(len(wrong))
    told, of_reading = (
        (odds / (odds * copied + 1.0 - copied)).tolist()
        for odds in (COPIED_ODDS, np.where(_has_few_figures(wrong), COPIED_READING_ODDS, COPIED_ODDS))
    )
    by_answer = zip(order.T.tolist(), shown.T.tolist(), best.tolist(), whole.tolist(), strict=True)
    listed = [
        _listed(position, list(zip(indices, own, strict=True)), evidence, (kinds[first], total))
        for position, (indices, own, first, total) in enumerate(by_answer)
    ]
    return [_as_told(wrong.item.name, *one) for one in zip(listed, told, of_reading, strict=True)]


def _has_few_figures(wrong: WrongAnswers) -> NDArray[np.bool_]:
    return np.asarray(magnitude(wrong.number) - wrong.last_place + 1 <= FEW_FIGURES)


def _share_left(cause: Cause) -> float:
    return 1.0 - UNKNOWN_SLIP_SHARE if cause is Cause.UNEXPLAINED else 1.0


def _listed(
    position: int,
    likeliest: Sequence[tuple[int, float]],
    evidence: Evidence,
    likeliest_cause: tuple[Cause, float],
) -> tuple[Explanation, ...]:
    """Return the explanations of one answer, the likeliest cause first.

    The first one carries what its cause's unlisted ways add, so that the listed ways sum to the cause.

    Args:
        position: Of the answer.
        likeliest: Its likeliest ways and their probabilities, in order.
        evidence: Of all answers.
        likeliest_cause: It, and its probability in all ways.
    """
    causes, words, agrees = evidence.causes, evidence.words, evidence.agrees
    best, whole = likeliest_cause
    listed: list[Explanation] = []
    seen: set[tuple[Cause, str]] = set()
    first = next((one for one in likeliest if causes[one[0]] is best), likeliest[0])
    shown = [first, *(one for one in likeliest if one[1] >= LEAST_SHOWN and one is not first)]
    for index, share in sorted(shown, key=lambda one: (causes[one[0]] is not best, -one[1])):
        if len(listed) == MOST_SHOWN:
            break
        detail, facts = words[index](position)
        if (causes[index], detail) in seen:
            continue
        seen.add((causes[index], detail))
        fits = agrees[index]
        if fits is not None and fits[position]:
            facts = dict(facts) | {"unit_agrees": "yes"}
        listed.append(Explanation(cause=causes[index], detail=detail, probability=share, facts=facts))
    rest = whole - sum(one.probability for one in listed if one.cause is best)
    listed[0] = replace(listed[0], probability=min(1.0, listed[0].probability + max(0.0, rest)))
    return tuple(listed)


def _as_told(
    item: str, listed: tuple[Explanation, ...], copied: float, copied_reading: float
) -> tuple[Explanation, ...]:
    """Return the explanations with the probabilities that are told.

    Args:
        item: The answer.
        listed: Its explanations, the likeliest first.
        copied: What is told of the probability of a miscopied figure of the answer.
        copied_reading: The same of a reading.
    """
    miscopied = next((one for one in listed if one.cause is Cause.COPYING), None)
    is_pen = miscopied is not None and miscopied.detail.startswith(f"{item}: ")
    shares = {Cause.UNEXPLAINED: _share_left(Cause.UNEXPLAINED), Cause.COPYING: copied if is_pen else copied_reading}
    rounded = sum(one.probability for one in listed if one.cause is Cause.ROUNDED_EARLY)
    shares[Cause.ROUNDED_EARLY] = ROUNDED_ODDS / (ROUNDED_ODDS * rounded + 1.0 - rounded)
    return tuple(replace(one, probability=one.probability * shares.get(one.cause, 1.0)) for one in listed)
