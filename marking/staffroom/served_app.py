"""The shared desk as a value: pages of the desk and of the department behind one door and one table of rules."""

from __future__ import annotations

import secrets
import threading
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from msgspec import Struct
from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import BaseRoute, Mount, Route
from starlette.staticfiles import StaticFiles

from marking.accounts import AccountBook, Passwords, Role, Session, Sessions, Slowing
from marking.desk import NO_ROOM, SHOWN, TAKEN, Desk, Secret, Sent, no_room, read_form
from marking.desk.shelf import Shelf
from marking.moderation.department import ClassLine
from marking.record import (
    Maker,
    Record,
)
from marking.staffroom import (
    answers_benches,
    answers_moderation,
    answers_questions,
    answers_second,
    answers_signatures,
    answers_signing_in,
)
from marking.staffroom.front_door import SIGN_IN, FrontDoor, House
from marking.staffroom.rounds_at_hand import RoundsAtHand
from marking.staffroom.rules import RULES, may
from marking.staffroom.staff import StaffDesk, Staffroom
from reports.wording import wording
from rubrics.faults import WriteupsError
from rubrics.model import Rubric

Show = Callable[[StaffDesk, Request], Response]
Take = Callable[[StaffDesk, Request, Sent], Response]

_SHOWN: Mapping[str, Show] = {
    **SHOWN,
    "/": lambda desk, request: _home(desk, request),
    "/password": answers_signing_in.show_password,
    "/second": answers_second.show_packs,
    "/second/{pack}": answers_second.show_pack,
    "/second/{pack}/file/{kind}": answers_second.give_file,
    "/second/{pack}/{at:int}": answers_second.show_script,
    "/moderation": answers_moderation.show_rounds,
    "/moderation/{round}": answers_moderation.show_round,
    "/moderation/{round}/rule": answers_moderation.show_ruling,
    "/moderation/{round}/paper/{paper}": answers_moderation.paper,
    "/questions": answers_questions.show_all,
    "/questions/{question}": answers_questions.show,
    "/questions/{question}/letter": answers_questions.letter,
    "/set/{sid}/student/{at:int}/question": answers_questions.show_asking,
    "/signatures": answers_signatures.show_all,
    "/signatures/{round}": answers_signatures.show_own,
    "/benches": answers_benches.show,
    "/benches/kit/{practical}": answers_benches.kit,
}
_TAKEN: Mapping[str, Take] = {
    **TAKEN,
    "/sign-out": answers_signing_in.sign_out,
    "/password": answers_signing_in.take_password,
    "/second/{pack}": answers_second.take_pack,
    "/second/{pack}/{at:int}": answers_second.take_mark,
    "/moderation": answers_moderation.make,
    "/moderation/{round}": answers_moderation.take_round,
    "/moderation/{round}/rule": answers_moderation.take_ruling,
    "/questions/{question}": answers_questions.take,
    "/set/{sid}/student/{at:int}/question": answers_questions.take_asking,
    "/signatures/{round}": answers_signatures.sign,
}
_BEFORE_OWN_PASSWORD = frozenset({"/password", "/sign-out"})


class ServedFolders(Struct, frozen=True, kw_only=True):
    """Where a shared desk finds and keeps files."""

    sets: Path
    """Files that are dropped in, a folder for each person."""
    rounds: Path
    """Rounds of moderation, a folder each."""
    classes: tuple[ClassLine, ...] = ()
    """Of the department's list, where there is one."""


def served_app(
    record: Record,
    rubrics: Mapping[str, Rubric],
    *,
    house: House,
    folders: ServedFolders,
    now: Callable[[], str],
    clock: Callable[[], float],
    fresh: Callable[[], str],
    program: str,
    passwords: Passwords | None = None,
) -> Starlette:
    """Return the desk of a department; nothing of it lives outside the value.

    Args:
        record: Where decisions are kept; accounts and sessions stand beside it.
        rubrics: The practicals known, by id.
        house: Under which addresses it is asked for.
        folders: Where files are.
        now: Gives the time, UTC, as ISO 8601 text.
        clock: Gives seconds since 1970.
        fresh: Makes an id that nobody can guess.
        program: Version of the program.
        passwords: How passwords are hashed; None for the usual way.
    """
    shelf = Shelf(record, rubrics, folders.sets, lambda who: Maker(who=who, now=now, fresh=fresh, program=program))
    room = Staffroom(
        shelf=shelf,
        rounds=RoundsAtHand(folders.rounds, record, program),
        book=AccountBook(record.engine, now, passwords),
        sessions=Sessions(record.engine, now),
        slowing=Slowing(record.engine, clock),
        house=house,
        secret=secrets.token_urlsafe(32),
        now=now,
        fresh=fresh,
        program=program,
        whole=frozenset(line.class_name for line in folders.classes if line.is_whole),
    )
    closed = wording("staffroom")["closed_door"]
    app = Starlette(
        routes=_routes(room),
        middleware=[Middleware(FrontDoor, house=house, sessions=room.sessions, closed=closed)],
        exception_handlers={
            HTTPException: lambda request, error: _told(room, request, getattr(error, "status_code", 500)),
            WriteupsError: lambda request, error: _told(room, request, 409, str(error)),
            OSError: lambda request, error: _told(room, request, NO_ROOM, no_room(error, room.shelf.folder)),
            Exception: lambda request, _error: _told(room, request, 500),
        },
    )
    app.state.room = room
    threading.Thread(target=_read_sets, args=(room, folders.classes), daemon=True).start()
    return app


