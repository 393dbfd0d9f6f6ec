"""Tidy CSV: one line a cell."""

from __future__ import annotations

import pytest

from marking.write_up import State
from rubrics.faults.errors import InputError
from rubrics.load import load_catalogue
from tests.intake.class_files import (
    BLOCK,
    TIDY,
    WIRE,
    codes,
    csv_text,
    entry_of,
    read_files,
    read_tidy,
    remarks_on,
    told,
    work_of,
)


def test_an_entry_is_the_text_exactly_as_written() -> None:
    """'0.50' stays '0.50', with its unit and its place."""
    entry = entry_of(read_tidy([("A01", "m", "", "0.50", "kg")]), "A01", "m")
    assert (entry.raw, entry.unit_raw, entry.value, entry.last_place) == ("0.50", "kg", 0.5, (-2, -2))
    assert str(entry.place) == "class.csv, F2"


def test_a_clean_file_has_nothing_said_of_it() -> None:
    """A class as the contract writes it is read without a remark, units of another scale and all."""
    found = read_tidy([("A01", "m", "", "998", "g"), ("A01", "E", "", "20.4 kJ", ""), ("A02", "m", "", "0.998", "kg")])
    assert told(found) == []


def test_an_item_that_is_not_in_the_file_is_not_in_the_write_up() -> None:
    """What was not asked for is not a blank."""
    work = work_of(read_tidy([("A01", "m", "", "998", "g"), ("A01", "E", "", "-", "J")]), "A01")
    assert {item: entry.state for item, entry in work.singles.items()} == {"m": State.NUMBER, "E": State.BLANK}


def test_rows_of_a_table_count_from_one_and_may_come_in_any_order() -> None:
    """The row column puts each entry in its row."""
    lines = [("A01", "L", "10", "1.00", "m"), ("A01", "L", "2", "0.20", "m"), ("A01", "V", "2", "0.5", "V")]
    work = work_of(read_tidy(lines, WIRE), "A01")
    assert {item: list(column) for item, column in work.columns.items()} == {"L": [2, 10], "V": [2]}


@pytest.mark.parametrize(
    ("row", "is_used"), [("1", True), ("200", True), ("201", False), ("1000", False), ("0", False), ("-1", False)]
)
@pytest.mark.parametrize("item", ["L"])
def test_a_row_number_counts_from_one_to_a_limit(item: str, row: str, is_used: bool) -> None:
    """What is no row number is for the teacher, with the entry that hangs on it."""
    found = read_tidy([("A01", item, row, "0.5", "m")], WIRE)
    assert bool(work_of(found, "A01").columns) is is_used
    assert [remark.weight.value for remark in found.remarks] == ([] if is_used else ["query"])


def test_a_line_without_an_item_names_a_student() -> None:
    """A student with nothing but such a line is in the set, with nothing handed in."""
    found = read_tidy([("A01", "", "", "", ""), ("A02", "m", "", "998", "g")])
    assert codes(found) == ["A01", "A02"]
    assert not work_of(found, "A01").is_handed_in


@pytest.mark.parametrize(
    "lines", [[("A01", "", "", "AB", "")], [("A01", "m", "", "AB", ""), ("A01", "E", "", "ab", "")]]
)
def test_ab_says_that_a_student_was_absent(lines: list[tuple[str, ...]]) -> None:
    """On the student's own line, or in every cell that is filled."""
    work = work_of(read_tidy(lines), "A01")
    assert work.student.absent
    assert not work.singles


def test_ab_in_one_of_several_cells_is_a_value_not_given() -> None:
    """A student who has other entries was there."""
    work = work_of(read_tidy([("A01", "m", "", "AB", ""), ("A01", "E", "", "20400", "J")]), "A01")
    assert not work.student.absent
    assert work.singles["m"].state is State.BLANK


