"""Faults for which no criterion pays: found, told, and free."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.checking.answers import judge, lay_out
from marking.checking.case import Batch, Case
from marking.checking.checks import Looker
from marking.checking.unpaid_faults import unpaid_criteria, unpaid_faults
from marking.findings import Cause, Outcome
from rubrics.load import load_catalogue
from rubrics.model import CheckKind
from tests.checking.rows import HEAT, WIRE, changed, found, mark, read_class


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


@settings(deadline=None, max_examples=15)
@given(
    rise=st.sampled_from(("21.0|°C", "21|K", "21.0|", "21.000|J", "2.1e1|kg", "about 21#|°C", "")),
    miss=st.sampled_from(("0.2|Ω", "0.2000|Ω", "0.2|", "0.2|m", "200|mΩ", "0|Ω", "½|Ω", "|")),
)
def test_who_is_passed_over_has_no_fault(rise: str, miss: str) -> None:
    """Only whose unit or figures are astray is looked at: the faults are those of a look at everybody."""
    texts = {
        "specific-heat-block": changed(HEAT, dT=rise),
        "wire-resistance": f"{WIRE}\nintercept,,{miss.replace('|', ',')}",
    }
    for practical, text in texts.items():
        rubric, class_set = read_class(practical, {"A": text})
        board = lay_out(rubric, class_set.write_ups)
        judged = judge(board)
        glanced, closely = Batch(board, judged, {}, {}), Batch(board, judged, {}, {})
        for one in (closely.unit_astray, closely.figures_astray):
            one.update({name: [True] for name in judged})
        write_up = class_set.write_ups[0]
        passed_over, looked_at = (
            Case(batch=batch, student=0, rubric=rubric, write_up=write_up, shapes={}, selected=None)
            for batch in (glanced, closely)
        )
        for criterion in unpaid_criteria(rubric):
            looker = Looker(criterion, rubric)
            faults = [
                [(one.item, one.reason, one.entry, one.unit) for one in unpaid_faults(case, looker)]
                for case in (passed_over, looked_at)
            ]
            assert faults[0] == faults[1]


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
