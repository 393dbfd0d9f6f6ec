"""A plain workbook is read as the library reads it that knows the whole format; anything else is left to that."""

from __future__ import annotations

import datetime
import io
import zipfile
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl.cell.rich_text import CellRichText, TextBlock
from openpyxl.cell.text import InlineFont
from openpyxl.styles import Font

from marking.intake.files.any_workbook import any_sheets
from marking.intake.files.containers import Container, Kind
from marking.intake.files.plain_workbook import UnusualError, plain_sheets
from marking.intake.files.stored_cells import StoredCell, StoredSheet
from marking.intake.files.workbook_cells import read_workbook
from marking.intake.grids import SheetValue, Stored
from marking.intake.read_inputs import read_inputs
from marking.write_up import State
from rubrics.load import load_catalogue

SAMPLES = Path(__file__).resolve().parents[3] / "samples"
FORMATS = ("General", "0", "0.00", "0.000", "0.0E+00", "@", "#,##0.00", "0.00%")
PLAIN = st.one_of(
    st.text(st.characters(codec="utf-8", exclude_categories=["Cs", "Cc"]), max_size=20),
    st.floats(allow_nan=False, allow_infinity=False),
    st.integers(-(10**12), 10**12),
    st.booleans(),
)


def container(data: bytes) -> Container:
    """Return a workbook's bytes as intake holds them."""
    return Container(name="class.xlsx", kind=Kind.WORKBOOK, data=data, sha256="")


def cells(sheets: list[StoredSheet]) -> list[tuple[str, bool, list[tuple[int, int, object, bool, str]]]]:
    """Return all that was read of the filled cells."""
    return [(sheet.title, sheet.is_visible, [found for one in sheet.cells if (found := seen(one))]) for sheet in sheets]


def seen(cell: StoredCell) -> tuple[int, int, object, bool, str] | None:
    """Return all that is used of a filled cell; a format only where there is a number."""
    if cell.value in (None, ""):
        return None
    is_number = isinstance(cell.value, int | float) and not isinstance(cell.value, bool)
    shown = cell.number_format if is_number else ""
    return cell.row, cell.column, cell.value, cell.data_type == "e", shown


def both(data: bytes) -> tuple[object, object]:
    """Return what either reader finds in a workbook."""
    held = container(data)
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return cells(plain_sheets(held, archive)), cells(any_sheets(held, archive))


@pytest.mark.parametrize("path", sorted(SAMPLES.rglob("*.xlsx")), ids=lambda path: f"{path.parent.name}/{path.name}")
def test_sample_workbooks(path: Path) -> None:
    """Every workbook among the samples is a plain one."""
    plain, whole = both(path.read_bytes())
    assert plain == whole


@settings(deadline=None, max_examples=60)
@given(st.lists(st.tuples(PLAIN, st.sampled_from(FORMATS)), min_size=1, max_size=12), st.booleans(), st.booleans())
def test_what_spreadsheets_store(written: list[tuple[object, str]], is_hidden: bool, is_inline: bool) -> None:
    """Text, numbers and truths in every plain format, in shared strings or inside the cell."""
    buffer = io.BytesIO()
    book = xlsxwriter.Workbook(buffer, {"in_memory": True, "constant_memory": is_inline})
    book.add_worksheet("first")
    sheet = book.add_worksheet("second")
    if is_hidden:
        sheet.hide()
    for row, (value, number_format) in enumerate(written):
        style = book.add_format({"num_format": number_format})
        if isinstance(value, str):
            sheet.write_string(row, row % 3, value, style)
        elif isinstance(value, bool):
            sheet.write_boolean(row, row % 3, value, style)
        else:
            sheet.write_number(row, row % 3, value, style)
    sheet.write_formula(len(written), 0, "=1/0", None, "#DIV/0!")
    book.close()
    plain, whole = both(buffer.getvalue())
    assert plain == whole


@settings(deadline=None, max_examples=20)
@given(st.lists(PLAIN.filter(lambda one: not isinstance(one, str)), min_size=1, max_size=8))
def test_what_another_library_writes(written: list[object]) -> None:
    """The same, written by the library that reads the rest."""
    book = openpyxl.Workbook()
    book.active.append(written)
    book.create_sheet("more").append(["=A1", "½ kg", 3])
    buffer = io.BytesIO()
    book.save(buffer)
    plain, whole = both(buffer.getvalue())
    assert plain == whole


