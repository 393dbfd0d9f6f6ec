"""How our own outputs are known, wherever somebody has put them: no student's work is in them."""

from __future__ import annotations

import io
import json
import re
import zipfile
from pathlib import Path
from xml.etree.ElementTree import ParseError

from defusedxml import DefusedXmlException
from defusedxml.ElementTree import fromstring

ACCOUNT = "run.json"
"""Stands in every folder of results."""
MARKS_FILE = "marks.xlsx"
"""The workbook of a folder of results."""
SHEETS = frozenset({"Marks", "Findings", "By criterion"})
"""Sheets that every marks.xlsx has."""
TABLES = (
    ("student", "practical", "item", "row", "criterion", "outcome", "marks"),
    ("kind", "practical", "bench", "students", "item", "direction"),
    ("student", "criterion", "before", "out_of_before", "after"),
    ("student", "practical", "awarded", "pending", "out_of"),
    ("weight", "file", "cell", "student", "item"),
)
"""How the first lines begin of findings and first versions, of notes on the class, of changes, and of the marks and
remarks of a large set."""
_LONGEST_LINE = 1000
_APART = re.compile(r"[,;\t]")


def is_results_folder(folder: Path) -> bool:
    """Tell whether *folder* holds results that this program wrote."""
    try:
        account = json.loads((folder / ACCOUNT).read_text(encoding="utf-8"))
        return bool(account["program"]["name"] == "writeups")
    except (OSError, ValueError, KeyError, TypeError):
        return False


def is_our_table(data: bytes) -> bool:
    """Tell whether a CSV file is one of our tables, whichever separator a spreadsheet program has given it since."""
    first = data[:_LONGEST_LINE].decode("utf-8-sig", errors="replace").partition("\n")[0]
    words = tuple(word.strip().strip('"') for word in _APART.split(first))
    return any(words[: len(table)] == table for table in TABLES)


def is_our_workbook(data: bytes) -> bool:
    """Tell whether a workbook is a marks.xlsx, by the names of its sheets."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as book:
            root = fromstring(book.read("xl/workbook.xml"))
    except (zipfile.BadZipFile, KeyError, ParseError, DefusedXmlException, OSError, RuntimeError, NotImplementedError):
        return False
    names = {element.get("name") for element in root.iter() if element.tag.endswith("}sheet")}
    return names >= SHEETS
