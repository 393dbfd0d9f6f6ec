"""Names of counted things beside a count, readings to whole steps, and readings that agree."""

from __future__ import annotations

import pytest

from tests.checking.rows import found, in_table, mark, marks, rubric_of

RUBRIC = """
format = 1
id = "throws"
edition = 1
title = "Throws"
level = "14 to 16"
purpose = "To see how many are left."
cautions = ["Keep dice off the floor, and follow your school's own risk assessment and local rules."]
[readings.before]
quantity = "dice thrown"
[readings.out]
quantity = "number taken out"
[readings.v]
quantity = "burette reading"
unit = "cm³"
table = "runs"
instrument = "burette"
resolution = 0.05
[answers.left]
quantity = "number left"
formula = "before - out"
counted = ["dice", "cubes"]
[[criteria]]
code = "R1"
point = "readings"
check = "reading"
items = ["before"]
[[criteria]]
code = "P1"
point = "left"
check = "value"
items = ["left"]
[[criteria]]
code = "F2"
point = "unit"
check = "unit"
items = ["left"]
[[criteria]]
code = "R2"
point = "steps"
check = "places"
steps = true
items = ["v"]
[[criteria]]
code = "R4"
point = "concordant"
check = "rows"
within = 0.1
items = ["v"]
"""
COUNTS = "before,,100,\nout,,16,\nleft,,84,"
BURETTE = in_table(v="23.15 23.05 23.10 cm³")


@pytest.mark.parametrize(
    ("item", "written"),
    [("before", "100 dice"), ("before", "100 thrown"), ("left", "84 dice"), ("left", "84 cubes"), ("left", "84")],
)
def test_the_name_of_what_is_counted_costs_nothing(item: str, written: str) -> None:
    """A count with its things named is the same count."""
    plain = {"before": "100", "left": "84"}[item]
    lines = COUNTS.replace(f"{item},,{plain},", f"{item},,{written},")
    given = marks(mark(rubric_of(RUBRIC), lines))
    assert [given[code] for code in ("R1", "P1", "F2")] == [1, 1, 1]


@pytest.mark.parametrize("unit", ["m", "seconds", "kg"])
def test_a_unit_of_another_quantity_is_no_name_of_a_thing(unit: str) -> None:
    """84 kg is no count."""
    (line,) = found(rubric_of(RUBRIC), COUNTS.replace("left,,84,", f"left,,84,{unit}"), "F2")
    assert line.outcome == "withheld"


def test_burette_read_to_half_divisions() -> None:
    """23.05 is read on a burette, 23.07 is not: it lies between two steps."""
    assert marks(mark(rubric_of(RUBRIC), BURETTE))["R2"] == 1
    (line,) = found(rubric_of(RUBRIC), BURETTE.replace("23.05", "23.07"), "R2")
    assert (line.outcome, line.reason, line.row) == ("withheld", "between-steps", 2)


def test_titres_within_a_tenth_agree() -> None:
    """23.05 to 23.15 lie 0.10 apart; a rough 23.60 does not belong to them."""
    assert marks(mark(rubric_of(RUBRIC), BURETTE))["R4"] == 1
    (line,) = found(rubric_of(RUBRIC), BURETTE.replace("23.10", "23.60"), "R4")
    assert (line.outcome, line.reason) == ("withheld", "not-concordant")


@pytest.mark.parametrize(
    ("titres", "cause"),
    [
        ("23.60 23.15 23.05 23.10", "v 1"),
        ("23.15 23.05 23.60", "v 3"),
        ("23.15 23.60", ""),
        ("23.15 23.05 23.60 23.70", ""),
        ("23.15 23.40 23.65", ""),
    ],
)
def test_the_one_titre_that_does_not_belong_is_the_cause(titres: str, cause: str) -> None:
    """Only where all others agree without it; of two that lie apart nobody knows which."""
    (line,) = found(rubric_of(RUBRIC), in_table(v=f"{titres} cm³"), "R4")
    assert line.reason == "not-concordant"
    assert [(one.cause, one.detail) for one in line.explanations] == ([("anomaly-included", cause)] if cause else [])


@pytest.mark.parametrize("unit", ["plants/m²", "plants per m²", "per m²", "daisies/m2"])
def test_things_may_be_named_in_a_unit(unit: str) -> None:
    """16 plants/m² is 16 1/m²: 40 plants in ten quadrats of 0.25 m²."""
    lines = in_table(plants="4 7 0 3 6 2 5 9 1 3 -") + f"\na,,0.25,m²\nmean_plants,,4.0,plants\nper_area,,16,{unit}"
    assert {one.outcome for one in found("quadrat", lines) if one.item in ("per_area", "mean_plants")} == {"awarded"}
