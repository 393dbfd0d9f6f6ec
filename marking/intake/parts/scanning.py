"""One pass over tidy files of any size: where each student's lines are, and whether they are together.

Kept of a student are eight bytes, by which a code that comes again is known; of the lines only where every so many
students begin. Nothing is read here but codes, practicals and what the decimal mark is.
"""

from __future__ import annotations

import csv
import hashlib
import re
from array import array
from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np
from msgspec import Struct, field
from msgspec.structs import replace

from marking.intake.files import CsvFile, check_quotes, open_quote
from marking.intake.grids import DecimalHabit, DecimalMarks
from marking.intake.parts.tidy_files import TidyFile, digest_of
from marking.intake.people import RosterIndex, code_key, code_of
from rubrics.faults import InputError

GROUP = 20
"""Students who can be read without the others of their block."""
OF_ROSTER = "\0"
"""Starts the key of a student who is in the roster."""
BLOCK = 65_536
"""Bytes read at a time."""


class Block(Struct, frozen=True, kw_only=True):
    """Some students of one file whose lines follow each other."""

    file: int
    """Place of the file in the list."""
    start: int
    """First byte."""
    end: int
    row: int
    """Rows that stand above."""
    first: int
    """Students before these, over all files."""
    students: int


class Scan(Struct, kw_only=True):
    """What one pass over the files shows."""

    files: tuple[TidyFile, ...]
    size: int
    """Students of a block."""
    index: RosterIndex | None = None
    blocks: list[Block] = field(default_factory=list)
    practicals: dict[str, None] = field(default_factory=dict)
    """As written, in order of first appearance."""
    starts: array[int] = field(default_factory=lambda: array("Q"))
    """First byte of each group of students, over all files."""
    rows: array[int] = field(default_factory=lambda: array("Q"))
    """Rows that stand above each of them in its file."""
    students: int = 0
    in_roster: int = 0
    is_apart: bool = False
    """Whether lines of one student stand in more than one place."""

    def begin(self, before: int, start: int, row: int) -> None:
        """Note where a student begins that *before* others of the block stand before, if a group begins there."""
        if not (self.students + before) % GROUP:
            self.starts.append(start)
            self.rows.append(row)


def scan(files: Sequence[TidyFile], size: int, index: RosterIndex | None = None) -> Scan:
    """Return where the students of *files* stand, *size* to a block.

    Raises:
        InputError: A quote that is never closed has swallowed lines, or a line cannot be parted into fields.
    """
    found = Scan(files=(), size=size, index=index)
    keys = array("Q")
    read = []
    for number, file in enumerate(files):
        has_commas = _scan_file(file, number, found, keys)
        whole = _with_habits(file) if has_commas else file
        read.append(replace(whole, sha256=file.sha256 or digest_of(file.path)))
    found.files = tuple(read)
    known = np.frombuffer(keys, np.uint64).copy() if keys else np.zeros(0, np.uint64)
    del keys
    known.sort()
    found.is_apart = bool((known[1:] == known[:-1]).any())
    return found


class Lines:
    """The lines of a file as text, with the byte at which the last one ended."""

    def __init__(self, path: Path, encoding: str) -> None:
        """Open nothing yet; lines come from ``read``."""
        self.path, self.encoding = path, encoding
        self.end = 0
        self.has_quote = False
        """Whether one has been met since this was last set to False."""
        self.begins_row = True
        """Whether the next line begins a row; set by who reads rows, since a line may end inside quotes."""
        self.start = 0
        """The byte at which the last row began."""
        self.alike: re.Pattern[bytes] | None = None
        """A row with those below it that tell nothing new, and are passed over; None where all are wanted."""
        self.passed = 0
        """Rows passed over so far."""

    def read(self) -> Iterator[str]:
        """Yield the lines, the mark at the start of the file taken off."""
        with self.path.open("rb") as file:
            while block := file.read(BLOCK) + file.readline():
                end = 0
                while end < len(block):
                    start, end = end, block.find(b"\n", end) + 1 or len(block)
                    if self.begins_row:
                        self.begins_row, self.start = False, self.end
                    yield self._text(block[start:end])
                    if self.alike and self.begins_row and (rows := self.alike.match(block, start)):
                        self.passed += block.count(b"\n", end, rows.end())
                        self.end += rows.end() - end
                        end = rows.end()

    def _text(self, raw: bytes) -> str:
        if b'"' in raw:
            self.has_quote = True
        line = raw.decode(self.encoding, errors="replace")
        if not self.end:
            line = line.removeprefix("\ufeff")
        self.end += len(raw)
        return line


