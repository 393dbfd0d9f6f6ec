"""Which quantities an answer names: the one asked about, those on the way to it, and 'it', which may be either."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct
from msgspec.structs import replace

from marking.checking.short_answers.words import Word, known_words, places_of
from rubrics.model import Question


class Quantity(Struct, frozen=True):
    """A quantity at the words from *first* to *last*; *sign* is -1 where the result goes down as it goes up."""

    first: int
    last: int
    sign: int
    is_result: bool
    is_vague: bool = False
    is_read: bool = False
    """Whether it is something that is read, on the way to the result."""


def quantities_in(question: Question, words: tuple[Word, ...]) -> list[Quantity]:
    """Return the quantities that are named, the longest name of each place only."""
    named = [(phrase, 1, True, False) for phrase in question.of]
    named += [(phrase, sign, question.any_of, True) for phrase, sign in question.through]
    found = [
        Quantity(first, last, sign, is_result, is_read=is_read)
        for phrase, sign, is_result, is_read in named
        for first, last in places_of(phrase, words)
    ]
    lists = known_words()
    found = [_compound(one, words) for one in found]
    taken = {at for one in found for at in range(one.first, one.last + 1)}
    for at, word in enumerate(words):
        if at not in taken and (word.text in lists["results"] or _is_own_figure(words, at)):
            found.append(Quantity(at, at, 1, is_result=True))
        elif at not in taken and word.text in lists["pronouns"] and not is_instrument(words, at):
            found.append(_meant_by(word, at, found) or Quantity(at, at, 1, is_result=True, is_vague=True))
    return [
        one
        for one in found
        if not any(
            o.first <= one.first and one.last <= o.last and (o.last - o.first) > (one.last - one.first) for o in found
        )
    ]


def _meant_by(word: Word, at: int, found: Sequence[Quantity]) -> Quantity | None:
    """Return what 'they' are, where something that is read is named before: 'the distances ..., so they were'."""
    before = [one for one in found if one.is_read and one.last < at]
    if word.text != "they" or not before:
        return None
    return replace(max(before, key=lambda one: one.last), first=at, last=at)


def _is_own_figure(words: Sequence[Word], at: int) -> bool:
    # 'My 997 is more than the true one'; not 'our 5 readings were'.
    lists = known_words()
    return (
        words[at].text[0].isdigit()
        and 0 < at < len(words) - 1
        and words[at - 1].text in lists["own"]
        and words[at + 1].text in lists["comes_to"]
    )


def _compound(one: Quantity, words: Sequence[Word]) -> Quantity:
    # 'The current reading' is a current, whatever a reading is.
    follows = words[one.last + 1].text if one.last + 1 < len(words) else ""
    if follows not in known_words()["measured_names"] or words[one.first].text in known_words()["measured_names"]:
        return one
    return replace(one, last=one.last + 1)


def is_instrument(words: Sequence[Word], at: int) -> bool:
    """Tell whether 'it' is an instrument, as in 'it reads too high': only its name would tell more."""
    is_named = words[at].text in known_words()["pronouns"]
    return is_named and at + 1 < len(words) and words[at + 1].text in known_words()["reads"]


def suits(words: Sequence[Word], quantity: Quantity, at: int) -> bool:
    """Tell whether the direction at *at* may be said of *quantity*: a length can be long, a current not."""
    lists = known_words()
    if words[at].text not in lists["lasting"] or quantity.is_vague:
        return True
    return any(word.text in lists["lengths"] for word in words[quantity.first : quantity.last + 1])
