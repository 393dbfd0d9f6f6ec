"""What a round is held to: the criteria that its markers judge by, and nothing of how the program reads."""

from __future__ import annotations

from msgspec import structs

from marking.moderation.packs import scheme_hash
from rubrics.load import load_catalogue

RUBRIC = load_catalogue()["density-displacement"]


def test_a_round_that_is_out_outlives_other_words_for_the_same_answer() -> None:
    """Wordings, limits and sources are the file's; packs that were sent out are taken all the same."""
    assert scheme_hash(structs.replace(RUBRIC, sha256="0" * 64, items={}, slips=())) == scheme_hash(RUBRIC)


def test_another_point_or_another_mark_is_another_scheme() -> None:
    """Marks by one scheme say nothing about marks by another."""
    first, *others = RUBRIC.criteria
    for changed in (structs.replace(first, point="Another point"), structs.replace(first, marks=first.marks + 1)):
        assert scheme_hash(structs.replace(RUBRIC, criteria=(changed, *others))) != scheme_hash(RUBRIC)
    assert scheme_hash(structs.replace(RUBRIC, edition=RUBRIC.edition + 1)) != scheme_hash(RUBRIC)
    assert scheme_hash(structs.replace(RUBRIC, criteria=tuple(others))) != scheme_hash(RUBRIC)
