"""Every route with every role; whose sets, packs and rounds are there; what a blind page may not say."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from sqlalchemy import text
from starlette.routing import Mount, Route

from marking.accounts import Role
from marking.rounds.round_folders import KEY
from marking.staffroom.rules import RULES
from tests.staffroom.serving import HEAD, OUTSIDER, PASSWORD, PEOPLE, TEACHERS, TECHNICIAN, Served, press, token_on

OPEN = {("GET", "/sign-in"), ("POST", "/sign-in")}
ONE_OF = {role: name for name, role in reversed(PEOPLE.items())}
MAY_LOOK = {
    Role.TEACHER: {"/", "/set", "/department", "/second", "/signatures", "/questions", "/password"},
    Role.SECOND_MARKER: {"/", "/second", "/signatures", "/password"},
    Role.HEAD: {
        *("/", "/set", "/department", "/second", "/moderation", "/signatures", "/questions", "/benches", "/password")
    },
    Role.TECHNICIAN: {"/", "/benches", "/password"},
}
MAY_CHANGE = {
    Role.TEACHER: {"/", "/sample", "/set", "/second", "/signatures", "/questions", "/password", "/sign-out"},
    Role.SECOND_MARKER: {"/second", "/signatures", "/password", "/sign-out"},
    Role.HEAD: {
        *("/", "/sample", "/set", "/second", "/moderation", "/signatures", "/questions", "/password", "/sign-out")
    },
    Role.TECHNICIAN: {"/password", "/sign-out"},
}
"""Written down here once more, by the first part of an address, so that a slip in the table is seen."""


def routes(served: Served) -> Iterator[tuple[str, str]]:
    """Yield every method and address that the application answers."""
    for route in served.app.routes:
        if isinstance(route, Mount):
            assert route.path in ("/static", "/fonts")
            continue
        assert isinstance(route, Route)
        for method in (route.methods or set()) - {"HEAD"}:
            yield method, route.path


def filled(path: str, served: Served, owner: str) -> str:
    """Return an address with a set of *owner*'s, or names that nobody has."""
    held = next(one for one in served.room.shelf.sets() if one.owner == owner)
    criterion = held.rubric.criteria[0].code
    values = {
        "sid": held.sid,
        "criterion": criterion,
        "at:int": "0",
        "paper": "mark-book.csv",
        "pack": "0" * 16,
        "kind": "pack.xlsx",
        "round": "none",
        "question": "none",
        "practical": held.rubric.id,
    }
    return re.sub(r"\{([^}]+)\}", lambda found: values[found[1]], path)


def test_every_route_has_a_rule(looked_at: Served) -> None:
    """One that is added without a line in the table is found here; so is a line without a route."""
    seen = set(routes(looked_at)) - OPEN
    ruled = {("GET", path) for path, rule in RULES.items() if rule.look}
    ruled |= {("POST", path) for path, rule in RULES.items() if rule.change}
    assert seen == ruled


@pytest.mark.parametrize("role", list(Role))
def test_every_route_asks_for_the_role(looked_at: Served, role: Role) -> None:
    """Refused is what the role has no part in, before the form is looked at; the rest is answered."""
    client = looked_at.sign_in(ONE_OF[role])
    for method, path in sorted(set(routes(looked_at)) - OPEN):
        if path == "/sign-out":
            continue
        address = filled(path, looked_at, TEACHERS[0])
        first = "/" + path.split("/")[1]
        is_open = first in (MAY_LOOK if method == "GET" else MAY_CHANGE)[role]
        answer = client.get(address) if method == "GET" else client.post(address, data={"token": "wrong"})
        if not is_open:
            assert answer.status_code == 403, (role, method, path)
        elif method == "GET":
            assert answer.status_code in (200, 303, 404), (role, method, path)
        else:
            assert answer.status_code in (403, 404), (role, method, path)
            assert "another teacher" in answer.text or answer.status_code == 404, (role, method, path)


