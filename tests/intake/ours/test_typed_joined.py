"""Which of several ticks for one mark counts."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.intake.ours.known_outputs import TABLES, is_our_table
from marking.intake.ours.typed_joined import last_typed
from marking.write_up import Entry, Place, State, Tick
from reports.tables.findings_csv import CHANGE_COLUMNS, FINDING_COLUMNS, NOTE_COLUMNS

MARKS = st.integers(min_value=0, max_value=3)


def a_tick(marks: int) -> Tick:
    """Return a tick that gives *marks*."""
    place = Place(file="marks.xlsx", sheet="Ticks", cell="I2")
    return Tick(marks=marks, entry=Entry(raw=str(marks), unit_raw="", state=State.WORDS, place=place))


@pytest.mark.parametrize(
    ("ticks", "before", "counts"),
    [
        ([1], None, 1),
        ([1], 1, 1),
        ([0], 1, 0),
        ([1, 0], 1, 0),
        ([0, 1], 1, 0),
        ([1, 1], None, 1),
        ([1, 0], None, None),
        ([2, 0], 1, None),
        ([2, 1, 2], 1, 2),
    ],
)
def test_the_tick_that_differs_from_what_was_written_counts(
    ticks: list[int], before: int | None, counts: int | None
) -> None:
    """What is as we wrote it is older; of two new ones that differ neither counts."""
    found = last_typed([a_tick(marks) for marks in ticks], before)
    assert (found.marks if found is not None else None) == counts


@settings(deadline=None)
@given(st.lists(MARKS, min_size=1, max_size=5), st.none() | MARKS, st.randoms())
def test_the_order_of_sheets_and_files_decides_nothing(ticks: list[int], before: int | None, chance: object) -> None:
    """The same ticks in any order come to the same."""
    first = last_typed([a_tick(marks) for marks in ticks], before)
    chance.shuffle(ticks)  # type: ignore[attr-defined]
    second = last_typed([a_tick(marks) for marks in ticks], before)
    assert (first and first.marks) == (second and second.marks)


@pytest.mark.parametrize("columns", [FINDING_COLUMNS, NOTE_COLUMNS, CHANGE_COLUMNS])
@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_our_tables_are_known_by_their_heads(columns: tuple[str, ...], separator: str) -> None:
    """Whatever a spreadsheet program has made of the separator, and with its mark of UTF-8 in front."""
    text = separator.join(columns) + "\r\nS1"
    assert is_our_table(text.encode("utf-8-sig"))
    assert is_our_table(text.encode())
    assert any(columns[: len(table)] == table for table in TABLES)


@pytest.mark.parametrize(
    "head", ["student,practical,item,row,entry,unit", "student,bench,practical", "", "kind,practical"]
)
def test_students_work_is_not_taken_for_ours(head: str) -> None:
    """Tidy input has some of the same words."""
    assert not is_our_table(f"{head}\nS1,1".encode())
