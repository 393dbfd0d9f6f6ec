"""How well founded a proposal is: on how many words it rests, and whether its answer is like those that earned it.

On two hands, most rows of which wordings were widened on, ideas that rest on at least three words were right in 95 of
100, those on two in 75 of 100. How like an answer has to be was set on the first eight hands, each measured by the
others and with wordings older than itself. Single ideas are held besides against phrases for each of them and for what
spoils them.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from functools import lru_cache
from math import fsum, log

from msgspec.structs import replace

from marking.checking.short_answers.improvements import asks_for_improvement, makes_worse, purposes_in
from marking.checking.short_answers.marked_before import OTHER, Counts, shares_of, weight_against
from marking.checking.short_answers.proposals import Parts, Proposal, Reading, Why
from marking.checking.short_answers.turns import is_hedged
from marking.checking.short_answers.words import (
    Match,
    OwnWords,
    Word,
    known_words,
    names_of,
    own_words,
)
from rubrics.model import Question

FEWEST_WORDS = 3
"""Words of an answer that belong to what is found in it."""
MOST_AGAINST_IN_BOXES = 5.0
"""Logarithm of odds up to which marked answers may speak against a source of error whose direction has a box of its
own, so that no sentence can twist it: one to 150."""
LEAST_FOR_SOURCE = 0.0
"""Logarithm of odds, by phrases and marked answers together, from which a source in a whole sentence is proposed. Of
286 that nothing was fitted to, 11 of them wrong, it leaves 4 wrong ones and 3 right ones to the teacher."""
LEAST_FOR_TWO = -5.0
"""The same for two ideas, each of which a wording fits: of 149, 8 of them wrong, it leaves 3 wrong ones."""
LEAST_FOR_ONE = 5.5
"""The same for a single idea that a wording fits: of 229, 16 of them wrong, it leaves 9 wrong ones and 9 right ones."""
LEAST_FOR_ALONE = 14.0
"""The same where no wording fits, or it rests on few words."""
SURE = 1e-4
"""Nearest to 0 and to 1 that a share is taken for: phrases are few, and more than words tell is not known of them."""


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


def is_unlike(question: Question, reading: Reading, answer: str | Parts, counts: Counts) -> bool:
    """Tell whether *answer* would be proposed, and is not like enough to what earned the mark before."""
    if reading.proposal is not Proposal.AWARDED:
        return False
    text = answer if isinstance(answer, str) else f"{answer.what}. {answer.because}"
    if question.sources and not isinstance(answer, str) and answer.way is not None:
        return weight_against(text, question, counts) > MOST_AGAINST_IN_BOXES
    if question.sources:
        return weight_for(question, text, counts) < LEAST_FOR_SOURCE
    if _asks_for_one(question):
        return weight_for(question, text, counts) < LEAST_FOR_ONE
    # Of two ideas those that were found, and no others, have to be what is said.
    return weight_for(question, text, counts, reading.ideas) < LEAST_FOR_TWO


def _asks_for_one(question: Question) -> bool:
    """Tell whether one idea is a whole answer to *question*, and no direction has to stand beside it."""
    return question.need == 1 and not question.sources


def weight_for(question: Question, text: str, counts: Counts, ideas: Collection[str] | None = None) -> float:
    """Return the logarithm of the odds that *text* says what earns, by phrases for each thing and by marked answers.

    Args:
        question: What was asked.
        text: The answer.
        counts: How often words stand in phrases and in answers that were marked before.
        ideas: Ids of what it has to say; None for any idea or source of the question.
    """
    asked = {one.id for things in (question.ideas, question.sources, question.wrong) for one in things}
    shares = shares_of(text, question, counts)
    told = {name: one for name, one in shares.items() if name in asked or name == OTHER}
    if ideas is None:
        ideas = {*(idea.id for idea in question.ideas), *(source.id for source in question.sources)}
    every = fsum(told.values())
    share = fsum(told.get(name, 0.0) for name in ideas) / every if every else 0.5
    share = min(max(share, SURE), 1 - SURE)
    return log(share / (1 - share)) - weight_against(text, question, counts)


def left_open(reading: Reading) -> Reading:
    """Return *reading* with its answer left to the teacher, since it is not like enough to others."""
    return replace(reading, proposal=Proposal.UNSURE, why=Why.UNLIKE, group=f"{reading.group} ({Why.UNLIKE})")


def likely_idea(question: Question, text: str, words: Sequence[Word], counts: Counts) -> Match | None:
    """Return the idea that *words* tell, where one is a whole answer and their like has earned the mark; else None."""
    if not _asks_for_one(question) or is_hedged(words) or any(word.is_negation for word in words):
        return None
    if weight_for(question, text, counts) < LEAST_FOR_ALONE:
        return None
    shares = shares_of(text, question, counts)
    best = max(question.ideas, key=lambda idea: shares.get(idea.id, 0.0))
    at = tuple(number for number, word in enumerate(words) if not word.is_passed_over)
    spans = tuple((words[one].start, words[one].end) for one in at)
    found = Match(idea=best.id, at=at, spans=spans, is_denied=False)
    return None if makes_worse(question, words, (found,)) else found
