"""Entries that are made when they are asked for are those of a dict of the same entries."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from marking.cells import (
    NOWHERE,
    AsRead,
    Column,
    Entry,
    Place,
    ReadCell,
    State,
    in_rows,
    unplaced,
    unplaced_at,
    unplaced_in_rows,
)
from marking.write_up import Student, WriteUp

COLUMN = Column("set.csv", "", "F")


def cell(raw: str) -> ReadCell:
    """Return a cell of which there is nothing to say."""
    state = State.NUMBER if raw else State.BLANK
    entry = Entry(raw=raw, unit_raw="V", state=state, place=NOWHERE, value=float(raw) if raw else None)
    return ReadCell(entry=entry, is_plain=True, is_noted=False, lacks_unit=False, has_unit=True, is_simple=True)


@settings(deadline=None)
@given(rows=st.dictionaries(st.integers(1, 30), st.sampled_from(("1.5", "2", "")), max_size=8))
def test_it_is_the_dict_of_its_entries(rows: dict[int, str]) -> None:
    """The same keys, the same entries, each with its own place, however they are asked for."""
    known = {raw: cell(raw) for raw in ("1.5", "2", "")}
    kept = AsRead({row: (known[rows[row]], 10 + row) for row in sorted(rows)}, COLUMN)
    places = {row: Place(file="set.csv", sheet="", cell=f"F{10 + row}") for row in rows}
    made = {row: known[rows[row]].entry.at(places[row]) for row in sorted(rows)}
    assert all(entry is known[rows[row]].entry for row, entry in zip(kept, unplaced(kept), strict=True))
    assert (kept == made, len(kept), list(kept), repr(kept)) == (True, len(made), list(made), repr(made))
    assert in_rows(kept) == in_rows(made) == sorted(made.items())
    assert [kept.get(row) for row in range(32)] == [made.get(row) for row in range(32)]
    assert all(kept[row] is kept[row] for row in rows)
    assert [unplaced_at(kept, row) is None for row in range(32)] == [row not in rows for row in range(32)]
    assert [entry.at(places[row]) for row, entry in unplaced_in_rows(kept)] == [entry for _, entry in in_rows(made)]
    assert unplaced_in_rows(made) == in_rows(made)


def test_something_is_handed_in_where_one_cell_is_no_blank() -> None:
    """In a column or a single box, whether its entries have been made or not."""
    empty, written = ((cell(raw), 2) for raw in ("", "1.5"))
    who = Student(code="S1")
    for single, below, is_so in ((empty, empty, False), (written, empty, True), (empty, written, True)):
        columns = {"V": AsRead({1: empty, 2: below}, COLUMN)}
        work = WriteUp(student=who, practical="p", singles=AsRead({"m": single}, COLUMN), columns=columns)
        assert work.is_handed_in is is_so
        plain = {name: dict(rows) for name, rows in columns.items()}
        assert WriteUp(student=who, practical="p", singles=dict(work.singles), columns=plain) == work
