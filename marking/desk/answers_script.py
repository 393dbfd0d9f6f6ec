"""Answers about one student's work: cells to mend, the write-up, a comment."""

from __future__ import annotations

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from marking.decided import (
    CellMended,
    CommentWritten,
    Decision,
    entries_of,
    slot_of,
)
from marking.desk.answers_sets import held_of
from marking.desk.forms import Sent
from marking.desk.frame import Desk
from marking.desk.pages import cells_page, script_page, whose
from marking.record import OvertakenError
from reports.wording import wording

LONGEST_COMMENT = 600
"""Characters; what fits a sheet."""


def show_cells(desk: Desk, request: Request) -> Response:
    """Show the cells that could not be read."""
    held = held_of(desk, request)
    return desk.render("cells", cells_page(held, desk.fresh), held=held, tab="cells")


def take_cell(desk: Desk, request: Request, sent: Sent) -> Response:
    """Mend one cell; what the file says stays as it is."""
    held = held_of(desk, request)
    student, cell, entry = sent.text("student"), sent.text("cell"), sent.text("entry")
    script = next((one for one in held.found.scripts if one.write_up.student.code == student), None)
    old = entries_of(script.write_up).get(slot_of(cell)) if script is not None else None
    if old is None:
        raise HTTPException(404)
    if entry:
        mended = desk.made(
            CellMended,
            held.name,
            id=sent.text("button")[:64],
            number=sent.number("number"),
            student=student,
            cell=cell,
            was=old.raw,
            source=str(old.place),
            entry=entry[:200],
        )
        return _kept(desk, mended, f"/set/{held.sid}/cells")
    return RedirectResponse(f"/set/{held.sid}/cells", status_code=303)


def show(desk: Desk, request: Request) -> Response:
    """Show a write-up."""
    held = held_of(desk, request)
    page = script_page(held, request.path_params["at"], desk.fresh())
    if page is None:
        raise HTTPException(404)
    return desk.render("script", page, held=held, tab="class")


def take_comment(desk: Desk, request: Request, sent: Sent) -> Response:
    """Keep a teacher's own words for the sheet."""
    held, at = held_of(desk, request), request.path_params["at"]
    if at >= len(held.marked.scripts) or sent.text("whose") != whose(held.marked.scripts[at]):
        raise HTTPException(404)
    comment = desk.made(
        CommentWritten,
        held.name,
        id=sent.text("button")[:64],
        number=sent.number("number"),
        student=held.marked.scripts[at].write_up.student.code,
        text=" ".join(sent.text("text").split())[:LONGEST_COMMENT],
    )
    return _kept(desk, comment, f"/set/{held.sid}/student/{at}")


def _kept(desk: Desk, decision: Decision, address: str) -> Response:
    """Keep a decision and go on; where somebody came first, show both."""
    try:
        desk.shelf.record.add([decision])
    except OvertakenError as error:
        desk.shelf.refresh()
        theirs = error.theirs
        slots = {
            "mine": _said(decision),
            "theirs": _said(theirs) if theirs else "",
            "who": theirs.who if theirs else "",
        }
        return desk.render("trouble", wording("desk")["trouble"]["both"].format(**slots), status=409)
    return RedirectResponse(address, status_code=303)


def _said(decision: Decision) -> str:
    if isinstance(decision, CellMended):
        return decision.entry
    return decision.text if isinstance(decision, CommentWritten) else ""
