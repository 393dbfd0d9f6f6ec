"""Several people at one desk at once, on both databases: nothing is lost, nothing is doubled, the chain holds."""

from __future__ import annotations

import re
import threading
from collections import Counter

import pytest

from marking.decided.decisions import MarkGiven, PackHandedIn, SecondMarkGiven, department_set
from marking.record.chain import breaks
from tests.staffroom.serving import HEAD, TEACHERS, Served, press
from tests.staffroom.test_round_at_the_desk import words_of


def at_once(*deeds: tuple[object, ...]) -> None:
    """Run each (function, arguments ...) in a thread of its own; fail where one fails."""
    failed: list[BaseException] = []

    def run(deed: object, *arguments: object) -> None:
        try:
            deed(*arguments)  # type: ignore[operator]
        except BaseException as error:
            failed.append(error)

    threads = [threading.Thread(target=run, args=deed) for deed in deeds]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert failed == []


def mark_all(served: Served, name: str, mark: int) -> None:
    """Mark the one open pack of *name* on pages, and hand it in."""
    client = served.of(name)
    (word,) = words_of(served, name)
    address = re.findall(rf'href="(/second/{word}/\d+)"', client.get(f"/second/{word}").text)[0]
    while address != f"/second/{word}":
        answer = press(client, client.get(address).text, f"give:{mark}")
        assert answer.status_code == 303
        address = answer.headers["location"]
    assert press(client, client.get(address).text, "hand-in").status_code == 303


def decide_some(served: Served, name: str) -> None:
    """Overrule the first mark of each of the first five scripts of a class of one's own."""
    client = served.of(name)
    held = next(one for one in served.room.shelf.sets() if one.owner == name)
    criterion = held.rubric.criteria[0].code
    for at in range(5):
        page = client.get(f"/set/{held.sid}/decide/{criterion}/{at}").text
        deed = re.findall(r'name="deed" value="(give:\d)"', page)[-1]
        assert press(client, page, deed, why="looked at again").status_code == 303


def look_about(served: Served, where: str) -> None:
    """Look at the round again and again while others mark."""
    client = served.of(HEAD)
    for _ in range(5):
        for path in (where, "/moderation", "/", "/signatures"):
            assert client.get(path).status_code == 200, path


@pytest.mark.campaign
def test_everybody_marks_decides_and_looks_at_once(shared: Served) -> None:
    """Five markers mark packs and their own classes, while the head of department looks."""
    head = shared.of(HEAD)
    practical = shared.room.shelf.sets()[0].rubric.id
    page = head.get("/moderation").text
    answer = press(head, page, "", at="/moderation", practical=practical, kind="together", seed="s", together="3")
    where = answer.headers["location"]
    for name in TEACHERS:
        shared.of(name)
    marking = [(mark_all, shared, name, number % 2) for number, name in enumerate(TEACHERS)]
    deciding = [(decide_some, shared, name) for name in TEACHERS]
    at_once(*marking, *deciding, (look_about, shared, where))
    held = shared.record.decisions(department_set(practical))
    (one,) = shared.room.rounds.all()
    wanted = sum(len(line.eye) for line in one.first.key.lines)
    given = Counter(each.who for each in held if isinstance(each, SecondMarkGiven))
    assert given == dict.fromkeys(TEACHERS, wanted)
    assert {each.number for each in held if isinstance(each, SecondMarkGiven)} == {1}
    assert sorted(each.who for each in held if isinstance(each, PackHandedIn)) == sorted(TEACHERS)
    for name in TEACHERS:
        own = next(each for each in shared.room.shelf.sets() if each.owner == name)
        decided = [each for each in own.decisions if isinstance(each, MarkGiven) and each.why == "looked at again"]
        assert (len(decided), {each.who for each in decided}) == (5, {name})
    assert breaks(shared.record.whole()) == ()
    assert len(shared.room.rounds.together(one).markers) == len(TEACHERS)


@pytest.mark.campaign
def test_one_pack_in_two_browsers_at_once(shared: Served) -> None:
    """The same person marks the same pack twice over: each mark is one decision or two that tell of each other."""
    head = shared.of(HEAD)
    practical = shared.room.shelf.sets()[0].rubric.id
    page = head.get("/moderation").text
    press(head, page, "", at="/moderation", practical=practical, kind="together", seed="s", together="3")
    name = TEACHERS[0]
    browsers = [shared.sign_in(name) for _ in range(4)]
    (word,) = words_of(shared, name)
    address = re.findall(rf'href="(/second/{word}/\d+)"', browsers[0].get(f"/second/{word}").text)[0]
    pages = [(client, client.get(address).text) for client in browsers]
    told: list[int] = []

    def give(number: int) -> None:
        client, seen = pages[number]
        told.append(press(client, seen, f"give:{number % 2}").status_code)

    at_once(*((give, number) for number in range(4)))
    assert sorted(told) == [303, 409, 409, 409]
    held = shared.record.decisions(department_set(practical))
    assert sum(isinstance(one, SecondMarkGiven) for one in held) == 1
    assert breaks(shared.record.whole()) == ()