def _read_sets(room: Staffroom, classes: Sequence[ClassLine]) -> None:
    """Read the classes of the list, then what each person has dropped in."""
    try:
        for line in classes:
            room.shelf.read(line.set, line.marker, line.class_name)
        for account in room.book.all():
            folder = room.folder_of(account)
            if folder.is_dir():
                for path in sorted(one for one in folder.iterdir() if one.is_dir()):
                    room.shelf.read(path, account.name)
    finally:
        room.has_read.set()


def _routes(room: Staffroom) -> list[BaseRoute]:
    """Return every route.

    Raises:
        KeyError: The table of rules has no line for an address.
    """
    own: list[BaseRoute] = [
        Route(path, _showing(room, path, show), methods=["GET"]) for path, show in _SHOWN.items() if RULES[path].look
    ]
    own += [
        Route(path, _taking(room, path, take), methods=["POST"]) for path, take in _TAKEN.items() if RULES[path].change
    ]
    return [
        *own,
        Route(SIGN_IN, _show_sign_in(room), methods=["GET"]),
        Route(SIGN_IN, _take_sign_in(room), methods=["POST"]),
        Mount("/static", StaticFiles(packages=[("marking.desk", "static")])),
        Mount("/fonts", StaticFiles(packages=[("reports", "fonts")])),
    ]


def _showing(room: Staffroom, path: str, show: Show) -> Callable[[Request], object]:
    async def endpoint(request: Request) -> Response:
        desk = _entered(room, request)
        refusal = _refusal(desk, path, changes=False)
        return refusal if refusal is not None else await run_in_threadpool(show, desk, request)

    return endpoint


def _taking(room: Staffroom, path: str, take: Take) -> Callable[[Request], object]:
    async def endpoint(request: Request) -> Response:
        desk = _entered(room, request)
        refusal = _refusal(desk, path, changes=True)
        if refusal is not None:
            return refusal
        if "sid" in request.path_params:
            await run_in_threadpool(_own_set_only, desk, request)
        sent = await read_form(request, desk.secret)
        return await run_in_threadpool(take, desk, request, sent)

    return endpoint


def _entered(room: Staffroom, request: Request) -> StaffDesk:
    """Return the desk of whoever asks; the door has let nobody else in."""
    session: Session = request.state.session
    return room.desk_for(session)


def _refusal(desk: StaffDesk, path: str, *, changes: bool) -> Response | None:
    if desk.account.has_phrase and path not in _BEFORE_OWN_PASSWORD:
        return RedirectResponse("/password", status_code=303)
    if not may(desk.account.role, path, changes=changes):
        raise HTTPException(403)
    return None


def _own_set_only(desk: StaffDesk, request: Request) -> None:
    """Refuse to change another's marks, for whoever may look at them.

    Raises:
        HTTPException: The set is another's, or there is none.
    """
    held = desk.shelf.get(request.path_params["sid"])
    if held is None:
        raise HTTPException(404)
    if not desk.may_change(held):
        raise HTTPException(403)


def _home(desk: StaffDesk, request: Request) -> Response:
    """Show the sets to whoever has any; lead others to what they are here for."""
    if desk.account.role in (Role.TEACHER, Role.HEAD):
        return SHOWN["/"](desk, request)
    return RedirectResponse(desk.ways[0].address, status_code=303)


def _show_sign_in(room: Staffroom) -> Callable[[Request], object]:
    async def endpoint(request: Request) -> Response:
        if request.state.session is not None:
            return RedirectResponse("/", status_code=303)
        visit = request.cookies.get(room.house.visitor_cookie, "") or secrets.token_urlsafe(24)
        answer = await run_in_threadpool(answers_signing_in.sign_in_page, room, visit)
        room.house.keep(answer, room.house.visitor_cookie, visit)
        return answer

    return endpoint


def _take_sign_in(room: Staffroom) -> Callable[[Request], object]:
    async def endpoint(request: Request) -> Response:
        visit = request.cookies.get(room.house.visitor_cookie, "")
        if not visit:
            return RedirectResponse(SIGN_IN, status_code=303)
        sent = await read_form(request, Secret(f"{room.secret}/{visit}"))
        return await run_in_threadpool(answers_signing_in.sign_in, room, request, sent, visit)

    return endpoint


def _told(room: Staffroom, request: Request, status: int, said: str = "") -> Response:
    """Return the page that tells what was not done, in the frame of whoever asked."""
    session: Session | None = getattr(request.state, "session", None)
    desk: Desk = room.desk_for(session) if session is not None else room.desk_for_visitor("")
    if said:
        return desk.render("trouble", said, status=status)
    return desk.render({403: "not_yours", 500: "fault"}.get(status, "lost"), "", status=status)
