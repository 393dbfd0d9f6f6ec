"""Close: a teacher signs, the marks are locked, and a later change reopens them with a reason."""

from __future__ import annotations

from msgspec import Struct

from marking.decided import Signed
from marking.desk.pages.cells_page import unread_cells
from marking.desk.pages.decide_page import Past, past
from marking.desk.pages.waiting import waiting
from marking.desk.shelf import HeldSet


class ClosePage(Struct, frozen=True, kw_only=True):
    """The end of a round."""

    state: str
    waits: int
    cells: int
    overruled: int
    """Marks that were worked out and decided otherwise."""
    decided: int
    """Marks that a person decided."""
    number: int
    """Of the next decision on the set."""
    button: str
    history: tuple[Past, ...]
    no_reason: bool
    """The set was to be reopened without saying why."""


def close_page(held: HeldSet, button: str, *, no_reason: bool = False) -> ClosePage:
    """Return the page."""
    rulings = [mark.ruling for script in held.marked.scripts for mark in script.criteria if mark.ruling is not None]
    steps = held.about(Signed.about)
    return ClosePage(
        state=held.state,
        waits=len(waiting(held)),
        cells=len(unread_cells(held)),
        overruled=sum(one.proposed not in (None, one.marks) for one in rulings),
        decided=len(rulings),
        number=max((one.number for one in steps), default=0) + 1,
        button=button,
        history=tuple(past(one) for one in steps),
        no_reason=no_reason,
    )
