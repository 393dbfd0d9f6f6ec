"""A department's classes marked in one command: each as if alone, all of them beside each other on one paper."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest
from pypdf import PdfReader

from tests.commands.running import SAMPLES, files_in, run, run_here
from tests.commands.tidy_class import write_class

BLOCK = "specific-heat-block"


@pytest.fixture(scope="module")
def school(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with a department's list, its classes, and what came of marking them."""
    folder = tmp_path_factory.mktemp("school")
    (folder / "10B").mkdir()
    write_class(folder / "10A.csv", ("S1", "S2"))
    write_class(folder / "10B" / "10B.csv", ("T1", "T2", "T3"))
    (folder / "10B" / "cuboid.csv").write_bytes(_cuboid())
    (folder / "broken.xlsx").write_bytes(b"PK\x03\x04 no workbook")
    lines = ["marker,class,set", "Ms Vane,10A,10A.csv", "Mr Orrin,10B,10B", "Mr Orrin,10C,broken.xlsx"]
    (folder / "department.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    done = run_here("mark", "--department", str(folder / "department.csv"), "--out", str(folder / "year"))
    assert done.status == 1
    (folder / "said.txt").write_text(done.out + done.err, encoding="utf-8")
    return folder


def _cuboid() -> bytes:
    rows = ["student,bench,practical,item,row,entry,unit"]
    for who in ("T1", "T2", "T3"):
        for item, entry, unit in (("l", "4.00", "cm"), ("w", "3.00", "cm"), ("h", "2.00", "cm"), ("m", "64.8", "g")):
            rows.append(f"{who},1,density-cuboid,{item},,{entry},{unit}")
        rows += [f"{who},1,density-cuboid,V,,24.0,cm³", f"{who},1,density-cuboid,rho,,2.70,g/cm³"]
    return ("\n".join(rows) + "\n").encode()


def test_each_class_is_marked_as_if_alone(school: Path, tmp_path: Path) -> None:
    """Byte for byte, the account of the run among it."""
    for name, given in (("10A", "10A.csv"), ("10B", "10B")):
        assert run_here("mark", str(school / given), "--out", str(tmp_path / name)).status in (0, 1)
        assert files_in(school / "year" / name) == files_in(tmp_path / name)


def test_a_class_that_cannot_be_read_costs_that_class(school: Path) -> None:
    """It has no folder; terminal, paper and account say why."""
    assert not (school / "year" / "10C").exists()
    account = json.loads((school / "year" / "department" / "run.json").read_text(encoding="utf-8"))
    assert [(one["class"], one["status"]) for one in account["classes"]] == [("10A", 0), ("10B", 0), ("10C", 2)]
    assert "broken.xlsx" in account["classes"][2]["unread"]
    assert "Not marked" in (school / "said.txt").read_text(encoding="utf-8")
    assert "10C (Mr Orrin)" in _paper(school)


def _paper(school: Path) -> str:
    pages = PdfReader(school / "year" / "department" / "department-summary.pdf").pages
    return " ".join(" ".join(page.extract_text().split()) for page in pages)


def test_the_paper_has_every_class_and_no_student(school: Path) -> None:
    """Practical by practical, with who marked; codes of students stay in the classes' own folders."""
    said = _paper(school)
    assert "3 classes, 8 write-ups marked" in said
    for word in ("10A", "10B", "Ms Vane", "Mr Orrin"):
        assert word in said
    assert not [code for code in ("S1", "S2", "T1", "T2", "T3") if code in said]


def test_criteria_add_up_to_the_marks_of_the_classes(school: Path) -> None:
    """The table of all classes holds what the findings of each class come to."""
    with (school / "year" / "department" / "criteria.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    for name in ("10A", "10B"):
        with (school / "year" / name / "findings.csv").open(encoding="utf-8", newline="") as file:
            given = sum(int(row["marks"]) for row in csv.DictReader(file) if row["marks"])
        assert sum(int(row["awarded"]) for row in rows if row["class"] == name) == given > 0
    assert {row["practical"] for row in rows if row["class"] == "10B"} == {BLOCK, "density-cuboid"}


def test_one_criterion_again_by_another_edition(school: Path, tmp_path: Path) -> None:
    """Who changes stands beside what the results say; the results themselves stay as they are."""
    before = files_in(school / "year" / "10A")
    text = Path("rubrics/catalogue/specific-heat-block.toml").read_text(encoding="utf-8")
    edition = tmp_path / "next.toml"
    edition.write_text(_with_two_marks(text), encoding="utf-8")
    words = ("mark", "--department", str(school / "department.csv"), "--out", str(school / "year"))
    done = run_here(*words, "--criterion", "P2", "--practical", BLOCK, "--rubric", str(edition))
    assert "5 marks, 5 known before, 5 of them now other" in done.out
    with (school / "year" / "criterion-P2" / "marked-again.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert [(row["class"], row["student"], row["before"], row["now"], row["out_of"]) for row in rows[:2]] == [
        ("10A", "S1", "1", "2", "2"),
        ("10A", "S2", "1", "2", "2"),
    ]
    assert files_in(school / "year" / "10A") == before
    assert (school / "year" / "department" / "department-summary.pdf").exists()


def _with_two_marks(text: str) -> str:
    """Return the rubric with a criterion that pays twice as much."""
    assert text.count('code = "P2"\n') == 1
    return text.replace('code = "P2"\n', 'code = "P2"\nmarks = 2\n')


@pytest.mark.campaign
def test_several_processes_write_the_same_bytes(tmp_path: Path) -> None:
    """Whoever marks a class, it is the same class."""
    list_of = SAMPLES / "department" / "department.csv"
    for workers in ("1", "2"):
        words = ("mark", "--department", str(list_of), "--out", str(tmp_path / workers), "--workers", workers)
        assert run(*words).status in (0, 1)
    assert files_in(tmp_path / "1") == files_in(tmp_path / "2")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("samples/density-cuboid", "--department", "d.csv"), "the list says what is marked"),
        (("--department", "d.csv", "--preview", "2"), "is about one class"),
        (("--department", "d.csv", "--class", "10A"), "is about one class"),
        (("--department", "d.csv", "--criterion", "Q77"), "no practical has a criterion Q77"),
        (("samples/density-cuboid", "--criterion", "P1"), "goes through the classes of a list"),
        ((), "nothing to mark was named"),
    ],
)
def test_what_does_not_go_together_is_refused(words: tuple[str, ...], said: str, tmp_path: Path) -> None:
    """One line says what to do; nothing is written."""
    (tmp_path / "10A.csv").write_text("student,practical,item,entry\n", encoding="utf-8")
    (tmp_path / "d.csv").write_text("marker,class,set\nMs Vane,10A,10A.csv\n", encoding="utf-8")
    given = [str(tmp_path / word) if word == "d.csv" else word for word in words]
    done = run_here("mark", *given, "--out", str(tmp_path / "out"))
    assert (done.status, len(done.err.splitlines())) == (2, 1)
    assert said in done.err
    assert not (tmp_path / "out").exists()
