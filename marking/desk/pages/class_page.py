"""Class: how each criterion went, what to teach and whom, benches, and what is for the teacher's eyes only."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from marking.class_notes import ClassNote, NoteKind
from marking.cohort.picture import picture
from marking.desk.shelf import HeldSet
from reports.wording import class_note


@dataclass(frozen=True, slots=True, kw_only=True)
class CriterionRow:
    """How the class did on one criterion."""

    code: str
    point: str
    full: int
    part: int
    none: int
    pending: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StudentRow:
    """One student's marks."""

    at: int
    student: str
    name: str
    bench: str
    awarded: int
    pending: int
    out_of: int
    codes: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassPage:
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
    benches: tuple[ClassNote, ...]
    lesson: tuple[ClassNote, ...]
    leads: tuple[ClassNote, ...]


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
        benches=of(NoteKind.BENCH, NoteKind.CLASS),
        lesson=of(NoteKind.LESSON),
        leads=of(NoteKind.LEAD),
    )
