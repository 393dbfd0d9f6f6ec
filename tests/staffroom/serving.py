"""A shared desk without a browser: the sample department, its people, and what they would press."""

from __future__ import annotations

import html
import re
import time
from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path

from argon2 import PasswordHasher
from starlette.applications import Starlette
from starlette.testclient import TestClient

from marking.accounts import Passwords, Role
from marking.moderation.department import read_department
from marking.record.store import Record
from marking.staffroom import House, ServedFolders, served_app
from marking.staffroom.staff import Staffroom
from rubrics.load import load_catalogue

HOST = "desk.test"
ORIGIN = f"http://{HOST}"
RUBRICS = load_catalogue()
DEPARTMENT = Path(__file__).resolve().parents[2] / "samples/department/department.csv"
PASSWORD = "nine kettles hum"
HEAD, TECHNICIAN, OUTSIDER = "Dr Hale", "Sam Reed", "Prof Quill"
TEACHERS = ("Ms Calloway", "Mr Brandt", "Dr Osei", "Mrs Whitlock", "Mr Fenn")
PEOPLE: Mapping[str, Role] = {
    **dict.fromkeys(TEACHERS, Role.TEACHER),
    HEAD: Role.HEAD,
    TECHNICIAN: Role.TECHNICIAN,
    OUTSIDER: Role.SECOND_MARKER,
}
QUICK = Passwords(PasswordHasher(time_cost=1, memory_cost=8, parallelism=1))


class Clock:
    """A clock that stands until it is moved."""

    def __init__(self) -> None:
        """Begin one morning."""
        self.seconds = 1_772_445_600.0

    def now(self) -> str:
        """Return the time as the record writes it."""
        return time.strftime("%Y-%m-%dT%H:%M:%S+00:00", time.gmtime(self.seconds))


@dataclass(slots=True)
class Served:
    """A desk of a department."""

    app: Starlette
    clock: Clock
    record: Record
    clients: dict[str, TestClient] = field(default_factory=dict)

    @property
    def room(self) -> Staffroom:
        """Return what is behind the pages."""
        room: Staffroom = self.app.state.room
        return room

    def visitor(self, **headers: str) -> TestClient:
        """Return a browser in which nobody has signed in."""
        return TestClient(self.app, base_url=ORIGIN, headers={"origin": ORIGIN, **headers}, follow_redirects=False)

    def sign_in(self, name: str, password: str = PASSWORD) -> TestClient:
        """Return a browser in which *name* has signed in."""
        client = self.visitor()
        page = client.get("/sign-in").text
        answer = client.post("/sign-in", data={"token": token_on(page), "name": name, "password": password})
        assert answer.status_code == 303, (name, answer.status_code)
        return client

    def of(self, name: str) -> TestClient:
        """Return the browser of *name*, signed in once."""
        if name not in self.clients:
            self.clients[name] = self.sign_in(name)
        return self.clients[name]

    def wait(self) -> Served:
        """Wait until all classes of the list are read."""
        end = time.monotonic() + 120
        while len(self.room.shelf.sets()) < 9 and time.monotonic() < end:
            time.sleep(0.05)
        assert len(self.room.shelf.sets()) == 9
        return self


def serve(record: Record, folder: Path, *, with_classes: bool = True, house: House | None = None) -> Served:
    """Return the desk of the sample department, with an account for each of its people."""
    clock, ids = Clock(), count(1)
    app = served_app(
        record,
        RUBRICS,
        house=house or House(hosts=frozenset({HOST}), is_secure=False, port=80),
        folders=ServedFolders(
            sets=folder / "sets",
            rounds=folder / "rounds",
            classes=read_department(DEPARTMENT) if with_classes else (),
        ),
        now=clock.now,
        clock=lambda: clock.seconds,
        fresh=lambda: f"id{next(ids)}-{folder.name}",
        program="0.1.0",
        passwords=QUICK,
    )
    served = Served(app, clock, record)
    for name, role in PEOPLE.items():
        if name not in {one.name for one in served.room.book.all()}:
            served.room.book.add(name, role, PASSWORD)
    return served


def token_on(page: str) -> str:
    """Return the token of the forms on a page."""
    found = re.search(r'name="token" value="([^"]+)"', page)
    assert found is not None
    return found[1]


def press(client: TestClient, page: str, deed: str, *, at: str = "", **more: str):  # type: ignore[no-untyped-def]  # noqa: ANN201
    """Press the button whose value is *deed* on *page* (or the one of the form to *at*); return the answer."""
    for action, body in re.findall(r'<form[^>]*action="([^"]+)"[^>]*>(.*?)</form>', page, re.S):
        if (deed and f'value="{deed}"' not in body) or (at and html.unescape(action) != at) or action == "/sign-out":
            continue
        fields = {
            name: html.unescape(value)
            for name, value in re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', body)
        }
        return client.post(html.unescape(action), data={**fields, **({"deed": deed} if deed else {}), **more})
    raise AssertionError(f"no button {deed}")
