"""A full disk under the desk: one clear line on the page, nothing half kept, and the desk goes on."""

from __future__ import annotations

import resource
import time
from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from tests.checking.rows import CUBOID
from tests.desk.sitting import Sitting
from tests.desk.test_desk_sets import CSV, class_csv

ROOM = 100
"""Bytes that a file may grow to meanwhile."""


@contextmanager
def no_room(room: int = ROOM) -> Iterator[None]:
    """Let no file grow beyond so many bytes, as on a disk that is full."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (room, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)


def settle(sitting: Sitting) -> None:
    """Wait until all is read."""
    while sitting.desk.shelf.reading:
        time.sleep(0.02)


@pytest.mark.parametrize("codes", [3, 40_000], ids=["small", "spooled"])
def test_an_upload_that_finds_no_room_leaves_nothing(empty: Sitting, codes: int) -> None:
    """The page says so in a line; once there is room the same file is taken."""
    data = class_csv({"A03": CUBOID}) + b"".join(b"A%d,,density-cuboid,,,,\n" % number for number in range(codes))
    sent = [("files", ("11C.csv", data, CSV))]
    with no_room():
        answer = empty.client.post("/", data={"token": empty.desk.secret.token}, files=sent)
    assert answer.status_code == 507
    assert "the disk is full" in answer.text
    assert "Traceback" not in answer.text
    folder = empty.desk.shelf.folder
    assert not folder.exists() or not list(folder.iterdir())
    if codes == 3:
        assert empty.client.post("/", data={"token": empty.desk.secret.token}, files=sent).status_code == 200
        settle(empty)
        assert str(empty.held().name) == "11C, density-cuboid"


def test_a_decision_that_finds_no_room_is_told_and_can_be_made_again(sample: Sitting) -> None:
    """What was decided before stays; what was not written is not shown as decided."""
    settle(sample)
    address = f"/set/{sample.held().sid}/decide"
    page = sample.get(address)
    before = len(sample.desk.shelf.record.whole().lines)
    with no_room():
        status, _, told = sample.press(page, "give:1")
    assert status in (409, 507)
    assert "room on the disk" in told
    assert "nothing was written" in told
    assert len(sample.desk.shelf.record.whole().lines) == before
    status, _, _ = sample.press(sample.get(address), "give:1")
    assert status == 200
    assert len(sample.desk.shelf.record.whole().lines) == before + 1


def test_a_paper_that_finds_no_room_is_told(sample: Sitting) -> None:
    """The sheets of a class are larger than the record, which has room here; then they are given."""
    settle(sample)
    address = f"/set/{sample.held().sid}/paper/sheets.pdf"
    with no_room():
        nothing = sample.client.get(address)
    assert nothing.status_code in (409, 507)
    assert "room on the disk" in nothing.text
    size = len(sample.client.get(address).content)
    with no_room(size - 1):
        answer = sample.client.get(address)
    assert answer.status_code == 507
    assert "the disk is full" in answer.text
    assert sample.client.get(address).status_code == 200
