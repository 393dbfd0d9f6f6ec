"""From practical to practical: the sheet says what was mended and what came back; prepare says what went wrong."""

from __future__ import annotations

import json
from pathlib import Path

import pypdf
import pytest

from tests.checking.rows import CUBOID, HEADINGS, split
from tests.commands.running import run_here

DISPLACEMENT = "m,,65.4,g\nV,,{volume},cm³\nrho,,2.70,{unit}"


def tidy(path: Path, practical: str, works: dict[str, str]) -> Path:
    """Write a class."""
    lines = [
        f"{student},,{practical},{item},{row},{entry},{unit}"
        for student, work in works.items()
        for item, row, entry, unit in split(work)
    ]
    path.write_text("\n".join([",".join(HEADINGS), *lines]) + "\n", encoding="utf-8")
    return path


def words_of(path: Path) -> str:
    """Return the words of a PDF."""
    return " ".join(" ".join(page.extract_text() for page in pypdf.PdfReader(path).pages).split())


@pytest.fixture
def marked(tmp_path: Path) -> Path:
    """A class in two practicals: A03 leaves the unit out twice, A05 once, A07 never."""
    bare = CUBOID.replace("24.2,cm³", "24.2,")
    first = tidy(tmp_path / "first.csv", "density-cuboid", {"A03": bare, "A05": bare, "A07": CUBOID})
    works = {
        student: DISPLACEMENT.format(volume="24.2", unit=unit)
        for student, unit in (("A03", ""), ("A05", "g/cm³"), ("A07", "g/cm³"))
    }
    second = tidy(tmp_path / "second.csv", "density-displacement", works)
    for file, out in ((first, "one"), (second, "two"), (first, "one-again")):
        told = run_here(
            "mark",
            str(file),
            "--out",
            str(tmp_path / out),
            "--record",
            str(tmp_path / "11C.record"),
            "--by",
            "Ms Hale",
            "--class",
            "11C",
        )
        assert told.status in (0, 1), told.err
    return tmp_path


def test_a_sheet_says_what_was_mended_and_what_came_back(marked: Path) -> None:
    """Of the student's own, and nothing where nothing changed; the first practical knows of none before it."""
    a03, a05, a07 = (words_of(marked / "two" / "feedback" / f"{code}.pdf") for code in ("A03", "A05", "A07"))
    assert "To look at again, as in an earlier practical: writing the unit." in a03
    assert "Right this time: writing the unit." in a05
    assert "Right this time" not in a03
    assert "Since" not in a07
    for code in ("A03", "A05", "A07"):
        for folder in ("one", "one-again"):
            assert "Right this time" not in words_of(marked / folder / "feedback" / f"{code}.pdf")


def test_the_class_summary_shows_the_trend(marked: Path) -> None:
    """By kind of slip, in the order of the practicals."""
    assert "No unit: 2 of 3, 1 of 3" in words_of(marked / "two" / "class-summary.pdf")
    assert "practical by practical" not in words_of(marked / "one-again" / "class-summary.pdf")


def test_prepare_says_what_went_wrong_last_time(marked: Path) -> None:
    """To the teacher on the terminal; the workbook is the same with it and without."""
    record = str(marked / "11C.record")
    told = run_here("prepare", "density-cuboid", "--record", record)
    assert told.status == 0
    assert "11C, 20" in told.out
    assert "3 handed in" in told.out
    assert "2 made this slip: no unit" in told.out
    assert "A03" not in told.out
    said = json.loads(run_here("prepare", "density-cuboid", "--record", record, "--json").out)
    assert any("no unit" in line for line in said["last_time"])
    nothing = run_here("prepare", "wire-resistance", "--record", record)
    assert nothing.status == 0
    assert "no earlier round" in nothing.out
    assert run_here("prepare", "density-cuboid", "--record", str(marked / "none.record")).status == 2
