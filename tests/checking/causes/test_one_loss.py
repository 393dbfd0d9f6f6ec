from __future__ import annotations

import pytest

from marking.checking.causes.slips.units.unit_words import size_text
from tests.checking.rows import mark

RESISTORS = """V_1,,2.96,V
I_1,,0.30,A
V_2,,4.41,V
I_2,,0.29,A
R_1,,9.87,ohm
R_2,,15.2,ohm
predicted_series,,25.1,ohm"""


def test_a_missing_answer_costs_its_own_mark_only() -> None:
    """The units and figures of the answers that were given are judged; one that was not given takes no mark there."""
    script = mark("resistor-combinations", RESISTORS)
    marks = {one.criterion.code: one.outcome for one in script.criteria}
    assert marks["F2"] == "awarded"
    assert marks["P2"] == "awarded"
    assert marks["F1"] == "withheld"  # the parallel prediction itself is missing


def test_no_answer_at_all_leaves_no_unit_to_judge() -> None:
    """Where none of the answers was given, their unit is not there either."""
    script = mark("specific-heat-block", "m,,998,g\nT_start,,19.5,°C\nT_end,,40.0,°C\nE,,20400,J\ndT,,20.5,°C")
    assert {one.criterion.code: one.outcome for one in script.criteria}["F2"] == "withheld"


@pytest.mark.parametrize(
    ("entry", "unit", "outcome", "reason"),
    [
        ("997", "", "awarded", "right"),
        ("0.997", "", "for-teacher", "right-if-other-unit"),
        ("0.997", "kJ/(kg °C)", "awarded", "right"),
        ("0.997", "J/(kg °C)", "withheld", "wrong-value"),
        ("0.511", "", "withheld", "wrong-value"),
    ],
)
def test_a_value_without_a_unit_may_be_right_in_another(entry: str, unit: str, outcome: str, reason: str) -> None:
    """0.997 without a unit may be kJ/(kg °C): the unit's mark is lost, and a teacher decides about the value."""
    lines = f"m,,998,g\nT_start,,19.5,°C\nT_end,,40.0,°C\nE,,20400,J\ndT,,20.5,°C\nc,,{entry},{unit}"
    findings = {one.criterion: one for one in mark("specific-heat-block", lines).findings if one.item == "c"}
    assert (findings["F1"].outcome, findings["F1"].reason) == (outcome, reason)
    assert findings["F2"].cause == ("none" if unit else "unit-missing")


@pytest.mark.parametrize(
    ("answer", "right", "words"),
    [
        (0.997, 997.0, "1000 times too small"),
        (9.62e6, 9.62, "10⁶ times too big"),
        (500.0, 997.0, ""),
        (1.0, 0.0, ""),
    ],
)
def test_how_far_off_in_words(answer: float, right: float, words: str) -> None:
    """A whole power of ten is said as a person would; anything else is not called one."""
    assert size_text(answer, right) == words


def test_the_teacher_is_told_the_likely_slip() -> None:
    """What is right only in a unit that nobody wrote goes to the teacher with the slip that it is most often."""
    lines = "m,,998,g\nT_start,,19.5,°C\nT_end,,40.0,°C\nE,,20400,J\ndT,,20.5,°C\nc,,0.997,"
    (found,) = [one for one in mark("specific-heat-block", lines).findings if one.criterion == "F1"]
    assert (found.outcome, found.cause) == ("for-teacher", "unit-conversion")
