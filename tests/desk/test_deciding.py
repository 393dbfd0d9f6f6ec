"""Marks decided at the desk: one press a decision, like ones together, reasons, two windows, double submits, undo."""

from __future__ import annotations

import re

import pytest

from marking.decided.decisions import MarkGiven, PutOff, TakenBack
from marking.desk.pages.waiting import alike, waiting
from marking.record.chain import breaks
from marking.record.erasing import erase_student
from marking.record.store import Record
from tests.desk.sitting import Sitting, sit


def first_page(sitting: Sitting, by: str = "criterion") -> str:
    """Return the page of the first mark that waits."""
    return sitting.get(f"/set/{sitting.held().sid}/decide?by={by}")


def marks_given(sitting: Sitting) -> list[MarkGiven]:
    """Return the marks in the record."""
    return [one for one in sitting.desk.shelf.record.decisions(sitting.held().name) if isinstance(one, MarkGiven)]


@pytest.mark.parametrize("by", ["criterion", "script"])
def test_every_mark_is_decided_with_one_press(sample: Sitting, by: str) -> None:
    """The next one comes by itself, in order, until none waits; what was decided is what stands."""
    waits = waiting(sample.held(), by)
    page, presses = first_page(sample, by), 0
    while "give:" in page:
        deed = ("give:1", "give:0")[presses % 2]
        status, _, page = sample.press(page, deed)
        assert status == 200
        presses += 1
    assert presses == len(waits)
    given = marks_given(sample)
    assert [(one.student, one.criterion) for one in given] == [
        (sample.held().marked.scripts[spot.at].write_up.student.code, spot.criterion) for spot in waits
    ]
    assert [one.marks for one in given] == [(1, 0)[number % 2] for number in range(len(given))]
    assert waiting(sample.held()) == ()
    assert all(one.who == "Ms Hale" and one.edition and one.program for one in given)
    assert breaks(sample.desk.shelf.record.whole()) == ()


def test_later_comes_last_and_round_again(sample: Sitting) -> None:
    """A mark that was left comes again when nothing else waits."""
    spots = waiting(sample.held())
    _, address, page = sample.press(first_page(sample), "later")
    assert f"/decide/{spots[1].criterion}/{spots[1].at}" in address
    assert isinstance(sample.desk.shelf.record.decisions(sample.held().name)[-1], PutOff)
    assert [(one.at, one.criterion) for one in waiting(sample.held())][-1] == (spots[0].at, spots[0].criterion)
    while "give:" in page and f"/decide/{spots[0].criterion}/{spots[0].at}" not in address:
        _, address, page = sample.press(page, "give:1")
    assert len(waiting(sample.held())) == 1
    assert "You left this one" in page


def test_undo_takes_the_last_one_back_and_shows_it(sample: Sitting) -> None:
    """One press, and the mark waits again."""
    spots = waiting(sample.held())
    _, _, page = sample.press(first_page(sample), "give:1")
    assert len(waiting(sample.held())) == len(spots) - 1
    _, address, page = sample.press(page, "undo")
    assert address.endswith(f"/decide/{spots[0].criterion}/{spots[0].at}")
    assert waiting(sample.held()) == spots
    assert isinstance(sample.desk.shelf.record.decisions(sample.held().name)[-1], TakenBack)
    assert "taken back" in page


def test_like_answers_are_decided_as_one_and_undone_as_one(sample: Sitting) -> None:
    """Those that say the same, and no other."""
    held = sample.held()
    spot = next(one for one in waiting(held) if len(alike(held, one.at, one.criterion)) > 1)
    group = alike(held, spot.at, spot.criterion)
    before = len(waiting(held))
    page = sample.get(f"/set/{held.sid}/decide/{spot.criterion}/{spot.at}")
    _, _, page = sample.press(page, "give-all:0")
    given = marks_given(sample)
    assert {(one.student, one.criterion, one.marks) for one in given} == {
        (held.marked.scripts[at].write_up.student.code, spot.criterion, 0) for at in group
    }
    assert len(waiting(sample.held())) == before - len(group)
    sample.press(page, "undo")
    assert len(waiting(sample.held())) == before


