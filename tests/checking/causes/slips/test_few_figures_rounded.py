"""Which readings are likely to have been rounded too soon: hardly one of two figures to one."""

from __future__ import annotations

import pytest

from marking.checking.causes.slips import rounding_slips
from marking.findings import Cause
from tests.checking.causes.wrong_answers_of import told, wrong_answers

ROW = "V,1,{},V\nI,1,{},A\nR,1,{},ohm"


def share(potential: str, current: str, detail: str) -> float:
    """Return the share of one way of rounding too soon."""
    wrong = wrong_answers("wire-resistance", "R", ROW.format(potential, current, "99.9"))
    return sum(float(one.share[0]) for one in rounding_slips(wrong) if one.describe(0)[0] == detail)


def test_two_figures_are_hardly_made_one() -> None:
    """What is taken away goes to no other way: it was not rounded at all."""
    assert share("3.27", "0.845", "V rounded to 2 figures") > share("3.27", "0.845", "V rounded to 1 figures")
    assert share("3.2", "0.84", "V rounded to 1 figures") < 0.25
    assert share("3.2", "0.84", "V rounded to 2 figures") == 0.0


@pytest.mark.parametrize(
    ("potential", "current", "answer", "cause"),
    [
        ("4.16", "0.46", "8.3", Cause.ROUNDED_EARLY),  # three figures of which one is left
        ("0.79", "0.22", "3.95", Cause.DIGITS_SWAPPED),  # 3.59 swapped, and 0.79 by 0.2
        ("3.77", "0.463", "7.84", Cause.UNEXPLAINED),
    ],
)
def test_first_cause(potential: str, current: str, answer: str, cause: Cause) -> None:
    """A plain slip that prints the same comes first."""
    assert next(iter(told("wire-resistance", ROW.format(potential, current, answer), "R"))) is cause
