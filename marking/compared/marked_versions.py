"""What is found in a set, before anybody decides: second versions in the place of first ones."""

from __future__ import annotations

from marking.checking import mark_set
from marking.compared.second_versions import completed, with_second_versions
from marking.findings import MarkedSet
from marking.write_up import ClassSet
from rubrics.model import Rubric


def mark_versions(rubric: Rubric, first: ClassSet, again: ClassSet | None = None) -> MarkedSet:
    """Return what is found in a set, second versions in the place of first ones."""
    found = mark_set(rubric, first)
    if again is None:
        return found
    return with_second_versions([found], [mark_set(rubric, completed(again, first))])[0]
