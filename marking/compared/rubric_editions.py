"""What another edition of a rubric does to marks already given, student by student."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from marking.findings import MarkedSet, Script
from rubrics.model import Criterion, Rubric

TOTAL = "total"


class Change(Struct, frozen=True, kw_only=True):
    """One mark that differs between two editions; None stands for a mark that a teacher still decides."""

    student: str
    criterion: str
    """Code of the criterion, or 'total'."""
    before: int | None
    out_of_before: int
    after: int | None
    out_of_after: int
    why: str


def changes(before: MarkedSet, after: MarkedSet) -> tuple[Change, ...]:
    """Return every mark that differs between the same class marked by two editions, with each student's total."""
    old = {script.write_up.student.code: script for script in before.scripts}
    found: list[Change] = []
    for script in after.scripts:
        code = script.write_up.student.code
        if code in old:
            found += _of_student(code, old[code], script, before.rubric, after.rubric)
    return tuple(found)


def _of_student(code: str, before: Script, after: Script, old: Rubric, new: Rubric) -> Iterator[Change]:
    first = {mark.criterion.code: mark for mark in before.criteria}
    second = {mark.criterion.code: mark for mark in after.criteria}
    any_change = False
    for name in dict.fromkeys([*second, *first]):
        was, now = first.get(name), second.get(name)
        marks = (was.marks if was else 0, now.marks if now else 0)
        out_of = (was.criterion.marks if was else 0, now.criterion.marks if now else 0)
        if marks[0] == marks[1] and out_of[0] == out_of[1]:
            continue
        any_change = True
        why = _why(was.criterion if was else None, now.criterion if now else None, old, new)
        yield Change(
            student=code,
            criterion=name,
            before=marks[0],
            out_of_before=out_of[0],
            after=marks[1],
            out_of_after=out_of[1],
            why=why,
        )
    if any_change:
        yield Change(
            student=code,
            criterion=TOTAL,
            before=before.awarded,
            out_of_before=before.out_of,
            after=after.awarded,
            out_of_after=after.out_of,
            why="",
        )


def _why(was: Criterion | None, now: Criterion | None, old: Rubric, new: Rubric) -> str:
    if was is None:
        return "criterion added"
    if now is None:
        return "criterion removed"
    keys = Criterion.__struct_fields__
    told = [f"{key} changed" for key in keys if key != "point" and getattr(was, key) != getattr(now, key)]
    told += [f"{name} changed" for name in now.items if name in old.items and old.items[name] != new.items[name]]
    # An answer may also follow from something that has changed further up.
    return "; ".join(told) or "follows from another change"
