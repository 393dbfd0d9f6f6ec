"""What a part of a large set comes to: the lines of its tables, student by student, and what is counted over it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from msgspec import Struct, field

from marking.findings import MarkedSet
from marking.intake.forms import UnknownName
from marking.write_up import Remark, Weight
from reports.tables import FindingLines, MarkLines, kept_ticks, remarks_text
from rubrics.model import Rubric

MOST_TOLD = 20
"""Messages that a part hands on for the terminal."""


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


def add_marks(sums: Marks, more: Marks) -> None:
    """Count the marks of some students in with those of others."""
    for key, row in more.items():
        sums[key] = [one + other for one, other in zip(sums.get(key, [0] * len(row)), row, strict=True)]


class Lines(Struct):
    """Lines of tables by student."""

    findings: dict[str, bytes] = field(default_factory=dict)
    marks: dict[str, str] = field(default_factory=dict)
    ticks: dict[str, tuple[tuple[str | int | None, ...], ...]] = field(default_factory=dict)

    def take(self, other: Lines, code: str) -> None:
        """Take the lines of a student over from *other*, behind those that are here."""
        if code in other.marks:
            self.findings[code] = self.findings.get(code, b"") + other.findings.pop(code)
            self.marks[code] = self.marks.get(code, "") + other.marks.pop(code)
        if code in other.ticks:
            self.ticks[code] = self.ticks.get(code, ()) + other.ticks.pop(code)


class Told(Struct, kw_only=True):
    """What some students' write-ups of one practical came to."""

    findings: FindingLines
    marks: MarkLines
    lines: Lines = field(default_factory=Lines)
    tally: Tally = field(default_factory=Tally)
    by_criterion: Marks = field(default_factory=dict)
    remarks: list[tuple[Remark, ...]] = field(default_factory=list)
    """Of each part that has write-ups of it, in order."""

    @classmethod
    def of(cls, rubric: Rubric, codes: Sequence[str]) -> Told:
        """Begin with nobody; *codes* are the criteria of all practicals."""
        return cls(findings=FindingLines(rubric), marks=MarkLines(rubric, codes))

    def add(self, one: MarkedSet) -> None:
        """Count some scripts in, none of whose students was counted before."""
        found = self.findings.of(one.scripts)
        for script, findings in zip(one.scripts, found, strict=True):
            code = script.write_up.student.code
            self.lines.findings[code] = findings.encode()
            self.lines.marks[code] = self.marks.of(script)
            if script.write_up.ticks:
                self.lines.ticks[code] = kept_ticks(script)
        self.tally.add(_tally(one))
        add_marks(self.by_criterion, _by_criterion(one))


def part_of(
    lines: Lines,
    told: Mapping[str, Told],
    students: Sequence[str],
    *,
    names_codes: bool,
    remarks: Sequence[Remark],
    unknown: Sequence[UnknownName] = (),
) -> MarkedPart:
    """Return what some students come to.

    Args:
        lines: In the order of the students.
        told: What is counted, by practical.
        students: All of them.
        names_codes: Whether it is asked who they are.
        remarks: On their input.
        unknown: Names in it that nobody knows.
    """
    heavy = heavy_of(remarks)
    by_criterion: Marks = {}
    for one in told.values():
        add_marks(by_criterion, one.by_criterion)
    return MarkedPart(
        students=len(students),
        findings=b"".join(lines.findings.values()),
        marks="".join(lines.marks.values()),
        remarks=remarks_text(remarks),
        ticks=tuple(tick for ticks in lines.ticks.values() for tick in ticks),
        tallies={name: one.tally for name, one in told.items()},
        by_criterion=by_criterion,
        unknown=tuple(unknown),
        codes=tuple(students) if names_codes else (),
        told=tuple(heavy[:MOST_TOLD]),
        attention=len(heavy),
        notes=len(remarks) - len(heavy),
    )


def heavy_of(remarks: Sequence[Remark]) -> list[str]:
    """Return the messages that a teacher has to look at."""
    return [remark.message for remark in remarks if remark.weight is not Weight.NOTE]


def _tally(one: MarkedSet) -> Tally:
    return Tally(
        students=len(one.scripts),
        handed_in=sum(bool(script.criteria) for script in one.scripts),
        findings=sum(len(script.findings) for script in one.scripts),
        marks_pending=sum(script.pending for script in one.scripts),
        queries=sum(remark.weight is not Weight.NOTE for remark in one.remarks),
    )


def _by_criterion(one: MarkedSet) -> Marks:
    alike = Counter(
        (tuple([mark.criterion.code for mark in script.criteria]), tuple([mark.marks for mark in script.criteria]))
        for script in one.scripts
    )
    out_of = {criterion.code: criterion.marks for criterion in one.rubric.criteria}
    found: Marks = {}
    for (codes, given), students in alike.items():
        for code, marks in zip(codes, given, strict=True):
            row = found.setdefault((one.rubric.id, code), [0, 0, 0, 0, 0])
            if marks is None:
                row[3] += students
                continue
            row[0 if marks == out_of[code] else 1 if marks else 2] += students
            row[4] += marks * students
    return found
