"""Parts of a large set marked: lines of the files and what was settled in, lines of the tables out.

The same function works here, in another process and on another machine. Text goes back, not findings: to send
findings costs more than to mark.
"""

from __future__ import annotations

import threading
from collections.abc import Mapping, Sequence

from msgspec import Struct, field, structs

from marking.checking import BATCH, Counted, Scripts, Settled, count, no_values, scripts_of, still_open
from marking.collector import collector_resting
from marking.decided import ticked
from marking.findings import MarkedSet
from marking.intake.forms import UnknownName
from marking.intake.parts import Part, PartRead, Reader, read_part
from marking.many.told_part import Lines, MarkedPart, Told, heavy_of, part_of
from marking.write_up import ClassSet, Place, Remark, Source, WriteUp
from rubrics.model import Rubric

PART = 300
"""Students who are read at a time: remarks on the input stand part by part."""
PARTS_TOGETHER = BATCH // PART
"""Parts that are laid out together, at most: arrays of twice as many students cost little more."""
MOST_TOGETHER = 200_000
"""Signs of these parts, at most: what is laid out takes memory by the cell."""
AT_ONCE = 25
"""Students whose scripts are in memory at a time."""
_one_at_a_time = threading.Lock()
"""A worker of a cluster may have several threads; the work has none of its own."""


class Work(Struct, frozen=True, kw_only=True):
    """What every part is marked with; sent to a worker once."""

    reader: Reader
    codes: tuple[str, ...]
    """Codes of all criteria, the columns of the marks."""

    @property
    def names_codes(self) -> bool:
        """Tell whether it is asked which students of a roster, or of a workbook with marks, are in a part."""
        return self.reader.index is not None or bool(self.reader.typed)


def marked_parts(work: Work, task: tuple[Mapping[str, Settled], Sequence[Part]]) -> MarkedPart:
    """Return parts that follow each other marked as one, with what was settled over the whole.

    They are laid out together; their scripts are made, told and let go a few students at a time.
    """
    with _one_at_a_time, collector_resting():
        return _marked(work, *task)  # what it made is gone before the collector looks for it


def _marked(work: Work, settled: Mapping[str, Settled], parts: Sequence[Part]) -> MarkedPart:
    reads = [_Read.of(read_part(work.reader, part)) for part in parts]
    told = {
        name: _told_of_one(work, name, reads, settled[name])
        for name in work.reader.rubrics
        if any(name in one.sets for one in reads)
    }
    lines, remarks = Lines(), list[Remark]()
    for read in reads:
        for code in read.students:
            for name in read.sets:
                lines.take(told[name].lines, code)
        remarks += read.general
        remarks += [one for name in read.sets for one in told[name].remarks.pop(0)]
    codes = [code for read in reads for code in read.students]
    unknown = [one for read in reads for one in read.unknown]
    return part_of(lines, told, codes, names_codes=work.names_codes, remarks=remarks, unknown=unknown)


class _Read(Struct, kw_only=True):
    """A part as it was read, of which each practical is let go when it is marked."""

    students: Sequence[str]
    sets: dict[str, ClassSet]
    """By practical, those with write-ups."""
    general: list[Remark]
    """Those that go before what is told of these sets."""
    unknown: Sequence[UnknownName]

    @classmethod
    def of(cls, read: PartRead) -> _Read:
        """Take over what was read."""
        sets = {one.practical: one for one in read.sets if one.write_ups}
        bare = [remark for one in read.sets if not one.write_ups for remark in one.remarks]
        return cls(students=read.students, sets=sets, general=[*read.general, *bare], unknown=read.unknown)


def _told_of_one(work: Work, name: str, reads: Sequence[_Read], settled: Settled) -> Told:
    """Return what one practical of some parts comes to; nothing of it but that is left in memory."""
    rubric = work.reader.rubrics[name]
    write_ups = [write_up for read in reads if name in read.sets for write_up in read.sets[name].write_ups]
    made = _Made.of(rubric, write_ups, work.reader.sources, settled)
    told = Told.of(rubric, work.codes)
    for read in reads:
        if name not in read.sets:
            continue
        for at in range(0, len(read.students), AT_ONCE):
            told.add(made.some(read.students[at : at + AT_ONCE]))
        found = made.remarks(read.sets[name])
        told.remarks.append(found)
        told.tally.queries += len(heavy_of(found))
        read.sets[name] = structs.replace(read.sets[name], write_ups=(), remarks=())
    return told


class _Made(Struct, kw_only=True):
    """One practical of some parts, whose scripts are made when they are asked for."""

    rubric: Rubric
    sources: tuple[Source, ...]
    scripts: Scripts
    places: Mapping[str, int]
    """Student to place among the write-ups."""
    stands: set[Place | None] = field(default_factory=set)
    told: list[Remark] = field(default_factory=list)

    @classmethod
    def of(cls, rubric: Rubric, write_ups: Sequence[WriteUp], sources: tuple[Source, ...], settled: Settled) -> _Made:
        """Lay a practical out."""
        places = {write_up.student.code: place for place, write_up in enumerate(write_ups)}
        return cls(rubric=rubric, sources=sources, scripts=scripts_of(rubric, write_ups, settled), places=places)

    def some(self, students: Sequence[str]) -> MarkedSet:
        """Return some students marked, with the ticks in the input decided."""
        scripts = self.scripts(self.places[code] for code in students if code in self.places)
        for one in scripts:
            self.stands.update(no_values(one))
        found = ticked(MarkedSet(rubric=self.rubric, scripts=tuple(scripts), remarks=(), sources=self.sources))
        self.told += found.remarks
        return structs.replace(found, remarks=())

    def remarks(self, read: ClassSet) -> tuple[Remark, ...]:
        """Return what is to be told of a part that was *read*, once all of its scripts were made."""
        told, self.told = self.told, []
        return (*still_open(read.remarks, self.stands), *told)


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
    lines, told = Lines(), dict[str, Told]()
    for one in sets:
        own = told[one.rubric.id] = Told.of(one.rubric, work.codes)
        own.add(one)
    for code in students:
        for own in told.values():
            lines.take(own.lines, code)
    remarks = [remark for one in sets for remark in one.remarks]
    return part_of(lines, told, students, names_codes=work.names_codes, remarks=remarks)
