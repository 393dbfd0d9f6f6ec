"""How much likelier the words of an answer are among answers that earned nothing than among those that earned all.

Wordings look for what is right; what spoils it, students say in ways without end: 'the highest temperature, exactly as
I flicked the power off'. Words that stand in answers which earned nothing, and in none of those that earned the mark,
tell much of it. Words and pairs of words are taken as if they came independently of one another, at most once in each
answer (naive Bayes of binary features; half an answer is added to each count: from memory). What the rubric says itself
counts as one more answer on either side, so that a wording that nobody has used yet is not taken for strange.
"""

from __future__ import annotations

from functools import lru_cache
from math import fsum, log

from marking.checking.short_answers.marked_before.counts import Counts, SignCounts, signs_of
from marking.checking.short_answers.words import plain_wording
from rubrics.model import ErrorSource, Idea, Question

ADDED = 0.5
"""Answers added to each count, so that what was never seen is not impossible."""


def weight_against(text: str, question: Question, counts: Counts) -> float:
    """Return how much likelier the words of *text* are in answers to *question* that earned nothing.

    It is the natural logarithm of a ratio: 0 for as likely, 3 for twenty times as likely, -3 for a twentieth.
    """
    earned = counts.earned, _said_by((*question.ideas, *question.sources))
    not_earned = counts.not_earned, _said_by(question.wrong)
    return fsum(
        _weight(sign, *not_earned) - _weight(sign, *earned)
        for sign in signs_of(text)
        if any(sign in counted.signs or sign in said for counted, said in (earned, not_earned))
    )


def _weight(sign: str, counted: SignCounts, said: frozenset[str]) -> float:
    return log((counted.signs.get(sign, 0) + (sign in said) + ADDED) / (counted.answers + 1 + 2 * ADDED))


@lru_cache(maxsize=512)
def _said_by(ideas: tuple[Idea | ErrorSource, ...]) -> frozenset[str]:
    texts = (text for one in ideas for text in (one.says, *map(plain_wording, one.wordings)))
    return frozenset(sign for text in texts for sign in signs_of(text))
