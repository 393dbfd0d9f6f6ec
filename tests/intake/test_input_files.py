"""Which files are read, and what happens to those that cannot be."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from marking.intake.blank.blank_workbook import write_class_workbook, write_student_workbook
from marking.intake.input_files import list_inputs, path_here
from marking.intake.read_inputs import read_inputs
from marking.write_up import Student, Weight
from rubrics.faults.errors import InputError
from rubrics.load import load_catalogue
from tests.intake.class_files import BLOCK, TIDY, codes, csv_text, read_files, told


def tidy(*students: str) -> str:
    """Return a tidy file with one entry for each student."""
    return csv_text([TIDY, *((student, "", BLOCK, "m", "", "998", "g") for student in students)])


def test_a_folder_is_read_in_order_of_names_with_the_folders_in_it() -> None:
    """The order of the students does not hang on how the disk lists files."""
    files = {"b/two.csv": tidy("B02"), "a.csv": tidy("A01"), "b/one.csv": tidy("B01")}
    (found,) = read_files(files, ["."])
    assert codes(found) == ["A01", "B01", "B02"]
    assert [source.name for source in found.sources] == ["a.csv", "b/one.csv", "b/two.csv"]


@pytest.mark.parametrize("name", ["~$class.xlsx", ".~lock.class.xlsx#", "notes.docx", "photo.jpg", "._class.xlsx"])
def test_what_is_no_spreadsheet_is_passed_over_in_a_folder(name: str) -> None:
    """Lock files and everything else that lies about are not even mentioned."""
    (found,) = read_files({"class.csv": tidy("A01"), name: b"x"}, ["."])
    assert told(found) == []


@pytest.mark.parametrize("name", ["class.xls", "class.ods"])
def test_a_spreadsheet_that_cannot_be_read_is_refused_aloud(name: str) -> None:
    """A class may be inside, so it is not passed over in silence."""
    (found,) = read_files({"class.csv": tidy("A01"), name: b"PK not really"}, ["."])
    assert [remark.file for remark in found.remarks if remark.weight is Weight.REFUSED] == [name]


def test_files_of_one_name_are_told_apart_by_their_folders(tmp_path: Path) -> None:
    """Two classes both called set.csv keep their own places in messages."""
    for folder in ("10A", "10B"):
        (tmp_path / folder).mkdir()
        (tmp_path / folder / "set.csv").write_text(tidy(folder))
    files = list_inputs([tmp_path / "10A" / "set.csv", tmp_path / "10B" / "set.csv"])
    assert [file.name for file in files.files] == ["10A/set.csv", "10B/set.csv"]


@pytest.mark.parametrize("written", ["term 1\\10A.csv", '"term 1\\10A.csv"', ".\\term 1\\10A.csv"])
def test_a_path_of_windows_is_found(written: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Copied from another machine, with or without quotes."""
    (tmp_path / "term 1").mkdir()
    (tmp_path / "term 1" / "10A.csv").write_text(tidy("A01"), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    assert [file.name for file in list_inputs([Path(written)]).files] == ["10A.csv"]


def test_a_path_that_is_nowhere_stays_as_written(tmp_path: Path) -> None:
    r"""The message shows what was typed, and a file whose name holds a \ is that file."""
    assert path_here(Path("C:\\marks\\10A.csv")) == Path("C:\\marks\\10A.csv")
    odd = tmp_path / "a\\b.csv"
    odd.write_text("", encoding="utf-8")
    assert path_here(odd) == odd


def test_a_file_given_twice_is_read_once(tmp_path: Path) -> None:
    """Once by its name and once by its folder makes one file."""
    (tmp_path / "set.csv").write_text(tidy("A01"))
    assert len(list_inputs([tmp_path, tmp_path / "set.csv"]).files) == 1


def test_a_copy_is_read_once_and_told() -> None:
    """The same bytes under two names are one class, not two with every entry doubled."""
    (found,) = read_files({"class.csv": tidy("A01"), "copy of class.csv": tidy("A01")})
    assert told(found) == [("note", "copy of class.csv: the same file as class.csv, read once.")]
    assert len(found.sources) == 1


def test_a_class_may_come_as_a_folder_of_student_workbooks(tmp_path: Path) -> None:
    """One workbook a student makes one set; an empty one is a student with nothing handed in."""
    rubric = load_catalogue()[BLOCK]
    entries = {"A02": {"m": ("998", "g")}}
    for code in ("A01", "A02"):
        write_student_workbook(tmp_path / f"{code}.xlsx", rubric, Student(code=code, bench="4"), entries)
    (found,) = read_inputs([tmp_path], load_catalogue())
    assert codes(found) == ["A01", "A02"]
    assert [work.is_handed_in for work in found.write_ups] == [False, True]
    assert found.write_ups[0].student.bench == "4"
    assert told(found) == []


def test_a_workbook_of_an_older_edition_is_read_and_told(tmp_path: Path) -> None:
    """A sheet handed out before the rubric changed is marked by the rubric as it is now."""
    rubrics = dict(load_catalogue())
    write_class_workbook(tmp_path / "set.xlsx", rubrics[BLOCK], [Student(code="A01")])
    before = rubrics[BLOCK].edition
    rubrics[BLOCK] = replace(rubrics[BLOCK], edition=7)
    (found,) = read_inputs([tmp_path / "set.xlsx"], rubrics)
    said = f'set.xlsx: made for edition "{before}" of specific-heat-block; read as edition 7.'
    assert told(found) == [("note", said)]


def test_a_workbook_for_a_practical_that_is_not_known_is_refused(tmp_path: Path) -> None:
    """A rubric of the teacher's own has to be given when its workbooks are read."""
    rubrics = load_catalogue()
    write_class_workbook(tmp_path / "set.xlsx", rubrics[BLOCK], [Student(code="A01")])
    with pytest.raises(InputError, match="is not known here"):
        read_inputs([tmp_path / "set.xlsx"], {name: one for name, one in rubrics.items() if name != BLOCK})


def test_files_that_are_all_refused_are_listed(tmp_path: Path) -> None:
    """With nothing to mark, one error names every file and its fault."""
    (tmp_path / "a.csv").write_bytes(b"")
    (tmp_path / "b.xlsx").write_bytes(b"PK broken")
    with pytest.raises(InputError) as refusal:
        read_inputs([tmp_path], load_catalogue())
    first, *lines = str(refusal.value).splitlines()
    assert first.casefold() == "2 files: none can be marked. mend these and run again:"
    assert [line.split(".")[0] for line in lines] == ["  a", "  b"]
    assert [line[-1] for line in lines] == [".", "."]


@pytest.mark.parametrize("name", ["nothing here", "gone.csv"])
def test_nothing_to_read_is_an_error(name: str, tmp_path: Path) -> None:
    """An empty folder and a file that is not there are told by name."""
    (tmp_path / "nothing here").mkdir()
    with pytest.raises(InputError) as refusal:
        read_inputs([tmp_path / name], load_catalogue())
    assert refusal.value.file == name


def test_a_refused_file_leaves_nothing_behind() -> None:
    """A quote that opens on the last line costs the whole file: no student of it is half read."""
    spoilt = tidy("A01", "A02") + 'A03,,specific-heat-block,m,,"998,g\r\nA04,,specific-heat-block,m,,998,g\r\n'
    (found,) = read_files({"good.csv": tidy("B01"), "spoilt.csv": spoilt})
    assert codes(found) == ["B01"]
    assert [remark.weight for remark in found.remarks] == [Weight.REFUSED]
