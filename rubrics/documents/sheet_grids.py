"""The sheets of a workbook as plain cells with their places, read within limits."""

from __future__ import annotations

import io
import struct
import warnings
import zipfile
import zlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import cast
from xml.etree.ElementTree import ParseError

import openpyxl
from msgspec import Struct
from openpyxl.cell.read_only import ReadOnlyCell
from openpyxl.utils import get_column_letter
from openpyxl.utils.exceptions import InvalidFileException
from openpyxl.worksheet._read_only import ReadOnlyWorksheet

from rubrics.documents.typed_cells import Cell
from rubrics.faults import Fault, RubricError

MAX_UNPACKED_BYTES = 20_000_000
"""Sum over the parts of a workbook: more than that in a small file is made to fill the memory."""
MAX_ROWS, MAX_COLUMNS = 2000, 200
HEADING_ROWS = 6
"""The headings stand in one of the first rows, whatever a school writes above them."""
_DAMAGE = (
    zipfile.BadZipFile,
    zlib.error,
    struct.error,
    ParseError,
    InvalidFileException,
    LookupError,
    ValueError,
    TypeError,
    AttributeError,
    EOFError,
    OSError,
    ArithmeticError,
    RecursionError,
    StopIteration,
    NotImplementedError,
)
"""What openpyxl raises for damaged files; the kinds differ with the place of the damage."""

if not openpyxl.DEFUSEDXML:
    raise ImportError("defusedxml is needed to read workbooks safely, and openpyxl does not find it")


class Place(Struct, frozen=True, order=True):
    """A cell of a workbook, in reading order."""

    number: int
    """Of the sheet, from 1."""
    row: int
    column: int
    sheet: str

    def __str__(self) -> str:
        """Return the place as a spreadsheet writes it: items!C4."""
        return f"{self.sheet}!{get_column_letter(self.column)}{self.row}"


class Spot(Struct, frozen=True):
    """A cell with its place; an empty one has no value."""

    value: Cell | bool
    place: Place


class Grid:
    """The cells of one sheet, rows and columns counted from 1."""

    def __init__(self, name: str, number: int, cells: Mapping[tuple[int, int], Cell | bool]) -> None:
        """Keep the cells that hold something."""
        self.name = name
        self.number = number
        self._cells = cells

    def place(self, row: int, column: int) -> Place:
        """Return the place of a cell."""
        return Place(self.number, row, column, self.name)

    def spot(self, row: int, column: Spot) -> Spot:
        """Return the cell of *row* under a heading."""
        where = column.place.column
        return Spot(self._cells.get((row, where)), self.place(row, where))

    def headings(self, wanted: Sequence[str]) -> tuple[int, dict[str, Spot]]:
        """Return the row that holds all headings *wanted*, and every heading in it, by its text; (0, {}) if none."""
        for row in range(1, HEADING_ROWS + 1):
            found: dict[str, Spot] = {}
            for (at, column), value in sorted(self._cells.items(), key=lambda one: one[0]):
                if at == row:
                    found.setdefault(str(value).strip(), Spot(value, self.place(row, column)))
            if all(name in found for name in wanted):
                return row, found
        return 0, {}

    def rows_below(self, row: int) -> Iterator[int]:
        """Yield the rows below *row* that hold something."""
        yield from sorted({at for at, _ in self._cells if at > row})


def read_grids(name: str, data: bytes) -> dict[str, Grid]:
    """Return the sheets of the workbook in *data*, by their titles.

    Raises:
        RubricError: It is damaged or far too large, or cells hold formulas, errors or dates.
    """
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # openpyxl warns of parts that it leaves out, such as drop-downs
            _check_size(name, data)
            book = openpyxl.load_workbook(io.BytesIO(data), read_only=True, keep_links=False)
            sheets = [
                (sheet.title, list(_cells(sheet))) for sheet in book.worksheets if isinstance(sheet, ReadOnlyWorksheet)
            ]
            book.close()
    except MemoryError as error:
        raise _refusal(name, "too large to be read", "a rubric is far smaller") from error
    except _DAMAGE as error:
        if isinstance(error, RubricError):
            raise
        raise _refusal(name, "damaged, or not a normal workbook", "save it anew as .xlsx") from error
    faults = []
    grids = {}
    for number, (title, cells) in enumerate(sheets, start=1):
        kept: dict[tuple[int, int], Cell | bool] = {}
        grids[title] = Grid(title, number, kept)
        for row, column, value, problem in cells:
            if problem:
                place = str(grids[title].place(row, column))
                faults.append(Fault(file=name, line=0, place=place, problem=problem, mend="type it as text"))
            else:
                kept[row, column] = value
    if faults:
        raise RubricError(tuple(faults))
    return grids


def _refusal(name: str, problem: str, mend: str) -> RubricError:
    return RubricError((Fault(file=name, line=0, problem=problem, mend=mend),))


def _check_size(name: str, data: bytes) -> None:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        if sum(part.file_size for part in archive.infolist()) > MAX_UNPACKED_BYTES:
            problem = f"unpacks to more than {MAX_UNPACKED_BYTES // 1_000_000} MB"
            raise _refusal(name, problem, "a rubric is far smaller")


def _cells(sheet: ReadOnlyWorksheet) -> Iterator[tuple[int, int, Cell | bool, str]]:
    # A sheet may declare any size; what it declares is not believed.
    sheet.reset_dimensions()
    rows = cast("Iterable[tuple[object, ...]]", sheet.rows)
    for row in rows:
        for cell in row:
            # The streaming reader fills gaps with a stand-in that has no address.
            if isinstance(cell, ReadOnlyCell):
                value, problem = _value(cell)
                if problem or value is not None:
                    yield cell.row, cell.column, value, problem


def _value(cell: ReadOnlyCell) -> tuple[Cell | bool, str]:
    value: object = cell.value
    if value is None or (isinstance(value, str) and not value.strip()):
        return None, ""
    if cell.row > MAX_ROWS or cell.column > MAX_COLUMNS:
        return None, f"the cell lies beyond row {MAX_ROWS} or column {MAX_COLUMNS}"
    if cell.data_type in "fe":
        return None, f"the cell holds {'a formula' if cell.data_type == 'f' else 'an error'}"
    if isinstance(value, str):
        # Spreadsheets write a carriage return inside a cell this way.
        return value.replace("_x000D_", ""), ""
    if isinstance(value, int | float):
        return value, ""
    return None, "the spreadsheet has made a date or a time of it"
