"""From the wrong answers of a batch to what may have happened, likeliest first."""

from __future__ import annotations

import dataclasses
from collections.abc import Collection, Iterator, Mapping, Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.answers import Board, Judged
from marking.checking.causes.evidence_of_slips import Evidence, joined
from marking.checking.causes.pooling import pool_rows
from marking.checking.causes.priors import Priors, kind_of_answer
from marking.checking.causes.slips import (
    clock_slips,
    digit_slips,
    formula_slips,
    line_slips,
    matches,
    pair_slips,
    quantity_slips,
    rounding_slips,
    statistic_slips,
    unit_slips,
)
from marking.checking.causes.told_causes import list_all
from marking.checking.causes.weighing import Fitting, fitting, unexplained, weigh_copied, weigh_pairs, weighed
from marking.checking.causes.wrong import WAYS_TO_KEEP, Carried, Slips, Values, WrongAnswers, gather, tried
from marking.findings import Cause, Explanation

ACCIDENTS = (Cause.COPYING, Cause.DIGITS_SWAPPED, Cause.UNEXPLAINED)
"""Of one row each, whatever stands in the others, where nothing that goes into all rows may have been miscopied."""
UNEXPLAINED_SHARE = 0.3
"""Pairs of slips are looked for where no single one leaves less than this unexplained."""
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
        for (student, row), explanations in zip(places, listed, strict=True):
            if explanations:
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
                *rounding_slips(wrong),
            ]
            self._found[key] = fitting(tried(wrong, forwards), list(matches(wrong)))
        return self._found[key]


class Asked(Struct, frozen=True, kw_only=True):
    """What is to be explained, with which shares of the causes."""

    priors: Priors
    names: Collection[str]
    """Of the items whose answers are explained."""
    told_from: float = 0.0
    """Answers are told of only where the likeliest cause has so much at least; those of others are counted alone."""


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
    asked = Asked(priors=priors, names=judged.keys() if names is None else names)
    (found,) = explain_each(board, judged, [asked], known)
    return found


def count_causes(board: Board, judged: Mapping[str, Judged], priors: Priors) -> Mapping[str, Mapping[Cause, float]]:
    """Return the counts of ``explain`` alone, without the words, which would be let go unread."""
    (found,) = explain_each(board, judged, [Asked(priors=priors, names=judged.keys(), told_from=np.inf)], None)
    return found.counts


def explain_each(
    board: Board, judged: Mapping[str, Judged], asked: Sequence[Asked], known: Tried | None
) -> tuple[Explained, ...]:
    """Return the same for each of several shares.

    Some answers after others: what was tried on them serves all shares, and is let go where nothing *known* keeps it.
    """
    found = tuple(Explained(explanations={}, counts={}) for _ in asked)
    for name, one in judged.items():
        by_these = [(into, these) for into, these in zip(found, asked, strict=True) if name in these.names]
        if not by_these:
            continue
        wrong = gather(board, judged, one.item)
        kind = kind_of_answer(board.rubric, one.item)
        for chunk in _chunks(wrong.students, CHUNK):
            part = dataclasses.replace(wrong, students=wrong.students[chunk], rows=wrong.rows[chunk])
            on_these = Tried() if known is None else known
            weighings = [_Weighing(part, these.priors[kind], these.told_from, on_these) for _, these in by_these]
            _with_pairs(weighings)
            for (into, _), weighing in zip(by_these, weighings, strict=True):
                into.add(part, kind, weighing.listed, weighing.counts)
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


