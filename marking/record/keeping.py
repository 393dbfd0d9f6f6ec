"""One practical's set with its record: cells mended, marked, ticks taken down, decided."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from msgspec import Struct, structs

from marking.compared import mark_versions
from marking.decided import (
    Decision,
    Erased,
    ModerationRuled,
    RoundBegun,
    SetName,
    SetRead,
    department_set,
    idle_ticks,
    new_ticks,
    new_works,
    ruling_for,
    standing_rulings,
    with_decisions,
    with_mended_cells,
)
from marking.findings import MarkedSet
from marking.record.store import OvertakenError, Record, is_closed
from marking.write_up import ClassSet, Remark, Weight, WriteUp
from rubrics.faults import InputError
from rubrics.model import Rubric

_FEWEST_SHARED = 0.5
"""Share of students that two sets have in common before one is asked about as the other, moved and renamed."""


class Maker(Struct, frozen=True, kw_only=True):
    """What a decision takes from outside: who decides, when, with which program, and ids nobody else has."""

    who: str
    now: Callable[[], str]
    """UTC, ISO 8601."""
    fresh: Callable[[], str]
    program: str


class Kept(Struct, frozen=True, kw_only=True):
    """A set as it stands in its record."""

    name: SetName
    found: MarkedSet
    """Before decisions."""
    marked: MarkedSet
    decisions: tuple[Decision, ...]
    adjustment: ModerationRuled | None = None
    """What the department ruled on the totals of this class."""


def adjustment_in(record: Record, name: SetName) -> ModerationRuled | None:
    """Return what the department's record rules on the totals of a class; None where nothing is."""
    whole = department_set(name.practical)
    rulings = standing_rulings(record.decisions(whole, about=ModerationRuled.about))
    if not rulings:
        return None
    begun = [one for one in record.decisions(whole, about=RoundBegun.about) if isinstance(one, RoundBegun)]
    return ruling_for(rulings, begun, name.class_name)


def keep(
    record: Record, rubric: Rubric, first: ClassSet, maker: Maker, *, class_name: str, again: ClassSet | None = None
) -> Kept:
    """Return a set with all that its record holds, after its new ticks were taken down in it.

    Args:
        record: The record.
        rubric: The set's practical.
        first: What was handed in.
        maker: Whose run this is.
        class_name: Of the set, see ``name_set``.
        again: What was handed in a second time.
    """
    name = SetName(class_name=class_name, practical=rubric.id)
    known = record.decisions(name)
    first, gone = without_erased(record, name, first, known)
    mended = with_mended_cells(first, rubric, known)
    found = mark_versions(rubric, mended, with_mended_cells(again, rubric, known) if again else None)
    remarks = [*gone, *idle_ticks(found)]
    ticks = new_ticks(found, known, maker.fresh, name=name, who=maker.who, when=maker.now(), program=maker.program)
    if ticks and is_closed(known):
        remarks.append(_closed(name, len(ticks), found))
        ticks = ()
    read = _files(known, found, name, maker)
    if new := (*read, *ticks):
        record.add(new)
        known = record.decisions(name)
    adjustment = adjustment_in(record, name)
    marked = with_decisions(found, known, adjustment)
    known = keep_works(record, marked, known, maker, name=name)
    marked = structs.replace(marked, remarks=(*marked.remarks, *remarks))
    return Kept(name=name, found=found, marked=marked, decisions=known, adjustment=adjustment)


def keep_works(
    record: Record, marked: MarkedSet, known: Sequence[Decision], maker: Maker, *, name: SetName
) -> tuple[Decision, ...]:
    """Take down what each student's work came to, where that is new; return all decisions on the set."""
    works = tuple(
        new_works(
            marked, known, name=name, id_base=maker.fresh(), who=maker.who, when=maker.now(), program=maker.program
        )
    )
    if not works:
        return tuple(known)
    # Where somebody else marked the same files meanwhile, their line is as good.
    with contextlib.suppress(OvertakenError):
        record.add(works)
    return record.decisions(name)


