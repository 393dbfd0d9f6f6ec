"""Every test of the record runs in memory, in a file, and on PostgreSQL where there is one."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import text

from marking.record.opening import open_record
from marking.record.store import Record
from tests.record.clusters import binaries, cluster, must_run


@pytest.fixture(scope="session")
def shared_address() -> Iterator[str]:
    """The address of a PostgreSQL database; skipped by name where there is no server, except where all must run."""
    folder = binaries()
    if folder is None:
        if must_run():
            pytest.fail("WRITEUPS_CI is set, and there is no PostgreSQL here")
        pytest.skip("no PostgreSQL on this machine")
    with cluster(folder) as address:
        yield address


def emptied(address: str) -> str:
    """Return *address* after everything in its database was dropped."""
    from sqlalchemy import create_engine

    engine = create_engine(address.replace("postgresql://", "postgresql+psycopg://"))
    with engine.begin() as connection:
        connection.execute(text("DROP SCHEMA public CASCADE"))
        connection.execute(text("CREATE SCHEMA public"))
    engine.dispose()
    return address


@pytest.fixture(params=["file", "postgresql"])
def address(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Where an empty record may be begun that outlives its connection."""
    if request.param == "file":
        return str(tmp_path / "class.record")
    return emptied(request.getfixturevalue("shared_address"))


@pytest.fixture(params=["memory", "file", "postgresql"])
def record(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Record]:
    """An empty record."""
    where = {"memory": ":memory:", "file": str(tmp_path / "class.record")}.get(request.param)
    opened = open_record(where or emptied(request.getfixturevalue("shared_address")), may_begin=True)
    yield opened
    opened.close()
