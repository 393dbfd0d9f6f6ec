"""The desk is killed while somebody decides: every decision that the browser was told of is there."""

from __future__ import annotations

import random
import threading
from pathlib import Path

import httpx2
import pytest

from marking.decided.decisions import MarkGiven
from marking.record.chain import breaks
from marking.record.opening import open_record
from tests.benchmarks.desk_pages import Sat
from tests.checking.rows import CUBOID
from tests.desk.test_desk_sets import class_csv
from tests.record.conftest import emptied, shared_address  # noqa: F401 - the fixture of that name

STUDENTS = 12


def decided_until_killed(desk: Sat, first: int, seconds: float) -> int:
    """Decide mark after mark; kill the desk so many seconds after the *first* so many; return how many it told of."""
    count = 0
    try:
        while True:
            if count == first:
                threading.Timer(seconds, desk.process.kill).start()
            address = f"{desk.start}/decide/V1/{count % STUDENTS}"
            _, page = desk.decide(desk.client.get(address).text)
            # The page that follows is only sent once the record has it.
            count += "Undo" in page
    except (httpx2.HTTPError, StopIteration):
        desk.process.wait(timeout=20)
    return count


def try_kills(record: str, sets: Path, kills: int) -> None:
    """Kill so many desks, one after the other."""
    (sets / "11C").mkdir(parents=True)
    works = {f"S{number:02}": CUBOID for number in range(STUDENTS)}
    (sets / "11C" / "11C.csv").write_bytes(class_csv(works))
    chance, acknowledged = random.Random(11), 0
    for _ in range(kills):
        desk = Sat(record, "--sets", str(sets))
        desk.all_read()
        acknowledged += decided_until_killed(desk, chance.randint(1, 6), chance.uniform(0, 0.2))
        held = open_record(record, may_begin=False)
        assert breaks(held.whole()) == ()
        (name,) = held.sets()
        given = [one for one in held.decisions(name) if isinstance(one, MarkGiven)]
        held.close()
        # At most the one in each desk that was written and not yet told.
        assert acknowledged <= len(given) <= acknowledged + kills
    assert acknowledged >= kills


@pytest.fixture(params=["file", "postgresql"])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Where a record may be begun."""
    if request.param == "file":
        return str(tmp_path / "desk.record")
    return emptied(request.getfixturevalue("shared_address"))


@pytest.mark.campaign
def test_no_acknowledged_decision_is_lost(place: str, tmp_path: Path) -> None:
    """A few kills, on both databases."""
    try_kills(place, tmp_path / "sets", 2)


@pytest.mark.campaign
def test_many_kills(place: str, tmp_path: Path) -> None:
    """More; the record by itself is killed two hundred times in tests/record."""
    try_kills(place, tmp_path / "sets", 25)
