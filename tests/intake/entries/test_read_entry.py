"""From one cell to one entry."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from marking.intake.entries.entry_units import WrittenUnit
from marking.intake.entries.read_entry import read_entry
from marking.intake.grids.grid import Field, SheetValue, Stored
from marking.intake.grids.item_names import Vocabulary
from marking.write_up import Entry, Place, State
from rubrics.load import load_catalogue
from rubrics.units.definition import define_unit
from rubrics.units.unit_record import Verdict
from tests.intake.class_files import BLOCK, unit_of

NUMBER, UNREADABLE, BLANK, WORDS = State.NUMBER, State.UNREADABLE, State.BLANK, State.WORDS
PLACE = Place(file="class.csv", sheet="", cell="F2")


def read(item: str, value: Field, unit: Field = "", heading: str = "", practical: str = BLOCK) -> Entry:
    """Return the entry that a cell becomes."""
    vocabulary = Vocabulary(load_catalogue()[practical])
    beside = WrittenUnit(field=unit, heading=heading, cell="G2")
    return read_entry(value, beside, vocabulary.rubric.items[item], PLACE, vocabulary)


@pytest.mark.parametrize(
    ("item", "value", "unit", "heading", "wanted"),
    [
        ("m", "0.998", "kg", "", (NUMBER, 0.998, "kg", "kg")),
        ("m", "0.998 kg", "", "", (NUMBER, 0.998, "kg", "kg")),
        ("m", "998", "", "g", (NUMBER, 998, "g", "g")),
        ("m", "998", "g", "kg", (NUMBER, 998, "g", "g")),  # the cell beside counts before the heading
        ("m", "998 g", "", "kg", (NUMBER, 998, "g", "g")),  # and the one with the number before a heading
        ("m", "998 g", "kg", "", (NUMBER, 998, "g", "g")),  # and the limits may settle which of two counts
        ("c", "896 J/(kg °C)", "kJ/(kg °C)", "", (UNREADABLE, None, "", "J/(kg °C)")),  # else it is a conflict
        ("m", "998 g", "g", "kg", (NUMBER, 998, "g", "g")),
        ("m", "998 g", "°C", "", (UNREADABLE, None, "", "g")),
        ("m", "998 blue", "", "", (UNREADABLE, None, "", "")),
        ("T_start", "19.5 C", "°C", "", (NUMBER, 19.5, "°C", "C")),  # never coulombs
        ("T_start", "19.5 degrees", "°C", "", (NUMBER, 19.5, "°C", "degrees")),
        ("T_start", "292.6", "K", "", (NUMBER, 292.6, "K", "K")),
        ("E", "20,4 kJ", "", "", (NUMBER, 20.4, "kJ", "kJ")),
        ("E", "20,400", "J", "", (NUMBER, 20400, "J", "J")),  # 20.4 J warms no block
        ("E", "20,400", "kJ", "", (NUMBER, 20.4, "kJ", "kJ")),  # nor do 20 400 kJ
        ("E", "20,400 kJ", "", "J", (NUMBER, 20.4, "kJ", "kJ")),  # the unit with the number decides
        ("c", "1,010", "J/(kg °C)", "", (UNREADABLE, None, "", "J/(kg °C)")),
        ("c", "997", "J/kg", "", (NUMBER, 997, "J/kg", "J/kg")),  # another quantity: for the check of units
        ("c", "997", "", "", (NUMBER, 997, "", "")),
        ("c", "-", "J/(kg °C)", "", (BLANK, None, "", "J/(kg °C)")),
        ("c", "", "", "", (BLANK, None, "", "")),
    ],
)
def test_a_number_keeps_its_value_and_the_unit_that_was_written(
    item: str, value: str, unit: str, heading: str, wanted: tuple[State, float | None, str, str]
) -> None:
    """The value stays as typed; its unit is the one nearest to it; two that do not agree go to the teacher."""
    entry = read(item, value, unit, heading)
    assert (entry.state, entry.value, unit_of(entry), entry.unit_raw) == wanted
    assert entry.raw == value


def test_both_forms_are_shown_where_a_cell_has_another_scale_than_its_column() -> None:
    """A mass typed in kg under a heading in g is used in kg, and the note shows it in g too."""
    entry = read("m", "0.998 kg", heading="g")
    assert entry.notes == ("read as 0.998 kg, that is 998 g in the unit of the column",)


def test_a_number_without_its_unit_is_missing_one_and_not_wrong() -> None:
    """No unit is a verdict of its own."""
    entry = read("c", "997")
    assert entry.unit is not None
    assert entry.unit.verdict is Verdict.MISSING


NUMBER_CELL = SheetValue(stored=Stored.NUMBER, text="20", number=20.0, zeros_unknown=True)


@pytest.mark.parametrize(
    ("value", "wanted"),
    [
        (NUMBER_CELL, (NUMBER, 20.0, True)),
        (replace(NUMBER_CELL, text="20.00", zeros_unknown=False), (NUMBER, 20.0, False)),
        (replace(NUMBER_CELL, text="20.5", number=20.46, zeros_unknown=False), (NUMBER, 20.46, False)),
        (SheetValue(stored=Stored.DATE, text="2024-02-01"), (UNREADABLE, None, False)),
        (SheetValue(stored=Stored.TRUTH, text="TRUE"), (UNREADABLE, None, False)),
        (SheetValue(stored=Stored.ERROR, text="#DIV/0!"), (UNREADABLE, None, False)),
        (SheetValue(stored=Stored.UNCALCULATED, text="=A1"), (UNREADABLE, None, False)),
        (SheetValue(stored=Stored.MERGED, text="20", remark="merged with C2"), (UNREADABLE, None, False)),
        (SheetValue(stored=Stored.TEXT, text="19.5", formula="A1"), (NUMBER, 19.5, False)),
    ],
    ids=[
        "general",
        "fixed",
        "rounded on screen",
        "date",
        "truth",
        "error",
        "uncalculated",
        "merged",
        "text of formula",
    ],
)
def test_a_spreadsheet_cell_gives_what_is_stored_or_nothing(
    value: SheetValue, wanted: tuple[State, float | None, bool]
) -> None:
    """What is stored counts, trailing zeros count where the format keeps them, and nothing is made of the rest."""
    entry = read("T_start", value, "°C")
    assert (entry.state, entry.value, entry.zeros_unknown) == wanted


@pytest.mark.parametrize(
    ("value", "state"),
    [
        ("Straight line through the origin", WORDS),
        ("no", WORDS),
        ("12", WORDS),
        (SheetValue(stored=Stored.TRUTH, text="TRUE"), WORDS),
        ("-", BLANK),
        ("", BLANK),
        (SheetValue(stored=Stored.ERROR, text="#N/A"), UNREADABLE),
    ],
)
def test_words_are_kept_as_written(value: Field, state: State) -> None:
    """Where words are asked for, any text is kept for the check of choices; a dash is still nothing given."""
    entry = read("shape", value, practical="iv-characteristic")
    assert entry.state is state
    assert entry.raw == (value if isinstance(value, str) else value.text)


@pytest.mark.parametrize(
    ("value", "unit", "wanted"),
    [
        ("150", "s", (NUMBER, 150, "s")),
        ("2.5", "min", (NUMBER, 2.5, "min")),
        ("2 min 30 s", "", (NUMBER, 150, "s")),
        ("2:30", "min", (NUMBER, 150, "s")),
        ("2:75", "min", (UNREADABLE, None, "")),
        (SheetValue(stored=Stored.DATE, text="02:30:00"), "s", (UNREADABLE, None, "")),
    ],
)
def test_times_may_be_written_in_parts(value: Field, unit: str, wanted: tuple[State, float | None, str]) -> None:
    """Minutes and seconds become seconds; what a spreadsheet turned into a time of day goes to the teacher."""
    vocabulary = Vocabulary(load_catalogue()[BLOCK])
    second = define_unit("s")
    time = replace(vocabulary.rubric.items["m"], name="t", unit=second, recorded_in=(second,), limits=None)
    entry = read_entry(value, WrittenUnit(field=unit), time, PLACE, vocabulary)
    assert (entry.state, entry.value, unit_of(entry)) == wanted


@pytest.mark.parametrize(("value", "state"), [("10.00", NUMBER), ("2.30", UNREADABLE), ("2.5", NUMBER)])
def test_minutes_to_two_places_without_a_unit(value: str, state: State) -> None:
    """2.30 may be 2 min 30 s; 10.00 is ten minutes either way."""
    vocabulary = Vocabulary(load_catalogue()["inverse-square"])
    item = vocabulary.rubric.items["t_b"]
    assert read_entry(value, WrittenUnit(), item, PLACE, vocabulary).state is state


def test_a_time_that_became_a_time_of_day_says_what_it_may_have_been() -> None:
    """The teacher is shown both readings of 2:30 after a spreadsheet made 02:30:00 of it."""
    vocabulary = Vocabulary(load_catalogue()[BLOCK])
    second = define_unit("s")
    time = replace(vocabulary.rubric.items["m"], name="t", unit=second, recorded_in=(second,), limits=None)
    value = SheetValue(stored=Stored.DATE, text="02:30:00")
    (note,) = read_entry(value, WrittenUnit(), time, PLACE, vocabulary).notes
    assert "2 min 30 s" in note


@pytest.mark.parametrize(
    ("item", "value", "unit", "wanted"),
    [
        ("c", "99O", "J/(kg °C)", None),
        ("m", "0.10O", "kg", None),
        ("m", "0.1OO", "kg", 0.1),
        ("E", "2OOOO", "J", 20000.0),
        ("T_start", "2O", "°C", None),
        ("T_start", "2OO", "K", 200.0),
        ("c", "99O", "", None),
    ],
)
def test_several_noughts_at_the_end_are_no_unit(item: str, value: str, unit: str, wanted: float | None) -> None:
    """A single letter at the end is asked about; of several beside a unit none is an ohm or a ring, and it is told."""
    entry = read(item, value, unit)
    assert entry.value == wanted
    assert entry.state is UNREADABLE or any("a letter stood for a figure" in note for note in entry.notes)


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("21.0 at the start", 21.0),
        ("21.0 before the heater was on", 21.0),
        ("21.0 exactly", 21.0),
        ("21.0 (mean of 2 and 3)", 21.0),
        ("21.0 (thermometer said 21.04)", 21.0),
        ("21.0 celcius", 21.0),
        ("21.0 celcus", None),
        ("70 faranhite", None),
        ("21.0 at most", None),
        ("21.0 more", None),
        ("21.0 in inches", None),
        ("21.0 from 2", None),
        ("21.0 (not 22.0)", None),
        ("21.0 (book says 24.0)", 21.0),
        ("21.0 blub", 21.0),
        ("21.0 up to", None),
        ("up to 21.0", None),
        ("21.0 kilo", None),
        ("two dozen", None),
    ],
)
def test_plain_remarks_behind_a_number_leave_it_as_it_is(typed: str, value: float | None) -> None:
    """What may be a unit, or another number, is asked about."""
    assert read("T_start", typed, "°C").value == value
