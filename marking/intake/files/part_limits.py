"""What a workbook may hold before any reader of XML sees it: so many tags, so many attributes, no endless one.

A part of 40 MB packs into a few kilobytes and unpacks into gigabytes of objects. Counting its signs takes a
tenth of a second and the memory of the part alone.
"""

from __future__ import annotations

import zipfile

from rubrics.patterns import late_pattern

MAX_TAGS = 1_500_000
"""Of one part; 200,000 filled cells with their text inline have 1.2 million."""
MAX_OTHER_TAGS = 120_000
"""Tags that are no row, cell, value or text: styles, merges, links. Worn-out workbooks have 64,000 styles."""
MAX_ATTRIBUTES = 2_000_000
MAX_TAG_LENGTH = 20_000
"""Signs of one tag; a cell's has under a hundred."""
_PLAIN = late_pattern(rb"<(?:\w+:)?(?:row|c|v|f|is|t|si|r|table-row|table-cell|covered-table-cell|p)[ />]")
_LONG_TAG = late_pattern(rb"<[^<>]{%d}" % MAX_TAG_LENGTH)
_REPEATED = late_pattern(rb'number-(?P<what>rows|columns)-repeated="0*(?:[1-9][0-9]{4,})"')
"""Ten thousand times and more."""
_XML = (".xml", ".rels")


def fault_of_parts(archive: zipfile.ZipFile) -> str:
    """Return why the parts of a workbook are not to be read, as a clause; empty where they may be.

    Raises:
        zipfile.BadZipFile: A part is damaged.
        zlib.error: A part cannot be unpacked.
    """
    for part in archive.infolist():
        if not part.filename.endswith(_XML):
            continue
        if fault := _fault(archive.read(part)):
            return f"{part.filename} holds {fault} than any results sheet"
    return ""


def _fault(data: bytes) -> str:
    tags = data.count(b"<")
    if tags > MAX_TAGS:
        return "more cells and rows"
    if data.count(b"=") > MAX_ATTRIBUTES:
        return "more attributes"
    others = tags - data.count(b"</")
    if others > MAX_OTHER_TAGS:
        others -= sum(1 for _ in _PLAIN.finditer(data))
        if others > MAX_OTHER_TAGS:
            return "more styles, merged ranges and other parts"
    if _LONG_TAG.search(data):
        return "longer tags"
    return "more rows or cells, written once and repeated," if _repeats(data) else ""


def _repeats(data: bytes) -> bool:
    """Tell whether a row or a cell with something in it is to be repeated more often than any table has rows.

    Spreadsheets repeat what is empty down to the end of the sheet; that costs nothing.
    """
    for match in _REPEATED.finditer(data):
        end = data.find(b"table-row>" if match["what"] == b"rows" else b"table-cell", match.end())
        held = data[match.end() : end if end >= 0 else len(data)]
        is_cell = match["what"] == b"columns" and b"value" in data[data.rfind(b"<", 0, match.start()) : end]
        if is_cell or b":p>" in held or b":p " in held or b"value" in held:
            return True
    return False
