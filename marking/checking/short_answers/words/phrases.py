"""Where words in a row, of the lists of ``words.toml``, stand in a text."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cache

from marking.checking.short_answers.words.reading_words import known_phrases


@cache
def _by_first(name: str) -> Mapping[str, tuple[tuple[str, ...], ...]]:
    found: dict[str, tuple[tuple[str, ...], ...]] = {}
    for phrase in known_phrases(name):
        found[phrase[0]] = (*found.get(phrase[0], ()), phrase)
    return found


def phrases_in(texts: Sequence[str], name: str) -> Iterator[tuple[int, int]]:
    """Yield where each phrase that is listed under *name* begins in *texts*, and the place behind its end."""
    begun = _by_first(name)
    for start, text in enumerate(texts):
        for phrase in begun.get(text, ()):
            end = start + len(phrase)
            if tuple(texts[start:end]) == phrase:
                yield start, end
