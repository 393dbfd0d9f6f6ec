"""A desk without a browser: what a teacher would press, in a line each."""

from __future__ import annotations

import html
import re
from collections.abc import Callable
from dataclasses import dataclass
from itertools import count
from pathlib import Path

from starlette.testclient import TestClient

from marking.desk import desk_app
from marking.desk.frame import Desk
from marking.desk.shelf.held_set import HeldSet
from marking.record.store import Record
from rubrics.load import load_catalogue

HOST = "desk.test"
SECRET = "open sesame"
RUBRICS = load_catalogue()


def numbers(prefix: str) -> Callable[[], str]:
    """Return what makes ids, one after the other."""
    counted = count(1)
    return lambda: f"{prefix}{next(counted)}"


@dataclass(slots=True)
class Sitting:
    """A teacher at a desk."""

    client: TestClient
    desk: Desk

    def get(self, address: str) -> str:
        """Return the page at *address*, which has to be there."""
        answer = self.client.get(address)
        assert answer.status_code == 200, (address, answer.status_code)
        return answer.text

    def held(self) -> HeldSet:
        """Return the one set."""
        (held,) = self.desk.shelf.sets()
        return held

    def press(self, page: str, deed: str, **more: str) -> tuple[int, str, str]:
        """Press the button *deed* of the form on *page* that has it; return status, address and page that follow."""
        for action, body in re.findall(r'<form[^>]*action="([^"]+)"[^>]*>(.*?)</form>', page, re.S):
            if deed and f'value="{deed}"' not in body:
                continue
            fields: dict[str, list[str]] = {}
            for name, value in re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', body):
                fields.setdefault(name, []).append(html.unescape(value))
            answer = self.client.post(
                html.unescape(action), data={**fields, **({"deed": deed} if deed else {}), **more}
            )
            return answer.status_code, str(answer.url), answer.text
        raise AssertionError(f"no button {deed}")


def sit(record: Record, folder: Path, *, who: str = "Ms Hale", prefix: str = "i") -> Sitting:
    """Return a teacher who has come in."""
    app = desk_app(
        record,
        RUBRICS,
        SECRET,
        hosts=frozenset({HOST}),
        folder=folder,
        now=lambda: "2026-03-02T10:00:00+00:00",
        fresh=numbers(prefix),
        program="0.1.0",
        who=who,
    )
    client = TestClient(app, base_url=f"http://{HOST}", headers={"origin": f"http://{HOST}"})
    assert client.get("/", params={"key": SECRET}).status_code == 200
    return Sitting(client, app.state.desk)
