"""'Directly proportional' or 'linear': decided from the intercept and its uncertainty on the student's own points."""

from __future__ import annotations

import numpy as np
import pytest

from tests.checking.rows import found, in_table, rubric_of

OWN = rubric_of(
    """format = 1
id = "own"
edition = 1
title = "Own"
level = "14 to 16"
purpose = "To find how two things go together."
cautions = ["Before you start, follow your school's own risk assessment and local rules."]

[readings.x]
quantity = "force"
unit = "N"
table = "rows"

[readings.y]
quantity = "stretch"
unit = "cm"
table = "rows"

[answers.kind]
quantity = "kind of line"
curve = ["x", "y"]

[[answers.kind.choices]]
word = "directly proportional"
means = ["proportional"]

[[answers.kind.choices]]
word = "linear"
means = ["linear"]

[[criteria]]
code = "K"
point = "Says what the line shows"
check = "choice"
items = ["kind"]
"""
)
THROUGH = in_table(x="1.0 2.0 3.0 4.0 5.0 6.0 7.0 N", y="2.01 3.98 6.02 8.01 9.97 12.03 13.99 cm")
ABOVE = in_table(x="1.0 2.0 3.0 4.0 5.0 6.0 7.0 N", y="4.01 5.98 8.02 10.01 11.97 14.03 15.99 cm")
JUST_ABOVE = in_table(x="1.0 2.0 3.0 4.0 5.0 6.0 7.0 N", y="2.11 4.08 6.12 8.11 10.07 12.13 14.09 cm")
LOOSE = in_table(x="1.0 2.0 3.0 4.0 5.0 6.0 7.0 N", y="3.1 3.2 7.4 7.1 11.9 10.8 15.2 cm")
BENT = in_table(x="1.0 2.0 3.0 4.0 5.0 6.0 7.0 N", y="1.0 4.0 9.1 15.9 25.0 36.1 48.9 cm")


@pytest.mark.parametrize(
    ("points", "said", "outcome"),
    [
        pytest.param(THROUGH, "directly proportional", "awarded", id="through the origin"),
        pytest.param(THROUGH, "linear", "for-teacher", id="a line through the origin is linear too"),
        pytest.param(ABOVE, "linear", "awarded", id="with an intercept"),
        pytest.param(ABOVE, "directly proportional", "withheld", id="an intercept beyond doubt"),
        pytest.param(JUST_ABOVE, "directly proportional", "for-teacher", id="an intercept as of a zero error"),
        pytest.param(LOOSE, "directly proportional", "for-teacher", id="points too loose to tell"),
        pytest.param(LOOSE, "linear", "for-teacher", id="points too loose to tell, linear"),
        pytest.param(BENT, "directly proportional", "for-teacher", id="no straight line at all"),
    ],
)
def test_the_intercept_decides(points: str, said: str, outcome: str) -> None:
    """Only what is beyond doubt is withheld."""
    (finding,) = found(OWN, f"{points}\nkind,,{said},", "K")
    assert finding.outcome.value == outcome


def test_honest_points_through_the_origin_are_never_withheld() -> None:
    """300 sets of seven points with 2 % noise (fixed seed): 'directly proportional' loses no mark."""
    random = np.random.default_rng(3)
    for _ in range(300):
        y = 2.0 * np.arange(1, 8) * (1 + random.normal(0, 0.02, 7))
        points = in_table(x="1 2 3 4 5 6 7 N", y=" ".join(f"{one:.2f}" for one in y) + " cm")
        (finding,) = found(OWN, f"{points}\nkind,,directly proportional,", "K")
        assert finding.outcome.value != "withheld"
