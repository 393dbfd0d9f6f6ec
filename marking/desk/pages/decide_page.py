"""To decide: one mark, the evidence beside it, and the buttons."""

from __future__ import annotations

from msgspec import Struct

from marking.decided import (
    Decision,
    MarkGiven,
    seen,
    version_of,
)
from marking.desk.pages.evidence import Evidence, evidence_for
from marking.desk.pages.waiting import Spot, alike, mark_at, waiting, whose
from marking.desk.shelf import HeldSet
from marking.findings import Script

AWARD, WITHHOLD = "a", "w"
"""Keys of the two commonest decisions; marks in between have their figure as a key."""


class MarkButton(Struct, frozen=True, kw_only=True):
    """One button that gives marks."""

    marks: int
    key: str
    kind: str
    """'award', 'withhold' or 'part'."""


class Alike(Struct, frozen=True, kw_only=True):
    """One of the answers that say the same."""

    student: str
    said: str
    """Where it stands, in which state it was seen: what the form sends back."""


class Past(Struct, frozen=True, kw_only=True):
    """A decision that was taken before."""

    who: str
    day: str
    time: str
    kind: str
    """Stable name of its kind."""
    marks: int | None
    why: str
    source: str


class Refused(Struct, frozen=True, kw_only=True):
    """Why what was sent did not count, to be shown with what was sent."""

    kind: str
    """'overtaken', 'changed', 'no-reason' or 'closed'."""
    marks: int | None = None
    """As this window sent them."""
    theirs: Past | None = None
    """What stands instead."""
    why: str = ""
    """The reason as it was typed, so that nobody types it twice."""


class Undo(Struct, frozen=True, kw_only=True):
    """What was decided last in this window: one mark, or one for several like answers."""

    criterion: str
    ats: tuple[int, ...]

    def __str__(self) -> str:
        """Return it as an address carries it."""
        return f"{self.criterion}:{'.'.join(map(str, self.ats))}"

    @classmethod
    def read(cls, said: str) -> Undo | None:
        """Return what an address says; None where it says nothing of the kind."""
        criterion, _, ats = said.partition(":")
        parts = ats.split(".")
        if not criterion or not all(part.isascii() and part.isdecimal() and len(part) < 7 for part in parts):
            return None
        return cls(criterion=criterion, ats=tuple(map(int, parts)))


class UndoButton(Struct, frozen=True, kw_only=True):
    """The button that takes the last decision back."""

    criterion: str
    at: int
    students: tuple[str, ...]
    said: tuple[str, ...]
    """What the form sends back for each."""


class DecidePage(Struct, frozen=True, kw_only=True):
    """One mark to decide."""

    at: int
    criterion: str
    point: str
    out_of: int
    student: str
    name: str
    by: str
    waits: int
    """Marks that wait in the set."""
    position: int
    """Of this one among those of its criterion that wait; 0 where it does not wait."""
    here: int
    """How many of its criterion wait."""
    marks: int | None
    proposed: int | None
    """As worked out; None where the mark waited from the start."""
    is_put_off: bool
    buttons: tuple[MarkButton, ...]
    button: str
    """Id made for this page's buttons."""
    needs_reason: bool
    evidence: Evidence
    alike: tuple[Alike, ...]
    """Empty where no other answer says the same."""
    history: tuple[Past, ...]
    refused: Refused | None
    said: str
    """What the form sends back for this mark."""
    undo: UndoButton | None


def decide_page(
    held: HeldSet, spot: Spot, *, by: str, button: str, undo: Undo | None = None, refused: Refused | None = None
) -> DecidePage | None:
    """Return the page; None where the set has no such mark."""
    here = mark_at(held, spot.at, spot.criterion)
    if here is None:
        return None
    script, mark = here
    spots = waiting(held, by)
    same = [one.at for one in spots if one.criterion == spot.criterion]
    found = next(one for one in held.found.scripts[spot.at].criteria if one.criterion.code == spot.criterion)
    others = alike(held, spot.at, spot.criterion) if mark.marks is None else (spot.at,)
    return DecidePage(
        at=spot.at,
        criterion=spot.criterion,
        point=mark.criterion.point,
        out_of=mark.criterion.marks,
        student=script.write_up.student.code,
        name=script.write_up.student.name,
        by=by,
        waits=len(spots),
        position=same.index(spot.at) + 1 if spot.at in same else 0,
        here=len(same),
        marks=mark.marks,
        proposed=found.marks,
        is_put_off=mark.is_put_off,
        buttons=_buttons(mark.criterion.marks),
        button=button,
        needs_reason=found.marks is not None,
        evidence=evidence_for(script, held.rubric, spot.criterion),
        alike=tuple(_alike(held, at, spot.criterion) for at in others) if len(others) > 1 else (),
        history=tuple(past(one) for one in about_mark(held, script, spot.criterion)),
        refused=refused,
        said=_alike(held, spot.at, spot.criterion).said,
        undo=_undo_button(held, undo) if undo is not None else None,
    )


def _buttons(most: int) -> tuple[MarkButton, ...]:
    full = MarkButton(marks=most, key=AWARD, kind="award")
    parts = tuple(MarkButton(marks=marks, key=str(marks), kind="part") for marks in range(most - 1, 0, -1))
    return (full, *parts, MarkButton(marks=0, key=WITHHOLD, kind="withhold"))


def _undo_button(held: HeldSet, undo: Undo) -> UndoButton | None:
    if any(mark_at(held, at, undo.criterion) is None for at in undo.ats):
        return None
    taken = [_alike(held, at, undo.criterion) for at in undo.ats]
    return UndoButton(
        criterion=undo.criterion,
        at=undo.ats[0],
        students=tuple(one.student for one in taken),
        said=tuple(one.said for one in taken),
    )


def _alike(held: HeldSet, at: int, criterion: str) -> Alike:
    script = held.marked.scripts[at]
    said = f"{at}:{next_number(held, script, criterion)}:{seen(script, criterion)}:{whose(script)}"
    return Alike(student=script.write_up.student.code, said=said)


def about_mark(held: HeldSet, script: Script, criterion: str) -> list[Decision]:
    """Return all decisions on one mark."""
    student = script.write_up.student.code
    return held.about(MarkGiven.about, student=student, criterion=criterion, cell=version_of(script))


def next_number(held: HeldSet, script: Script, criterion: str) -> int:
    """Return the number of the next decision on one mark."""
    return max((one.number for one in about_mark(held, script, criterion)), default=0) + 1


def past(decision: Decision) -> Past:
    """Return a decision as history tells it."""
    return Past(
        who=decision.who,
        day=decision.when[:10],
        time=decision.when[11:16],
        kind=decision.name,
        marks=decision.marks if isinstance(decision, MarkGiven) else None,
        why=decision.why,
        source=decision.source,
    )
