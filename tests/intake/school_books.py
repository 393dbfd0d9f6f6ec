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


def _comma_country_with_a_point(book: Workbook) -> None:
    sheet = first_sheet(book)
    _clean(sheet, ())
    for code, energy in (("A01", "20400,5"), ("A02", "22.100"), ("A03", "20100,0")):
        sheet.append((code, "0,998", "20,5", "41,5", energy, "973 J/(kg °C)"))


def _comma_country_answers(book: Workbook) -> None:
    sheet = first_sheet(book)
    _clean(sheet, ())
    for code, answer in (("A01", "973,5"), ("A02", "1.002"), ("A03", "985,2")):
        sheet.append((code, "0,998", "20,5", "41,5", 20400, answer))


def _pasted_below(book: Workbook) -> None:
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


def _two_classes(book: Workbook) -> None:
    sheet = first_sheet(book)
    sheet.title = "10A"
    _clean(sheet)
    _clean(book.create_sheet("10B"), (("B01", 1.001, 20, 41, 20300, "966 J/(kg °C)"),))


def _two_classes_with_one_numbering(book: Workbook) -> None:
    sheet = first_sheet(book)
    sheet.title = "10A"
    _clean(sheet, ((1, 0.998, 20.5, 41.5, 20400, "973 J/(kg °C)"), (2, 1.002, 21, 42.5, 20600, "956 J/(kg °C)")))
    _clean(
        book.create_sheet("10B"), ((1, 0.9, 20, 41, 20300, "966 J/(kg °C)"), (3, 1.0, 21, 42, 20600, "981 J/(kg °C)"))
    )


def _summary_rows(*names: str) -> Make:
    def make(book: Workbook) -> None:
        sheet = first_sheet(book)
        _clean(sheet)
        for name in names:
            sheet.append((name, 0.998, 20.5, 41.5, 20400, 970))

    return make


def _blocks(book: Workbook) -> None:
    sheet = first_sheet(book)
    sheet.append(_WIRE_HEAD)
    for code in ("A01", "A02"):
        for row in (1, 2, 3):
            sheet.append((code if row == 1 else None, row / 10, row * 1.1, 0.5))


def _merged_codes(book: Workbook) -> None:
    _blocks(book)
    first_sheet(book).merge_cells("A2:A4")
    first_sheet(book).merge_cells("A5:A7")


def _blocks_with_gaps(book: Workbook) -> None:
    sheet = first_sheet(book)
    sheet.append(_WIRE_HEAD)
    for code in ("A01", "A02"):
        for row in (1, 2, 3):
            sheet.append((code if row == 1 else None, row / 10, row * 1.1, 0.5))
        sheet.append(())


def _merged_reading(book: Workbook) -> None:
    sheet = first_sheet(book)
    _clean(sheet)
    sheet["B3"] = None
    sheet.merge_cells("B2:B3")


def _dates(book: Workbook) -> None:
    sheet = first_sheet(book)
    _clean(sheet)
    sheet["B2"] = datetime.date(2025, 4, 3)
    sheet["F3"] = datetime.datetime(2025, 2, 1, 0, 0)


def _percent(book: Workbook) -> None:
    sheet = first_sheet(book)
    _clean(sheet)
    sheet["B2"].number_format = "0.0%"


def _spaced_numbers(book: Workbook) -> None:
    sheet = first_sheet(book)
    _clean(sheet)
    for cell, text in (("E2", "20\u00a0400"), ("E3", "'20600"), ("E4", "20'100"), ("B2", "\u00a00.998\u200b")):
        sheet[cell] = text


def _never_calculated(book: Workbook) -> None:
    sheet = first_sheet(book)
    _clean(sheet)
    sheet["E2"] = "=1.5*4.0*3400"


