"""Second runs, moved and renamed files, changed ticks, mended cells: every decision is kept, and counted once."""

from __future__ import annotations

from itertools import count
from pathlib import Path

import pytest
from msgspec import structs

from marking.decided.decisions import CellMended, Closed, MarkGiven, SetName
from marking.findings import MarkedSet
from marking.intake import read_inputs
from marking.record.chain import breaks
from marking.record.keeping import Kept, Maker, keep, name_set
from marking.record.opening import open_record
from marking.record.store import Record
from marking.write_up import ClassSet, State, Weight
from rubrics.faults import InputError
from rubrics.load import load_catalogue
from tests.checking.rows import CUBOID, HEADINGS, split
from tests.record.making import a_mark, a_step

RUBRICS = load_catalogue()
NAME = SetName(class_name="11C", practical="density-cuboid")
_ids = count(1)
MAKER = Maker(who="Ms Hale", now=lambda: "2026-03-02T14:00:00+00:00", fresh=lambda: f"k{next(_ids)}", program="0.1.0")


def class_file(path: Path, **more: str) -> Path:
    """Write a class of two, with *more* lines for A03."""
    rows = [",".join(HEADINGS)]
    for student in ("A03", "A05"):
        lines = CUBOID + (more.get("lines", "") if student == "A03" else "")
        rows += [f"{student},,density-cuboid,{item},{row},{entry},{unit}" for item, row, entry, unit in split(lines)]
    path.parent.mkdir(exist_ok=True)
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")
    return path


def read(path: Path) -> ClassSet:
    """Return the set in a file."""
    (one,) = read_inputs([path], RUBRICS)
    return one


def kept(record: Record, path: Path, class_name: str = "11C") -> Kept:
    """Return the set in a file with its record."""
    return keep(record, RUBRICS["density-cuboid"], read(path), MAKER, class_name=class_name)


def mark_of(marked: MarkedSet, criterion: str, student: str = "A03") -> int | None:
    """Return one mark."""
    script = next(one for one in marked.scripts if one.write_up.student.code == student)
    return next(one.marks for one in script.criteria if one.criterion.code == criterion)


@pytest.fixture
def memory() -> Record:
    """A record that is never kept."""
    return open_record(":memory:", may_begin=True)


def test_a_tick_becomes_one_event_with_its_cell(record: Record, tmp_path: Path) -> None:
    """However often the same file is marked; the event says file and cell, and the file's hash."""
    file = class_file(tmp_path / "11C.csv", lines="tick V1,,✓,\ntick P1,,x,\nwhy P1,,copied,")
    for _ in range(3):
        marked = kept(record, file).marked
        assert (mark_of(marked, "V1"), mark_of(marked, "P1")) == (1, 0)
    ticks = [one for one in record.decisions(NAME) if isinstance(one, MarkGiven)]
    assert [(one.student, one.criterion, one.marks, one.why, one.was) for one in ticks] == [
        ("A03", "P1", 0, "copied", "1"),
        ("A03", "V1", 1, "", ""),
    ]
    assert all(one.source.startswith("11C.csv, F") and len(one.input) == 64 for one in ticks)
    assert breaks(record.whole()) == ()


def test_a_file_without_its_ticks_keeps_them(memory: Record, tmp_path: Path) -> None:
    """Marking the untouched class file again does not undo what was ticked in another."""
    kept(memory, class_file(tmp_path / "11C.csv", lines="tick V1,,✓,"))
    assert mark_of(kept(memory, class_file(tmp_path / "11C.csv")).marked, "V1") == 1


def test_a_moved_and_renamed_file_keeps_every_decision(memory: Record, tmp_path: Path) -> None:
    """Ticks in it are the same ticks, and what was decided at the desk after them stands."""
    kept(memory, class_file(tmp_path / "11C.csv", lines="tick V1,,✓,"))
    memory.add([a_mark(2, marks=0, set=NAME, criterion="V1")])
    moved = class_file(tmp_path / "moved" / "copy (2).csv", lines="tick V1,,✓,")
    again = kept(memory, moved)
    assert mark_of(again.marked, "V1") == 0
    assert len([one for one in again.decisions if isinstance(one, MarkGiven)]) == 2


