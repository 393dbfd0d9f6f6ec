"""A source of error that no wording fits, told by its own words: 'some gas in the little hose the scale leaves out'.

Students name one and the same source in hundreds of ways, with the same few words in them. Where an answer says which
way the result comes out, two words that belong to a source of that way, and to none of the other way more, are enough
to tell which it is. Nothing is denied in such an answer, unless the source itself is a 'not'.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from functools import cache, lru_cache
from math import fsum

from marking.checking.short_answers.marked_before import AVOIDED, Counts, shares_of
from marking.checking.short_answers.words import (
    Direction,
    Match,
    OwnWords,
    Word,
    denied_in,
    known_groups,
    known_words,
    names_of,
    opposites_of,
    own_words,
    places_in,
    plain_wording,
    read_words,
)
from rubrics.model import ErrorSource, Moves, Question

FEWEST_WORDS = 2
"""Words of its own by which a source is told: one is right in 93 of 100, two in 98, on the two hands it was set by."""
LEAST_SHARE = 0.95
"""How likely the sources of the direction told have to be, by the words that students use for each thing, in boxes."""
LEAST_SHARE_NAMED = 0.2
"""How likely it has to be by the box for the source alone."""
MOST_AVOIDED = 0.97
"""How likely it may be that an answer says of the source which it names that it was avoided: 'the cup was insulated'.
With both, of three hands in parts 95 of 104 right answers are found, 88 without, and 1 in 100 proposals is wrong; in
sentences that nothing was fitted to 125 of 127 proposals are right, 128 of 132 without."""
_WAYS = {Moves.HIGH: Direction.UP, Moves.LOW: Direction.DOWN, Moves.SAME: Direction.NONE}


def likely_source(
    question: Question, words: Sequence[Word], ways: Collection[Direction], reason: Sequence[Word] = ()
) -> tuple[ErrorSource, Match] | None:
    """Return the source that *words* tell by its own words, and where they stand; None where none is sure.

    Args:
        question: What was asked.
        words: The answer.
        ways: The directions that it tells of the result.
        reason: What stands in a box of its own for the reason.
    """
    own = _own_words(question)
    denied = denied_in(words)
    places = {source.id: places_in(words, own[source.id], denied, _not_own(question)) for source in question.sources}
    behind = {one.id: places_in(reason, own[one.id], denied_in(reason), _not_own(question)) for one in question.sources}
    counts = Counter(
        {
            name: len({words[at].stem for at in found} | {reason[at].stem for at in behind[name]}) if found else 0
            for name, found in places.items()
        }
    )
    fits = [one for one in question.sources if one.moves is Moves.EITHER or {_WAYS[one.moves]} == set(ways)]
    best = max(fits, key=lambda one: counts[one.id], default=None)
    if best is None or counts[best.id] < max(FEWEST_WORDS, *counts.values()):
        return None
    if any(counts[one.id] == counts[best.id] for one in question.sources if one not in fits):
        return None  # as likely one that goes the other way
    if not _denies_alike(own[best.id], words, denied):
        return None
    at = tuple(places[best.id])
    spans = tuple((words[one].start, words[one].end) for one in at)
    return best, Match(idea=best.id, at=at, spans=spans, is_denied=False)


def said_source(
    question: Question, words: Sequence[Word], ways: Collection[Direction], text: str, counts: Counts
) -> tuple[ErrorSource, Match] | None:
    """Return the source that *text* says by words which students use for it; None where none is likely enough.

    Args:
        question: What was asked.
        words: The answer, or what stands in the box for the source.
        ways: The directions that it tells of the result.
        text: All that names the source or says why.
        counts: How often words stand in phrases for each source.
    """
    told = {word.stem for word in words if not word.is_passed_over and not word.is_negation}
    if len(told) < FEWEST_WORDS:
        return None
    shares = shares_of(text, question, counts)
    fits = [one for one in question.sources if one.moves is Moves.EITHER or {_WAYS[one.moves]} == set(ways)]
    if fsum(shares.get(one.id, 0.0) for one in fits) < LEAST_SHARE:
        return None
    best = max(fits, key=lambda one: shares.get(one.id, 0.0))
    named = shares_of(" ".join(word.text for word in words), question, counts)
    if named.get(best.id, 0.0) < LEAST_SHARE_NAMED:
        return None  # the reason alone names no source
    at = tuple(number for number, word in enumerate(words) if not word.is_passed_over)
    spans = tuple((words[one].start, words[one].end) for one in at)
    return best, Match(idea=best.id, at=at, spans=spans, is_denied=False)


def is_avoided(question: Question, sources: Collection[ErrorSource], text: str, counts: Counts) -> bool:
    """Tell whether *text* says of *sources* that it was not so, in the words which students use for that."""
    shares = shares_of(text, question, counts)
    avoided = fsum(shares.get(AVOIDED + one.id, 0.0) for one in sources)
    return avoided > MOST_AVOIDED * (avoided + fsum(shares.get(one.id, 0.0) for one in sources))


def _denies_alike(own: OwnWords, words: Sequence[Word], denied: Collection[int]) -> bool:
    """Tell whether an answer denies what the source denies, and nothing else."""
    lists = known_words()
    if denied:
        return bool(own.denied)
    if any(names_of(word) & own.denied and not names_of(word) & own.said for word in words):
        return False  # 'the lamp had settled', for one that had not
    missed = any(word.text in lists["misses"] or word.text in lists["lacks"] for word in words)
    if any(opposites_of(word.text) & own.said for word in words) and not missed:
        return False
    return missed or not own.needs_not


@lru_cache(maxsize=256)
def _not_own(question: Question) -> frozenset[str]:
    # What comes out too high or too low is said by every answer, and the words of the question are nobody's.
    names = (*question.of, *(name for name, _ in question.through), question.prompt)
    return frozenset(word.stem for name in names for word in read_words(name))


@lru_cache(maxsize=256)
def _own_words(question: Question) -> Mapping[str, OwnWords]:
    not_own = _not_own(question)
    return {one.id: own_words(one.wordings, not_own, one.says, one.because) for one in question.sources}


def is_of_a_kind(text: str) -> bool:
    """Tell whether a direction is one of its own kind: 'hotter', 'faster', which do not stand for 'larger'."""
    return any(text in kind for kind in _kinds())


def goes_with(word: Word, sources: Collection[ErrorSource]) -> bool:
    """Tell whether one of *sources* says what *word* says, or another word of its kind: 'warm' for 'hotter'."""
    kind = next(kind for kind in _kinds() if word.text in kind)
    return any(
        one.text in kind or one.stem == word.stem
        for source in sources
        for text in (source.says, source.because, *(plain_wording(wording) for wording in source.wordings))
        for one in read_words(text)
    )


@cache
def _kinds() -> tuple[frozenset[str], ...]:
    return tuple(frozenset(kind) for kind in known_groups("kinds_of_more"))
