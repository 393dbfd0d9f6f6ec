"""Signatures: each by the account to which it belongs, in order, of exactly what was seen; nobody for another."""

from __future__ import annotations

import re
import threading

import pytest

from marking.decided.decisions import ModerationRuled, ModerationSigned, department_set
from tests.staffroom.serving import HEAD, OUTSIDER, TEACHERS, TECHNICIAN, Served, press
from tests.staffroom.test_round_at_the_desk import SEVERE, WHY, draw, first_back, hand_in_files, sign, signing_in_turn

ROLES = ("first-marker", "second-marker", "head-of-department")


@pytest.fixture
def back(department: Served) -> tuple[Served, str]:
    """A round of which every pack is back, and its address."""
    where = draw(department)
    hand_in_files(department, first_back(), TEACHERS)
    return department, where


def signed(served: Served) -> list[ModerationSigned]:
    """Return the signatures in the record."""
    practical = served.room.shelf.sets()[0].rubric.id
    held = served.record.decisions(department_set(practical))
    return [one for one in held if isinstance(one, ModerationSigned)]


def fields_on(served: Served, name: str) -> dict[str, str]:
    """Return what a signature of *name* would carry, whoever's turn it is."""
    page = served.of(name).get("/signatures").text
    found = dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', page))
    return {"token": found["token"], "button": found.get("button", f"b-{name}"), "seen": found.get("seen", "")}


@pytest.mark.campaign
def test_nobody_signs_for_another(back: tuple[Served, str]) -> None:
    """By no role, by no name in the form, out of no turn; the record holds who had signed in."""
    served, where = back
    at = where.replace("/moderation/", "/signatures/")
    seen = fields_on(served, SEVERE)["seen"]
    for name in (HEAD, OUTSIDER, TECHNICIAN, *TEACHERS):
        for role in ROLES:
            may = (name in TEACHERS and role != "head-of-department") or (name == HEAD and role == ROLES[2])
            if may:
                continue
            data = {**fields_on(served, name), "seen": seen} if name != TECHNICIAN else {"token": "x"}
            answer = served.of(name).post(at, data={**data, "role": role, "who": SEVERE, "account": "x", "by": SEVERE})
            assert answer.status_code in (403, 404), (name, role)
    early = {**fields_on(served, HEAD), "seen": seen, "role": ROLES[2]}
    assert served.of(HEAD).post(at, data=early).status_code == 409
    assert signed(served) == []
    assert sign(served, SEVERE, ROLES[0]) == 303
    for role in ROLES[:2]:  # a second time, and before the others
        twice = {**fields_on(served, SEVERE), "button": f"other {role}", "seen": seen, "role": role}
        assert served.of(SEVERE).post(at, data=twice).status_code == 409
    for name in TEACHERS:
        if name != SEVERE:
            assert sign(served, name, ROLES[0]) == 303
    assert "Head of department: not signed" in served.of(HEAD).get("/signatures").text
    assert sign(served, "Dr Osei", ROLES[1]) == 303
    assert sign(served, HEAD, ROLES[2]) == 303
    ids = {one.name: one.id for one in served.room.book.all()}
    assert [(one.role, one.who, one.account) for one in signed(served)] == [
        (ROLES[0], SEVERE, ids[SEVERE]),
        *((ROLES[0], name, ids[name]) for name in TEACHERS if name != SEVERE),
        (ROLES[1], "Dr Osei", ids["Dr Osei"]),
        (ROLES[2], HEAD, ids[HEAD]),
    ]
    closed_by = {one.decisions[-1].who for one in served.room.shelf.sets()}
    assert (closed_by, {one.state for one in served.room.shelf.sets()}) == ({HEAD}, {"closed"})


