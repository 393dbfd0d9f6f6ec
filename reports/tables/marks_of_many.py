"""The marks of a set that is too large to hold: line by line to CSV, and so many of them as a workbook bears.

A workbook opens slowly from some hundred thousand lines on and ends at a million. So it holds marks, never findings,
and past *MOST_ROWS* it says where the rest is.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from pathlib import Path

from msgspec import Struct

from marking.findings import Script
from marking.write_up import Remark
from reports.tables.findings_csv import cell_text, csv_cell, quoted_cell
from reports.tables.marks_workbook import tick_row
from reports.tables.workbook_written import Book
from reports.wording import wording
from rubrics.model import Rubric

MOST_ROWS = 100_000
"""Write-ups in the workbook; all of them stand in marks.csv."""
MOST_KEPT = 512
"""Sets of marks of which the cells are kept."""
MARK_COLUMNS = ("student", "practical", "awarded", "pending", "out_of", "name", "bench", "mark_code")
REMARK_COLUMNS = ("weight", "file", "cell", "student", "item", "message")


class CriterionTally(Struct, frozen=True, kw_only=True):
    """How a large set did on one criterion."""

    rubric: Rubric
    code: str
    full: int
    part: int
    none: int
    pending: int
    marks: int
    """Given in all."""


def codes_of(rubrics: Iterable[Rubric]) -> tuple[str, ...]:
    """Return the codes of all criteria, each once, as columns."""
    return tuple(dict.fromkeys(criterion.code for rubric in rubrics for criterion in rubric.criteria))


class MarkLines:
    """Writes the lines of marks.csv for scripts of one practical."""

    def __init__(self, rubric: Rubric, codes: Sequence[str]) -> None:
        """Take the criteria of all practicals, the columns."""
        self._practical, self._columns = quoted_cell(rubric.id), {code: at for at, code in enumerate(codes)}
        self._kept: dict[tuple[tuple[str, ...], tuple[int | None, ...]], tuple[str, str]] = {}
        """Criteria and marks to their cells: many students of a large set have the same."""

    def of(self, script: Script) -> str:
        """Return the line of one script."""
        student = script.write_up.student
        marks = script.criteria
        key = tuple([one.criterion.code for one in marks]), tuple([one.marks for one in marks])
        totals, given = self._kept.get(key) or self._learned(key, script)
        who = ",".join(map(quoted_cell, (student.name, student.bench, " ".join(student.codes))))
        return f"{quoted_cell(student.code)},{self._practical},{totals},{who}{given}\n"

    def _learned(self, key: tuple[tuple[str, ...], tuple[int | None, ...]], script: Script) -> tuple[str, str]:
        if len(self._kept) >= MOST_KEPT:
            self._kept.clear()
        totals = f"{script.awarded},{script.pending},{script.out_of}" if script.criteria else ",,"
        cells = [""] * len(self._columns)
        for code, marks in zip(*key, strict=True):
            if marks is not None:
                cells[self._columns[code]] = str(marks)
        made = self._kept[key] = totals, "".join(f",{cell}" for cell in cells)
        return made


def remarks_text(remarks: Iterable[Remark]) -> str:
    """Return the lines of remarks.csv for *remarks*."""
    return _text(
        (
            one.weight.value,
            one.file,
            "" if one.place is None else one.place.cell,
            one.student,
            one.item,
            one.message,
        )
        for one in remarks
    )


def kept_ticks(script: Script) -> tuple[tuple[str | int | None, ...], ...]:
    """Return a line for each tick that a teacher typed in an earlier workbook."""
    return tuple(
        tick_row(script, mark)
        for mark in script.criteria
        if (tick := script.write_up.ticks.get(mark.criterion.code)) is not None and tick.is_kept
    )


def heading(columns: Sequence[str]) -> str:
    """Return the first line of a table."""
    return ",".join(columns) + "\n"


def _text(rows: Iterable[Sequence[str]]) -> str:
    text = io.StringIO(newline="")
    csv.writer(text, lineterminator="\n").writerows(map(csv_cell, row) for row in rows)
    return text.getvalue()


class ManyMarks:
    """The workbook of a large set, filled line by line."""

    def __init__(self, path: Path, codes: Sequence[str], most: int = MOST_ROWS) -> None:
        """Begin the workbook at *path*."""
        words = wording("workbook")["columns"]
        self._codes = tuple(codes)
        self._most = most
        self._book = Book(path)
        head = [words["student"], words["name"], words["bench"], words["practical"], *codes]
        head += [words["awarded"], words["pending"], words["out_of"], words["mark_code"]]
        self._columns = len(head)
        self._sheet = self._book.sheet("marks", head, [10, 26, 8, 22, *[6 for _ in codes], 11, 11, 8, 12], frozen=2)
        self._row = 0
        self._left_out = 0

    def add(self, text: str) -> None:
        """Add the lines of marks.csv in *text*, as far as there is room."""
        for cells in csv.reader(io.StringIO(text, newline="")):
            if self._row == self._most:
                self._left_out += 1
                continue
            self._row += 1
            student, practical, *totals = cells[:5]
            name, bench, code = cells[5:8]
            # Without a format of their own, which is most of the work on a cell: no row here is higher than its text.
            texts, numbers = (student, name, bench, practical), (*cells[8:], *totals)
            for column, text in enumerate(texts):
                if text:
                    self._sheet.write_string(self._row, column, cell_text(_plain(text)))
            for column, number in enumerate(numbers, start=len(texts)):
                if number:
                    self._sheet.write_number(self._row, column, int(number))
            if code:
                self._sheet.write_string(self._row, self._columns - 1, cell_text(_plain(code)))

    def close(self, tallies: Iterable[CriterionTally], ticks: Sequence[Sequence[str | int | None]]) -> None:
        """End the workbook with how each criterion did, where the findings are, and what a teacher had typed.

        Raises:
            OSError: It cannot be written.
        """
        words = wording("workbook")
        notes = words["notes"]
        self._sheet.autofilter(0, 0, max(self._row, 1), self._columns - 1)
        if self._left_out:
            self._book.put(self._sheet, self._row + 1, 0, notes["marks_left_out"].replace("{n}", f"{self._left_out:,}"))
        self._book.put(self._sheet, self._row + 2, 0, notes["marks"])
        findings = self._book.sheet("findings", (notes["findings_elsewhere"],), (100,), frozen=0)
        findings.set_row(0, 30)
        sheet = self._book.sheet("criteria", words["columns"]["criteria"], [22, 10, 60, 8, 10, 8, 8, 15, 8], frozen=2)
        for number, one in enumerate(tallies, start=1):
            criterion = next(c for c in one.rubric.criteria if c.code == one.code)
            cells: tuple[str | int, ...] = (
                one.rubric.id,
                one.code,
                criterion.point,
                criterion.marks,
                one.full,
                one.part,
                one.none,
                one.pending,
            )
            for column, cell in enumerate(cells):
                self._book.put(sheet, number, column, cell)
            decided = one.full + one.part + one.none
            share = one.marks / (decided * criterion.marks) if decided and criterion.marks else None
            self._book.put(sheet, number, len(cells), share, self._book.share)
        if ticks:
            # What was typed stands here again, so that the next run finds it.
            widths = [10, 24, 22, 12, 60, 8, 12, 30, 8, 40]
            self._book.fill(self._book.sheet("ticks", words["columns"]["ticks"], widths, frozen=1), ticks)
        self._book.close()


def _plain(cell: str) -> str:
    """Return a text without the apostrophe that keeps programs from taking it for a formula in CSV."""
    return cell[1:] if cell.startswith("'") and csv_cell(cell[1:]) == cell else cell
