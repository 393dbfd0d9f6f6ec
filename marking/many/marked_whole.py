"""A large set marked as a whole: settled from a sample, then part by part into the tables of a folder."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path

from msgspec import Struct, field
from tqdm import tqdm

from marking.checking import BATCH, Counted, Settled, mark_set, settle, spread
from marking.intake.forms import UnknownName
from marking.intake.parts import LargeSet, Part, told_unknown
from marking.many.hands import Hands
from marking.many.marked_part import (
    MOST_TOLD,
    MarkedPart,
    Marks,
    Tally,
    Work,
    add_marks,
    counted_parts,
    marked_part,
    told_of,
)
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

TOGETHER = 20
"""Students of a sample who stand next to each other."""


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


def settled_over(large: LargeSet, hands: Hands) -> dict[str, Settled]:
    """Return what is settled over all of *large*, by practical: from all students, or a sample spread over them."""
    counts: dict[str, list[Counted]] = {name: [] for name in large.reader.rubrics}
    for found in hands.each(counted_parts, _sample(large)):
        for name, one in found.items():
            counts[name].append(one)
    return {name: settle(rubric, counts[name]) for name, rubric in large.reader.rubrics.items()}


def _sample(large: LargeSet) -> Iterator[list[Part]]:
    places = spread(large.students)
    if len(places) == large.students:
        yield from ([part] for part in large.source.parts())
        return
    starts = places[::TOGETHER]
    at_once = BATCH // TOGETHER
    for first in range(0, len(starts), at_once):
        yield [large.source.some(start, TOGETHER) for start in starts[first : first + at_once]]


def write_whole(large: LargeSet, work: Work, settled: Mapping[str, Settled], hands: Hands, folder: Path) -> Account:
    """Mark all parts of *large* and write their tables into *folder*; return what they came to."""
    account = Account()
    book = ManyMarks(folder / "marks.xlsx", work.codes)
    with (
        (folder / "findings.csv").open("w", encoding="utf-8", newline="") as findings,
        (folder / "marks.csv").open("w", encoding="utf-8", newline="") as marks,
        (folder / "remarks.csv").open("w", encoding="utf-8", newline="") as remarks,
        tqdm(total=large.students, desc="marking", unit=" students", disable=None, delay=1) as bar,
    ):
        findings.write(heading(FINDING_COLUMNS))
        marks.write(heading([*MARK_COLUMNS, *work.codes]))
        remarks.write(heading(REMARK_COLUMNS) + remarks_text(large.remarks))
        for part in _marked(large, settled, hands):
            findings.write(part.findings)
            marks.write(part.marks)
            remarks.write(part.remarks)
            book.add(part.marks)
            account.add(part)
            bar.update(part.students)
        absent = _missing(large, work, settled, account)
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
    return hands.each(marked_part, ((settled, part) for part in large.source.parts()))


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
