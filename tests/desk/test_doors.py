"""Who gets in: the key once, then the cookie; our own pages only; nothing too large; nothing from outside."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from marking.desk import doors
from marking.record.store import Record
from tests.desk.sitting import HOST, SECRET, Sitting, sit

OWN = {"origin": f"http://{HOST}"}


def stranger(sitting: Sitting, **headers: str) -> TestClient:
    """Return a client without the cookie."""
    return TestClient(sitting.client.app, base_url=f"http://{HOST}", headers=headers)


@pytest.mark.parametrize("path", ["/", "/set/x/decide", "/static/desk.css", "/fonts/DejaVuSans.ttf", "/nowhere"])
def test_without_the_key_nothing_opens(empty: Sitting, path: str) -> None:
    """Not a page, not a style."""
    assert stranger(empty).get(path).status_code == 403
    assert stranger(empty, cookie="desk-desk.test=").get(path).status_code == 403
    assert stranger(empty, cookie=f"desk-desk.test={SECRET}").get(path).status_code == 403


@pytest.mark.parametrize("key", ["", "x", SECRET + "x", SECRET[:-1], "ä"])
def test_a_wrong_key_is_refused(empty: Sitting, key: str) -> None:
    """And sets no cookie."""
    answer = stranger(empty).get("/", params={"key": key})
    assert answer.status_code == 403
    assert "set-cookie" not in answer.headers


def test_the_key_leaves_the_address_and_the_cookie_is_kept_close(empty: Sitting) -> None:
    """No script reads it, no other site sends it, and it is not the key."""
    answer = stranger(empty).get("/", params={"key": SECRET}, follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, "/")
    cookie = answer.headers["set-cookie"]
    assert "HttpOnly" in cookie
    assert "samesite=strict" in cookie.lower()
    assert SECRET not in cookie
    assert SECRET not in empty.get("/")


@pytest.mark.parametrize(
    "host", ["evil.test", "desk.test.evil.test", "127.0.0.1", "desk.test:80", "", "DESK.TEST@evil"]
)
def test_another_host_is_refused(empty: Sitting, host: str) -> None:
    """A name of somebody else's that points at this machine reads nothing, cookie or not."""
    answer = empty.client.get("/", headers={"host": host})
    assert answer.status_code in (400, 421)
    assert "token" not in answer.text


@pytest.mark.parametrize(
    "origin", ["http://evil.test", "null", "", "https://desk.test", "http://desk.test.evil", "http://desk.test:81"]
)
def test_a_form_of_another_origin_is_refused(empty: Sitting, origin: str) -> None:
    """Even with cookie and token."""
    data = {"token": empty.desk.secret.token, "who": "Mallory"}
    assert empty.client.post("/who", data=data, headers={"origin": origin}).status_code == 403
    assert empty.desk.who == "Ms Hale"


def test_a_form_that_says_it_crosses_sites_is_refused(empty: Sitting) -> None:
    """Where the browser says so itself."""
    data = {"token": empty.desk.secret.token, "who": "Mallory"}
    headers = {"sec-fetch-site": "cross-site"}
    assert empty.client.post("/who", data=data, headers=headers).status_code == 403


@pytest.mark.parametrize("token", ["", "x", None])
def test_a_form_without_our_token_is_refused(empty: Sitting, token: str | None) -> None:
    """Whichever form."""
    data = {"who": "Mallory", "deed": "close"} | ({"token": token} if token is not None else {})
    for path in ("/who", "/", "/sample", "/set/x/close", "/set/x/cells", "/set/x/student/0", "/set/x/decide/V1/0"):
        assert empty.client.post(path, data=data).status_code == 403
    assert empty.desk.who == "Ms Hale"


def test_every_answer_carries_the_policy(sample: Sitting) -> None:
    """Pages, styles, papers and refusals; nothing in a page needs more than it allows."""
    sid = sample.held().sid
    pages = ["/", f"/set/{sid}/class", f"/set/{sid}/paper/mark-book.csv", "/static/desk.js", "/nowhere", "/set/x/class"]
    for path in pages:
        headers = sample.client.get(path).headers
        assert {name: headers[name] for name in doors.HEADERS} == doors.HEADERS, path
    assert "unsafe" not in doors.HEADERS["Content-Security-Policy"]