def test_nobody_comes_in_without_signing_in(looked_at: Served) -> None:
    """Every address leads to the page to sign in, and what is sent is refused."""
    client = looked_at.visitor()
    for method, path in set(routes(looked_at)) - OPEN:
        address = filled(path, looked_at, TEACHERS[0])
        answer = client.request(method, address)
        assert answer.status_code == (303 if method == "GET" else 403), (method, path)
        assert method == "POST" or answer.headers["location"] == "/sign-in"
    assert client.get("/nowhere").headers["location"] == "/sign-in"


def test_a_teacher_reaches_no_other_teachers_marks(looked_at: Served) -> None:
    """Own classes are there, others' are not, by any address; nothing of them stands on any page of one's own."""
    name = TEACHERS[0]
    client = looked_at.of(name)
    sets = looked_at.room.shelf.sets()
    own = {held.name.class_name for held in sets if held.owner == name}
    page = client.get("/").text
    assert set(re.findall(r'scope="row">(9[A-J])<', page)) == own
    others = [held for held in sets if held.owner != name]
    assert len(others) == 7
    codes = {script.write_up.student.code for held in others for script in held.marked.scripts}
    for held in others:
        for path in RULES:
            if "{sid}" in path:
                address = re.sub(r"/set/[0-9a-f]+", f"/set/{held.sid}", filled(path, looked_at, held.owner))
                assert client.get(address).status_code in (404, 405), address
                assert client.post(address, data={"token": token_on(page)}).status_code in (404, 405), address
    mine = next(held for held in sets if held.owner == name)
    for part in ("class", "time", "feedback", "close", "paper/mark-book.csv", "paper/findings.csv", "../../department"):
        text = client.get(f"/set/{mine.sid}/{part}".replace(f"/set/{mine.sid}/../..", "")).text
        assert not [code for code in codes if code in text], part


def test_the_head_of_department_looks_and_changes_nothing(looked_at: Served) -> None:
    """Every class is there; its marks stay its teacher's to decide, to sign and to close."""
    client = looked_at.of(HEAD)
    page = client.get("/").text
    assert len(set(re.findall(r'scope="row">(9[A-J])<', page))) == 9
    held = looked_at.room.shelf.sets()[0]
    before = looked_at.record.end()
    page = client.get(f"/set/{held.sid}/close").text
    assert press(client, page, "sign").status_code == 403
    criterion = held.rubric.criteria[0].code
    decide = client.get(f"/set/{held.sid}/decide/{criterion}/0").text
    button = re.findall(r'name="deed" value="(give:\d)"', decide)[0]
    assert press(client, decide, button, why="x").status_code == 403
    assert looked_at.record.end() == before


def test_a_technician_sees_no_student_and_no_class(looked_at: Served) -> None:
    """Benches and lists of apparatus, and nothing else."""
    client = looked_at.of(TECHNICIAN)
    assert client.get("/").headers["location"] == "/benches"
    page = client.get("/benches").text
    sets = looked_at.room.shelf.sets()
    hidden = {one.name.class_name for one in sets} | {
        s.write_up.student.code for one in sets for s in one.marked.scripts
    }
    hidden |= {one.owner for one in sets}
    assert not [word for word in hidden if re.search(rf"(?<!\w){re.escape(word)}(?!\w)", page)]
    kit = client.get(f"/benches/kit/{sets[0].rubric.id}", params={"benches": "3"})
    assert kit.content.startswith(b"%PDF")
    assert client.get("/benches/kit/none").status_code == 404
    assert client.get(f"/benches/kit/{sets[0].rubric.id}", params={"benches": "999"}).status_code == 404


