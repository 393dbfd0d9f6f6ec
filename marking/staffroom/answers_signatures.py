"""Answers about signatures: each given by the account to which it belongs, to exactly the version that was seen."""

from __future__ import annotations

from urllib.parse import quote

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from marking.desk import Sent, as_file
from marking.moderation.decisions import Ledger
from marking.rounds import asked_role
from marking.staffroom.pages import my_roles, signing_page
from marking.staffroom.rounds_at_hand import Round
from marking.staffroom.staff import StaffDesk
from reports.moderation import write_marker_page
from rubrics.faults import InputError, WriteupsError

OWN = "own"


def show_all(desk: StaffDesk, _request: Request) -> Response:
    """Show the rounds that this person may sign."""
    rounds = [one for one in desk.rounds() if not one.is_together]
    pages = [_page(desk, one) for one in rounds if not desk.is_blind(one.first.key.practical)]
    blind = [one.first.key.title for one in rounds if desk.is_blind(one.first.key.practical)]
    return desk.render("signatures", {"rounds": pages, "blind": blind})


def show_own(desk: StaffDesk, request: Request) -> Response:
    """Give a marker the page of their own marks beside second marks."""
    one = _round(desk, request)
    found = desk.figures(one)
    if desk.account.name not in found.found.key.markers:
        raise HTTPException(404)
    write = lambda path: write_marker_page(path, found.found, desk.account.name, found.proposed)  # noqa: E731
    return as_file(write, "own-marks.pdf", "application/pdf")


def _round(desk: StaffDesk, request: Request) -> Round:
    one = desk.round(request)
    if one.is_together or desk.is_blind(one.first.key.practical):
        raise HTTPException(404)
    return one


def _page(desk: StaffDesk, one: Round, refused: str = "") -> object:
    found = desk.figures(one)
    state = desk.room.rounds.standing(found)
    return signing_page(one.name, desk.account, found.found, state, button=desk.fresh(), refused=refused)


def sign(desk: StaffDesk, request: Request, sent: Sent) -> Response:
    """Sign one round."""
    one = _round(desk, request)
    found = desk.figures(one)
    try:
        role = asked_role(sent.text("role"))
    except InputError as error:
        raise HTTPException(400) from error
    if role not in my_roles(desk.account, found.found):
        raise HTTPException(403)
    maker = desk.pressed(sent.text("button")[:64])
    ledger = Ledger(
        desk.shelf.record, found.found, maker, account=desk.account.id, saw=sent.text("seen"), closes=found.sets
    )
    try:
        ledger.sign(role)
    except WriteupsError as error:
        known = desk.pressed(sent.text("button")[:64]).fresh()
        if all(each.id != known for each in desk.room.rounds.decisions(one)):
            return desk.render("signatures", {"rounds": [_page(desk, one, str(error))], "blind": []}, status=409)
    return RedirectResponse(f"/signatures#{quote(one.name)}", status_code=303)
