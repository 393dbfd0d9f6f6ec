"""Means that were taken too soon, and means that stand where something should be taken off a line."""

from __future__ import annotations

import statistics

import pytest

from marking.findings import Cause, Finding, Outcome
from reports.wording.cause_sentences import message
from rubrics.model.practical import Rubric
from tests.checking.rows import found, in_table, mark, rubric_of

SURE = 0.8
MASSES = "0.101 0.203 0.298 0.404 0.499 kg"
SPEEDS = "2.83 2.01 1.62 1.43 1.10 m/s"
ENERGIES = [0.5 * float(m) * float(v) ** 2 for m, v in zip(MASSES.split()[:-1], SPEEDS.split()[:-1], strict=True)]
ON_MEANS = 0.5 * 0.301 * 1.798**2


def own(column: str, answer: str, readings: str, checked: str = '"out"') -> Rubric:
    """Return a rubric with the table's *readings*, a *column* worked out from them, and an *answer*."""
    return rubric_of(f"""format = 1
id = "own"
title = "Own"
purpose = "To find out."
cautions = ["Take care."]
criteria = [
  {{ code = "F1", check = "value", items = [{checked}] }},
  {{ code = "M1", check = "method", items = ["out"], point = "Rows first", lost_by = ["wrong-quantity of means"] }},
]
[readings]
{readings}
[answers]
{column}
out = {{ {answer} }}
""")


ENERGY = own(
    'E = { quantity = "energy", unit = "J", recorded_in = ["mJ"], table = "t", formula = "m * v2 / 2" }\n'
    'v2 = { quantity = "speed squared", unit = "m²/s²", table = "t", formula = "v**2" }',
    'quantity = "mean energy", unit = "J", recorded_in = ["mJ"], formula = "mean(E)"',
    'm = { quantity = "mass", unit = "kg", recorded_in = ["g"], table = "t", limits = [0.001, 900] }\n'
    'v = { quantity = "speed", unit = "m/s", table = "t", limits = [0.01, 90] }',
)
HALVES = own(
    'r = { quantity = "radius", unit = "mm", table = "t", formula = "d / 2" }',
    'quantity = "mean radius", unit = "mm", formula = "mean(r)"',
    'd = { quantity = "diameter", unit = "mm", table = "t", limits = [0.001, 900] }',
)
PUSHED = own(
    'work = { quantity = "force × distance", symbol = "F x", unit = "N m", table = "t", formula = "F * x" }\n'
    'inv_x = { quantity = "1 ÷ distance", unit = "1/m", symbol = "1/x", table = "t", formula = "1 / x" }',
    'quantity = "gradient of F against 1/x", unit = "N m", formula = "slope(F, inv_x)"',
    'F = { quantity = "force", unit = "N", table = "t", limits = [0.01, 900] }\n'
    'x = { quantity = "distance", unit = "m", table = "t", limits = [0.01, 90] }',
    '"out", "work"',
)
FORCES = "7.0 6.0 5.0 4.2 3.6 N"
DISTANCES = "0.40 0.50 0.64 0.80 1.00 m"
PRODUCTS = [float(f) * float(x) for f, x in zip(FORCES.split()[:-1], DISTANCES.split()[:-1], strict=True)]


def energies(answer: str) -> list[Finding]:
    """Return what is said of a mean energy, its rows right, squares of speeds not in writing."""
    column = " ".join(f"{one:.3g}" for one in ENERGIES) + " J"
    return found(ENERGY, in_table(m=MASSES, v=SPEEDS, E=column) + f"\nout,,{answer}")


@pytest.mark.parametrize("answer", [f"{ON_MEANS:.3f},J", f"{1000 * ON_MEANS:.3g},mJ"])
def test_a_formula_used_once_on_the_means_is_named_with_its_numbers(answer: str) -> None:
    """The step is lost with the value, in whatever unit it was written."""
    value, step = energies(answer)
    assert value.cause is Cause.WRONG_QUANTITY
    assert (value.confidence or 0.0) >= SURE
    assert "You did 0.301 × (1.80²) ÷ 2, with means put in." in message(value)
    assert message(value).endswith("It is the mean of m × v2 ÷ 2, worked out row by row.")
    assert step.outcome is Outcome.WITHHELD


def test_the_mean_of_the_rows_stands_as_it_did() -> None:
    """What is right is no slip, and so is what rounding makes of it."""
    mean = statistics.fmean(ENERGIES)
    assert [one.outcome for one in energies(f"{mean:.3g},J")] == [Outcome.AWARDED] * 2


def test_another_figure_in_the_place_of_the_mean_leaves_the_step_to_the_teacher() -> None:
    """The largest row is no mean of the rows: that nobody put means in does not prove that one was taken."""
    value, step = energies(f"{max(ENERGIES):.3g},J")
    assert value.cause is Cause.WRONG_QUANTITY
    assert step.outcome is Outcome.FOR_TEACHER


def test_where_both_ways_come_to_the_same_nothing_is_named() -> None:
    """Half the mean diameter is the mean radius: an answer that is off has another cause."""
    told = found(HALVES, in_table(d="12.1 12.6 11.9 12.4 mm") + "\nout,,6.83,mm")
    assert any(finding.explanations for finding in told)
    assert all("means" not in one.detail for finding in told for one in finding.explanations)


def test_the_mean_of_a_written_column_for_a_gradient() -> None:
    """A line that misses the origin has another gradient than the mean product."""
    column = in_table(F=FORCES, x=DISTANCES, inv_x="2.50 2.00 1.56 1.25 1.00 1/m")
    products = "\n".join(f"work,{row},{one:.2f},N m" for row, one in enumerate(PRODUCTS, 1))
    mean = statistics.fmean(PRODUCTS)
    value = found(PUSHED, f"{column}\n{products}\nout,,{mean:.2f},N m", "F1")[0]
    assert value.cause is Cause.WRONG_QUANTITY
    assert value.explanations[0].detail == "mean(work) for out"
    assert "3.19 N m, the mean of the column F x." in message(value)


def test_no_mean_is_told_of_a_column_that_is_not_in_writing() -> None:
    """Without the products the number has to come from elsewhere."""
    column = in_table(F=FORCES, x=DISTANCES, inv_x="2.50 2.00 1.56 1.25 1.00 1/m")
    value = found(PUSHED, f"{column}\nout,,{statistics.fmean(PRODUCTS):.2f},N m", "F1")[0]
    assert all(one.detail != "mean(work) for out" for one in value.explanations)


def test_a_mean_that_may_stand_for_the_gradient_is_no_slip() -> None:
    """V ÷ I of a resistor may be averaged: what is off the mean is not told to be one."""
    lines = in_table(
        V="1.00 2.00 3.00 4.00 5.00 6.00 V",
        I="0.10 0.20 0.30 0.40 0.50 0.60 A",
        R="10.0 10.0 10.0 10.0 10.0 10.0 Ω",
    )
    script = mark("iv-characteristic", f"component,,fixed resistor,\n{lines}\nR_component,,10.0,Ω")
    (line,) = [one for one in script.findings if one.item == "R_component" and one.criterion == "F1"]
    assert line.outcome is Outcome.AWARDED
