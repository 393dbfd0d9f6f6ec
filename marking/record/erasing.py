"""A student's data erased on request: what was personal goes, a line that says so comes, and the chain still checks."""

from __future__ import annotations

import sqlite3

from sqlalchemy import delete, func, select
from sqlalchemy.engine import Connection

from marking.decided import (
    Erased,
    SetName,
)
from marking.record.record_tables import particulars, persons
from marking.record.store import Record, append
from rubrics.faults import InputError


def erase_student(
    record: Record, student: str, *, class_name: str | None, event_id: str, who: str, when: str, why: str = ""
) -> int:
    """Erase everything personal about *student* and return how many decisions it stood in.

    Marks, words, reasons and places that were about the student go, with the salt of the seals over them; the lines
    keep who decided when, and for a stand-in that nothing leads back from. Backups are not ours to reach.

    Args:
        record: The record.
        student: Code of the student.
        class_name: The class; None where the code stands in one class only.
        event_id: Id of the decision to erase.
        who: Who erases.
        when: UTC, ISO 8601.
        why: A reason that names nobody; it stays.

    Raises:
        InputError: The record holds nothing about that student, or the code stands in several classes.
    """
    with record.writing() as connection:
        person, group = _found(connection, record.name, student, class_name)
        number = connection.execute(
            select(func.count()).select_from(particulars).where(particulars.c.person == person)
        ).scalar_one()
        decision = Erased(
            id=event_id, who=who, when=when, why=why, set=SetName(class_name=group, practical=""), number=1
        )
        append(connection, decision, person=person, owner="", salt="")
        connection.execute(delete(particulars).where(particulars.c.person == person))
        connection.execute(delete(persons).where(persons.c.person == person))
    _overwrite(record)
    return int(number)


def _found(connection: Connection, name: str, student: str, class_name: str | None) -> tuple[str, str]:
    query = select(persons.c.person, persons.c.class_name).where(persons.c.student == student)
    rows = connection.execute(query.order_by(persons.c.class_name)).all()
    chosen = [row for row in rows if class_name in (None, row.class_name)]
    if not chosen:
        raise InputError(name, f"there is nothing about a student {student}", "look at the code, and at the class")
    if len(chosen) > 1:
        classes = ", ".join(row.class_name for row in chosen)
        raise InputError(name, f"{student} stands in {classes}", "say which after --class")
    return str(chosen[0].person), str(chosen[0].class_name)


def _overwrite(record: Record) -> None:
    """Take what was deleted off the disk, too: out of the log, and out of pages no longer used."""
    if record.engine.dialect.name == "sqlite":
        try:
            with record.engine.connect() as connection:
                driver = connection.connection.cursor()
                driver.execute("PRAGMA wal_checkpoint(TRUNCATE)")
                driver.execute("VACUUM")
                driver.execute("PRAGMA wal_checkpoint(TRUNCATE)")
                driver.close()
        except sqlite3.OperationalError as error:
            said = f"erased, but the room that it took on the disk could not be overwritten ({error})"
            raise InputError(
                record.name, said, "make room, and run writeups record check, which lets it be overwritten"
            ) from error
        return
    with record.engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        connection.exec_driver_sql("VACUUM (FULL) particulars")
        connection.exec_driver_sql("VACUUM (FULL) persons")
