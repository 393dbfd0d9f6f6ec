"""Coming in, and the attacks on it: fixed sessions, forms from elsewhere, guessing, names in heads, another's name."""

from __future__ import annotations

import re
import threading
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from marking.accounts import Role, new_phrase
from marking.desk import doors
from marking.record.opening import open_record
from marking.staffroom import House
from tests.staffroom.serving import HEAD, HOST, ORIGIN, PASSWORD, TEACHERS, Served, press, serve, token_on

NAME = TEACHERS[0]


def cookies_of(client: TestClient) -> dict[str, str]:
    """Return what a browser keeps."""
    return {cookie.name: cookie.value or "" for cookie in client.cookies.jar}


def try_in(client: TestClient, name: str, password: str, token: str = ""):  # type: ignore[no-untyped-def]  # noqa: ANN201
    """Send name and password."""
    token = token or token_on(client.get("/sign-in").text)
    return client.post("/sign-in", data={"token": token, "name": name, "password": password})


def test_signing_in_gives_a_new_session_and_signing_out_ends_it(bare: Served) -> None:
    """The cookie is out of reach for scripts and other sites; the old one opens nothing."""
    client = bare.visitor()
    page = client.get("/sign-in")
    assert "HttpOnly" in page.headers["set-cookie"]
    answer = try_in(client, NAME.upper(), PASSWORD)
    cookie = next(one for one in answer.headers.get_list("set-cookie") if one.startswith("staff-"))
    assert "HttpOnly" in cookie
    assert "samesite=strict" in cookie.lower()
    assert "expires" not in cookie.lower()
    assert f"Signed in: {NAME}" in client.get("/").text
    kept = cookies_of(client)["staff-80"]
    page = client.get("/").text
    assert kept not in page
    answer = client.post("/sign-out", data={"token": token_on(page)})
    assert answer.headers["location"] == "/sign-in"
    assert bare.visitor(cookie=f"staff-80={kept}").get("/").headers["location"] == "/sign-in"


def test_a_session_that_was_planted_is_never_taken_up(bare: Served) -> None:
    """Whoever put a cookie into the browser before does not know the one after."""
    client = bare.visitor()
    client.cookies.set("staff-80", "planted", domain=HOST)
    answer = try_in(client, NAME, PASSWORD)
    assert answer.status_code == 303
    (given,) = [one for one in answer.headers.get_list("set-cookie") if one.startswith("staff-80=")]
    assert "planted" not in given
    assert bare.visitor(cookie="staff-80=planted").get("/").headers["location"] == "/sign-in"
    first, second = bare.sign_in(NAME), bare.sign_in(NAME)
    assert cookies_of(first)["staff-80"] != cookies_of(second)["staff-80"]


def test_signing_in_again_ends_the_session_that_was_there(bare: Served) -> None:
    """One browser, one person."""
    client = bare.sign_in(NAME)
    old = cookies_of(client)["staff-80"]
    visit = bare.visitor()
    token = token_on(visit.get("/sign-in").text)
    visit.cookies.set("staff-80", old, domain=HOST)
    data = {"token": token, "name": HEAD, "password": PASSWORD}
    assert visit.post("/sign-in", data=data).status_code == 303
    assert bare.visitor(cookie=f"staff-80={old}").get("/").headers["location"] == "/sign-in"


def test_wrong_name_and_wrong_password_read_alike(bare: Served) -> None:
    """Not a letter between them, and the same status."""
    pages = []
    for name, password in ((NAME, "wrong and wrong"), ("Nobody Here", PASSWORD), (NAME, "")):
        answer = try_in(bare.visitor(), name, password)
        assert answer.status_code == 403
        pages.append(re.sub(r'value="[^"]*"', "", answer.text))
    assert len(set(pages)) == 1
    assert "This is not a name and password of this desk." in pages[0]


def test_guessing_slows_down_and_the_right_password_waits_too(bare: Served) -> None:
    """For a known name and an unknown one alike; nobody is shut out for good."""
    for name in (NAME, "Nobody Here"):
        told = [try_in(bare.visitor(), name, f"wrong {number}").status_code for number in range(6)]
        assert told == [403, 403, 403, 403, 429, 429], name
    assert try_in(bare.visitor(), NAME, PASSWORD).status_code == 429
    bare.clock.seconds += 61
    assert try_in(bare.visitor(), NAME, PASSWORD).status_code == 303


