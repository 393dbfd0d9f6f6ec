"""A student is erased: nothing personal stays in what the program keeps, and another run says what happens."""

from __future__ import annotations

import zipfile
from pathlib import Path

import openpyxl
import pytest

from tests.checking.rows import CUBOID, HEADINGS, split
from tests.commands.running import Run, run_here

CODE = "Q7731"
WORDS = (CODE, "Zinnia", "unwell that day")


def class_file(path: Path, more: str = "tick V1,,✓,\n") -> Path:
    """Write a class of two; one of them is to be erased."""
    lines = [
        f"{student},,density-cuboid,{item},{row},{entry},{unit}"
        for student, work in ((CODE, CUBOID + more), ("A05", CUBOID))
        for item, row, entry, unit in split(work)
    ]
    path.write_text("\n".join([",".join(HEADINGS), *lines]) + "\n", encoding="utf-8")
    return path


def spoken_of(folder: Path, *, besides: tuple[Path, ...] = ()) -> list[str]:
    """Return the files below *folder* that hold a word about the student, packed ones opened."""
    found = []
    for path in sorted(folder.rglob("*")):
        if not path.is_file() or path in besides:
            continue
        data = path.read_bytes()
        if zipfile.is_zipfile(path):
            with zipfile.ZipFile(path) as packed:
                data = b"".join(packed.read(name) for name in packed.namelist())
        found += [str(path.relative_to(folder)) for word in WORDS if word.encode() in data or word in path.name]
    return found


@pytest.fixture
def marked(tmp_path: Path) -> Path:
    """A class marked twice with a record; between the runs a teacher typed into the results."""
    file = class_file(tmp_path / "11C.csv")
    (tmp_path / "roster.csv").write_text(f"student,name,bench\n{CODE},Zinnia Zoe,1\nA05,Bo Byrne,2\n", encoding="utf-8")
    assert mark(tmp_path).status in (0, 1)
    findings = tmp_path / "results" / "findings.csv"
    findings.write_text(findings.read_text(encoding="utf-8") + f"{CODE},unwell that day\n", encoding="utf-8")
    (tmp_path / "results" / "notes.csv").write_text(
        f"student,note\n{CODE},unwell that day\nA05,fine\n", encoding="utf-8"
    )
    assert mark(tmp_path).status in (0, 1)
    assert (tmp_path / "results" / "kept").is_dir()
    run_here("record", "export", "--record", str(tmp_path / "11C.record"), "--out", str(tmp_path / "copy.jsonl"))
    assert file.exists()
    return tmp_path


def mark(folder: Path) -> Run:
    """Mark the class."""
    return run_here(
        "mark",
        str(folder / "11C.csv"),
        "--out",
        str(folder / "results"),
        "--record",
        str(folder / "11C.record"),
        "--by",
        "Ms Hale",
    )


def erase(folder: Path, *also: str) -> Run:
    """Erase the student."""
    more = ("--also", *also) if also else ()
    return run_here("record", "erase", CODE, "--record", str(folder / "11C.record"), "--by", "Ms Hale", *more)


def test_nothing_personal_stays_in_what_the_program_keeps(marked: Path) -> None:
    """Record, results, kept and exports; the other student's work is untouched; the class's papers come again."""
    own = (marked / "11C.csv", marked / "roster.csv")
    told = erase(marked, str(marked / "results"), str(marked / "copy.jsonl"))
    assert told.status in (0, 1), told.err
    assert spoken_of(marked, besides=own) == []
    assert not list((marked / "results" / "feedback").glob(f"{CODE}*"))
    assert (marked / "results" / "feedback" / "A05.pdf").exists()
    kept = next((marked / "results" / "kept").rglob("notes.csv"))
    assert kept.read_text(encoding="utf-8") == "student,note\nA05,fine\n"
    rows = list(openpyxl.load_workbook(marked / "results" / "marks.xlsx")["Marks"].iter_rows(values_only=True))
    assert any("A05" in row for row in rows)
    assert run_here("record", "check", "--record", str(marked / "11C.record")).status == 0
    fresh = str(marked / "fresh.record")
    assert run_here("record", "import", "--record", fresh, str(marked / "copy.jsonl")).status == 0


def test_a_second_run_passes_the_work_over_and_says_so(marked: Path) -> None:
    """Neither the work nor its ticks come back; the other student is marked; the results speak of nobody else."""
    erase(marked, str(marked / "results"))
    again = mark(marked)
    assert again.status == 1
    assert f"{CODE}: erased from the record by Ms Hale" in again.out + again.err
    own = (marked / "11C.csv", marked / "roster.csv")
    record = run_here("record", "export", "--record", str(marked / "11C.record")).out
    assert CODE not in record
    assert not list((marked / "results" / "feedback").glob(f"{CODE}*"))
    assert (marked / "results" / "feedback" / "A05.pdf").exists()
    assert [name for name in spoken_of(marked / "results") if "feedback" in name] == []
    assert own[0].read_text(encoding="utf-8").count(CODE) > 1


def test_a_changed_file_is_asked_about(marked: Path) -> None:
    """The record cannot know whom it has forgotten, and asks."""
    erase(marked)
    class_file(marked / "11C.csv", more="")
    again = mark(marked)
    assert f"{CODE}: new in 11C" in again.out + again.err


def test_files_of_the_desk_are_swept_too(tmp_path: Path) -> None:
    """What was dropped in: the student's lines of a class's file, the whole of their own file."""
    record = tmp_path / "desk.record"
    sets = tmp_path / "desk.sets"
    for name in ("11C", "Own"):
        (sets / name).mkdir(parents=True)
    class_file(sets / "11C" / "11C.csv")
    (sets / "11C" / "roster.csv").write_text(f"student,name\n{CODE},Zinnia Zoe\nA05,Bo\n", encoding="utf-8")
    lines = [f"{CODE},,density-cuboid,{i},{r},{e},{u}" for i, r, e, u in split(CUBOID)]
    (sets / "Own" / "mine.csv").write_text("\n".join([",".join(HEADINGS), *lines]) + "\n", encoding="utf-8")
    out = ("--out", str(tmp_path / "r"), "--record", str(record), "--by", "Ms Hale")
    run_here("mark", str(sets / "11C"), *out)
    told = run_here("record", "erase", CODE, "--record", str(record), "--by", "Ms Hale", "--also", str(tmp_path / "r"))
    assert told.status in (0, 1), told.err
    assert spoken_of(tmp_path) == []
    assert not (sets / "Own").exists()
    assert "A05" in (sets / "11C" / "11C.csv").read_text(encoding="utf-8")


def test_nobody_is_erased_by_a_wrong_path(marked: Path) -> None:
    """A folder that is not there, a file that is no export: nothing is done."""
    assert erase(marked, str(marked / "nowhere")).status == 2
    assert CODE in run_here("record", "export", "--record", str(marked / "11C.record")).out
