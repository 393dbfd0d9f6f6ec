"""Whether a table has enough rows over a wide enough range: just enough, and just not."""

from __future__ import annotations

import pytest

from tests.checking.checks.told import told
from tests.checking.rows import found, in_table, rows, rubric_of


def wire(lengths: str) -> list[str]:
    """Return the outcome of the rows of a wire."""
    return [row[2] for row in rows("wire-resistance", in_table(L=lengths), "R3")]


@pytest.mark.parametrize(
    ("lengths", "outcome"),
    [
        ("0.20 0.30 0.40 0.50 0.60 0.80 m", "awarded"),
        ("20.0 30.0 40.0 50.0 60.0 80.0 cm", "awarded"),
        ("0.1 0.2 0.3 0.4 0.5 0.7 m", "awarded"),
        ("0.202 0.300 0.400 0.500 0.600 0.799 m", "awarded"),
        ("0.80 0.30 0.40 0.50 0.60 0.20 m", "awarded"),
        ("0.20 0.30 0.40 0.50 0.80 m", "withheld"),
        ("0.20 0.30 0.40 0.50 0.60 0.79 m", "withheld"),
        ("0.20 0.30 0.40 0.5O 0.60 0.80 m", "for-teacher"),
        ("0.20 0.30 0.40 _ 0.50 0.60 0.80 m", "awarded"),
        ("0.20 0.20 0.40 0.50 0.60 0.80 m", "withheld"),
        ("0.20 0.20 0.30 0.40 0.50 0.60 0.80 m", "awarded"),
    ],
    ids=[
        "just-enough",
        "centimetres",
        "span-on-the-edge-of-binary-noise",
        "span-short-by-millimetres",
        "any-order",
        "five-rows",
        "span-just-too-small",
        "the-sixth-cannot-be-read",
        "a-gap",
        "five-different-among-six",
        "six-different-among-seven",
    ],
)
def test_rows_and_span(lengths: str, outcome: str) -> None:
    """Six rows over 0.6 m are enough, in any unit and order; what cannot be read may be the missing row."""
    assert wire(lengths) == [outcome]


RESISTOR, DIODE = "\ncomponent,,resistor,", "\ncomponent,,diode,"


@pytest.mark.parametrize(
    ("volts", "component", "outcome"),
    [
        ("-4 -3 -2 -1 1 2 3 4 V", RESISTOR, "awarded"),
        ("-4 -3 -2 -1 0 1 2 3 4 V", RESISTOR, "awarded"),
        ("-3 -2 -1 0 1 2 3 4 5 V", RESISTOR, "withheld"),
        ("0 1 2 3 4 5 6 7 V", RESISTOR, "withheld"),
        ("-4 -3 -2 1 2 3 4 V", RESISTOR, "withheld"),
        ("-2 0 0.4 0.5 0.6 0.65 0.7 0.75 V", DIODE, "awarded"),
        ("0 0.2 0.4 0.5 0.6 0.65 0.7 0.75 V", DIODE, "withheld"),
    ],
    ids=["four-each-way", "zero-is-neither", "three-one-way", "one-way-only", "seven-rows", "diode", "diode-one-way"],
)
def test_readings_each_way(volts: str, component: str, outcome: str) -> None:
    """Both directions need their readings; zero counts for neither."""
    lines = in_table(V=volts) + component
    assert [row[2] for row in rows("iv-characteristic", lines, "R3", "R4")] == [outcome]


def test_finding_says_which_and_by_how_much() -> None:
    """The finding tells whether rows or range is short, with what there is and what is wanted."""
    (few,) = found("wire-resistance", in_table(L="0.20 0.30 0.40 0.50 0.80 m"), "R3")
    assert (few.reason, few.facts["rows"], few.facts["rows_wanted"]) == ("rows-too-few", "5", "6")
    (narrow,) = found("wire-resistance", in_table(L="0.20 0.30 0.40 0.50 0.60 0.70 m"), "R3")
    assert (narrow.reason, narrow.facts["span"], narrow.facts["span_wanted"]) == ("span-too-small", "0.500 m", "0.6 m")


