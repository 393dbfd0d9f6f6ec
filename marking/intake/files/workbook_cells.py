"""The sheets of a workbook as grids of fields, read within limits.

Values come from openpyxl's streaming reader, which neither believes the size that a sheet declares nor
keeps rows; nothing of a workbook is ever run, followed or copied.
"""

from __future__ import annotations

import datetime
import io
import math
import re
import struct
import warnings
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any
from xml.etree.ElementTree import ParseError

import openpyxl
from openpyxl.cell.read_only import ReadOnlyCell
from openpyxl.utils.exceptions import InvalidFileException
from openpyxl.worksheet._read_only import ReadOnlyWorksheet
from openpyxl.worksheet._reader import WorkSheetParser

from marking.intake.files.containers import Container
from marking.intake.files.number_formats import plain_text, show_number
from marking.intake.files.sheet_xml import SheetFacts, read_sheet_facts, sheet_parts
from marking.intake.grids import MAX_FIELDS, STORED, Field, Grid, SheetValue, Stored, cell_name, habit_of
from rubrics.faults import InputError

MAX_SHEET_ROW = 1_048_576
MAX_SHEET_COLUMN = 16_384
"""What the format of workbooks allows (ECMA-376)."""
_DAMAGE = (
    zipfile.BadZipFile,
    zlib.error,
    struct.error,
    ParseError,
    InvalidFileException,
    KeyError,
    IndexError,
    ValueError,
    TypeError,
    AttributeError,
    EOFError,
    OSError,
    OverflowError,
    RecursionError,
    StopIteration,
    NotImplementedError,
)
"""What the readers below raise for damaged files; the kinds differ with the place of the damage."""
_OUTSIDE = re.compile(r"\[[^\]]+\][^!]*!")
"""In a formula, the mark of another workbook: '[1]Sheet1'!A1."""

if not openpyxl.DEFUSEDXML:
    raise ImportError("defusedxml is needed to read workbooks safely, and openpyxl does not find it")


@dataclass(frozen=True, slots=True, kw_only=True)
class Book:
    """A workbook, read."""

    visible: tuple[Grid, ...]
    hidden: tuple[Grid, ...]
    has_macros: bool


def read_workbook(container: Container) -> Book:
    """Return the sheets of a workbook.

    Raises:
        InputError: It is damaged, hostile, in a variant that cannot be read, or far too large.
    """
    mend = "open it in a spreadsheet program, save it as an Excel workbook (.xlsx) and hand that in"
    try:
        with warnings.catch_warnings(), zipfile.ZipFile(io.BytesIO(container.data)) as archive:
            warnings.simplefilter("ignore")  # openpyxl warns of parts that it leaves out, such as drop-downs
            book = _read(container, archive)
    except InputError:
        raise
    except MemoryError as error:
        raise InputError(container.name, "too large to be read", "copy the readings into a new workbook") from error
    except _DAMAGE as error:
        raise InputError(container.name, "damaged, or not a normal workbook", mend) from error
    if not book.visible and not book.hidden:
        raise InputError(container.name, "a workbook without sheets that can be read", mend)
    return book


def _read(container: Container, archive: zipfile.ZipFile) -> Book:
    book = openpyxl.load_workbook(io.BytesIO(container.data), read_only=True, data_only=True, keep_links=False)
    parts = sheet_parts(archive)
    visible: list[Grid] = []
    hidden: list[Grid] = []
    room = MAX_FIELDS
    for sheet in book.worksheets:
        if not isinstance(sheet, ReadOnlyWorksheet):
            continue
        facts = read_sheet_facts(archive, parts[sheet.title])
        grid = _grid(container.name, sheet, facts, room)
        room -= sum(len(row) for row in grid.rows.values())
        (visible if sheet.sheet_state == "visible" else hidden).append(grid)
    book.close()
    has_macros = any(name.endswith("vbaProject.bin") for name in archive.namelist())
    return Book(visible=tuple(visible), hidden=tuple(hidden), has_macros=has_macros)


