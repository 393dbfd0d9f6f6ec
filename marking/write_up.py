"""What was handed in, as it was written: the records that pass from intake to checking."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from rubrics.units import UnitReading


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where an entry stood."""

    file: str
    sheet: str
    """Empty for a CSV file."""
    cell: str
    """As a spreadsheet would show it, e.g. D7; for CSV too."""

    def __str__(self) -> str:
        """Return file, sheet and cell, e.g. '7B.xlsx, Results!D7'."""
        return f"{self.file}, {self.sheet}!{self.cell}" if self.sheet else f"{self.file}, {self.cell}"


class State(StrEnum):
    """What a cell turned out to hold."""

    NUMBER = "number"
    WORDS = "words"
    """Text where the item asks for words (a choice, a conclusion)."""
    BLANK = "blank"
    """Nothing, a dash, 'n/a': not given, and not a zero."""
    UNREADABLE = "unreadable"
    """Something was written that cannot be used as it stands: for the teacher."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One cell of a write-up."""

    raw: str
    """Exactly as written, trailing zeros and unit included."""
    unit_raw: str
    """The unit exactly as written, whether beside the number or in a column of its own; may be empty."""
    state: State
    place: Place
    value: float | None = None
    """The number, in the unit that was written (or, where none was, in the unit of the item); else None."""
    last_place: tuple[int, int] | None = None
    """Power of ten of the last significant digit: (finest, coarsest) reading of the text.

    '0.50' is (-2, -2); '9.97e2' is (0, 0); '1000' is (0, 3), for its zeros may or may not count.
    None unless the state is NUMBER.
    """
    zeros_unknown: bool = False
    """True where a spreadsheet has thrown trailing zeros away: significant figures cannot be told."""
    is_fraction: bool = False
    """True where it was written as 18½ or 1/5, which has neither decimal places nor significant figures."""
    is_declined: bool = False
    """True for a blank that says so: '?', 'I don't know', a struck-out entry. No later answer proves such a step."""
    uncertainty: float | None = None
    """The plus-or-minus that was written with the number, in the same unit."""
    unit: UnitReading | None = None
    """How the unit was understood; None where the item has no unit to read (words)."""
    has_unit_box: bool = False
    """Whether a box of its own was there for the unit: what is not in it was asked for and not written."""
    notes: tuple[str, ...] = ()
    """What the reader did to the text, e.g. 'read as 20.5 (decimal comma)'; for the teacher's list."""

    def at(self, place: Place) -> Entry:
        """Return what another cell holds in which the very same is written."""
        return Entry(
            raw=self.raw,
            unit_raw=self.unit_raw,
            state=self.state,
            place=place,
            value=self.value,
            last_place=self.last_place,
            zeros_unknown=self.zeros_unknown,
            is_fraction=self.is_fraction,
            is_declined=self.is_declined,
            uncertainty=self.uncertainty,
            unit=self.unit,
            has_unit_box=self.has_unit_box,
            notes=self.notes,
        )


class MarkCode(StrEnum):
    """A code of a mark book for missing, partial and odd work, in the order in which they are listed."""

    ABSENT = "AB"
    LATE = "LATE"
    INCOMPLETE = "INC"
    ILLEGIBLE = "ILL"
    FAULT = "FAULT"
    """The apparatus was at fault."""
    GIVEN = "GIVEN"
    """Worked with given data."""
    REDO = "REDO"
    EXCUSED = "EXC"
    LOST = "LOST"
    """Lost by the school."""
    QUERY = "QUERY"
    """A question of integrity."""
    SHARED = "SHARED"
    """Readings were shared."""
    NOT_ATTEMPTED = "NA"


@dataclass(frozen=True, slots=True, kw_only=True)
class Student:
    """One line of the roster."""

    code: str
    name: str = ""
    bench: str = ""
    absent: bool = False
    """Said to be absent in the roster or the workbook, not merely without entries."""
    paper: str = ""
    """How the student's sheets are set: 'large print', 'cream', both, or empty for the usual page."""
    material: str = ""
    """What this student tested, by the roster, where benches have different ones: the name of an accepted value."""
    marks_graph: bool = True
    """Whether the graph on paper is marked; the roster says it for the set."""
    codes: tuple[str, ...] = ()
    """Mark codes, such as LATE or FAULT; they stand beside the marks; some leave a mark to the teacher."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """What a teacher has given for one criterion."""

    marks: int
    entry: Entry
    why: str = ""
    """The reason in the column beside it, for a mark that was worked out otherwise."""
    is_kept: bool = False
    """Whether it was typed in a marks.xlsx, which keeps it from run to run."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WriteUp:
    """Everything one student handed in for one practical."""

    student: Student
    practical: str
    """Id of the rubric."""
    singles: Mapping[str, Entry]
    """Item name to entry; an item that was not in the input is not here."""
    columns: Mapping[str, Mapping[int, Entry]]
    """Item name to row number (from 1) to entry."""
    ticks: Mapping[str, Tick] = field(default_factory=dict)
    """Code of a criterion to what the teacher has given; a criterion that is not here was not ticked."""

    @property
    def is_handed_in(self) -> bool:
        """Tell whether anything at all was written."""
        entries = [*self.singles.values(), *(e for column in self.columns.values() for e in column.values())]
        # A column of crosses says nothing of a student who was not there.
        is_ticked = any(tick.marks for tick in self.ticks.values())
        return is_ticked or any(entry.state is not State.BLANK for entry in entries)


class Weight(StrEnum):
    """How much a remark of the reader matters."""

    NOTE = "note"
    """Used as read, with this remark."""
    QUERY = "query"
    """Left to the teacher; everything else goes on."""
    REFUSED = "refused"
    """The whole file was not marked."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """One thing that the reader has to tell the teacher about the input."""

    weight: Weight
    file: str
    message: str
    """One whole sentence or two: place, what was written, what it was taken for, how to mend it."""
    student: str = ""
    item: str = ""
    place: Place | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """A file that was read."""

    name: str
    sha256: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassSet:
    """One practical's write-ups, as read from one call's inputs."""

    practical: str
    write_ups: tuple[WriteUp, ...]
    """In the order of the roster, else in the order of first appearance."""
    remarks: tuple[Remark, ...]
    sources: tuple[Source, ...]
    trials: tuple[WriteUp, ...] = ()
    """What the technician wrote down before the lesson, one a bench; looked at for notes on benches only."""