def test_drawings_are_like_nothing_else(sample: Sitting) -> None:
    """Only words are alike."""
    held = sample.held()
    for spot in waiting(held):
        criterion = next(one for one in held.rubric.criteria if one.code == spot.criterion)
        if not any(held.rubric.items[name].is_words for name in criterion.items):
            assert alike(held, spot.at, spot.criterion) == (spot.at,)


@pytest.mark.parametrize("worked_out", [0, 1])
def test_a_computed_mark_is_overruled_with_a_reason(sample: Sitting, worked_out: int) -> None:
    """In either direction; without a reason nothing is written, and nothing typed is lost."""
    held = sample.held()
    at, mark = next(
        (at, mark)
        for at, script in enumerate(held.marked.scripts)
        for mark in script.criteria
        if mark.marks == worked_out and mark.criterion.marks == 1
    )
    code = mark.criterion.code
    address = f"/set/{held.sid}/decide/{code}/{at}"
    page = sample.get(address)
    deed = f"give:{1 - worked_out}"
    status, _, page = sample.press(page, deed, why="  ")
    assert (status, marks_given(sample)) == (422, [])
    assert "Give a reason" in page
    status, _, _ = sample.press(page, deed, why="copied from <b>the board</b>")
    assert status == 200
    (given,) = marks_given(sample)
    assert (given.marks, given.why, given.was) == (1 - worked_out, "copied from <b>the board</b>", str(worked_out))
    mark = next(one for one in sample.held().marked.scripts[at].criteria if one.criterion.code == code)
    assert mark.ruling is not None
    assert (mark.marks, mark.ruling.proposed) == (1 - worked_out, worked_out)
    told = sample.get(f"/set/{held.sid}/student/{at}")
    assert "copied from &lt;b&gt;the board&lt;/b&gt;" in told
    assert "against what was worked out" in told


def test_a_double_submit_is_one_decision(sample: Sitting) -> None:
    """The same button again is answered as the first time."""
    page = first_page(sample)
    first = sample.press(page, "give:1")
    second = sample.press(page, "give:1")
    assert first[0] == second[0] == 200
    assert first[1] == second[1]
    assert len(marks_given(sample)) == 1


def test_two_windows_on_one_mark(sample: Sitting) -> None:
    """The later is told and shown both; deciding again is a decision like any other."""
    mine, theirs = first_page(sample), first_page(sample)
    sample.press(theirs, "give:1")
    status, _, page = sample.press(mine, "give:0")
    assert status == 409
    assert "Yours: 0." in page
    assert re.search(r"Theirs: 1 given, by Ms Hale, 2026-03-02 10:00", page)
    assert [one.marks for one in marks_given(sample)] == [1]
    status, _, _ = sample.press(page, "give:0")
    assert status == 200
    assert [one.marks for one in marks_given(sample)] == [1, 0]


def test_two_desks_of_one_record(sample: Sitting, record: Record) -> None:
    """What is decided at one shows at the other; the same mark at both is told to the later."""
    other = sit(record, sample.desk.shelf.folder, who="Mr Reed", prefix="o")
    while other.desk.shelf.reading:
        pass
    mine, theirs = first_page(sample), first_page(other)
    other.press(theirs, "give:1")
    status, _, page = sample.press(mine, "give:0")
    assert status == 409
    assert "Mr Reed" in page
    assert waiting(sample.held()) == waiting(other.held())
    assert breaks(record.whole()) == ()


def test_an_erased_student_is_forgotten_at_once(sample: Sitting, record: Record) -> None:
    """What was decided about the student is on no page of an open desk any more."""
    page = first_page(sample)
    sample.press(page, "give:1")
    (given,) = marks_given(sample)
    at = next(n for n, one in enumerate(sample.held().marked.scripts) if one.write_up.student.code == given.student)
    address = f"/set/{sample.held().sid}/decide/{given.criterion}/{at}"
    assert "This mark is settled" in sample.get(address)
    stale = sample.get(address)
    erase_student(record, given.student, class_name=None, event_id="e1", who="Ms Hale", when="2026-03-03")
    sid = sample.held().sid
    for path in (address, *(f"/set/{sid}/{name}" for name in ("class", "time", "feedback", "cells"))):
        assert f">{given.student}<" not in sample.get(path)
    # The page of before stands over another student now, and decides nothing about that one.
    status, _, _ = sample.press(stale, "give:0", why="a page of before")
    assert status in (404, 409)
    assert marks_given(sample) == []


