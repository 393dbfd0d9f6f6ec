"""Answers about the end of a round: the class, sheets to print, marks to take away, signing and closing."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path

from msgspec import structs
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from marking.decided import (
    Closed,
    Decision,
    Reopened,
    Signed,
)
from marking.desk.answers_sets import held_of
from marking.desk.forms import Sent
from marking.desk.frame import Desk
from marking.desk.pages import benches_page, class_page, close_page, feedback_page, leads_page, waiting
from marking.desk.shelf import HeldSet
from reports.student import MarksShown, write_feedback, write_feedback_print
from reports.tables import write_findings_csv, write_mark_book_csv, write_marks_workbook
from reports.teacher import write_class_summary, write_task_answers, write_technician_note

LARGE = "large print"
"""As a roster asks for it."""
PDF, CSV = "application/pdf", "text/csv; charset=utf-8"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def show_class(desk: Desk, request: Request) -> Response:
    """Show the class."""
    held = held_of(desk, request)
    return desk.render("class", class_page(held, desk.shelf.notes_on(held)), held=held, tab="class")


def show_benches(desk: Desk, request: Request) -> Response:
    """Show what is for the technician."""
    held = held_of(desk, request)
    return desk.render("technician", benches_page(desk.shelf.notes_on(held)), held=held, tab="class")


def show_leads(desk: Desk, request: Request) -> Response:
    """Show what is for the teacher's eyes only."""
    held = held_of(desk, request)
    return desk.render("leads", leads_page(held, desk.shelf.notes_on(held)), held=held, tab="class")


def show_feedback(desk: Desk, request: Request) -> Response:
    """Show the sheets that can be printed."""
    held = held_of(desk, request)
    return desk.render("feedback", feedback_page(held, _shown(request).value), held=held, tab="feedback")


def one_sheet(desk: Desk, request: Request) -> Response:
    """Give one student's sheet as it prints."""
    held, at, shown = held_of(desk, request), request.path_params["at"], _shown(request)
    if at >= len(held.marked.scripts):
        raise HTTPException(404)
    script = desk.shelf.marked_over_time(held).scripts[at]
    if request.query_params.get("paper") == LARGE:
        student = structs.replace(script.write_up.student, paper=LARGE)
        script = structs.replace(script, write_up=structs.replace(script.write_up, student=student))
    rubrics = {held.rubric.id: held.rubric}
    return as_file(lambda path: write_feedback(path, [script], rubrics, marks=shown), f"sheet-{at + 1}.pdf", PDF)


def _all_sheets(path: Path, held: HeldSet, shown: MarksShown) -> None:
    scripts = [[script] for script in held.marked.scripts]
    write_feedback_print(path, scripts, {held.rubric.id: held.rubric}, marks=shown, double_sided=True)


Write = Callable[[Path, HeldSet, MarksShown], None]
PAPERS: Mapping[str, tuple[Write, str]] = {
    "sheets.pdf": (_all_sheets, PDF),
    "task-answers.pdf": (lambda path, held, _shown: write_task_answers(path, [held.marked]), PDF),
    "class-summary.pdf": (lambda path, held, _shown: write_class_summary(path, [held.marked], held.notes or ()), PDF),
    "technician-note.pdf": (
        lambda path, held, _shown: write_technician_note(path, held.notes or (), {held.rubric.id: held.rubric}),
        PDF,
    ),
    "marks.xlsx": (lambda path, held, _shown: write_marks_workbook(path, [held.marked]), XLSX),
    "mark-book.csv": (lambda path, held, _shown: write_mark_book_csv(path, [held.marked]), CSV),
    "findings.csv": (lambda path, held, _shown: write_findings_csv(path, [held.marked]), CSV),
}
"""All that can be taken away of a set, and nothing else can."""


def paper(desk: Desk, request: Request) -> Response:
    """Give a paper or a workbook about the whole set."""
    held, name = held_of(desk, request), request.path_params["paper"]
    if name not in PAPERS:
        raise HTTPException(404)
    write, kind = PAPERS[name]
    desk.shelf.notes_on(held)
    told = structs.replace(held, marked=desk.shelf.marked_over_time(held))
    return as_file(lambda path: write(path, told, _shown(request)), name, kind)


def as_file(write: Callable[[Path], None], name: str, kind: str) -> Response:
    """Give what *write* puts into a file, under a *name* of ours."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / name
        write(path)
        data = path.read_bytes()
    way = "inline" if kind == PDF else "attachment"
    return Response(data, media_type=kind, headers={"Content-Disposition": f'{way}; filename="{name}"'})


def _shown(request: Request) -> MarksShown:
    said = request.query_params.get("marks", MarksShown.SHOWN.value)
    return MarksShown(said) if said in set(MarksShown) else MarksShown.SHOWN


def show_close(desk: Desk, request: Request) -> Response:
    """Show how far the round is, and the way to end it."""
    held = held_of(desk, request)
    return desk.render("close", close_page(held, desk.fresh()), held=held, tab="close")


_STEPS: Mapping[str, tuple[type[Decision], ...]] = {
    "sign": (Signed,),
    "close": (Signed, Closed),
    "reopen": (Reopened,),
}


def take_close(desk: Desk, request: Request, sent: Sent) -> Response:
    """Sign, close or reopen a set."""
    held, deed, why = held_of(desk, request), sent.text("deed"), sent.text("why")
    if deed not in _STEPS:
        raise HTTPException(400)
    if deed == "reopen" and not why:
        page = close_page(held, desk.fresh(), no_reason=True)
        return desk.render("close", page, held=held, tab="close", status=422)
    if deed == "close" and waiting(held):
        return RedirectResponse(f"/set/{held.sid}/decide", status_code=303)
    number, button = sent.number("number"), sent.text("button")[:64]
    desk.shelf.record.add(
        [
            desk.made(kind, held.name, id=f"{button}-{place}", number=number + place, why=why)
            for place, kind in enumerate(_STEPS[deed])
        ]
    )
    desk.shelf.take_down(held)
    return RedirectResponse(f"/set/{held.sid}/close", status_code=303)
