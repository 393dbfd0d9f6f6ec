"""One cell that cannot be read costs that cell: what hangs on it waits for the teacher, and nothing is lost by it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from msgspec.structs import replace

from marking.checking import mark_set
from marking.findings import Outcome, Script
from marking.intake import read_inputs
from marking.write_up import Entry, State, WriteUp
from tests.apparatus import BENCHES, write_tidy
from tests.benchmarks.cohorts import cohort
from tests.properties.class_sets import known_rubrics

PAGES = 3
MOST_CELLS = 16
"""Of one page that are spoilt, each in a copy of its own."""


def _unreadable(entry: Entry) -> Entry:
    note = "not a number"
    bare = Entry(raw="4#7", unit_raw=entry.unit_raw, state=State.UNREADABLE, place=entry.place, notes=(note,))
    return entry if entry.state is State.WORDS else bare


def _spoilt(work: WriteUp) -> Iterator[tuple[str, WriteUp]]:
    cells = [(name, 0) for name, entry in work.singles.items() if entry.state is State.NUMBER]
    cells += [(name, row) for name, rows in work.columns.items() for row, e in rows.items() if e.state is State.NUMBER]
    step = max(1, -(-len(cells) // MOST_CELLS))
    for name, row in cells[::step]:
        student = replace(work.student, code=f"{work.student.code} {name} {row}")
        if row:
            rows = {**work.columns[name], row: _unreadable(work.columns[name][row])}
            yield f"{name} row {row}", replace(work, student=student, columns={**work.columns, name: rows})
        else:
            singles = {**work.singles, name: _unreadable(work.singles[name])}
            yield name, replace(work, student=student, singles=singles)


def _outcomes(script: Script) -> dict[str, Outcome]:
    return {one.criterion.code: one.outcome for one in script.criteria}


@pytest.mark.parametrize("practical", sorted(BENCHES))
def test_what_one_unreadable_cell_touches_waits_and_nothing_is_lost(practical: str, tmp_path: Path) -> None:
    """No mark that stands on the whole page is withheld once one cell of it cannot be read."""
    rubric = known_rubrics()[practical]
    sheets = [page.sheet for page in cohort(practical, PAGES, "one cell", levelled=True)]
    (whole,) = read_inputs([write_tidy(tmp_path / "set.csv", sheets)], known_rubrics())
    spoilt = [(work.student.code, cell, copy) for work in whole.write_ups for cell, copy in _spoilt(work)]
    marked = mark_set(rubric, replace(whole, write_ups=(*whole.write_ups, *(copy for _, _, copy in spoilt))))
    by_code = {script.write_up.student.code: _outcomes(script) for script in marked.scripts}
    lost = [
        (code, cell, criterion)
        for code, cell, copy in spoilt
        for criterion, outcome in by_code[copy.student.code].items()
        if outcome is Outcome.WITHHELD and by_code[code][criterion] is not Outcome.WITHHELD
    ]
    assert lost == []