def _across(*headings: str) -> Make:
    def make(book: Workbook) -> None:
        sheet = first_sheet(book)
        sheet.append(("student", *headings))
        sheet.append(("A01", 0.1, 1.1, 0.5, 0.2, 1.2, 0.6))
        sheet.append(("A02", 0.1, 1.3, 0.5, 0.2, 1.4, 0.6))

    return make


def _sheet_a_student(*title: str) -> Make:
    def make(book: Workbook) -> None:
        book.remove(first_sheet(book))
        for code, *values in LINES:
            sheet = book.create_sheet(str(code))
            for line in title:
                sheet.append((line,))
            for name, value in zip(("m (kg)", "T_start (°C)", "T_end (°C)", "E (J)", "c"), values, strict=True):
                sheet.append((name, value))

    return make


def _group_headings(book: Workbook) -> None:
    sheet = first_sheet(book)
    sheet.append(("", "Readings", "", "", "", "Answer"))
    sheet.merge_cells("B1:E1")
    _clean(sheet)


def transposed(book: Workbook) -> None:
    """Put the table on the sheet turned round: students across, items down."""
    sheet = first_sheet(book)
    for line in zip(HEAD, *LINES, strict=True):
        sheet.append(line)


def _named(*heading: str) -> Make:
    def make(book: Workbook) -> None:
        sheet = first_sheet(book)
        for line in ((heading[0], *HEAD[1:]), *LINES):
            sheet.append(line)

    return make


def _lines_about_the_class_above(book: Workbook) -> None:
    sheet = first_sheet(book)
    for line in (("Class: 10X", "Teacher: Mrs Reed"), ("Date", datetime.date(2025, 5, 6)), ("",)):
        sheet.append(line)
    _clean(sheet)


def _average_without_a_name(book: Workbook) -> None:
    sheet = first_sheet(book)
    _clean(sheet)
    sheet.append((None, "=AVERAGE(B2:B4)", None, None, "=AVERAGE(E2:E4)", None))


def _all_absent(book: Workbook) -> None:
    sheet = first_sheet(book)
    _clean(sheet, (*LINES[:2], ("A03", *["absent"] * 5)))


def _notes_behind(book: Workbook) -> None:
    sheet = first_sheet(book)
    for line in (HEAD, *LINES):
        sheet.append((*line, "comments" if line is HEAD else "good effort"))


def _units_in_a_row_below(book: Workbook) -> None:
    sheet = first_sheet(book)
    sheet.append(("student", "m", "T_start", "T_end", "E", "c"))
    sheet.append(("", "g", "°C", "°C", "kJ", "J/(kg °C)"))
    sheet.append(("A01", 998, 20.5, 41.5, 20.4, 973))


def _two_numbers_in_a_cell(book: Workbook) -> None:
    sheet = first_sheet(book)
    _clean(sheet)
    sheet["C2"] = "20.5, 20.6"
    sheet["C3"] = "20.5-21.5"
    sheet["C4"] = "20.5\n20.6"


def _error_cells(book: Workbook) -> None:
    sheet = first_sheet(book)
    _clean(sheet)
    sheet["E2"] = "#REF!"
    sheet["E3"] = "#####"


def _codes_made_dates(book: Workbook) -> None:
    sheet = first_sheet(book)
    _clean(sheet, ())
    for day, line in zip((1, 2, 3), LINES, strict=True):
        sheet.append((datetime.datetime(2026, 3, day), *line[1:]))


def _grams_under_kilograms(book: Workbook) -> None:
    sheet = first_sheet(book)
    _clean(sheet, tuple((code, 998, *rest) for code, _, *rest in LINES))
    for row in (2, 3, 4):
        sheet.cell(row, 2).number_format = '0" g"'


def _money(book: Workbook) -> None:
    sheet = first_sheet(book)
    _clean(sheet)
    sheet.cell(2, 5).number_format = '"£"#,##0'


