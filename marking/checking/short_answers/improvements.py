"""What speaks against an improvement: a change that the rubric does not know, or an end that is no end of measuring.

'Use a hotter liquid so it pours better' may hold a word of a right answer by chance. Which way a thing is changed has
to belong to an idea, and what it is done for must not be that it is less trouble, or that the error comes about.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from marking.checking.short_answers.words import Match, Word, direction_of, known_words, read_words
from rubrics.model import Question


def asks_for_improvement(question: Question) -> bool:
    """Tell whether *question* asks how an error is made smaller."""
    return any(word.text in known_words()["asks_improvement"] for word in read_words(question.prompt))


def makes_worse(question: Question, words: Sequence[Word], right: Collection[Match]) -> bool:
    """Tell whether an improvement holds a change that belongs to no idea, or an end that is none.

    Args:
        question: What was asked.
        words: The answer.
        right: The ideas and sources found in it that are not denied.
    """
    ideas = {idea.id for idea in question.ideas}
    found = [one for one in right if one.idea in ideas]
    if not found or not asks_for_improvement(question):
        return False
    sources = {at for one in right if one.idea not in ideas for at in one.at}
    named = {at for one in found for at in one.at}
    purposes = purposes_in(words)
    if any(words[at].text in known_words()["convenience"] for at in purposes):
        return True
    action = [at for at in range(len(words)) if at not in purposes and at not in named and at not in sources]
    return any(_is_change(words, at, named) for at in action)


def purposes_in(words: Sequence[Word]) -> set[int]:
    """Return the positions of words that say what an improvement is for: those behind a 'so' or a 'because'."""
    found: set[int] = set()
    clause, is_purpose = -1, False
    for at, word in enumerate(words):
        if word.clause != clause:
            clause, is_purpose = word.clause, False
        if is_purpose:
            found.add(at)
        is_purpose = is_purpose or (word.text in known_words()["starts_purpose"] and not _is_how_much(words, at))
    return found


def _is_how_much(words: Sequence[Word], at: int) -> bool:
    # 'So fast that …', 'to high speeds'.
    lists = known_words()
    after = words[at + 1].text if at + 1 < len(words) else ""
    return after not in lists["counts"] and (_is_way(after) or after in lists["harder"])


def _is_way(text: str) -> bool:
    lists = known_words()
    return bool(direction_of(text)) or text in lists["also_up"] or text in lists["also_down"]


def _is_change(words: Sequence[Word], at: int, named: Collection[int]) -> bool:
    # 'Tighter', 'hotter', 'quickly'; 'more repeats' only says more of what is known.
    lists = known_words()
    text = words[at].text
    if text in lists["places"]:
        return False
    if text in lists["counts"]:
        return at + 1 < len(words) and not {at + 1, at + 2, at - 1} & set(named) and text != "more"
    return _is_way(text) or text in lists["harder"]
