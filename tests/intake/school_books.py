"""Workbooks as schools really save them, each written down with what it should come to before it was read."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import dataclass, field

from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet

BLOCK = "specific-heat-block"
WIRE = "wire-resistance"
HEAD = ("student", "m / kg", "T_start / °C", "T_end / °C", "E / J", "c")
LINES = (
    ("A01", 0.998, 20.5, 41.5, 20400, "973 J/(kg °C)"),
    ("A02", 1.002, 21, 42.5, 20600, "956 J/(kg °C)"),
    ("A03", 0.995, 20, 40.5, 20100, "985 J/(kg °C)"),
)
_WIRE_HEAD = ("student", "L / m", "V / V", "I / A")
ASKED = "asked"
"""For an entry that is left to the teacher."""

Make = Callable[[Workbook], None]
Held = dict[tuple[str, str, int], float | str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One workbook, and what it should come to."""

    name: str
    make: Make
    students: tuple[str, ...] = ("A01", "A02", "A03")
    holds: Held = field(default_factory=dict)
    """Student, item and row (0 for a single item) to a value, to the word ASKED, or to '' for a blank."""
    says: tuple[str, ...] = ()
    """Words that have to stand in what is told."""
    practical: str = BLOCK


def _clean(sheet: Worksheet, lines: tuple[tuple[object, ...], ...] = LINES) -> None:
    for line in (HEAD, *lines):
        sheet.append(line)


def first_sheet(book: Workbook) -> Worksheet:
    """Return the first sheet of *book*."""
    return book.worksheets[0]


def comma_country_with_a_point(book: Workbook) -> None:
    """Fill *book*: a comma country, one cell with a point."""
    sheet = first_sheet(book)
    _clean(sheet, ())
    for code, energy in (("A01", "20400,5"), ("A02", "22.100"), ("A03", "20100,0")):
        sheet.append((code, "0,998", "20,5", "41,5", energy, "973 J/(kg °C)"))


def comma_country_answers(book: Workbook) -> None:
    """Fill *book*: a comma country, an answer with a point."""
    sheet = first_sheet(book)
    _clean(sheet, ())
    for code, answer in (("A01", "973,5"), ("A02", "1.002"), ("A03", "985,2")):
        sheet.append((code, "0,998", "20,5", "41,5", 20400, answer))


def pasted_below(book: Workbook) -> None:
    """Fill *book*: the table pasted again below, one row changed."""
    sheet = first_sheet(book)
    _clean(sheet)
    sheet.append(())
    _clean(
        sheet, (("A01", 0.998, 20.5, 41.5, 20400, "973 J/(kg °C)"), ("A02", 1.002, 21, 42.5, 20900, "970 J/(kg °C)"))
    )


def pasted_beside(book: Workbook) -> None:
    """Put the table on the sheet a second time, beside itself."""
    sheet = first_sheet(book)
    for line in (HEAD, *LINES):
        sheet.append((*line, None, *line))


def two_classes(book: Workbook) -> None:
    """Fill *book*: two classes on two sheets."""
    sheet = first_sheet(book)
    sheet.title = "10A"
    _clean(sheet)
    _clean(book.create_sheet("10B"), (("B01", 1.001, 20, 41, 20300, "966 J/(kg °C)"),))


def two_classes_with_one_numbering(book: Workbook) -> None:
    """Fill *book*: two classes on two sheets, with one numbering."""
    sheet = first_sheet(book)
    sheet.title = "10A"
    _clean(sheet, ((1, 0.998, 20.5, 41.5, 20400, "973 J/(kg °C)"), (2, 1.002, 21, 42.5, 20600, "956 J/(kg °C)")))
    _clean(
        book.create_sheet("10B"), ((1, 0.9, 20, 41, 20300, "966 J/(kg °C)"), (3, 1.0, 21, 42, 20600, "981 J/(kg °C)"))
    )