def rows_alike(same: int, width: int) -> re.Pattern[bytes] | None:
    """Return what a row of *width* plain fields between commas is, with all below it whose first *same* are the same.

    Plain are fields without quotes, and no longer than the csv module takes. None where a row has no more than these.
    """
    if width <= same:
        return None
    field = rb'[^",\r\n]{0,1000}'
    rest = rb"(?:%b,){%d}%b\r?\n" % (field, width - 1 - same, field)
    return re.compile(rb"((?:%b,){%d})%b(?:\1%b)*+" % (field, same, rest, rest))


def key_of(code: str, index: RosterIndex | None) -> str:
    """Return what all ways of writing one student's code have in common."""
    student = index.find(code) if index is not None else None
    return f"{OF_ROSTER}{student.code}" if student is not None else code_key(code)


def rows_of(file: TidyFile, lines: Lines) -> Iterator[tuple[int, int, list[str]]]:
    """Yield each row below the headings: its number, the byte at which it begins, its fields.

    Raises:
        InputError: As ``scan``.
    """
    source = lines.read()
    if file.says_separator:
        next(source, None)
    reader = csv.reader(source, delimiter=file.separator)
    form = CsvFile(name=file.name, text="", separator=file.separator, encoding="")
    row, last_line, width = 0, 0, 0
    while True:
        lines.begins_row = True  # the reader takes no line before it needs it
        try:
            fields = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            if reader.line_num > last_line + 1:
                raise open_quote(form, lines.passed + last_line + 1) from error
            mend = "mend it, save the file with usual line ends, and run again"
            raise InputError(file.name, f"row {lines.passed + row + 1} cannot be read ({error})", mend) from error
        row += 1
        if reader.line_num > last_line + 1:
            check_quotes(fields, width, lines.passed + last_line + 1, form)
        last_line, width = reader.line_num, max(width, len(fields))
        if row > file.above:
            yield lines.passed + row, lines.start, fields


class _Open(Struct):
    """The block that is being filled."""

    start: int
    row: int
    students: int = 0


def _scan_file(file: TidyFile, number: int, found: Scan, keys: array[int]) -> bool:
    """Scan one file; return whether any of its decimals may stand behind a comma."""
    marks, lines = DecimalMarks(), Lines(file.path, file.encoding)
    code_at, practical_at = file.columns["student"], file.columns.get("practical", -1)
    last, last_key, last_practical = "", "", None
    decides = max(code_at, practical_at) + 1
    block: _Open | None = None
    for row, start, fields in rows_of(file, lines):
        if block is None:
            block = _Open(start, row - 1)
            lines.alike = rows_alike(decides, len(fields)) if file.separator == "," else None
        if lines.has_quote or file.separator != ",":
            for text in fields:
                marks.see("", text)
            lines.has_quote = False
        code = fields[code_at] if len(fields) > code_at else ""
        if code != last:
            last, key = code, key_of(code_of(code), found.index)
            if key and key != last_key:
                last_key = key
                if block.students == found.size:
                    _close(found, number, block, start)
                    block = _Open(start, row - 1)
                found.begin(block.students, start, row - 1)
                block.students += 1
                keys.append(int.from_bytes(hashlib.blake2b(key.encode(), digest_size=8).digest(), "little"))
                found.in_roster += key.startswith(OF_ROSTER)
        practical = fields[practical_at] if 0 <= practical_at < len(fields) else ""
        if practical != last_practical:
            last_practical = practical
            found.practicals.setdefault(practical.strip())
    if block is not None:
        _close(found, number, block, lines.end)
    return marks.totals[0] > 0


def _close(found: Scan, number: int, block: _Open, end: int) -> None:
    found.blocks.append(
        Block(file=number, start=block.start, end=end, row=block.row, first=found.students, students=block.students)
    )
    found.students += block.students


def _with_habits(file: TidyFile) -> TidyFile:
    """Return a file with how it, and each item of it, writes decimals: a second pass, for files with commas alone."""
    every, of_items, items = DecimalMarks(), DecimalMarks(), set()
    item, entry = file.columns["item"], file.columns["entry"]
    last = max(item, entry, file.columns["student"])
    for _, _, fields in rows_of(file, Lines(file.path, file.encoding)):
        for text in fields:
            every.see("", text)
        if len(fields) > last and ("," in fields[entry] or "." in fields[entry]):
            items.add(fields[item].strip())
            of_items.see(fields[item].strip(), fields[entry])
    commas, points = every.totals
    habit = DecimalHabit(
        of_file=True if commas and not points else None, is_mostly_commas=commas > points, has_commas=commas > 0
    )
    known = {name: of for name in sorted(items) if (of := of_items.of(name)) is not None}
    return replace(file, decimal_habit=habit, item_habits=known)
