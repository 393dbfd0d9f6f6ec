"""Answers over time: a class, one student for a parents' evening, and all classes of a department."""

from __future__ import annotations

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from marking.desk.answers_sets import held_of
from marking.desk.frame import Desk
from marking.desk.pages import department_page, evening_page, over_time_page


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
    told = desk.shelf.practicals(held.name.class_name)
    page = evening_page(held, request.path_params["at"], told, desk.shelf.rubrics)
    if page is None:
        raise HTTPException(404)
    return desk.render("evening", page, held=held, tab="time")


def show_department(desk: Desk, _request: Request) -> Response:
    """Show all classes that the record knows."""
    return desk.render("department", department_page(desk.shelf.practicals(), _titles(desk)))
