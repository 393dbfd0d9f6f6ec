from __future__ import annotations

from rubrics.load import load_catalogue
from tests.checking.rows import mark, rubric_of

RUBRIC = """
format = 1
id = "liquid"
edition = 1
title = "Density of a liquid"
level = "14 to 16"
purpose = "To find the density of a liquid."
cautions = ["Wipe up spills, and follow your school's own risk assessment and local rules."]
[readings.m_1]
quantity = "container"
unit = "g"
[readings.m_2]
quantity = "container with liquid"
unit = "g"
[readings.V]
quantity = "volume"
unit = "cm³"
[answers.m]
quantity = "mass of liquid"
unit = "g"
formula = "m_2 - m_1"
[answers.rho]
quantity = "density"
unit = "g/cm³"
formula = "m / V"
also = ["(m_2 - m_1) / V"]
[[criteria]]
code = "F1"
point = "density"
check = "value"
items = ["m", "rho"]
[[criteria]]
code = "R1"
point = "readings"
check = "reading"
items = ["m_1", "m_2", "V"]
"""


def test_another_way_may_name_other_items() -> None:
    """A wrong answer is explained where another right way uses items that the first way does not."""
    script = mark(rubric_of(RUBRIC), "m_1,,48.2,g\nm_2,,94.1,g\nV,,50.0,cm3\nm,,45.9,g\nrho,,1.09,g/cm3")
    (found,) = [one for one in script.findings if one.item == "rho" and one.criterion == "F1"]
    assert (found.outcome, found.cause) == ("withheld", "rearrangement")


def test_a_fraction_has_no_figures_to_count() -> None:
    """A rate given as 1/24 is exact: it is not charged with too many figures."""
    rubric = load_catalogue()["rate-disappearing-cross"]
    lines = "t,1,24,s\nVol,1,50,cm3\nrate,1,1/24,s-1"
    findings = [one for one in mark(rubric.id, lines).findings if one.item == "rate" and one.row == 1]
    assert findings
    assert [one.reason for one in findings if one.outcome == "withheld"] == []
