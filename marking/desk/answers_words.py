"""Answers about the words on sheets: a sentence mended for one student or for all who were given it, and undone."""

from __future__ import annotations

from collections.abc import Iterator

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from marking.decided import (
    Decision,
    SentenceMended,
    seen,
)
from marking.desk.answers_sets import held_of
from marking.desk.forms import Sent
from marking.desk.frame import Desk
from marking.desk.pages import WordsRefused, cells_of, given, key_of, spoken_at, words_page
from marking.desk.shelf import HeldSet
from marking.record import OvertakenError
from reports.student import Spoken

LONGEST = 300
"""Characters; a sentence that is read."""
ONE, ALL, BACK, BACK_ALL = "one", "all", "back", "back-all"
"""For this student, for all who were given it; the program's words again, likewise."""


def show(desk: Desk, request: Request) -> Response:
    """Show what a sheet says."""
    return _page(desk, held_of(desk, request), request.path_params["at"])


def _page(desk: Desk, held: HeldSet, at: int, refused: WordsRefused | None = None) -> Response:
    page = words_page(held, at, desk.fresh(), refused=refused)
    if page is None:
        raise HTTPException(404)
    status = {"changed": 409, "none": 422}[refused.kind] if refused is not None else 200
    return desk.render("words", page, held=held, tab="feedback", status=status)


def take(desk: Desk, request: Request, sent: Sent) -> Response:
    """Mend one sentence, or bring the program's words back."""
    held, at = held_of(desk, request), request.path_params["at"]
    deed, words = sent.text("deed"), " ".join(sent.text("text").split())[:LONGEST]
    if at >= len(held.marked.scripts):
        raise HTTPException(404)
    if deed not in (ONE, ALL, BACK, BACK_ALL):
        raise HTTPException(400)
    text = words if deed in (ONE, ALL) else ""
    if deed in (ONE, ALL) and not words:
        return _page(desk, held, at, WordsRefused(kind="none", text=""))
    mine = next((one for one in spoken_at(held, at) if key_of(one) == sent.text("sentence")), None)
    if mine is None:
        # Pressed twice, it is mended already and says just that; else somebody was here meanwhile.
        if _is_known(held, sent.text("button")[:64]):
            return RedirectResponse(_address(held, at), status_code=303)
        return _page(desk, held, at, WordsRefused(kind="changed", text=words))
    chosen = given(held, mine, text) if deed in (ALL, BACK_ALL) else [(at, mine)]
    try:
        desk.shelf.record.add(
            [one for where, said in chosen for one in _decisions(desk, held, where, said, text, sent)]
        )
    except OvertakenError:
        desk.shelf.refresh()
        return _page(desk, held, at, WordsRefused(kind="changed", text=words))
    return RedirectResponse(_address(held, at), status_code=303)


def _is_known(held: HeldSet, button: str) -> bool:
    return any(isinstance(one, SentenceMended) and one.id.startswith(f"{button}-") for one in held.decisions)


def _address(held: HeldSet, at: int) -> str:
    return f"/set/{held.sid}/student/{at}/words"


def _decisions(desk: Desk, held: HeldSet, at: int, said: Spoken, text: str, sent: Sent) -> Iterator[Decision]:
    script = held.marked.scripts[at]
    student = script.write_up.student.code
    for place, (criterion, cell) in enumerate(cells_of(said)):
        earlier = held.about(SentenceMended.about, student=student, criterion=criterion, cell=cell)
        yield desk.made(
            SentenceMended,
            held.name,
            id=f"{sent.text('button')[:64]}-{at}-{place}",
            number=len(earlier) + 1,
            student=student,
            criterion=criterion,
            cell=cell,
            was=said.text,
            text=text,
            saw=seen(script, criterion),
        )
