"""Answers about students' questions: taken down for own classes, given to one colleague, looked at, answered.

Whoever is to look sees that one mark with all its evidence, and nothing else of the other's class.
"""

from __future__ import annotations

import datetime

from msgspec import Struct
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from marking.accounts import Role
from marking.decided import AppealAsked, Closed, version_of
from marking.desk import Sent, as_file
from marking.desk.shelf import HeldSet
from marking.findings import CriterionMark, Script
from marking.moderation.decisions import Appeal, AppealOutcome, answer, appeals, ask, pass_on
from marking.record import OvertakenError
from marking.staffroom.pages import QuestionsPage, asking_page, question_page, question_row, seen_of, write_ups_of
from marking.staffroom.staff import StaffDesk
from reports.moderation import write_appeal_letter
from reports.wording import wording
from rubrics.faults import InputError

LONGEST = 500
"""Characters of what a student says, and of a reason."""
LEADERS = (Role.TEACHER, Role.HEAD)


class Asked(Struct, frozen=True, kw_only=True):
    """One question with the mark that it is about."""

    appeal: Appeal
    held: HeldSet
    script: Script
    mark: CriterionMark


def show_all(desk: StaffDesk, request: Request) -> Response:
    """Show the questions that concern this person, and where one is taken down."""
    titles = {one.id: one.title for one in desk.shelf.rubrics.values()}
    rows = [
        question_row(one, titles.get(one.asked.set.practical, one.asked.set.practical), who=desk.who)
        for one in _mine(desk)
    ]
    rows.sort(key=lambda row: (not row.is_mine, bool(row.outcome), row.day))
    code = request.query_params.get("student", "")[:80]
    own = [held for held in desk.shelf.sets() if desk.may_change(held)] if code.strip() else []
    page = QuestionsPage(rows=tuple(rows), code=code, found=write_ups_of(code, own))
    return desk.render("questions", page)


def _mine(desk: StaffDesk) -> list[Appeal]:
    """Return the questions about own classes, those given to this person, and for the head of department all."""
    found = appeals(desk.shelf.record.all_decisions(about=AppealAsked.about))
    owners = {held.name: held.owner for held in desk.room.shelf.sets()}
    return [
        one
        for one in found
        if owners.get(one.asked.set) == desk.who
        or (_is_concerned(desk, one) and not desk.is_blind(one.asked.set.practical))
    ]


def _is_concerned(desk: StaffDesk, one: Appeal) -> bool:
    return desk.account.role is Role.HEAD or one.reviewer == desk.who


def _asked(desk: StaffDesk, request: Request) -> Asked:
    """Return the question that an address names.

    Raises:
        HTTPException: There is none that concerns this person, or its class is not at hand.
    """
    wanted = request.path_params["question"]
    appeal = next((one for one in _mine(desk) if one.asked.id == wanted), None)
    held = next((one for one in desk.room.shelf.sets() if appeal is not None and one.name == appeal.asked.set), None)
    if appeal is None or held is None:
        raise HTTPException(404)
    scripts = (one for one in held.marked.scripts if one.write_up.student.code == appeal.asked.student)
    for script in scripts:
        for mark in script.criteria:
            if mark.criterion.code == appeal.asked.criterion:
                return Asked(appeal=appeal, held=held, script=script, mark=mark)
    raise HTTPException(404)


def show(desk: StaffDesk, request: Request) -> Response:
    """Show one question."""
    return _page(desk, _asked(desk, request))


def _page(desk: StaffDesk, one: Asked, *, typed: str = "", refused: str = "", status: int = 200) -> Response:
    row = question_row(one.appeal, one.held.rubric.title, who=desk.who)
    page = question_page(
        row,
        one.appeal,
        one.held,
        one.script,
        one.mark,
        people=_people(desk, one),
        button=desk.fresh(),
        typed=typed,
        refused=refused,
    )
    return desk.render("question", page, status=status)


def _people(desk: StaffDesk, one: Asked) -> list[str]:
    """Return to whom the head of department may give a question: teachers who did not mark it first."""
    if desk.account.role is not Role.HEAD:
        return []
    people = [each for each in desk.room.book.all() if each.is_open and each.role in LEADERS]
    return [each.name for each in people if each.name != one.held.owner]


def take(desk: StaffDesk, request: Request, sent: Sent) -> Response:
    """Give a question to whoever is to look, or take the answer down."""
    one, deed = _asked(desk, request), sent.text("deed")
    if deed not in ("pass", "answer"):
        raise HTTPException(400)
    try:
        _pass(desk, one, sent) if deed == "pass" else _answer(desk, one, sent)
    except (InputError, OvertakenError) as error:
        if not _was_done(desk, sent):
            typed = sent.text("why")[:LONGEST]
            return _page(desk, _asked(desk, request), typed=typed, refused=str(error), status=409)
    return RedirectResponse(f"/questions/{one.appeal.asked.id}", status_code=303)


def _was_done(desk: StaffDesk, sent: Sent) -> bool:
    """Tell whether the same button was pressed before: two presses are one decision."""
    known = desk.pressed(sent.text("button")[:64]).fresh()
    return any(one.id == known for one in desk.shelf.record.all_decisions(about=AppealAsked.about))


