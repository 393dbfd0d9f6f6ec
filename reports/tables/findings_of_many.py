"""Lines of findings.csv for many scripts, the same as ``findings_csv`` writes one by one.

What recurs is put together once: the start of a line, which all students have in common who got the same mark in the
same place; entries and units that were written before; the file in which an entry stood. Lines are made place by
place, those of all students for one place before those for the next, as like things take less time one after the other.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import isfinite

from msgspec import Struct

from marking.findings import Finding, Outcome, Script
from marking.reasons import Reason
from marking.write_up import Place
from reports.tables.findings_csv import NO_CAUSE, cause_cells, other_choice, quoted_cell, rubric_order
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

    start: str
    """The cells between student and entry, with the commas around them."""
    sentences: ToldAgain
    """The last cell."""
    may_name_choice: bool
    """Whether another choice may stand where a number is expected."""
    waiting: list[_Waiting]
    """Findings whose lines are not made yet: of all who stand at the same place in a script."""


_Waiting = tuple[list[str], str, Finding, _Alike]
"""Where the line goes, its first cell, and what it is about."""


class FindingLines:
    """Writes the lines of findings.csv for scripts of one practical."""

    def __init__(self, rubric: Rubric) -> None:
        """Know nothing yet of what recurs."""
        self._order, self._practical = rubric_order(rubric), quoted_cell(rubric.id)
        self._alike: dict[_About, _Alike] = {}
        self._sentences: dict[tuple[str, int | None, str, Outcome, Reason], ToldAgain] = {}
        self._waiting: dict[_Order, list[_Waiting]] = {}
        """By place in a script; in order once all scripts were looked through."""

    def of(self, scripts: Sequence[Script]) -> list[str]:
        """Return the lines of each of some scripts."""
        known, places = self._alike, len(self._waiting)
        made: list[list[str]] = [[] for _ in scripts]
        for script, lines in zip(scripts, made, strict=True):
            student = quoted_cell(script.write_up.student.code)
            for one in script.findings:
                about = one.item, one.row, one.criterion, one.outcome, one.marks, one.out_of, one.reason
                alike = known.get(about) or self._learned(about, one)
                alike.waiting.append((lines, student, one, alike))
        if len(self._waiting) != places:
            self._waiting = dict(sorted(self._waiting.items()))
        for waiting in self._waiting.values():
            for lines, student, one, alike in waiting:
                lines.append(_line(student, one, alike))
            waiting.clear()
        return ["".join(lines) for lines in made]

    def _learned(self, about: _About, finding: Finding) -> _Alike:
        item, row, criterion, outcome, marks, out_of, reason = about
        said_of = item, row, criterion, outcome, reason
        if said_of not in self._sentences:
            self._sentences[said_of] = ToldAgain(finding, quoted_cell)
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
            f",{','.join(cells)},",
            self._sentences[said_of],
            outcome is Outcome.WITHHELD,
            self._waiting.setdefault(self._order(criterion, item, row), []),
        )
        return made


def _line(student: str, one: Finding, alike: _Alike) -> str:
    """Return the line of a finding, *student* as its first cell."""
    value = one.expected
    expected = f"{value:.6g}" if value is not None and isfinite(value) else ""
    if alike.may_name_choice and not expected:
        expected = quoted_cell(other_choice(one))
    cause = _NO_CAUSE
    if one.explanations:
        word, detail, sure, others = cause_cells(one)
        cause = f"{word},{quoted_cell(detail)},{sure},{quoted_cell(others)}"
    place, entry, unit, source = one.source, one.entry, one.unit, ""
    if place is not None:
        cell, start = place.cell, _start_of(place.file, place.sheet)
        source = f'{start}{cell}"' if start and cell.isalnum() else quoted_cell(str(place))
    if entry:
        entry = _kept_cell(entry) if len(entry) <= _LONGEST_KEPT else quoted_cell(entry)
    if unit:
        unit = _kept_cell(unit) if len(unit) <= _LONGEST_KEPT else quoted_cell(unit)
    said = alike.sentences.of(one)
    return f"{student}{alike.start}{entry},{unit},{expected},{one.basis},{cause},{source},{said}\n"


@lru_cache(maxsize=64)
def _start_of(file: str, sheet: str) -> str:
    """Return all of a place but its cell, with the quote before it; empty where it does not go by itself."""
    whole = quoted_cell(str(Place(file=file, sheet=sheet, cell="A1")))
    return whole.removesuffix('A1"') if whole.startswith('"') else ""


_kept_cell = lru_cache(maxsize=4096)(quoted_cell)
