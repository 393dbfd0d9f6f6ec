"""Fills a second marker's pack in, as a spreadsheet program saves it; the same marks give the same bytes."""

from __future__ import annotations

import datetime
import io
import re
import zipfile
from collections.abc import Mapping
from pathlib import Path

import openpyxl

_CLOCK = datetime.datetime(2000, 1, 1)
HEAD_ROW = 3
"""Of the headings on the sheet of marks, counted from 1."""


def fill_pack(pack: Path, out: Path, marks: Mapping[str, Mapping[str, int]]) -> None:
    """Write *pack* with *marks*, script by criterion, in its open cells.

    Args:
        pack: The workbook as it went out.
        out: Where to write it.
        marks: For every script of the pack; others are passed over.
    """
    book = openpyxl.load_workbook(pack)
    sheet = book["Marks"]
    heads = [str(cell.value).split("\n")[0] for cell in sheet[HEAD_ROW]]
    for row in sheet.iter_rows(min_row=HEAD_ROW + 1):
        own = marks.get(str(row[0].value), {})
        for head, cell in zip(heads, row, strict=True):
            if head in own and cell.value is None:
                cell.value = own[head]
    held = io.BytesIO()
    book.save(held)
    with zipfile.ZipFile(held) as saved, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
        for name in saved.namelist():
            text = saved.read(name)
            if name == "docProps/core.xml":
                text = _without_clock(text)
            made.writestr(zipfile.ZipInfo(name, (2000, 1, 1, 0, 0, 0)), text, zipfile.ZIP_DEFLATED)


def _without_clock(core: bytes) -> bytes:
    return re.sub(rb"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", _CLOCK.strftime("%Y-%m-%dT%H:%M:%SZ").encode(), core)