def test_no_readings_at_all_are_the_teacher_s() -> None:
    """An empty column may stand on paper: never withheld by computing."""
    (finding,) = found("wire-resistance", in_table(V="0.45 0.66 V"), "R3")
    assert finding.outcome == "for-teacher"


def test_equal_repeats_of_a_mean_all_count() -> None:
    """Ten quadrats are ten, though three of them hold four plants each."""
    plants = in_table(plants="4 4 4 0 2 3 5 1 0 6 -")
    assert [row[2] for row in rows("quadrat", plants, "R3")] == ["awarded"]
    assert [row[2] for row in rows("quadrat", plants.rsplit("\n", 1)[0], "R3")] == ["withheld"]


@pytest.mark.parametrize(
    ("case", "wanted"),
    [
        (
            "0.20 0.30 0.40 0.50 0.60 0.80 m",
            [
                (
                    "L awarded rows-right rows=6 rows_wanted=6 span=0.600 m lowest=0.200 m highest=0.800 m "
                    "span_wanted=0.6 m"
                )
            ],
        ),
        (
            "20.0 30.0 40.0 50.0 80.0 cm",
            [
                (
                    "L withheld rows-too-few rows=5 rows_wanted=6 span=0.600 m lowest=0.200 m highest=0.800 "
                    "m span_wanted=0.6 m"
                )
            ],
        ),
        (
            "0.20 0.30 0.40 0.50 0.60 0.793 m",
            [
                (
                    "L withheld span-too-small rows=6 rows_wanted=6 span=0.593 m lowest=0.200 m "
                    "highest=0.793 m span_wanted=0.6 m"
                )
            ],
        ),
        (
            "0.20 0.30 0.40 0.50 0.60 0.794 m",
            [
                (
                    "L awarded rows-right rows=6 rows_wanted=6 span=0.594 m lowest=0.200 m highest=0.794 m "
                    "span_wanted=0.6 m"
                )
            ],
        ),
        (
            "0.20 0.30 0.40 0.5O 0.80 m",
            [
                (
                    "L for-teacher rows-too-few rows=4 rows_wanted=6 span=0.600 m lowest=0.200 m "
                    "highest=0.800 m span_wanted=0.6 m"
                )
            ],
        ),
        (
            "0.20 0.20 0.40 0.50 0.60 0.80 m",
            [("L withheld rows-too-few rows_wanted=6 span=0.600 m lowest=0.200 m highest=0.800 m span_wanted=0.6 m")],
        ),
        ("O m", ["L for-teacher rows-too-few rows=0 rows_wanted=6 span_wanted=0.6 m"]),
        (
            "0.20 m",
            [("L withheld rows-too-few rows=1 rows_wanted=6 span=0 m span_wanted=0.6 m")],
        ),
    ],
)
def test_what_is_told_of_rows(case: str, wanted: list[str]) -> None:
    """How many rows there are over which range, and what is wanted; equal ones are not counted out."""
    assert (
        told(
            "wire-resistance",
            in_table(L=case),
            "R3",
            facts=("rows", "rows_wanted", "span", "lowest", "highest", "span_wanted", "each_way"),
        )
        == wanted
    )


@pytest.mark.parametrize(
    ("case", "wanted"),
    [
        (
            "-4 -3 -2 -1 1 2 3 4 V",
            [("V awarded rows-right rows=8 rows_wanted=8 span=8.00 V lowest=−4.00 V highest=4.00 V each_way=4")],
        ),
        (
            "-3 -2 -1 0 1 2 3 4 5 V",
            [("V withheld side-missing rows=9 rows_wanted=8 span=8.00 V lowest=−3.00 V highest=5.00 V each_way=4")],
        ),
        (
            "1 2 3 4 -1 -2 -3 V",
            [("V withheld rows-too-few rows=7 rows_wanted=8 span=7.00 V lowest=−3.00 V highest=4.00 V each_way=4")],
        ),
    ],
)
def test_what_is_told_of_readings_each_way(case: str, wanted: list[str]) -> None:
    """Too few rows are told before a side that is short."""
    assert (
        told(
            "iv-characteristic",
            in_table(V=case) + RESISTOR,
            "R3",
            facts=("rows", "rows_wanted", "span", "lowest", "highest", "span_wanted", "each_way"),
        )
        == wanted
    )


