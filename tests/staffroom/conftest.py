"""A shared desk on both databases; one with the classes of the sample department for all tests that only look."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from marking.record.opening import open_record
from tests.record.conftest import emptied, shared_address  # noqa: F401 - the cluster of the record's tests
from tests.staffroom.serving import Served, serve


@pytest.fixture(params=["file", "postgresql"])
def bare(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Served]:
    """A shared desk without classes."""
    where = str(tmp_path / "department.record")
    if request.param == "postgresql":
        where = emptied(request.getfixturevalue("shared_address"))
    record = open_record(where, may_begin=True)
    yield serve(record, tmp_path, with_classes=False)
    record.close()


@pytest.fixture(params=["file", "postgresql"])
def shared(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Served]:
    """The sample department on each database."""
    where = str(tmp_path / "department.record")
    if request.param == "postgresql":
        where = emptied(request.getfixturevalue("shared_address"))
    record = open_record(where, may_begin=True)
    yield serve(record, tmp_path).wait()
    record.close()


@pytest.fixture(scope="module")
def looked_at(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """The sample department, for tests that change nothing."""
    folder = tmp_path_factory.mktemp("department")
    record = open_record(str(folder / "department.record"), may_begin=True)
    yield serve(record, folder).wait()
    record.close()


@pytest.fixture
def department(tmp_path: Path) -> Iterator[Served]:
    """The sample department, for one test."""
    record = open_record(str(tmp_path / "department.record"), may_begin=True)
    yield serve(record, tmp_path).wait()
    record.close()