def test_many_guesses_at_once_gain_nothing(bare: Served) -> None:
    """Twenty windows, four guesses."""
    clients = [bare.visitor() for _ in range(20)]
    tokens = [token_on(client.get("/sign-in").text) for client in clients]
    told: list[int] = []

    def guess(client: TestClient, token: str) -> None:
        told.append(try_in(client, NAME, "wrong again", token).status_code)

    threads = [threading.Thread(target=guess, args=pair) for pair in zip(clients, tokens, strict=True)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert sorted(told) == [403] * 4 + [429] * 16


def test_a_form_from_elsewhere_signs_nobody_in_and_changes_nothing(bare: Served) -> None:
    """Another origin, no origin, another site by the browser's own word, no token, another session's token."""
    visitor = bare.visitor()
    token = token_on(visitor.get("/sign-in").text)
    data = {"token": token, "name": NAME, "password": PASSWORD}
    for origin in ("http://evil.test", "null", "", "https://desk.test", "http://desk.test:81"):
        assert visitor.post("/sign-in", data=data, headers={"origin": origin}).status_code == 403
    assert visitor.post("/sign-in", data=data, headers={"sec-fetch-site": "cross-site"}).status_code == 403
    assert visitor.post("/sign-in", data={**data, "token": "x"}).status_code == 403
    one, other = bare.sign_in(NAME), bare.sign_in(TEACHERS[1])
    stolen = token_on(other.get("/").text)
    for path in ("/sign-out", "/password", "/", "/sample"):
        assert one.post(path, data={"token": stolen}).status_code == 403, path
        assert one.post(path, data={}).status_code == 403, path
    assert one.get("/").status_code == 200


@pytest.mark.parametrize("host", ["evil.test", "desk.test:80", "", "desk.test.evil.test", "127.0.0.1"])
def test_another_host_is_refused(bare: Served, host: str) -> None:
    """A name that somebody else's server points here reads nothing."""
    answer = bare.of(NAME).get("/", headers={"host": host})
    assert answer.status_code in (400, 421)
    assert "Signed in" not in answer.text


def test_names_reach_no_head_and_no_page_as_they_are(bare: Served) -> None:
    """What is typed as a name is text wherever it is shown, and nowhere in a head."""
    evil = 'x"><script>alert(1)</script>\r\nSet-Cookie: a=b'
    answer = try_in(bare.visitor(), evil, "wrong and wrong")
    assert answer.status_code == 403
    assert "<script>alert" not in answer.text
    assert not [value for value in answer.headers.get_list("set-cookie") if "a=b" in value]
    for path in ("/second/%0d%0aSet-Cookie:%20a=b", "/set/%0d%0aX:%20y/class", "/moderation/%0d%0aX:y"):
        told = bare.of(HEAD).get(path)
        assert told.status_code in (404, 200)
        assert "x" not in told.headers


def test_a_phrase_opens_one_page_until_there_is_a_password(bare: Served) -> None:
    """Then it opens nothing any more, and neither does any session from before."""
    phrase = new_phrase()
    bare.room.book.add("Mx New", Role.TEACHER, phrase, is_phrase=True)
    client = bare.visitor()
    assert try_in(client, "Mx New", phrase).headers["location"] == "/password"
    for path in ("/", "/second", "/signatures"):
        assert client.get(path).headers["location"] == "/password"
    page = client.get("/password").text
    old = cookies_of(client)["staff-80"]
    sent = {"at": "/password", "old": phrase}
    for new, again in (
        ("short", "short"),
        ("seven tall trees", "seven tall tree"),
        (phrase, phrase),
        ("Mx New", "Mx New"),
    ):
        assert press(client, page, "", new=new, again=again, **sent).status_code == 422
    wrong = {"at": "/password", "old": "not the phrase"}
    assert press(client, page, "", new="seven tall trees", again="seven tall trees", **wrong).status_code == 422
    assert press(client, page, "", new="seven tall trees", again="seven tall trees", **sent).status_code == 303
    assert client.get("/").status_code == 200
    assert bare.visitor(cookie=f"staff-80={old}").get("/").headers["location"] == "/sign-in"
    assert try_in(bare.visitor(), "Mx New", phrase).status_code == 403
    assert try_in(bare.visitor(), "Mx New", "seven tall trees").status_code == 303


def test_nobody_else_changes_a_password(bare: Served) -> None:
    """It takes the one that is there, and every other browser of that person is signed out."""
    here, there = bare.sign_in(NAME), bare.sign_in(NAME)
    page = here.get("/password").text
    new = "eleven green doors"
    assert press(here, page, "", at="/password", old="wrong and wrong", new=new, again=new).status_code == 422
    assert press(here, page, "", at="/password", old=PASSWORD, new=new, again=new).status_code == 303
    assert here.get("/").status_code == 200
    assert there.get("/").headers["location"] == "/sign-in"


def test_whoever_is_shut_out_is_out_at_once(bare: Served) -> None:
    """In every browser."""
    client = bare.sign_in(NAME)
    bare.room.book.shut_out(bare.room.book.named(NAME))
    assert client.get("/").headers["location"] == "/sign-in"
    assert try_in(bare.visitor(), NAME, PASSWORD).status_code == 403


def test_every_answer_carries_the_policy(bare: Served) -> None:
    """Pages for visitors too."""
    for client, path in ((bare.visitor(), "/sign-in"), (bare.of(NAME), "/"), (bare.of(NAME), "/nowhere")):
        heads = client.get(path).headers
        assert {name: heads[name] for name in doors.HEADERS} == doors.HEADERS


def test_by_tls_the_cookie_is_secure_and_the_way_is_strict(tmp_path: Path) -> None:
    """And bears the prefix that keeps other hosts from setting it."""
    record = open_record(str(tmp_path / "x.record"), may_begin=True)
    house = House(hosts=frozenset({HOST}), is_secure=True, port=443)
    served = serve(record, tmp_path, with_classes=False, house=house)
    client = TestClient(
        served.app, base_url=f"https://{HOST}", headers={"origin": f"https://{HOST}"}, follow_redirects=False
    )
    page = client.get("/sign-in")
    assert page.headers["strict-transport-security"]
    answer = try_in(client, NAME, PASSWORD)
    (cookie,) = [one for one in answer.headers.get_list("set-cookie") if one.startswith("__Host-staff-443=")]
    assert "Secure" in cookie
    assert "Path=/" in cookie
    assert "omain" not in cookie
    plain = client.post("/sign-out", data={"token": "x"}, headers={"origin": ORIGIN})
    assert plain.status_code == 403
    record.close()


def test_a_visitor_sends_little(bare: Served) -> None:
    """Nobody fills memory before signing in."""
    client = bare.visitor()
    token = token_on(client.get("/sign-in").text)
    data = {"token": token, "name": "x" * 20_000, "password": PASSWORD}
    assert client.post("/sign-in", data=data).status_code == 413
