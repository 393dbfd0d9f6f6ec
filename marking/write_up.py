"""What was handed in, as it was written: the records that pass from intake to checking."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum

from msgspec import Struct, field

from marking.cells import Entry as Entry
from marking.cells import Place as Place
from marking.cells import State as State
from marking.cells import unplaced


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


class Student(Struct, frozen=True, kw_only=True):
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


class Tick(Struct, frozen=True, kw_only=True):
    """What a teacher has given for one criterion."""

    marks: int
    entry: Entry
    why: str = ""
    """The reason in the column beside it, for a mark that was worked out otherwise."""
    is_kept: bool = False
    """Whether it was typed in a marks.xlsx, which keeps it from run to run."""


class WriteUp(Struct, frozen=True, kw_only=True):
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
    settled: tuple[Place, ...] = ()
    """Where an answer stood that could be read two ways, of which the student's own figures led to one."""

    @property
    def is_handed_in(self) -> bool:
        """Tell whether anything at all was written."""
        # A column of crosses says nothing of a student who was not there.
        is_ticked = any(tick.marks for tick in self.ticks.values())
        return is_ticked or _is_written(self.singles) or any(map(_is_written, self.columns.values()))


def _is_written(entries: Mapping[str, Entry] | Mapping[int, Entry]) -> bool:
    return any(entry.state is not State.BLANK for entry in unplaced(entries))


class Weight(StrEnum):
    """How much a remark of the reader matters."""

    NOTE = "note"
    """Used as read, with this remark."""
    QUERY = "query"
    """Left to the teacher; everything else goes on."""
    REFUSED = "refused"
    """The whole file was not marked."""


class Remark(Struct, frozen=True, kw_only=True):
    """One thing that the reader has to tell the teacher about the input."""

    weight: Weight
    file: str
    message: str
    """One whole sentence or two: place, what was written, what it was taken for, how to mend it."""
    student: str = ""
    item: str = ""
    place: Place | None = None


class Source(Struct, frozen=True, kw_only=True):
    """A file that was read."""

    name: str
    sha256: str


class ClassSet(Struct, frozen=True, kw_only=True):
    """One practical's write-ups, as read from one call's inputs."""

    practical: str
    write_ups: tuple[WriteUp, ...]
    """In the order of the roster, else in the order of first appearance."""
    remarks: tuple[Remark, ...]
    sources: tuple[Source, ...]
    trials: tuple[WriteUp, ...] = ()
    """What the technician wrote down before the lesson, one a bench; looked at for notes on benches only."""