def _pass(desk: StaffDesk, one: Asked, sent: Sent) -> None:
    reviewer = sent.text("reviewer")
    if desk.account.role is not Role.HEAD or reviewer not in _people(desk, one):
        raise HTTPException(403)
    _as_seen(one, sent)
    pass_on(
        desk.shelf.record,
        one.held.name,
        desk.pressed(sent.text("button")[:64]),
        student=one.appeal.asked.student,
        criterion=one.mark.criterion.code,
        reviewer=reviewer,
        first_marker=one.held.owner,
    )


def _answer(desk: StaffDesk, one: Asked, sent: Sent) -> None:
    if one.appeal.reviewer != desk.who:
        raise HTTPException(403)
    was, marks = _as_seen(one, sent), sent.number("marks")
    outcome = AppealOutcome.RAISED if marks > was else AppealOutcome.LOWERED if marks < was else AppealOutcome.UPHELD
    if sent.text("unclear"):
        outcome = AppealOutcome.UNCLEAR
    answer(
        desk.shelf.record,
        one.held.name,
        desk.pressed(sent.text("button")[:64]),
        student=one.appeal.asked.student,
        criterion=one.mark.criterion.code,
        outcome=outcome,
        marks=marks,
        why=sent.text("why")[:LONGEST],
        first_marker=one.held.owner,
        was=was,
        out_of=one.mark.criterion.marks,
        version=version_of(one.script),
    )


def _as_seen(one: Asked, sent: Sent) -> int:
    """Return the mark in question, where it and the question are as the page showed them.

    Raises:
        InputError: Something has changed since.
    """
    if sent.text("seen") != seen_of(one.appeal, one.mark) or one.mark.marks is None:
        words = wording("staffroom")["questions"]
        raise InputError(one.appeal.asked.student, words["moved_on"], words["look_again"])
    return one.mark.marks


def letter(desk: StaffDesk, request: Request) -> Response:
    """Give the answer to the student, as a page."""
    one = _asked(desk, request)
    if one.appeal.answered is None:
        raise HTTPException(404)
    point, out_of = one.mark.criterion.point, one.mark.criterion.marks
    return as_file(lambda path: write_appeal_letter(path, one.appeal, point, out_of), "answer.pdf", "application/pdf")


def _write_up(desk: StaffDesk, request: Request) -> tuple[HeldSet, Script]:
    """Return the write-up of an own class that an address names.

    Raises:
        HTTPException: There is none, or it is another teacher's.
    """
    held, at = desk.shelf.get(request.path_params["sid"]), request.path_params["at"]
    if held is None or not desk.may_change(held):
        raise HTTPException(404)
    if at >= len(held.marked.scripts) or not held.marked.scripts[at].criteria:
        raise HTTPException(404)
    return held, held.marked.scripts[at]


def show_asking(desk: StaffDesk, request: Request) -> Response:
    """Show the form that takes a question down."""
    held, script = _write_up(desk, request)
    page = asking_page(script, request.path_params["at"], released=_released(desk, held), button=desk.fresh())
    return desk.render("asking", page, held=held, tab="class")


def _released(desk: StaffDesk, held: HeldSet) -> str:
    """Return when marks were given back, as far as the record tells: the day on which the set was closed."""
    closed = [one.when[:10] for one in held.decisions if isinstance(one, Closed)]
    return closed[0] if closed else desk.now()[:10]


def take_asking(desk: StaffDesk, request: Request, sent: Sent) -> Response:
    """Take a question down."""
    held, script = _write_up(desk, request)
    criterion, why = sent.text("criterion"), sent.text("why")[:LONGEST]
    maker = desk.pressed(sent.text("button")[:64])
    known = {mark.criterion.code: mark for mark in script.criteria}
    words = wording("staffroom")["questions"]
    try:
        if criterion not in known or known[criterion].marks is None:
            raise InputError(script.write_up.student.code, words["no_mark"], words["choose"])
        if not why:
            raise InputError(script.write_up.student.code, words["no_words"], words["say"])
        made = ask(
            desk.shelf.record,
            held.name,
            maker,
            student=script.write_up.student.code,
            criterion=criterion,
            why=why,
            released=_day(sent.text("released")),
        )
    except (InputError, OvertakenError) as error:
        if _was_done(desk, sent):
            return RedirectResponse(f"/questions/{desk.pressed(sent.text('button')[:64]).fresh()}", status_code=303)
        page = asking_page(
            script,
            request.path_params["at"],
            released=sent.text("released")[:10],
            button=desk.fresh(),
            chosen=criterion,
            why=why,
            refused=str(error),
        )
        return desk.render("asking", page, held=held, tab="class", status=409)
    return RedirectResponse(f"/questions/{made.id}", status_code=303)


def _day(said: str) -> datetime.date:
    words = wording("staffroom")["questions"]
    try:
        return datetime.date.fromisoformat(said)
    except ValueError as error:
        raise InputError(said[:20], words["no_day"], words["write_day"]) from error
