"""Answers about marks: the one to decide, and what was decided."""

from __future__ import annotations

from collections.abc import Sequence
from urllib.parse import quote, urlencode

from msgspec import Struct
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from marking.decided import (
    Decision,
    MarkGiven,
    PutOff,
    TakenBack,
    seen,
    version_of,
)
from marking.desk.answers_sets import held_of
from marking.desk.forms import Sent
from marking.desk.frame import Desk
from marking.desk.pages import (
    BY_CRITERION,
    BY_SCRIPT,
    Refused,
    Spot,
    Undo,
    decide_page,
    following,
    mark_at,
    past,
    waiting,
    whose,
)
from marking.desk.shelf import HeldSet
from marking.record import (
    OvertakenError,
    SetClosedError,
)

GIVE, GIVE_ALL, LATER, UNDO = "give", "give-all", "later", "undo"


class Seen(Struct, frozen=True, kw_only=True):
    """One mark as a page showed it."""

    at: int
    number: int
    saw: str
    whose: str

    @classmethod
    def read(cls, said: str) -> Seen:
        """Return what a form says was seen.

        Raises:
            HTTPException: It says nothing of the kind.
        """
        at, _, rest = said.partition(":")
        number, _, rest = rest.partition(":")
        saw, _, owner = rest.partition(":")
        if not all(part.isascii() and part.isdecimal() and len(part) < 7 for part in (at, number)):
            raise HTTPException(400)
        return cls(at=int(at), number=int(number), saw=saw, whose=owner)


def show_first(desk: Desk, request: Request) -> Response:
    """Lead to the first mark that waits, or say that none does."""
    held, by = held_of(desk, request), _by(request)
    spots = waiting(held, by)
    if not spots:
        return desk.render("decided", held.state, held=held, tab="decide")
    return RedirectResponse(_address(held, spots[0], by, None), status_code=303)


def show(desk: Desk, request: Request) -> Response:
    """Show one mark with its evidence."""
    held = held_of(desk, request)
    return _page(desk, held, _spot(request), _by(request), undo=Undo.read(request.query_params.get("last", "")))


def _page(
    desk: Desk, held: HeldSet, spot: Spot, by: str, *, undo: Undo | None = None, refused: Refused | None = None
) -> Response:
    page = decide_page(held, spot, by=by, button=desk.fresh(), undo=undo, refused=refused)
    if page is None:
        raise HTTPException(404)
    status = 200 if refused is None else 422 if refused.kind == "no-reason" else 409
    return desk.render("decide", page, held=held, tab="decide", status=status)


def take(desk: Desk, request: Request, sent: Sent) -> Response:
    """Decide one mark, or like answers as one; then the next one comes by itself."""
    held, spot, by = held_of(desk, request), _spot(request), _by(request)
    deed, _, said = sent.text("deed").partition(":")
    shown = [Seen.read(one) for one in sent.lists.get("alike" if deed in (GIVE_ALL, UNDO) else "seen", ())]
    if deed not in (GIVE, GIVE_ALL, LATER, UNDO) or not shown:
        raise HTTPException(400)
    marks = _marks(said, held, spot) if deed in (GIVE, GIVE_ALL) else None
    refused = _not_as_shown(held, spot, shown) or _without_reason(held, spot, marks, sent.text("why"))
    if refused is None:
        refused = _decide(desk, [_decision(desk, held, spot, one, marks, deed, sent) for one in shown])
    if refused is not None:
        return _page(desk, held, spot, by, refused=refused)
    held = held_of(desk, request)
    if deed == UNDO:
        return RedirectResponse(_address(held, spot, by, None), status_code=303)
    undo = Undo(criterion=spot.criterion, ats=tuple(one.at for one in shown))
    after = following(held, spot, by)
    if after is None:
        desk.shelf.take_down(held)
        return RedirectResponse(f"/set/{held.sid}/decide", status_code=303)
    return RedirectResponse(_address(held, after, by, undo), status_code=303)


def _marks(said: str, held: HeldSet, spot: Spot) -> int:
    here = mark_at(held, spot.at, spot.criterion)
    if here is None:
        raise HTTPException(404)
    if not (said.isascii() and said.isdecimal() and len(said) < 3 and int(said) <= here[1].criterion.marks):
        raise HTTPException(400)
    return int(said)


def _decision(desk: Desk, held: HeldSet, spot: Spot, one: Seen, marks: int | None, deed: str, sent: Sent) -> Decision:
    script = held.marked.scripts[one.at]
    kind = {LATER: PutOff, UNDO: TakenBack}.get(deed, MarkGiven)
    here = mark_at(held, one.at, spot.criterion)
    was = here[1].marks if here is not None else None
    own = {} if marks is None else {"marks": marks, "saw": one.saw, "why": sent.text("why")}
    return desk.made(
        kind,
        held.name,
        id=f"{sent.text('button')[:64]}-{one.at}-{deed}",
        number=one.number,
        student=script.write_up.student.code,
        criterion=spot.criterion,
        cell=version_of(script),
        was="" if was is None else str(was),
        **own,
    )


def _not_as_shown(held: HeldSet, spot: Spot, shown: Sequence[Seen]) -> Refused | None:
    """Refuse where a script is not there any more, or says something else than the page showed."""
    for one in shown:
        here = mark_at(held, one.at, spot.criterion)
        if here is None or (seen(here[0], spot.criterion), whose(here[0])) != (one.saw, one.whose):
            return Refused(kind="changed")
    return None


def _without_reason(held: HeldSet, spot: Spot, marks: int | None, why: str) -> Refused | None:
    if marks is None or why:
        return None
    found = next(one for one in held.found.scripts[spot.at].criteria if one.criterion.code == spot.criterion)
    return Refused(kind="no-reason", marks=marks) if found.marks not in (None, marks) else None


def _decide(desk: Desk, decisions: Sequence[Decision]) -> Refused | None:
    """Write the decisions; return why they were refused."""
    mine = decisions[0]
    marks = mine.marks if isinstance(mine, MarkGiven) else None
    try:
        desk.shelf.record.add(decisions)
    except OvertakenError as error:
        desk.shelf.refresh()
        theirs = past(error.theirs) if error.theirs is not None else None
        return Refused(kind="overtaken", marks=marks, theirs=theirs, why=mine.why)
    except SetClosedError:
        return Refused(kind="closed", marks=marks, why=mine.why)
    return None


def _spot(request: Request) -> Spot:
    return Spot(at=request.path_params["at"], criterion=request.path_params["criterion"])


def _by(request: Request) -> str:
    return BY_SCRIPT if request.query_params.get("by") == BY_SCRIPT else BY_CRITERION


def _address(held: HeldSet, spot: Spot, by: str, undo: Undo | None) -> str:
    asked = ({"by": by} if by != BY_CRITERION else {}) | ({"last": str(undo)} if undo is not None else {})
    address = f"/set/{held.sid}/decide/{quote(spot.criterion, safe='')}/{spot.at}"
    return f"{address}?{urlencode(asked)}" if asked else address