def _old_copy_hidden(book: Workbook) -> None:
    _clean(first_sheet(book))
    old = book.create_sheet("old")
    _clean(old, (("A01", 0.899, 20.5, 41.5, 20400, "973 J/(kg °C)"), *LINES[1:]))
    old.sheet_state = "hidden"


def _corrected_copy(book: Workbook) -> None:
    _clean(first_sheet(book))
    _clean(book.create_sheet("Corrected"), (("A01", 0.899, 20.5, 41.5, 20400, "973 J/(kg °C)"), *LINES[1:]))


CASES = (
    Case(
        name="a comma country, one cell with a point",
        make=_comma_country_with_a_point,
        holds={("A01", "E", 0): 20400.5, ("A02", "E", 0): 22100, ("A02", "m", 0): 0.998},
    ),
    Case(
        name="a comma country, an answer with a point",
        make=_comma_country_answers,
        holds={("A01", "c", 0): 973.5, ("A02", "c", 0): ASKED, ("A03", "c", 0): 985.2},
    ),
    Case(
        name="the table pasted again below, one row changed",
        make=_pasted_below,
        holds={("A01", "E", 0): 20400, ("A02", "E", 0): ASKED, ("A02", "m", 0): 1.002, ("A03", "E", 0): 20100},
        says=("not the same",),
    ),
    Case(name="two classes on two sheets", make=_two_classes, students=("A01", "A02", "A03", "B01")),
    Case(
        name="two classes on two sheets, with one numbering",
        make=_two_classes_with_one_numbering,
        students=("1", "2", "3"),
        holds={("1", "m", 0): ASKED, ("1", "c", 0): ASKED, ("2", "m", 0): 1.002, ("3", "m", 0): 1.0},
        says=("not the same",),
    ),
    *(
        Case(name=f"a row called {name}", make=_summary_rows(name), says=(name,))
        for name in (
            *(
                "Average",
                "AVERAGE:",
                "Class average",
                "Class mean",
                "St. dev.",
                "Std Dev",
                "Stdev",
                "Standard deviation",
            ),
            *("Min", "Minimum", "Maximum", "Sum", "Count", "Median", "Mode", "Uncertainty", "% error"),
            *("Expected", "Expected value", "True value", "Textbook value", "Literature value", "Model answer"),
            *("e.g.", "Sample", "Example row", "Worked example", "Demo", "Teacher's values", "Teacher demo", "Answers"),
            *("Mark scheme", "Max mark", "Correct answer", "Totals", "Range", "Mean (all)", "Overall", "Target"),
        )
    ),
    Case(
        name="a code once for each block",
        make=_blocks,
        students=("A01", "A02"),
        holds={("A01", "V", 3): 3.3, ("A02", "V", 1): 1.1},
        practical=WIRE,
    ),
    Case(
        name="codes merged over their blocks",
        make=_merged_codes,
        students=("A01", "A02"),
        holds={("A01", "V", 3): 3.3, ("A02", "V", 2): 2.2},
        practical=WIRE,
    ),
    Case(
        name="blocks with empty rows between",
        make=_blocks_with_gaps,
        students=("A01", "A02"),
        holds={("A01", "V", 3): 3.3, ("A02", "V", 3): 3.3},
        practical=WIRE,
    ),
    Case(
        name="a reading merged over two students",
        make=_merged_reading,
        holds={("A01", "m", 0): 0.998, ("A02", "m", 0): ASKED},
        says=("merged",),
    ),
    Case(
        name="numbers turned into dates",
        make=_dates,
        holds={("A01", "m", 0): ASKED, ("A02", "c", 0): ASKED},
        says=("B2", "F3", "date"),
    ),
    Case(name="a cell shown as a percentage", make=_percent, holds={("A01", "m", 0): ASKED}, says=("B2",)),
    Case(
        name="numbers as text with spaces and apostrophes",
        make=_spaced_numbers,
        holds={("A01", "E", 0): 20400, ("A02", "E", 0): 20600, ("A03", "E", 0): 20100, ("A01", "m", 0): 0.998},
    ),
    Case(name="a formula never worked out", make=_never_calculated, holds={("A01", "E", 0): ASKED}, says=("E2",)),
    *(
        Case(
            name=f"across: {', '.join(headings)}",
            make=_across(*headings),
            students=("A01", "A02"),
            holds={("A01", "V", 1): 1.1, ("A01", "V", 2): 1.2, ("A02", "I", 2): 0.6},
            practical=WIRE,
        )
        for headings in (
            ("L1", "V1", "I1", "L2", "V2", "I2"),
            ("L 1 (m)", "V 1 (V)", "I 1 (A)", "L 2 (m)", "V 2 (V)", "I 2 (A)"),
            ("L_1", "V_1", "I_1", "L_2", "V_2", "I_2"),
            ("L(1)", "V(1)", "I(1)", "L(2)", "V(2)", "I(2)"),
            ("L #1", "V #1", "I #1", "L #2", "V #2", "I #2"),
            ("Reading 1 L", "Reading 1 V", "Reading 1 I", "Reading 2 L", "Reading 2 V", "Reading 2 I"),
            ("L reading 1", "V reading 1", "I reading 1", "L reading 2", "V reading 2", "I reading 2"),
            ("L / m (1)", "V / V (1)", "I / A (1)", "L / m (2)", "V / V (2)", "I / A (2)"),
        )
    ),
    Case(name="a sheet a student", make=_sheet_a_student(), holds={("A02", "E", 0): 20600}),
    Case(
        name="a sheet a student, with a title",
        make=_sheet_a_student("Specific heat of a block", "Period 3"),
        holds={("A03", "c", 0): 985},
    ),
    Case(name="headings in groups", make=_group_headings, holds={("A01", "m", 0): 0.998}),
    *(
        Case(name=f"students under {heading!r}", make=_named(heading), holds={("A01", "m", 0): 0.998})
        for heading in (
            *("Pupil", "PUPIL NAME", "Name of student", "Student's name", "Student Name/Code", "ID", "Student ID no."),
            *("Initials", "Candidate #", "Cand. no.", "Reg. no.", "Learner", "Learner name", "Your name"),
            *("Student(s)", "Username", "Email", "E-mail address", "Pupil Ref"),
        )
    ),
    Case(name="lines about the class above", make=_lines_about_the_class_above, holds={("A01", "m", 0): 0.998}),
    Case(name="an average without a name below", make=_average_without_a_name, says=("row 5",)),
    Case(name="a student who was absent", make=_all_absent),
    Case(name="a column of comments", make=_notes_behind, says=("comments",)),
    Case(
        name="units in a row below the headings",
        make=_units_in_a_row_below,
        students=("A01",),
        holds={("A01", "m", 0): 998, ("A01", "E", 0): 20.4},
    ),
    Case(
        name="two numbers in a cell",
        make=_two_numbers_in_a_cell,
        holds={("A01", "T_start", 0): ASKED, ("A02", "T_start", 0): ASKED, ("A03", "T_start", 0): ASKED},
    ),
    Case(name="cells with errors", make=_error_cells, holds={("A01", "E", 0): ASKED, ("A02", "E", 0): ASKED}),
    Case(
        name="codes that became dates",
        make=_codes_made_dates,
        students=("2026-03-01", "2026-03-02", "2026-03-03"),
        says=("made a date of the code", "A2"),
    ),
    Case(name="grams by their format under kg", make=_grams_under_kilograms, holds={("A01", "m", 0): 998}),
    Case(name="a reading shown as money", make=_money, holds={("A01", "E", 0): ASKED, ("A02", "E", 0): 20600}),
    Case(name="an old copy on a hidden sheet", make=_old_copy_hidden, holds={("A01", "m", 0): 0.998}),
    Case(name="a corrected copy on a second sheet", make=_corrected_copy, holds={("A01", "m", 0): ASKED}),
)
