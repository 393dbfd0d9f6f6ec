"""Whether readings are there, with a unit of their quantity."""

from __future__ import annotations

from pathlib import Path

import pytest

from marking.checking import mark_set
from marking.intake import read_inputs
from rubrics.load import load_catalogue
from tests.checking.rows import CUBOID, HEAT, WIRE, changed, found, mark, marks, rows


@pytest.mark.parametrize(
    ("entry", "outcome"),
    [
        ("0.998|kg", "awarded"),
        ("998|g", "awarded"),
        ("998 g|", "awarded"),
        ("0.998|Kg", "awarded"),
        ("0,998|kg", "awarded"),
        ("0.998|", "withheld"),
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
    """A reading with a unit stands; one whose unit was asked for beside others that were given is withheld.

    Whatever else is wrong with a reading may be right on paper, and waits.
    """
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
    script = mark("density-cuboid", changed(CUBOID, w="3.02|J"))
    assert marks(script)["R1"] is None
    assert marks(script)["R4"] == 1


def test_a_missing_unit_is_lost_once() -> None:
    """'Three sides measured' does not lose the unit that 'recorded with unit' has lost already."""
    script = mark("density-cuboid", changed(CUBOID, w="3.02|"))
    assert (marks(script)["R1"], marks(script)["R3"]) == (0, 1)


def test_a_missing_unit_is_named() -> None:
    """The finding says which unit is missing, and which was meant."""
    (finding,) = found("specific-heat-block", changed(HEAT, m="0.998|"), "R1")
    assert (finding.reason, finding.cause) == ("unit-missing", "unit-missing")
    assert finding.explanations[0].detail == "none for kg"


def test_units_that_were_hardly_typed_may_stand_on_paper() -> None:
    """Where no more units were typed than left out, the teacher looks: the table on paper has its headings."""
    lines = "l,,5.01,\nw,,4.02,\nh,,3.00,cm\nm,,163.2,g\n"
    assert [row[2] for row in rows("density-cuboid", lines, "R1")] == ["for-teacher"] * 2 + ["awarded"] * 2
    lines += "V,,60.4,cm³\n"
    assert [row[2] for row in rows("density-cuboid", lines, "R1")] == ["withheld"] * 2 + ["awarded"] * 2


def test_without_a_box_for_it_a_unit_may_stand_on_paper(tmp_path: Path) -> None:
    """A sheet of one's own whose heading has no unit, and no column for one, loses nobody the mark."""
    heads = "student,l / cm,w / cm,h / cm,m,V / cm3,rho / g/cm3\n"
    (tmp_path / "class.csv").write_text(heads + "A01,5.01,4.02,3.00,163.2,60.4,2.70\n", encoding="utf-8")
    rubrics = load_catalogue()
    (class_set,) = read_inputs([tmp_path / "class.csv"], rubrics, practical="density-cuboid")
    (script,) = mark_set(rubrics["density-cuboid"], class_set).scripts
    assert [(one.item, one.outcome) for one in script.findings if one.criterion == "R1"][-1] == ("m", "for-teacher")


def test_missing_reading_says_so() -> None:
    """A reading that is not there is told as missing, not as wrong."""
    (finding,) = found("density-cuboid", changed(CUBOID, m=""), "R4")
    assert (finding.reason, finding.entry, finding.cause) == ("reading-missing", "", "none")
