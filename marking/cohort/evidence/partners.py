"""Who read one set of readings together: partners at a bench, whose readings are rightly the same."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct

from marking.checking.answers import entries_of, unit_used
from marking.findings import MarkedSet
from marking.write_up import WriteUp
from rubrics.model import Role, Rubric

FEWEST_ALIKE = 2
"""Fewer readings than this say nothing about who worked with whom."""

ReadingKey = tuple[tuple[str, int, float, float], ...]


class Partners(Struct, frozen=True, kw_only=True):
    """One set of readings, and everybody who handed it in at one bench."""

    bench: str
    """Empty where the bench is not known; then it is one student."""
    students: tuple[str, ...]
    write_up: WriteUp
    """That of the first of them; the others' readings are the same."""

    @property
    def share_readings(self) -> bool:
        """Tell whether several students handed in these readings, as partners do."""
        return len(self.students) > 1


def partners_of(marked: MarkedSet) -> tuple[Partners, ...]:
    """Return every set of readings once for each bench, in the order of the class."""
    return partners_in(marked.rubric, [script.write_up for script in marked.scripts])


def partners_in(rubric: Rubric, write_ups: Sequence[WriteUp]) -> tuple[Partners, ...]:
    """Return the same of write-ups as they were read."""
    return tuple(_gathered(rubric, write_ups))


def _gathered(rubric: Rubric, write_ups: Sequence[WriteUp]) -> Iterator[Partners]:
    found: dict[tuple[object, ...], list[WriteUp]] = {}
    for place, write_up in enumerate(write_ups):
        readings = readings_key(rubric, write_up)
        if not readings:
            continue
        bench = write_up.student.bench
        alone = not bench or len(readings) < FEWEST_ALIKE
        key = (place,) if alone else (bench, readings)
        found.setdefault(key, []).append(write_up)
    for group in found.values():
        yield Partners(
            bench=group[0].student.bench,
            students=tuple(dict.fromkeys(one.student.code for one in group)),
            write_up=group[0],
        )


def readings_key(rubric: Rubric, write_up: WriteUp) -> ReadingKey:
    """Return the numbers of all readings, each in coherent SI units with its place; empty where there are none."""
    return tuple(
        (item.name, row, entry.value, unit_used(item, entry).factor)
        for item in rubric.items.values()
        if (item.role is Role.READING or item.repeats) and not item.is_words
        for row, entry in entries_of(item, write_up)
        if entry.value is not None
    )