def _grid(file: str, sheet: ReadOnlyWorksheet, facts: SheetFacts, room: int) -> Grid:
    rows: dict[int, dict[int, Field]] = {}
    for cell in _cells(sheet, file):
        if cell.value is not None or facts.formulas:
            found = _field(cell, facts)
            if found == "":
                continue
            rows.setdefault(cell.row, {})[cell.column] = found
            room -= 1
            if room < 0:
                problem = f"more than {MAX_FIELDS:,} filled cells"
                raise InputError(file, problem, "hand in the readings alone, one class a file")
    return Grid(
        file=file,
        sheet=sheet.title,
        rows=rows,
        decimal_habit=habit_of(rows),
        hidden_rows=frozenset(facts.hidden_rows),
        hidden_columns=frozenset(facts.hidden_columns),
        merges=tuple(facts.merges),
    )


def _cells(sheet: ReadOnlyWorksheet, file: str) -> Iterator[ReadOnlyCell]:
    """Yield the cells of a sheet as they stand in its XML, each under its own address.

    The rows of the streaming reader would be filled up with empty ones, from row 1 to whatever number a row
    gives itself.
    """
    inner: Any = sheet  # what follows has no public name
    book: Any = sheet.parent
    with inner._get_source() as source:
        parser = WorkSheetParser(
            source,
            inner._shared_strings,
            data_only=True,
            epoch=book.epoch,
            date_formats=book._date_formats,
            timedelta_formats=book._timedelta_formats,
        )
        for number, row in parser.parse():
            if number > MAX_SHEET_ROW:
                problem = f"a row has the number {str(number)[:20]}, and a sheet has {MAX_SHEET_ROW:,} rows"
                raise InputError(file, problem, "copy the readings into a new workbook")
            for cell in row:
                if cell["column"] <= MAX_SHEET_COLUMN:
                    yield ReadOnlyCell(sheet, **cell)


def _field(cell: ReadOnlyCell, facts: SheetFacts) -> Field:
    value = cell.value
    formula = facts.formulas.get(cell_name(cell.row, cell.column)) if facts.formulas else None
    if value is None:
        if formula is None:
            return ""
        return SheetValue(stored=Stored.UNCALCULATED, text="=" + formula, formula=formula or "?")
    if isinstance(value, str) and cell.data_type != "e":
        # Spreadsheets write a carriage return inside a cell this way; the reader of values leaves it so.
        text = value.replace("_x000D_", "\r")
        return text if formula is None else _from_formula(SheetValue(stored=Stored.TEXT, text=text), formula)
    found = _typed(value, cell)
    return found if formula is None else _from_formula(found, formula)


def _typed(value: object, cell: ReadOnlyCell) -> SheetValue:
    match value:
        case bool():
            return SheetValue(stored=Stored.TRUTH, text=str(value).upper())
        case int() | float() if math.isfinite(value):
            return number_field(value, cell.number_format)
        case datetime.datetime() | datetime.date() | datetime.time() | datetime.timedelta():
            return SheetValue(stored=Stored.DATE, text=_date_text(value))
        case _:
            return SheetValue(stored=Stored.ERROR, text=str(value))


def number_field(number: float, number_format: str) -> SheetValue:
    """Return a number that is stored in a cell, as its number format shows it."""
    shown = show_number(float(number), number_format)
    stored = plain_text(float(number))
    hides_digits = shown.is_fixed and not shown.suffix and float(shown.text) != float(number)
    remark = ""
    if shown.suffix:
        remark = f"{STORED} {stored} and its number format shows {shown.text}"
    elif hides_digits:
        remark = f"{STORED} {stored} and shows {shown.text}"
    return SheetValue(
        stored=Stored.NUMBER, text=shown.text, number=float(number), zeros_unknown=not shown.is_fixed, remark=remark
    )


def _from_formula(value: SheetValue, formula: str) -> SheetValue:
    source = "a formula that points to another workbook" if _OUTSIDE.search(formula) else "a formula"
    remark = f"{STORED} {source}; its stored result is used"
    return SheetValue(
        stored=value.stored,
        text=value.text,
        number=value.number,
        zeros_unknown=value.zeros_unknown,
        formula=formula or "?",
        remark="; ".join(clause for clause in (value.remark, remark) if clause),
    )


def _date_text(value: datetime.datetime | datetime.date | datetime.time | datetime.timedelta) -> str:
    # Never the day count, and in the one order of day and month that cannot be misread.
    if isinstance(value, datetime.datetime) and value.time() == datetime.time():
        return value.date().isoformat()
    return str(value)
