"""What is said about a class beside the marks: for teacher and technician, never for a student's sheet."""

from __future__ import annotations

from enum import StrEnum

from msgspec import Struct


class NoteKind(StrEnum):
    """What a note is about."""

    BENCH = "bench"
    """Apparatus of one bench reads off."""
    CLASS = "class"
    """Everyone is off one way."""
    LEAD = "lead"
    """Readings worth a look; a reason to look, not a finding."""
    LESSON = "lesson"
    """A reading that makes no sense, with the likeliest slip."""
    GROUP = "group"
    """Students to teach something again."""


class ClassNote(Struct, frozen=True, kw_only=True):
    """One line of class-notes.csv; it touches no mark."""

    kind: NoteKind
    practical: str
    message: str
    """For the teacher, whole."""
    bench: str = ""
    students: tuple[str, ...] = ()
    """Codes."""
    items: tuple[str, ...] = ()
    """Items or instruments it is about."""
    direction: str = ""
    """'high' or 'low'; empty where there is none."""
    factor: float | None = None
    """Estimated ratio to sound apparatus."""
    factors: tuple[float, ...] = ()
    """For each of ``items`` that ratio, if it is the one at fault: one of them is, not all."""
    chance: float | None = None
    """How often a sound class or an honest write-up would show as much by luck."""
