"""Second versions: work that was handed in again, beside what it was before. Both are kept; the later one counts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct, structs

from marking.findings import MarkedSet, Script
from marking.write_up import ClassSet, MarkCode, State, Student, WriteUp
from rubrics.model import Criterion


class Shift(Struct, frozen=True, kw_only=True):
    """One criterion whose marks differ between two versions; None stands for marks a teacher still decides."""

    criterion: Criterion
    before: int | None
    after: int | None


def completed(second: ClassSet, first: ClassSet) -> ClassSet:
    """Return the second versions, with what they leave out taken from the first: mended answers may come alone.

    A column counts as a whole, for rows that were taken again are not mixed with the old ones.
    """
    before = {one.student.code: one for one in first.write_ups}
    works = [_completed(one, before.get(one.student.code)) for one in second.write_ups]
    return structs.replace(second, write_ups=tuple(works))


def _completed(second: WriteUp, first: WriteUp | None) -> WriteUp:
    if first is None or not second.is_handed_in:
        return second
    singles = {name: entry for name, entry in second.singles.items() if entry.state is not State.BLANK}
    columns = {
        name: column
        for name, column in second.columns.items()
        if any(entry.state is not State.BLANK for entry in column.values())
    }
    return structs.replace(
        second,
        singles={**second.singles, **first.singles, **singles},
        columns={**second.columns, **first.columns, **columns},
        ticks={**first.ticks, **second.ticks},
    )


def with_second_versions(first: Sequence[MarkedSet], second: Sequence[MarkedSet]) -> list[MarkedSet]:
    """Return the sets of *first*, each write-up that was handed in again replaced by its second version.

    A second version keeps the first as ``Script.earlier``. Students and practicals of *second* alone are added.
    """
    again = {one.rubric.id: one for one in second}
    known = {one.rubric.id for one in first}
    joined = [_joined(one, again[one.rubric.id]) if one.rubric.id in again else one for one in first]
    return joined + [one for one in second if one.rubric.id not in known]


def _joined(first: MarkedSet, second: MarkedSet) -> MarkedSet:
    later = {one.write_up.student.code: one for one in second.scripts if one.write_up.is_handed_in}
    scripts = []
    for script in first.scripts:
        newer = later.pop(script.write_up.student.code, None)
        if newer is None:
            scripts.append(script)
            continue
        # The first file knows who this is; a second one may come without a roster.
        student = _present(script.write_up.student, newer.write_up.student)
        work = structs.replace(newer.write_up, student=student)
        earlier = script if script.write_up.is_handed_in else None
        scripts.append(structs.replace(newer, write_up=work, earlier=earlier))
    return structs.replace(
        first,
        scripts=(*scripts, *later.values()),
        remarks=(*first.remarks, *second.remarks),
        sources=(*first.sources, *(one for one in second.sources if one not in first.sources)),
    )


def _present(first: Student, second: Student) -> Student:
    """Return the student of both versions, who is no longer absent: work and the code for none never stand together."""
    codes = tuple(dict.fromkeys(code for code in (*first.codes, *second.codes) if code != MarkCode.ABSENT))
    return structs.replace(first, absent=False, codes=codes)


def shifts(script: Script) -> Iterator[Shift]:
    """Yield the criteria whose marks differ from those of the version before, in the rubric's order."""
    if script.earlier is None:
        return
    before = {mark.criterion.code: mark for mark in script.earlier.criteria}
    for mark in script.criteria:
        was = before.get(mark.criterion.code)
        if was is not None and was.marks != mark.marks:
            yield Shift(criterion=mark.criterion, before=was.marks, after=mark.marks)


def first_versions(marked: Sequence[MarkedSet]) -> list[MarkedSet]:
    """Return the sets of the versions that were handed in before; sets without any are left out."""
    found = []
    for one in marked:
        earlier = tuple(script.earlier for script in one.scripts if script.earlier is not None)
        if earlier:
            found.append(structs.replace(one, scripts=earlier))
    return found
