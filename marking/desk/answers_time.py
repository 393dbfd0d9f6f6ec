"""Answers over time: a class, one student for a parents' evening, and all classes of a department."""

from __future__ import annotations

from collections.abc import Sequence

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from marking.desk.answers_paper import as_file
from marking.desk.answers_sets import held_of
from marking.desk.frame import Desk
from marking.desk.pages import department_page, evening_page, over_time_page
from marking.desk.shelf import HeldSet
from reports.teacher import EveningPage, write_evening_pages


def _titles(desk: Desk) -> dict[str, str]:
    return {one.id: one.title for one in desk.shelf.rubrics.values()}


def show_class(desk: Desk, request: Request) -> Response:
    """Show the class over its practicals."""
    held = held_of(desk, request)
    page = over_time_page(held, desk.shelf.practicals(held.name.class_name), _titles(desk))
    return desk.render("time", page, held=held, tab="time")


def show_evening(desk: Desk, request: Request) -> Response:
    """Show one student over practicals, for a parents' evening."""
    held = held_of(desk, request)
    (page,) = _evenings(desk, held, [request.path_params["at"]])
    return desk.render("evening", page, held=held, tab="time")


def evening_paper(desk: Desk, request: Request) -> Response:
    """Give the same on paper."""
    pages = _evenings(desk, held_of(desk, request), [request.path_params["at"]])
    return as_file(lambda path: write_evening_pages(path, pages), "parents-evening.pdf", "application/pdf")


def evening_papers(desk: Desk, request: Request) -> Response:
    """Give a page of each student of the class who handed something in, for one print."""
    held = held_of(desk, request)
    pages = _evenings(desk, held, range(len(held.marked.scripts)))
    there = [one for one in pages if one.occasions]
    if not there:
        raise HTTPException(404)
    return as_file(lambda path: write_evening_pages(path, there), "parents-evening.pdf", "application/pdf")


def _evenings(desk: Desk, held: HeldSet, places: Sequence[int]) -> list[EveningPage]:
    """Return the pages of the students at *places* of a set.

    Raises:
        HTTPException: There is no such student.
    """
    told = desk.shelf.practicals(held.name.class_name)
    totals = {
        (one.name, script.write_up.student.code): script.total
        for one in desk.shelf.sets()
        if one.name.class_name == held.name.class_name
        for script in one.marked.scripts
        if script.moderated is not None
    }
    pages = [evening_page(held, at, told, desk.shelf.rubrics, totals) for at in places]
    found = [one for one in pages if one is not None]
    if len(found) < len(pages):
        raise HTTPException(404)
    return found


def show_department(desk: Desk, _request: Request) -> Response:
    """Show all classes that the record knows."""
    return desk.render("department", department_page(desk.shelf.practicals(), _titles(desk)))
