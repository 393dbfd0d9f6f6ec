"""From the wrong answers of a batch to what may have happened, likeliest first."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from functools import partial

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.answers import Board, Judged
from marking.checking.causes.evidence_of_slips import Evidence, joined
from marking.checking.causes.other_constants import with_other_constants
from marking.checking.causes.pooling import pool_rows
from marking.checking.causes.priors import Priors, kind_of_answer
from marking.checking.causes.slips import (
    clock_slips,
    column_slips,
    digit_slips,
    formula_slips,
    line_slips,
    matches,
    miscounted_slips,
    pair_slips,
    prefix_slips,
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
            units += prefix_slips(wrong, units)
            forwards = [
                *units,
                *clock_slips(wrong),
                *formula_slips(wrong),
                *quantity_slips(wrong),
                *line_slips(wrong),
                *statistic_slips(wrong),
                *column_slips(wrong),
                *digit_slips(wrong, units),
                *miscounted_slips(wrong),
                *rounding_slips(wrong),
            ]
            forwards += list(with_other_constants(wrong, forwards))
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
            _with_other_ways(weighings, on_these)
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


class _Way(Struct, frozen=True, kw_only=True):
    """One way of carrying earlier answers on, and what it leads to."""

    positions: NDArray[np.int64]
    """Among all answers, of those on which single slips were tried in this way.

    Where steps were kept, the same positions stand there once for every way of keeping them.
    """
    slips: Slips
    """Those single slips."""
    own: NDArray[np.int64]
    """The places among these of the answers that are weighed: with other shares others may be."""


class _Weighing:
    """Wrong answers weighed with some shares: first with single slips, then with pairs of them a few at a time."""

    def __init__(self, wrong: WrongAnswers, prior: Mapping[Cause, float], told_from: float, known: Tried) -> None:
        """Weigh what was done with the numbers as they stand on the page."""
        self.wrong, self.prior, self.told_from = wrong, prior, told_from
        self._nothing = unexplained(wrong, prior)
        one, every = known.on(wrong), np.arange(len(wrong))
        self._found = [weighed(one, prior)]
        self._ways = [_Way(positions=every, slips=one.slips, own=every)]
        self._joint = self._weigh()
        self.listed: list[tuple[Explanation, ...]] = []
        self.counts: dict[Cause, float] = {}

    def _weigh(self) -> Values:
        parts = [*self._found, self._nothing]
        causes = [cause for one in parts for cause in one.causes]
        prior, chance = np.concatenate([one.prior for one in parts]), np.concatenate([one.chance for one in parts])
        return _pooled(self.wrong, causes, prior, chance)

    def carried_on(self, carried: Carried) -> NDArray[np.int64]:
        """Return which answers are to be tried with earlier ones carried on in another way, if that differs."""
        open_still = np.flatnonzero(self._is_in_doubt() | self.wrong.in_full())
        part = self.wrong.at(open_still, carried)
        others = [self.wrong.at(open_still, other.slips.wrong.carried) for other in self._ways]
        return open_still[np.logical_and.reduce([part.differs_from(other) for other in others])]

    def kept(self) -> NDArray[np.int64]:
        """Return which answers are to be tried with every step kept."""
        return np.flatnonzero(self._is_in_doubt() & self.wrong.shows_steps())

    def _is_in_doubt(self) -> NDArray[np.bool_]:
        return np.asarray((_left_open(self._joint) > LEFT_OPEN) | (self._joint.sum(axis=0) < HARDLY_EXPLAINED))

    def take(self, tried_on: NDArray[np.int64], one: Fitting, positions: NDArray[np.int64], share: float) -> None:
        """Take in what was found in another way.

        Args:
            tried_on: Positions of the answers that it was tried on.
            one: What was tried, on all of these in one way of keeping steps, then in the next.
            positions: Of those of them that are to be weighed so.
            share: Of answers that are come to in this way.
        """
        times = len(one.slips.wrong) // tried_on.size
        every, places = weighed(one, self.prior), np.searchsorted(tried_on, positions)
        ways = [places + way * tried_on.size for way in range(times)]
        for way in ways:
            part = every if way.size == len(one.slips.wrong) else every.at(way)
            self._found.append(part.spread(positions, len(self.wrong), share))
        self._ways.append(_Way(positions=np.tile(tried_on, times), slips=one.slips, own=np.concatenate(ways)))
        self._joint = self._weigh()

    def open_inside(self, inside: NDArray[np.int64]) -> Iterator[tuple[_Way, NDArray[np.int64]]]:
        """Yield each way with the places in it of those answers at *inside* that are open still."""
        # Rows speak for each other: where one is open, the slip that all share may be a pair in every one of them.
        open_ones = self.wrong.students[_left_open(self._joint) > UNEXPLAINED_SHARE]
        is_open = np.isin(self.wrong.students[inside], open_ones)
        for way in self._ways:
            chosen = way.own[np.isin(way.positions[way.own], inside[is_open])]
            if chosen.size:
                yield way, chosen

    def finish(self, inside: NDArray[np.int64], pairs: Sequence[Evidence]) -> None:
        """Put down what the answers at *inside* come to with the *pairs* of slips that may have led to them."""
        part = self.wrong.at(inside, self.wrong.carried)
        single = [*self._found, self._nothing]
        if inside.size < len(self.wrong):
            single = [one.at(inside) for one in single]
        everything = joined([*single[:-1], *pairs, single[-1]])
        joint = _pooled(part, everything.causes, everything.prior, everything.chance)
        joint /= joint.sum(axis=0)
        everything = everything.named()
        by_cause = _by_cause(joint, everything.causes)
        self.listed += list_all(part, joint, everything, by_cause, self.told_from)
        for cause, total in _counted(part, *by_cause).items():
            self.counts[cause] = self.counts.get(cause, 0.0) + total


def _with_other_ways(weighings: Sequence[_Weighing], known: Tried) -> None:
    """Weigh in the rarer ways of having come to an answer, where the plain ones do not explain it.

    Earlier answers may be carried on unrounded, and steps kept. What is tried so with any shares serves all shares.
    """
    wrong = weighings[0].wrong
    for carried in (Carried.EXACT, Carried.ONE_STEP):
        wanted = [one.carried_on(carried) for one in weighings]
        _try(weighings, wanted, known, partial(wrong.at, carried=carried), UNROUNDED_SHARE)
    _try(weighings, [one.kept() for one in weighings], known, wrong.kept_each_way, KEPT_SHARE)


def _try(
    weighings: Sequence[_Weighing],
    wanted: Sequence[NDArray[np.int64]],
    known: Tried,
    answers_at: Callable[[NDArray[np.int64]], WrongAnswers],
    share: float,
) -> None:
    """Try another way on the answers that are *wanted* with any shares, and weigh with each shares those that are."""
    every = np.flatnonzero(np.bincount(np.concatenate(wanted)))
    for one, positions in zip(weighings, wanted, strict=True):
        if positions.size:
            one.take(every, known.on(answers_at(every)), positions, share)


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
    for slips in {id(way.slips): way.slips for ways in open_ways for way, _ in ways}.values():
        with_these = [
            (number, chosen) for number, ways in enumerate(open_ways) for way, chosen in ways if way.slips is slips
        ]
        every = np.unique(np.concatenate([chosen for _, chosen in with_these]))
        priors = [weighings[number].prior for number, _ in with_these]
        inner = slips.at(every)
        both = weigh_pairs(pair_slips(inner, priors), priors), weigh_copied(inner, priors)
        for (number, _), *evidence in zip(with_these, *both, strict=True):
            found[number, id(slips)] = every, evidence
    return [
        [part for way, chosen in ways for part in _spread(way, chosen, inside, *found[number, id(way.slips)])]
        for number, ways in enumerate(open_ways)
    ]


def _spread(
    way: _Way,
    chosen: NDArray[np.int64],
    inside: NDArray[np.int64],
    every: NDArray[np.int64],
    evidence: Sequence[Evidence],
) -> Iterator[Evidence]:
    """Yield what pairs say of the answers at *inside*, one way of keeping steps after another.

    Args:
        way: Of carrying earlier answers on.
        chosen: The places in it of those answers that are open still.
        inside: Among all answers, of those that are weighed together.
        every: The places in the way of those that pairs were tried on, *chosen* among them.
        evidence: What pairs say of *every* one.
    """
    wrong = way.slips.wrong
    share = 1.0 if wrong.carried is Carried.WRITTEN else UNROUNDED_SHARE
    share *= 1.0 if wrong.keeping is None else KEPT_SHARE
    places = np.searchsorted(every, chosen)
    for some in np.split(np.arange(chosen.size), 1 if wrong.keeping is None else len(WAYS_TO_KEEP)):
        for one in evidence:
            part = one if some.size == every.size else one.at(places[some])
            yield part.spread(way.positions[chosen[some]] - inside[0], inside.size, share)


def _pooled(wrong: WrongAnswers, causes: Sequence[Cause], prior: Values, chance: Values) -> Values:
    """Return prior times likelihood, shape (explanations, answers); 'unexplained' stands last."""
    if wrong.item.table is None:
        return prior * chance
    accidents = () if wrong.has_input_of_all_rows() else ACCIDENTS
    is_shared = np.array([cause not in accidents for cause in causes], np.bool_)
    return pool_rows(prior, chance, wrong.students, is_shared)


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
