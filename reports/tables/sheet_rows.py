"""Rows of a sheet that has very many of them, written as the XML that a workbook holds (ECMA-376, part 1, 18.3).

Through the library a cell takes 3 µs, and the marks of a large set a twentieth of its run. These rows hold texts and
whole numbers without a format of their own; all else of a workbook is the library's.
"""

from __future__ import annotations

import io
import shutil
import tempfile
import zipfile
from collections.abc import Sequence
from pathlib import Path

from xlsxwriter.utility import xl_col_to_name

from rubrics.patterns import late_pattern

FIRST_SHEET = "xl/worksheets/sheet1.xml"
"""The part of a workbook that holds the sheet added first."""
_ROW_ENDS = b"</row>"
_LIKE_A_SIGN = late_pattern("_x[0-9A-Fa-f]{4}_")
"""What programs take for another sign, unless its own first sign is written in this way."""
_ESCAPED = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;"})


class SheetRows:
    """Rows from the second on, laid aside in a file until the library has written the workbook."""

    def __init__(self, folder: Path, columns: int) -> None:
        """Take where they are laid aside, beside the workbook since they hold marks, and how many columns there are."""
        self._aside = tempfile.TemporaryFile(dir=folder)  # noqa: SIM115 (closed once the rows are in the workbook)
        self._letters = [xl_col_to_name(column) for column in range(columns)]

    def add(self, row: int, texts: Sequence[str], numbers: Sequence[str], last: Sequence[str]) -> None:
        """Add a row: texts, then whole numbers, then texts again; an empty one is no cell.

        Args:
            row: Its number, from 1; rows come in their order.
            texts: Without control characters, and no longer than a cell holds.
            numbers: In digits.
            last: As *texts*.
        """
        letters = iter(self._letters)
        cells = [_text_cell(f"{next(letters)}{row}", text) for text in texts]
        cells += [
            f'<c r="{letter}{row}"><v>{number}</v></c>'
            for number, letter in zip(numbers, letters, strict=False)
            if number
        ]
        cells += [_text_cell(f"{next(letters)}{row}", text) for text in last]
        self._aside.write(f'<row r="{row}">{"".join(cells)}</row>'.encode())

    def put_into(self, workbook: Path) -> None:
        """Put the rows below the head of the first sheet of *workbook*, which the library has written and closed.

        Raises:
            OSError: It cannot be written.
        """
        with (
            self._aside,
            zipfile.ZipFile(io.BytesIO(workbook.read_bytes())) as frame,
            zipfile.ZipFile(workbook, "w", zipfile.ZIP_DEFLATED) as whole,
        ):
            for part in frame.infolist():
                text = frame.read(part)  # first: a part's record tells of the archive in which it was opened last
                with whole.open(part, "w") as written:
                    if part.filename == FIRST_SHEET:
                        head, end, text = text.partition(_ROW_ENDS)
                        written.write(head + end)
                        self._aside.seek(0)
                        shutil.copyfileobj(self._aside, written)
                    written.write(text)


def _text_cell(address: str, text: str) -> str:
    if not text:
        return ""
    shown = _LIKE_A_SIGN.sub(r"_x005F\g<0>", text).translate(_ESCAPED)
    kept = ' xml:space="preserve"' if shown != shown.strip() else ""
    return f'<c r="{address}" t="inlineStr"><is><t{kept}>{shown}</t></is></c>'
