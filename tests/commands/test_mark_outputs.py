from __future__ import annotations

import csv
import hashlib
import json
from pathlib import Path

import openpyxl
from pypdf import PdfReader

from marking.findings import Cause
from marking.intake.people.rosters import read_roster
from marking.version import VERSION
from rubrics.load import load_catalogue
from tests.commands.running import SAMPLES, run_here
from tests.commands.tidy_class import write_class

FINDINGS_HEADER = (
    "student,practical,item,row,criterion,outcome,marks,out_of,entry,unit,expected,basis,cause,detail,confidence,"
    "alternatives,source,message"
)
NOTES_HEADER = "kind,practical,bench,students,item,direction,factor,chance,message"
FILES = {"class-notes.csv", "class-summary.pdf", "feedback", "findings.csv", "marks.xlsx", "run.json"}


def _codes(sample: str) -> list[str]:
    return [student.code for student in read_roster(SAMPLES / sample / "roster.csv").students]


def _lines(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _text(path: Path) -> str:
    return "\n".join(page.extract_text() for page in PdfReader(path).pages)


def test_results_hold_the_promised_files(results: Path) -> None:
    """A run leaves the files of the manual, and no others."""
    assert {path.name for path in results.iterdir()} == FILES


def test_every_student_has_a_sheet(results: Path, sample: str) -> None:
    """Each student of the roster has a PDF under their code, and nobody else has one."""
    assert sorted(path.name for path in (results / "feedback").iterdir()) == [f"{code}.pdf" for code in _codes(sample)]


def test_a_sheet_is_about_its_student(results: Path, sample: str) -> None:
    """The code on a sheet is the student's, and no sheet names another student of the class."""
    codes = _codes(sample)
    for code in codes[:4]:
        text = _text(results / "feedback" / f"{code}.pdf")
        assert code in text
        assert not [other for other in codes if other != code and other in text]


def test_findings_have_the_promised_header(results: Path) -> None:
    """Scripts that read the findings find each column under its name, in order."""
    assert (results / "findings.csv").read_text(encoding="utf-8").splitlines()[0] == FINDINGS_HEADER


def test_notes_have_the_promised_header(results: Path) -> None:
    """Scripts that read the class notes find each column under its name, in order."""
    assert (results / "class-notes.csv").read_text(encoding="utf-8").splitlines()[0] == NOTES_HEADER


def test_every_student_is_in_the_findings(results: Path, sample: str) -> None:
    """Nobody is lost between the roster and the findings, and nobody comes from nowhere."""
    assert {line["student"] for line in _lines(results / "findings.csv")} == set(_codes(sample))


def test_findings_keep_to_their_words(results: Path) -> None:
    """Outcomes and causes are the stable words of the manual; a confidence is a probability."""
    for line in _lines(results / "findings.csv"):
        assert line["outcome"] in ("awarded", "withheld", "for-teacher")
        assert line["basis"] in ("own-readings", "carried-forward", "")
        assert line["cause"] in set(Cause)
        assert line["message"]
        if line["confidence"]:
            assert 0 <= float(line["confidence"]) <= 1


def test_marks_of_the_findings_add_up(results: Path) -> None:
    """For each student, out_of adds up to the marks of the criteria that apply, and no criterion counts twice."""
    out_of: dict[str, dict[str, int]] = {}
    for line in _lines(results / "findings.csv"):
        of_student = out_of.setdefault(line["student"], {})
        if int(line["out_of"]):
            assert line["criterion"] not in of_student
            of_student[line["criterion"]] = int(line["out_of"])
    rubric = load_catalogue()[_lines(results / "findings.csv")[0]["practical"]]
    totals = {sum(c.marks for c in rubric.criteria if not c.when or word in c.when) for word in _selections(rubric.id)}
    assert {sum(one.values()) for one in out_of.values()} <= totals


def _selections(practical: str) -> tuple[str, ...]:
    rubric = load_catalogue()[practical]
    return tuple(choice.word for choice in rubric.items[rubric.selector].choices) if rubric.selector else ("",)


def test_every_student_is_in_the_marks_workbook(results: Path, sample: str) -> None:
    """Each student of the roster has a row of marks, absent ones too."""
    sheet = openpyxl.load_workbook(results / "marks.xlsx").worksheets[0]
    shown = {str(cell.value) for row in sheet.iter_rows() for cell in row}
    assert set(_codes(sample)) <= shown


def test_no_cell_of_the_marks_workbook_is_a_formula(results: Path) -> None:
    """Whatever students typed, the workbook computes nothing."""
    book = openpyxl.load_workbook(results / "marks.xlsx")
    assert not [c for sheet in book for row in sheet.iter_rows() for c in row if c.data_type == "f"]


def test_summary_names_those_without_work(results: Path) -> None:
    """The teacher reads in the summary who handed nothing in."""
    text = _text(results / "class-summary.pdf")
    lines = _lines(results / "findings.csv")
    # A line without a criterion may also be about what no criterion pays for; who is missing has no other line.
    marked = {line["student"] for line in lines if line["criterion"]}
    missing = [line["student"] for line in lines if line["student"] not in marked]
    assert missing
    assert not [code for code in missing if code not in text]


def test_account_tells_what_was_read(results: Path, sample: str) -> None:
    """run.json names the files that were read with their SHA-256, the rubric's edition, the program and the counts."""
    account = json.loads((results / "run.json").read_text(encoding="utf-8"))
    read = {Path(one["name"]).name: one["sha256"] for one in account["read"]}
    there = {path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in (SAMPLES / sample).iterdir()}
    assert read == there
    assert account["program"] == {"name": "writeups", "version": VERSION}
    (rubric,) = account["rubrics"]
    assert rubric["edition"] == load_catalogue()[rubric["id"]].edition
    (counts,) = account["counts"]
    assert counts["students"] == len(_codes(sample))
    assert counts["findings"] == len(_lines(results / "findings.csv"))


FORMULAS = ["=1+1", '=HYPERLINK("http://example.org","x")', "+1+1", "@SUM(A1)", "-2+3", "\t=1+1"]


def test_what_looks_like_a_formula_stays_text(tmp_path: Path) -> None:
    """A formula typed as a code, a unit or an entry is shown and never worked out."""
    path = write_class(tmp_path / "10A.csv", FORMULAS)
    lines = [(typed, "1", "specific-heat-block", item, "", typed, typed) for typed in FORMULAS for item in ("c", "dT")]
    with path.open("a", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(lines)
    assert run_here("mark", str(path), "--out", str(tmp_path / "results")).status == 1
    book = openpyxl.load_workbook(tmp_path / "results" / "marks.xlsx")
    cells = [c for sheet in book for row in sheet.iter_rows() for c in row]
    assert not [c for c in cells if c.data_type == "f"]
    assert {typed.strip() for typed in FORMULAS} <= {str(c.value).strip() for c in cells}


def test_json_is_for_scripts(tmp_path: Path) -> None:
    """With --json the account comes as one JSON object, and the list of what needs attention is in it."""
    done = run_here("mark", str(SAMPLES / "wire-resistance"), "--out", str(tmp_path / "results"), "--json")
    told = json.loads(done.out)
    assert done.status == 1
    assert done.err == ""
    assert told["out"] == str(tmp_path / "results")
    assert any("A15" in line for line in told["attention"])
    assert told["counts"][0]["practical"] == "wire-resistance"
