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
from marking.checking.short_answers.marked_before import Counts, shares_of, weight_against
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
MOST_AGAINST_TWO = 6.0
"""Logarithm of odds up to which two ideas are proposed, each of which a wording fits: one to four hundred. Of 254 such
answers 3 were wrong, whatever the limit."""
MOST_AGAINST = 3.0
"""The same for a source whose direction is worked out: one to twenty, since traps are made of the very words of the
plainest right answer, 'heat was lost so c is too high'."""
MOST_AGAINST_IN_BOXES = 5.0
"""The same where the direction has a box of its own, so that no sentence can twist it."""
LEAST_FOR_ONE = 6.0
"""Logarithm of odds from which a single idea is proposed that a wording fits: 400 to one, counted as below."""
LEAST_FOR_ALONE = 16.0
"""The same where no wording fits, or it rests on few words: ten million to one, as words are counted, which are less
independent of one another than that. Of 128 right answers that nothing was fitted to 105 are found by both, 88 without
them, and of 137 others 5 are proposed, 3 without them."""
SURE = 1e-12
"""Nearest to 0 and to 1 that a share is taken for."""


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
    if _asks_for_one(question):
        return weight_for(question, text, counts) < LEAST_FOR_ONE
    if not question.sources:
        most = MOST_AGAINST_TWO
    else:
        most = MOST_AGAINST if isinstance(answer, str) or answer.way is None else MOST_AGAINST_IN_BOXES
    return weight_against(text, question, counts) > most


def _asks_for_one(question: Question) -> bool:
    """Tell whether one idea is a whole answer to *question*, and no direction has to stand beside it."""
    return question.need == 1 and not question.sources


def weight_for(question: Question, text: str, counts: Counts) -> float:
    """Return the logarithm of the odds that *text* says one of the ideas, by phrases for each and by marked answers."""
    shares = shares_of(text, question, counts)
    share = fsum(shares.get(idea.id, 0.0) for idea in question.ideas) if shares else 0.5
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
