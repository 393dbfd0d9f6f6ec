"""Cells mended by a teacher: the write-up as it should read. The file is never changed, and a changed file wins."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping

from msgspec import structs

from marking.decided.decisions import CellMended, Decision
from marking.intake.entries import SINGLE, WrittenUnit, read_entry, settle_units
from marking.intake.grids import Vocabulary
from marking.write_up import ClassSet, Entry, Remark, Weight, WriteUp
from rubrics.model import Rubric

Slot = tuple[str, int]


def cell_of(item: str, row: int | None) -> str:
    """Return how decisions name a cell: the item, with its row after a stroke where it has one."""
    return item if row is None else f"{item}/{row}"


def slot_of(cell: str) -> Slot:
    """Return the item and row that a cell's name stands for."""
    item, _, row = cell.partition("/")
    return item, int(row) if row.isdigit() else SINGLE


def with_mended_cells(class_set: ClassSet, rubric: Rubric, decisions: Iterable[Decision]) -> ClassSet:
    """Return the set with the cells that teachers mended read anew; a cell whose file says something new stands."""
    last: dict[str, dict[Slot, CellMended]] = defaultdict(dict)
    for decision in decisions:
        if isinstance(decision, CellMended):
            last[decision.student][slot_of(decision.cell)] = decision
    if not last:
        return class_set
    vocabulary = Vocabulary(rubric)
    works: list[WriteUp] = []
    settled: set[tuple[str, str]] = set()
    told: list[Remark] = []
    for work in class_set.write_ups:
        mends = {slot: one for slot, one in last.get(work.student.code, {}).items() if _applies(work, slot, one)}
        works.append(_mended(work, mends, vocabulary))
        settled |= {(work.student.code, str(entries_of(work)[slot].place)) for slot in mends}
        told += [_remark(entries_of(work)[slot], one) for slot, one in mends.items()]
    # A question that the mended cell answers is asked no more.
    remarks = [
        one
        for one in class_set.remarks
        if one.place is None or one.weight is not Weight.QUERY or (one.student, str(one.place)) not in settled
    ]
    return structs.replace(class_set, write_ups=tuple(works), remarks=(*remarks, *told))


def entries_of(work: WriteUp) -> dict[Slot, Entry]:
    """Return all entries of a write-up by item and row."""
    singles = {(name, SINGLE): entry for name, entry in work.singles.items()}
    columns = {(name, row): entry for name, column in work.columns.items() for row, entry in column.items()}
    return {**singles, **columns}


def _applies(work: WriteUp, slot: Slot, mend: CellMended) -> bool:
    entry = entries_of(work).get(slot)
    return entry is not None and entry.raw.strip() == mend.was.strip()


def _mended(work: WriteUp, mends: Mapping[Slot, CellMended], vocabulary: Vocabulary) -> WriteUp:
    if not mends:
        return work
    entries = entries_of(work)
    for (name, row), mend in mends.items():
        old = entries[name, row]
        item = vocabulary.rubric.items[name]
        beside = WrittenUnit(heading="" if item.is_words else old.unit_raw)
        entries[name, row] = read_entry(mend.entry, beside, item, old.place, vocabulary)
    # Only the mended ones: the others have their unit already.
    settled = settle_units(entries, vocabulary)
    entries |= {slot: settled[slot] for slot in mends}
    columns = {name: {row: entries[name, row] for row in column} for name, column in work.columns.items()}
    singles = {name: entries[name, SINGLE] for name in work.singles}
    return structs.replace(work, singles=singles, columns=columns)


def _remark(entry: Entry, mend: CellMended) -> Remark:
    return Remark(
        weight=Weight.NOTE,
        file=entry.place.file,
        message=f'{entry.place}, {mend.student}: "{mend.was}" mended to "{mend.entry}" by {mend.who}.',
        student=mend.student,
        item=slot_of(mend.cell)[0],
        place=entry.place,
    )
