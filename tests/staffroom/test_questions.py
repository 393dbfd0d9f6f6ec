"""Students' questions on pages: taken down, given to one colleague, looked at, answered in writing."""

from __future__ import annotations

import html
import re
from pathlib import Path

import pypdf
import pytest

from marking.decided import AppealAnswered, AppealAsked, Closed, MarkGiven, Reopened
from marking.desk.shelf import HeldSet
from marking.findings import CriterionMark, Script
from marking.record.chain import breaks
from tests.staffroom.serving import HEAD, OUTSIDER, TECHNICIAN, Served, press
from tests.staffroom.test_round_at_the_desk import draw

OWNER, REVIEWER, OTHER = "Ms Calloway", "Mr Fenn", "Dr Osei"
SAYS = 'I named <b>the source</b> & "said why"'


def earned(served: Served) -> tuple[HeldSet, int, Script, CriterionMark]:
    """Return a mark of a class of OWNER's that a person decided and withheld, with where it stands."""
    for held in served.room.shelf.sets():
        if held.owner == OWNER:
            for at, script in enumerate(held.marked.scripts):
                for mark in script.eye:
                    if mark.marks == 0 and mark.criterion.marks == 1:
                        return held, at, script, mark
    raise AssertionError("no such mark")


def ask(served: Served, **more: str) -> tuple[str, HeldSet, int, CriterionMark]:
    """Take a question down; return its address and the mark."""
    held, at, _, mark = earned(served)
    where = f"/set/{held.sid}/student/{at}/question"
    page = served.of(OWNER).get(where).text
    data = {"criterion": mark.criterion.code, "why": SAYS, "released": served.clock.now()[:10], **more}
    answer = press(served.of(OWNER), page, "", at=where, **data)
    assert answer.status_code == 303, answer.text
    return str(answer.headers["location"]), held, at, mark


def pass_on(served: Served, where: str, reviewer: str = REVIEWER) -> None:
    """Give a question to *reviewer*, as the head of department."""
    page = served.of(HEAD).get(where).text
    assert press(served.of(HEAD), page, "pass", reviewer=reviewer).status_code == 303


def test_a_question_is_asked_looked_at_and_answered(department: Served, tmp_path: Path) -> None:
    """The mark goes up by one decision with the reviewer's name; the student gets a letter; totals follow."""
    where, held, at, mark = ask(department)
    code = held.marked.scripts[at].write_up.student.code
    before = held.marked.scripts[at].total
    assert code in department.of(HEAD).get("/questions").text
    assert "For you to look at" not in department.of(REVIEWER).get("/questions").text
    pass_on(department, where)
    assert "For you to look at" in department.of(REVIEWER).get("/questions").text
    page = department.of(REVIEWER).get(where).text
    assert html.escape(SAYS, quote=False).replace('"', "&#34;") in page
    assert "<b>the source" not in page
    assert mark.criterion.point in html.unescape(page)
    for entry in held.marked.scripts[at].write_up.singles.values():
        assert entry.raw in html.unescape(page)  # all that was written, as the letter says
    assert department.of(REVIEWER).get(f"{where}/letter").status_code == 404
    assert press(department.of(REVIEWER), page, "answer", marks="1", why="").status_code == 409
    answer = press(department.of(REVIEWER), page, "answer", marks="1", why="the source is named in line two")
    assert answer.status_code == 303, answer.text
    again = press(department.of(REVIEWER), page, "answer", marks="1", why="the source is named in line two")
    assert again.status_code == 303  # a second press is the same answer
    held = next(one for one in department.room.shelf.sets() if one.sid == held.sid)
    assert held.marked.scripts[at].total == before + 1
    given = [one for one in held.decisions if isinstance(one, MarkGiven) and one.student == code]
    assert (given[-1].who, given[-1].marks, given[-1].criterion) == (REVIEWER, 1, mark.criterion.code)
    assert sum(isinstance(one, AppealAnswered) for one in held.decisions) == 1
    for who in (OWNER, HEAD, REVIEWER):
        letter = department.of(who).get(f"{where}/letter")
        assert letter.content.startswith(b"%PDF"), who
    (tmp_path / "letter.pdf").write_bytes(letter.content)
    said = " ".join(" ".join(one.extract_text().split()) for one in pypdf.PdfReader(tmp_path / "letter.pdf").pages)
    assert "from 0 to 1 of 1" in said
    assert "the source is named in line two" in said
    assert REVIEWER in said
    assert breaks(department.record.whole()) == ()


