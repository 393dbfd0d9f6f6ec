"""The workbook that a second marker fills in. Nothing in it, nor in its properties, tells whose a script is."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Sequence
from pathlib import Path

import xlsxwriter
from xlsxwriter.worksheet import Worksheet

from marking.moderation.packs import Pack, PackScript, pack_layout
from reports.wording import fill, wording

_CREATED = datetime.datetime(2000, 1, 1)
"""In place of the clock: the same pack gives the same bytes, and no hour tells who packed what first."""
_CODE_WIDTH, _MARK_WIDTH, _REMARK_WIDTH = 10, 7, 50


def write_pack_book(path: Path, pack: Pack) -> None:
    """Write the workbook of a pack."""
    words = wording("moderation")["pack"]
    book = xlsxwriter.Workbook(str(path), {"strings_to_formulas": False, "strings_to_urls": False})
    book.set_properties({"title": words["document"], "author": "writeups", "created": _CREATED})
    formats = {
        "title": book.add_format({"bold": True, "font_size": 13}),
        "wrap": book.add_format({"text_wrap": True, "valign": "top"}),
        "head": book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"}),
        "open": book.add_format({"border": 1, "align": "center", "locked": False}),
        "closed": book.add_format({"align": "center", "font_color": "#707070", "locked": False}),
        "free": book.add_format({"text_wrap": True, "valign": "top", "locked": False}),
        "text": book.add_format({"num_format": "@", "valign": "top", "text_wrap": True}),
    }
    slots = {"title": pack.title, "edition": str(pack.edition)}
    title = fill([words["title"]], slots)

    def sheet(name: str, heads: Iterable[str], widths: Sequence[int], note: str) -> Worksheet:
        made = book.add_worksheet(name)
        made.write_string(0, 0, title, formats["title"])
        made.write_string(1, 0, note)
        for column, head in enumerate(heads):
            made.write_string(pack_layout.HEAD_ROW, column, head, formats["head"])
        for column, width in enumerate(widths):
            made.set_column(column, column, width)
        made.freeze_panes(pack_layout.HEAD_ROW + 1, 1)
        made.set_landscape()
        made.set_paper(9)  # A4
        made.fit_to_pages(1, 0)
        return made

    heads = [pack_layout.CODE, *(f"{line.code}\n0 to {line.marks}" for line in pack.scheme), pack_layout.REMARK]
    widths = [_CODE_WIDTH, *[_MARK_WIDTH for _ in pack.scheme], _REMARK_WIDTH]
    marks = sheet(pack_layout.MARKS, heads, widths, words["todo"])
    for row, script in enumerate(pack.scripts, start=pack_layout.HEAD_ROW + 1):
        _mark_row(marks, row, script, pack, formats)
    scripts = sheet(pack_layout.SCRIPTS, pack_layout.SCRIPT_COLUMNS, [_CODE_WIDTH, 12, 36, 6, 90], words["hidden"])
    row = pack_layout.HEAD_ROW
    for script in pack.scripts:
        for line in script.shown:
            row += 1
            scripts.write_string(row, 0, script.code)
            scripts.write_string(row, 1, line.item)
            scripts.write_string(row, 2, line.label, formats["wrap"])
            if line.row is not None:
                scripts.write_number(row, 3, line.row)
            scripts.write_string(row, 4, line.text, formats["text"])
    scheme = sheet(pack_layout.SCHEME, words["heads"]["scheme"], [12, 8, 100], fill([words["about"]], slots))
    for row, one in enumerate(pack.scheme, start=pack_layout.HEAD_ROW + 1):
        scheme.write_string(row, 0, one.code)
        scheme.write_number(row, 1, one.marks)
        scheme.write_string(row, 2, one.point, formats["wrap"])
    about = sheet(pack_layout.PACK, (), [16, 70], words["paper"])
    values = (pack.practical, str(pack.edition), pack.scheme_sha256, pack.seal, pack.second_marker)
    for row, (name, value) in enumerate(zip(pack_layout.PACK_KEYS, values, strict=True), start=pack_layout.HEAD_ROW):
        about.write_string(row, 0, name)
        about.write_string(row, 1, value)
    book.close()


def _mark_row(sheet: Worksheet, row: int, script: PackScript, pack: Pack, formats: dict[str, object]) -> None:
    sheet.write_string(row, 0, script.code)
    for column, line in enumerate(pack.scheme, start=1):
        if line.code in script.eye:
            sheet.write_blank(row, column, None, formats["open"])
        else:
            sheet.write_string(row, column, pack_layout.NOT_ASKED, formats["closed"])
        whole = {"validate": "integer", "criteria": "between", "minimum": 0, "maximum": line.marks}
        sheet.data_validation(row, column, row, column, whole)
    sheet.write_blank(row, len(pack.scheme) + 1, None, formats["free"])
