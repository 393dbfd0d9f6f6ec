"""Work handed in a second time: both versions kept, the change told."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import openpyxl
import pytest
from pypdf import PdfReader

from marking.__main__ import main

HEAD = "student,bench,practical,item,row,entry,unit"
RIGHT, WRONG = ("13.8", "Ω"), ("2.76", "Ω")
READINGS = {"V_1": ("2.00", "V"), "I_1": ("0.145", "A"), "V_2": ("2.10", "V"), "I_2": ("0.062", "A")}


def file(path: Path, answers: dict[str, dict[str, tuple[str, str]]]) -> Path:
    """Write the readings and *answers* of some students as tidy CSV."""
    lines = [HEAD]
    for student, given in answers.items():
        for item, (entry, unit) in {**(READINGS if given else {}), **given}.items():
            lines.append(f"{student},1,resistor-combinations,{item},,{entry},{unit}")
        if not given:
            lines.append(f"{student},1,resistor-combinations,,,,")
    path.write_text("\n".join(lines), encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def results(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the results of four students: one who mended, one who spoiled, one who did nothing, one late."""
    folder = tmp_path_factory.mktemp("again")
    four = {"R_1": RIGHT, "R_2": ("33.9", "Ω")}
    first = {"A1": {**four, "R_1": WRONG}, "A2": four, "A3": four, "A4": {}}
    second = {"A1": four, "A2": {**four, "R_1": WRONG}, "A4": four}
    out = folder / "out"
    arguments = [str(file(folder / "one.csv", first)), "--again", str(file(folder / "two.csv", second))]
    assert main(["mark", *arguments, "--out", str(out)]) in (0, 1)
    return out


def rows(path: Path) -> list[dict[str, str]]:
    """Return the lines of a CSV file."""
    with path.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def text(results: Path, student: str) -> str:
    """Return the words of a student's sheet."""
    pages = PdfReader(results / "feedback" / f"{student}.pdf").pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def test_the_second_version_counts(results: Path) -> None:
    """Findings are of what came in last; nobody is lost."""
    given = {(one["student"], one["item"]): one["entry"] for one in rows(results / "findings.csv") if one["entry"]}
    assert {student: given[student, "R_1"] for student in ("A1", "A2", "A3", "A4")} == {
        "A1": "13.8",
        "A2": "2.76",
        "A3": "13.8",
        "A4": "13.8",
    }


def test_the_first_version_is_kept(results: Path) -> None:
    """What was handed in before stands beside it, of those who handed in twice."""
    kept = {(one["student"], one["entry"]) for one in rows(results / "first-versions.csv") if one["item"] == "R_1"}
    assert {student for student, _ in kept} == {"A1", "A2"}
    assert ("A1", "2.76") in kept
    account = json.loads((results / "run.json").read_text(encoding="utf-8"))
    assert [one["name"] for one in account["read"]] == ["one.csv", "two.csv"]


def test_the_teacher_sees_what_changed(results: Path) -> None:
    """One line a criterion, and the totals."""
    sheet = openpyxl.load_workbook(results / "marks.xlsx")["Resubmitted"]
    lines = [line[:5] for line in sheet.iter_rows(min_row=2, values_only=True) if line[1]]
    assert ("A1", "resistor-combinations", "P1", 0, 0) not in lines
    totals = {line[0]: line[3:5] for line in lines if line[2] == "total"}
    assert set(totals) == {"A1", "A2"}


def test_the_student_reads_what_changed(results: Path) -> None:
    """Those who handed in twice are told, the others are not."""
    assert "What has changed" in text(results, "A1")
    assert "What has changed" in text(results, "A2")
    assert "What has changed" not in text(results, "A3")
    assert "What has changed" not in text(results, "A4")


def test_nothing_more_without_a_second_version(tmp_path: Path) -> None:
    """No file and no sheet of versions where nothing came in again."""
    path = file(tmp_path / "one.csv", {"A1": {"R_1": RIGHT}})
    main(["mark", str(path), "--out", str(tmp_path / "out")])
    assert not (tmp_path / "out" / "first-versions.csv").exists()
    assert "Resubmitted" not in openpyxl.load_workbook(tmp_path / "out" / "marks.xlsx").sheetnames
