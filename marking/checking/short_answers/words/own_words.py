"""The words that belong to an idea or a source of error: those of its wordings and of what it says, and their like."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from msgspec import Struct

from marking.checking.short_answers.words.reading_words import Word, family_of, known_words, read_words
from marking.checking.short_answers.words.wordings_found import ANY_ORDER, NOT_AMONG

_UNSAID = ("up", "down", "ways", "also_up", "also_down", "linking", "references", "results", "common")
"""Lists of ``words.toml`` whose words tell of nothing by themselves."""


class OwnWords(Struct, frozen=True):
    """The words of one idea, as stems and numbers of families: those that it says, and those that it denies."""

    said: frozenset[str | int]
    denied: frozenset[str | int]
    needs_not: bool
    """Whether it is mostly told by a 'not', or by what was missed: 'background not subtracted'."""


def own_words(wordings: Iterable[str], not_own: frozenset[str], *texts: str) -> OwnWords:
    """Return the words that belong to one idea.

    Args:
        wordings: Its wordings.
        not_own: Stems that are nobody's: those of the question itself.
        texts: What it says in words, shortest first.
    """
    said: set[str | int] = set()
    denied: set[str | int] = set()
    everything = [*texts, *(plain_wording(wording) for wording in wordings)]
    nots = []
    for text in everything:
        words = read_words(text)
        behind = denied_in(words)
        nots.append(bool(behind) or any(word.text in known_words()["misses"] for word in words))
        for at, word in enumerate(words):
            if _tells(word) and word.stem not in not_own:
                (denied if at in behind else said).update(names_of(word))
    return OwnWords(said=frozenset(said), denied=frozenset(denied), needs_not=nots[0] or 2 * sum(nots) > len(nots))


def places_in(
    words: Sequence[Word], own: OwnWords, denied: Collection[int], not_own: frozenset[str] = frozenset()
) -> list[int]:
    """Return where words of an answer are an idea's own: behind a 'not' those that it denies, else those it says."""
    return [
        at
        for at, word in enumerate(words)
        if word.stem not in not_own and _tells(word) and names_of(word) & (own.denied if at in denied else own.said)
    ]


def denied_in(words: Sequence[Word]) -> set[int]:
    """Return the positions behind a 'not', up to a comma, a 'so' or the end of the clause."""
    found: set[int] = set()
    ends = known_words()["ends_denial"]
    for at, word in enumerate(words):
        behind = at - 1 in found or (at > 0 and words[at - 1].is_negation)
        is_same = at > 0 and word.clause == words[at - 1].clause and not word.is_behind_comma
        if behind and is_same and word.text not in ends:
            found.add(at)
    return found


def names_of(word: Word) -> frozenset[str | int]:
    """Return what *word* is looked up by: its stem and its families."""
    return frozenset({word.stem, *family_of(word.text)})


def plain_wording(wording: str) -> str:
    """Return the words of a wording, without its signs and without what it bars."""
    parts = [part for part in wording.removeprefix(ANY_ORDER).split() if not part.startswith(NOT_AMONG)]
    return " ".join(part.replace("/", " ") for part in parts)


def _tells(word: Word) -> bool:
    lists = known_words()
    if word.is_passed_over or word.is_negation or word.text[0].isdigit():
        return False
    return not any(word.text in lists[name] for name in _UNSAID)
