"""Whoever changes, takes out or moves a line is refused by the database, or shown by the check."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from marking.decided.decisions import Closed, CommentWritten
from marking.record.chain import Break, breaks
from marking.record.erasing import erase_student
from marking.record.events import as_event
from marking.record.opening import open_record
from marking.record.store import Record, Whole
from tests.record.making import a_mark, a_step

CHANGES = (
    "UPDATE events SET who = 'Mr Reed' WHERE place = 2",
    "UPDATE particulars SET becomes = '{\"marks\": 0}' WHERE place = 2",
    "UPDATE persons SET student = 'A04'",
    "DELETE FROM events WHERE place = 2",
    "DELETE FROM particulars WHERE place = 2",
    "DELETE FROM persons",
)


def filled(record: Record) -> Record:
    """Return *record* with four lines."""
    marks = [a_mark(), a_mark(2, marks=0), a_mark(student="A05")]
    record.add([*marks, a_step(Closed, 1)])
    return record


@pytest.mark.parametrize("change", CHANGES)
def test_the_database_refuses_a_change(record: Record, change: str) -> None:
    """No line, nor what belongs to it, is changed or taken out, by whatever program."""
    filled(record)
    before = record.whole()
    with pytest.raises(DBAPIError), record.engine.begin() as connection:
        connection.execute(text(change))
    assert record.whole() == before


@pytest.mark.parametrize("table", ["events", "particulars", "persons"])
def test_no_line_is_put_over_another(record: Record, table: str) -> None:
    """INSERT OR REPLACE on SQLite, TRUNCATE on PostgreSQL."""
    filled(record)
    before = record.whole()
    over = (
        f"INSERT OR REPLACE INTO {table} SELECT * FROM {table}"
        if record.engine.dialect.name == "sqlite"
        else f"TRUNCATE {table} CASCADE"
    )
    with pytest.raises(DBAPIError), record.engine.begin() as connection:
        connection.execute(text(over))
    assert record.whole() == before


TAMPERED = {
    "UPDATE events SET who = 'Mr Reed' WHERE place = 2": Break(place=2, what="changed"),
    "UPDATE events SET time = '2020' WHERE place = 4": Break(place=4, what="changed"),
    "UPDATE particulars SET becomes = '{\"marks\": 1}' WHERE place = 2": Break(place=2, what="particulars-changed"),
    "UPDATE particulars SET why = '' WHERE place = 2": Break(place=2, what="particulars-changed"),
    "UPDATE particulars SET person = '' WHERE place = 2": Break(place=2, what="particulars-changed"),
    "DELETE FROM particulars WHERE place = 2": Break(place=2, what="particulars-missing"),
    "DELETE FROM events WHERE place = 2": Break(place=2, what="missing"),
    "DELETE FROM events WHERE place = 4": Break(place=4, what="missing"),
    "UPDATE events SET place = 9 WHERE place = 4": Break(place=4, what="missing"),
    "UPDATE events SET before = '00' WHERE place = 3": Break(place=3, what="order"),
    "UPDATE persons SET salt = 'x'": Break(place=1, what="particulars-changed"),
}


@pytest.mark.parametrize("change", TAMPERED)
def test_the_check_shows_a_change_made_past_the_database(record: Record, change: str) -> None:
    """With the triggers out of the way, each change shows at its line."""
    filled(record)
    with record.engine.begin() as connection:
        loosen(connection)
        connection.execute(text(change))
    assert TAMPERED[change] in breaks(record.whole())


def loosen(connection: object) -> None:
    """Take the triggers and the keys between tables away, as somebody with the whole database could."""
    name = connection.dialect.name  # type: ignore[attr-defined]
    run = connection.exec_driver_sql  # type: ignore[attr-defined]
    if name == "sqlite":
        for (trigger,) in run("SELECT name FROM sqlite_master WHERE type = 'trigger'").all():
            run(f"DROP TRIGGER {trigger}")
        run("COMMIT")
        run("PRAGMA foreign_keys=OFF")
        run("BEGIN")
    else:
        run("SET session_replication_role = replica")


def test_two_lines_changed_over_show(record: Record) -> None:
    """Lines that were moved do not follow from one another."""
    held = filled(record).whole()
    moved = (held.lines[0], held.lines[2], held.lines[1], held.lines[3])
    assert breaks(Whole(lines=moved, owners=held.owners, persons=held.persons)) != ()


def test_lines_taken_off_the_end_show_against_a_print(record: Record) -> None:
    """Even where line and particulars are both gone, an earlier check's end tells."""
    held = filled(record).whole()
    end = record.end()
    assert breaks(held, end=end) == ()
    short = Whole(lines=held.lines[:-1], owners={p: o for p, o in held.owners.items() if p < 4}, persons=held.persons)
    assert breaks(short) == ()
    assert breaks(short, end=end) == (Break(place=4, what="missing"),)


def test_an_end_rewritten_from_the_middle_shows_against_a_print(record: Record) -> None:
    """Who rewrites all lines from one on makes a chain that holds, but not that end."""
    held = filled(record).whole()
    end = record.end()
    salt = {one.student: (one.person, one.salt) for one in held.persons}["A05"]
    other = as_event(a_mark(student="A05", marks=0), 3, *salt, held.lines[1].hash)
    last = as_event(a_step(Closed, 1), 4, "", "", other.hash)
    forged = Whole(lines=(*held.lines[:2], other, last), owners=held.owners, persons=held.persons)
    assert breaks(forged) == ()
    assert breaks(forged, end=end) == (Break(place=4, what="changed"),)


@settings(deadline=None, max_examples=60)
@given(st.data())
def test_any_change_of_any_field_shows(data: st.DataObject) -> None:
    """Whatever field of whatever line is changed to whatever else."""
    from msgspec import structs

    record = filled(open_record(":memory:", may_begin=True))
    held = record.whole()
    place = data.draw(st.integers(0, len(held.lines) - 1))
    line = held.lines[place]
    assert line.particulars is not None
    name = data.draw(st.sampled_from(line.__struct_fields__))
    if name == "particulars":
        inner = data.draw(st.sampled_from(line.particulars.__struct_fields__))
        new = data.draw(st.text(max_size=20).filter(lambda said: said != getattr(line.particulars, inner)))
        changed = structs.replace(line, particulars=structs.replace(line.particulars, **{inner: new}))
    else:
        old = getattr(line, name)
        kind = st.integers(0, 9) if isinstance(old, int) else st.text(max_size=20)
        changed = structs.replace(line, **{name: data.draw(kind.filter(lambda said: said != old))})
    lines = (*held.lines[:place], changed, *held.lines[place + 1 :])
    assert breaks(Whole(lines=lines, owners=held.owners, persons=held.persons)) != ()


def test_erased_data_that_is_put_back_shows(record: Record) -> None:
    """A line about an erased student has nothing beside it any more."""
    record.add([a_mark(), a_step(CommentWritten, 1, student="A03", text="Good.")])
    before = record.whole()
    erase_student(record, "A03", class_name=None, event_id="e1", who="Ms Hale", when="2026")
    after = record.whole()
    back = Whole(
        lines=(*before.lines, after.lines[-1]), owners={**before.owners, **after.owners}, persons=before.persons
    )
    assert {one.what for one in breaks(back)} == {"particulars-left"}
