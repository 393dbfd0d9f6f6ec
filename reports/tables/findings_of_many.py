"""Lines of findings.csv for many scripts, the same as ``findings_csv`` writes one by one.

What recurs is put together once: the start of a line, which all students have in common who got the same mark in the
same place; entries and units that were written before; the file in which an entry stood.
"""

from __future__ import annotations

from functools import lru_cache
from operator import itemgetter

from marking.findings import Finding, Outcome, Script
from marking.write_up import Place
from reports.tables.findings_csv import NO_CAUSE, cause_cells, number_cell, other_choice, quoted_cell, rubric_order
from reports.wording import message
from rubrics.model import Rubric

_Order = tuple[int, int, int]
_About = tuple[str, int | None, str, Outcome, int | None, int]
"""Item, row, criterion, outcome, marks and marks out of."""
_NO_CAUSE = ",".join(NO_CAUSE)
_LONGEST_KEPT = 60
"""Signs of a cell that is kept; a longer one is somebody's own sentence."""


class _Starts(dict[_About, tuple[_Order, str]]):
    """What findings of one practical are about, to their place in a script and the cells between student and entry."""

    __slots__ = ("_order", "_practical")

    def __init__(self, rubric: Rubric) -> None:
        super().__init__()
        self._order, self._practical = rubric_order(rubric), quoted_cell(rubric.id)

    def __missing__(self, about: _About) -> tuple[_Order, str]:
        item, row, criterion, outcome, marks, out_of = about
        cells = (
            self._practical,
            quoted_cell(item),
            "" if row is None else str(row),
            quoted_cell(criterion),
            outcome.value,
            "" if marks is None else str(marks),
            str(out_of),
        )
        made = self[about] = (self._order(criterion, item, row), ",".join(cells))
        return made


class FindingLines:
    """Writes the lines of findings.csv for scripts of one practical."""

    def __init__(self, rubric: Rubric) -> None:
        """Know nothing yet of what recurs."""
        self._starts = _Starts(rubric)

    def of(self, script: Script) -> str:
        """Return the lines of one script."""
        starts, who = self._starts, quoted_cell(script.write_up.student.code)
        own = []
        for one in script.findings:
            order, start = starts[one.item, one.row, one.criterion, one.outcome, one.marks, one.out_of]
            own.append((order, f"{who},{start},{_end(one)}"))
        own.sort(key=_order_of)
        return "".join([line for _, line in own])


_order_of = itemgetter(0)


def _end(one: Finding) -> str:
    """Return a line from the entry on."""
    expected = number_cell(one.expected, ".6g") or quoted_cell(other_choice(one))
    cause = ",".join(map(quoted_cell, cause_cells(one))) if one.explanations else _NO_CAUSE
    source = "" if one.source is None else _source(one.source)
    entry = _cell(one.entry) if one.entry else ""
    unit = _cell(one.unit) if one.unit else ""
    return f"{entry},{unit},{expected},{one.basis},{cause},{source},{quoted_cell(message(one))}\n"


def _source(place: Place) -> str:
    start = _start_of(place.file, place.sheet)
    return f'{start}{place.cell}"' if start and place.cell.isalnum() else quoted_cell(str(place))


@lru_cache(maxsize=64)
def _start_of(file: str, sheet: str) -> str:
    """Return all of a place but its cell, with the quote before it; empty where it does not go by itself."""
    whole = quoted_cell(str(Place(file=file, sheet=sheet, cell="A1")))
    return whole.removesuffix('A1"') if whole.startswith('"') else ""


def _cell(text: str) -> str:
    return _kept_cell(text) if len(text) <= _LONGEST_KEPT else quoted_cell(text)


_kept_cell = lru_cache(maxsize=4096)(quoted_cell)
