"""A large set marked as a whole: settled from a sample, then part by part into the tables of a folder."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path

from msgspec import Struct, field

from marking.checking import TOGETHER, Counting, Settled, is_sampled, mark_set, rounds
from marking.hands import Hands
from marking.intake.forms import UnknownName
from marking.intake.parts import LargeSet, Part, told_unknown
from marking.many.marked_part import (
    MOST_TOGETHER,
    PARTS_TOGETHER,
    Work,
    counted_parts,
    marked_parts,
    told_of,
)
from marking.many.told_part import MOST_TOLD, MarkedPart, Marks, Tally, add_marks
from marking.progress import progress
from marking.write_up import ClassSet, Remark, Weight, WriteUp
from reports.tables import (
    FINDING_COLUMNS,
    MARK_COLUMNS,
    MOST_ROWS,
    REMARK_COLUMNS,
    CriterionTally,
    ManyMarks,
    heading,
    remarks_text,
)
from rubrics.model import Rubric


class Account(Struct, kw_only=True):
    """What a large set came to."""

    tallies: dict[str, Tally] = field(default_factory=dict)
    by_criterion: Marks = field(default_factory=dict)
    unknown: list[UnknownName] = field(default_factory=list)
    ticks: list[tuple[str | int | None, ...]] = field(default_factory=list)
    seen: set[str] = field(default_factory=set)
    """Students of a roster, or those of whom a teacher had typed something."""
    told: list[str] = field(default_factory=list)
    attention: int = 0
    notes: int = 0
    looked_at: int = 0
    """Students from whom the set was settled."""

    def add(self, part: MarkedPart) -> None:
        """Count a part in."""
        for name, tally in part.tallies.items():
            self.tallies.setdefault(name, Tally()).add(tally)
        add_marks(self.by_criterion, part.by_criterion)
        self.unknown += part.unknown
        self.ticks += part.ticks
        self.seen |= set(part.codes)
        self.told += part.told[: MOST_TOLD - len(self.told)]
        self.attention += part.attention
        self.notes += part.notes

    def add_remarks(self, remarks: Sequence[Remark]) -> None:
        """Count remarks in that belong to no part."""
        heavy = [one.message for one in remarks if one.weight is not Weight.NOTE]
        self.told = [*heavy, *self.told][:MOST_TOLD]
        self.attention += len(heavy)
        self.notes += len(remarks) - len(heavy)


class SettledWhole(Struct, frozen=True, kw_only=True):
    """What is settled over all of a large set."""

    by_practical: Mapping[str, Settled]
    students: int
    """Who were looked at for it."""


def settled_over(large: LargeSet, hands: Hands) -> SettledWhole:
    """Return what is settled over all of *large*: from all students, or a sample spread over them.

    A round that was given out before the ones in front of it were enough is not counted in, so that it is the same
    whoever works on how many rounds at once.
    """
    every = rounds(large.students)
    counts = {name: Counting(rubric, large.students) for name, rubric in large.reader.rubrics.items()}
    for found in hands.each(counted_parts, _rounds_wanted(large, every, counts)):
        for name, one in found.items():
            counts[name].add(one)
    looked_at = large.students
    if is_sampled(large.students):
        looked_at = sum(map(len, every[: max(one.rounds for one in counts.values())]))
    return SettledWhole(by_practical={name: one.settled() for name, one in counts.items()}, students=looked_at)


def _rounds_wanted(
    large: LargeSet, every: Sequence[Sequence[int]], counts: Mapping[str, Counting]
) -> Iterator[tuple[tuple[str, ...], list[Part]]]:
    """Yield the parts to be counted a round at a time, with the practicals of which more is wanted."""
    if not is_sampled(large.students):
        yield from ((tuple(counts), [part]) for part in large.source.parts())
        return
    for places in every:
        wanted = tuple(name for name, one in counts.items() if not one.is_enough)
        if wanted:
            yield wanted, [large.source.some(start, TOGETHER) for start in places[::TOGETHER]]


def write_whole(large: LargeSet, work: Work, settled: SettledWhole, hands: Hands, folder: Path) -> Account:
    """Mark all parts of *large* and write their tables into *folder*; return what they came to."""
    account = Account(looked_at=settled.students)
    book = ManyMarks(folder / "marks.xlsx", work.codes)
    with (
        (folder / "findings.csv").open("wb") as findings,
        (folder / "marks.csv").open("w", encoding="utf-8", newline="") as marks,
        (folder / "remarks.csv").open("w", encoding="utf-8", newline="") as remarks,
        progress(large.students, "marking") as bar,
    ):
        findings.write(heading(FINDING_COLUMNS).encode())
        marks.write(heading([*MARK_COLUMNS, *work.codes]))
        remarks.write(heading(REMARK_COLUMNS) + remarks_text(large.remarks))
        for part in _marked(large, settled.by_practical, hands):
            findings.write(part.findings)
            marks.write(part.marks)
            remarks.write(part.remarks)
            book.add(part.marks)
            account.add(part)
            bar.update(part.students)
            del part  # before the next is made
        absent = _missing(large, work, settled.by_practical, account)
        if absent is not None:
            findings.write(absent.findings)
            marks.write(absent.marks)
            book.add(absent.marks)
            account.add(absent)
        unknown = told_unknown(account.unknown, large.reader.rubrics)
        remarks.write(remarks_text(unknown))
    account.add_remarks((*large.remarks, *unknown))
    book.close(_criteria(large.reader.rubrics, account.by_criterion), account.ticks)
    return account


def _marked(large: LargeSet, settled: Mapping[str, Settled], hands: Hands) -> Iterator[MarkedPart]:
    return hands.each(marked_parts, ((settled, some) for some in _together(large.source.parts())))


def _together(parts: Iterable[Part]) -> Iterator[tuple[Part, ...]]:
    """Yield parts that follow each other, as many together as may be laid out at a time."""
    some: list[Part] = []
    for part in parts:
        if some and (len(some) == PARTS_TOGETHER or sum(one.size for one in (*some, part)) > MOST_TOGETHER):
            yield tuple(some)
            some = []
        some.append(part)
    if some:
        yield tuple(some)


def _missing(large: LargeSet, work: Work, settled: Mapping[str, Settled], account: Account) -> MarkedPart | None:
    """Return those of the roster who handed in nothing at all; None where there are none."""
    index = large.reader.index
    absent = [one for one in index.roster.students if one.code not in account.seen] if index is not None else []
    if not absent:
        return None
    sets = []
    for name, rubric in large.reader.rubrics.items():
        write_ups = tuple(WriteUp(student=one, practical=name, singles={}, columns={}) for one in absent)
        empty = ClassSet(practical=name, write_ups=write_ups, remarks=(), sources=())
        sets.append(mark_set(rubric, empty, settled[name]))
    return told_of(sets, tuple(one.code for one in absent), work)


def _criteria(rubrics: Mapping[str, Rubric], by_criterion: Marks) -> Iterable[CriterionTally]:
    for rubric in rubrics.values():
        for criterion in rubric.criteria:
            full, part, none, pending, marks = by_criterion.get((rubric.id, criterion.code), [0, 0, 0, 0, 0])
            yield CriterionTally(
                rubric=rubric, code=criterion.code, full=full, part=part, none=none, pending=pending, marks=marks
            )


def rows_left_out(account: Account) -> int:
    """Return how many write-ups the workbook had no room for."""
    return max(0, sum(tally.students for tally in account.tallies.values()) - MOST_ROWS)
