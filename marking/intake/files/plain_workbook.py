"""The cells of a plain workbook: text, numbers, truths and errors, as nearly every class workbook holds them.

What is read here is the part of the format (ECMA-376, part 1, 18) that can mean one thing only. At anything else the
workbook is given up as unusual, and whoever asked reads it with the library that knows the whole format.
"""

from __future__ import annotations

import re
import zipfile
from collections.abc import Iterator
from xml.etree.ElementTree import Element

from defusedxml.ElementTree import fromstring, iterparse
from msgspec import Struct

from marking.intake.files.containers import Container
from marking.intake.files.sheet_xml import MAIN, REL, column_number, relations
from marking.intake.files.stored_cells import MAX_SHEET_COLUMN, MAX_SHEET_ROW, StoredSheet
from rubrics.faults import InputError
from rubrics.patterns import late_pattern

_TYPES = "{http://schemas.openxmlformats.org/package/2006/content-types}Override"
_BOOKS = frozenset(
    {
        "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml",
        "application/vnd.ms-excel.sheet.macroEnabled.main+xml",
    }
)
_STRINGS = "application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"
_STYLES = "application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"
_FORMATS = {
    0: "General", 1: "0", 2: "0.00", 3: "#,##0", 4: "#,##0.00", 9: "0%", 10: "0.00%", 11: "0.00E+00", 12: "# ?/?",
    13: "# ??/??", 48: "##0.0E+0", 49: "@",
}  # fmt: skip
"""Formats that have a number only and show no date (ECMA-376, part 1, 18.8.30)."""
_MAYBE_DATE = late_pattern(r"[dmhys]", re.IGNORECASE)
"""A sign of a date, or of a unit in quotes: either way nothing plain."""
_ADDRESS = late_pattern(r"([A-Z]{1,3})([0-9]{1,9})")


class UnusualError(Exception):
    """The workbook holds something that is not read here."""


class _Cell(Struct):
    row: int
    column: int
    value: object
    data_type: str
    number_format: str
    struck: str = ""
    is_struck: bool = False


class _Shared(Struct, frozen=True, kw_only=True):
    """What the cells of all sheets point to."""

    texts: list[str]
    formats: list[str | None]
    """Of each style; None where a number under it is not read here."""


def plain_sheets(container: Container, archive: zipfile.ZipFile) -> list[StoredSheet]:
    """Return the sheets of a plain workbook.

    Raises:
        UnusualError: It is none; for damaged ones the errors of the readers of archives and XML pass too.
    """
    parts = {
        one.get("ContentType", ""): one.get("PartName", "").removeprefix("/")
        for one in fromstring(archive.read("[Content_Types].xml")).iter(_TYPES)
    }
    top = next((part for kind, part in parts.items() if kind in _BOOKS), None)
    if top is None:
        raise UnusualError("no workbook of the usual kinds")
    shared = _Shared(
        texts=_texts(archive, parts[_STRINGS]) if _STRINGS in parts else [],
        formats=_formats(archive, parts[_STYLES]) if _STYLES in parts else [],
    )
    return [
        StoredSheet(title=title, is_visible=is_visible, cells=_cells(archive, part, shared, container.name))
        for title, is_visible, part in _sheets(archive, top)
    ]


def _sheets(archive: zipfile.ZipFile, top: str) -> list[tuple[str, bool, str]]:
    """Return (title, is visible, part) of each sheet."""
    known = {one.id: one for one in relations(archive, top)}
    names = frozenset(archive.namelist())
    found = []
    for sheet in fromstring(archive.read(top)).iter(f"{MAIN}sheet"):
        relation = known.get(sheet.get(f"{REL}id", ""))
        if relation is None or not relation.kind.endswith("/worksheet") or relation.target not in names:
            raise UnusualError("a sheet that is no worksheet")
        found.append((sheet.get("name", ""), sheet.get("state", "visible") == "visible", relation.target))
    return found


def _texts(archive: zipfile.ZipFile, part: str) -> list[str]:
    texts = []
    with archive.open(part) as source:
        for _, element in iterparse(source):
            if element.tag == f"{MAIN}si":
                texts.append(_text_of(element).replace("x005F_", ""))
                element.clear()
    return texts


def _text_of(element: Element) -> str:
    """Return a text without its formatting; what is said about its sound is no part of it."""
    plain = [one.text or "" for one in element.findall(f"{MAIN}t")]
    if len(plain) > 1:
        raise UnusualError("two texts in one")
    if element.find(f"{MAIN}r/{MAIN}rPr/{MAIN}strike") is not None:
        raise UnusualError("a text that is struck out in part")
    return "".join([*plain, *(one.text or "" for one in element.findall(f"{MAIN}r/{MAIN}t"))])


def _formats(archive: zipfile.ZipFile, part: str) -> list[str | None]:
    styles = fromstring(archive.read(part))
    own = {one.get("numFmtId"): one.get("formatCode", "") for one in styles.iterfind(f"{MAIN}numFmts/{MAIN}numFmt")}
    found: list[str | None] = []
    fonts = [one.find(f"{MAIN}strike") is not None for one in styles.iterfind(f"{MAIN}fonts/{MAIN}font")]
    for style in styles.iterfind(f"{MAIN}cellXfs/{MAIN}xf"):
        if any(fonts) and fonts[int(style.get("fontId", "0"))]:
            raise UnusualError("cells that are struck out")
        number = style.get("numFmtId", "0")
        code = own[number] if number in own else _FORMATS.get(int(number))
        found.append(None if not code or _MAYBE_DATE.search(code) else code)
    return found


def _cells(archive: zipfile.ZipFile, part: str, shared: _Shared, file: str) -> Iterator[_Cell]:
    """Yield the cells as they stand in the XML, each under its own address."""
    with archive.open(part) as source:
        for _, element in iterparse(source):
            if element.tag != f"{MAIN}row":
                continue
            number = element.get("r", "")
            if number.isdecimal() and int(number) > MAX_SHEET_ROW:
                problem = f"a row has the number {number[:20]}, and a sheet has {MAX_SHEET_ROW:,} rows"
                raise InputError(file, problem, "copy the readings into a new workbook")
            for cell in element:
                found = _cell(cell, shared)
                if found.column <= MAX_SHEET_COLUMN:
                    yield found
            element.clear()


def _cell(cell: Element, shared: _Shared) -> _Cell:
    address = _ADDRESS.fullmatch(cell.get("r", ""))
    if cell.tag != f"{MAIN}c" or address is None:
        raise UnusualError("a cell without its address")
    kind = cell.get("t", "n")
    written = cell.findtext(f"{MAIN}v") or None
    number_format = "General"
    value: object
    if kind == "inlineStr":
        inline = cell.find(f"{MAIN}is")
        value = None if inline is None else _text_of(inline)
    elif written is None:
        value = None
    elif kind == "n":
        number_format = _format_of(cell, shared)
        value = float(written) if "." in written or "e" in written.lower() else int(written)
    else:
        value = _by_kind(kind, written, shared)
    return _Cell(int(address[2]), column_number(address[1]), value, kind, number_format)


def _by_kind(kind: str, written: str, shared: _Shared) -> object:
    match kind:
        case "s":
            return shared.texts[int(written)]
        case "b":
            return bool(int(written))
        case "str" | "e":
            return written
        case _:
            raise UnusualError(f"a cell of the kind {kind}")


def _format_of(cell: Element, shared: _Shared) -> str:
    style = int(cell.get("s", "0"))
    if not shared.formats and not style:
        return "General"
    code = shared.formats[style]
    if code is None:
        raise UnusualError("a number that may be a date")
    return code
