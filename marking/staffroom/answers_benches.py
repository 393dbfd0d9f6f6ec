"""Answers about apparatus: benches that read off, and what each practical needs. For the technician."""

from __future__ import annotations

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from marking.desk import as_file
from marking.staffroom.pages import benches_page
from marking.staffroom.staff import StaffDesk
from reports.lesson import write_kit

USUAL, MOST = 12, 40
"""Benches on a list of apparatus."""


def show(desk: StaffDesk, _request: Request) -> Response:
    """Show the benches that read off, over all classes."""
    shelf = desk.room.shelf
    notes = [note for held in shelf.sets() for note in shelf.notes_on(held)]
    return desk.render("benches", benches_page(notes, shelf.rubrics))


def kit(desk: StaffDesk, request: Request) -> Response:
    """Give a list of apparatus."""
    rubric = desk.shelf.rubrics.get(request.path_params["practical"])
    said = request.query_params.get("benches", str(USUAL))
    if rubric is None or not (said.isascii() and said.isdecimal() and len(said) < 3 and 0 < int(said) <= MOST):
        raise HTTPException(404)
    benches = [str(number) for number in range(1, int(said) + 1)]
    return as_file(lambda path: write_kit(path, rubric, benches), "kit.pdf", "application/pdf")
