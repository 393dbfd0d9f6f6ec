"""One formula over readings with stated uncertainties, worked out by the path that marks."""

from __future__ import annotations

import math
from collections.abc import Mapping

from marking.checking.answers.written.board import lay_out
from marking.checking.uncertainty.of_answers import answer_uncertainty
from tests.checking.rows import read_class, rubric_of

HEAD = """format = 1
id = "one-formula"
edition = 1
title = "One formula"
level = "14 to 18"
purpose = "To work one formula out."
cautions = ["Before you start, follow your school's own risk assessment and local rules."]

[answers.result]
quantity = "result"
formula = "{formula}"

[[criteria]]
code = "F1"
point = "The result follows"
check = "value"
items = ["result"]
"""
READING = """
[readings.{name}]
quantity = "reading {name}"
uncertainty = {half_width!r}
"""


def worked_out(formula: str, inputs: Mapping[str, tuple[float, float]]) -> tuple[float, float]:
    """Return the value and standard uncertainty of a formula of pure numbers.

    Args:
        formula: In the language of rubrics.
        inputs: Name to (value, standard uncertainty); the rubric is told the half-width of the rectangle.
    """
    readings = (READING.format(name=name, half_width=math.sqrt(3.0) * u) for name, (_, u) in inputs.items())
    own = rubric_of(HEAD.format(formula=formula) + "".join(readings))
    lines = "\n".join(f"{name},,{value!r}," for name, (value, _) in inputs.items())
    rubric, class_set = read_class(own, {"S001": lines})
    found = answer_uncertainty(lay_out(rubric, class_set.write_ups), rubric.items["result"])
    return float(found.value[0, 0]), float(found.standard[0, 0])