def summary_rows(*names: str) -> Make:
    """Return what fills a book: rows of such names below the class."""

    def make(book: Workbook) -> None:
        sheet = first_sheet(book)
        _clean(sheet)
        for name in names:
            sheet.append((name, 0.998, 20.5, 41.5, 20400, 970))

    return make


def blocks(book: Workbook) -> None:
    """Fill *book*: a code once for each block."""
    sheet = first_sheet(book)
    sheet.append(_WIRE_HEAD)
    for code in ("A01", "A02"):
        for row in (1, 2, 3):
            sheet.append((code if row == 1 else None, row / 10, row * 1.1, 0.5))


def merged_codes(book: Workbook) -> None:
    """Fill *book*: codes merged over their blocks."""
    blocks(book)
    first_sheet(book).merge_cells("A2:A4")
    first_sheet(book).merge_cells("A5:A7")


def blocks_with_gaps(book: Workbook) -> None:
    """Fill *book*: blocks with empty rows between."""
    sheet = first_sheet(book)
    sheet.append(_WIRE_HEAD)
    for code in ("A01", "A02"):
        for row in (1, 2, 3):
            sheet.append((code if row == 1 else None, row / 10, row * 1.1, 0.5))
        sheet.append(())


def merged_reading(book: Workbook) -> None:
    """Fill *book*: a reading merged over two students."""
    sheet = first_sheet(book)
    _clean(sheet)
    sheet["B3"] = None
    sheet.merge_cells("B2:B3")


def dates(book: Workbook) -> None:
    """Fill *book*: numbers turned into dates."""
    sheet = first_sheet(book)
    _clean(sheet)
    sheet["B2"] = datetime.date(2025, 4, 3)
    sheet["F3"] = datetime.datetime(2025, 2, 1, 0, 0)


def percent(book: Workbook) -> None:
    """Fill *book*: a cell shown as a percentage."""
    sheet = first_sheet(book)
    _clean(sheet)
    sheet["B2"].number_format = "0.0%"


def spaced_numbers(book: Workbook) -> None:
    """Fill *book*: numbers as text with spaces and apostrophes."""
    sheet = first_sheet(book)
    _clean(sheet)
    for cell, text in (("E2", "20\u00a0400"), ("E3", "'20600"), ("E4", "20'100"), ("B2", "\u00a00.998\u200b")):
        sheet[cell] = text


def never_calculated(book: Workbook) -> None:
    """Fill *book*: a formula never worked out."""
    sheet = first_sheet(book)
    _clean(sheet)
    sheet["E2"] = "=1.5*4.0*3400"


def across(*headings: str) -> Make:
    """Return what fills a book: students across, under such headings."""

    def make(book: Workbook) -> None:
        sheet = first_sheet(book)
        sheet.append(("student", *headings))
        sheet.append(("A01", 0.1, 1.1, 0.5, 0.2, 1.2, 0.6))
        sheet.append(("A02", 0.1, 1.3, 0.5, 0.2, 1.4, 0.6))

    return make


def sheet_a_student(*title: str) -> Make:
    """Return what fills a book: a sheet a student."""

    def make(book: Workbook) -> None:
        book.remove(first_sheet(book))
        for code, *values in LINES:
            sheet = book.create_sheet(str(code))
            for line in title:
                sheet.append((line,))
            for name, value in zip(("m (kg)", "T_start (°C)", "T_end (°C)", "E (J)", "c"), values, strict=True):
                sheet.append((name, value))

    return make


def group_headings(book: Workbook) -> None:
    """Fill *book*: headings in groups."""
    sheet = first_sheet(book)
    sheet.append(("", "Readings", "", "", "", "Answer"))
    sheet.merge_cells("B1:E1")
    _clean(sheet)


def transposed(book: Workbook) -> None:
    """Put the table on the sheet turned round: students across, items down."""
    sheet = first_sheet(book)
    for line in zip(HEAD, *LINES, strict=True):
        sheet.append(line)


