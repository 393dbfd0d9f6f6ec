"""One part of a large set marked: lines of the files and what was settled in, lines of the tables out.

The same function works a part here, in another process and on another machine. Text goes back, not findings: to send
findings costs more than to mark.
"""

from __future__ import annotations

import threading
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from marking.checking import Counted, Settled, count, mark_set
from marking.decided import ticked
from marking.findings import MarkedSet
from marking.intake.forms import UnknownName
from marking.intake.parts import Part, Reader, read_part
from marking.write_up import Remark, Weight
from reports.tables import findings_text, kept_ticks, marks_text, ordered_scripts, remarks_text

MOST_TOLD = 20
"""Messages that a part hands on for the terminal."""
_one_at_a_time = threading.Lock()
"""A worker of a cluster may have several threads; the work has none of its own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """What every part is marked with; sent to a worker once."""

    reader: Reader
    codes: tuple[str, ...]
    """Codes of all criteria, the columns of the marks."""


@dataclass(slots=True, kw_only=True)
class Tally:
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


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkedPart:
    """A part, marked."""

    students: int
    findings: str
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


def marked_part(work: Work, task: tuple[Mapping[str, Settled], Part]) -> MarkedPart:
    """Return a part marked with what was settled over the whole."""
    settled, part = task
    with _one_at_a_time:
        read = read_part(work.reader, part)
        rubrics = work.reader.rubrics
        sets = [
            ticked(mark_set(rubrics[one.practical], one, settled[one.practical])) for one in read.sets if one.write_ups
        ]
        more = [remark for one in read.sets if not one.write_ups for remark in one.remarks]
        return told_of(sets, read.students, work, (*read.general, *more), read.unknown)


def counted_parts(work: Work, parts: Sequence[Part]) -> Mapping[str, Counted]:
    """Return what some students, cut out of several parts, add to what is settled over the whole."""
    with _one_at_a_time:
        read = [one for part in parts for one in read_part(work.reader, part).sets]
        return {
            name: count(rubric, [write_up for one in read if one.practical == name for write_up in one.write_ups])
            for name, rubric in work.reader.rubrics.items()
        }


def told_of(
    sets: Sequence[MarkedSet],
    students: Sequence[str],
    work: Work,
    general: Sequence[Remark] = (),
    unknown: tuple[UnknownName, ...] = (),
) -> MarkedPart:
    """Return marked sets of the same students as the lines of all tables, with what they come to."""
    scripts = list(ordered_scripts(sets, students))
    remarks = [*general, *(remark for one in sets for remark in one.remarks)]
    heavy = [remark.message for remark in remarks if remark.weight is not Weight.NOTE]
    return MarkedPart(
        students=len(students),
        findings=findings_text(scripts),
        marks=marks_text(scripts, work.codes),
        remarks=remarks_text(remarks),
        ticks=kept_ticks(scripts),
        tallies={one.rubric.id: _tally(one) for one in sets},
        by_criterion=_by_criterion(sets),
        unknown=unknown,
        codes=tuple(students) if work.reader.index is not None or work.reader.typed else (),
        told=tuple(heavy[:MOST_TOLD]),
        attention=len(heavy),
        notes=len(remarks) - len(heavy),
    )


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
