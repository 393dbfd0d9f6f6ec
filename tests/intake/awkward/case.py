"""A clean class of four who warmed a block, and the tools to spoil it."""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from openpyxl import Workbook

PRACTICAL = "specific-heat-block"
HEADINGS = ("student", "m / g", "T_start / °C", "T_end / °C", "E / J", "c", "c unit")
STUDENTS = ("A01", "A02", "A03", "A04")
ROWS = (
    ("A01", 998, 19.5, 40.0, 20400, 997, "J/(kg °C)"),
    ("A02", 1005, 20.0, 41.5, 21600, 1000, "J/(kg K)"),
    ("A03", 1001, 18.5, 38.0, 19800, 1010, "J/(kg °C)"),
    ("A04", 1010, 21.5, 40.5, 19100, 995, "J/kg°C"),
)
"""c = E / (m dT) in every row, to three figures."""
SHEET = "xl/worksheets/sheet1.xml"

Table = list[list[Any]]
Patch = Callable[[bytes], bytes]


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One awkward file, and what has to become of it."""

    name: str
    """Name of the file."""
    data: bytes
    outcome: str
    """clean: nothing said; notes: all used, something said; query: some of it for the teacher; refuse."""
    students: tuple[str, ...] = STUDENTS
    named: tuple[str, ...] = ()
    """Words, cells mostly, that the remarks have to name."""
    holds: Mapping[str, object] = field(default_factory=dict)
    """'A01 m' to (value, symbol of its unit), to (value, symbol, last place), or to a State."""


def table(**cells: object) -> Table:
    """Return the clean class, headings in row 1, with some cells replaced by address, as in B2="998 g"."""
    lines: Table = [list(HEADINGS), *(list(row) for row in ROWS)]
    for address, value in cells.items():
        lines[int(address[1:]) - 1][ord(address[0]) - ord("A")] = value
    return lines


def workbook(lines: Sequence[Sequence[Any]], title: str = "Block") -> Workbook:
    """Return a workbook with *lines* on its one sheet; text stays text, even where it starts with '='."""
    book = Workbook()
    sheet = book.worksheets[0]
    sheet.title = title
    for row, line in enumerate(lines, 1):
        for column, value in enumerate(line, 1):
            if value is not None:
                cell = sheet.cell(row, column, value)
                if isinstance(value, str):
                    cell.data_type = "s"
    return book


def saved(
    book: Workbook, patches: Mapping[str, Patch] | None = None, added: Mapping[str, bytes] | None = None
) -> bytes:
    """Return a workbook's bytes, some of its parts changed or added."""
    data = io.BytesIO()
    book.save(data)
    return repacked(data.getvalue(), patches or {}, added or {})


def repacked(data: bytes, patches: Mapping[str, Patch], added: Mapping[str, bytes]) -> bytes:
    """Return an archive with some parts changed or added; a change that changes nothing fails."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as source, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as target:
        for part in source.infolist():
            content = source.read(part)
            if part.filename in patches:
                changed = patches[part.filename](content)
                assert changed != content, part.filename
                content = changed
            target.writestr(part.filename, content)
        for name, content in added.items():
            target.writestr(name, content)
    return out.getvalue()


def swapped(old: str, new: str) -> Patch:
    """Return a change of the first *old* in a part to *new*."""
    return lambda content: content.replace(old.encode(), new.encode(), 1)


def as_text(lines: Sequence[Sequence[Any]], separator: str = ",", encoding: str = "utf-8") -> bytes:
    """Return *lines* as a CSV file."""
    text = io.StringIO()
    csv.writer(text, delimiter=separator, lineterminator="\r\n").writerows(lines)
    return text.getvalue().encode(encoding)


def sheet_case(
    name: str, outcome: str, named: str = "", holds: Mapping[str, object] | None = None, **cells: object
) -> Case:
    """Return the clean class as a workbook with some cells replaced; *named* by spaces."""
    data = saved(workbook(table(**cells)))
    return Case(name=f"{name}.xlsx", data=data, outcome=outcome, named=tuple(named.split()), holds=holds or {})
