from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from collections import Counter
from pathlib import Path

import pytest

from rubrics.load import load_catalogue
from samples.make_samples import FilledSet, fill
from samples.scenario import FOLDER, SampleSet, sample_sets

ROOT = FOLDER.parent
MOST_BYTES = 600_000
"""All samples together; they are fetched with the program."""
SHARE_RIGHT = (0.55, 0.85)
"""Of a class's answers, those with nothing planted in them."""


def _make(folder: Path, **environment: str) -> None:
    call = [sys.executable, "-m", "samples.make_samples", str(folder)]
    subprocess.run(call, cwd=ROOT, env={**os.environ, **environment}, check=True, capture_output=True)


def _made(folder: Path) -> dict[str, bytes]:
    return {
        str(p.relative_to(folder)): p.read_bytes() for p in sorted(folder.glob("*/*")) if p.suffix in (".xlsx", ".csv")
    }


def _contents(name: str, data: bytes, folder: Path) -> object:
    """Return what a file says: of a workbook its sheets and texts, whatever the packing."""
    if not name.endswith(".xlsx"):
        return data
    with zipfile.ZipFile(folder / name) as book:
        return {part: book.read(part) for part in book.namelist() if part.startswith("xl/worksheets/sheet")} | {
            "texts": book.read("xl/sharedStrings.xml")
        }


def test_same_bytes_every_time(tmp_path: Path) -> None:
    """Made twice, in two time zones and with two orders of sets, the samples are the same to the byte."""
    _make(tmp_path / "one", PYTHONHASHSEED="0", TZ="UTC")
    _make(tmp_path / "two", PYTHONHASHSEED="4711", TZ="Asia/Kathmandu", LC_ALL="C")
    assert _made(tmp_path / "one") == _made(tmp_path / "two")


def test_the_files_are_those_of_the_scenario(tmp_path: Path) -> None:
    """What lies in the folder is what the scenario makes; nobody forgot to make it anew."""
    _make(tmp_path)
    new, here = _made(tmp_path), _made(FOLDER)
    assert new.keys() <= here.keys()
    for name, data in new.items():
        assert _contents(name, data, tmp_path) == _contents(name, here[name], FOLDER), name


def test_samples_are_small() -> None:
    """The samples take little room."""
    assert sum(len(data) for data in _made(FOLDER).values()) < MOST_BYTES


def test_every_sample_is_of_a_practical_of_the_catalogue() -> None:
    """Seven practicals can be tried with a class of their own, each a practical of the catalogue."""
    practicals = {sample.practical for sample in sample_sets()}
    assert len(practicals) == 7
    assert practicals <= load_catalogue().keys()


def test_nobody_is_two_people() -> None:
    """A code stands for one name and one bench, a name for one code, in every set."""
    people = {student.code: (student.name, student.bench) for sample in sample_sets() for student in sample.students}
    for sample in sample_sets():
        for student in sample.students:
            assert people[student.code] == (student.name, student.bench)
    assert len({name for name, _ in people.values()}) == len(people)


@pytest.mark.parametrize("sample", sample_sets(), ids=lambda one: one.folder)
def test_a_class_is_of_the_usual_size(sample: SampleSet) -> None:
    """A class has 24 to 32 students at twelve benches of two or three, and one to three of them without work."""
    missing = [one for one in sample.students if one.absent or one.code in sample.nothing]
    if sample.form == "each":
        assert (len(sample.students), len(missing)) == (6, 1)
        return
    assert 24 <= len(sample.students) <= 32
    assert 2 <= len(missing) <= 3
    benches = Counter(student.bench for student in sample.students)
    assert len(benches) == 12
    assert set(benches.values()) <= {2, 3}


@pytest.mark.parametrize("sample", sample_sets(), ids=lambda one: one.folder)
def test_a_class_is_a_careful_one(sample: SampleSet) -> None:
    """About two in three answers have nothing wrong with them, so the samples look like a class and not like a test."""
    share = _share_right(fill(sample))
    assert SHARE_RIGHT[0] < share < SHARE_RIGHT[1]


def _share_right(filled: FilledSet) -> float:
    answers = [item.name for item in load_catalogue()[filled.sample.practical].answers]
    given = {
        (code, item)
        for code, work in filled.write_ups.items()
        for item in answers
        if work.cells.get(item, ("", "")) != ("", "")
    }
    return len(given - {(one.student, one.item) for one in filled.planted}) / len(given)
