"""From what follows ``--record`` to an open database: one file (SQLite) or ``postgresql://...``.

SQLite writes ahead and waits for the disk at every commit, so that what was acknowledged survives a cut of power.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from sqlalchemy import Connection, Engine, create_engine, event, inspect
from sqlalchemy.engine import make_url
from sqlalchemy.exc import ArgumentError, DatabaseError
from sqlalchemy.pool import NullPool, StaticPool

from marking.record.store import Record
from rubrics.faults import InputError

APPLICATION = 0x77726974
"""Stands in the head of our SQLite files ('writ'), so that another program's database is never taken for a record."""
NEWEST = "0001"
"""The last step in ``migrations/versions``."""
_HEAD = b"SQLite format 3\x00"
_ROOM = "see that there is room on the disk and that you may write there, or name another file after --record"
_WAIT = 20_000
"""Milliseconds that a writer waits for another."""


def open_record(where: str, *, may_begin: bool) -> Record:
    """Open the record at *where*: a file, ``postgresql://...``, or ``:memory:`` for one that is never kept.

    Args:
        where: As after ``--record``.
        may_begin: Whether a new record is begun where there is none; else a wrong path is told.

    Raises:
        InputError: There is no record there, it is something else, or it cannot be opened.
    """
    shared = "://" in where
    is_new = not shared and where != ":memory:" and not Path(where).exists()
    engine = _shared_engine(where) if shared else _file_engine(where, may_begin=may_begin)
    name = engine.url.render_as_string(hide_password=True) if shared else Path(where).name
    try:
        with engine.connect() as connection:
            begun = _bring_up_to_date(connection, may_begin=may_begin, name=name)
    except DatabaseError as error:
        if is_new:
            _take_away(Path(where))
        raise InputError(name, f"the record cannot be opened ({_first_line(error)})", _mend(shared=shared)) from error
    return Record(engine, name=name, was_begun=begun)


def _take_away(path: Path) -> None:
    # A record that could not be begun would be refused from now on, for it is empty.
    for file in (path, path.with_name(f"{path.name}-wal"), path.with_name(f"{path.name}-shm")):
        if file.is_file() and not file.stat().st_size:
            file.unlink()


def _mend(*, shared: bool) -> str:
    return "see that the database runs and that you may use it" if shared else _ROOM


def _first_line(error: DatabaseError) -> str:
    return str(error.orig).strip().splitlines()[0] if error.orig else type(error).__name__


def _file_engine(where: str, *, may_begin: bool) -> Engine:
    if where == ":memory:":
        engine = create_engine("sqlite://", poolclass=StaticPool, connect_args={"check_same_thread": False})
        _set_up(engine)
        return engine
    path = Path(where)
    if path.exists():
        _refuse_other_files(path)
    elif not may_begin:
        raise InputError(str(path), "there is no record here", "look at the path after --record")
    elif not path.parent.is_dir():
        raise InputError(str(path), "the folder is not there", "make the folder, or name another after --record")
    # A connection each time: none is shared between threads, and closing the last one leaves a single whole file.
    engine = create_engine(f"sqlite:///{path.resolve()}", poolclass=NullPool)
    _set_up(engine)
    return engine


def _refuse_other_files(path: Path) -> None:
    if not path.is_file():
        raise InputError(path.name, "this is no file", "name the file of a record after --record")
    with path.open("rb") as file:
        head = file.read(len(_HEAD))
    if not head:
        raise InputError(path.name, "this file is empty", "fetch the record from a copy, or begin a new one elsewhere")
    if head != _HEAD or not _is_ours(path):
        raise InputError(path.name, "this is no record of decisions", "name another file after --record")


def _is_ours(path: Path) -> bool:
    """Tell whether a database is a record, or one that was cut off before its first table; it is only looked at.

    Raises:
        InputError: It cannot be looked at, for want of room or of leave.
    """
    with closing(sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True)) as connection:
        try:
            (application,) = connection.execute("PRAGMA application_id").fetchone()
            (tables,) = connection.execute("SELECT COUNT(*) FROM sqlite_master").fetchone()
        except sqlite3.OperationalError as error:
            raise InputError(path.name, f"the record cannot be opened ({error}); nothing was written", _ROOM) from error
        except sqlite3.DatabaseError:
            return False
    return bool(application == APPLICATION) or (application == 0 and tables == 0)


def _set_up(engine: Engine) -> None:
    @event.listens_for(engine, "connect")
    def on_connect(connection: sqlite3.Connection, _record: object) -> None:
        connection.isolation_level = None  # transactions are ours to begin, see below
        cursor = connection.cursor()
        for pragma in (
            f"busy_timeout={_WAIT}",
            "journal_mode=WAL",
            "synchronous=FULL",
            "foreign_keys=ON",
            "secure_delete=ON",  # what is erased is overwritten
            "recursive_triggers=ON",
        ):
            cursor.execute(f"PRAGMA {pragma}")
        cursor.close()

    @event.listens_for(engine, "begin")
    def on_begin(connection: Connection) -> None:
        # A transaction that reads first and then writes would be refused at once while another writes.
        writes = connection.get_execution_options().get("writes", False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _shared_engine(where: str) -> Engine:
    try:
        url = make_url(where)
    except ArgumentError as error:
        raise InputError("--record", "this address cannot be read", "write postgresql://HOST/NAME") from error
    if url.get_backend_name() != "postgresql":
        raise InputError(
            "--record", f"{url.get_backend_name()} is no place for a record", "name a file or postgresql://"
        )
    try:
        return create_engine(url.set(drivername="postgresql+psycopg"), pool_pre_ping=True)
    except ModuleNotFoundError as error:
        mend = "install it: pip install 'writeups[server]'"
        raise InputError("--record", "the part for shared records is not installed", mend) from error


def _bring_up_to_date(connection: Connection, *, may_begin: bool, name: str) -> bool:
    """Run the steps that the database has not had; tell whether the record was begun just now."""
    stands = _stands_at(connection)
    connection.rollback()
    if stands == NEWEST:
        return False
    if stands is None and not may_begin:
        raise InputError(name, "there is no record here", "look at the address after --record")
    if stands is not None and stands > NEWEST:
        raise InputError(name, "the record was kept by a newer program", "bring this program up to date")
    _run_steps(connection)
    return stands is None


def _stands_at(connection: Connection) -> str | None:
    if not inspect(connection).has_table("alembic_version"):
        return None
    found = connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalar()
    return None if found is None else str(found)


def _run_steps(connection: Connection) -> None:
    # Loaded only where there is a step to take, which is once in the life of a record.
    from alembic import command
    from alembic.config import Config

    config = Config()
    here = Path(__file__).parent / "migrations"
    config.set_main_option("script_location", str(here).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = connection.execution_options(writes=True)
    with connection.begin():
        command.upgrade(config, "head")
        if connection.dialect.name == "sqlite":
            connection.exec_driver_sql(f"PRAGMA application_id={APPLICATION}")
