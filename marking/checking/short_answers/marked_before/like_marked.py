"""How much likelier the words of an answer are among answers that earned nothing than among those that earned all.

Wordings look for what is right; what spoils it, students say in ways without end: 'the highest temperature, exactly as
I flicked the power off'. Words that stand in answers which earned nothing, and in none of those that earned the mark,
tell much of it. Words and pairs of words are taken as if they came independently of one another, at most once in each
answer (naive Bayes of binary features; half an answer is added to each count: from memory). What the rubric says itself
counts as one more answer on either side, so that a wording that nobody has used yet is not taken for strange.
"""

from __future__ import annotations

import re
from collections import Counter
from functools import lru_cache
from itertools import pairwise
from math import fsum, log

from marking.checking.short_answers.marked_before.answers import Marked
from marking.checking.short_answers.words import Word, plain_wording, read_words
from rubrics.model import ErrorSource, Idea, Question

ADDED = 0.5
"""Answers added to each count, so that what was never seen is not impossible."""
_OPENING = re.compile(r"\W*(?:(?:because|cos|the reason is|i think)\b[\s,:]*)+", re.IGNORECASE)
"""How an answer may begin, whatever it says."""
NUMBER = "#"
"""Stands for every number: whose they are does not matter."""

Sign = str | tuple[str, str]
"""The stem of a word, or a pair of stems that follow one another where small words are passed over."""


def weight_against(text: str, question: Question, marked: Marked) -> float:
    """Return how much likelier the words of *text* are in answers to *question* that earned nothing.

    It is the natural logarithm of a ratio: 0 for as likely, 3 for twenty times as likely, -3 for a twentieth.
    """
    earned = _counts(marked.earned), _said_by((*question.ideas, *question.sources)), len(marked.earned)
    not_earned = _counts(marked.not_earned), _said_by(question.wrong), len(marked.not_earned)
    return fsum(
        _weight(sign, *not_earned) - _weight(sign, *earned)
        for sign in signs_of(text)
        if any(sign in known for known in (*earned[:2], *not_earned[:2]))
    )


def _weight(sign: Sign, counts: Counter[Sign], said: frozenset[Sign], answers: int) -> float:
    return log((counts[sign] + (sign in said) + ADDED) / (answers + 1 + 2 * ADDED))


@lru_cache(maxsize=512)
def _counts(answers: tuple[str, ...]) -> Counter[Sign]:
    return Counter(sign for answer in answers for sign in signs_of(answer))


@lru_cache(maxsize=512)
def _said_by(ideas: tuple[Idea | ErrorSource, ...]) -> frozenset[Sign]:
    texts = (text for one in ideas for text in (one.says, *map(plain_wording, one.wordings)))
    return frozenset(sign for text in texts for sign in signs_of(text))


@lru_cache(maxsize=8192)  # an answer that was marked before is looked at again and again
def signs_of(text: str) -> frozenset[Sign]:
    """Return the stems of *text*, and the pairs of stems that follow one another."""
    words = read_words(_OPENING.sub("", text) or text)
    told = [_name(word) for word in words if not word.is_passed_over]
    return frozenset(map(_name, words)) | frozenset(pairwise(told))


def _name(word: Word) -> str:
    return NUMBER if word.text[0].isdigit() else word.stem
