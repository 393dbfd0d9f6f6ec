"""Where parts come from: cut out of the files, or, where lines of one student lie apart, gathered beforehand.

Gathering goes through a table on the disk, so that it takes no more memory than anything else here.
"""

from __future__ import annotations

import csv
import io
import sqlite3
from bisect import bisect_right
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Protocol

from msgspec import Struct

from marking.intake.parts.scanning import GROUP, Block, Lines, Scan, key_of, rows_of
from marking.intake.people import code_of

Line = tuple[int, int, str]
"""Place of the file in the list, number of the row, and the row as text."""
_AT_ONCE = 5_000


class Part(Struct, frozen=True, kw_only=True):
    """Some students' lines, as they stand in the files."""

    number: int
    file: int = 0
    row: int = 0
    """Rows of the file that stand above."""
    text: str = ""
    """Lines that follow each other in one file; empty where they were gathered."""
    lines: tuple[Line, ...] = ()
    """Lines that were gathered from several places."""
    students: int

    @property
    def size(self) -> int:
        """Return how many signs there are to read."""
        return len(self.text) + sum(len(text) for _, _, text in self.lines)


class Source(Protocol):
    """A whole set, given out in parts."""

    @property
    def students(self) -> int:
        """Return how many there are."""
        ...

    def parts(self) -> Iterator[Part]:
        """Yield the whole, each student in one part, in order of first appearance."""
        ...

    def some(self, first: int, count: int) -> Part:
        """Return *count* students from the one at *first* on, as far as they are of one part.

        Both are multiples of GROUP.
        """
        ...


class FileSource(Struct, frozen=True):
    """Parts cut out of the files: each student's lines are together."""

    scan: Scan

    @property
    def students(self) -> int:
        """Return how many there are."""
        return self.scan.students

    def parts(self) -> Iterator[Part]:
        """Yield the whole."""
        for number, block in enumerate(self.scan.blocks):
            yield self._cut(number, block.file, (block.start, block.end), block.row, block.students)

    def some(self, first: int, count: int) -> Part:
        """Return some students of one part, without reading the others."""
        block, number = self._block_of(first)
        end, group = min(first + count, block.first + block.students), first // GROUP
        # All groups but the last of a block end where another begins.
        last = block.end if end == block.first + block.students else self.scan.starts[end // GROUP]
        return self._cut(number, block.file, (self.scan.starts[group], last), self.scan.rows[group], end - first)

    def _block_of(self, student: int) -> tuple[Block, int]:
        number = bisect_right(self.scan.blocks, student, key=lambda block: block.first) - 1
        return self.scan.blocks[number], number

    def _cut(self, number: int, at: int, span: tuple[int, int], row: int, students: int) -> Part:
        file, (start, end) = self.scan.files[at], span
        with file.path.open("rb") as opened:
            opened.seek(start)
            data = opened.read(end - start)
        text = data.decode(file.encoding, errors="replace")
        return Part(number=number, file=at, row=row, text=text, students=students)


class GatheredSource(Struct, frozen=True):
    """Parts gathered in a table on the disk: lines of one student lay apart."""

    path: Path
    students: int
    size: int

    def parts(self) -> Iterator[Part]:
        """Yield the whole."""
        for number, first in enumerate(range(0, self.students, self.size)):
            yield self._between(number, first, min(first + self.size, self.students))

    def some(self, first: int, count: int) -> Part:
        """Return some students of one part."""
        return self._between(first // self.size, first, min(first + count, self.students))

    def _between(self, number: int, first: int, end: int) -> Part:
        asked = "SELECT file, row, text FROM lines WHERE student >= ? AND student < ? ORDER BY student, file, row"
        with closing(sqlite3.connect(self.path)) as table:
            lines = tuple(table.execute(asked, (first, end)))
        return Part(number=number, lines=lines, students=end - first)


def gathered(scan: Scan, path: Path) -> GatheredSource:
    """Return the lines of the files gathered by student in a new table at *path*."""
    with closing(sqlite3.connect(path)) as table:
        # It lives as long as the run; a crash leaves nothing that anybody would look at again.
        table.executescript(
            "PRAGMA journal_mode=OFF; PRAGMA synchronous=OFF; PRAGMA cache_size=-8000; PRAGMA temp_store=FILE;"
            "CREATE TABLE people (key TEXT PRIMARY KEY, student INTEGER) WITHOUT ROWID;"
            "CREATE TABLE lines (student INTEGER, file INTEGER, row INTEGER, text TEXT);"
        )
        waiting: list[tuple[int, int, int, str]] = []
        students = 0
        for number, file in enumerate(scan.files):
            at, student, last = file.columns["student"], 0, None
            for row, _, fields in rows_of(file, Lines(file.path, file.encoding)):
                key = key_of(code_of(fields[at]), scan.index) if len(fields) > at else ""
                if key and key != last:
                    last = key
                    known = table.execute("SELECT student FROM people WHERE key = ?", (key,)).fetchone()
                    student = known[0] if known else students
                    if known is None:
                        table.execute("INSERT INTO people VALUES (?, ?)", (key, students))
                        students += 1
                waiting.append((student, number, row, row_text(fields, file.separator)))
                if len(waiting) == _AT_ONCE:
                    table.executemany("INSERT INTO lines VALUES (?, ?, ?, ?)", waiting)
                    waiting.clear()
        table.executemany("INSERT INTO lines VALUES (?, ?, ?, ?)", waiting)
        table.execute("CREATE INDEX by_student ON lines (student, file, row)")
        table.commit()
    return GatheredSource(path=path, students=students, size=scan.size)


def row_text(fields: list[str], separator: str) -> str:
    """Return a row as text again."""
    text = io.StringIO(newline="")
    csv.writer(text, delimiter=separator, lineterminator="\n").writerow(fields)
    return text.getvalue()
