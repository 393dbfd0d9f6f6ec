"""What each student's work came to, as short lines in the record, by which it tells of earlier practicals."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct

from marking.cohort.picture import named_cause
from marking.decided.decisions import Decision, SetName, WorkMarked
from marking.findings import Cause, CriterionMark, Finding, MarkedSet, Outcome, Script
from rubrics.model import CheckKind


class Given(Struct, frozen=True, kw_only=True):
    """What one criterion came to."""

    criterion: str
    marks: int | None
    """None while it waits."""
    out_of: int


class Slip(Struct, frozen=True, kw_only=True, order=True):
    """A kind of slip, and the kind of check that showed it."""

    cause: Cause
    check: CheckKind


class Work(Struct, frozen=True, kw_only=True):
    """One student's work in one practical."""

    marks: tuple[Given, ...]
    slips: tuple[Slip, ...]
    """As surely as a class is taught by them; each once."""
    sound: frozenset[CheckKind]
    """Kinds of check that found everything right."""

    @property
    def awarded(self) -> int:
        """Return the marks given so far."""
        return sum(one.marks or 0 for one in self.marks)

    @property
    def out_of(self) -> int:
        """Return the marks that can be had."""
        return sum(one.out_of for one in self.marks)

    @property
    def pending(self) -> int:
        """Return the marks a teacher has still to decide."""
        return sum(one.out_of for one in self.marks if one.marks is None)

    @property
    def causes(self) -> frozenset[Cause]:
        """Return the kinds of slip."""
        return frozenset(one.cause for one in self.slips)


def work_of(script: Script) -> Work | None:
    """Return what *script* came to; None where nothing was handed in."""
    if not script.criteria:
        return None
    checks = {mark.criterion.code: mark.criterion.check for mark in script.criteria}
    slips = {
        Slip(cause=cause, check=checks[one.criterion])
        for one in script.findings
        if (cause := named_cause(one)) is not None and one.criterion in checks
    }
    return Work(
        marks=tuple(
            Given(criterion=one.criterion.code, marks=one.marks, out_of=one.criterion.marks) for one in script.criteria
        ),
        slips=tuple(sorted(slips)),
        sound=_sound(script.criteria, script.findings),
    )


def _sound(criteria: Sequence[CriterionMark], findings: Sequence[Finding]) -> frozenset[CheckKind]:
    short = {one.criterion.check for one in criteria if one.marks != one.criterion.marks}
    codes = {one.criterion.code: one.criterion.check for one in criteria}
    short |= {codes[one.criterion] for one in findings if one.outcome is not Outcome.AWARDED and one.criterion in codes}
    return frozenset(codes.values()) - short


def work_in(line: WorkMarked) -> Work:
    """Return the work that a line of the record tells of; words of a later program are passed over."""
    kinds, causes = {one.value for one in CheckKind}, {one.value for one in Cause}
    slips = [one.partition(" ") for one in line.slips]
    return Work(
        marks=tuple(_given(one) for one in line.marks),
        slips=tuple(
            Slip(cause=Cause(cause), check=CheckKind(check))
            for cause, _, check in slips
            if cause in causes and check in kinds
        ),
        sound=frozenset(CheckKind(one) for one in line.sound if one in kinds),
    )


def _given(said: str) -> Given:
    criterion, _, marks = said.rpartition(" ")
    given, _, out_of = marks.partition("/")
    return Given(criterion=criterion, marks=int(given) if given.isdecimal() else None, out_of=int(out_of))


def new_works(
    marked: MarkedSet, known: Sequence[Decision], *, name: SetName, id_base: str, who: str, when: str, program: str
) -> Iterator[WorkMarked]:
    """Yield a line for each student whose work came to something else than *known* lines say.

    Args:
        marked: The set, decided.
        known: Decisions on the set so far.
        name: The set.
        id_base: Begins the id of each line.
        who: Whose run this is.
        when: UTC, ISO 8601.
        program: Version of the program.
    """
    lines: dict[str, list[WorkMarked]] = {}
    for one in known:
        if isinstance(one, WorkMarked):
            lines.setdefault(one.student, []).append(one)
    for place, script in enumerate(marked.scripts):
        work, code = work_of(script), script.write_up.student.code
        if work is None:
            continue
        marks = tuple(f"{g.criterion} {'-' if g.marks is None else g.marks}/{g.out_of}" for g in work.marks)
        slips = tuple(f"{one.cause.value} {one.check.value}" for one in work.slips)
        sound = tuple(sorted(one.value for one in work.sound))
        before = lines.get(code, [])
        if before and (before[-1].marks, before[-1].slips, before[-1].sound) == (marks, slips, sound):
            continue
        yield WorkMarked(
            id=f"{id_base}-{place}",
            who=who,
            when=when,
            set=name,
            number=max((one.number for one in before), default=0) + 1,
            student=code,
            edition=str(marked.rubric.edition),
            program=program,
            marks=marks,
            slips=slips,
            sound=sound,
        )