def test_a_changed_tick_counts_anew_every_time(memory: Record, tmp_path: Path) -> None:
    """✓, x and ✓ again in one cell are three decisions."""
    for tick, mark in (("✓", 1), ("x", 0), ("✓", 1), ("✓", 1)):
        assert mark_of(kept(memory, class_file(tmp_path / "11C.csv", lines=f"tick V1,,{tick},")).marked, "V1") == mark
    assert len([one for one in memory.decisions(NAME) if isinstance(one, MarkGiven)]) == 3


def test_a_closed_set_takes_no_tick(memory: Record, tmp_path: Path) -> None:
    """The tick waits, the teacher is told, nothing is lost."""
    kept(memory, class_file(tmp_path / "11C.csv"))
    memory.add([a_step(Closed, 1, NAME)])
    late = kept(memory, class_file(tmp_path / "11C.csv", lines="tick V1,,✓,"))
    assert mark_of(late.marked, "V1") is None
    assert any("closed" in remark.message for remark in late.marked.remarks)


def test_a_mended_cell_is_read_anew(record: Record, tmp_path: Path) -> None:
    """The correction is a decision; the file says what it said, and the question is asked no more."""
    bad = CUBOID.replace("V,,24.2,cm³", "V,,2a.2,cm³")
    path = tmp_path / "11C.csv"
    rows = [f"A03,,density-cuboid,{item},{row},{entry},{unit}" for item, row, entry, unit in split(bad)]
    path.write_text("\n".join([",".join(HEADINGS), *rows]) + "\n", encoding="utf-8")
    first = kept(record, path)
    assert mark_of(first.marked, "P1") is None
    assert any(one.weight is Weight.QUERY and one.item == "V" for one in first.marked.remarks)
    before = path.read_bytes()
    mend = a_step(CellMended, 1, NAME, student="A03", cell="V", was="2a.2", entry="24.2")
    record.add([mend])
    mended = kept(record, path)
    assert mark_of(mended.marked, "P1") == 1
    entry = mended.marked.scripts[0].write_up.singles["V"]
    assert (entry.state, entry.raw, entry.unit_raw) == (State.NUMBER, "24.2", "cm³")
    assert not any(one.weight is Weight.QUERY and one.item == "V" for one in mended.marked.remarks)
    assert any("mended" in one.message for one in mended.marked.remarks)
    assert path.read_bytes() == before


def test_a_cell_that_was_changed_in_the_file_wins(memory: Record, tmp_path: Path) -> None:
    """A correction of what stood there before is none of what stands there now."""
    path = class_file(tmp_path / "11C.csv")
    kept(memory, path)
    memory.add([a_step(CellMended, 1, NAME, student="A03", cell="V", was="2a.2", entry="99")])
    assert kept(memory, path).marked.scripts[0].write_up.singles["V"].raw == "24.2"


def test_a_set_is_known_by_its_files(memory: Record, tmp_path: Path) -> None:
    """Moved and renamed: by contents. Changed in place: by name. Both at once: asked about, never guessed."""
    path = class_file(tmp_path / "11C.csv", lines="tick V1,,✓,")
    kept(memory, path)
    moved = read(class_file(tmp_path / "other.csv", lines="tick V1,,✓,"))
    assert name_set(memory, moved, wanted="", proposed="other") == ("11C", ())
    changed = read(class_file(tmp_path / "11C.csv", lines="tick V1,,x,"))
    assert name_set(memory, changed, wanted="", proposed="11C") == ("11C", ())
    name, asked = name_set(memory, changed, wanted="", proposed="copy")
    assert (name, len(asked)) == ("copy", 1)
    assert "--class '11C'" in asked[0].message
    assert name_set(memory, changed, wanted="11C", proposed="copy") == ("11C", ())


def test_another_class_of_the_same_name_is_refused(memory: Record, tmp_path: Path) -> None:
    """Next year's 11C does not get this year's decisions."""
    kept(memory, class_file(tmp_path / "11C.csv", lines="tick V1,,✓,"))
    next_year = read(class_file(tmp_path / "new.csv"))
    others = tuple(
        structs.replace(work, student=structs.replace(work.student, code=f"Z{number}"))
        for number, work in enumerate(next_year.write_ups)
    )
    with pytest.raises(InputError, match="another 11C"):
        name_set(memory, structs.replace(next_year, write_ups=others), wanted="", proposed="11C")
