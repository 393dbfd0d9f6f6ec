"""The lines of a CSV file as fields of plain text, whatever encoding and separator it was saved with."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator
from itertools import islice

from msgspec import Struct
from msgspec.structs import replace

from marking.intake.files.containers import Container
from marking.intake.grids import (
    MAX_FIELDS,
    NO_HABIT,
    SEARCHED_ROWS,
    DecimalHabit,
    Field,
    Grid,
    SheetMarks,
    fold,
    names_student,
)
from rubrics.faults import InputError

Record = tuple[int, list[str]]
"""Number of the row, counted as a spreadsheet would show it, and its fields."""

MAX_WIDTH = 16_384
"""As many columns as a spreadsheet has."""
MAX_LINES = 1_000_000
"""No file of the size that is taken has so many, unless nearly all of them are empty."""
_SEPARATORS = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "upright strokes"}
_FIELD_LIMIT = 131_072
"""What the csv module takes; a longer field is cut, for nobody writes 130,000 characters in a results table."""
_KEPT = 2000


class CsvFile(Struct, frozen=True, kw_only=True):
    """A CSV file, decoded, with its separator known."""

    name: str
    text: str
    separator: str
    encoding: str
    """As said to the teacher; empty for UTF-8."""
    decimal_habit: DecimalHabit = NO_HABIT

    @property
    def is_of_comma_country(self) -> bool:
        """Tell whether commas are so much the habit that no field is parted by them: said once, not cell by cell."""
        return self.separator != "," and self.decimal_habit.is_mostly_commas

    @property
    def note(self) -> str:
        """Return what is unusual about the file, as a clause; empty for commas and UTF-8."""
        clauses = []
        if self.encoding:
            clauses.append(f"saved as {self.encoding}")
        if self.separator != ",":
            clauses.append(f"{_SEPARATORS[self.separator]} between the columns")
        if self.is_of_comma_country:
            clauses.append("decimal commas (20,5 read as 20.5)")
        return ", ".join(clauses)


def open_csv(container: Container) -> CsvFile:
    """Return the text of a CSV file with the separator that its heading line shows.

    Raises:
        InputError: A quote that is never closed has swallowed other lines, or a line is endless.
    """
    text, encoding = _decode(container.data)
    separator, text = separator_of(text)
    _check_width(text, separator, container.name)
    file = CsvFile(name=container.name, text=text, separator=separator, encoding=encoding)
    marks = SheetMarks()
    for row, fields in records(file):  # to the end: a quote that is never closed shows only there
        marks.see(row, enumerate(fields, 1))
    return replace(file, decimal_habit=marks.habit)


def _check_width(text: str, separator: str, name: str) -> None:
    if text.count("\n") > MAX_LINES:
        raise InputError(name, f"more than {MAX_LINES:,} lines", "split it into several files")
    # One line of nothing but commas would become a list of millions of fields before anything could look at it.
    if text.count(separator) <= MAX_WIDTH:
        return
    if any(line.count(separator) > MAX_WIDTH for line in io.StringIO(text) if len(line) > MAX_WIDTH):
        raise InputError(name, f"a line with more than {MAX_WIDTH:,} fields", "hand in the readings alone")


def records(file: CsvFile) -> Iterator[Record]:
    """Yield the file's rows, blank ones as empty lists.

    Raises:
        InputError: A quote that is never closed has swallowed other lines.
    """
    reader = csv.reader(io.StringIO(file.text, newline=""), delimiter=file.separator)
    row, width, last_line = 0, 0, 0
    while True:
        try:
            fields = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            if reader.line_num > last_line + 1:
                raise open_quote(file, last_line + 1) from error
            fields = _cut_record(_line(file, reader.line_num), file.separator)
        row += 1
        if row > MAX_LINES:
            raise InputError(file.name, f"more than {MAX_LINES:,} lines", "split it into several files")
        if reader.line_num > last_line + 1:
            check_quotes(fields, width, last_line + 1, file)
        last_line = reader.line_num
        width = max(width, len(fields))
        yield row, fields


def csv_grid(file: CsvFile, rows: Iterable[Record]) -> Grid:
    """Return the rows of a CSV file as a grid.

    Raises:
        InputError: It holds more fields than any class has.
    """
    grid: dict[int, dict[int, Field]] = {}
    lengths = {}
    room = MAX_FIELDS
    for row, fields in rows:
        filled: dict[int, Field] = {column: text for column, text in enumerate(fields, 1) if text.strip()}
        if not filled:
            continue
        grid[row] = filled
        lengths[row] = len(fields)
        room -= len(filled)
        if room < 0:
            raise InputError(file.name, f"more than {MAX_FIELDS:,} filled fields", "hand in one class a file")
    return Grid(file=file.name, sheet="", rows=grid, lengths=lengths, decimal_habit=file.decimal_habit)


def _decode(data: bytes) -> tuple[str, str]:
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return data.decode("utf-16", errors="replace"), "UTF-16 (Unicode text)"
    try:
        return data.decode("utf-8-sig"), ""
    except UnicodeDecodeError:
        # The few bytes that this code page leaves open become the replacement sign, and so a query.
        return data.decode("cp1252", errors="replace"), "a Western code page (Windows-1252) instead of UTF-8"


def separator_of(text: str) -> tuple[str, str]:
    """Return what parts the fields of *text*, and the text without a first line that only says so."""
    first, _, rest = text.partition("\n")
    if re.fullmatch(r"sep=[,;|\t]\r?", first):
        return first[4], rest  # a line that spreadsheets write for themselves and do not show
    lines = [line for line in io.StringIO(text[: _FIELD_LIMIT * 2]) if line.strip()][:SEARCHED_ROWS]
    best, best_count = "", 1
    for line in lines:
        for separator in _SEPARATORS:
            names = [fold(name.strip(' "\r\n')) for name in line[:_KEPT].split(separator)]
            if len(names) > best_count and any(map(names_student, names)):
                best, best_count = separator, len(names)
    if best or not lines:
        return best or ",", text
    return max(_SEPARATORS, key=lines[0].count), text


def _line(file: CsvFile, number: int) -> str:
    return next(islice(io.StringIO(file.text, newline=""), number - 1, None))


def _cut_record(line: str, separator: str) -> list[str]:
    # One field is longer than any reader takes: keep its start, so that the row keeps its other fields.
    long_run = re.compile(rf'[^"\r\n{re.escape(separator)}]{{{_KEPT + 1},}}')
    shortened = long_run.sub(lambda run: f"{run[0][:_KEPT]}… ({len(run[0])} characters; cut here)", line)
    try:
        return next(csv.reader([shortened], delimiter=separator))
    except csv.Error:
        return [f"{line[:_KEPT]}… ({len(line)} characters; cut here)"]


def check_quotes(fields: list[str], width: int, first_line: int, file: CsvFile) -> None:
    """Look whether an open quote has swallowed lines into a field.

    Raises:
        InputError: It has.
    """
    # A line break inside a field is fine; one followed by what looks like another whole row is not.
    line = first_line
    for text in fields:
        swallowed = text.split("\n")[1:]
        if width > 1 and any(part.count(file.separator) == width - 1 for part in swallowed):
            raise open_quote(file, line)
        line += len(swallowed)


def open_quote(file: CsvFile, line: int) -> InputError:
    """Return what is said of a quote that is never closed."""
    problem = f'line {line}: a quote (") opens here and is not closed, and the lines after it are lost in it'
    return InputError(file.name, problem, "close the quote or take it out, and run again")
