"""A roster and trial values that lie beside an input are found, named, and never another class's."""

from __future__ import annotations

from pathlib import Path

import pytest

from marking.intake.read_inputs import read_all
from marking.write_up import Weight
from rubrics.load import load_catalogue
from tests.commands.running import run_here
from tests.commands.tidy_class import write_class

ROSTER = "student,name,paper\nS1,Ada Example,large print\nS2,Bram Example,\nS3,Cleo Example,\n"


def put(folder: Path, *codes: str, roster: str = ROSTER) -> Path:
    """Write a class and a roster into *folder*; return the class's file."""
    (folder / "roster.csv").write_text(roster, encoding="utf-8")
    return write_class(folder / "10A.csv", codes)


def test_a_roster_beside_a_file_is_used_and_named(tmp_path: Path) -> None:
    """Names, paper and who is missing are known without an option."""
    reading = read_all([put(tmp_path, "S1", "S2")], load_catalogue())
    assert reading.roster == "roster.csv"
    people = [one.student for one in reading.sets[0].write_ups]
    assert [(one.code, one.name, one.paper) for one in people] == [
        ("S1", "Ada Example", "large print"),
        ("S2", "Bram Example", ""),
        ("S3", "Cleo Example", ""),
    ]
    done = run_here("mark", str(tmp_path / "10A.csv"), "--out", str(tmp_path / "results"))
    assert "Roster: roster.csv." in done.out


def test_a_roster_beside_a_folder_is_used(tmp_path: Path) -> None:
    """A folder of students' workbooks may have its roster beside it."""
    room = tmp_path / "10A"
    room.mkdir()
    write_class(room / "10A.csv", ["S1"])
    (tmp_path / "roster.csv").write_text(ROSTER, encoding="utf-8")
    assert read_all([room], load_catalogue()).roster == "roster.csv"


def test_the_roster_in_the_folder_goes_before_one_beside_it(tmp_path: Path) -> None:
    """What lies nearer to the work counts."""
    room = tmp_path / "10A"
    room.mkdir()
    put(room, "S1", roster="student,name\nS1,From inside\n")
    (tmp_path / "roster.csv").write_text(ROSTER, encoding="utf-8")
    (found,) = read_all([room], load_catalogue()).sets
    assert [one.student.name for one in found.write_ups] == ["From inside"]


@pytest.mark.parametrize(("codes", "is_used"), [(("S1", "T1"), True), (("S1", "T1", "T2"), False), (("T1",), False)])
def test_another_classs_roster_is_not_used(codes: tuple[str, ...], is_used: bool, tmp_path: Path) -> None:
    """From half of the students on it is theirs; else it is named, and nobody is missing or a stranger."""
    reading = read_all([put(tmp_path, *codes)], load_catalogue())
    assert bool(reading.roster) is is_used
    if not is_used:
        assert [one.student.code for one in reading.sets[0].write_ups] == list(codes)
        told = [one for one in reading.sets[0].remarks if one.weight is Weight.QUERY]
        assert [one.file for one in told] == ["roster.csv"]
        assert "not used" in told[0].message


def test_a_set_without_a_roster_says_so(tmp_path: Path) -> None:
    """Large print is not lost in silence."""
    file = write_class(tmp_path / "10A.csv", ["S1"])
    done = run_here("mark", str(file), "--out", str(tmp_path / "results"))
    assert done.status == 0
    assert "No roster, so names, large print and who is missing are not known" in done.out


def test_trials_beside_a_file_are_used_and_named(tmp_path: Path) -> None:
    """The technician's values need no option either; a file that holds none stops nothing."""
    file = write_class(tmp_path / "10A.csv", ["S1"])
    trials = "bench,practical,item,row,entry,unit\n1,specific-heat-block,m,,998,g\n"
    (tmp_path / "trials.csv").write_text(trials, encoding="utf-8")
    assert read_all([file], load_catalogue()).trials == "trials.csv"
    (tmp_path / "trials.csv").write_text("a holiday list\n", encoding="utf-8")
    reading = read_all([file], load_catalogue())
    assert reading.trials == ""
    assert [one.file for one in reading.sets[0].remarks] == ["trials.csv"]


def test_the_old_name_of_the_paper_is_read_and_told(tmp_path: Path) -> None:
    """A roster of last year works, with a note."""
    file = put(tmp_path, "S1", roster="student,reader\nS1,cream\n")
    (found,) = read_all([file], load_catalogue()).sets
    assert found.write_ups[0].student.paper == "cream"
    assert any("now called paper" in one.message and one.weight is Weight.NOTE for one in found.remarks)


@pytest.mark.parametrize("line", ["S1,Ada Example", "S1,Another"])
def test_a_code_that_stands_twice_stops_prepare(line: str, tmp_path: Path) -> None:
    """Two students would get one workbook: nothing is written, and the cell is named."""
    (tmp_path / "roster.csv").write_text(f"student,name\nS1,Ada Example\nS2,Bram\n{line}\n", encoding="utf-8")
    roster = ("--roster", str(tmp_path / "roster.csv"))
    done = run_here("prepare", "titration", *roster, "--each", str(tmp_path / "sheets"))
    assert done.status == 2
    assert "S1 again in A4" in done.err
    assert not (tmp_path / "sheets").exists()


def test_a_file_of_ticks_alone_goes_with_its_class(tmp_path: Path) -> None:
    """It does not say its practical, so it is about what the class is about, in either order; x takes a mark away."""
    file = write_class(tmp_path / "10A.csv", ["S1", "S2", "S3"])
    ticks = tmp_path / "a ticks.csv"
    ticks.write_text("student,tick V1,why V1\nS1,✓,\nS2,x,only copied\nS3,,\n", encoding="utf-8")
    for inputs in ([file, ticks], [ticks, file], [tmp_path]):
        (found,) = read_all(inputs, load_catalogue()).sets
        given = {one.student.code: one.ticks["V1"].marks for one in found.write_ups if one.ticks}
        assert given == {"S1": 1, "S2": 0}
        assert next(one for one in found.write_ups if one.student.code == "S2").ticks["V1"].why == "only copied"
