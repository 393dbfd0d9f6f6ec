"""A desk with the sample set on it."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from marking.record.opening import open_record
from marking.record.store import Record
from tests.desk.sitting import Sitting, sit


@pytest.fixture
def record(tmp_path: Path) -> Record:
    """A record in a file, which several threads may use."""
    return open_record(str(tmp_path / "desk.record"), may_begin=True)


@pytest.fixture
def empty(record: Record, tmp_path: Path) -> Sitting:
    """A desk with nothing on it."""
    return sit(record, tmp_path / "sets")


@pytest.fixture
def sample(empty: Sitting) -> Sitting:
    """A desk with the sample set."""
    empty.client.post("/sample", data={"token": empty.desk.secret.token})
    end = time.monotonic() + 30
    while empty.desk.shelf.reading and time.monotonic() < end:
        time.sleep(0.05)
    assert len(empty.desk.shelf.sets()) == 1
    return empty
