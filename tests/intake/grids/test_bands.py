"""Headings told apart by the bands above them."""

from __future__ import annotations

import pytest

from marking.intake.grids.grid import Field, Grid, Merge
from marking.intake.grids.headings import HeadingRow, find_headings
from marking.intake.grids.item_names import Vocabulary
from rubrics.load import load_catalogue

CIRCUITS = Vocabulary(load_catalogue()["resistor-combinations"])
HEADS = ["student", "V / V", "I / mA", "V / V", "I / mA", "V / V", "predicted / Ω"]
READ = ["", "V_1", "I_1", "V_2", "I_2", "V_series", "predicted_series"]


def found(bands: dict[int, str], heads: list[str], merges: tuple[Merge, ...] = ()) -> HeadingRow:
    """Return the headings of row 2 under bands in row 1."""
    rows: dict[int, dict[int, Field]] = {1: dict(bands), 2: dict(enumerate(heads, 1)), 3: {1: "A01", 2: "1.50"}}
    grid = Grid(file="class.xlsx", sheet="One", rows=rows, merges=merges)
    row = find_headings(grid, CIRCUITS, {})
    assert row is not None
    return row


@pytest.mark.parametrize(
    "merges",
    [(), tuple(Merge(top=1, left=left, bottom=1, right=left + 1) for left in (2, 4, 6))],
    ids=["the band in its first cell", "merged"],
)
def test_a_band_tells_headings_apart_that_stand_again(merges: tuple[Merge, ...]) -> None:
    """V under 'Resistor 1' is V_1, under 'In series' it is V_series; units stay with their headings."""
    row = found({2: "Resistor 1", 4: "Resistor 2", 6: "In series"}, HEADS, merges)
    assert [heading.item for heading in row.headings] == READ
    assert [heading.unit for heading in row.values] == ["V", "mA", "V", "mA", "V", "Ω"]
    assert not row.doubled


def test_a_band_that_says_nothing_leaves_them_doubled() -> None:
    """'Lamp' is no part of an item's name: none of the columns is used."""
    row = found({2: "Lamp", 4: "Other lamp"}, ["student", "V / V", "V_1", "V / V"])
    assert [heading.item for heading in row.used] == ["", "V_1"]
    assert len(row.doubled) == 2


def test_two_bands_alike_leave_them_doubled() -> None:
    """Twice 'Resistor 1': which of the two counts is nobody's guess."""
    row = found({2: "Resistor 1", 3: "Resistor 1", 4: "R"}, ["student", "V / V", "V / V", "R_1"])
    assert [heading.item for heading in row.used] == ["", "R_1"]


def test_a_heading_that_stands_once_needs_no_band() -> None:
    """Under any band it says what it says."""
    row = found({2: "Resistor 2"}, ["student", "V_1", "I_1"])
    assert [heading.item for heading in row.headings] == ["", "V_1", "I_1"]
