"""A ratio of two columns that was worked out as change over change, from row to row."""

from __future__ import annotations

from itertools import pairwise

import pytest

from marking.findings import Cause, Finding, Outcome
from reports.wording.cause_sentences import message
from tests.checking.rows import found, in_table, rubric_of

SURE = 0.8
STRAINED = rubric_of("""format = 1
id = "own"
title = "Own"
purpose = "To find out."
cautions = ["Take care."]
criteria = [
  { code = "F1", check = "value", items = ["k"] },
  { code = "M1", check = "method", items = ["k"], point = "F over x", lost_by = ["wrong-quantity of changes"] },
]
[readings]
F = { quantity = "force", unit = "N", table = "t", limits = [0.01, 900] }
x = { quantity = "extension", unit = "m", recorded_in = ["mm"], table = "t", limits = [0.0001, 900] }
[answers]
k = { quantity = "stiffness", unit = "N/m", recorded_in = ["N/mm"], table = "t", formula = "F / x" }
""")
FORCES = (1.0, 2.0, 3.0, 4.0, 5.0, 6.0)
EXTENSIONS = (0.040, 0.071, 0.094, 0.112, 0.127, 0.139)
RATIOS = [f / x for f, x in zip(FORCES, EXTENSIONS, strict=True)]
STEPS = [1.0 / (x - before) for before, x in pairwise(EXTENSIONS)]


def told(column: list[float | None], factor: float = 1.0, unit: str = "N/m", *, in_mm: bool = False) -> list[Finding]:
    """Return what is said of a column, None for a row without an entry."""
    entries = " ".join("_" if one is None else f"{one * factor:.3g}" for one in column)
    lengths = " ".join(f"{x * 1000:.0f}" if in_mm else f"{x:.3f}" for x in EXTENSIONS)
    forces = " ".join(map(str, FORCES))
    return found(STRAINED, in_table(F=f"{forces} N", x=f"{lengths} {'mm' if in_mm else 'm'}", k=f"{entries} {unit}"))


def wrong(findings: list[Finding]) -> list[Finding]:
    """Return what is said of wrong rows."""
    return [one for one in findings if one.criterion == "F1" and one.outcome is Outcome.WITHHELD and one.explanations]


@pytest.mark.parametrize(
    "column",
    [
        [*STEPS, None],  # forwards, the last row blank
        [None, *STEPS],  # backwards, the first row blank
        [RATIOS[0], *STEPS],  # the first row as it should be
        [STEPS[0], *STEPS],
    ],
)
def test_changes_from_row_to_row_are_named_and_lose_the_step(column: list[float | None]) -> None:
    """Every row is named by its own two rows, and the method is not left to the teacher."""
    findings = told(column)
    rows = wrong(findings)
    assert len(rows) >= len(STEPS)
    assert {one.cause for one in rows} == {Cause.WRONG_QUANTITY}
    assert all((one.confidence or 0.0) >= SURE for one in rows)
    assert "the changes from row 2 to row 3. It is F ÷ x in each row." in "".join(map(message, rows))
    assert "You did (3.0 − 2.0) ÷ (0.094 − 0.071)" in "".join(map(message, rows))
    assert findings[-1].outcome is Outcome.WITHHELD
    assert findings[-1].criterion == "M1"


def test_in_another_unit_and_from_readings_in_another() -> None:
    """Millimetres on the page, newtons per millimetre in the column."""
    rows = wrong(told([None, *STEPS], 0.001, "N/mm", in_mm=True))
    assert len(rows) == len(STEPS)
    assert {one.detail.partition(":")[0] for finding in rows for one in finding.explanations[:1]} == {"changes"}


def test_a_step_or_two_in_a_column_of_ratios_tell_nothing() -> None:
    """One who writes two steps among ratios did not work the column out so: the step stands."""
    findings = told([*RATIOS[:2], STEPS[2], STEPS[3], *RATIOS[4:]])
    assert all("changes" not in one.detail for finding in findings for one in finding.explanations)
    assert findings[-1].outcome is Outcome.AWARDED


def test_a_column_shifted_by_a_row_does_not_lose_the_step() -> None:
    """F over x of the row behind is a ratio after all: whether it was worked out so, a person sees."""
    findings = told([*RATIOS[1:], None])
    assert findings[-1].outcome is not Outcome.WITHHELD


def test_where_changes_are_the_ratio_there_is_nothing_to_name() -> None:
    """Along a line through the origin both come to the same."""
    lines = in_table(F="1.0 2.0 3.0 4.0 N", x="0.100 0.200 0.300 0.400 m", k="10.0 10.0 10.0 10.0 N/m")
    assert all(one.outcome is Outcome.AWARDED for one in found(STRAINED, lines))
