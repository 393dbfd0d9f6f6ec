"""Whether readings are there, with a unit of their quantity."""

from __future__ import annotations

import pytest

from tests.checking.rows import CUBOID, HEAT, WIRE, changed, found, mark, marks, rows


@pytest.mark.parametrize(
    ("entry", "outcome"),
    [
        ("0.998|kg", "awarded"),
        ("998|g", "awarded"),
        ("998 g|", "awarded"),
        ("0.998|Kg", "awarded"),
        ("0,998|kg", "awarded"),
        ("0.998|", "for-teacher"),
        ("0.998|J", "for-teacher"),
        ("0.99B|kg", "for-teacher"),
        ("", "for-teacher"),
        ("-|kg", "for-teacher"),
    ],
    ids=[
        "kilograms",
        "grams",
        "unit-in-the-cell",
        "capital",
        "decimal-comma",
        "no-unit",
        "another-quantity",
        "unreadable",
        "missing",
        "dash",
    ],
)
def test_one_reading(entry: str, outcome: str) -> None:
    """A reading with a unit stands; no reading is ever marked wrong by computing, for it may stand on paper."""
    assert [row[2] for row in rows("specific-heat-block", changed(HEAT, m=entry), "R1")] == [outcome]


def test_a_column_is_told_once() -> None:
    """A column of readings is one line, with the row only where a row is at fault."""
    assert rows("wire-resistance", WIRE, "R1") == [
        ("L", "R1", "awarded", "none"),
        ("V", "R1", "awarded", "none"),
        ("I", "R1", "awarded", "none"),
    ]
    assert rows("wire-resistance", changed(WIRE, V_3="0.8B"), "R1")[1] == ("V 3", "R1", "for-teacher", "none")


def test_a_unit_written_once_serves_for_the_column() -> None:
    """A unit in the first row, as in a heading, is the unit of all rows."""
    lines = changed(WIRE, **{f"L_{row}": f"0.{row + 1}00|" for row in range(2, 8)})
    assert rows("wire-resistance", lines, "R1")[0] == ("L", "R1", "awarded", "none")


def test_all_readings_count_for_the_one_mark() -> None:
    """One reading that waits for the teacher leaves the whole mark with the teacher, not lost."""
    script = mark("density-cuboid", changed(CUBOID, w="3.02|"))
    assert marks(script)["R1"] is None
    assert marks(script)["R4"] == 1


def test_a_missing_unit_waits_once() -> None:
    """'Three sides measured' does not wait for the unit that 'recorded with unit' already waits for."""
    script = mark("density-cuboid", changed(CUBOID, w="3.02|"))
    assert (marks(script)["R1"], marks(script)["R3"]) == (None, 1)


def test_missing_reading_says_so() -> None:
    """A reading that is not there is told as missing, not as wrong."""
    (finding,) = found("density-cuboid", changed(CUBOID, m=""), "R4")
    assert (finding.reason, finding.entry, finding.cause) == ("reading-missing", "", "none")