class _Weighing:
    """Wrong answers weighed with some shares: first with single slips, then with pairs of them a few at a time."""

    def __init__(self, wrong: WrongAnswers, prior: Mapping[Cause, float], told_from: float, known: Tried) -> None:
        """Weigh all that may have been done but pairs of slips."""
        self.wrong, self.prior, self.told_from = wrong, prior, told_from
        self.nothing = unexplained(wrong, prior)
        one = known.on(wrong)
        self.found = [weighed(one, prior)]
        self.ways: list[_Way] = [(np.arange(len(wrong)), one.slips)]
        self.listed: list[tuple[Explanation, ...]] = []
        self.counts: dict[Cause, float] = {}
        joint = self._other_ways(known)
        # Rows speak for each other: where one is open, the slip that all share may be a pair in every one of them.
        open_ones = wrong.students[_left_open(joint) > UNEXPLAINED_SHARE]
        self.is_open = np.isin(wrong.students, open_ones)

    def _other_ways(self, known: Tried) -> Values:
        """Try earlier answers carried on unrounded, and steps kept; return prior times likelihood with these.

        The rarer ways of having come to an answer are gone through only where the plain ones do not explain it.
        """
        wrong, joint = self.wrong, _joint(self.wrong, [*self.found, self.nothing])
        for carried in (Carried.EXACT, Carried.ONE_STEP):
            hardly = joint.sum(axis=0) < HARDLY_EXPLAINED
            open_still = np.flatnonzero((_left_open(joint) > LEFT_OPEN) | hardly | wrong.in_full())
            part = wrong.at(open_still, carried)
            others = [wrong.at(open_still, other.wrong.carried) for _, other in self.ways]
            differs = np.logical_and.reduce([part.differs_from(other) for other in others])
            positions = open_still[differs]
            if positions.size:
                one = known.on(wrong.at(positions, carried))
                self.found.append(weighed(one, self.prior).spread(positions, len(wrong), UNROUNDED_SHARE))
                self.ways.append((positions, one.slips))
                joint = _joint(wrong, [*self.found, self.nothing])
        hardly = joint.sum(axis=0) < HARDLY_EXPLAINED
        positions = np.flatnonzero(((_left_open(joint) > LEFT_OPEN) | hardly) & wrong.shows_steps())
        if positions.size:
            one = known.on(wrong.kept_each_way(positions))
            every = weighed(one, self.prior)
            for way in np.split(np.arange(len(one.slips.wrong)), len(WAYS_TO_KEEP)):
                self.found.append(every.at(way).spread(positions, len(wrong), KEPT_SHARE))
            self.ways.append((np.tile(positions, len(WAYS_TO_KEEP)), one.slips))
            joint = _joint(wrong, [*self.found, self.nothing])
        return joint

    def open_inside(self, inside: NDArray[np.int64]) -> Iterator[tuple[NDArray[np.int64], Slips, NDArray[np.int64]]]:
        """Yield each way with the places in it of those answers at *inside* that are open still."""
        for positions, slips in self.ways:
            chosen = np.flatnonzero(np.isin(positions, inside[self.is_open[inside]]))
            if chosen.size:
                yield positions, slips, chosen

    def finish(self, inside: NDArray[np.int64], pairs: Sequence[Evidence]) -> None:
        """Put down what the answers at *inside* come to with the *pairs* of slips that may have led to them."""
        part = self.wrong.at(inside, self.wrong.carried)
        everything = joined([*(one.at(inside) for one in self.found), *pairs, self.nothing.at(inside)])
        joint = _joint(part, [everything])
        joint /= joint.sum(axis=0)
        everything = everything.named()
        by_cause = _by_cause(joint, everything.causes)
        self.listed += list_all(part, joint, everything, by_cause, self.told_from)
        for cause, total in _counted(part, *by_cause).items():
            self.counts[cause] = self.counts.get(cause, 0.0) + total


_Way = tuple[NDArray[np.int64], Slips]
"""One way of carrying earlier answers on: the positions of the answers among all, and their single slips.

Where steps were kept, the same positions stand there once for every way of keeping them.
"""


def _with_pairs(weighings: Sequence[_Weighing]) -> None:
    """Finish the weighings of the same answers, with pairs of slips where they are open still.

    Pairs are so many that all of them for all answers would fill the memory: a few answers at a time. What is tried on
    those that are open with any shares serves all shares.
    """
    for few in _chunks(weighings[0].wrong.students, TOGETHER):
        inside = np.arange(few.start, few.stop)
        found = _pairs(weighings, inside)
        for one, pairs in zip(weighings, found, strict=True):
            one.finish(inside, pairs)


def _pairs(weighings: Sequence[_Weighing], inside: NDArray[np.int64]) -> list[list[Evidence]]:
    """Return for each weighing what pairs of slips say of the answers at *inside*, as far as they are open still."""
    open_ways = [list(one.open_inside(inside)) for one in weighings]
    found: dict[tuple[int, int], tuple[NDArray[np.int64], list[Evidence]]] = {}
    for slips in {id(slips): slips for ways in open_ways for _, slips, _ in ways}.values():
        with_these = [
            (number, chosen) for number, ways in enumerate(open_ways) for _, other, chosen in ways if other is slips
        ]
        every = np.unique(np.concatenate([chosen for _, chosen in with_these]))
        priors = [weighings[number].prior for number, _ in with_these]
        inner = slips.at(every)
        both = weigh_pairs(pair_slips(inner, priors), priors), weigh_copied(inner, priors)
        for (number, _), *evidence in zip(with_these, *both, strict=True):
            found[number, id(slips)] = every, evidence
    return [
        [
            part
            for positions, slips, chosen in ways
            for part in _spread(positions, slips, chosen, inside, *found[number, id(slips)])
        ]
        for number, ways in enumerate(open_ways)
    ]


def _spread(
    positions: NDArray[np.int64],
    slips: Slips,
    chosen: NDArray[np.int64],
    inside: NDArray[np.int64],
    every: NDArray[np.int64],
    evidence: Sequence[Evidence],
) -> Iterator[Evidence]:
    """Yield what pairs say of the answers at *inside*, one way of keeping steps after another.

    Args:
        positions: Among all answers, of those of one way of carrying earlier ones on.
        slips: The single slips tried on these.
        chosen: Those of them that are open still.
        inside: Among all answers, of those that are weighed together.
        every: Those that pairs were tried on, *chosen* among them.
        evidence: What pairs say of *every* one.
    """
    share = 1.0 if slips.wrong.carried is Carried.WRITTEN else UNROUNDED_SHARE
    share *= 1.0 if slips.wrong.keeping is None else KEPT_SHARE
    places = np.searchsorted(every, chosen)
    for way in np.split(np.arange(chosen.size), 1 if slips.wrong.keeping is None else len(WAYS_TO_KEEP)):
        for one in evidence:
            part = one if way.size == every.size else one.at(places[way])
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