@pytest.mark.parametrize(
    ("value", "number_format", "shown"),
    [
        (datetime.datetime(2026, 3, 2, 9, 30), "yyyy-mm-dd", "2026-03-02 09:30:00"),
        (0.25, "h:mm", "06:00:00"),
        (12.5, '0.0" kg"', "12.5 kg"),
        (12.5, '0.00" m"', "12.50 m"),
    ],
)
def test_dates_and_units_in_formats(value: object, number_format: str, shown: str) -> None:
    """What may be a date is left to the library that knows dates, and comes out as before."""
    book = openpyxl.Workbook()
    book.active["A1"] = value
    book.active["A1"].number_format = number_format
    buffer = io.BytesIO()
    book.save(buffer)
    held = container(buffer.getvalue())
    read = read_workbook(held).visible[0].rows[1][1]
    assert getattr(read, "text", read) == shown
    if "k" not in number_format:
        with zipfile.ZipFile(io.BytesIO(held.data)) as archive, pytest.raises(UnusualError):
            cells(plain_sheets(held, archive))


def test_a_workbook_with_a_chart_alone_on_a_sheet() -> None:
    """A sheet that is no worksheet is unusual, and the rest of the workbook is read."""
    buffer = io.BytesIO()
    book = xlsxwriter.Workbook(buffer, {"in_memory": True})
    sheet = book.add_worksheet("Readings")
    sheet.write_number(0, 0, 0.5)
    chart = book.add_chart({"type": "line"})
    chart.add_series({"values": "=Readings!$A$1:$A$1"})
    book.add_chartsheet("Chart").set_chart(chart)
    book.close()
    held = container(buffer.getvalue())
    with zipfile.ZipFile(io.BytesIO(held.data)) as archive, pytest.raises(UnusualError):
        plain_sheets(held, archive)
    assert [grid.sheet for grid in read_workbook(held).visible] == ["Readings"]


def test_what_is_struck_out_is_no_value() -> None:
    """A cell with a line through it is for the teacher; of a cell struck out in part the rest is what was meant."""
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    sheet["A1"], sheet["B1"], sheet["C1"] = 973, "973", "974"
    sheet["A1"].font = sheet["B1"].font = Font(strike=True)
    struck = TextBlock(InlineFont(strike=True), "468 ")
    sheet["D1"] = CellRichText(struck, TextBlock(InlineFont(b=True), "957"))
    sheet["E1"] = CellRichText(struck)
    held = io.BytesIO()
    book.save(held)
    with zipfile.ZipFile(held) as archive, pytest.raises(UnusualError):
        plain_sheets(container(held.getvalue()), archive)
    ((row,),) = [grid.rows.values() for grid in read_workbook(container(held.getvalue())).visible]
    read = {column: (one.stored, one.text, one.remark) for column, one in row.items() if isinstance(one, SheetValue)}
    assert read == {
        1: (Stored.STRUCK, "973", ""),
        2: (Stored.STRUCK, "973", ""),
        4: (Stored.TEXT, "957", 'beside it "468" is struck out'),
        5: (Stored.STRUCK, "468", ""),
    }
    assert row[3] == "974"


def test_a_struck_entry_is_for_the_teacher(tmp_path: Path) -> None:
    """It was given and taken back: no number, and no blank that is lost in silence."""
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    sheet.append(["student", "m / kg", "T_start / °C", "T_end / °C", "E / J", "c"])
    sheet.append(["A01", "0.998", "20.5", "41.5", "20400", "973"])
    sheet["F2"].font = Font(strike=True)
    book.save(tmp_path / "class.xlsx")
    (one,) = read_inputs([tmp_path / "class.xlsx"], load_catalogue(), practical="specific-heat-block")
    (work,) = one.write_ups
    assert (work.singles["c"].state, work.singles["c"].notes) == (State.UNREADABLE, ("struck out",))
    assert any("struck out" in remark.message for remark in one.remarks)
