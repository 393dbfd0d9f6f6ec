"""The signs of an answer, its words and pairs of words, and how often each stands in answers marked before."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from functools import lru_cache
from itertools import pairwise

from msgspec import Struct

from marking.checking.short_answers.marked_before.answers import Marked
from marking.checking.short_answers.words import Word, read_words

_OPENING = re.compile(r"\W*(?:(?:because|cos|the reason is|i think)\b[\s,:]*)+", re.IGNORECASE)
"""How an answer may begin, whatever it says."""
NUMBER = "#"
"""Stands for every number: whose they are does not matter."""


class SignCounts(Struct, frozen=True, eq=False):
    """In how many of several answers each sign stands."""

    answers: int
    signs: Mapping[str, int]
    """Those that stand in one or more."""


class Counts(Struct, frozen=True, eq=False):
    """The answers to one question that were marked before, counted."""

    earned: SignCounts
    """Those that earned the mark."""
    not_earned: SignCounts
    """Those that earned nothing, or not all that is asked for."""
    said: Mapping[str, SignCounts]
    """Phrases for each thing that may be said, by its id; none where no phrases are known."""


@lru_cache(maxsize=512)
def counts_of(marked: Marked) -> Counts:
    """Return the counts of *marked*."""
    said = {name: _counted(phrases) for name, phrases in marked.said}
    return Counts(earned=_counted(marked.earned), not_earned=_counted(marked.not_earned), said=said)


def _counted(answers: tuple[str, ...]) -> SignCounts:
    return SignCounts(len(answers), Counter(sign for answer in answers for sign in signs_of(answer)))


@lru_cache(maxsize=8192)  # an answer that was marked before is looked at again and again
def signs_of(text: str) -> frozenset[str]:
    """Return the stems of *text*, and the pairs of stems that follow one another where small words are passed over."""
    words = read_words(_OPENING.sub("", text) or text)
    told = [_name(word) for word in words if not word.is_passed_over]
    return frozenset(told) | frozenset(map(" ".join, pairwise(told)))


def _name(word: Word) -> str:
    return NUMBER if word.text[0].isdigit() else word.stem
