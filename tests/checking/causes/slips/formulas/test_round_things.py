"""The diameter taken for the radius, by the words of the quantity."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.checking.causes.slips.formulas.round_things import DIAMETER_FOR_RADIUS, RADIUS_FOR_DIAMETER, round_things
from marking.findings import Cause
from rubrics.load import load_catalogue, read_rubric
from rubrics.model.practical import Rubric
from tests.checking.rows import found, rubric_of

SURE = 0.8
BALL = read_rubric(Path(__file__).parents[4] / "catalogue" / "own" / "falling-ball.toml")


def own(quantity: str, formula: str, unit: str) -> Rubric:
    """Return a rubric with one reading s in cm and one answer X."""
    return rubric_of(f"""format = 1
id = "own"
title = "Own"
purpose = "To find out."
cautions = ["Take care."]
criteria = [{{ code = "F1", check = "value", items = ["X"] }}]
[readings]
s = {{ quantity = "{quantity}", unit = "cm", recorded_in = ["mm"], limits = [0.001, 5000] }}
[answers]
X = {{ quantity = "result", unit = "{unit}", formula = "{formula}" }}
""")


def told(rubric: Rubric, size: str, answer: float, unit: str) -> tuple[Cause, float, str]:
    """Return the first cause of a wrong X, how sure it is, and what the slip is called."""
    finding = next(one for one in found(rubric, f"s,,{size},cm\nX,,{answer:.4g},{unit}") if one.explanations)
    return finding.cause, finding.confidence or 0.0, finding.explanations[0].facts.get("rule", "")


SPHERE = own("diameter of the ball", "pi * s**3 / 6", "cm³")


@pytest.mark.parametrize(
    ("quantity", "formula", "unit", "used", "rule"),
    [
        ("diameter", "pi * s**3 / 6", "cm³", 2.0, DIAMETER_FOR_RADIUS),
        ("Diameter of the ball", "pi * s**3 / 6", "cm³", 0.5, RADIUS_FOR_DIAMETER),
        ("diameter", "4 / 3 * pi * (s / 2)**3", "cm³", 2.0, DIAMETER_FOR_RADIUS),
        ("diameter", "pi * s**2 / 4", "cm²", 2.0, DIAMETER_FOR_RADIUS),
        ("radius", "4 / 3 * pi * s**3", "cm³", 2.0, DIAMETER_FOR_RADIUS),
        ("radius", "4 / 3 * pi * s**3", "cm³", 0.5, RADIUS_FOR_DIAMETER),
        ("diameter", "pi * s", "cm", 2.0, DIAMETER_FOR_RADIUS),
    ],
)
@pytest.mark.parametrize("size", ["3.00", "1.31"])
def test_it_is_another_quantity(quantity: str, formula: str, unit: str, used: float, rule: str, size: str) -> None:
    """Twice or half of it, also where one digit of the reading would do: 6.00 for 3.00."""
    value = eval(formula, {"pi": math.pi, "s": float(size) * used})
    cause, sure, called = told(own(quantity, formula, unit), size, value, unit)
    assert (cause, called) == (Cause.WRONG_QUANTITY, rule)
    assert sure >= SURE


def test_words_that_name_neither() -> None:
    """Half of a length is no radius; twice of it may be a digit."""
    plain = own("side", "s**3", "cm³")
    assert list(round_things(plain, plain.items["X"].formula)) == []  # type: ignore[arg-type]
    cause, _, called = told(plain, "3.00", 216.0, "cm³")
    assert cause is not Cause.WRONG_QUANTITY
    assert called == ""


def test_a_factor_of_two_beside_the_radius_is_a_factor() -> None:
    """π r for 2 π r."""
    cause, _, called = told(own("radius", "2 * pi * s", "cm"), "1.31", math.pi * 1.31, "cm")
    assert (cause, called) == (Cause.MISSING_FACTOR, "")


def test_the_other_one_on_the_sheet_is_a_reading_taken_for_this_one() -> None:
    """Told with its value, and once."""
    sphere = "object,,sphere,\nd,1,1.20,cm\nd,2,1.22,cm\nd,3,1.18,cm\nm,,7.1,g\nd_mean,,1.20,cm\nr,,0.60,cm\n"
    finding = next(one for one in found("density-cylinder-sphere", f"{sphere}V_ball,,7.24,cm³") if one.item == "V_ball")
    assert [one.detail for one in finding.explanations] == ["d_mean for r"]
    rubric = load_catalogue()["density-cylinder-sphere"]
    volume = rubric.items["V_ball"].formula
    assert volume is not None
    assert [one.rule for one in round_things(rubric, volume)] == [RADIUS_FOR_DIAMETER]


def test_it_is_found_behind_a_volume_that_was_not_written() -> None:
    """0.11 g ÷ (4/3 π 3.00³ mm³)."""
    lines = "m,,0.11,g\nd,,3.00,mm\nrho,,0.973,g/cm³"
    finding = next(one for one in found(BALL, lines) if one.item == "rho" and one.explanations)
    assert finding.cause is Cause.WRONG_QUANTITY
    assert finding.explanations[0].facts["rule"] == DIAMETER_FOR_RADIUS


@given(st.floats(0.5, 9.99))
@settings(deadline=None, max_examples=8)
def test_it_beats_a_digit(size: float) -> None:
    """Whatever the diameter is."""
    text = f"{size:.2f}"
    cause, sure, _ = told(SPHERE, text, math.pi * (2 * float(text)) ** 3 / 6, "cm³")
    assert cause is Cause.WRONG_QUANTITY
    assert sure >= SURE
