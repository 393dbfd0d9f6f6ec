"""The tables of accounts. They stand beside the record and are no part of it: what is in them changes and goes."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import Column, Connection, Engine, Float, Integer, MetaData, Table, Text, text

metadata = MetaData()
_LOCK = 0x77726974
"""Number of the lock that writers of these tables take in turn on PostgreSQL; any that nothing else uses."""


def _text(name: str) -> Column[str]:
    return Column(name, Text, nullable=False)


accounts = Table(
    "accounts",
    metadata,
    Column("id", Text, primary_key=True, nullable=False),
    _text("name"),
    Column("name_key", Text, nullable=False, unique=True),
    _text("role"),
    _text("password"),
    # A phrase ends; an own password has an empty text here.
    _text("phrase_ends"),
    Column("is_open", Integer, nullable=False),
    _text("made"),
    sqlite_strict=True,
)

sessions = Table(
    "sessions",
    metadata,
    Column("hash", Text, primary_key=True, nullable=False),
    _text("account"),
    _text("began"),
    _text("seen"),
    sqlite_strict=True,
)

tries = Table(
    "tries",
    metadata,
    Column("key", Text, primary_key=True, nullable=False),
    Column("count", Integer, nullable=False),
    Column("last", Float, nullable=False),
    Column("free_at", Float, nullable=False),
)


def make_tables(engine: Engine) -> None:
    """Make the tables where they are not there yet."""
    with changing(engine) as connection:
        metadata.create_all(connection, checkfirst=True)


@contextmanager
def changing(engine: Engine) -> Iterator[Connection]:
    """Give a connection in a transaction of the only one who changes these tables."""
    with engine.connect() as plain:
        connection = plain.execution_options(writes=True)
        with connection.begin():
            if connection.dialect.name == "postgresql":
                connection.execute(text("SELECT pg_advisory_xact_lock(:lock)"), {"lock": _LOCK})
            yield connection
