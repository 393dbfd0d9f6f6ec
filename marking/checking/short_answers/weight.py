"""How well founded a proposal is: on how many words it rests, and whether its answer is like those that earned it.

On two hands, most rows of which wordings were widened on, ideas that rest on at least three words were right in 95 of
100, those on two in 75 of 100. How like an answer has to be was set on the first eight hands, each measured by the
others and with wordings older than itself: one idea was right in 89 of 100 without it and in 94 with it, two ideas or a
source with its direction in 96.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from functools import lru_cache

from msgspec.structs import replace

from marking.checking.short_answers.improvements import asks_for_improvement, makes_worse, purposes_in
from marking.checking.short_answers.marked_before import Counts, signs_of, weight_against
from marking.checking.short_answers.proposals import Parts, Proposal, Reading, Why
from marking.checking.short_answers.words import (
    Match,
    OwnWords,
    Word,
    known_words,
    names_of,
    own_words,
    places_in,
    read_words,
)
from rubrics.model import Question

FEWEST_WORDS = 3
"""Words of an answer that belong to what is found in it."""
MOST_AGAINST = 0.0
"""Logarithm of odds up to which a whole answer is proposed: as likely where the mark was earned as where it was not."""
MOST_AGAINST_ONE = -6.0
"""The same for an improvement, which is vague more often than anything else: 400 to one for it. At -3 of the same hands
924 in 1,000 were right, here 945."""
MOST_AGAINST_A_SIGN = -0.5
"""The same for each word and pair of words of a short one: three words cannot have as much in their favour as ten."""
MOST_AGAINST_SOURCE = 3.0
"""The same for a source whose direction is worked out, in a sentence or in boxes: one to twenty, since traps are made
of the very words of the plainest right answer, 'heat was lost so c is too high'."""
MOST_AGAINST_ALONE = -8.0
"""The same for one idea that rests on few words, or an improvement that no wording fits: 3,000 to one."""


def is_well_founded(
    question: Question, words: Sequence[Word], found: Sequence[Match], ideas: Collection[str], passed: Collection[int]
) -> bool:
    """Tell whether *ideas* rest on enough words, or on all that the answer says is to be done, whatever for.

    Args:
        question: What was asked.
        words: The answer.
        found: Where wordings of these ideas stand.
        ideas: Their ids.
        passed: Positions of what neither helps nor harms.
    """
    matched = {at for one in found for at in one.at}
    own = [_own_words(question)[name] for name in ideas]
    rests = {at for at, word in enumerate(words) if at in matched or any(_belongs(word, one) for one in own)}
    if len({words[at].stem for at in rests}) >= FEWEST_WORDS:
        return True
    done = set(range(len(words))) - (purposes_in(words) if asks_for_improvement(question) else set())
    return all(at in rests or at in passed or _says_nothing(words[at]) for at in done)


def _belongs(word: Word, own: OwnWords) -> bool:
    return not word.is_passed_over and bool(names_of(word) & (own.said | own.denied))


def _says_nothing(word: Word) -> bool:
    lists = known_words()
    if word.is_passed_over or word.is_negation or word.text[0].isdigit():
        return True
    return any(
        word.text in lists[name] for name in ("linking", "ways", "moves", "undone_by", "reasons", "joins", "common")
    )


@lru_cache(maxsize=256)
def _own_words(question: Question) -> Mapping[str, OwnWords]:
    return {one.id: own_words(one.wordings, frozenset(), one.says) for one in question.ideas}


def is_unlike(question: Question, reading: Reading, answer: str | Parts, marked: Counts) -> bool:
    """Tell whether *answer* would be proposed, and is not like enough to what earned the mark before."""
    if reading.proposal is not Proposal.AWARDED:
        return False
    text = answer if isinstance(answer, str) else f"{answer.what}. {answer.because}"
    if question.sources:
        most = MOST_AGAINST_SOURCE
    elif question.need == 1 and asks_for_improvement(question):
        most = max(MOST_AGAINST_ONE, MOST_AGAINST_A_SIGN * len(signs_of(text)))
    elif _says_no_more(reading, text):
        return False
    else:
        most = MOST_AGAINST
    return weight_against(text, question, marked) > most


def _says_no_more(reading: Reading, text: str) -> bool:
    """Tell whether an answer holds what was found in it and nothing else: 'stirred it', 'the mass first, and dry'."""
    rest = (word for word in read_words(text) if not any(low <= word.start < high for low, high in reading.spans))
    return all(_says_nothing(word) for word in rest)


def is_like(question: Question, text: str, marked: Counts) -> bool:
    """Tell whether an answer that rests on few words is so like those that earned the mark that they are enough."""
    return question.need == 1 and weight_against(text, question, marked) <= MOST_AGAINST_ALONE


def left_open(reading: Reading) -> Reading:
    """Return *reading* with its answer left to the teacher, since it is not like enough to others."""
    return replace(reading, proposal=Proposal.UNSURE, why=Why.UNLIKE, group=f"{reading.group} ({Why.UNLIKE})")


def likely_idea(question: Question, text: str, words: Sequence[Word], marked: Counts) -> Match | None:
    """Return the improvement that *words* tell by words of its own, where their like has earned the mark; else None.

    Nothing is denied in such an answer, and there is one improvement to tell: of two ideas one is not all.
    """
    if (
        question.need > 1
        or question.sources
        or not asks_for_improvement(question)
        or any(word.is_negation for word in words)
    ):
        return None
    own = _own_words(question)
    places = {one.id: places_in(words, own[one.id], ()) for one in question.ideas}
    best = max(places, key=lambda name: len(places[name]), default="")
    if not places.get(best) or weight_against(text, question, marked) > MOST_AGAINST_ALONE:
        return None
    at = tuple(places[best])
    found = Match(idea=best, at=at, spans=tuple((words[one].start, words[one].end) for one in at), is_denied=False)
    return None if makes_worse(question, words, (found,)) else found