OWN = rubric_of("""format = 1
id = "own"
edition = 1
title = "Own"
level = "14 to 16"
purpose = "To find a volume."
cautions = ["Before you start, follow your school's own risk assessment and local rules."]

[readings.V]
quantity = "titre"
unit = "cm³"
table = "runs"

[readings.x]
quantity = "distance"
unit = "cm"
table = "runs"

[answers.mean_V]
quantity = "mean titre"
unit = "cm³"
formula = "mean(V)"

[[criteria]]
code = "R1"
point = "Two titres agree"
check = "rows"
items = ["V"]
rows = 2
within = 0.2

[[criteria]]
code = "R2"
point = "Three distances about the bend"
check = "rows"
items = ["x"]
rows = 4
near = [10, 20, 3]

[[criteria]]
code = "F1"
point = "Mean follows"
check = "value"
items = ["mean_V"]
""")


@pytest.mark.parametrize(
    ("titres", "wanted"),
    [
        ("24.10 24.30 cm³", "V awarded rows-right rows=2 span=0.200 cm³ within=0.20 cm³"),
        ("24.10 24.31 cm³", "V withheld not-concordant rows=2 span=0.210 cm³ within=0.20 cm³"),
        ("24.10 24.10 cm³", "V awarded rows-right rows=2 span=0 cm³ within=0.20 cm³"),
        ("24.10 cm³", "V withheld rows-too-few rows=1 span=0 cm³ within=0.20 cm³"),
        ("24.10 2430 cm³", "V withheld not-concordant rows=2 span=2410 cm³ within=0.20 cm³"),
    ],
)
def test_titres_that_agree(titres: str, wanted: str) -> None:
    """0.20 cm³ apart agree, 0.21 do not; two equal titres are two, for they are averaged."""
    assert told(OWN, in_table(V=titres), "R1", facts=("rows", "span", "within")) == [wanted]


@pytest.mark.parametrize(
    ("distances", "outcome", "reason"),
    [
        ("5 10 15 20 cm", "awarded", "rows-right"),
        ("5 10 15 20.1 cm", "withheld", "too-few-near"),
        ("5 9.9 15 20 cm", "withheld", "too-few-near"),
        ("10 15 20 cm", "withheld", "rows-too-few"),
        ("12 14 16 18 cm", "awarded", "rows-right"),
        ("5 15 15 15 20 25 cm", "withheld", "too-few-near"),
        ("50 100 150 200 mm", "awarded", "rows-right"),
    ],
)
def test_readings_near_a_bend(distances: str, outcome: str, reason: str) -> None:
    """Three different readings from 10 to 20 cm, both ends counted, beside four in all."""
    (finding,) = found(OWN, in_table(x=distances), "R2")
    assert (finding.outcome, finding.reason) == (outcome, reason)
    assert (finding.facts["near"], finding.facts["near_wanted"]) == ("10 to 20 cm", "3")


def test_one_of_two_repeats_is_enough_for_a_row() -> None:
    """A row counts by the mean of the repeats that were taken in it; a column without any counts none."""
    (finding,) = found("freefall-g", in_table(h="0.2 0.3 0.4 0.5 0.7 m"), "R3")
    assert (finding.outcome, finding.facts["rows"], finding.facts["span"]) == ("awarded", "5", "0.500 m")


def test_readings_are_quoted_to_all_their_figures_and_alike_ones_not_as_a_range() -> None:
    """25.65 cm³ is not 25.7; titres that agree are praised for nothing but their number."""
    agreed = "25.70 25.70 25.65 cm³"
    lines = in_table(v_1="0.00 1.60 0.20 cm³", v_2="25.70 27.30 25.85 cm³", titre=agreed, used=agreed)
    facts = ("rows", "span", "lowest", "highest")
    assert told("titration", lines, "R4", facts=facts) == ["used awarded rows-right rows=3 span=0.0500 cm³"]
    lengths = in_table(L="0.2005 0.300 0.400 0.500 0.600 0.8005 m")
    (line,) = [one for one in told("wire-resistance", lengths, "R3", facts=facts) if one.startswith("L ")]
    assert line.endswith("lowest=0.2005 m highest=0.8005 m")
