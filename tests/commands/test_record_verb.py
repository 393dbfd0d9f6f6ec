"""``mark --record`` uses and keeps decisions; ``explain`` says who decided; ``record`` checks, moves and erases."""

from __future__ import annotations

import json
from pathlib import Path

import openpyxl

from tests.checking.rows import CUBOID, HEADINGS, split
from tests.commands.running import files_in, run_here


def class_file(path: Path, more: str = "") -> Path:
    """Write a class of one."""
    lines = [f"A03,,density-cuboid,{item},{row},{entry},{unit}" for item, row, entry, unit in split(CUBOID + more)]
    path.write_text("\n".join([",".join(HEADINGS), *lines]) + "\n", encoding="utf-8")
    return path


def test_a_round_with_a_record(tmp_path: Path) -> None:
    """Marked twice the folder is the same; the tick outlives its file's tick; explain and workbook say who."""
    record = str(tmp_path / "11C.record")
    ticked = class_file(tmp_path / "11C.csv", "tick V1,,✓,\ntick P1,,x,\nwhy P1,,copied from the board,\n")
    out = tmp_path / "results"
    mark = ("mark", str(ticked), "--out", str(out), "--record", record, "--by", "Ms Hale")
    first = run_here(*mark)
    assert first.status in (0, 1)
    assert "a new record was begun" in first.err
    before = files_in(out)
    second = run_here(*mark)
    assert "begun" not in second.err
    assert files_in(out) == before
    class_file(tmp_path / "11C.csv")
    assert run_here(*mark).status in (0, 1)
    sheet = openpyxl.load_workbook(out / "marks.xlsx")["Decisions"]
    rows = list(sheet.iter_rows(min_row=2, values_only=True))
    assert [(row[0], row[2], row[3], row[4], row[6], row[8]) for row in rows] == [
        ("A03", "P1", 1, 0, "Ms Hale", "copied from the board"),
        ("A03", "V1", None, 1, "Ms Hale", None),
    ]
    told = run_here("explain", str(tmp_path / "11C.csv"), "A03", "P1", "--record", record).out
    assert "Ms Hale, on 20" in told
    assert "copied from the board" in told
    assert "worked out 1" in told
    account = json.loads((out / "run.json").read_text(encoding="utf-8"))
    checked = json.loads(run_here("record", "check", "--record", record, "--json").out)
    assert account["options"]["record"] == checked["end"]
    assert checked["whole"]


def test_without_a_record_an_overruled_mark_counts_too(tmp_path: Path) -> None:
    """And explain says that a tick decided."""
    file = class_file(tmp_path / "11C.csv", "tick P1,,x,\n")
    told = run_here("explain", str(file), "A03", "P1").out
    assert "The teacher: 0 of 1." in told
    assert "By a tick in 11C.csv" in told
    assert "No reason was given." in told


def test_out_and_in_and_erased(tmp_path: Path) -> None:
    """A record goes to another file without loss; a student is erased; the check says so by its status."""
    record, other, export = (str(tmp_path / name) for name in ("a.record", "b.record", "a.jsonl"))
    file = class_file(tmp_path / "11C.csv", "tick V1,,✓,\n")
    run_here("mark", str(file), "--out", str(tmp_path / "r"), "--record", record)
    assert run_here("record", "export", "--record", record, "--out", export).status == 0
    assert run_here("record", "export", "--record", record, "--out", export).status == 2
    assert run_here("record", "import", export, "--record", other).status == 0
    text = Path(export).read_text(encoding="utf-8")
    assert run_here("record", "export", "--record", other).out == text
    end = json.loads(run_here("record", "check", "--record", other, "--json").out)["end"]
    done = run_here("record", "erase", "A03", "--record", other, "--by", "Ms Hale", "--why", "asked for")
    assert done.status == 0
    assert run_here("record", "check", "--record", other, "--end", end).status == 0
    assert "A03" not in run_here("record", "export", "--record", other).out
    assert run_here("record", "erase", "A03", "--record", other, "--by", "Ms Hale").status == 2
    assert run_here("record", "check", "--record", other, "--end", "2:" + "0" * 64).status == 1
    assert run_here("record", "check", "--record", other, "--end", "nonsense").status == 2


def test_a_record_that_is_not_there_is_told(tmp_path: Path) -> None:
    """No deed but import begins one."""
    for deed in (["check"], ["export"], ["erase", "A03", "--by", "Ms Hale"]):
        done = run_here("record", *deed, "--record", str(tmp_path / "no.record"))
        assert (done.status, done.out) == (2, "")
        assert "no record here" in done.err
    assert list(tmp_path.iterdir()) == []
