"""What speaks against taking an answer for sure: a wrong idea, a denial, the opposite of a word, a circle."""

from __future__ import annotations

from collections.abc import Sequence

from marking.checking.short_answers.claimed_same import denies_factor, denies_sameness
from marking.checking.short_answers.improvements import makes_worse
from marking.checking.short_answers.proposals import Why
from marking.checking.short_answers.turns import (
    has_turn,
    is_circle,
    is_hedged,
    opens_with_denial,
    says_nothing_new,
    tells_both_ways,
)
from marking.checking.short_answers.words import Match, Word, known_words, opposites_of
from rubrics.model import ErrorSource, Moves, Question


def speaks_against(
    question: Question,
    text: str,
    words: tuple[Word, ...],
    everything: tuple[Word, ...],
    right: Sequence[Match],
    denied: Sequence[Match],
    wrong: Sequence[Match],
) -> Why:
    """Return what speaks against the ideas found in *words*, which are those of *everything* that are the own ones."""
    if wrong:
        return Why.WRONG
    if _denies(question, words, right, denied) or has_turn(words) or _has_opposite(question, words, right):
        return Why.TURN
    if _is_quicker_and_slower(words, right):
        return Why.DIRECTION
    if denies_sameness(question.prompt, text, words) or denies_factor(text):
        return Why.FIGURES
    if opens_with_denial(words, right) or makes_worse(question, words, right):
        return Why.TURN
    if right and is_hedged(words) and not goes_either_way(_sources_of(question, right), words):
        return Why.DIRECTION
    if len(words) < len(everything) and says_nothing_new(question.prompt, everything):
        return Why.COPIED
    return Why.COPIED if is_circle(words) or says_nothing_new(question.prompt, everything) else Why.NONE


def goes_either_way(sources: Sequence[ErrorSource], words: Sequence[Word]) -> bool:
    """Tell whether both ways are told of sources that go either way: 'the counts are random, so over or under'."""
    return any(one.moves is Moves.EITHER for one in sources) and tells_both_ways(words)


def _sources_of(question: Question, right: Sequence[Match]) -> list[ErrorSource]:
    """Return the sources that are named, none of them where an idea of another kind is."""
    named = {one.idea for one in right}
    found = [one for one in question.sources if one.id in named]
    return found if len(found) == len(named) else []


def _denies(question: Question, words: Sequence[Word], right: Sequence[Match], denied: Sequence[Match]) -> bool:
    """Tell whether an idea is denied; what an improvement is there to prevent is not: 'so it does not run down'."""
    sources = {source.id for source in question.sources}
    ideas = [min(one.at) for one in right if one.idea not in sources]
    purposes = [at for at, word in enumerate(words) if word.text in known_words()["purposes"]]
    named = {at for one in right if one.idea in sources for at in one.at}
    return not all(
        # What an improvement is there to prevent, or what a source names as missing: 'no lid'.
        (one.idea in sources and any(idea < at < max(one.at) for idea in ideas for at in purposes))
        or (one.idea not in sources and named & set(one.at))
        for one in denied
    )


def _is_quicker_and_slower(words: Sequence[Word], right: Sequence[Match]) -> bool:
    """Tell whether an idea rests on 'less quickly', and 'quicker' is said beside it."""
    named = {at for one in right for at in one.at}
    slowed = [
        opposites_of(other)
        for at in named
        if words[at].text in known_words()["lessens"]
        for other in opposites_of(words[at + 1].text if at + 1 < len(words) else "")
    ]
    alike = frozenset().union(*slowed)
    return any(
        word.text in alike & known_words()["comparatives"]
        and words[max(0, at - 1)].text not in known_words()["lessens"]
        for at, word in enumerate(words)
        if at not in named
    )


def _has_opposite(question: Question, words: Sequence[Word], right: Sequence[Match]) -> bool:
    """Tell whether an idea stands beside the opposite of one of its words: a wide slit, for a thin ray."""
    ideas = {idea.id for idea in question.ideas}
    named = {at for one in right for at in one.at}
    for one in right:
        if one.idea not in ideas:
            continue
        opposite = frozenset().union(*(opposites_of(words[at].text) for at in one.at))
        if any(word.text in opposite for at, word in enumerate(words) if at not in named):
            return True
    return False