@pytest.mark.campaign
def test_what_is_signed_is_what_was_seen(back: tuple[Served, str]) -> None:
    """A ruling between looking and signing is told; once locked, nothing is ruled, drawn or given back."""
    served, where = back
    head, at = served.of(HEAD), where.replace("/moderation/", "/signatures/")
    old = served.of(SEVERE).get("/signatures").text
    look = head.get(f"{where}/rule", params={"ruling": "accept", "marker": "Mr Fenn"}).text
    stale = head.get(f"{where}/rule", params={"ruling": "accept", "marker": "Dr Osei"}).text
    assert press(head, look, "", at=f"{where}/rule", why="sound").status_code == 303
    late = press(served.of(SEVERE), old, "", at=at)
    assert late.status_code == 409
    assert "changed meanwhile" in late.text
    assert press(head, stale, "", at=f"{where}/rule", why="sound").status_code == 409
    assert signed(served) == []
    for name, role in signing_in_turn():
        assert sign(served, name, role) == 303
    page = head.get(where).text
    assert "Signed in full and locked" in page
    assert 'value="undo:1"' not in page
    look = head.get(f"{where}/rule", params={"ruling": "accept", "marker": "Dr Osei"}).text
    assert press(head, look, "", at=f"{where}/rule", why="sound").status_code == 409
    fields = dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', page))
    for deed in (
        "undo:1",
        "more",
        "give-back:" + next(iter(served.room.rounds.all()[0].first.key.packs.values()))[:16],
    ):
        answer = head.post(where, data={**fields, "button": deed, "deed": deed, "why": "because"})
        assert answer.status_code == 409, deed
    assert press(head, page, "reopen", why="").status_code == 409
    assert press(head, page, "reopen", why="a pack was misread").status_code == 303
    assert "Signed in full" not in head.get(where).text


@pytest.mark.campaign
def test_two_heads_windows_and_many_presses(back: tuple[Served, str]) -> None:
    """Ten presses of one button at once are one ruling; ten windows at once are one ruling and nine refusals."""
    served, where = back
    head = served.of(HEAD)
    params = {"ruling": "adjust", "marker": SEVERE, "constant": "1"}
    page = head.get(f"{where}/rule", params=params).text
    pages = [head.get(f"{where}/rule", params=params).text for _ in range(10)]
    told: list[int] = []

    def send(what: str) -> None:
        told.append(press(head, what, "", at=f"{where}/rule", why=WHY).status_code)

    for whats, wanted in (([page] * 10, [303] * 10), (pages, [409] * 10)):
        threads = [threading.Thread(target=send, args=(one,)) for one in whats]
        for one in threads:
            one.start()
        for one in threads:
            one.join()
        assert sorted(told) == wanted
        told.clear()
    fresh = [head.get(f"{where}/rule", params=params).text for _ in range(10)]
    threads = [threading.Thread(target=send, args=(one,)) for one in fresh]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert sorted(told) == [303] + [409] * 9
    practical = served.room.shelf.sets()[0].rubric.id
    ruled = [one for one in served.record.decisions(department_set(practical)) if isinstance(one, ModerationRuled)]
    assert len(ruled) == 2
    own = served.of(SEVERE).get("/signatures").text
    assert "all marks adjusted by +1 mark" in own
    other = served.of("Mr Fenn").get("/signatures").text
    assert "all marks adjusted" not in other
    assert "2 more decisions are about other people" in other


@pytest.mark.campaign
def test_a_page_of_ones_own_marks_is_for_oneself(back: tuple[Served, str]) -> None:
    """Each marker's page is made for whoever has signed in; there is no address for another's."""
    served, where = back
    at = where.replace("/moderation/", "/signatures/")
    assert served.of(SEVERE).get(at).content.startswith(b"%PDF")
    assert served.of(HEAD).get(at).status_code == 404
    assert served.of(OUTSIDER).get(at).status_code == 404
    assert served.of("Mr Fenn").get(at).content != served.of(SEVERE).get(at).content


@pytest.mark.campaign
def test_nothing_is_signed_while_classes_are_being_read(back: tuple[Served, str]) -> None:
    """A desk that was opened a moment ago knows the marks of the draw alone; it says so, and takes nothing down."""
    served, where = back
    old = served.of(SEVERE).get("/signatures").text
    at = where.replace("/moderation/", "/signatures/")
    gone = served.room.shelf._sets.popitem()
    served.room.has_read.clear()
    for client, address in ((served.of(SEVERE), "/signatures"), (served.of(HEAD), where)):
        answer = client.get(address)
        assert answer.status_code == 409
        assert "still being read" in answer.text
    assert "classes are being read" in served.of(HEAD).get("/moderation").text
    assert press(served.of(SEVERE), old, "", at=at).status_code == 409
    assert signed(served) == []
    served.room.shelf._sets.update([gone])
    assert press(served.of(SEVERE), old, "", at=at).status_code == 303
