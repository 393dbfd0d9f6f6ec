"""Feedback: any sheet as it will print, all of them in one file, the marks for the mark book."""

from __future__ import annotations

from msgspec import Struct

from marking.desk.pages.waiting import waiting
from marking.desk.shelf import HeldSet


class SheetRow(Struct, frozen=True, kw_only=True):
    """One student's sheet."""

    at: int
    student: str
    name: str
    look: str
    """How it is set for its reader; empty for the usual page."""
    pending: int


class FeedbackPage(Struct, frozen=True, kw_only=True):
    """All sheets of a set."""

    sheets: tuple[SheetRow, ...]
    waits: int
    shown: str
    """How much of the marks the sheets show: 'shown', 'small' or 'hidden'."""
    state: str


def feedback_page(held: HeldSet, shown: str) -> FeedbackPage:
    """Return the page."""
    return FeedbackPage(
        sheets=tuple(
            SheetRow(
                at=at,
                student=script.write_up.student.code,
                name=script.write_up.student.name,
                look=script.write_up.student.paper,
                pending=script.pending,
            )
            for at, script in enumerate(held.marked.scripts)
        ),
        waits=len(waiting(held)),
        shown=shown,
        state=held.state,
    )
