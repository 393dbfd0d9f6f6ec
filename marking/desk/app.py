"""The desk as a value: an application made of a record, the practicals known and a secret."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from marking.desk import answers_decide, answers_paper, answers_script, answers_sets, answers_time, answers_words
from marking.desk.doors import Doors, Secret
from marking.desk.forms import Sent, read_form
from marking.desk.frame import Desk
from marking.desk.shelf import Shelf
from marking.record import Record
from marking.terminal import disk_words
from reports.wording import wording
from rubrics.faults import WriteupsError
from rubrics.model import Rubric

Show = Callable[[Desk, Request], Response]
Take = Callable[[Desk, Request, Sent], Response]

NO_ROOM = 507
"""Status of an answer that finds no room on the disk (RFC 4918, 11.5)."""
SHOWN: Mapping[str, Show] = {
    "/": answers_sets.show,
    "/set/{sid}/cells": answers_script.show_cells,
    "/set/{sid}/decide": answers_decide.show_first,
    "/set/{sid}/decide/{criterion}/{at:int}": answers_decide.show,
    "/set/{sid}/student/{at:int}": answers_script.show,
    "/set/{sid}/student/{at:int}/words": answers_words.show,
    "/set/{sid}/student/{at:int}/evening": answers_time.show_evening,
    "/set/{sid}/student/{at:int}/evening.pdf": answers_time.evening_paper,
    "/set/{sid}/evening.pdf": answers_time.evening_papers,
    "/department": answers_time.show_department,
    "/set/{sid}/class": answers_paper.show_class,
    "/set/{sid}/benches": answers_paper.show_benches,
    "/set/{sid}/leads": answers_paper.show_leads,
    "/set/{sid}/time": answers_time.show_class,
    "/set/{sid}/feedback": answers_paper.show_feedback,
    "/set/{sid}/sheet/{at:int}": answers_paper.one_sheet,
    "/set/{sid}/paper/{paper}": answers_paper.paper,
    "/set/{sid}/close": answers_paper.show_close,
}
TAKEN: Mapping[str, Take] = {
    "/": answers_sets.take,
    "/sample": answers_sets.take_sample,
    "/set/{sid}/cells": answers_script.take_cell,
    "/set/{sid}/decide/{criterion}/{at:int}": answers_decide.take,
    "/set/{sid}/student/{at:int}": answers_script.take_comment,
    "/set/{sid}/student/{at:int}/words": answers_words.take,
    "/set/{sid}/close": answers_paper.take_close,
}


def desk_app(
    record: Record,
    rubrics: Mapping[str, Rubric],
    secret: str,
    *,
    hosts: frozenset[str],
    folder: Path,
    now: Callable[[], str],
    fresh: Callable[[], str],
    program: str,
    who: str = "",
) -> Starlette:
    """Return the desk; nothing of it lives outside the value.

    Args:
        record: Where decisions are kept.
        rubrics: The practicals known, by id.
        secret: Stands in the first address; whoever has it is in.
        hosts: Host and port under which the desk may be asked for.
        folder: Where files that are dropped in are kept, a folder for each drop.
        now: Gives the time, UTC, as ISO 8601 text.
        fresh: Makes an id that nobody can guess.
        program: Version of the program.
        who: Name of the teacher, where it is known.
    """
    session = Secret(secret)
    shelf = Shelf(record, rubrics, folder, lambda _owner: desk.maker())
    desk = Desk(
        shelf=shelf,
        secret=session,
        now=now,
        fresh=fresh,
        program=program,
        who=who,
    )
    routes: list[Route | Mount] = [Route(path, _showing(desk, show), methods=["GET"]) for path, show in SHOWN.items()]
    routes += [Route(path, _taking(desk, take), methods=["POST"]) for path, take in TAKEN.items()]
    routes.append(Route("/who", _taking(desk, _take_name, needs_name=False), methods=["POST"]))
    routes.append(Mount("/static", StaticFiles(directory=Path(__file__).parent / "static")))
    routes.append(Mount("/fonts", StaticFiles(packages=[("reports", "fonts")])))
    app = Starlette(
        routes=routes,
        middleware=[Middleware(Doors, secret=session, hosts=hosts, closed=wording("desk")["closed_door"])],
        exception_handlers={
            HTTPException: lambda _request, error: desk.render("lost", "", status=getattr(error, "status_code", 500)),
            WriteupsError: lambda _request, error: desk.render("trouble", str(error), status=409),
            OSError: lambda _request, error: desk.render("trouble", no_room(error, folder), status=NO_ROOM),
            Exception: lambda _request, _error: desk.render("fault", "", status=500),
        },
    )
    app.state.desk = desk
    shelf.begin()
    return app


def no_room(error: Exception, folder: Path) -> str:
    """Return what is said of a disk that does not take what was to be kept in *folder*."""
    return disk_words(error, str(folder)) if isinstance(error, OSError) else str(error)


def _showing(desk: Desk, show: Show) -> Callable[[Request], object]:
    async def endpoint(request: Request) -> Response:
        if not desk.who:
            return desk.render("who", request.url.path)
        return await run_in_threadpool(show, desk, request)

    return endpoint


def _taking(desk: Desk, take: Take, *, needs_name: bool = True) -> Callable[[Request], object]:
    async def endpoint(request: Request) -> Response:
        sent = await read_form(request, desk.secret)
        if needs_name and not desk.who:
            return RedirectResponse("/", status_code=303)
        return await run_in_threadpool(take, desk, request, sent)

    return endpoint


def _take_name(desk: Desk, _request: Request, sent: Sent) -> Response:
    desk.who = " ".join(sent.text("who").split())[:80]
    return RedirectResponse("/", status_code=303)
