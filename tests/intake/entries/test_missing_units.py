"""Readings whose unit was not written."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from marking.intake.entries.missing_units import in_item_unit, in_limits, limits_in
from marking.write_up import Entry
from rubrics.load import load_catalogue
from rubrics.units.definition import define_unit
from rubrics.units.unit_record import Unit, Verdict
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
        ("A", "0.73", "mA", Verdict.ACCEPT),  # a little below what is expected
        ("A", "0.3", "mA", Verdict.AMBIGUOUS),  # far below, and nothing else of this meter is in mA
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


MASS = load_catalogue()[BLOCK].items["m"]
KG, G, KELVIN, CELSIUS = (define_unit(symbol) for symbol in ("kg", "g", "K", "°C"))


@pytest.mark.parametrize(
    ("value", "unit", "inside"),
    [
        (0.3, KG, True),
        (300, G, True),
        (0.1 + 0.2, KG, True),
        (0.2999, KG, False),
        (299.9, G, False),
        (0.7, KG, True),
        (700, G, True),
        (0.7001, KG, False),
        (700.1, G, False),
    ],
)
def test_limits_hold_at_their_ends(value: float, unit: Unit, inside: bool) -> None:
    """What lies on a limit is within it, in every unit; a ten-thousandth further is not."""
    assert in_limits(value, unit, replace(MASS, limits=(0.3, 0.7))) is inside


def test_without_limits_everything_is_possible() -> None:
    """An item without limits rules nothing out, and has none in another unit."""
    free = replace(MASS, limits=None)
    assert in_limits(1e9, KG, free)
    assert limits_in(G, free) is None


@settings(deadline=None)
@given(st.integers(-50, 1000), st.integers(-50, 1000))
def test_limits_are_the_same_in_every_unit(first: int, second: int) -> None:
    """Limits in kelvin are those in degrees with the offset, the lower one first, and a value lies in both or none."""
    item = load_catalogue()[BLOCK].items["T_start"]
    low, high = sorted((first, second))
    item = replace(item, limits=(float(low), float(high)))
    assert limits_in(KELVIN, item) == pytest.approx((low + 273.15, high + 273.15))
    assert limits_in(CELSIUS, item) == pytest.approx((low, high), abs=1e-9)
    assert limits_in(KG, item) is None
    assert limits_in(None, item) is None
    assert in_item_unit(low + 273.15, KELVIN, item) == pytest.approx(low, abs=1e-9)
    if low < high:
        assert in_limits(low + 0.5, CELSIUS, item) is in_limits(low + 273.65, KELVIN, item) is True
    assert in_limits(high + 1, CELSIUS, item) is in_limits(high + 274.15, KELVIN, item) is False


def test_what_is_said_of_a_unit_in_doubt() -> None:
    """998 kg: the note names the unit that is out of range and the one within, and nothing of the entry is lost."""
    found = read("m", "998", "kg")
    note = "kg is out of range here, g would be within it: which unit is meant, is not sure"
    assert found.notes == (note,)
    assert found.unit is not None
    assert (found.unit.typed, found.unit.note, found.unit.unit, found.unit_raw) == ("kg", note, None, "kg")


def test_an_answer_is_never_doubted() -> None:
    """An answer a thousand times too large may be a slip: its unit stays as written."""
    assert unit_of(read("c", "973000", "kJ/(kg °C)")) == "kJ/(kg °C)"


def test_a_unit_of_another_quantity_is_no_doubt_of_range() -> None:
    """998 J for a mass is a matter for the check of units, not of the range."""
    found = read("m", "998", "J")
    assert found.unit is not None
    assert (found.unit.verdict, found.notes) == (Verdict.WRONG, ())


def test_what_is_said_of_a_unit_from_the_range() -> None:
    """998 alone is taken in g, and said so; nothing was typed."""
    found = read("m", "998")
    note = "no unit; taken as g, for kg would be out of range (unit from range)"
    assert found.notes == (note,)
    assert found.unit is not None
    assert (found.unit.typed, found.unit.note, unit_of(found)) == ("", note, "g")
    both = read("L", "50", practical=WIRE)
    assert both.unit is not None
    assert (both.unit.typed, both.unit.note, both.unit.unit) == ("", both.notes[0], None)


def test_the_unit_of_a_column_is_the_one_understood() -> None:
    """What cannot be read as a unit is no other unit: the rows without one take the one that is known."""
    unknown, first, second = column(("20.0", "blue"), ("30.0", "cm"), ("40.0", ""))
    assert (unit_of(first), unit_of(second)) == ("cm", "cm")
    assert unit_of(unknown) == ""
    same, other, third = column(("20.0", "cm"), ("30.0", "centimetres"), ("40.0", ""))
    assert (unit_of(same), unit_of(other), unit_of(third), third.unit_raw) == ("cm", "cm", "cm", "cm")


def test_all_rows_of_a_column_share_the_unit_that_the_range_leaves() -> None:
    """50 alone could be cm or mm; beside 900 only mm is left, for both."""
    assert [unit_of(entry) for entry in column(("50", ""), ("900", ""))] == ["mm", "mm"]


def test_a_unit_beside_a_single_item_is_no_unit_of_a_column() -> None:
    """The energy's J says nothing of the mass."""
    found = read_tidy([("A01", "E", "", "20400", "J"), ("A01", "m", "", "0.998", "")])
    assert unit_of(entry_of(found, "A01", "m")) == ""


@pytest.mark.parametrize(
    ("beside", "current", "verdict"),
    [
        ([("I_1", "0.228", "A")], ("15", "A"), Verdict.ACCEPT),
        ([("I_1", "228", "mA")], ("15", "A"), Verdict.AMBIGUOUS),
        ([("I_1", "2.28", "mA")], ("0.4", "mA"), Verdict.ACCEPT),
        ([("I_1", "0.228", "A")], ("0.4", "mA"), Verdict.AMBIGUOUS),
        ([("I_1", "", ""), ("I_2", "2.28", "mA")], ("0.4", "mA"), Verdict.ACCEPT),
        ([("I_1", "2#8", "mA"), ("I_2", "2.28", "mA")], ("0.4", "mA"), Verdict.ACCEPT),
        ([("I_1", "2#8", "mA")], ("0.4", "mA"), Verdict.AMBIGUOUS),
        ([("I_1", "2.28", "")], ("0.4", "mA"), Verdict.AMBIGUOUS),
        ([("V_1", "2.28", "mV")], ("0.4", "mA"), Verdict.AMBIGUOUS),
        ([("R_1", "2.28", "Ω"), ("I_2", "2.28", "mA")], ("0.4", "mA"), Verdict.ACCEPT),
    ],
)
def test_which_readings_speak_for_a_unit(
    beside: list[tuple[str, str, str]], current: tuple[str, str], verdict: Verdict
) -> None:
    """A reading of the same meter, within its limits and with that unit written, speaks for one a little beyond."""
    lines = [("A01", item, "", *cell) for item, *cell in [*beside, ("I_series", *current)]]
    found = entry_of(read_tidy(lines, "resistor-combinations"), "A01", "I_series", None)
    assert found.unit is not None
    assert found.unit.verdict is verdict