def test_lines_of_several_practicals_become_several_sets() -> None:
    """One set for each practical met, in the order of the rubrics and not of the lines."""
    lines = [("A01", "", WIRE, "L", "1", "0.5", "m"), ("A01", "", BLOCK, "m", "", "998", "g")]
    found = read_files({"all.csv": csv_text([TIDY, *lines])})
    assert [one.practical for one in found] == [BLOCK, WIRE]
    assert all(one.sources[0].name == "all.csv" for one in found)


def test_an_unknown_practical_is_told_once_with_the_nearest() -> None:
    """Lines that belong nowhere are counted, not dropped in silence."""
    lines = [("A01", "", BLOCK, "m", "", "998", "g"), *[("A01", "", "specific-heat-blok", "m", "", "1", "g")] * 3]
    (found,) = read_files({"class.csv": csv_text([TIDY, *lines])})
    ((weight, message),) = told(found)
    assert weight == "query"
    assert message == (
        'class.csv, C3: "specific-heat-blok" is no practical known here; nearest: specific-heat-block; '
        "3 lines not used. Correct the name."
    )


def test_an_unknown_item_is_told_once_with_those_there_are() -> None:
    """A misspelt item costs its own lines and says which items there are."""
    found = read_tidy([("A01", "T_stat", "", "19.5", "°C"), ("A02", "T_stat", "", "19.5", "°C")])
    ((weight, message),) = told(found)
    assert weight == "query"
    items = ", ".join(load_catalogue()[BLOCK].items)
    assert items.startswith("m, T_start, T_end, E")
    assert message == (
        f'class.csv, D2: "T_stat" is no item of specific-heat-block (items: {items}); '
        "nearest: T_start; 2 lines not used. Correct the name."
    )


def test_an_item_may_be_called_as_in_a_heading() -> None:
    """'Mass of the block' and 'temp start' name items here as they do at the head of a column."""
    found = read_tidy([("A01", "Mass of the block", "", "998", "g"), ("A01", "temp_start_C", "", "19.5", "")])
    assert entry_of(found, "A01", "m").value == 998
    assert entry_of(found, "A01", "T_start").unit_raw == "C"


def test_a_file_of_unknown_practicals_is_refused() -> None:
    """With nothing to mark, the one message says which practicals there are."""
    with pytest.raises(InputError, match='"cooking" is no practical known here') as refusal:
        read_tidy([("A01", "m", "", "998", "g")], "cooking")
    assert BLOCK in refusal.value.mend


def test_the_practical_may_come_from_outside() -> None:
    """A tidy file without the column is about the practical that the caller names."""
    lines = [("student", "item", "entry", "unit"), ("A01", "m", "998", "g")]
    (found,) = read_files({"class.csv": csv_text(lines)}, practical=BLOCK)
    assert entry_of(found, "A01", "m").value == 998


def test_columns_are_found_by_their_headings() -> None:
    """The order of the columns does not matter, nor do capitals."""
    lines = [("Entry", "Unit", "Item", "Practical", "Student"), ("998", "g", "m", BLOCK, "A01")]
    (found,) = read_files({"class.csv": csv_text(lines)})
    assert entry_of(found, "A01", "m").value == 998


def test_a_line_without_a_student_is_asked_about() -> None:
    """Whose entry it is cannot be known."""
    found = read_tidy([("", "m", "", "998", "g"), ("A02", "m", "", "998", "g")])
    assert codes(found) == ["A02"]
    assert [weight for weight, _ in told(found)] == ["query"]


def test_a_decimal_comma_without_quotes_costs_its_line() -> None:
    """Eight fields under seven headings: the entry is shown as it stands, and not used."""
    text = csv_text([TIDY, ("A02", "", BLOCK, "m", "", "998", "g")]) + f"A01,,{BLOCK},m,,0,998,kg\r\n"
    (found,) = read_files({"class.csv": text})
    entry = entry_of(found, "A01", "m")
    assert (entry.state, entry.raw) == (State.UNREADABLE, "0,998,kg")
    assert [remark.weight.value for remark in remarks_on(found, "A01")] == ["query"]