def test_no_page_brings_in_anything_from_outside(sample: Sitting) -> None:
    """No address of another machine, no script or style in the page itself."""
    here = Path(doors.__file__).parent
    for file in [*here.glob("templates/*"), *here.glob("static/*")]:
        text = file.read_text(encoding="utf-8").replace("http://www.w3.org/2000/svg", "")
        assert not re.search(r"https?:|//[a-z]|\sstyle=|\son\w+=|<style|javascript:", text), file.name
    assert re.findall(r"<script(?! src=\"/static/desk.js\" defer)", sample.get("/")) == []


def test_what_is_too_large_is_refused(empty: Sitting, monkeypatch: pytest.MonkeyPatch) -> None:
    """By its head, and where that lies or is missing, by its length."""
    monkeypatch.setattr(doors, "MOST_BYTES", 10_000)
    token = empty.desk.secret.token
    large = {"files": ("a.csv", b"x" * 20_000, "text/csv")}
    assert empty.client.post("/", data={"token": token}, files=large).status_code == 413

    def chunks() -> Iterator[bytes]:
        yield from (b"x" * 1000 for _ in range(20))

    kind = {"content-type": "application/x-www-form-urlencoded"}
    assert empty.client.post("/who", content=chunks(), headers=kind).status_code == 413
    assert empty.desk.who == "Ms Hale"
    assert not empty.desk.shelf.folder.exists() or not list(empty.desk.shelf.folder.iterdir())


def test_a_form_of_too_many_fields_is_refused(empty: Sitting) -> None:
    """Or with a field too long."""
    token = empty.desk.secret.token
    many = {f"f{number}": "1" for number in range(500)}
    for data in ({"token": token, **many}, {"token": token, "who": "x" * 30_000}):
        assert empty.client.post("/who", data=data).status_code in (400, 413)
    assert empty.desk.who == "Ms Hale"


def test_a_file_leads_out_of_no_folder(empty: Sitting, tmp_path: Path) -> None:
    """Whatever a file says that it is called."""
    token = empty.desk.secret.token
    for name in (
        "../../out.csv",
        "..\\..\\out.csv",
        "/etc/out.csv",
        "C:\\out.csv",
        ".hidden",
        "a\x00b.csv",
        "…",
        "x" * 400,
    ):
        answer = empty.client.post("/", data={"token": token}, files={"files": (name, b"a,b\n1,2\n", "text/csv")})
        assert answer.status_code in (200, 400), name
    home = empty.desk.shelf.folder
    assert all(home in file.parents for file in tmp_path.rglob("*") if file.suffix == ".csv")
    assert all(len(file.relative_to(home).parts) <= 2 for file in home.rglob("*"))
    assert not any(file.name.startswith(".") for file in home.rglob("*"))


def test_nothing_outside_a_set_is_given_out(sample: Sitting) -> None:
    """Papers are those of a list; styles and fonts are those of their folders."""
    sid = sample.held().sid
    for path in (
        f"/set/{sid}/paper/run.json",
        f"/set/{sid}/paper/..%2f..%2fdesk.record",
        f"/set/{sid}/sheet/999",
        f"/set/{sid}/student/999",
        f"/set/{sid}/decide/V1/999",
        f"/set/{sid}/decide/V99/0",
        "/set/ffffffffffff/class",
        "/static/..%2f..%2fapp.py",
        "/static/../app.py",
        "/fonts/..%2f__init__.py",
    ):
        assert sample.client.get(path).status_code == 404, path


def test_the_name_is_asked_for_first(record: Record, tmp_path: Path) -> None:
    """Nothing is decided by nobody."""
    sitting = sit(record, tmp_path / "sets", who="")
    page = sitting.get("/")
    assert 'name="who"' in page
    sitting.client.post("/sample", data={"token": sitting.desk.secret.token})
    assert not (tmp_path / "sets").exists()
    assert sitting.press(page, "", who="  Mr   Reed ")[0] == 200
    assert sitting.desk.who == "Mr Reed"


def test_two_desks_have_nothing_in_common(record: Record, tmp_path: Path) -> None:
    """The application is a value: names and sets of one are not those of another."""
    one, other = sit(record, tmp_path / "a"), sit(record, tmp_path / "b", who="Mr Reed")
    assert (one.desk.who, other.desk.who) == ("Ms Hale", "Mr Reed")
    assert one.desk.shelf is not other.desk.shelf
