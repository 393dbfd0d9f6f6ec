"""The same wrong answers are found wherever in a large set they stand, and the work does not grow with the pairs."""

from __future__ import annotations

from importlib import import_module
from random import Random

import pytest
from msgspec.structs import replace

from marking.cohort.copies.written_cells import answer_pages
from marking.cohort.copies.wrong_alike import wrong_alike
from marking.cohort.evidence.partners import partners_of
from marking.write_up import WriteUp
from rubrics.model import Role
from tests.cohort.answered import answered
from tests.cohort.simulated import as_marked, rubric_of, simulate, students

WIRE = "wire-resistance"
MOST_COPIED = 0.95
file = import_module("marking.cohort.copies.wrong_alike")
"""The file, which the room's door hides behind the function of the same name."""


def year(count: int) -> list[WriteUp]:
    """Return a set of *count* students at sixty benches, all with answers of their own."""
    return [answered(one) for one in simulate(WIRE, 6, who=students(count, 60))]


def with_answers_of(source: WriteUp, student: WriteUp) -> WriteUp:
    """Return a student's own readings with the answers of another."""
    rows = dict(list(source.columns["R"].items())[: len(student.columns["V"])])
    singles = {**student.singles, "gradient": source.singles["gradient"]}
    return replace(student, columns={**student.columns, "R": rows}, singles=singles)


def test_a_pair_that_is_far_apart_in_a_large_set_is_found() -> None:
    """Six hundred students lie between the two, and nobody else is named."""
    works = year(700)
    works[690] = with_answers_of(works[2], works[690])
    partners = partners_of(as_marked(WIRE, works))
    found = wrong_alike(rubric_of(WIRE), partners, 0.01)
    assert [(one.first, one.second) for one in found] == [(2, 690)]


def test_keys_find_what_comparing_all_pairs_finds(monkeypatch) -> None:  # noqa: ANN001 - pytest's own
    """A class small enough to compare everybody with everybody comes to the same by keys."""
    works = year(120)
    works[100] = with_answers_of(works[7], works[100])
    partners = partners_of(as_marked(WIRE, works))
    by_pairs = wrong_alike(rubric_of(WIRE), partners, 0.05)
    monkeypatch.setattr(file, "MOST_AT_ONCE", 119)
    assert wrong_alike(rubric_of(WIRE), partners, 0.05) == by_pairs
    assert by_pairs


@pytest.mark.parametrize(("practical", "seed"), [(WIRE, 8), ("iv-characteristic", 8)])
def test_pairs_that_need_no_judging_are_none_of_those_found(
    practical: str, seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever copies whole answers, or most of them: every pair is found that judging everybody finds."""
    rubric, chance = rubric_of(practical), Random(31)
    works = [answered(one, chance.choice((2, 3, 3, 4))) for one in simulate(practical, seed, who=students(24, 12))]
    for _ in range(10):
        one, other = chance.sample(range(len(works)), 2)
        works[other] = _copied(works[one], works[other], chance)
    partners = partners_of(as_marked(practical, works))
    found = wrong_alike(rubric, partners, 1.0)
    monkeypatch.setattr(file, "_perhaps_wrong", lambda _, __, first, second: (first, second))
    assert wrong_alike(rubric, partners, 1.0) == found
    assert found


def _copied(source: WriteUp, student: WriteUp, chance: Random) -> WriteUp:
    """Return a student's own readings with most of the answers of another."""
    items = rubric_of(source.practical).items
    answers = [name for name, item in items.items() if item.role is Role.ANSWER]
    singles = {
        name: source.singles[name] for name in answers if name in source.singles and chance.random() < MOST_COPIED
    }
    columns = {name: {**student.columns[name], **source.columns[name]} for name in answers if name in source.columns}
    return replace(student, singles=student.singles | singles, columns=student.columns | columns)


def test_of_many_honest_groups_few_pairs_are_looked_at() -> None:
    """An answer that many give brings nobody together."""
    partners = partners_of(as_marked(WIRE, year(600)))
    pages = answer_pages(rubric_of(WIRE), partners)
    _, wrong, _ = file._of_all(rubric_of(WIRE), partners, pages)
    first, _ = file._sharing(pages, wrong)
    assert first.size < len(partners)
