"""The tables of the record, as both databases have them: whole numbers, texts, and time as ISO text."""

from __future__ import annotations

from sqlalchemy import Column, ForeignKey, Integer, MetaData, Table, Text, UniqueConstraint

metadata = MetaData()


def _text(name: str) -> Column[str]:
    return Column(name, Text, nullable=False)


events = Table(
    "events",
    metadata,
    Column("place", Integer, primary_key=True, autoincrement=False),
    Column("id", Text, nullable=False, unique=True),
    *(_text(name) for name in ("kind", "time", "who", "class_name", "practical", "person", "about")),
    *(_text(name) for name in ("criterion", "cell")),
    Column("number", Integer, nullable=False),
    *(_text(name) for name in ("edition", "program", "seal", "before", "hash")),
    # Two writers of one number: the database refuses the second.
    UniqueConstraint("class_name", "practical", "person", "about", "criterion", "cell", "number", name="one_number"),
    sqlite_strict=True,
)

particulars = Table(
    "particulars",
    metadata,
    Column("place", Integer, ForeignKey("events.place"), primary_key=True, autoincrement=False),
    *(_text(name) for name in ("person", "student", "was", "becomes", "why", "source", "input")),
    sqlite_strict=True,
)

persons = Table(
    "persons",
    metadata,
    Column("person", Text, primary_key=True, nullable=False),
    *(_text(name) for name in ("class_name", "student", "salt")),
    UniqueConstraint("class_name", "student", name="one_person"),
    sqlite_strict=True,
)
