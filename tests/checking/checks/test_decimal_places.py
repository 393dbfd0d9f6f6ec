"""Whether readings of one instrument keep the same decimal places."""

from __future__ import annotations

import pytest

from tests.checking.rows import CUBOID, HEAT, WIRE, changed, found, in_table, mark, marks, rows, rubric_of


@pytest.mark.parametrize(
    ("start", "end", "outcome"),
    [
        ("20.5|°C", "41.5|°C", "awarded"),
        ("20|°C", "41|°C", "awarded"),
        ("20.0|°C", "41.5|°C", "awarded"),
        ("-0.5|°C", "41.5|°C", "awarded"),
        ("0|°C", "41.5|°C", "awarded"),
        ("20|°C", "41.5|°C", "withheld"),
        ("20.5|°C", "41.50|°C", "withheld"),
        ("20.5|°C", "314.65|K", "for-teacher"),
        ("20.5|°C", "4I.5|°C", "awarded"),
        ("", "", "for-teacher"),
    ],
    ids=[
        "one-place",
        "no-place",
        "nought-kept",
        "negative",
        "plain-zero",
        "nought-lost",
        "one-too-many",
        "two-units",
        "one-unreadable",
        "none",
    ],
)
def test_two_temperatures(start: str, end: str, outcome: str) -> None:
    """Two readings of one thermometer keep the same places; a zero and what cannot be read are passed over."""
    lines = changed(HEAT, T_start=start, T_end=end)
    assert [row[2] for row in rows("specific-heat-block", lines, "R2")] == [outcome]


def test_lost_nought_in_a_column_costs_one_mark() -> None:
    """Places lost in two columns lose one mark, and each column tells its first odd row."""
    lines = changed(WIRE, L_3="0.4", V_2="0.7", V_5="1.3")
    assert rows("wire-resistance", lines, "R2") == [
        ("L 3", "R2", "withheld", "significant-figures"),
        ("V 2", "R2", "withheld", "significant-figures"),
        ("I", "R2", "awarded", "none"),
    ]
    assert marks(mark("wire-resistance", lines))["R2"] == 0


@pytest.mark.parametrize(
    ("odd", "row", "places"),
    [({"V_2": "0.7"}, 2, "2"), ({"V_2": "0.662"}, 2, "2"), ({"V_1": "0.451"}, 1, "2")],
    ids=["fewer", "more", "more-in-the-first-row"],
)
def test_the_odd_one_is_told_and_the_usual_is_wanted(odd: dict[str, str], row: int, places: str) -> None:
    """The finding is about the row that differs from the rest, and asks for what the rest has."""
    finding = found("wire-resistance", changed(WIRE, **odd), "R2")[1]
    assert (finding.row, finding.facts["places_wanted"]) == (row, places)


@pytest.mark.parametrize(
    ("volts", "outcome"),
    [
        ("8.00 9.00 10.0 11.0 12.0 V", "for-teacher"),
        ("8.00 9.00 10.00 11.00 12.00 V", "awarded"),
        ("8.0 9.0 10 11 12 V", "withheld"),
        ("8.00 9.0 10.0 11.0 12.0 V", "withheld"),
    ],
    ids=["three-digit-meter", "two-places", "two-figures", "three-digit-meter-and-a-nought-lost"],
)
def test_meter_that_changes_its_range(volts: str, outcome: str) -> None:
    """A meter of three digits goes from 9.99 to 10.0: nothing was left out, and a teacher looks."""
    lines = in_table(V=volts, I="0.80 0.90 1.00 1.10 1.20 A") + "\ncomponent,,resistor,"
    assert rows("iv-characteristic", lines, "R2")[0][2] == outcome


@pytest.mark.parametrize(
    ("sides", "outcome"),
    [
        ({"l": "4.05|cm", "w": "3.02|cm", "h": "1.98|cm"}, "awarded"),
        ({"l": "4.0|cm", "w": "3.02|cm", "h": "1.98|cm"}, "for-teacher"),
        ({"l": "40.5|mm", "w": "30.2|mm", "h": "19.8|mm"}, "awarded"),
        ({"l": "40.5|mm", "w": "3.02|cm", "h": "1.98|cm"}, "for-teacher"),
        ({"l": "4.05e0|cm", "w": "3.02|cm", "h": "1.98|cm"}, "awarded"),
    ],
    ids=["same", "rule-and-calipers", "millimetres", "two-units", "standard-form"],
)
def test_single_items_of_one_instrument_belong_together(sides: dict[str, str], outcome: str) -> None:
    """Three sides are looked at together; in two units, or by rule and calipers, their places cannot be compared."""
    assert [row[2] for row in rows("density-cuboid", changed(CUBOID, **sides), "R2")] == [outcome]


