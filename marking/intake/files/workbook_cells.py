"""The sheets of a workbook as grids of fields, read within limits.

A plain workbook is read here (``plain_workbook``); one that holds anything beyond that, dates among it, or that is
damaged, by openpyxl's streaming reader (``any_workbook``), which takes longer to load than a class to read. Neither
believes the size that a sheet declares, and nothing of a workbook is ever run, followed or copied.
"""

from __future__ import annotations

import datetime
import io
import math
import struct
import warnings
import zipfile
import zlib
from collections.abc import Callable
from xml.etree.ElementTree import ParseError

from msgspec import Struct

from marking.intake.files.containers import Container
from marking.intake.files.number_formats import plain_text, show_number
from marking.intake.files.plain_workbook import UnusualError, plain_sheets
from marking.intake.files.sheet_xml import SheetFacts, read_sheet_facts, sheet_parts
from marking.intake.files.stored_cells import StoredCell, StoredSheet
from marking.intake.grids import MAX_FIELDS, STORED, Field, Grid, SheetValue, Stored, cell_name, habit_of
from marking.intake.remarks import quote
from rubrics.faults import InputError
from rubrics.patterns import late_pattern

_DAMAGE = (
    zipfile.BadZipFile,
    zlib.error,
    struct.error,
    ParseError,
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
_OUTSIDE = late_pattern(r"\[[^\]]+\][^!]*!")
"""In a formula, the mark of another workbook: '[1]Sheet1'!A1."""


class Book(Struct, frozen=True, kw_only=True):
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
        with zipfile.ZipFile(io.BytesIO(container.data)) as archive:
            book = _plain_or_any(container, archive)
    except InputError:
        raise
    except MemoryError as error:
        raise InputError(container.name, "too large to be read", "copy the readings into a new workbook") from error
    except _DAMAGE as error:
        raise InputError(container.name, "damaged, or not a normal workbook", mend) from error
    if not book.visible and not book.hidden:
        raise InputError(container.name, "a workbook without sheets that can be read", mend)
    return book


def _plain_or_any(container: Container, archive: zipfile.ZipFile) -> Book:
    try:
        return _read(container, archive, plain_sheets)
    except (UnusualError, *_DAMAGE):
        from marking.intake.files.any_workbook import any_sheets

        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of parts that are left out, such as drop-downs
            return _read(container, archive, any_sheets)


def _read(
    container: Container, archive: zipfile.ZipFile, sheets_of: Callable[[Container, zipfile.ZipFile], list[StoredSheet]]
) -> Book:
    parts = sheet_parts(archive)
    visible: list[Grid] = []
    hidden: list[Grid] = []
    room = MAX_FIELDS
    for sheet in sheets_of(container, archive):
        facts = read_sheet_facts(archive, parts[sheet.title])
        grid = _grid(container.name, sheet, facts, room)
        room -= sum(len(row) for row in grid.rows.values())
        (visible if sheet.is_visible else hidden).append(grid)
    has_macros = any(name.endswith("vbaProject.bin") for name in archive.namelist())
    return Book(visible=tuple(visible), hidden=tuple(hidden), has_macros=has_macros)


def _grid(file: str, sheet: StoredSheet, facts: SheetFacts, room: int) -> Grid:
    rows: dict[int, dict[int, Field]] = {}
    for cell in sheet.cells:
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


def _field(cell: StoredCell, facts: SheetFacts) -> Field:
    value = cell.value
    formula = facts.formulas.get(cell_name(cell.row, cell.column)) if facts.formulas else None
    if cell.is_struck and (value is not None or cell.struck):
        return SheetValue(stored=Stored.STRUCK, text=cell.struck or _shown(cell))
    if value is None:
        if formula is None:
            return ""
        return SheetValue(stored=Stored.UNCALCULATED, text="=" + formula, formula=formula or "?")
    if isinstance(value, str) and cell.data_type != "e":
        # Spreadsheets write a carriage return inside a cell this way; the reader of values leaves it so.
        text = value.replace("_x000D_", "\r")
        if cell.struck:
            return SheetValue(stored=Stored.TEXT, text=text, remark=f"beside it {quote(cell.struck)} is struck out")
        return text if formula is None else _from_formula(SheetValue(stored=Stored.TEXT, text=text), formula)
    found = _typed(value, cell)
    return found if formula is None else _from_formula(found, formula)


def _shown(cell: StoredCell) -> str:
    return cell.value if isinstance(cell.value, str) else _typed(cell.value, cell).text


def _typed(value: object, cell: StoredCell) -> SheetValue:
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
