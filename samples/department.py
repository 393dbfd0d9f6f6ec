"""Makes the invented department anew: ``python -m samples.department [FOLDER]``.

Five teachers, nine classes, one practical. Students type readings and results; the rest they write on paper, so that
its marks are given by people, however much of a typed answer the program decides. Whether a script earns each of these
marks is known here; every teacher sees it with a slip now and then, and one of them is a mark severe. The second marks
of both stages of moderation are made in the same way, from the packs that ``writeups sample`` makes of these classes.
"""

from __future__ import annotations

import argparse
import contextlib
import csv
import io
import json
import shutil
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from random import Random

from msgspec import Struct

from marking.__main__ import main as writeups
from marking.checking import mark_set
from marking.intake import read_inputs
from marking.write_up import Student
from rubrics.load import load_catalogue
from rubrics.model import Rubric
from samples.filled_packs import fill_pack
from samples.make_samples import fill
from samples.scenario import FOLDER, bare_set, sample_sets
from samples.sheet import rows_of

PRACTICAL = "density-displacement"
TYPED = ("m", "V", "rho", "rho_si")
"""What is typed: one reading of each kind and what follows from it. All else stays on paper."""
SEED = "7"
TEACHERS: Mapping[str, tuple[str, ...]] = {
    "Ms Calloway": ("9A", "9B"),
    "Mr Brandt": ("9C", "9D"),
    "Dr Osei": ("9E", "9F"),
    "Mrs Whitlock": ("9G", "9H"),
    "Mr Fenn": ("9J",),
}
SEVERE, SEVERITY = "Mr Brandt", 0.25
"""Of the marks that are earned, this teacher sees so many fewer: a mark of those that people give."""
SLIP = 0.03
"""How often any teacher sees a mark otherwise than it is."""
SIZE = 22
"""Students of a class."""

Truth = Mapping[str, Mapping[str, int]]
"""Code of a student to criterion to what is earned."""


class SchoolClass(Struct, frozen=True, kw_only=True):
    """One class of the department."""

    name: str
    teacher: str
    students: tuple[Student, ...]


