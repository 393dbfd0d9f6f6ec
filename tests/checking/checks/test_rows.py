"""Whether a table has enough rows over a wide enough range: just enough, and just not."""

from __future__ import annotations

import pytest

from tests.checking.rows import found, in_table, rows


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