def test_places_are_compared_within_a_column() -> None:
    """Two columns of one instrument may each keep their own places; within one they may not change."""
    columns = {"L": "0.20 0.30 0.40 0.50 0.60 0.80 m", "V": "0.40 0.60 0.80 1.00 1.20 1.60 V"}
    assert {row[2] for row in rows("wire-resistance", in_table(**columns), "R2")} <= {"awarded", "for-teacher"}
    columns["V"] = "0.40 0.60 0.8 1.00 1.20 1.60 V"
    assert "withheld" in {row[2] for row in rows("wire-resistance", in_table(**columns), "R2")}


def test_a_half_has_no_decimal_places() -> None:
    """Beside 41.5 a reading of 18½ neither keeps the places nor breaks them."""
    half = changed(HEAT, T_start="18½|°C")
    assert [row[2] for row in rows("specific-heat-block", half, "R2")] == ["awarded"]


@pytest.mark.parametrize(
    ("ends", "outcome", "wanted"),
    [
        ("24.10 23.05 23.10 cm³", "awarded", "2"),
        ("24.1 23.1 23.0 cm³", "withheld", "2"),
        ("24 23 23 cm³", "withheld", "2"),
        ("24.1 23.05 23.1 cm³", "withheld", "2"),
        ("0.02410 0.02305 0.02310 dm³", "awarded", "5"),
        ("24.100 23.050 23.100 cm³", "withheld", "2"),
    ],
    ids=["as-the-scale", "one-place", "whole", "mixed", "another-unit", "finer"],
)
def test_places_hold_against_the_steps_of_a_burette(ends: str, outcome: str, wanted: str) -> None:
    """Where the scale is stated, keeping to one place all along is not enough."""
    (finding,) = [one for one in found("titration", in_table(v_2=ends), "R2") if one.item.startswith("v_2")]
    assert (finding.outcome, finding.facts["places_wanted"]) == (outcome, wanted)


@pytest.mark.parametrize("starts", ["0.00 0.00 0.00 cm³", "0 0 0 cm³"])
def test_a_burette_filled_to_its_mark_each_time(starts: str) -> None:
    """All of them are nought, and none of them is missing."""
    lines = in_table(v_1=starts, v_2="24.10 23.05 23.10 cm³")
    assert {one.outcome for one in found("titration", lines, "R2")} == {"awarded"}


def test_steps_are_looked_at_where_the_scheme_asks() -> None:
    """A rule read to half of its step costs nothing where no criterion asks for steps."""
    assert [row[2] for row in rows("density-cuboid", changed(CUBOID, l="4.053", w="3.021", h="1.982"), "R2")] == [
        "awarded"
    ]


STEPS = rubric_of("""format = 1
id = "own"
edition = 1
title = "Own"
level = "14 to 16"
purpose = "To find a rise."
cautions = ["Before you start, follow your school's own risk assessment and local rules."]

[readings.a]
quantity = "start"
unit = "cm³"
instrument = "burette"

[readings.b]
quantity = "end"
unit = "cm³"
instrument = "burette"
resolution = 0.05

[answers.rise]
quantity = "rise"
unit = "cm³"
formula = "b - a"

[[criteria]]
code = "R2"
point = "Burette readings to its steps"
check = "places"
items = ["a", "b"]
steps = true

[[criteria]]
code = "F1"
point = "Rise"
check = "value"
items = ["rise"]
""")


@pytest.mark.parametrize(("end", "reason"), [("12.05", "places-right"), ("12.07", "between-steps")])
def test_a_reading_without_a_step_is_passed_over(end: str, reason: str) -> None:
    """Of two readings of one instrument the one without a step says nothing, the one behind it is looked at."""
    (finding,) = found(STEPS, f"a,,1.03,cm³\nb,,{end},cm³", "R2")
    assert (finding.reason, finding.item) == (reason, "b" if reason == "between-steps" else "a")
