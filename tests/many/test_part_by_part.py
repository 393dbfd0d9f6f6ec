"""A large set comes to the same as a class that is held as a whole, wherever it is cut and however its lines lie."""

from __future__ import annotations

import csv
import json
import random
from pathlib import Path

import pytest

from marking.checking import count, mark_set
from marking.checking.settling_class import settle
from marking.intake import read_inputs
from marking.many import large_run, marked_whole
from rubrics.load import load_catalogue
from tests.many.large_files import STUDENTS, findings, lines_of, mark, write_lines

BOTH = ("density-cuboid", "specific-heat-block")


@pytest.fixture(scope="module")
def sorted_run(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The results of a large set of two practicals, sorted by student."""
    folder = tmp_path_factory.mktemp("large")
    path = write_lines(folder / "set.csv", lines_of(STUDENTS, BOTH))
    assert mark(path, folder / "results").status in (0, 1)
    return folder / "results"


@pytest.mark.campaign
def test_the_findings_are_those_of_a_set_that_is_held(
    sorted_run: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Byte for byte: students, practicals and findings in the same order, with the same causes."""
    monkeypatch.setattr(large_run, "LARGE_FROM", STUDENTS + 1)
    path = write_lines(tmp_path / "set.csv", lines_of(STUDENTS, BOTH))
    assert mark(path, tmp_path / "held").status in (0, 1)
    assert (tmp_path / "held" / "class-notes.csv").exists()  # it was held, then
    assert (sorted_run / "findings.csv").read_bytes() == (tmp_path / "held" / "findings.csv").read_bytes()


@pytest.mark.parametrize(("parts", "signs"), [(1, 10**9), (2, 10**9)])
def test_how_many_parts_are_laid_out_together_changes_nothing(
    parts: int, signs: int, sorted_run: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Byte for byte, remarks on the input among them: these stand part by part."""
    monkeypatch.setattr(marked_whole, "PARTS_TOGETHER", parts)
    monkeypatch.setattr(marked_whole, "MOST_TOGETHER", signs)
    path = write_lines(tmp_path / "set.csv", lines_of(STUDENTS, BOTH))
    assert mark(path, tmp_path / "results").status in (0, 1)
    for name in ("findings.csv", "marks.csv", "marks.xlsx", "remarks.csv"):
        assert (tmp_path / "results" / name).read_bytes() == (sorted_run / name).read_bytes()


def test_what_is_not_looked_at_is_said(sorted_run: Path) -> None:
    """The account tells how many students settled the set, and what only a class shows."""
    account = json.loads((sorted_run / "run.json").read_text())
    assert account["settled_from"] == {"students": STUDENTS, "of": STUDENTS}
    assert any("benches" in said for said in account["not_looked_at"])
    assert [one["students"] for one in account["counts"]] == [STUDENTS, STUDENTS]
    assert {"findings.csv", "marks.csv", "marks.xlsx", "remarks.csv"} == set(account["wrote"])


@pytest.mark.campaign
def test_lines_that_lie_apart_are_gathered_and_told(sorted_run: Path, tmp_path: Path) -> None:
    """A file that is sorted by item holds every student in many places; nothing is lost, and it is said."""
    lines = lines_of(STUDENTS, BOTH)
    by_item = sorted(lines, key=lambda line: (line[2], line[3], line[4]))
    done = mark(write_lines(tmp_path / "set.csv", by_item), tmp_path / "results")
    assert "several places" in done.out
    assert sorted(findings(tmp_path / "results")) == sorted(findings(sorted_run))
    assert "gathered by student" in (tmp_path / "results" / "remarks.csv").read_text(encoding="utf-8")


@pytest.mark.campaign
def test_one_line_that_lies_apart_is_read_with_its_student(sorted_run: Path, tmp_path: Path) -> None:
    """One line at the very end belongs to the first student of the file all the same."""
    lines = lines_of(STUDENTS, BOTH)
    moved = [*lines[1:], lines[0]]
    done = mark(write_lines(tmp_path / "set.csv", moved), tmp_path / "results")
    assert "several places" in done.out
    assert findings(tmp_path / "results") == findings(sorted_run)


@pytest.mark.campaign
@pytest.mark.parametrize("separator", [";", "\t"])
def test_other_separators(separator: str, sorted_run: Path, tmp_path: Path) -> None:
    """The separator shows in the heading line, and is told."""
    path = write_lines(tmp_path / "set.csv", lines_of(STUDENTS, BOTH), separator)
    assert mark(path, tmp_path / "results").status in (0, 1)
    assert findings(tmp_path / "results") == findings(sorted_run)


@pytest.mark.campaign
def test_several_files_are_one_set(sorted_run: Path, tmp_path: Path) -> None:
    """A set may come in pieces; a student who stands in two of them is one student."""
    lines = lines_of(STUDENTS, BOTH)
    folder = tmp_path / "pieces"
    folder.mkdir()
    middle = len(lines) // 2 + 1  # in the middle of a student
    write_lines(folder / "a.csv", lines[:middle])
    write_lines(folder / "b.csv", lines[middle:])
    assert mark(folder, tmp_path / "results").status in (0, 1)
    assert findings(tmp_path / "results") == findings(sorted_run)


def test_line_breaks_inside_an_entry_and_blank_lines(tmp_path: Path) -> None:
    """Rows are counted as a spreadsheet shows them: an entry of two lines is in one row, a blank line is one."""
    lines = lines_of(STUDENTS)
    path = write_lines(tmp_path / "set.csv", lines)
    text = path.read_text(encoding="utf-8").split("\n")
    text[3] = text[3].replace(lines[2][5], f'"{lines[2][5]}\n"')
    text.insert(2, "")
    path.write_text("\n".join(text), encoding="utf-8")
    assert mark(path, tmp_path / "results").status in (0, 1)
    with (tmp_path / "results" / "findings.csv").open(encoding="utf-8", newline="") as file:
        places = {row["item"]: row["source"] for row in csv.DictReader(file) if row["student"] == "S00000"}
    assert places[lines[0][3]].endswith("F2")
    assert places[lines[1][3]].endswith("F4")
    assert places[lines[3][3]].endswith("F6")


def test_a_quote_that_is_never_closed_stops_the_run(tmp_path: Path) -> None:
    """Lines that a quote swallows would be lost in silence."""
    path = write_lines(tmp_path / "set.csv", lines_of(STUDENTS))
    text = path.read_text(encoding="utf-8").split("\n")
    text[40] = text[40].replace(",", ',"', 5)
    path.write_text("\n".join(text), encoding="utf-8")
    done = mark(path, tmp_path / "results")
    assert done.status == 2
    assert "line 41" in done.err
    assert not (tmp_path / "results").exists()


def test_names_that_nobody_knows_are_told_once(tmp_path: Path) -> None:
    """Lines of all parts are counted together."""
    lines = [(*line[:3], "mass" if line[3] == "m" else line[3], *line[4:]) for line in lines_of(STUDENTS)]
    lines = [(*line[:3], "masss" if line[3] in ("m", "mass") else line[3], *line[4:]) for line in lines]
    done = mark(write_lines(tmp_path / "set.csv", lines), tmp_path / "results")
    assert done.status == 1
    told = [line for line in done.err.splitlines() if '"masss" is no item' in line]
    assert len(told) == 1
    assert f"{STUDENTS} lines not used" in told[0]


def test_a_roster_names_who_handed_in_nothing(tmp_path: Path) -> None:
    """Names come from the roster, strangers are told, and who is missing stands at the end with no mark."""
    lines = lines_of(STUDENTS)
    path = write_lines(tmp_path / "set.csv", lines)
    roster = tmp_path / "people.csv"
    codes = [f"S{number:05d}" for number in range(1, STUDENTS)] + ["S99999"]
    roster.write_text("student,name\n" + "".join(f"{code},Name of {code}\n" for code in codes), encoding="utf-8")
    done = mark(path, tmp_path / "results", "--roster", str(roster))
    assert '"S00000" is not in the roster' in done.err
    with (tmp_path / "results" / "marks.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert (rows[1]["student"], rows[1]["name"]) == ("S00001", "Name of S00001")
    assert (rows[-1]["student"], rows[-1]["awarded"]) == ("S99999", "")


@pytest.mark.campaign
def test_what_a_teacher_typed_stands_in_the_next_run(tmp_path: Path) -> None:
    """A figure on the sheet Marks counts, and counts again the time after."""
    from openpyxl import load_workbook

    path = write_lines(tmp_path / "set.csv", lines_of(STUDENTS))
    out = tmp_path / "results"
    mark(path, out)
    for _ in range(2):
        book = load_workbook(out / "marks.xlsx")
        sheet = book["Marks"]
        head = [cell.value for cell in sheet[1]]
        row = next(row for row in sheet.iter_rows(min_row=2) if any(c.value is None for c in row[4:-4]))
        column = next(n for n, cell in enumerate(row) if n > 3 and n < len(head) - 4 and cell.value is None)
        student, criterion = row[0].value, head[column]
        row[column].value = 1
        book.save(out / "marks.xlsx")
        mark(path, out)
        with (out / "marks.csv").open(encoding="utf-8", newline="") as file:
            after = {line["student"]: line for line in csv.DictReader(file)}
        assert after[student][criterion] == "1"
    assert json.loads((out / "run.json").read_text())["ticks_kept"] == 2


def test_parts_that_are_marked_apart_are_settled_as_the_whole() -> None:
    """Counts of parts of any size, in any order, add up to those of the whole: to the last bit."""
    rubric = load_catalogue()["specific-heat-block"]
    samples = Path(__file__).resolve().parents[2] / "samples" / "specific-heat-block"
    (one,) = read_inputs([samples], load_catalogue())
    whole = settle(rubric, [count(rubric, one.write_ups)])
    chance = random.Random(5)
    for size in (1, 5, 11):
        counts = [count(rubric, one.write_ups[at : at + size]) for at in range(0, len(one.write_ups), size)]
        chance.shuffle(counts)
        assert settle(rubric, counts) == whole
    assert mark_set(rubric, one, whole) == mark_set(rubric, one)
