from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from collections import Counter
from pathlib import Path

import pytest

from marking.checking.short_answers.marked_before.answers import every_question
from rubrics.load import load_catalogue
from samples.make_samples import FilledSet, fill
from samples.scenario import FOLDER, SampleSet, sample_sets
from samples.short_answers import sentences

ROOT = FOLDER.parent
MOST_BYTES = 800_000
"""All samples together; they are fetched with the program."""
SHARE_RIGHT = (0.55, 0.95)
"""Of a class's answers, those with nothing planted in them, over all classes."""
FEWEST_SENTENCES = 10
MOST_KNOWN = 0.08
FEWEST_RIGHT = 0.4
"""The same in the least careful class."""


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


def test_every_practical_has_a_sample() -> None:
    """Every practical of the catalogue can be tried with a class of its own, in the folder of its name."""
    assert {sample.practical for sample in sample_sets()} == load_catalogue().keys()
    assert load_catalogue().keys() <= {sample.folder for sample in sample_sets()}


def test_nobody_is_two_people() -> None:
    """A code stands for one name and one bench, a name for one code, in every set."""
    people = {student.code: (student.name, student.bench) for sample in sample_sets() for student in sample.students}
    for sample in sample_sets():
        for student in sample.students:
            assert people[student.code] == (student.name, student.bench)
    assert len({name for name, _ in people.values()}) == len(people)


@pytest.mark.parametrize("sample", sample_sets(), ids=lambda one: one.folder)
def test_a_class_is_of_the_usual_size(sample: SampleSet) -> None:
    """A class has up to 32 students at benches of one to three, and a few of them are without work."""
    missing = [one for one in sample.students if one.absent or one.code in sample.nothing]
    assert 6 <= len(sample.students) <= 32
    assert len(missing) <= 3
    benches = Counter(student.bench for student in sample.students)
    assert set(benches.values()) <= {1, 2, 3}


def test_classes_are_careful_ones() -> None:
    """About two in three answers have nothing wrong with them, so the samples look like classes and not like tests."""
    shares = [_share_right(fill(sample)) for sample in sample_sets()]
    assert SHARE_RIGHT[0] < sum(shares) / len(shares) < SHARE_RIGHT[1]
    assert all(FEWEST_RIGHT < share < 1.0 for share in shares)


def _share_right(filled: FilledSet) -> float:
    answers = [item.name for item in load_catalogue()[filled.sample.practical].answers]
    given = {
        (code, item)
        for code, work in filled.write_ups.items()
        for item in answers
        if work.cells.get(item, ("", "")) != ("", "")
    }
    return len(given - {(one.student, one.item) for one in filled.planted}) / len(given)


def test_every_question_has_sentences_and_few_that_the_program_goes_by() -> None:
    """What is measured on the sample classes is measured on other answers; the plainest are written by every hand."""
    known = {text for marked in every_question().values() for text in (*marked.earned, *marked.not_earned)}
    texts = [
        text for said in sentences().values() for one in said.values() for text in (*one.full, *one.half, *one.none)
    ]
    assert len(known & set(texts)) <= MOST_KNOWN * len(texts)
    for rubric in load_catalogue().values():
        for item in rubric.items.values():
            if item.question is None:
                continue
            said = sentences()[rubric.id][item.name]
            assert len(said.full) >= FEWEST_SENTENCES, (rubric.id, item.name)
            assert bool(said.parts) is bool(item.question.sources), (rubric.id, item.name)