@pytest.mark.campaign
def test_blind_means_blind_on_pages_too(department: Served) -> None:
    """No name, class, code of a student or first mark in page, title, address or head; nobody opens another's pack."""
    head = department.of(HEAD)
    sets = department.room.shelf.sets()
    practical = sets[0].rubric.id
    page = head.get("/moderation").text
    answer = press(head, page, "", at="/moderation", practical=practical, kind="sample", seed="blind 1")
    name = answer.headers["location"].rsplit("/", 1)[1]
    assert (department.room.rounds.folder / name / KEY).is_file()
    hidden = {one.name.class_name for one in sets} | {one.folder.name for one in sets}
    for held in sets:
        for script in held.marked.scripts:
            student = script.write_up.student
            hidden |= {student.code, *(part for part in student.name.split() if len(part) > 2)}
    words: dict[str, set[str]] = {}
    for second in TEACHERS:
        client = department.of(second)
        words[second] = set(re.findall(r"/second/([0-9a-f]{16})", client.get("/second").text))
        assert len(words[second]) == 1
        (word,) = words[second]
        listed = client.get(f"/second/{word}")
        answers = [listed, client.get(f"/second/{word}/file/pack.xlsx"), client.get(f"/second/{word}/file/pack.pdf")]
        answers += [client.get(at) for at in sorted(set(re.findall(rf'href="(/second/{word}/\d+)"', listed.text)))]
        assert len(answers) > 10
        others = set(TEACHERS) - {second}
        for answer in answers:
            heads = " ".join(f"{key}: {value}" for key, value in answer.headers.items()) + str(answer.url)
            body = answer.text if "html" in answer.headers["content-type"] else ""
            said = re.sub(r"<(link|script|form|input)[^>]*>|name=\"[^\"]*\"", " ", body) + heads
            found = [one for one in hidden | others if re.search(rf"(?<!\w){re.escape(one)}(?!\w)", said)]
            assert found == [], answer.url
            assert "You gave" not in body
    for second in TEACHERS:
        client = department.of(second)
        for other in TEACHERS:
            for word in words[other]:
                wanted = 200 if other == second else 404
                for path in (f"/second/{word}", f"/second/{word}/0", f"/second/{word}/file/pack.xlsx"):
                    assert client.get(path).status_code == wanted, (second, other, path)
        assert client.get(f"/moderation/{name}").status_code == 403
    assert head.get(f"/second/{next(iter(words[TEACHERS[0]]))}").status_code == 404
    outsider = department.of(OUTSIDER)
    assert outsider.get("/").headers["location"] == "/second"
    assert outsider.get(f"/signatures/{name}").status_code == 404


@pytest.mark.campaign
def test_a_head_with_a_pack_of_their_own_is_blind_until_it_is_in(department: Served) -> None:
    """Second marking comes before first marks, whoever has the pack."""
    room = department.room
    mine = "Ms Calloway"
    account = room.book.named(mine)
    room.book.shut_out(account)
    head = department.of(HEAD)
    practical = room.shelf.sets()[0].rubric.id
    page = head.get("/moderation").text
    where = press(head, page, "", at="/moderation", practical=practical, kind="sample", seed="7").headers["location"]
    # The same person as head of department: the account is closed, and its packs are under its name.
    with department.record.engine.begin() as connection:
        connection.execute(
            text("UPDATE accounts SET role = 'head-of-department', is_open = 1 WHERE name = 'Ms Calloway'")
        )
    client = department.sign_in(mine, PASSWORD)
    sets = room.shelf.sets()
    other = next(one for one in sets if one.owner != mine)
    own = next(one for one in sets if one.owner == mine)
    assert client.get(f"/set/{own.sid}/class").status_code == 200
    assert client.get(f"/set/{other.sid}/class").status_code == 404
    assert client.get(where).status_code == 403
    for paper in ("moderation.pdf", "compared.csv", "final-marks.csv"):
        assert client.get(f"{where}/paper/{paper}").status_code == 403
    assert client.get(f"{where}/rule", params={"ruling": "accept", "marker": "Mr Fenn"}).status_code == 403
    assert "hand your own pack in first" in client.get("/signatures").text
