"""What is told of wrong answers that were weighed: the likeliest causes of each, and how sure they are."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec.structs import replace
from numpy.typing import NDArray

from marking.checking.answers import magnitude
from marking.checking.causes.evidence_of_slips import Evidence
from marking.checking.causes.wrong import Values, WrongAnswers
from marking.findings import Cause, Explanation

LEAST_SHOWN = 0.05
"""A rarer explanation than this is not worth a teacher's glance."""
MOST_SHOWN = 4
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


def list_all(
    wrong: WrongAnswers,
    probability: Values,
    evidence: Evidence,
    by_cause: tuple[Sequence[Cause], Values],
    told_from: float,
) -> list[tuple[Explanation, ...]]:
    """Return the explanations of each answer; none where its likeliest cause has less than *told_from*."""
    kinds, sums = by_cause
    if told_from > 1.0:
        return [()] * len(wrong)
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
        # Rarely none of the listed ways is of the likeliest cause: the first one then has the share of two.
        if total >= told_from or all(evidence.causes[index] is not kinds[first] for index in indices)
        else ()
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
    shown = [one for one in likeliest if one[1] >= LEAST_SHOWN or one is first]
    shown.sort(key=lambda one: causes[one[0]] is not best)
    for index, share in shown:
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
    return tuple(
        replace(one, probability=one.probability * shares[one.cause]) if one.cause in shares else one for one in listed
    )
