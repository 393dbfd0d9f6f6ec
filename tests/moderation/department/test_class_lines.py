"""The list of a department, as schools write and save it."""

from __future__ import annotations

from pathlib import Path

import pytest

from marking.moderation.department import read_department
from rubrics.faults import InputError


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return a folder with two sets in it, one of them below."""
    (tmp_path / "classes").mkdir()
    (tmp_path / "classes" / "10A.csv").write_text("student,item,entry\n", encoding="utf-8")
    (tmp_path / "10B.csv").write_text("student,item,entry\n", encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize(
    "text",
    [
        "marker,class,set\nMr Ådal,10A,classes/10A.csv\nMs Bee,10B,10B.csv\n",
        "marker,class,set\nMr Ådal,10A,classes\\10A.csv\nMs Bee,10B,10B.csv\n",
        "marker;class;set;results\nMr Ådal;10A;classes\\10A.csv;\nMs Bee;10B;.\\10B.csv;\n\n",
        "sep=;\nmarker;class;set\nMr Ådal;10A;classes/10A.csv\nMs Bee;10B;10B.csv\n",
    ],
    ids=["plain", "backslashes", "semicolons", "separator-said"],
)
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
def test_a_list_as_schools_save_it_is_read(folder: Path, text: str, encoding: str) -> None:
    """Paths with either slash, any separator, any code page of a school's spreadsheet."""
    path = folder / "department.csv"
    path.write_bytes(text.encode(encoding))
    first, second = read_department(path)
    assert (first.marker, first.class_name, first.set) == ("Mr Ådal", "10A", folder / "classes" / "10A.csv")
    assert (second.marker, second.set.resolve(), second.results) == ("Ms Bee", folder / "10B.csv", None)


def test_what_is_not_there_is_named_with_its_line(folder: Path) -> None:
    """A path that leads nowhere stands in the message as it was typed."""
    path = folder / "department.csv"
    path.write_text("marker,class,set\nMr A,10A,classes\\10C.csv\nMs B,10B,10B.csv\n", encoding="utf-8")
    with pytest.raises(InputError, match=r"line 2: there is no classes\\10C.csv"):
        read_department(path)