def test_who_may_not_look_or_answer(department: Served) -> None:
    """One colleague looks, whoever marked it first never; nothing else of the class is there for the reviewer."""
    where, held, at, _ = ask(department)
    for who in (REVIEWER, OTHER):
        assert department.of(who).get(where).status_code == 404
        assert department.of(who).get(f"{where}/letter").status_code == 404
    for who in (OUTSIDER, TECHNICIAN):
        assert department.of(who).get(where).status_code == 403
    head = department.of(HEAD)
    page = head.get(where).text
    assert f"<option>{OWNER}" not in page
    for reviewer in (OWNER, OUTSIDER, TECHNICIAN, "Nobody"):
        assert press(head, page, "pass", reviewer=reviewer).status_code == 403, reviewer
    own = department.of(OWNER).get(where).text
    assert 'value="answer"' not in own
    token = re.findall(r'name="token" value="([^"]+)"', own)[0]
    forged = {"token": token, "button": "x", "seen": "0//0", "marks": "1", "why": "mine", "deed": "answer"}
    assert department.of(OWNER).post(where, data=forged).status_code == 403
    assert department.of(OWNER).post(where, data={**forged, "deed": "pass", "reviewer": REVIEWER}).status_code == 403
    pass_on(department, where)
    client = department.of(REVIEWER)
    assert client.get(where).status_code == 200
    assert client.get(f"/set/{held.sid}/student/{at}").status_code == 404
    assert client.get(f"/set/{held.sid}/student/{at}/question").status_code == 404
    assert department.of(OTHER).get(where).status_code == 404
    assert press(head, page, "pass", reviewer=OTHER).status_code == 409  # a page from before it was given on
    page = head.get(where).text
    for _ in range(2):  # a second press is the same decision
        assert press(head, page, "pass", reviewer=OTHER).status_code == 303
    assert client.get(where).status_code == 404  # given on, so not theirs any more
    assert sum(isinstance(one, AppealAnswered) for one in department.record.all_decisions(about="appeal")) == 0


@pytest.mark.campaign
def test_a_stale_page_answers_nothing(department: Served) -> None:
    """The mark changed while somebody looked: the answer is refused, with what was typed kept."""
    where, held, at, mark = ask(department)
    pass_on(department, where)
    client = department.of(REVIEWER)
    page = client.get(where).text
    decide = f"/set/{held.sid}/decide/{mark.criterion.code}/{at}"
    owner = department.of(OWNER)
    assert press(owner, owner.get(decide).text, "give:1", why="looked again").status_code == 303
    late = press(client, page, "answer", marks="1", why="it is there, in line two")
    assert late.status_code == 409
    assert "has changed since" in late.text
    assert "it is there, in line two" in late.text
    assert press(client, client.get(where).text, "answer", marks="1", why="it is there").status_code == 303
    (answered,) = (one for one in department.record.all_decisions(about="appeal") if isinstance(one, AppealAnswered))
    assert (answered.outcome, answered.was, answered.marks) == ("upheld", "1", 1)


@pytest.mark.campaign
def test_a_closed_set_is_opened_for_the_one_mark(department: Served) -> None:
    """The record says that it was opened, why, and closed again; no line about the set names the student."""
    held, *_ = earned(department)
    owner = department.of(OWNER)
    assert press(owner, owner.get(f"/set/{held.sid}/close").text, "close").status_code == 303
    where, held, at, _ = ask(department)
    pass_on(department, where)
    client = department.of(REVIEWER)
    assert press(client, client.get(where).text, "answer", marks="1", why="it is there").status_code == 303
    held = next(one for one in department.room.shelf.sets() if one.sid == held.sid)
    steps = [one for one in held.decisions if isinstance(one, Reopened | Closed)]
    assert [type(one).__name__ for one in steps] == ["Closed", "Reopened", "Closed"]
    code = held.marked.scripts[at].write_up.student.code
    assert steps[1].why
    assert code not in steps[1].why
    assert held.state == "closed"


@pytest.mark.campaign
def test_the_window_and_what_is_missing(department: Served) -> None:
    """Ten school days; a mark and words; what was typed stands in the form again; two presses are one question."""
    held, at, script, mark = earned(department)
    where = f"/set/{held.sid}/student/{at}/question"
    owner = department.of(OWNER)
    page = owner.get(where).text
    sound = {"criterion": mark.criterion.code, "why": SAYS, "released": department.clock.now()[:10]}
    for wrong, told in (
        ({"released": "2026-01-05"}, "window of 10 school days"),
        ({"released": "soon"}, "this is no day"),
        ({"why": " "}, "nothing says what the question is"),
        ({"criterion": "ZZ"}, "no mark was chosen"),
    ):
        answer = press(owner, page, "", at=where, **{**sound, **wrong})
        assert answer.status_code == 409, wrong
        assert told in answer.text
    places = {press(owner, page, "", at=where, **sound).headers["location"] for _ in range(2)}
    assert len(places) == 1
    asked = [one for one in department.record.all_decisions(about="appeal") if isinstance(one, AppealAsked)]
    assert [(one.who, one.student, one.why) for one in asked] == [(OWNER, script.write_up.student.code, SAYS)]
    other = press(owner, owner.get(where).text, "", at=where, **sound)
    assert other.status_code == 409
    assert "being looked at already" in other.text
    assert department.of(HEAD).get(where).status_code == 404  # own classes only
    found = owner.get("/questions", params={"student": script.write_up.student.code.lower()}).text
    assert where in found
    assert where not in department.of(OTHER).get("/questions", params={"student": script.write_up.student.code}).text


@pytest.mark.campaign
def test_whoever_has_a_pack_open_sees_no_first_mark_by_a_question(department: Served) -> None:
    """Second marking comes first: the question waits until the pack is handed in."""
    where, *_ = ask(department)
    draw(department)
    pass_on(department, where)
    assert department.of(REVIEWER).get(where).status_code == 404
    assert "For you to look at" not in department.of(REVIEWER).get("/questions").text
