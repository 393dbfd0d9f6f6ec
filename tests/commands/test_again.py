"""Work handed in a second time: both versions kept, the change told."""

from __future__ import annotations

import csv
import json
from importlib import resources
from pathlib import Path

import openpyxl
import pytest
from pypdf import PdfReader

from marking.__main__ import main
from reports.student.feedback_columns import MOST_CHANGED
from tests.commands.tidy_class import WRITE_UP

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


def block(path: Path, **answers: tuple[str, str]) -> Path:
    """Write one sound write-up of another practical as tidy CSV, with *answers* in place of its own."""
    own = {item: (entry, unit) for item, entry, unit in WRITE_UP} | answers
    lines = [f"B1,1,specific-heat-block,{item},,{entry},{unit}" for item, (entry, unit) in own.items()]
    path.write_text("\n".join([HEAD, *lines]), encoding="utf-8")
    return path


SLIPS = {"dT": ("25", "°C"), "c": ("0.997", "J/kg°C")}
"""40.0 less 19.5 is 20.5; and c is a thousand times too small."""


def marked_again(folder: Path, *more: str, is_worse: bool = False) -> Path:
    """Mark one student who mended two answers, or spoiled them; return the folder of results."""
    first, second = ({}, SLIPS) if is_worse else (SLIPS, {})
    inputs = [str(block(folder / "one.csv", **first)), "--again", str(block(folder / "two.csv", **second))]
    assert main(["mark", *inputs, "--out", str(folder / "out"), *more]) in (0, 1)
    return folder / "out"


def changes_of(results: Path) -> dict[str, tuple[object, object]]:
    """Return the marks before and after of each line of the teacher's sheet."""
    lines = openpyxl.load_workbook(results / "marks.xlsx")["Resubmitted"].iter_rows(min_row=2, values_only=True)
    return {str(line[2]): (line[3], line[4]) for line in lines if line[1]}


def told_as_changed(results: Path) -> str:
    """Return what the student reads on what has changed."""
    return text(results, "B1").partition("What has changed")[2].partition("Your marks")[0]


def test_what_stands_now_is_said(tmp_path: Path) -> None:
    """Criteria that are settled now are said to stand, also where a teacher had still to decide the first version."""
    results = marked_again(tmp_path)
    changed = changes_of(results)
    before, after = changed.pop("total")
    assert isinstance(before, int)
    assert isinstance(after, int)
    assert after > before
    assert {now for _, now in changed.values()} == {1}
    assert None in {was for was, _ in changed.values()}
    told = told_as_changed(results)
    assert told.count("this stands now") == min(len(changed), MOST_CHANGED)
    assert "your teacher decides" not in told


def test_what_stood_before_is_said_kindly(tmp_path: Path) -> None:
    """Criteria that no longer stand are to be looked at again; what is open now is the teacher's."""
    results = marked_again(tmp_path, is_worse=True)
    changed = changes_of(results)
    lost = [code for code, (_, now) in changed.items() if code != "total" and now == 0]
    assert lost
    told = told_as_changed(results)
    assert told.count("this stood before. Look at it again") == len(lost)
    assert "this stands now" not in told
    assert "your teacher decides" in told


def test_hidden_marks_stay_hidden(tmp_path: Path) -> None:
    """What has changed is told without a figure."""
    told = told_as_changed(marked_again(tmp_path, "--marks", "hidden"))
    assert "this stands now" in told
    assert "mark" not in told


def test_the_roster_holds_for_both_versions(tmp_path: Path) -> None:
    """A code of the roster stands beside the second version too, but nobody with work is absent or there twice."""
    roster = tmp_path / "roster.csv"
    roster.write_text("student,name,mark code\nB1,Tarn Example,AB LATE\n", encoding="utf-8")
    sheet = openpyxl.load_workbook(marked_again(tmp_path, "--roster", str(roster)) / "marks.xlsx")["Marks"]
    (line,) = [line for line in sheet.iter_rows(min_row=2, values_only=True) if line[1]]
    assert line[1] == "Tarn Example"
    assert line[-1] == "LATE"


def test_an_edition_is_compared_on_the_same_version(tmp_path: Path) -> None:
    """What a student mended is no change of the rubric."""
    rubric = resources.files("rubrics.catalogue").joinpath("specific-heat-block.toml")
    results = marked_again(tmp_path, "--compare", str(rubric))
    assert rows(results / "changes.csv") == []


def test_mended_answers_may_come_alone(tmp_path: Path) -> None:
    """Who hands in only what was mended keeps the readings of the first version, and loses nothing."""
    first = block(tmp_path / "one.csv", **SLIPS)
    own = {item: (entry, unit) for item, entry, unit in WRITE_UP}
    lines = [f"B1,1,specific-heat-block,{item},,{own[item][0]},{own[item][1]}" for item in SLIPS]
    second = tmp_path / "two.csv"
    second.write_text("\n".join([HEAD, *lines]), encoding="utf-8")
    assert main(["mark", str(first), "--again", str(second), "--out", str(tmp_path / "alone")]) in (0, 1)
    whole = tmp_path / "whole"
    whole.mkdir()
    assert changes_of(tmp_path / "alone") == changes_of(marked_again(whole))
