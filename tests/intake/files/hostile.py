"""Files made to keep a reader busy or to fill its memory, each small on disk."""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Callable
from pathlib import Path

from openpyxl import Workbook

HEADINGS = ("student", "m / kg", "T_start / °C", "T_end / °C", "E / J", "c")
LINE = ("A01", "0.998", "20.5", "41.5", "20400", "973 J/(kg °C)")
SHEET = "xl/worksheets/sheet1.xml"


def workbook(patch: Callable[[bytes], bytes], part: str = SHEET) -> bytes:
    """Return a sound workbook of one student with one of its parts patched."""
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.append(HEADINGS)
    sheet.append(LINE)
    plain, out = io.BytesIO(), io.BytesIO()
    book.save(plain)
    with zipfile.ZipFile(plain) as source, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as target:
        for info in source.infolist():
            data = source.read(info)
            target.writestr(info.filename, patch(data) if info.filename == part else data)
    return out.getvalue()


def more_rows(xml: bytes) -> bytes:
    """Return a workbook with *xml* behind its last row."""
    return workbook(lambda data: data.replace(b"</sheetData>", xml + b"</sheetData>"))


def behind_rows(xml: bytes) -> bytes:
    """Return a workbook with *xml* behind its table."""
    return workbook(lambda data: data.replace(b"</sheetData>", b"</sheetData>" + xml))


def long_table(rows: int) -> bytes:
    """Return a tidy file of one student with *rows* rows of a table."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(("student", "practical", "item", "row", "entry", "unit"))
    for row in range(1, rows + 1):
        for item, entry, unit in (("L", f"0.{row % 900 + 100}", "m"), ("V", "1.20", "V"), ("I", "0.40", "A")):
            writer.writerow(("A01", "wire-resistance", item, row, entry, unit))
    return text.getvalue().encode()


def unnumbered_table(rows: int) -> bytes:
    """Return a sheet with *rows* lines of one student."""
    lines = ["student,L / m,V / V,I / A", *(f"A01,0.{row % 900 + 100},1.20,0.40" for row in range(rows))]
    return "\n".join(lines).encode()


HOSTILE: dict[str, Callable[[], bytes]] = {
    "a row number of twenty digits.xlsx": lambda: more_rows(
        b'<row r="99999999999999999999"><c r="A99999999999999999999"><v>1</v></c></row>'
    ),
    "a far row.xlsx": lambda: more_rows(
        b'<row r="1048576"><c r="XFD1048576" t="inlineStr"><is><t>x</t></is></c></row>'
    ),
    "nine million empty cells.xlsx": lambda: more_rows(b"<row>" + b"<c/>" * 9_000_000 + b"</row>"),
    "a million cells in a row.xlsx": lambda: more_rows(b"<row>" + b"<c/>" * 1_000_000 + b"</row>"),
    "six million rows.xlsx": lambda: more_rows(b"<row/>" * 6_000_000),
    "a million rows.xlsx": lambda: more_rows(b"<row/>" * 1_000_000),
    "deep tags.xlsx": lambda: behind_rows(b"<a>" * 3_000_000 + b"</a>" * 3_000_000),
    "tags as deep as let pass.xlsx": lambda: behind_rows(b"<a>" * 100_000 + b"</a>" * 100_000),
    "merges.xlsx": lambda: behind_rows(b"<mergeCells>" + b'<mergeCell ref="A1:B2"/>' * 1_000_000 + b"</mergeCells>"),
    "one merge of all.xlsx": lambda: behind_rows(b'<mergeCells><mergeCell ref="A8:XFD1048576"/></mergeCells>'),
    "attributes.xlsx": lambda: more_rows(b"<row " + b"".join(b'a%d="" ' % n for n in range(2_500_000)) + b"/>"),
    "one long attribute.xlsx": lambda: more_rows(b'<row a="' + b"x" * 30_000_000 + b'"/>'),
    "styles.xlsx": lambda: workbook(
        lambda data: data.replace(b"</cellXfs>", b"<xf/>" * 2_000_000 + b"</cellXfs>"), "xl/styles.xml"
    ),
    "spaces.xlsx": lambda: more_rows(b" " * 39_000_000),
    "20,000 rows of one student.csv": lambda: long_table(20_000),
    "20,000 lines of one student.csv": lambda: unnumbered_table(20_000),
    "only line ends.csv": lambda: b"student,practical,item,row,entry,unit\n" + b"\n" * 19_000_000,
    "only commas.csv": lambda: b"student,practical,item,row,entry,unit\n" + b"," * 19_000_000,
    "lines without a code.csv": lambda: b"student,L / m,V / V,I / A\n" + b",1,2,3\n" * 60_000,
}


def write(name: str, folder: Path) -> Path:
    """Write one of the files into *folder* and return its path."""
    path = folder / name
    path.write_bytes(HOSTILE[name]())
    return path