def named(*heading: str) -> Make:
    """Return what fills a book: students under such a heading."""

    def make(book: Workbook) -> None:
        sheet = first_sheet(book)
        for line in ((heading[0], *HEAD[1:]), *LINES):
            sheet.append(line)

    return make


def lines_about_the_class_above(book: Workbook) -> None:
    """Fill *book*: lines about the class above."""
    sheet = first_sheet(book)
    for line in (("Class: 10X", "Teacher: Mrs Reed"), ("Date", datetime.date(2025, 5, 6)), ("",)):
        sheet.append(line)
    _clean(sheet)


def average_without_a_name(book: Workbook) -> None:
    """Fill *book*: an average without a name below."""
    sheet = first_sheet(book)
    _clean(sheet)
    sheet.append((None, "=AVERAGE(B2:B4)", None, None, "=AVERAGE(E2:E4)", None))


def all_absent(book: Workbook) -> None:
    """Fill *book*: a student who was absent."""
    sheet = first_sheet(book)
    _clean(sheet, (*LINES[:2], ("A03", *["absent"] * 5)))


def notes_behind(book: Workbook) -> None:
    """Fill *book*: a column of comments."""
    sheet = first_sheet(book)
    for line in (HEAD, *LINES):
        sheet.append((*line, "comments" if line is HEAD else "good effort"))


def units_in_a_row_below(book: Workbook) -> None:
    """Fill *book*: units in a row below the headings."""
    sheet = first_sheet(book)
    sheet.append(("student", "m", "T_start", "T_end", "E", "c"))
    sheet.append(("", "g", "°C", "°C", "kJ", "J/(kg °C)"))
    sheet.append(("A01", 998, 20.5, 41.5, 20.4, 973))


def two_numbers_in_a_cell(book: Workbook) -> None:
    """Fill *book*: two numbers in a cell."""
    sheet = first_sheet(book)
    _clean(sheet)
    sheet["C2"] = "20.5, 20.6"
    sheet["C3"] = "20.5-21.5"
    sheet["C4"] = "20.5\n20.6"


def error_cells(book: Workbook) -> None:
    """Fill *book*: cells with errors."""
    sheet = first_sheet(book)
    _clean(sheet)
    sheet["E2"] = "#REF!"
    sheet["E3"] = "#####"


def codes_made_dates(book: Workbook) -> None:
    """Fill *book*: codes that became dates."""
    sheet = first_sheet(book)
    _clean(sheet, ())
    for day, line in zip((1, 2, 3), LINES, strict=True):
        sheet.append((datetime.datetime(2026, 3, day), *line[1:]))


def grams_under_kilograms(book: Workbook) -> None:
    """Fill *book*: grams by their format under kg."""
    sheet = first_sheet(book)
    _clean(sheet, tuple((code, 998, *rest) for code, _, *rest in LINES))
    for row in (2, 3, 4):
        sheet.cell(row, 2).number_format = '0" g"'


def money(book: Workbook) -> None:
    """Fill *book*: a reading shown as money."""
    sheet = first_sheet(book)
    _clean(sheet)
    sheet.cell(2, 5).number_format = '"£"#,##0'


def old_copy_hidden(book: Workbook) -> None:
    """Fill *book*: an old copy on a hidden sheet."""
    _clean(first_sheet(book))
    old = book.create_sheet("old")
    _clean(old, (("A01", 0.899, 20.5, 41.5, 20400, "973 J/(kg °C)"), *LINES[1:]))
    old.sheet_state = "hidden"


def corrected_copy(book: Workbook) -> None:
    """Fill *book*: a corrected copy on a second sheet."""
    _clean(first_sheet(book))
    _clean(book.create_sheet("Corrected"), (("A01", 0.899, 20.5, 41.5, 20400, "973 J/(kg °C)"), *LINES[1:]))