def school_classes() -> tuple[SchoolClass, ...]:
    """Return the classes with students whose names are put together from those of the other samples."""
    known = sorted({student.name for one in sample_sets() for student in one.students if " " in student.name})
    first, last = ([name.split(" ", 1)[part] for name in known] for part in (0, 1))
    chance = Random(f"{SEED}/names")
    chance.shuffle(first)
    chance.shuffle(last)
    made, number = [], 0
    for teacher, names in TEACHERS.items():
        for name in names:
            students = []
            for place in range(SIZE):
                whole = f"{first[number % len(first)]} {last[(3 * number + place) % len(last)]}"
                number += 1
                students.append(Student(code=f"P{number:03}", name=whole, bench=str(place // 2 + 1)))
            made.append(SchoolClass(name=name, teacher=teacher, students=tuple(students)))
    return tuple(made)


def seen(teacher: str, student: str, earned: Mapping[str, int], occasion: str) -> dict[str, int]:
    """Return the marks that a teacher gives, from what a script earns."""
    chance = Random(f"{SEED}/{occasion}/{teacher}/{student}")
    given = {}
    for criterion, right in earned.items():
        mark = 1 - right if chance.random() < SLIP else right
        is_missed = chance.random() < SEVERITY and teacher == SEVERE
        given[criterion] = 0 if is_missed else mark
    return given


def write(folder: Path) -> None:
    """Write classes, list, and both stages of second marks."""
    rubric = load_catalogue()[PRACTICAL]
    earned: dict[str, Mapping[str, int]] = {}
    classes = school_classes()
    for one in classes:
        earned |= _write_class(folder / one.name, one, rubric)
    _write_csv(
        folder / "department.csv",
        [("marker", "class", "set"), *((one.teacher, one.name, one.name) for one in classes)],
    )
    with tempfile.TemporaryDirectory() as place:
        first, second = Path(place) / "first", Path(place) / "second"
        listed = str(folder / "department.csv")
        _run("sample", listed, "--seed", SEED, "--boundaries", "4,7,10", "--out", str(first))
        _return_packs(first, folder / "returned", earned, "second marks")
        more = ("--more", str(first), "--marked", str(folder / "returned"))
        _run("sample", listed, "--seed", SEED, *more, "--out", str(second))
        _return_packs(second, folder / "returned-second-stage", earned, "second stage")
        for made, name in ((first, "round"), (second, "round-second-stage")):
            _keep_key(made, folder / name)


def _run(*words: str) -> None:
    with contextlib.redirect_stdout(io.StringIO()):
        if writeups(words) != 0:
            raise RuntimeError(" ".join(words))


def _write_class(folder: Path, one: SchoolClass, rubric: Rubric) -> Truth:
    folder.mkdir(parents=True, exist_ok=True)
    _write_csv(
        folder / "roster.csv", [("student", "name", "bench"), *((s.code, s.name, s.bench) for s in one.students)]
    )
    bare = [*_lines(one)]
    path = folder / f"{one.name}.csv"
    _write_csv(path, bare)
    earned = _earned(path, rubric)
    ticks = [
        (student.code, student.bench, PRACTICAL, f"tick {criterion}", "", str(mark), "")
        for student in one.students
        for criterion, mark in seen(one.teacher, student.code, earned[student.code], "first marks").items()
    ]
    _write_csv(path, [*bare, *ticks])
    return earned


def _lines(one: SchoolClass) -> Iterator[tuple[str, ...]]:
    filled = fill(bare_set(PRACTICAL, one.students, f"{SEED}/{one.name}"))
    yield "student", "bench", "practical", "item", "row", "entry", "unit"
    for student in one.students:
        for item, cell in filled.entries[student.code].items():
            if item in TYPED:
                for row, (text, unit) in rows_of(cell).items():
                    yield student.code, student.bench, PRACTICAL, item, str(row or ""), text, unit


def _earned(path: Path, rubric: Rubric) -> Truth:
    """Return what each script earns where people mark, by how able its student is."""
    (read,) = read_inputs([path.parent], {rubric.id: rubric})
    found = {}
    for script in mark_set(rubric, read).scripts:
        code = script.write_up.student.code
        chance = Random(f"{SEED}/earned/{code}")
        able = min(0.95, max(0.25, chance.gauss(0.72, 0.17)))
        left = [mark.criterion.code for mark in script.criteria if mark.marks is None]
        found[code] = {criterion: int(chance.random() < able) for criterion in left}
    return found


def _return_packs(made: Path, folder: Path, earned: Truth, occasion: str) -> None:
    """Write the packs of a round as they come back from the second markers."""
    key = json.loads((made / "key" / "key.json").read_text(encoding="utf-8"))
    folder.mkdir(parents=True, exist_ok=True)
    for path in sorted((made / "packs").glob("*.xlsx")):
        own = {
            line["code"]: seen(line["second_marker"], line["student"], earned[line["student"]], occasion)
            for line in key["lines"]
        }
        fill_pack(path, folder / path.name, own)


def _keep_key(made: Path, folder: Path) -> None:
    """Keep of a round what the moderator keeps; its packs are made anew by the same command."""
    for name in ("run.json", "key/key.json", "key/sample.csv"):
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(made / name, folder / name)


def _write_csv(path: Path, rows: Sequence[tuple[str, ...]]) -> None:
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(rows)
    path.write_text(text.getvalue(), encoding="utf-8", newline="\n")


def main(words: Sequence[str] | None = None) -> None:
    """Write the department below the folder that is named on the command line.

    Args:
        words: The command line after the name of the program; None for that of this process.
    """
    parser = argparse.ArgumentParser(prog="python -m samples.department", description="Make the department anew.")
    parser.add_argument("folder", nargs="?", type=Path, default=FOLDER / "department", help="where to")
    write(parser.parse_args(words).folder)


if __name__ == "__main__":
    main()
