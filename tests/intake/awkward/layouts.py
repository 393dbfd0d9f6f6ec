"""Sheets with their headings, rows and columns where nobody expects them."""

from __future__ import annotations

from openpyxl.styles import PatternFill

from marking.write_up import State
from tests.intake.awkward.case import HEADINGS, SHEET, Case, saved, swapped, table, workbook

_LAST_CELL = '<row r="1048576"><c r="XFD1048576" t="inlineStr"><is><t>x</t></is></c></row></sheetData>'
_ALL_MERGED = '</sheetData><mergeCells count="1"><mergeCell ref="A8:XFD1048576"/></mergeCells>'


def layout_cases() -> tuple[Case, ...]:
    """Return the cases about where things stand."""
    return (*_columns(), *_rows(), *_headings(), *_sheets(), *_hidden(), *_sizes())


def _columns() -> tuple[Case, ...]:
    lines = table()
    order = (6, 3, 0, 5, 1, 4, 2)
    shifted = table()
    shifted[3] = [shifted[3][0], None, *shifted[3][1:]]
    return (
        Case(
            name="reordered.xlsx",
            data=saved(workbook([[line[i] for i in order] for line in lines])),
            outcome="clean",
            holds={"A01 m": (998, "g"), "A04 c": (995, "J/(kg °C)")},
        ),
        Case(
            name="no energy.xlsx",
            data=saved(workbook([[*line[:4], *line[5:]] for line in lines])),
            outcome="query",
            named=("no column for E", "T_end / °C"),
            holds={"A01 c": (997, "J/(kg °C)")},
        ),
        Case(
            name="comments.xlsx",
            data=saved(workbook([[*line, "comments" if i == 0 else f"note {i}"] for i, line in enumerate(lines)])),
            outcome="notes",
            named=("H1", "comments"),
        ),
        Case(
            name="shifted row.xlsx",
            data=saved(workbook(shifted)),
            outcome="query",
            named=("A03", "B4", "C4", "H4"),
            holds={f"A03 {item}": State.UNREADABLE for item in ("m", "T_start", "T_end", "E", "c")}
            | {"A04 m": (1010, "g")},
        ),
        Case(
            name="answer and unit swapped over.xlsx",
            data=saved(workbook(table(F3="J/(kg K)", G3=1000))),
            outcome="query",
            named=("A02", "F3"),
            holds={"A02 c": State.UNREADABLE, "A02 m": State.UNREADABLE},
        ),
    )


def _rows() -> tuple[Case, ...]:
    lines = table()
    moved = workbook([])
    for row, line in enumerate(lines, 4):
        for column, value in enumerate(line, 3):
            moved.worksheets[0].cell(row, column, value)
    titled = workbook([["Heating a block: results"], [None], *lines])
    titled.worksheets[0].merge_cells("A1:G1")
    plain = ("student", "m", "T_start", "T_end", "E", "c", "c unit")
    return (
        Case(
            name="table at C4.xlsx", data=saved(moved), outcome="notes", named=("row 4",), holds={"A01 m": (998, "g")}
        ),
        Case(
            name="row of units.xlsx",
            data=saved(workbook([plain, [None, "g", "°C", "°C", "J", None, None], *lines[1:]])),
            outcome="notes",
            named=("A2", "holds units"),
            holds={"A01 m": (998, "g"), "A01 E": (20400, "J")},
        ),
        Case(
            name="row of other units.xlsx",
            data=saved(workbook([HEADINGS, [None, "kg", "°C", "°C", "J", None, None], *lines[1:]])),
            outcome="query",
            named=("B2", '"kg"'),
            holds={"A01 m": (998, "g")},
        ),
        Case(name="title above.xlsx", data=saved(titled), outcome="notes", named=("row 3",)),
        Case(
            name="empty rows between.xlsx",
            data=saved(workbook([*lines[:3], [None], [None], *lines[3:]])),
            outcome="clean",
            holds={"A04 m": (1010, "g")},
        ),
    )


