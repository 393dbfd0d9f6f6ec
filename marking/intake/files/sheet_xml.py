"""What a sheet's XML says beside its values: formulas, hidden rows and columns, merged ranges.

The reader of values streams the rows and passes over all of these; they are few, and looked up here.
"""

from __future__ import annotations

import io
import re
import zipfile
from dataclasses import dataclass, field
from xml.etree.ElementTree import Element

from defusedxml.ElementTree import fromstring, iterparse
from openpyxl.packaging.relationship import get_dependents
from openpyxl.utils.cell import range_boundaries
from openpyxl.xml.constants import REL_NS, SHEET_MAIN_NS

from marking.intake.grids import Merge

_WORKBOOK_TYPE = f"{REL_NS}/officeDocument"
_MAIN = f"{{{SHEET_MAIN_NS}}}"
_MAX_MERGES = 1000
"""A results sheet merges a title and a few shared cells; thousands of merges only cost time."""
_WORTH_READING = re.compile(rb"<(?:\w+:)?(?:f[ >/]|mergeCell\b)|\bhidden=")
"""Most sheets have none of these, and then the whole pass is saved."""


@dataclass(slots=True, kw_only=True)
class SheetFacts:
    """What one sheet says beside its values."""

    formulas: dict[str, str] = field(default_factory=dict)
    """Address to formula, without the equals sign; empty where a formula is shared with another cell."""
    hidden_rows: set[int] = field(default_factory=set)
    hidden_columns: set[int] = field(default_factory=set)
    merges: list[Merge] = field(default_factory=list)


def sheet_parts(archive: zipfile.ZipFile) -> dict[str, str]:
    """Return the name of each sheet and the part of the archive that holds it."""
    top = next(iter(get_dependents(archive, "_rels/.rels").find(_WORKBOOK_TYPE)))
    folder, _, name = top.target.rpartition("/")
    parts = get_dependents(archive, f"{folder}/_rels/{name}.rels" if folder else f"_rels/{name}.rels")
    sheets = fromstring(archive.read(top.target)).iter(f"{_MAIN}sheet")
    return {sheet.get("name", ""): parts.get(sheet.get(f"{{{REL_NS}}}id", "")).target for sheet in sheets}


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
        name = element.tag.removeprefix(_MAIN)
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
    left, top, right, bottom = range_boundaries(reference)
    if left is None or top is None or right is None or bottom is None:  # A:C, whole columns
        raise ValueError(f"{reference} is no range of cells")
    return Merge(top=top, left=left, bottom=bottom, right=right)


def _note_row(row: Element, facts: SheetFacts) -> None:
    if row.get("hidden") in ("1", "true"):
        facts.hidden_rows.add(int(row.get("r", "0")))
    for cell in row.iter(f"{_MAIN}c"):
        formula = cell.find(f"{_MAIN}f")
        if formula is not None:
            facts.formulas[cell.get("r", "")] = formula.text or ""
