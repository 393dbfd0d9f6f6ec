"""findings.csv and class-notes.csv: columns, order, and cells that no program takes for a formula."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from marking.class_notes import ClassNote, NoteKind
from marking.findings import MarkedSet, Outcome
from reports.tables.findings_csv import (
    _TEXTS,
    FINDING_COLUMNS,
    cell_text,
    csv_cell,
    finding_cells,
    finding_line,
    write_class_notes_csv,
    write_findings_csv,
)
from tests.reports.invented import (
    GRAMS,
    KILOJOULES,
    a_finding,
    a_student,
    heat_set,
    wire_script,
    wire_set,
)
from tests.reports.invented_practicals import RUBRICS, WIRE

COLUMNS = (
    "student,practical,item,row,criterion,outcome,marks,out_of,entry,unit,expected,basis,"
    "cause,detail,confidence,alternatives,source,message"
)


def test_the_columns_are_those_that_scripts_rely_on(tmp_path: Path) -> None:
    """The header never changes."""
    write_findings_csv(tmp_path / "f.csv", [])
    write_class_notes_csv(tmp_path / "n.csv", [])
    assert (tmp_path / "f.csv").read_bytes() == (COLUMNS + "\n").encode()
    head = b"kind,practical,bench,students,item,direction,factor,chance,message\n"
    assert (tmp_path / "n.csv").read_bytes() == head


def test_a_finding_is_one_line_of_the_table() -> None:
    """Each column holds its part, numbers in their form."""
    finding = a_finding(
        "wrong-value",
        expected=7.5000001,
        explanations=(GRAMS, KILOJOULES),
        facts={"quantity": "resistance, row 3", "wrote": "0.133 Ω", "expected": "7.5 Ω"},
    )
    cells = dict(zip(FINDING_COLUMNS, finding_cells(finding), strict=True))
    assert json.loads(cells.pop("alternatives")) == [
        {"cause": "unit-conversion", "detail": "E: kJ for J", "probability": 0.44}
    ]
    assert cells == {
        "student": "S001",
        "practical": "wire-resistance",
        "item": "R",
        "row": "3",
        "criterion": "F1",
        "outcome": "withheld",
        "marks": "0",
        "out_of": "1",
        "entry": "0.133",
        "unit": "Ω",
        "expected": "7.5",
        "basis": "",
        "cause": "unit-conversion",
        "detail": "m: g for kg",
        "confidence": "0.96",
        "source": "7B.xlsx, Results!D7",
        "message": (
            "Resistance, row 3: you wrote 0.133 Ω. Your readings lead to 7.5 Ω. Your answer is 1000 times too small. "
            "Two things could do this: mass put in as g, or energy put in as kJ. Check both."
        ),
    }


@pytest.mark.parametrize(
    ("kept", "column", "shown"),
    [
        pytest.param({"marks": None, "outcome": Outcome.FOR_TEACHER}, "marks", "", id="open mark is empty, not 0"),
        pytest.param({"marks": 0}, "marks", "0", id="nought is 0"),
        pytest.param({"row": None}, "row", "", id="no row"),
        pytest.param({"expected": 997.1161}, "expected", "997.116", id="six figures"),
        pytest.param({"expected": 4.9e-7}, "expected", "4.9e-07", id="small"),
        pytest.param({"expected": float("inf")}, "expected", "", id="no finite value"),
        pytest.param({"source": None}, "source", "", id="no place"),
        pytest.param({}, "cause", "none", id="nothing wrong"),
        pytest.param({}, "confidence", "", id="nothing to be sure of"),
        pytest.param({}, "alternatives", "", id="no alternatives"),
    ],
)
def test_a_cell_without_a_value_is_empty(kept: dict[str, object], column: str, shown: str) -> None:
    """Blank and zero are never mixed."""
    cells = dict(zip(FINDING_COLUMNS, finding_cells(a_finding("right", **kept)), strict=True))
    assert cells[column] == shown


@pytest.mark.parametrize(
    ("raw", "cell"),
    [
        pytest.param('=HYPERLINK("x")', '\'=HYPERLINK("x")', id="equals"),
        pytest.param("+1+1", "'+1+1", id="plus"),
        pytest.param("-1+cmd", "'-1+cmd", id="minus"),
        pytest.param("@SUM(A1)", "'@SUM(A1)", id="at"),
        pytest.param("\t=1+1", "' =1+1", id="tab"),
        pytest.param("\n=1+1", "' =1+1", id="line end"),
        pytest.param("  =1+1", "'  =1+1", id="spaces before"),
        pytest.param("＝1+1", "'＝1+1", id="full width"),
        pytest.param("-4.5", "-4.5", id="a negative reading stays a number"),
        pytest.param("+2", "+2", id="a signed reading stays a number"),
        pytest.param("-1.2e-7", "-1.2e-7", id="a power of ten stays a number"),
        pytest.param("−4.5", "−4.5", id="a printed minus is no formula"),
        pytest.param("0.50", "0.50", id="as written"),
        pytest.param("a\x00b\x1bc", "a\ufffdb\ufffdc", id="control characters"),
        pytest.param("\ud800", "\ufffd", id="half a pair"),
        pytest.param("two\r\nlines", "two  lines", id="one line a cell"),
    ],
)
def test_no_cell_is_taken_for_a_formula(raw: str, cell: str) -> None:
    """Text that a spreadsheet program would run gets an apostrophe; numbers stay as they were written."""
    assert csv_cell(raw) == cell


@settings(deadline=None, max_examples=40)
@given(st.lists(st.text(max_size=8) | st.sampled_from(('"', ",", "a, b", '"a"', "=1", "é")), min_size=18, max_size=18))
def test_a_line_is_what_the_csv_module_writes(row: list[str]) -> None:
    """Sign by sign, and read back it holds the same cells."""
    safe = [csv_cell(cell) if place in _TEXTS else f"{place}" for place, cell in enumerate(row)]
    written = io.StringIO(newline="")
    csv.writer(written, lineterminator="\n").writerow(safe)
    line = finding_line([cell if place in _TEXTS else f"{place}" for place, cell in enumerate(row)])
    assert line == written.getvalue()
    assert list(csv.reader([line])) == [safe]


@pytest.mark.parametrize(("length", "is_cut"), [(32_000, False), (32_001, True)])
def test_a_cell_fits_into_a_spreadsheet(length: int, is_cut: bool) -> None:
    """A text is cut with a mark before a spreadsheet program cuts it without one."""
    assert cell_text("7" * length).endswith("(cut)") is is_cut


def test_lines_stand_by_student_then_practical_then_rubric(tmp_path: Path) -> None:
    """A student's findings stand together, in the rubric's order, whatever order they were found in."""
    sets = [wire_set(6), heat_set(6)]
    shuffled = [replace(m, scripts=tuple(replace(s, findings=s.findings[::-1]) for s in m.scripts)) for m in sets]
    write_findings_csv(tmp_path / "a.csv", sets)
    write_findings_csv(tmp_path / "b.csv", shuffled)
    assert (tmp_path / "a.csv").read_bytes() == (tmp_path / "b.csv").read_bytes()
    rows = list(csv.DictReader((tmp_path / "a.csv").open(encoding="utf-8")))
    codes = [criterion.code for criterion in RUBRICS[WIRE].criteria]
    keys = [(row["student"], row["practical"] != WIRE) for row in rows]
    assert keys == sorted(keys)
    first = [row for row in rows if row["student"] == "S001" and row["practical"] == WIRE]
    order = [(codes.index(row["criterion"]), int(row["row"] or 0)) for row in first if row["item"] in ("R", "gradient")]
    assert order == sorted(order)


def test_marks_of_a_table_add_up_to_the_script(tmp_path: Path) -> None:
    """Each finding is a line, and every line of the input is there."""
    script = wire_script(a_student("S001"))
    write_findings_csv(tmp_path / "f.csv", [MarkedSet(rubric=RUBRICS[WIRE], scripts=(script,), remarks=(), sources=())])
    rows = list(csv.DictReader((tmp_path / "f.csv").open(encoding="utf-8")))
    assert len(rows) == len(script.findings)


def test_a_note_is_one_line(tmp_path: Path) -> None:
    """Codes and items are joined with semicolons, missing numbers are empty."""
    note = ClassNote(
        kind=NoteKind.BENCH,
        practical=WIRE,
        bench="4",
        students=("S001", "S002"),
        items=("V",),
        direction="high",
        factor=1.0523,
        chance=0.00123,
        message="=Bench 4",
    )
    write_class_notes_csv(tmp_path / "n.csv", [note, replace(note, factor=None, chance=None, direction="")])
    lines = (tmp_path / "n.csv").read_text(encoding="utf-8").splitlines()
    assert lines[1] == "bench,wire-resistance,4,S001;S002,V,high,1.052,0.00123,'=Bench 4"
    assert lines[2] == "bench,wire-resistance,4,S001;S002,V,,,,'=Bench 4"
