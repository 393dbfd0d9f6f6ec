"""Readings whose unit was not written."""

from __future__ import annotations

import pytest

from marking.write_up import Entry
from rubrics.units.unit_record import Verdict
from tests.intake.class_files import BLOCK, WIRE, entry_of, read_tidy, unit_of


def read(item: str, entry: str, unit: str = "", practical: str = BLOCK) -> Entry:
    """Return one entry, read as a whole file."""
    row = "1" if practical == WIRE else ""
    found = read_tidy([("A01", item, row, entry, unit)], practical)
    return entry_of(found, "A01", item, 1 if row else None)


@pytest.mark.parametrize(
    ("item", "entry", "unit", "verdict"),
    [
        ("m", "0.998", "", Verdict.MISSING),  # within reach in kg, the unit of the item
        ("m", "5", "", Verdict.MISSING),  # the largest that is
        ("m", "998", "g", Verdict.MISSING),  # only in g
        ("m", "0.0004", "", Verdict.MISSING),  # in no unit: as typed
        ("T_start", "292.6", "K", Verdict.MISSING),
        ("dT", "293", "", Verdict.MISSING),  # an answer: a slip of units must stay one
    ],
)
def test_the_range_of_the_apparatus_gives_a_missing_unit(item: str, entry: str, unit: str, verdict: Verdict) -> None:
    """A reading is in the unit of its item, or in the only other unit in which it is possible; it is never altered."""
    found = read(item, entry)
    assert found.unit is not None
    assert (found.raw, found.value, unit_of(found), found.unit.verdict) == (entry, float(entry), unit, verdict)


def test_a_reading_that_could_be_in_two_units_is_for_the_teacher() -> None:
    """50 with no unit is no length in metres here; whether cm or mm, the range leaves open."""
    found = read("L", "50", practical=WIRE)
    assert found.unit is not None
    assert found.unit.verdict is Verdict.AMBIGUOUS
    assert found.notes == ("no unit; could be cm or mm, and cannot be m",)


def test_a_unit_that_the_apparatus_cannot_give_is_for_the_teacher() -> None:
    """998 kg on a bench is asked, for 998 g is possible; 99999 kg, which no unit makes possible, stays as written."""
    found = read("m", "998", "kg")
    assert found.unit is not None
    assert (found.unit.verdict, found.value) == (Verdict.AMBIGUOUS, 998)
    assert unit_of(read("m", "99999", "kg")) == "kg"


def column(*cells: tuple[str, str]) -> list[Entry]:
    """Return the entries of a column of lengths (entry, unit)."""
    found = read_tidy([("A01", "L", str(row), entry, unit) for row, (entry, unit) in enumerate(cells, 1)], WIRE)
    return [entry_of(found, "A01", "L", row) for row in range(1, len(cells) + 1)]


def test_a_unit_written_once_in_a_column_goes_for_all_of_it() -> None:
    """As under a heading, a unit in the first row is the unit of the rows below, with a note."""
    first, second = column(("20.0", "cm"), ("30.0", ""))
    assert (unit_of(first), unit_of(second), second.unit_raw) == ("cm", "cm", "cm")
    assert second.notes == ("no unit beside it; cm from F2 (unit of the column)",)


def test_two_units_in_a_column_go_for_neither_of_the_other_rows() -> None:
    """With cm in one row and mm in another, a third without a unit could be either."""
    *_, third = column(("20.0", "cm"), ("300", "mm"), ("40", ""))
    assert third.unit is not None
    assert third.unit.verdict is Verdict.AMBIGUOUS


def test_a_column_is_settled_as_a_whole() -> None:
    """The lengths 0.1 to 1.0 are metres, all of them, though 0.1 alone would pass for nothing else either."""
    assert [unit_of(entry) for entry in column(("0.1", ""), ("1.0", ""))] == ["", ""]


@pytest.mark.parametrize(
    ("beside", "current", "unit", "verdict"),
    [
        ("mA", "0.73", "mA", Verdict.ACCEPT),  # the meter stands at mA, and the limit of 1 mA is what is expected
        ("A", "0.73", "mA", Verdict.AMBIGUOUS),  # nothing else of this meter is in mA
        ("mA", "0.05", "mA", Verdict.AMBIGUOUS),  # twenty times below
        ("mA", "0.73", "A", Verdict.ACCEPT),  # within reach of the meter
    ],
)
def test_a_unit_is_not_in_doubt_beside_others_of_its_meter(
    beside: str, current: str, unit: str, verdict: Verdict
) -> None:
    """A reading a little beyond what is expected keeps its unit where the meter's other readings stand in it."""
    other = "2.28" if beside == "mA" else "0.228"
    lines = [("A01", "I_1", "", other, beside), ("A01", "I_series", "", current, unit)]
    found = entry_of(read_tidy(lines, "resistor-combinations"), "A01", "I_series", None)
    assert found.unit is not None
    assert found.unit.verdict is verdict
