"""How many parts of a large set are laid out together: two that are short, and never more than memory bears."""

from __future__ import annotations

import pytest

from marking.intake.parts import Part
from marking.many.marked_part import MOST_TOGETHER, PARTS_TOGETHER
from marking.many.marked_whole import _together

HALF = MOST_TOGETHER // 2


@pytest.mark.parametrize(
    ("sizes", "groups"),
    [
        ([], []),
        ([1], [1]),
        ([HALF, HALF], [2]),
        ([HALF, HALF + 1], [1, 1]),
        ([1, 1, 1, 1, 1], [2, 2, 1]),
        ([2 * MOST_TOGETHER, 1, 1], [1, 2]),
    ],
)
def test_parts_together(sizes: list[int], groups: list[int]) -> None:
    """All of them come, in order, however large one alone may be."""
    parts = [Part(number=number, text="x" * size, students=1) for number, size in enumerate(sizes)]
    found = list(_together(parts))
    assert [len(some) for some in found] == groups
    assert [part for some in found for part in some] == parts
    assert max(groups, default=0) <= PARTS_TOGETHER


def test_lines_that_were_gathered_count_as_those_that_stand_together() -> None:
    """By their signs."""
    assert Part(number=0, lines=((0, 1, "abc"), (1, 7, "de")), students=1).size == 5
