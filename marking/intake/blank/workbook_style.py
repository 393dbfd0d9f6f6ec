"""How our workbooks look, print and are saved."""

from __future__ import annotations

import datetime
import io
import re
from pathlib import Path

from xlsxwriter import Workbook
from xlsxwriter.worksheet import Worksheet

MAX_CELL_LENGTH = 32_767
"""What one cell of a workbook holds."""
_CUT_MARK = "… (cut here)"
_CREATED = datetime.datetime(2000, 1, 1)
"""A fixed date, for the same input gives the same bytes."""
_UNSTORABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
"""Signs that no XML file may hold; a workbook with one in it cannot be opened again."""
_A4 = 9
_GREY = "#595959"
_RULE = "#BFBFBF"


class Style:
    """The few cell formats that our workbooks use."""

    def __init__(self, book: Workbook) -> None:
        """Register the formats with *book*."""
        self.title = book.add_format({"bold": True, "font_size": 16})
        self.label = book.add_format({"bold": True, "num_format": "@"})
        self.line = book.add_format({"num_format": "@"})
        self.text = book.add_format({"num_format": "@"})
        self.first_text = book.add_format({"num_format": "@", "top": 1, "top_color": _RULE})
        self.words = book.add_format(
            {"num_format": "@", "text_wrap": True, "valign": "bottom", "font_color": _GREY, "font_size": 9}
        )
        self.heading = book.add_format({"num_format": "@", "bold": True, "bottom": 1})


def new_workbook(data: io.BytesIO) -> Workbook:
    """Return a workbook that will be written to *data*, the same bytes for the same cells."""
    options = {
        "in_memory": True,
        "strings_to_formulas": False,
        "strings_to_urls": False,
        "strings_to_numbers": False,
    }
    book = Workbook(data, options)
    book.set_properties({"created": _CREATED})
    return book


def save_workbook(book: Workbook, data: io.BytesIO, path: Path) -> None:
    """Finish *book* and put it at *path* in one step, so that an older file is whole until the new one is.

    Raises:
        OSError: *path* cannot be written to.
    """
    book.close()
    part = path.with_name(path.name + ".part")
    try:
        part.write_bytes(data.getvalue())
        part.replace(path)
    except OSError:
        part.unlink(missing_ok=True)
        raise


def set_up_page(sheet: Worksheet, title: str, repeat: tuple[int, int] | None) -> None:
    """Set a sheet up for A4 landscape, one page wide, with the rows *repeat* (first, last) on every page."""
    sheet.set_landscape()
    sheet.set_paper(_A4)
    sheet.set_margins(left=0.5, right=0.5, top=0.6, bottom=0.6)
    sheet.fit_to_pages(1, 0)
    sheet.set_footer(f"&L{title.replace('&', '&&')}&C&A&RPage &P of &N")
    if repeat is not None:
        sheet.repeat_rows(repeat[0] - 1, repeat[1] - 1)
        sheet.hide_gridlines(0)  # 0: shown on the screen and on paper


def safe_text(text: str) -> str:
    """Return *text* as a cell can hold it: what XML forbids becomes U+FFFD, what is too long is cut with a mark."""
    clean = _UNSTORABLE.sub("\ufffd", text)
    return clean if len(clean) <= MAX_CELL_LENGTH else clean[: MAX_CELL_LENGTH - len(_CUT_MARK)] + _CUT_MARK