def _headings() -> tuple[Case, ...]:
    doubled = [["student", "m / g", "temp", "temp", "E / J", "c", "c unit"], *table()[1:]]
    twice = [["student", "m / g", "T_start / °C", "T_end / °C", "mass (g)", "c", "c unit"], *table()[1:]]
    untidy = [[" Student ", "Mass_G", "temp_start_C\n", "FINAL TEMPERATURE (°C)", "energy_J\u00a0", "Answer:", "UNIT"]]
    return (
        Case(
            name="doubled headings.xlsx",
            data=saved(workbook(doubled)),
            outcome="query",
            named=("C1", "D1", "T_start", "T_end"),
            holds={"A01 m": (998, "g")},
        ),
        Case(
            name="two columns of one item.xlsx",
            data=saved(workbook(twice)),
            outcome="query",
            named=("B1", "E1", "no column for m"),
        ),
        Case(
            name="untidy headings.xlsx",
            data=saved(workbook([*untidy, *table()[1:]])),
            outcome="notes",
            named=("A1",),
            holds={"A01 m": (998, "g"), "A01 T_end": (40.0, "°C"), "A01 E": (20400, "J"), "A01 c": (997, "J/(kg °C)")},
        ),
    )


def _sheets() -> tuple[Case, ...]:
    instructions = workbook([["Type your readings on the sheet called Block"]], "Instructions")
    second = instructions.create_sheet("Block")
    two = workbook(table())
    copy = two.create_sheet("Block (2)")
    hidden = workbook(table(F2=1, F3=1), "old")
    hidden.worksheets[0].sheet_state = "hidden"
    shown = hidden.create_sheet("Block")
    for line, changed in zip(table(), table(F2=1, F3=1), strict=True):
        second.append(line)
        copy.append(changed)
        shown.append(line)
    hidden.active = 1
    only = workbook(table())
    only.create_sheet("Empty")
    only.worksheets[0].sheet_state = "hidden"
    only.active = 1
    return (
        Case(name="instructions first.xlsx", data=saved(instructions), outcome="clean"),
        Case(
            name="two sheets.xlsx",
            data=saved(two),
            outcome="query",
            named=("Block (2)!A2", '"997"', '"1"'),
            holds={"A01 c": State.UNREADABLE, "A02 c": State.UNREADABLE, "A03 c": (1010, "J/(kg °C)")},
        ),
        Case(
            name="hidden copy.xlsx",
            data=saved(hidden),
            outcome="notes",
            named=("old",),
            holds={"A01 c": (997, "J/(kg °C)")},
        ),
        Case(name="hidden only.xlsx", data=saved(only), outcome="refuse", students=(), named=("hidden",)),
    )


def _hidden() -> tuple[Case, ...]:
    hidden = workbook(table())
    hidden.worksheets[0].row_dimensions[3].hidden = True
    hidden.worksheets[0].column_dimensions["C"].hidden = True
    merged = workbook(table(G3=None, G4=None))
    merged.worksheets[0].merge_cells("G2:G4")
    return (
        Case(
            name="hidden row and column.xlsx",
            data=saved(hidden),
            outcome="notes",
            named=("A3", "C1"),
            holds={"A02 T_start": (20, "°C")},
        ),
        Case(
            name="merged unit.xlsx",
            data=saved(merged),
            outcome="query",
            named=("G3", "G4", "merged with G2"),
            holds={"A01 c": (997, "J/(kg °C)")},
        ),
        Case(
            name="everything merged.xlsx",
            data=saved(workbook(table()), {SHEET: swapped("</sheetData>", _ALL_MERGED)}),
            outcome="notes",
            named=("A8:XFD1048576",),
        ),
    )


def _sizes() -> tuple[Case, ...]:
    coloured = workbook(table())
    fill = PatternFill("solid", fgColor="FFFFCC")
    for row in range(7, 2007):
        coloured.worksheets[0].cell(row, 1).fill = fill
    declared = '<dimension ref="A1:G5"'
    return (
        Case(name="coloured rows.xlsx", data=saved(coloured), outcome="clean"),
        Case(
            name="declared huge.xlsx",
            data=saved(workbook(table()), {SHEET: swapped(declared, '<dimension ref="A1:XFD1048576"')}),
            outcome="clean",
        ),
        Case(
            name="declared small.xlsx",
            data=saved(workbook(table()), {SHEET: swapped(declared, '<dimension ref="A1:B2"')}),
            outcome="clean",
            holds={"A04 c": (995, "J/(kg °C)")},
        ),
        Case(
            name="stray far cell.xlsx",
            data=saved(workbook(table()), {SHEET: swapped("</sheetData>", _LAST_CELL)}),
            outcome="notes",
            named=("XFD1048576",),
        ),
    )
