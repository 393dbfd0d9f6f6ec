"""What a direction is said of: the quantity before it, behind it, or none that is near enough."""

from __future__ import annotations

from collections.abc import Sequence

from marking.checking.short_answers.directions.named_quantities import Quantity, suits
from marking.checking.short_answers.directions.ways_said import is_about_something_else
from marking.checking.short_answers.words import Word, known_words

FARTHEST_BACK = 9
"""Words between a quantity and its direction, all of them small ones: 'c comes out to be quite a bit too high'."""
FARTHEST_AHEAD = 3


def attached(words: Sequence[Word], quantities: Sequence[Quantity], at: int) -> Quantity | None:
    """Return what the direction at *at* is said of; None where nothing known is near enough."""
    if words[at].text in known_words()["changes"]:  # 'which decreases the density'
        return _said_behind(words, quantities, at) or _said_before(words, quantities, at)
    return _said_before(words, quantities, at) or _said_behind(words, quantities, at) or _said_last(words, at)


def _said_last(words: Sequence[Word], at: int) -> Quantity | None:
    """Return the result where a 'so too big' ends an answer, and names nothing."""
    lead = at - 1 if words[at - 1].text != "too" else at - 2
    if at + 1 < len(words) or lead < 0 or words[lead].text not in ("so", "therefore", "hence"):
        return None
    return Quantity(at, at, 1, is_result=True, is_vague=True)


def _said_before(words: Sequence[Word], quantities: Sequence[Quantity], at: int) -> Quantity | None:
    # 'c comes out too high', 'u and v were both 1 cm too short', 'makes it bigger'.
    lists = known_words()
    if words[at].text in lists["counts"] and is_about_something_else(words, at):
        return None
    back = at - 1
    while back > max(-1, at - 1 - FARTHEST_BACK):
        word = words[back]
        if word.clause != words[at].clause or word.text in lists["hypothetical"]:
            return None
        here = [one for one in quantities if one.last == back and suits(words, one, at)]
        if here:
            return max(here, key=lambda one: one.last - one.first)
        belongs = _begins_belonging(words, back)
        if belongs is not None:
            back = belongs - 1  # 'the mean per quadrat', 'the density of the block', 'the time for one swing'
            continue
        if not _is_linking(word) and not word.is_negation:
            return None
        back -= 1
    return _alone(words, at) if back < 0 else None


def _begins_belonging(words: Sequence[Word], back: int) -> int | None:
    """Return where the 'of the block' begins that ends at *back*; None where none does."""
    lists = known_words()
    if _is_linking(words[back]):
        return None
    for start in (back - 1, back - 2):
        if start > 0 and words[start].text in lists["belonging"]:
            between = words[start + 1 : back]
            return start if all(word.is_passed_over or word.text in lists["numerals"] for word in between) else None
    return None


def _alone(words: Sequence[Word], at: int) -> Quantity | None:
    """Return the result where an answer begins with its direction: 'Less, because …'."""
    return Quantity(at, at, 1, is_result=True, is_vague=True) if words[at].direction and at <= 1 else None


def _is_linking(word: Word) -> bool:
    lists = known_words()
    return (
        word.is_passed_over
        or word.text in lists["linking"]
        or word.text[0].isdigit()
        or word.text in lists["unit_words"]
        or word.text in lists["ways"]
    )


def _said_behind(words: Sequence[Word], quantities: Sequence[Quantity], at: int) -> Quantity | None:
    # 'a bigger volume', 'too high a value of c', 'higher than expected density'.
    lists = known_words()
    for ahead in range(at + 1, min(len(words), at + 1 + FARTHEST_AHEAD)):
        word = words[ahead]
        if word.clause != words[at].clause or word.is_behind_comma:
            return None
        here = [one for one in quantities if one.first == ahead and not one.is_vague and suits(words, one, at)]
        if here:
            return max(here, key=lambda one: one.last - one.first)
        if not word.is_passed_over or word.text in lists["conjunctions"]:
            return None
    return None