def test_doubled_entries_that_differ_are_both_shown_and_neither_used() -> None:
    """Two masses for one student: for the teacher, in one remark."""
    found = read_tidy([("A01", "m", "", "998", "g"), ("A01", "m", "", "989", "g"), ("A01", "E", "", "20400", "J")])
    assert entry_of(found, "A01", "m").state is State.UNREADABLE
    assert entry_of(found, "A01", "E").state is State.NUMBER
    assert told(found) == [
        (
            "query",
            'class.csv, F2, A01: stands again in F3, and not the same: m "998" (F2) and "989" (F3); '
            "none of these is used. Keep the right one and take the other out.",
        )
    ]


@pytest.mark.parametrize(("second", "is_double"), [("998", False), ("998 ", False), ("998.0", True)])
def test_doubled_entries_of_the_same_text_are_one(second: str, is_double: bool) -> None:
    """The same text twice is used once; 998.0 says more than 998, so the two are not the same."""
    found = read_tidy([("A01", "m", "", "998", "g"), ("A01", "m", "", second, "g")])
    assert (entry_of(found, "A01", "m").state is State.UNREADABLE) is is_double
    assert [weight for weight, _ in told(found)] == (["query"] if is_double else ["note"])


def test_benches_that_differ_are_told_and_the_first_counts() -> None:
    """A bench is no mark, but a wrong one spoils the search for faulty apparatus."""
    lines = [("A01", "3", BLOCK, "m", "", "998", "g"), ("A01", "4", BLOCK, "E", "", "20400", "J")]
    (found,) = read_files({"class.csv": csv_text([TIDY, *lines])})
    assert work_of(found, "A01").student.bench == "3"
    assert told(found) == [("note", 'class.csv, A2, A01: bench "4" here, "3" elsewhere; "3" is used.')]


def test_many_unknown_names_are_told_together() -> None:
    """Forty thousand names of no item are one remark, with how many and the first few."""
    lines = [("A01", f"u{number}", "", "1", "g") for number in range(40)]
    found = read_tidy([*lines, ("A01", "m", "", "998", "g")])
    (remark,) = [remark for remark in found.remarks if "not used" in remark.message]
    assert all(words in remark.message for words in ("40 names", '"u0"', "40 lines"))


def test_needed_columns_may_bear_another_usual_heading() -> None:
    """Pupil, quantity and value are what student, item and entry are; where both stand, the other is nobody's."""
    (found,) = read_files({"class.csv": f"pupil,practical,quantity,value,unit\nA01,{BLOCK},m,998,g\n"})
    assert entry_of(found, "A01", "m").value == 998
    (found,) = read_files({"class.csv": f"student,practical,item,entry,value,unit\nA01,{BLOCK},m,998,12,g\n"})
    assert entry_of(found, "A01", "m").value == 998


def test_a_practical_that_is_not_known_is_answered_with_the_nearest() -> None:
    """In whatever case, and with spaces for its strokes."""
    with pytest.raises(InputError, match=f"nearest is {BLOCK}"):
        read_files({"class.csv": "student,practical,item,entry,unit\nA01,Specific Heat Blok,m,998,g\n"})


def test_a_file_without_a_column_for_units_does_not_speak_for_one_that_has_it() -> None:
    """The same text, item and empty unit: in one file the unit was not asked for, in the other it was left out."""
    lines = [(code, BLOCK, item, text) for code in "12" for item, text in (("E", "20400"), ("m", f"99{code}"))]
    headings = ("student", "practical", "item", "entry")
    without = csv_text([headings, *((f"A{code}", *rest) for code, *rest in lines)])
    beside = csv_text([(*headings, "unit"), *((f"B{code}", *rest, "") for code, *rest in lines)])
    for files in ({"1.csv": without, "2.csv": beside}, {"1.csv": beside, "2.csv": without}):
        (found,) = read_files(files)
        boxes = {code: entry_of(found, code, "m").has_unit_box for code in ("A1", "A2", "B1", "B2")}
        assert boxes == {"A1": False, "A2": False, "B1": True, "B2": True}
