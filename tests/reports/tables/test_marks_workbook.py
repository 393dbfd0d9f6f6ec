"""marks.xlsx: marks, open marks, and text that stays text."""

from __future__ import annotations

import zipfile
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from msgspec.structs import replace

from marking.findings import MarkedSet, Script
from reports.tables.findings_csv import FINDING_COLUMNS
from reports.tables.marks_workbook import write_marks_workbook
from tests.reports.invented import (
    a_student,
    heat_set,
    nothing_in,
    wire_script,
    wire_set,
)
from tests.reports.invented_practicals import RUBRICS, WIRE

SHEETS = ["Marks", "Findings", "By criterion", "Item statistics", "Input remarks", "Task answers", "Ticks"]


def rows_of(path: Path, sheet: str) -> list[tuple[Any, ...]]:
    """Return the cells of one sheet, row by row."""
    return list(openpyxl.load_workbook(path)[sheet].iter_rows(values_only=True))


def written(tmp_path: Path, *scripts: Script) -> Path:
    """Write a workbook of *scripts* of the wire practical."""
    path = tmp_path / "marks.xlsx"
    write_marks_workbook(path, [MarkedSet(rubric=RUBRICS[WIRE], scripts=scripts, remarks=(), sources=())])
    return path


def test_sheets_stand_in_their_order(tmp_path: Path) -> None:
    """Marks come first."""
    write_marks_workbook(tmp_path / "marks.xlsx", [wire_set(), heat_set()])
    assert openpyxl.load_workbook(tmp_path / "marks.xlsx").sheetnames == SHEETS


def test_an_open_mark_is_empty_and_a_lost_one_is_nought(tmp_path: Path) -> None:
    """Blank and zero are never mixed, and the totals say how much is open."""
    rows = rows_of(written(tmp_path, wire_script(a_student("S001", "Ada Example"), wrong=True)), "Marks")
    row = dict(zip(rows[0], rows[1], strict=True))
    assert (row["student"], row["name"], row["F1"], row["G4"], row["G5"]) == ("S001", "Ada Example", 0, None, 1)
    assert (row["marks so far"], row["teacher decides"], row["out of"]) == (2, 3, 11)


def test_a_student_without_a_write_up_is_listed_without_marks(tmp_path: Path) -> None:
    """Nobody is lost, and nobody gets a silent nought."""
    rows = rows_of(written(tmp_path, nothing_in(a_student("S001"))), "Marks")
    row = dict(zip(rows[0], rows[1], strict=True))
    assert row.pop("student") == "S001"
    assert row.pop("practical") == WIRE
    assert row.pop("bench") == "1"
    assert set(row.values()) == {None}


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        pytest.param("=1+1", "=1+1", id="formula"),
        pytest.param("{=1+1}", "{=1+1}", id="array formula"),
        pytest.param("+1", "+1", id="plus"),
        pytest.param("#N/A", "#N/A", id="error"),
        pytest.param("http://x.example", "http://x.example", id="link"),
        pytest.param("_x0041_", "_x0041_", id="like an escape"),
        pytest.param("a\x00b\x1f", "a\ufffdb\ufffd", id="control characters"),
        pytest.param("a\ufffe\ud800", "a\ufffd\ufffd", id="what XML cannot hold"),
    ],
)
def test_text_stays_text(tmp_path: Path, name: str, shown: str) -> None:
    """No cell is a formula, an error or a link, and the workbook opens again."""
    path = written(tmp_path, wire_script(a_student("S001", name)))
    sheet = openpyxl.load_workbook(path)["Marks"]
    cell = sheet["B2"]
    assert (cell.value.replace("_x005F_", "_"), cell.data_type) == (shown, "s")
    assert cell.hyperlink is None


def test_no_sheet_holds_a_formula(tmp_path: Path) -> None:
    """There is not one formula element in the file."""
    script = wire_script(a_student("=A1", "=B1", bench="=C1"))
    findings = [replace(finding, entry="=1+1", unit="@x") for finding in script.findings]
    path = written(tmp_path, replace(script, findings=tuple(findings)))
    with zipfile.ZipFile(path) as book:
        sheets = [name for name in book.namelist() if name.startswith("xl/worksheets/")]
        assert sheets
        assert not any(b"<f>" in book.read(name) or b"<f " in book.read(name) for name in sheets)


def test_a_very_long_text_is_cut_not_lost(tmp_path: Path) -> None:
    """A text beyond what a cell holds is still there, with a mark."""
    rows = rows_of(written(tmp_path, wire_script(a_student("S001", "x" * 40_000))), "Marks")
    assert rows[1][1].startswith("xxx")
    assert rows[1][1].endswith("(cut)")


def test_findings_have_the_columns_of_the_csv(tmp_path: Path) -> None:
    """The workbook and the CSV tell the same, numbers as numbers."""
    script = wire_script(a_student("S001"), wrong=True)
    rows = rows_of(written(tmp_path, script), "Findings")
    assert rows[0] == FINDING_COLUMNS
    assert len(rows) == 1 + len(script.findings)
    wrong = next(dict(zip(rows[0], row, strict=True)) for row in rows if row[12] == "rearrangement")
    assert (wrong["row"], wrong["confidence"], wrong["expected"]) == (1, 0.93, "0.6")


def test_answers_of_the_tasks_are_for_the_teacher(tmp_path: Path) -> None:
    """Every question on a sheet has its answer here."""
    rows = rows_of(written(tmp_path, wire_script(a_student("S001"), wrong=True)), "Task answers")
    assert [row[2] for row in rows[1:]] == ["rearrangement"] * 2
    assert all(row[5] for row in rows[1:])


def test_panes_are_frozen_and_pages_are_set_up(tmp_path: Path) -> None:
    """Heads stay in sight on the screen and are repeated on paper."""
    book = openpyxl.load_workbook(written(tmp_path, wire_script(a_student("S001"))))
    assert book["Marks"].freeze_panes == "C2"
    for sheet in book:
        assert sheet.print_title_rows == "$1:$1"
        assert sheet.page_setup.orientation == "landscape"
