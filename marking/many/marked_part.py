"""Parts of a large set marked: lines of the files and what was settled in, lines of the tables out.

The same function works here, in another process and on another machine. Text goes back, not findings: to send
findings costs more than to mark.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping, Sequence

from msgspec import Struct, field, structs

from marking.checking import BATCH, Counted, Settled, count, no_values, scripts_of, still_open
from marking.collector import collector_resting
from marking.decided import ticked
from marking.findings import MarkedSet, Script
from marking.intake.forms import UnknownName
from marking.intake.parts import Part, PartRead, Reader, read_part
from marking.write_up import ClassSet, Place, Remark, Source, Weight, WriteUp
from reports.tables import findings_text, kept_ticks, marks_text, ordered_scripts, remarks_text
from rubrics.model import Rubric

PART = 300
"""Students who are read at a time: remarks on the input stand part by part."""
PARTS_TOGETHER = BATCH // PART
"""Parts that are laid out together, at most: arrays of twice as many students cost little more."""
MOST_TOGETHER = 200_000
"""Signs of these parts, at most: what is laid out takes memory by the cell."""
AT_ONCE = 50
"""Students whose scripts are in memory at a time."""
MOST_TOLD = 20
"""Messages that a part hands on for the terminal."""
_one_at_a_time = threading.Lock()
"""A worker of a cluster may have several threads; the work has none of its own."""


class Work(Struct, frozen=True, kw_only=True):
    """What every part is marked with; sent to a worker once."""

    reader: Reader
    codes: tuple[str, ...]
    """Codes of all criteria, the columns of the marks."""


class Tally(Struct, kw_only=True):
    """What the write-ups of one practical came to."""

    students: int = 0
    handed_in: int = 0
    findings: int = 0
    marks_pending: int = 0
    queries: int = 0

    def add(self, other: Tally) -> None:
        """Count another part in."""
        self.students += other.students
        self.handed_in += other.handed_in
        self.findings += other.findings
        self.marks_pending += other.marks_pending
        self.queries += other.queries


Marks = dict[tuple[str, str], list[int]]
"""Practical and criterion to students with all, part and none of the marks, those who wait, and the marks given."""


class MarkedPart(Struct, frozen=True, kw_only=True):
    """A part, marked."""

    students: int
    findings: bytes
    """In UTF-8: as text, one sign beyond Latin 1 makes it twice as large."""
    marks: str
    remarks: str
    ticks: tuple[tuple[str | int | None, ...], ...]
    """Lines of what a teacher had typed in the workbook before."""
    tallies: Mapping[str, Tally]
    by_criterion: Marks
    unknown: tuple[UnknownName, ...]
    codes: tuple[str, ...] = ()
    """The students of a roster who are in this part."""
    told: tuple[str, ...] = ()
    """The first queries, for the terminal."""
    attention: int = 0
    notes: int = 0


def marked_parts(work: Work, task: tuple[Mapping[str, Settled], Sequence[Part]]) -> MarkedPart:
    """Return parts that follow each other marked as one, with what was settled over the whole.

    They are laid out together; their scripts are made, told and let go a few students at a time.
    """
    with _one_at_a_time, collector_resting():
        return _marked(work, *task)  # what it made is gone before the collector looks for it


def _marked(work: Work, settled: Mapping[str, Settled], parts: Sequence[Part]) -> MarkedPart:
    reads = [read_part(work.reader, part) for part in parts]
    made = {
        name: _Made.of(rubric, write_ups, work.reader.sources, settled[name])
        for name, rubric in work.reader.rubrics.items()
        if (write_ups := _of_one(name, reads))
    }
    found, remarks = [], []
    for read in reads:
        own = {one.practical: one for one in read.sets}
        for at in range(0, len(read.students), AT_ONCE):
            some = read.students[at : at + AT_ONCE]
            found.append(told_of([made[name].some(some) for name, one in own.items() if one.write_ups], some, work))
        remarks += [*read.general, *(remark for one in own.values() if not one.write_ups for remark in one.remarks)]
        for name, told in ((name, made[name].remarks(one)) for name, one in own.items() if one.write_ups):
            remarks += told
            found[-1].tallies[name].queries += len(_heavy(told))
    whole = _together(
        found, [code for read in reads for code in read.students], [one for r in reads for one in r.unknown]
    )
    return _with_remarks(whole, remarks)


def _of_one(practical: str, reads: Sequence[PartRead]) -> list[WriteUp]:
    return [write_up for read in reads for one in read.sets if one.practical == practical for write_up in one.write_ups]


class _Made(Struct, kw_only=True):
    """One practical of some parts, whose scripts are made when they are asked for."""

    rubric: Rubric
    sources: tuple[Source, ...]
    script: Callable[[int], Script]
    places: Mapping[str, int]
    """Student to place among the write-ups."""
    stands: set[Place | None] = field(default_factory=set)
    told: list[Remark] = field(default_factory=list)

    @classmethod
    def of(cls, rubric: Rubric, write_ups: Sequence[WriteUp], sources: tuple[Source, ...], settled: Settled) -> _Made:
        """Lay a practical out."""
        places = {write_up.student.code: place for place, write_up in enumerate(write_ups)}
        return cls(rubric=rubric, sources=sources, script=scripts_of(rubric, write_ups, settled), places=places)

    def some(self, students: Sequence[str]) -> MarkedSet:
        """Return some students marked, with the ticks in the input decided."""
        scripts = tuple(self.script(self.places[code]) for code in students if code in self.places)
        for one in scripts:
            self.stands.update(no_values(one))
        found = ticked(MarkedSet(rubric=self.rubric, scripts=scripts, remarks=(), sources=self.sources))
        self.told += found.remarks
        return structs.replace(found, remarks=())

    def remarks(self, read: ClassSet) -> tuple[Remark, ...]:
        """Return what is to be told of a part that was *read*, once all of its scripts were made."""
        told, self.told = self.told, []
        return (*still_open(read.remarks, self.stands), *told)


def _together(found: Sequence[MarkedPart], students: Sequence[str], unknown: Sequence[UnknownName]) -> MarkedPart:
    """Return what some students after others came to, without remarks."""
    tallies: dict[str, Tally] = {}
    by_criterion: Marks = {}
    for part in found:
        for name, tally in part.tallies.items():
            tallies.setdefault(name, Tally()).add(tally)
        add_marks(by_criterion, part.by_criterion)
    return MarkedPart(
        students=len(students),
        findings=b"".join(part.findings for part in found),
        marks="".join(part.marks for part in found),
        remarks="",
        ticks=tuple(tick for part in found for tick in part.ticks),
        tallies=tallies,
        by_criterion=by_criterion,
        unknown=tuple(unknown),
        codes=tuple(code for part in found for code in part.codes),
    )


def _with_remarks(part: MarkedPart, remarks: Sequence[Remark]) -> MarkedPart:
    heavy = _heavy(remarks)
    return structs.replace(
        part,
        remarks=remarks_text(remarks),
        told=tuple(heavy[:MOST_TOLD]),
        attention=len(heavy),
        notes=len(remarks) - len(heavy),
    )


def _heavy(remarks: Sequence[Remark]) -> list[str]:
    return [remark.message for remark in remarks if remark.weight is not Weight.NOTE]


def add_marks(sums: Marks, more: Marks) -> None:
    """Count the marks of some students in with those of others."""
    for key, row in more.items():
        sums[key] = [one + other for one, other in zip(sums.get(key, [0] * len(row)), row, strict=True)]


def counted_parts(work: Work, task: tuple[Sequence[str], Sequence[Part]]) -> Mapping[str, Counted]:
    """Return what some students, cut out of several parts, add to what is settled of some practicals."""
    with _one_at_a_time, collector_resting():
        return _counted(work, *task)


def _counted(work: Work, names: Sequence[str], parts: Sequence[Part]) -> Mapping[str, Counted]:
    read = [one for part in parts for one in read_part(work.reader, part).sets]
    return {
        name: count(
            work.reader.rubrics[name],
            [write_up for one in read if one.practical == name for write_up in one.write_ups],
        )
        for name in names
    }


def told_of(sets: Sequence[MarkedSet], students: Sequence[str], work: Work) -> MarkedPart:
    """Return marked sets of the same students as the lines of all tables, with what they come to."""
    scripts = list(ordered_scripts(sets, students))
    part = MarkedPart(
        students=len(students),
        findings=findings_text(scripts).encode(),
        marks=marks_text(scripts, work.codes),
        remarks="",
        ticks=kept_ticks(scripts),
        tallies={one.rubric.id: _tally(one) for one in sets},
        by_criterion=_by_criterion(sets),
        unknown=(),
        codes=tuple(students) if work.reader.index is not None or work.reader.typed else (),
    )
    return _with_remarks(part, [remark for one in sets for remark in one.remarks])


def _tally(one: MarkedSet) -> Tally:
    return Tally(
        students=len(one.scripts),
        handed_in=sum(bool(script.criteria) for script in one.scripts),
        findings=sum(len(script.findings) for script in one.scripts),
        marks_pending=sum(script.pending for script in one.scripts),
        queries=sum(remark.weight is not Weight.NOTE for remark in one.remarks),
    )


def _by_criterion(sets: Sequence[MarkedSet]) -> Marks:
    found: Marks = {}
    for one in sets:
        for script in one.scripts:
            for mark in script.criteria:
                row = found.setdefault((one.rubric.id, mark.criterion.code), [0, 0, 0, 0, 0])
                if mark.marks is None:
                    row[3] += 1
                    continue
                row[0 if mark.marks == mark.criterion.marks else 1 if mark.marks else 2] += 1
                row[4] += mark.marks
    return found
