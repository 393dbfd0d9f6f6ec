"""One rubric in two forms: rubric-check writes either from the other, and every command takes either."""

from __future__ import annotations

import csv
import tomllib
from pathlib import Path

import openpyxl
import pytest

from tests.commands.running import SAMPLES, run_here
from tests.rubrics.small_rubric import SOUND

OWN = SOUND.replace('id = "tube"', 'id = "glass-tube"')
WORKED = '\n[[worked]]\nentries = { m = "65.4 g", V = "24.2 cm³" }\nanswers = { rho = "0.37 g/cm³" }\n'


@pytest.fixture
def rubric(tmp_path: Path) -> Path:
    """Return a rubric of a teacher's own, in TOML."""
    file = tmp_path / "tube.toml"
    file.write_text(OWN, encoding="utf-8")
    return file


def as_workbook(file: Path) -> Path:
    """Return the same rubric as a workbook beside it."""
    book = file.with_suffix(".xlsx")
    assert run_here("rubric-check", str(file), "--as-workbook", str(book)).status == 0
    return book


def test_to_a_workbook_and_back(rubric: Path, tmp_path: Path) -> None:
    """Both directions say what was written, and the document comes back the same."""
    book = as_workbook(rubric)
    done = run_here("rubric-check", str(book), "--as-toml", str(tmp_path / "back.toml"))
    assert done.status == 0
    assert done.out.splitlines()[0] == "tube.xlsx: sound. Density of a tube: 3 items, 2 marks."
    assert done.out.splitlines()[-1] == f"Written: {tmp_path / 'back.toml'}"
    assert tomllib.loads((tmp_path / "back.toml").read_text(encoding="utf-8")) == tomllib.loads(OWN)


def test_a_worked_example_that_does_not_stand_is_told_with_its_cell(rubric: Path) -> None:
    """The example is on the sheet worked, in the first row below the headings."""
    rubric.write_text(OWN + WORKED.replace("0.37", "2.70"), encoding="utf-8")
    book = as_workbook(rubric)
    sheets = openpyxl.load_workbook(book)
    sheets["worked"]["B3"] = "rho = 0.37 g/cm³"
    sheets.save(book)
    done = run_here("rubric-check", str(book))
    assert done.status == 2
    assert done.err.startswith("tube.xlsx, worked!A3: worked example: rho = 0.37 g/cm³ does not stand in F1")


def test_nothing_is_written_over_the_rubric_or_under_a_wrong_ending(rubric: Path, tmp_path: Path) -> None:
    """The rubric itself stays as it is, comments and all; an ending that would mislead is refused."""
    for arguments in (("--as-toml", str(rubric)), ("--as-workbook", str(tmp_path / "tube.xls"))):
        done = run_here("rubric-check", str(rubric), *arguments)
        assert done.status == 2
    assert rubric.read_text(encoding="utf-8") == OWN
    assert sorted(path.name for path in tmp_path.iterdir()) == ["tube.toml"]


def test_a_text_longer_than_a_cell_is_refused_and_not_cut(rubric: Path, tmp_path: Path) -> None:
    """A list that one cell cannot hold would be lost, so no workbook is written."""
    many = ", ".join(f'"heading {number:05d} of a very long list of headings"' for number in range(900))
    text = OWN.replace('quantity = "mass"', f'quantity = "mass"\nheadings = [{many}]')
    rubric.write_text(text, encoding="utf-8")
    done = run_here("rubric-check", str(rubric), "--as-workbook", str(tmp_path / "tube.xlsx"))
    assert done.status == 2
    assert "without loss" in done.err
    assert not (tmp_path / "tube.xlsx").exists()


def test_prepare_and_mark_take_a_workbook(rubric: Path, tmp_path: Path) -> None:
    """The same marks come out whichever form the rubric has."""
    book = as_workbook(rubric)
    roster = tmp_path / "roster.csv"
    roster.write_text("student,name,bench\nA1,Ivo Sand,1\n", encoding="utf-8")
    made = run_here("prepare", str(book), "--roster", str(roster), "--out", str(tmp_path / "class.xlsx"))
    assert made.status == 0
    entries = tmp_path / "class.csv"
    rows = [("m", "65.4", "g"), ("V", "24.2", "cm³"), ("rho", "2.70", "g/cm³")]
    lines = [("A1", "glass-tube", item, entry, unit) for item, entry, unit in rows]
    with entries.open("w", encoding="utf-8", newline="") as stream:
        csv.writer(stream).writerows([("student", "practical", "item", "entry", "unit"), *lines])
    found = []
    for file in (rubric, book):
        out = tmp_path / f"results-{file.suffix[1:]}"
        assert run_here("mark", str(entries), "--rubric", str(file), "--out", str(out)).status in (0, 1)
        found.append((out / "findings.csv").read_bytes())
    assert found[0] == found[1]
    assert b"awarded" in found[0]


def test_a_class_workbook_is_no_rubric() -> None:
    """The wrong workbook is told as such."""
    done = run_here("rubric-check", str(SAMPLES / "density-cuboid" / "11C.xlsx"))
    assert done.status == 2
    assert "a workbook without the sheet practical" in done.err
