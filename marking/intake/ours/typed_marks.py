"""What a teacher has typed in a marks.xlsx: ticks on any of its sheets, and marks on the sheet of marks itself.

A tick may stand in a column headed ``tick R1``, or in a line that names it (Ticks, Short answers), under entry. On the
sheet Marks, and under mark in such a line, a mark is the teacher's where it is not the one that was written there;
findings.csv beside it tells.
"""

from __future__ import annotations

import csv
import hashlib
import json
import warnings
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from msgspec import Struct, field

from marking.intake.entries import PREFIX, WHY, marks_of
from marking.intake.grids import cell_name, fold
from marking.intake.ours.known_outputs import ACCOUNT
from marking.intake.remarks import Notebook, quote
from marking.write_up import Entry, Place, Remark, State, Tick, Weight
from rubrics.faults import InputError
from rubrics.model import Criterion, Rubric

MARKS_SHEET = "Marks"
MARK = "mark"
"""Heading of the column that shows what counts, on sheets with a line a mark."""
FINDINGS = "findings.csv"
_SEARCHED_ROWS = 5
"""Somebody may have put a title above the headings."""
_TIDY = {"student", "item", "entry"}

Key = tuple[str, str, str]
"""Student, practical, criterion."""


class TypedMarks(Struct, frozen=True, kw_only=True):
    """What was typed in one marks.xlsx."""

    file: str
    ticks: Mapping[Key, tuple[Tick, ...]]
    """Every tick and mark that stands there, in the order of the sheets."""
    before: Mapping[Key, int | None]
    """The marks as they were written, decisions among them; None where a mark waited."""
    remarks: tuple[Remark, ...] = ()


def read_typed_marks(path: Path, name: str, rubrics: Mapping[str, Rubric]) -> TypedMarks:
    """Return what is typed in the marks.xlsx at *path*, which messages call *name*.

    Raises:
        InputError: It cannot be read, so nobody knows what is typed there.
    """
    if _is_untouched(path):
        return TypedMarks(file=name, ticks={}, before={})
    from openpyxl import load_workbook  # loaded only where there are results already

    before = _marks_before(path.with_name(FINDINGS))
    sheets = _Sheets(name=name, rubrics=rubrics, before=before)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # about looks that are not kept, of no use to a teacher
            book = load_workbook(path, read_only=True, data_only=True)
            try:
                for sheet in book.worksheets:
                    sheet.reset_dimensions()
                    sheets.read(sheet.title, sheet.iter_rows(values_only=True))
            finally:
                book.close()
    except Exception as error:  # whatever a damaged workbook makes the library raise
        mend = "mend it, or move it away; what is typed in it would be lost otherwise"
        raise InputError(name, "cannot be read", mend) from error
    ticks = {key: tuple(found) for key, found in sheets.ticks.items()}
    return TypedMarks(file=name, ticks=ticks, before=before or {}, remarks=sheets.notebook.remarks())


def _is_untouched(path: Path) -> bool:
    """Tell whether the workbook is as we wrote it, and we wrote no tick into it."""
    try:
        account = json.loads(path.with_name(ACCOUNT).read_text(encoding="utf-8"))
        written = account["wrote"][path.name]
        return bool(account["ticks_kept"] == 0 and written == hashlib.sha256(path.read_bytes()).hexdigest())
    except (OSError, ValueError, KeyError, TypeError):
        return False


def _marks_before(path: Path) -> dict[Key, int | None] | None:
    if not path.is_file():
        return None
    marks: dict[Key, int | None] = {}
    with path.open(encoding="utf-8-sig", newline="") as file:
        for line in csv.DictReader(file):
            if line.get("criterion") and line.get("out_of") not in (None, "", "0"):
                key = (_code(line["student"] or ""), line["practical"] or "", line["criterion"])
                marks[key] = int(line["marks"]) if line.get("marks") else None
    return marks


def _code(text: str) -> str:
    # An apostrophe keeps a spreadsheet program from taking a code for a formula.
    return text[1:] if text.startswith("'") else text


