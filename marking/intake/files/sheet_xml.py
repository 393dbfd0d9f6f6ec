"""What a sheet's XML says beside its values: formulas, hidden rows and columns, merged ranges.

The reader of values streams the rows and passes over all of these; they are few, and looked up here.
"""

from __future__ import annotations

import io
import posixpath
import zipfile
from xml.etree.ElementTree import Element

from defusedxml.ElementTree import fromstring, iterparse
from msgspec import Struct, field

from marking.intake.grids import Merge
from rubrics.patterns import late_pattern

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
_OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
REL = f"{{{_OFFICE}}}"
_WORKBOOK_TYPE = f"{_OFFICE}/officeDocument"
_RELATION = "{http://schemas.openxmlformats.org/package/2006/relationships}Relationship"
"""Names of the format (ECMA-376, part 1, 18; part 2, 9)."""
_RANGE = late_pattern(r"\$?([A-Za-z]{1,3})\$?([1-9][0-9]*)(?::\$?([A-Za-z]{1,3})\$?([1-9][0-9]*))?")
_MAX_MERGES = 1000
"""A results sheet merges a title and a few shared cells; thousands of merges only cost time."""
_WORTH_READING = late_pattern(rb"<(?:\w+:)?(?:f[ >/]|mergeCell\b)|\bhidden=")
"""Most sheets have none of these, and then the whole pass is saved."""


class SheetFacts(Struct, kw_only=True):
    """What one sheet says beside its values."""

    formulas: dict[str, str] = field(default_factory=dict)
    """Address to formula, without the equals sign; empty where a formula is shared with another cell."""
    hidden_rows: set[int] = field(default_factory=set)
    hidden_columns: set[int] = field(default_factory=set)
    merges: list[Merge] = field(default_factory=list)


class Relation(Struct, frozen=True):
    """How one part of the archive points to another."""

    id: str
    kind: str
    target: str
    """The part, from the root of the archive."""


def relations(archive: zipfile.ZipFile, part: str) -> list[Relation]:
    """Return the parts of the archive that *part* points to; for an empty name those of the archive itself."""
    folder, name = posixpath.split(part)
    text = archive.read(posixpath.join(folder, "_rels", f"{name}.rels"))
    return [
        Relation(one.get("Id", ""), one.get("Type", ""), _within(folder, one.get("Target", "")))
        for one in fromstring(text).iter(_RELATION)
        if one.get("TargetMode") != "External"
    ]


def _within(folder: str, target: str) -> str:
    return target[1:] if target.startswith("/") else posixpath.normpath(posixpath.join(folder, target))


def sheet_parts(archive: zipfile.ZipFile) -> dict[str, str]:
    """Return the name of each sheet and the part of the archive that holds it."""
    top = next(one.target for one in relations(archive, "") if one.kind == _WORKBOOK_TYPE)
    parts = {one.id: one.target for one in relations(archive, top)}
    sheets = fromstring(archive.read(top)).iter(f"{MAIN}sheet")
    return {sheet.get("name", ""): parts[sheet.get(f"{REL}id", "")] for sheet in sheets}


def read_sheet_facts(archive: zipfile.ZipFile, part: str) -> SheetFacts:
    """Return what the sheet in *part* says beside its values.

    Raises:
        ValueError: The XML holds definitions of its own, or references to outside.
        xml.etree.ElementTree.ParseError: It is cut off or damaged.
    """
    data = archive.read(part)
    facts = SheetFacts()
    if not _WORTH_READING.search(data):
        return facts
    rows: Element | None = None
    for event, element in iterparse(io.BytesIO(data), events=("start", "end")):
        name = element.tag.removeprefix(MAIN)
        if event == "start":
            rows = element if name == "sheetData" else rows
            continue
        match name:
            case "row":
                _note_row(element, facts)
                if rows is not None:
                    rows.clear()  # what has been looked at is not kept: a sheet may have a million rows
            case "col" if element.get("hidden") in ("1", "true"):
                first, last = int(element.get("min", "1")), int(element.get("max", "1"))
                # A sheet may hide everything to the right of its table; no reading stands that far out.
                facts.hidden_columns.update(range(first, min(last, first + 500) + 1))
            case "mergeCell" if len(facts.merges) < _MAX_MERGES:
                facts.merges.append(_merge(element.get("ref", "A1")))
    return facts


def _merge(reference: str) -> Merge:
    found = _RANGE.fullmatch(reference)
    if found is None:  # A:C, whole columns
        raise ValueError(f"{reference} is no range of cells")
    left, top, right, bottom = found.groups()
    return Merge(top=int(top), left=column_number(left), bottom=int(bottom or top), right=column_number(right or left))


def column_number(letters: str) -> int:
    """Return the number of a column, from 1 for A."""
    number = 0
    for letter in letters.upper():
        number = 26 * number + ord(letter) - ord("A") + 1
    return number


def _note_row(row: Element, facts: SheetFacts) -> None:
    if row.get("hidden") in ("1", "true"):
        facts.hidden_rows.add(int(row.get("r", "0")))
    for cell in row.iter(f"{MAIN}c"):
        formula = cell.find(f"{MAIN}f")
        if formula is not None:
            facts.formulas[cell.get("r", "")] = formula.text or ""
