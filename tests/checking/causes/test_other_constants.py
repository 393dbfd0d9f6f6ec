"""Units that slipped for those who took another value of a constant than the rubric's first."""

from __future__ import annotations

import pytest

from marking.checking.causes.other_constants import with_other_constants
from marking.checking.causes.slips import unit_slips
from tests.checking.causes.wrong_answers_of import told, wrong_answers

LOAD = "M,1,{},g\nF,1,{},N"


@pytest.mark.parametrize(
    ("lines", "cause"),
    [
        (LOAD.format("600", "6000"), "unit-conversion"),
        (LOAD.format("700", "6867"), "unit-conversion"),
        (LOAD.format("250", "2450"), "unit-conversion"),
        # Nobody has taken 11 N/kg.
        (LOAD.format("600", "6600"), "unexplained"),
    ],
)
def test_another_value_of_the_constant(lines: str, cause: str) -> None:
    """Grams left as they are with g as 10, 9.81 or 9.8 N/kg are no figure rounded too soon."""
    assert next(iter(told("spring-extension", lines, "F"))) == cause


def test_only_units_and_only_values_that_show() -> None:
    """Each slip of unit once for each other value: of 9.81, 9.8 and 10 the first two print the same."""
    wrong = wrong_answers("spring-extension", "F", LOAD.format("600", "6000"))
    units = list(unit_slips(wrong))
    others = list(with_other_constants(wrong, units))
    assert len(others) == len(units)
    ratios = {round(float(other.predicted[0] / one.predicted[0]), 6) for one, other in zip(units, others, strict=True)}
    assert ratios == {round(10 / 9.81, 6)}


def test_nothing_where_no_constant_is_a_factor() -> None:
    """Resistance needs none."""
    wrong = wrong_answers("wire-resistance", "R", "V,1,0.84,V\nI,1,0.37,A\nR,1,9.99,ohm")
    assert not list(with_other_constants(wrong, list(unit_slips(wrong))))