def test_a_page_of_before_a_cell_was_mended_decides_nothing(sample: Sitting) -> None:
    """What was decided on is not what is written any more."""
    held = sample.held()
    at = next(at for at, script in enumerate(held.found.scripts) if script.criteria)
    page = sample.get(f"/set/{held.sid}/decide/{waiting(held)[0].criterion}/{waiting(held)[0].at}")
    stale = re.sub(r'(name="seen" value="\d+:\d+:)\w+', r"\1feedbeef", page)
    status, _, shown = sample.press(stale, "give:1")
    assert (status, marks_given(sample)) == (409, [])
    assert "changed since" in shown
    assert at >= 0


@pytest.mark.parametrize(
    "deed", ["give:7", "give:-1", "give:x", "give:", "give-all:99", "erase", "", "give:1:2", "give:٣"]
)
def test_other_deeds_are_refused(sample: Sitting, deed: str) -> None:
    """Nothing but what the page offers."""
    held = sample.held()
    spot = waiting(held)[0]
    page = first_page(sample)
    seen = re.search(r'name="seen" value="([^"]+)"', page)
    assert seen is not None
    data = {"token": sample.desk.secret.token, "deed": deed, "seen": seen[1], "alike": seen[1], "button": "b"}
    answer = sample.client.post(f"/set/{held.sid}/decide/{spot.criterion}/{spot.at}", data=data)
    assert answer.status_code == 400
    for said in ("", "x", "1:1", "999999999:1:a", "-1:1:a", "99999:1:a"):
        data |= {"deed": "give:1", "seen": said}
        answer = sample.client.post(f"/set/{held.sid}/decide/{spot.criterion}/{spot.at}", data=data)
        assert answer.status_code in (400, 409), said
    assert marks_given(sample) == []


def test_a_closed_set_is_not_decided_any_more(sample: Sitting) -> None:
    """Signed and closed; a change is refused until it is reopened, with a reason."""
    page = first_page(sample)
    late = page
    while "give:" in page:
        _, _, page = sample.press(page, "give:1")
    held = sample.held()
    close = f"/set/{held.sid}/close"
    assert sample.press(sample.get(close), "close")[0] == 200
    assert sample.held().state == "closed"
    assert sample.press(late, "give:1")[0] in (200, 409)
    count = len(marks_given(sample))
    spot = next(iter(held.rubric.criteria)).code
    at = next(at for at, script in enumerate(held.marked.scripts) if script.criteria)
    status, _, shown = sample.press(sample.get(f"/set/{held.sid}/decide/{spot}/{at}"), "give:0", why="late")
    assert status == 409
    assert "Reopen" in shown
    assert len(marks_given(sample)) == count
    status, _, shown = sample.press(sample.get(close), "reopen", why=" ")
    assert (status, sample.held().state) == (422, "closed")
    assert sample.press(shown, "reopen", why="a parent asked")[0] == 200
    assert sample.held().state == "open"
    assert "a parent asked" in sample.get(close)
    assert sample.press(sample.get(f"/set/{held.sid}/decide/{spot}/{at}"), "give:0", why="late")[0] == 200


def test_marks_that_wait_are_decided_before_closing(sample: Sitting) -> None:
    """No mark is closed undecided, whatever is sent."""
    held = sample.held()
    page = sample.get(f"/set/{held.sid}/close")
    assert 'value="close"' not in page
    data = {"token": sample.desk.secret.token, "deed": "close", "number": "1", "button": "b"}
    answer = sample.client.post(f"/set/{held.sid}/close", data=data)
    assert "/decide" in str(answer.url)
    assert sample.held().state == "open"
