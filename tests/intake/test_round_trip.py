"""What goes into a workbook or a tidy file comes out of the reader unchanged."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from marking.intake.blank.blank_workbook import Entries, Written, write_class_workbook, write_student_workbook
from marking.intake.read_inputs import read_inputs
from marking.write_up import ClassSet, Entry, State, Student
from rubrics.load import load_catalogue
from rubrics.model.practical import Rubric
from tests.intake.class_files import BLOCK, TIDY, WIRE, csv_text, read_files

STUDENTS = (Student(code="A01", name="Jo Fern", bench="1"), Student(code="A02", name="Sam Moss", bench="2"))
Shown = dict[tuple[str, str, int], tuple[str, str, State, float | None, tuple[int, int] | None]]

# Control characters cannot stand in a workbook; x005F_ is how a workbook writes an underscore, and its reader
# takes it out again; seven fields after a line break would be a row of the file itself.
TEXTS = (
    st.text(st.characters(exclude_categories=("Cs", "Cc", "Cn")) | st.sampled_from("\n\t\r"), min_size=1, max_size=30)
    .filter(lambda text: text.strip() != "" and "x005F_" not in text and "_x000D_" not in text)
    .filter(lambda text: text.strip().casefold() not in ("ab", "absent") and text.count(",") < 6)
)
NUMBERS = st.decimals(-1000, 1000, places=2).map(str) | st.integers(0, 99_999).map(str)
UNITS = st.sampled_from(["", "g", "kg", "J", "kJ", "°C", "J/(kg °C)", "Ω", "ohms", "banana"])


def shown(found: ClassSet) -> Shown:
    """Return every entry with something in it, by student, item and row."""

    def one(entry: Entry) -> tuple[str, str, State, float | None, tuple[int, int] | None]:
        return entry.raw, entry.unit_raw, entry.state, entry.value, entry.last_place

    held: Shown = {}
    for work in found.write_ups:
        held |= {(work.student.code, item, 0): one(entry) for item, entry in work.singles.items()}
        for item, column in work.columns.items():
            held |= {(work.student.code, item, row): one(entry) for row, entry in column.items()}
    return {slot: entry for slot, entry in held.items() if entry[0]}


def through_workbook(rubric: Rubric, entries: Entries) -> ClassSet:
    """Return what is read from a class workbook filled in with *entries*."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "set.xlsx"
        write_class_workbook(path, rubric, STUDENTS, entries)
        (found,) = read_inputs([path], load_catalogue())
    return found


def through_student_workbooks(rubric: Rubric, entries: Entries) -> ClassSet:
    """Return what is read from a folder of student workbooks filled in with *entries*."""
    with tempfile.TemporaryDirectory() as folder:
        for student in STUDENTS:
            write_student_workbook(Path(folder) / f"{student.code}.xlsx", rubric, student, entries)
        (found,) = read_inputs([Path(folder)], load_catalogue())
    return found


def through_tidy(rubric: Rubric, entries: Entries) -> ClassSet:
    """Return what is read from a tidy file with *entries*."""
    lines = [(student.code, student.bench, rubric.id, "", "", "", "") for student in STUDENTS]
    for code, items in entries.items():
        for item, written in items.items():
            rows: Mapping[int, Written] = {0: written} if isinstance(written, tuple) else written
            for row, (text, unit) in rows.items():
                lines.append((code, "", rubric.id, item, str(row or ""), text, unit))
    (found,) = read_files({"set.csv": csv_text([TIDY, *lines])})
    return found


@settings(max_examples=40, deadline=None)
@given(text=TEXTS, other=TEXTS)
def test_any_text_comes_back_as_it_was_written(text: str, other: str) -> None:
    """Spaces, formulas, mark-up, other scripts: the raw text of an entry is what stood in the cell."""
    entries: Entries = {"A01": {"m": (text, ""), "c": (other, "")}, "A02": {"E": (other, "")}}
    for found in (through_workbook(load_catalogue()[BLOCK], entries), through_tidy(load_catalogue()[BLOCK], entries)):
        raw = {slot: entry[0] for slot, entry in shown(found).items()}
        assert raw == {("A01", "m", 0): text, ("A01", "c", 0): other, ("A02", "E", 0): other}


@settings(max_examples=25, deadline=None)
@given(
    singles=st.dictionaries(
        st.sampled_from(["m", "T_start", "T_end", "E", "dT", "c"]), st.tuples(NUMBERS, UNITS), min_size=1
    )
)
def test_every_road_in_gives_the_same_entries(singles: dict[str, Written]) -> None:
    """Class workbook, student workbook and tidy file: the same entries, figures and units."""
    rubric = load_catalogue()[BLOCK]
    entries: Entries = {"A02": singles}
    wanted = shown(through_tidy(rubric, entries))
    assert {slot[1]: (entry[0], entry[1]) for slot, entry in wanted.items()} == singles
    assert shown(through_workbook(rubric, entries)) == wanted
    assert shown(through_student_workbooks(rubric, entries)) == wanted


@settings(max_examples=15, deadline=None)
@given(
    columns=st.dictionaries(
        st.sampled_from(["L", "V", "I", "R"]),
        st.dictionaries(st.integers(1, 12), st.tuples(NUMBERS, st.sampled_from(["", "V", "cm", "Ω"])), min_size=1),
        min_size=1,
    )
)
def test_tables_come_back_row_by_row(columns: dict[str, dict[int, Written]]) -> None:
    """Each row of a table keeps its number, whichever rows were filled in."""
    rubric = load_catalogue()[WIRE]
    entries: Entries = {"A01": columns}
    wanted = shown(through_tidy(rubric, entries))
    assert {(item, row): text for (_, item, row), (text, *_) in wanted.items()} == {
        (item, row): text for item, rows in columns.items() for row, (text, _) in rows.items()
    }
    assert shown(through_workbook(rubric, entries)) == wanted
    assert shown(through_student_workbooks(rubric, entries)) == wanted


def test_a_filled_workbook_has_nothing_said_of_it() -> None:
    """A class that filled in our workbook carefully gets no remark, and keeps names, benches and order."""
    singles: dict[str, Written] = {"m": ("998", "g"), "T_start": ("19.5", "°C"), "c": ("997", "J/(kg °C)")}
    found = through_workbook(load_catalogue()[BLOCK], {"A02": singles})
    assert found.remarks == ()
    assert tuple(work.student for work in found.write_ups) == STUDENTS
    assert not found.write_ups[0].is_handed_in


def test_words_come_back_too() -> None:
    """The words of a choice are kept by every road."""
    entries: Entries = {"A01": {"component": ("filament lamp", ""), "shape": ("S-shaped curve", "")}}
    rubric = load_catalogue()["iv-characteristic"]
    for found in (
        through_workbook(rubric, entries),
        through_student_workbooks(rubric, entries),
        through_tidy(rubric, entries),
    ):
        texts = {slot[1]: (entry[0], entry[2]) for slot, entry in shown(found).items()}
        assert texts == {"component": ("filament lamp", State.WORDS), "shape": ("S-shaped curve", State.WORDS)}
