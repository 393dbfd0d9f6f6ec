"""Classes of careful students of every practical, with many habits of rounding, as rows of tidy CSV.

The practicals of ``samples/benches`` are worked out by the rubric's formulas, one plain number after the other; the
seven of ``tests.apparatus`` by sums that were written apart from any rubric.
"""

from __future__ import annotations

import csv
import tempfile
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from random import Random

from msgspec import Struct

from marking.checking.marking_set import mark_set
from marking.findings import MarkedSet
from marking.intake.read_inputs import read_inputs
from marking.write_up import Student
from rubrics.formulas import Call, walk
from rubrics.load import load_catalogue
from rubrics.model.practical import Rubric
from samples.bench_class import fill_desk
from samples.bench_data import bench_data
from samples.habits import Habits
from samples.sheet import rows_of
from tests.apparatus import BENCHES, careful_sheet

CLASS = 60
BENCH_COUNT = 12
HEADINGS = ("student", "bench", "practical", "item", "row", "entry", "unit")
WELL_DRAWN = 0.03
"""A careful line is no steeper or flatter than this, as a share; common practice, no source."""
BY_SUMS = "by sums of its own"
BY_RUBRIC = "by the rubric's formulas"

Place = tuple[str, int | None]
"""Item and row, None for a single item."""


class Page(Struct, frozen=True, kw_only=True):
    """One write-up."""

    student: str
    bench: str
    cells: Mapping[Place, tuple[str, str]]
    """Entry and unit."""


@cache
def catalogue() -> Mapping[str, Rubric]:
    """Return every practical."""
    return dict(load_catalogue())


def sources() -> list[tuple[str, str]]:
    """Return each practical with how its answers are worked out here."""
    return [*((name, BY_SUMS) for name in sorted(BENCHES)), *((name, BY_RUBRIC) for name in sorted(bench_data()))]


def careful_habits(chance: Random) -> Habits:
    """Return how some careful student works: what is kept, cut off, carried on and printed."""
    return Habits(
        figures=chance.choice((3, 3, 3, 4)),
        has_places=chance.random() < 0.3,
        keeps=chance.choice((None, None, 3, 3, 4, 5)),
        cuts=chance.random() < 0.12,
        carries_written=chance.random() < 0.5,
        tilt=0.0 if chance.random() < 0.2 else max(-WELL_DRAWN, min(WELL_DRAWN, chance.gauss(0, 0.012))),
        likes_e=chance.random() < 0.5,
        copies_display=0.4 if chance.random() < 0.1 else 0.0,
        leaves_out=0.3 if chance.random() < 0.5 else 0.0,
    )


def careful_class(practical: str, how: str, seed: str, size: int = CLASS) -> list[Page]:
    """Return the pages of a class of careful students."""
    if how == BY_SUMS:
        return _by_sums(practical, seed, size)
    data, rubric = bench_data()[practical], catalogue()[practical]
    pages = []
    for number in range(size):
        student = Student(code=f"S{number:03}", name="", bench=str(number % BENCH_COUNT + 1))
        other_ways = _has_plain_ways(rubric) and Random(f"{seed}/{number}/ways").random() < 0.3
        desk = fill_desk(rubric, data, student, seed, habits=careful_habits, slip_rate=0.0, uses_other_ways=other_ways)
        cells = {
            (item, row or None): written
            for item, cell in desk.work.cells.items()
            for row, written in rows_of(cell).items()
        }
        pages.append(Page(student=student.code, bench=student.bench, cells=cells))
    return pages


def _has_plain_ways(rubric: Rubric) -> bool:
    """Tell whether no other way takes gradient and intercept off one line: here each would be tilted for itself."""
    ways = [
        {part.function for part in walk(way.tree) if isinstance(part, Call)} for i in rubric.answers for way in i.also
    ]
    return not any(calls.issuperset(("slope", "intercept")) for calls in ways)


def _by_sums(practical: str, seed: str, size: int) -> list[Page]:
    chance = Random(f"{practical} {seed}")
    pages = []
    for number in range(size):
        sheet = careful_sheet(BENCHES[practical](chance), chance, f"S{number:03}", str(number % BENCH_COUNT + 1))
        cells = {(cell.key.item, cell.key.row): (cell.entry, cell.unit) for cell in sheet.cells}
        pages.append(Page(student=sheet.student, bench=str(number % BENCH_COUNT + 1), cells=cells))
    return pages


def mark_pages(practical: str, pages: Sequence[Page]) -> MarkedSet:
    """Return a class, written as tidy CSV, read and marked."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "class.csv"
        with file.open("w", encoding="utf-8", newline="") as text:
            writer = csv.writer(text, lineterminator="\n")
            writer.writerow(HEADINGS)
            for page in pages:
                for (item, row), (entry, unit) in page.cells.items():
                    writer.writerow([page.student, page.bench, practical, item, row or "", entry, unit])
        (class_set,) = read_inputs([file], catalogue())
    return mark_set(catalogue()[practical], class_set)
