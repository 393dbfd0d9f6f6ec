"""A student erased leaves a line that says so, nothing personal, and a chain that checks."""

from __future__ import annotations

from pathlib import Path

import pytest
from sqlalchemy import text

from marking.decided.decisions import CommentWritten, Erased
from marking.record.chain import breaks
from marking.record.erasing import erase_student
from marking.record.exchange import export_lines
from marking.record.opening import open_record
from marking.record.store import Record
from rubrics.faults import InputError
from tests.record.making import WIRE, a_mark, a_step

PERSONAL = ("A03", "Priya was unwell", "A03.xlsx", "twelve volts", "beefbeef")


def filled(record: Record) -> Record:
    """Return *record* with two students' decisions."""
    record.add(
        [
            a_mark(why="Priya was unwell", source="A03.xlsx, Ticks!D7", was="twelve volts", input="beefbeef"),
            a_mark(student="A05", why="fine"),
            a_step(CommentWritten, 1, student="A03", text="Priya was unwell"),
        ]
    )
    return record


def test_nothing_personal_stays_and_the_chain_checks(record: Record) -> None:
    """Lines, people and export hold no word of the student; the others' decisions are untouched."""
    filled(record)
    count = erase_student(record, "A03", class_name=None, event_id="e1", who="Ms Hale", when="2026-05-01", why="asked")
    assert count == 2
    held = record.whole()
    assert breaks(held) == ()
    assert [line.kind for line in held.lines][-1] == Erased.name
    assert [line.particulars is None for line in held.lines] == [True, False, True, False]
    assert [one.student for one in record.decisions(WIRE)] == ["A05"]
    assert not any(word in line for line in export_lines(record) for word in PERSONAL)


def test_nothing_personal_stays_on_the_disk(tmp_path: Path) -> None:
    """Not in the file, not in what lies beside it."""
    record = filled(open_record(str(tmp_path / "class.record"), may_begin=True))
    assert any(b"Priya" in file.read_bytes() for file in tmp_path.iterdir())
    erase_student(record, "A03", class_name=None, event_id="e1", who="Ms Hale", when="2026")
    record.close()
    held = [word for file in tmp_path.iterdir() for word in PERSONAL if word.encode() in file.read_bytes()]
    assert held == []


def test_a_student_who_comes_back_is_somebody_new(record: Record) -> None:
    """The code starts afresh, with another stand-in, and can be erased again."""
    filled(record)
    erase_student(record, "A03", class_name=None, event_id="e1", who="Ms Hale", when="2026")
    record.add([a_mark()])
    people = {line.person for line in record.whole().lines if line.criterion == "V1" and line.kind == "mark-given"}
    assert len(people) == 3
    erase_student(record, "A03", class_name="10A", event_id="e2", who="Ms Hale", when="2026")
    assert breaks(record.whole()) == ()


def test_whom_to_erase_is_asked_where_it_is_not_clear(record: Record) -> None:
    """An unknown code erases nobody, nor does one that stands in two classes."""
    other = type(WIRE)(class_name="10B", practical="wire-resistance")
    filled(record).add([a_mark(set=other)])
    before = record.whole()
    for student, class_name in (("A99", None), ("A03", None), ("A03", "10C")):
        with pytest.raises(InputError):
            erase_student(record, student, class_name=class_name, event_id="e1", who="Ms Hale", when="2026")
    assert record.whole() == before
    erase_student(record, "A03", class_name="10B", event_id="e1", who="Ms Hale", when="2026")
    assert [one.student for one in record.decisions(WIRE)] == ["A03", "A05", "A03"]


def test_only_what_was_erased_may_go(record: Record) -> None:
    """The line that says so is the database's leave to delete; for the others it still refuses."""
    filled(record)
    erase_student(record, "A03", class_name=None, event_id="e1", who="Ms Hale", when="2026")
    with pytest.raises(Exception, match="only added to"), record.engine.begin() as connection:
        connection.execute(text("DELETE FROM particulars"))
    assert [one.student for one in record.decisions(WIRE)] == ["A05"]
