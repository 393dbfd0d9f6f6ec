"""Which way something moves between two things: what a wording has it come 'from' is not what it goes 'into'."""

from __future__ import annotations

from collections.abc import Sequence

from marking.checking.short_answers.words.reading_words import Word, known_words, stem_of

MEASURING = stem_of("measure")
BEFORE_MEASURED = 5
"""Words before a wording in which something is said to be measured."""
FARTHEST = 3
"""Words before a thing in which its 'from' or 'to' stands."""


def end_behind(part: str) -> str:
    """Return ``out_of`` behind a 'from', ``into`` behind a 'to', else nothing."""
    return next((end for end in ("out_of", "into") if set(part.split("/")) <= known_words()[end]), "")


def runs_backwards(ends: Sequence[str], words: tuple[Word, ...], positions: Sequence[int]) -> bool:
    """Tell whether something goes 'into' what a wording has it come 'from', or the other way round."""
    if any(word.stem == MEASURING for word in words[max(0, positions[0] - BEFORE_MEASURED) : positions[-1]]):
        return False  # a length is measured from an edge, or to it
    return any(
        _before(words, at) == {"into": "out_of", "out_of": "into"}[end]
        for end, at in zip(ends, positions, strict=False)
        if end
    )


def _before(words: tuple[Word, ...], at: int) -> str:
    """Return whether a 'from' or a 'to' stands before the word at *at*, small words between; else nothing."""
    for back in range(at - 1, max(-1, at - 1 - FARTHEST), -1):
        end = end_behind(words[back].text)
        if end or not words[back].is_passed_over:
            return end
    return ""
