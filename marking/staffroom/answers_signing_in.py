"""Answers about coming in: name and password, signing out, a password of one's own."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from marking.accounts import MOST_PASSWORD, unfit_password
from marking.desk import Desk, Sent
from marking.staffroom.staff import StaffDesk, Staffroom

MOST_NAME = 200


def sign_in_page(room: Staffroom, visit: str, *, refused: str = "", wait: float = 0, name: str = "") -> Response:
    """Return the page to sign in; one sentence for a wrong name and a wrong password."""
    desk: Desk = room.desk_for_visitor(visit)
    page = {"refused": refused, "wait": max(1, round(wait)), "name": name}
    status = {"": 200, "wait": 429}.get(refused, 403)
    return desk.render("sign_in", page, status=status)


def sign_in(room: Staffroom, request: Request, sent: Sent, visit: str) -> Response:
    """Let somebody in whose name and password are right, under a new session."""
    name, password = sent.text("name")[:MOST_NAME], sent.fields.get("password", "")[: MOST_PASSWORD + 1]
    place = request.client.host if request.client is not None else ""
    wait = room.slowing.knock(name, place)
    if wait > 0:
        return sign_in_page(room, visit, refused="wait", wait=wait, name=name)
    account = room.book.check(name, password)
    if account is None:
        return sign_in_page(room, visit, refused="wrong", name=name)
    room.slowing.right(name, place)
    room.sessions.end(request.cookies.get(room.house.cookie, ""))
    session = room.sessions.begin(account)
    answer = RedirectResponse("/password" if account.has_phrase else "/", status_code=303)
    room.house.drop(answer, room.house.visitor_cookie)
    room.house.keep(answer, room.house.cookie, session.token)
    return answer


def sign_out(desk: StaffDesk, _request: Request, _sent: Sent) -> Response:
    """End this session."""
    desk.room.sessions.end(desk.secret.text)
    answer = RedirectResponse("/sign-in", status_code=303)
    desk.room.house.drop(answer, desk.room.house.cookie)
    return answer


def show_password(desk: StaffDesk, _request: Request) -> Response:
    """Show the form for a new password."""
    return desk.render("password", {"refused": "", "has_phrase": desk.account.has_phrase})


def take_password(desk: StaffDesk, request: Request, sent: Sent) -> Response:
    """Set a new password; every session under the old one ends, and this one goes on under a new secret."""
    room, name = desk.room, desk.account.name
    old, new, again = (sent.fields.get(one, "") for one in ("old", "new", "again"))
    place = request.client.host if request.client is not None else ""
    refused = "differ" if new != again else "unfit" if unfit_password(new, name) else ""
    if not refused and room.slowing.knock(name, place) > 0:
        refused = "wait"
    if not refused and (old == new or room.book.check(name, old) is None):
        refused = "same" if old == new else "wrong"
    if refused:
        page = {"refused": refused, "has_phrase": desk.account.has_phrase}
        return desk.render("password", page, status=422)
    room.slowing.right(name, place)
    room.book.new_password(desk.account, new)
    session = room.sessions.begin(room.book.named(name))
    answer = RedirectResponse("/", status_code=303)
    room.house.keep(answer, room.house.cookie, session.token)
    return answer
