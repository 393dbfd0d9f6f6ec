"""A student's result with its plus-or-minus, and whether it agrees with the accepted value."""

from __future__ import annotations

import pytest

from marking.checking.uncertainty.of_results import asks_percentages
from marking.findings import Agrees, Result, UncertaintyForm
from rubrics.model.practical import Rubric
from tests.checking.rows import WIRE, in_table, mark, rubric_of

HEAD = """format = 1
id = "own"
edition = 1
title = "Own"
level = "LEVEL"
purpose = "To find a value."
cautions = ["Before you start, follow your school's own risk assessment and local rules."]
"""
FIELD = """
[readings.l]
quantity = "length of the field"
unit = "m"
uncertainty = 0.08

[readings.w]
quantity = "width of the field"
unit = "m"
uncertainty = 0.03

[answers.A]
quantity = "area"
unit = "m²"
formula = "l * w"
"""
BAGS = """
[readings.m]
quantity = "mass of a bag"
unit = "kg"
table = "bags"
resolution = 0.1

[answers.A]
quantity = "mean mass"
unit = "kg"
formula = "mean(m)"
"""
LINE = """
[readings.x]
quantity = "length"
unit = "m"
table = "rows"
resolution = 0.000001

[readings.y]
quantity = "force"
unit = "N"
table = "rows"
uncertainty = 0.2

[answers.A]
quantity = "stiffness"
unit = "N/m"
formula = "slope(y, x)"
"""
END = """
[[criteria]]
code = "F1"
point = "Value follows"
check = "value"
items = ["A"]

[result]
answer = "A"
expected = [-0.1, 0.1]
stop = [-0.5, 0.5]
too_high = "A tape that sagged."
too_low = "A tape that stretched."

[[result.accepted]]
name = "as built"
value = ACCEPTED
uncertainty = SPREAD
source = "invented"
edition = "1"
"""


def own(items: str, accepted: str = "12", spread: str = "0", level: str = "14 to 16") -> Rubric:
    """Return a small rubric with one result."""
    text = HEAD.replace("LEVEL", level) + items + END
    return rubric_of(text.replace("ACCEPTED", accepted).replace("SPREAD", spread))


def result(rubric: Rubric | str, lines: str) -> Result:
    """Return one student's result."""
    found = mark(rubric, lines).result
    assert found is not None
    assert found.uncertainty is not None
    return found


def sure(rubric: Rubric | str, lines: str) -> tuple[float, float, str, str]:
    """Return value, plus-or-minus, agreement and direction of one student's result."""
    found = result(rubric, lines)
    assert found.uncertainty is not None
    return found.value, found.uncertainty.plus_minus, found.uncertainty.agrees.value, found.uncertainty.direction


def test_percentages_of_factors_are_added() -> None:
    """4.00 m to 2 % by 3.00 m to 1 % is 12.0 m² to 3 % (OpenStax College Physics 2e, m42120)."""
    value, plus_minus, agrees, _ = sure(own(FIELD), "l,,4.00,m\nw,,3.00,m")
    assert (value, plus_minus) == pytest.approx((12.0, 0.36))
    assert agrees == "yes"


def test_repeats_have_half_their_range() -> None:
    """Bags of 4.8, 5.3, 4.9 and 5.4 have a mean of 5.1 ± 0.3 (numbers of OpenStax m42120, by the school's rule)."""
    found = result(own(BAGS, "5", "0"), in_table(m="4.8 5.3 4.9 5.4 kg"))
    assert found.uncertainty is not None
    assert (found.value, found.uncertainty.plus_minus) == pytest.approx((5.1, 0.3))
    assert found.uncertainty.form is UncertaintyForm.REPEATS
    assert found.uncertainty.freedom == pytest.approx(3)


def test_equal_repeats_have_half_a_division() -> None:
    """Repeats that all agree are no better known than the instrument allows."""
    assert sure(own(BAGS, "5"), in_table(m="5.1 5.1 5.1 kg"))[1] == pytest.approx(0.05)


def test_a_line_lies_between_its_steepest_and_its_shallowest() -> None:
    """Bars of ± 0.2 over a range of 4 leave the gradient 2.0 ± 0.1 (by hand)."""
    lines = in_table(x="0.000000 1.000000 2.000000 3.000000 4.000000 m", y="1.0 3.0 5.0 7.0 9.0 N")
    value, plus_minus, *_ = sure(own(LINE, "2"), lines)
    assert (value, plus_minus) == pytest.approx((2.0, 0.1), abs=1e-5)


@pytest.mark.parametrize(
    ("accepted", "spread", "agrees", "direction"),
    [
        ("12.3", "0", "yes", ""),
        ("12.7", "0.6", "yes", ""),
        ("12.5", "0", "no", "low"),
        ("11.5", "0", "no", "high"),
        ("12.35", "0", "edge", ""),
    ],
)
def test_agreement(accepted: str, spread: str, agrees: str, direction: str) -> None:
    """12.0 ± 0.36, and ± 0.34 by the guide: both ranges count, and what only one form allows is at the edge."""
    assert sure(own(FIELD, accepted, spread), "l,,4.00,m\nw,,3.00,m")[2:] == (agrees, direction)


def test_the_rubric_tells_the_cause() -> None:
    """A result that is off names the rubric's reason for that side; one that is far off asks for a slip first."""
    high = result(own(FIELD, "11.5"), "l,,4.00,m\nw,,3.00,m").uncertainty
    far = result(own(FIELD, "11.5"), "l,,4000,m\nw,,3.00,m").uncertainty
    assert high is not None
    assert far is not None
    assert (high.usual_cause, high.is_beyond) == ("A tape that sagged.", False)
    assert far.is_beyond


def test_an_odd_point_is_left_out_as_in_the_plot() -> None:
    """The result is that of the line drawn, and the ringed point does not blow its uncertainty up."""
    bent = WIRE.replace("V,4,1.08,V", "V,4,1.78,V")
    clean, odd = result("wire-resistance", WIRE), result("wire-resistance", bent)
    assert odd.uncertainty is not None
    assert odd.value == pytest.approx(clean.value, rel=0.01)
    assert odd.uncertainty.plus_minus < 0.2
    assert odd.uncertainty.agrees is Agrees.YES


def test_no_word_where_nobody_knows_the_material() -> None:
    """A density that fits none of several materials agrees with none and is off none."""
    block = "l,,4.05,cm\nw,,3.02,cm\nh,,1.98,cm\nm,,120.4,g"
    assert sure("density-cuboid", block)[2] == "unknown"


@pytest.mark.parametrize(("level", "asked"), [("14 to 16", False), ("14 to 18", False), ("16 to 18", True)])
def test_percentages_are_for_the_older(level: str, asked: bool) -> None:
    """From 16 on uncertainties are given in per cent."""
    assert asks_percentages(level) is asked
