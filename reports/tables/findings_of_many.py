"""Lines of findings.csv for many scripts, the same as ``findings_csv`` writes one by one.

What recurs is put together once: the start of a line, which all students have in common who got the same mark in the
same place; entries and units that were written before; the file in which an entry stood. Lines are made place by
place, those of all students for one place before those for the next, as like things take less time one after the other.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from msgspec import Struct

from marking.findings import Finding, Outcome, Script
from marking.reasons import Reason
from marking.write_up import Place
from reports.tables.findings_csv import NO_CAUSE, cause_cells, number_cell, other_choice, quoted_cell, rubric_order
from reports.wording import ToldAgain
from rubrics.model import Rubric

_Order = tuple[int, int, int]
_About = tuple[str, int | None, str, Outcome, int | None, int, Reason]
"""Item, row, criterion, outcome, marks, marks out of and reason."""
_NO_CAUSE = ",".join(NO_CAUSE)
_LONGEST_KEPT = 60
"""Signs of a cell that is kept; a longer one is somebody's own sentence."""


class _Alike(Struct, frozen=True):
    """What the lines have in common that say the same of the same thing."""

    order: _Order
    """Their place in a script."""
    start: str
    """The cells between student and entry, with the commas around them."""
    sentences: ToldAgain
    """The last cell."""
    may_name_choice: bool
    """Whether another choice may stand where a number is expected."""


class _Waiting(Struct, frozen=True):
    """A finding whose line is not made yet."""

    lines: list[str]
    """Where it goes."""
    student: str
    """The first cell."""
    finding: Finding
    alike: _Alike


class FindingLines:
    """Writes the lines of findings.csv for scripts of one practical."""

    def __init__(self, rubric: Rubric) -> None:
        """Know nothing yet of what recurs."""
        self._order, self._practical = rubric_order(rubric), quoted_cell(rubric.id)
        self._alike: dict[_About, _Alike] = {}

    def of(self, scripts: Sequence[Script]) -> list[str]:
        """Return the lines of each of some scripts."""
        known = self._alike
        waiting: dict[_Order, list[_Waiting]] = {}
        made: list[list[str]] = [[] for _ in scripts]
        for script, lines in zip(scripts, made, strict=True):
            student = quoted_cell(script.write_up.student.code)
            for one in script.findings:
                about = one.item, one.row, one.criterion, one.outcome, one.marks, one.out_of, one.reason
                alike = known.get(about) or self._learned(about, one)
                waiting.setdefault(alike.order, []).append(_Waiting(lines, student, one, alike))
        for order in sorted(waiting):
            for place in waiting[order]:
                place.lines.append(f"{place.student}{place.alike.start}{_end(place.finding, place.alike)}")
        return ["".join(lines) for lines in made]

    def _learned(self, about: _About, finding: Finding) -> _Alike:
        item, row, criterion, outcome, marks, out_of, _ = about
        cells = (
            self._practical,
            quoted_cell(item),
            "" if row is None else str(row),
            quoted_cell(criterion),
            outcome.value,
            "" if marks is None else str(marks),
            str(out_of),
        )
        made = self._alike[about] = _Alike(
            self._order(criterion, item, row),
            f",{','.join(cells)},",
            ToldAgain(finding, quoted_cell),
            outcome is Outcome.WITHHELD,
        )
        return made


def _end(one: Finding, alike: _Alike) -> str:
    """Return a line from the entry on."""
    expected = "" if one.expected is None else number_cell(one.expected, ".6g")
    if alike.may_name_choice and not expected:
        expected = quoted_cell(other_choice(one))
    cause = ",".join(map(quoted_cell, cause_cells(one))) if one.explanations else _NO_CAUSE
    source = "" if one.source is None else _source(one.source)
    entry = _cell(one.entry) if one.entry else ""
    unit = _cell(one.unit) if one.unit else ""
    return f"{entry},{unit},{expected},{one.basis},{cause},{source},{alike.sentences.of(one)}\n"


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
