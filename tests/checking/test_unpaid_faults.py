"""Faults for which no criterion pays: found, told, and free."""

from __future__ import annotations

import pytest

from marking.checking.unpaid_faults import unpaid_criteria
from marking.findings import Cause, Outcome
from rubrics.load import load_catalogue
from rubrics.model import CheckKind
from tests.checking.rows import HEAT, changed, found, mark


@pytest.mark.parametrize(("unit", "faults"), [("°C", 0), ("K", 0), ("", 0), ("J", 1), ("kg", 1)])
def test_the_unit_of_a_step_is_told_and_costs_nothing(unit: str, faults: int) -> None:
    """A rise in joules is a finding without a criterion and without marks; a rise without a unit is none."""
    told = [one for one in found("specific-heat-block", changed(HEAT, dT=f"21.0|{unit}")) if not one.criterion]
    assert len(told) == faults
    for one in told:
        assert (one.item, one.outcome, one.cause) == ("dT", Outcome.WITHHELD, Cause.UNIT_WRONG)
        assert (one.marks, one.out_of, one.entry) == (0, 0, "21.0")


def test_marks_are_the_same_with_and_without() -> None:
    """What no criterion pays for changes no mark."""
    plain, faulty = (mark("specific-heat-block", changed(HEAT, dT=f"21.0|{unit}")) for unit in ("°C", "J"))
    assert [one.marks for one in faulty.criteria] == [one.marks for one in plain.criteria]
    assert faulty.out_of == plain.out_of


@pytest.mark.parametrize("practical", sorted(load_catalogue()))
def test_nothing_is_looked_at_twice(practical: str) -> None:
    """What a criterion pays for is no fault beside it; a step that goes on may keep all its figures."""
    rubric = load_catalogue()[practical]
    carried = {name for item in rubric.answers if item.formula for name in item.formula.names}
    for criterion in unpaid_criteria(rubric):
        paid = {name for one in rubric.criteria if one.check is criterion.check for name in one.items}
        assert not paid & set(criterion.items)
        assert criterion.marks == 0
        if criterion.check is CheckKind.FIGURES:
            assert not carried & set(criterion.items)
