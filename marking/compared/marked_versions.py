"""What is found in a set, before anybody decides: second versions in the place of first ones."""

from __future__ import annotations

from collections.abc import Sequence

from marking.checking import mark_sets
from marking.compared.second_versions import completed, with_second_versions
from marking.findings import MarkedSet
from marking.hands import Hands, Shared
from marking.write_up import ClassSet
from rubrics.model import Rubric

Versions = tuple[Rubric, ClassSet, ClassSet | None]
"""A practical, what was handed in, and what of it came again."""


def mark_versions(rubric: Rubric, first: ClassSet, again: ClassSet | None = None) -> MarkedSet:
    """Return what is found in one set, second versions in the place of first ones."""
    return mark_all_versions([(rubric, first, again)], Shared(None))[0]


def mark_all_versions(sets: Sequence[Versions], hands: Hands) -> list[MarkedSet]:
    """Return what is found in several, marked by *hands*."""
    firsts = [(rubric, first) for rubric, first, _ in sets]
    seconds = [(rubric, completed(again, first)) for rubric, first, again in sets if again is not None]
    found = mark_sets([*firsts, *seconds], hands)
    return with_second_versions(found[: len(firsts)], found[len(firsts) :])
