"""Class: how each criterion went, what to teach and whom; apart from it the technician's page and the teacher's own."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from marking.class_notes import ClassNote, NoteKind
from marking.cohort.picture import picture
from marking.desk.shelf import HeldSet
from reports.wording import class_note


class CriterionRow(Struct, frozen=True, kw_only=True):
    """How the class did on one criterion."""

    code: str
    point: str
    full: int
    part: int
    none: int
    pending: int


class StudentRow(Struct, frozen=True, kw_only=True):
    """One student's marks."""

    at: int
    student: str
    name: str
    bench: str
    awarded: int
    pending: int
    out_of: int
    codes: str


class ClassPage(Struct, frozen=True, kw_only=True):
    """The class as it stands now."""

    handed_in: int
    students: int
    mean: str
    """Empty where nothing is decided."""
    out_of: int
    ruled: str
    """What a department ruled on the totals of the class; empty where nothing was."""
    criteria: tuple[CriterionRow, ...]
    people: tuple[StudentRow, ...]
    groups: tuple[ClassNote, ...]
    lesson: tuple[ClassNote, ...]
    benches: int
    """Notes for the technician."""


class BenchesPage(Struct, frozen=True, kw_only=True):
    """What is for the technician: apparatus that reads off. No student and no mark."""

    benches: tuple[ClassNote, ...]
    whole_class: tuple[ClassNote, ...]
    """Everyone off one way: shared stock, or the method."""


class Lead(Struct, frozen=True, kw_only=True):
    """One reason to look, with the scripts that it is about."""

    message: str
    scripts: tuple[tuple[int, str], ...]
    """Where each stands in the set, and its code."""
    chance: str
    """How often honest work would show as much by luck; empty where that is not known."""


def benches_page(notes: Sequence[ClassNote]) -> BenchesPage:
    """Return the technician's page."""
    return BenchesPage(
        benches=tuple(note for note in notes if note.kind is NoteKind.BENCH),
        whole_class=tuple(note for note in notes if note.kind is NoteKind.CLASS),
    )


def leads_page(held: HeldSet, notes: Sequence[ClassNote]) -> tuple[Lead, ...]:
    """Return what is for the teacher's eyes only."""
    places = {script.write_up.student.code: at for at, script in enumerate(held.marked.scripts)}
    return tuple(
        Lead(
            message=note.message,
            scripts=tuple((places[code], code) for code in note.students if code in places),
            chance="" if note.chance is None else f"{note.chance:.1g}",
        )
        for note in notes
        if note.kind is NoteKind.LEAD
    )


def class_page(held: HeldSet, notes: Sequence[ClassNote]) -> ClassPage:
    """Return the page; *notes* are what only the whole class shows."""
    seen = picture(held.marked)

    def of(*kinds: NoteKind) -> tuple[ClassNote, ...]:
        return tuple(note for note in notes if note.kind in kinds)

    return ClassPage(
        handed_in=seen.handed_in,
        students=seen.students,
        mean="" if seen.mean is None else f"{seen.mean:.1f}",
        out_of=seen.out_of,
        ruled=class_note(held.marked),
        criteria=tuple(
            CriterionRow(
                code=one.code, point=one.point, full=one.full, part=one.part, none=one.none, pending=one.pending
            )
            for one in seen.criteria
        ),
        people=tuple(
            StudentRow(
                at=at,
                student=script.write_up.student.code,
                name=script.write_up.student.name,
                bench=script.write_up.student.bench,
                awarded=script.total,
                pending=script.pending,
                out_of=script.out_of,
                codes=" ".join(script.write_up.student.codes),
            )
            for at, script in enumerate(held.marked.scripts)
        ),
        groups=of(NoteKind.GROUP),
        lesson=of(NoteKind.LESSON),
        benches=len(of(NoteKind.BENCH, NoteKind.CLASS)),
    )