def without_erased(
    record: Record, name: SetName, first: ClassSet, known: Sequence[Decision]
) -> tuple[ClassSet, tuple[Remark, ...]]:
    """Return a set without the work of students who were erased, and what is told of that.

    The record does not know whom it has forgotten. But whoever stands in a file that was read before has a line, so
    whoever has none any more, in a class of which somebody was erased, is that student.
    """
    erased = record.all_decisions(about=Erased.about, class_name=name.class_name)
    met = {one for read in known if isinstance(read, SetRead) for one in read.hashes}
    if not erased or not met:
        return first, ()
    there, last = record.students(name.class_name), erased[-1]
    hashes = {source.name: source.sha256 for source in first.sources}
    unknown = [work for work in first.write_ups if work.is_handed_in and work.student.code not in there]
    old = [work for work in unknown if {hashes.get(file) for file in _files_of(work)} <= met]
    by = f"{last.who or 'somebody'} on {last.when[:10]}"
    # More than were erased: the record is older than these lines, and cannot tell.
    gone = {work.student.code: work for work in old} if len(old) <= len(erased) else {}
    told = [
        _of_work(
            work,
            f"{work.student.code}: erased from the record by {by}. The work still stands in the file: it is passed "
            "over, and nothing about it is kept. Take it out of the file too.",
        )
        for work in gone.values()
    ]
    told += [
        _of_work(
            work,
            f"{work.student.code}: new in {name.class_name}, of which {by} erased a student. If this is the same "
            "student, take the work out of the file and erase again.",
        )
        for work in unknown
        if work.student.code not in gone
    ]
    left = tuple(work for work in first.write_ups if work.student.code not in gone)
    return structs.replace(first, write_ups=left), tuple(told)


def _files_of(work: WriteUp) -> set[str]:
    return _worked_in(work) | {tick.entry.place.file for tick in work.ticks.values()}


def _worked_in(work: WriteUp) -> set[str]:
    columns = (entry for column in work.columns.values() for entry in column.values())
    return {entry.place.file for entry in (*work.singles.values(), *columns)}


def _of_work(work: WriteUp, said: str) -> Remark:
    return Remark(weight=Weight.QUERY, file=min(_files_of(work), default=""), message=said, student=work.student.code)


def _files(known: Sequence[Decision], found: MarkedSet, name: SetName, maker: Maker) -> Iterator[SetRead]:
    reads = [one for one in known if isinstance(one, SetRead)]
    met = {one for read in reads for one in read.hashes}
    new = tuple(sorted({source.sha256 for source in found.sources} - met))
    if new:
        yield SetRead(
            id=maker.fresh(),
            who=maker.who,
            when=maker.now(),
            set=name,
            number=len(reads) + 1,
            edition=str(found.rubric.edition),
            program=maker.program,
            hashes=new,
        )


def _closed(name: SetName, count: int, found: MarkedSet) -> Remark:
    said = f"The marks of {name} are closed: {count} new ticks are not used. Reopen the set, with a reason, first."
    return Remark(weight=Weight.QUERY, file=found.sources[0].name if found.sources else str(name), message=said)


def name_set(record: Record, first: ClassSet, *, wanted: str, proposed: str) -> tuple[str, tuple[Remark, ...]]:
    """Return the class under which the record keeps a set, and what there is to ask about that.

    A file is known by its contents, wherever it was moved and whatever it is called now; a changed file by its name.

    Args:
        record: The record.
        first: The set as read.
        wanted: The class as the teacher says it; empty where nothing was said.
        proposed: A name from the files, for a set that the record has not met.

    Raises:
        InputError: The record holds another class under that name.
    """
    if wanted:
        return wanted, ()
    reads = [one for one in record.all_decisions(about=SetRead.about) if isinstance(one, SetRead)]
    works = _work_hashes(first)
    known = {one.set.class_name for one in reads if one.set.practical == first.practical and works & set(one.hashes)}
    if len(known) == 1:
        return known.pop(), ()
    others = {name.class_name for name in record.sets() if name.practical == first.practical}
    codes = {work.student.code for work in first.write_ups}
    shares = {other: _shared(record, SetName(class_name=other, practical=first.practical), codes) for other in others}
    if proposed in others:
        if shares[proposed] == 0:
            problem = f"the record holds another {proposed} for this practical, with other students"
            raise InputError(proposed, problem, "say which class this is after --class")
        return proposed, ()
    like = sorted(other for other, share in shares.items() if share is not None and share >= _FEWEST_SHARED)
    if not like:
        return proposed, ()
    said = (
        f"Kept in the record as a new class, {proposed}. It holds the same students in {', '.join(like)}: if this is "
        f"one of them, run again with --class '{like[0]}'."
    )
    return proposed, (Remark(weight=Weight.QUERY, file=proposed, message=said),)


def proposed_class(inputs: Sequence[str], first: ClassSet) -> str:
    """Return a name for a class from its files: of the one workbook, else of the folder that holds them."""
    files = {file for work in first.write_ups for file in _worked_in(work)}
    given = Path(inputs[0])
    if len(files) == 1:
        return Path(files.pop()).stem
    return given.resolve().name if given.is_dir() else given.stem


def _shared(record: Record, name: SetName, codes: set[str]) -> float | None:
    """Return the share of the students with decisions that are among *codes*; None where none has any."""
    decided = {one.student for one in record.decisions(name) if one.student}
    return len(decided & codes) / len(decided) if decided else None


def _work_hashes(class_set: ClassSet) -> set[str]:
    files = {file for work in class_set.write_ups for file in _worked_in(work)}
    return {source.sha256 for source in class_set.sources if source.name in files}