class _Sheets(Struct, kw_only=True):
    name: str
    rubrics: Mapping[str, Rubric]
    before: Mapping[Key, int | None] | None
    ticks: dict[Key, list[Tick]] = field(default_factory=dict)
    notebook: Notebook = field(default_factory=Notebook)

    def read(self, title: str, rows: Iterator[tuple[Any, ...]]) -> None:
        """Read one sheet as far as it holds ticks or marks; another ends after its first rows."""
        for number, row in enumerate(rows, start=1):
            words = [fold(_text(value)) for value in row]
            if "student" in words:
                if set(words) >= _TIDY:
                    self._read_lines(title, words, rows, number)
                elif title == MARKS_SHEET or any(word.startswith(PREFIX) for word in words):
                    self._read_columns(title, words, rows, number)
                return
            if number >= _SEARCHED_ROWS:
                return

    def _read_lines(self, title: str, words: Sequence[str], rows: Iterator[tuple[Any, ...]], top: int) -> None:
        for number, row in enumerate(rows, start=top + 1):
            said = _said(words, row)
            code = said["item"].removeprefix(PREFIX).strip()
            criterion = self._criterion(said.get("practical", ""), code)
            if criterion is None or not said["item"].startswith(PREFIX):
                continue
            key = (said["student"], criterion[0], criterion[1].code)
            for word in ("entry", MARK):
                # The mark beside is the teacher's own where it is not the one that was written there.
                if word == MARK and (self.before is None or _is_as_written(said.get(MARK, ""), self.before.get(key))):
                    continue
                place = Place(file=self.name, sheet=title, cell=cell_name(number, _column_of(word, words)))
                self._take(key, criterion[1], said.get(word, ""), said.get("why", ""), place)

    def _read_columns(self, title: str, words: Sequence[str], rows: Iterator[tuple[Any, ...]], top: int) -> None:
        for number, row in enumerate(rows, start=top + 1):
            texts = [_text(value) for value in row]
            said = _said(words, row)
            if not said.get("student"):
                continue
            for column, (word, text) in enumerate(zip(words, texts, strict=False), start=1):
                is_tick = word.startswith(PREFIX)
                if not text or not (is_tick or (title == MARKS_SHEET and self.before is not None)):
                    continue
                found = self._criterion(said.get("practical", ""), word.removeprefix(PREFIX))
                if found is None:
                    continue
                practical, criterion = found
                key = (said["student"], practical, criterion.code)
                if not is_tick and _is_as_written(text, (self.before or {}).get(key)):
                    continue
                place = Place(file=self.name, sheet=title, cell=cell_name(number, column))
                self._take(key, criterion, text, said.get(fold(f"{WHY}{criterion.code}"), ""), place)

    def _take(self, key: Key, criterion: Criterion, text: str, why: str, place: Place) -> None:
        if not text:
            return
        marks = marks_of(text, criterion.marks)
        if marks is None:
            said = f"{quote(text)} is no tick for {criterion.code}; it is not used"
            most = "1 or 0" if criterion.marks == 1 else f"a whole number up to {criterion.marks}"
            mend = f"Write ✓, x or {most}"
            self.notebook.tell(Weight.QUERY, said, mend, place=place, student=key[0], item=criterion.code)
            return
        entry = Entry(raw=text, unit_raw="", state=State.WORDS, place=place)
        self.ticks.setdefault(key, []).append(Tick(marks=marks, entry=entry, why=why, is_kept=True))

    def _criterion(self, practical: str, word: str) -> tuple[str, Criterion] | None:
        wanted = [practical] if practical else list(self.rubrics)
        found = [
            (name, criterion)
            for name in wanted
            if name in self.rubrics
            for criterion in self.rubrics[name].criteria
            if fold(criterion.code) == fold(word)
        ]
        return found[0] if len(found) == 1 else None


def _column_of(word: str, words: Sequence[str]) -> int:
    return words.index(word) + 1 if word in words else 1


def _said(words: Sequence[str], row: Sequence[object]) -> dict[str, str]:
    # Empty cells at the end of a line are left out of the file.
    return {**dict.fromkeys(words, ""), **dict(zip(words, map(_text, row), strict=False))}


def _is_as_written(text: str, before: int | None) -> bool:
    return before is not None and text.removesuffix(".0") == str(before)


def _text(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value).casefold()
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return str(value).strip()
