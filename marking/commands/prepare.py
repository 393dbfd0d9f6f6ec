"""``writeups prepare``: all that is needed before the lesson, and a start for a practical of one's own."""

from __future__ import annotations

import argparse
import json
import shlex
import sys
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from pathlib import Path

from msgspec import Struct

from marking.commands.counting import counted
from marking.file_names import file_names
from marking.intake import path_here
from marking.intake.blank import write_class_workbook, write_student_workbook
from marking.intake.people import ROSTER_FILE, Roster, read_roster
from marking.outputs import Put, put_all
from marking.write_up import Student, Weight
from rubrics.faults import InputError, unknown_name
from rubrics.load import load_catalogue, read_rubric
from rubrics.model import Rubric


class _Told(Struct, frozen=True, kw_only=True):
    # What is written for one option, and what is said of it.
    name: str
    holds: str
    files: tuple[Put, ...]


def run(arguments: argparse.Namespace) -> int:
    """Write what is asked for; return the exit status."""
    if arguments.new is not None:
        from marking.commands.new_practical import start_practical

        return start_practical(arguments)
    rubric = _practical(arguments.practical)
    beside = None if arguments.roster else _roster_beside(arguments.out or arguments.each)
    named = arguments.roster or beside
    roster = _roster(path_here(Path(named))) if named else Roster()
    students = roster.students
    wanted = (arguments.out, arguments.each, arguments.print, arguments.kit, arguments.trials)
    before = _last_times(arguments.record, rubric)
    if not any(wanted) and arguments.record is None:
        mend = "name a workbook after --out, a folder after --each, or a file after --print, --kit or --trials"
        raise InputError(rubric.id, "nothing to write", mend)
    if (arguments.out or arguments.each) and not students:
        mend = "name the class after --roster, or put roster.csv there"
        raise InputError(rubric.id, "nobody to write a workbook for", mend)
    benches = bench_names(students, arguments.benches)
    if arguments.trials and not benches:
        raise InputError(
            rubric.id, "no benches to write a form for", "say how many after --benches, or name a --roster with benches"
        )
    told = [
        *_workbooks(arguments, rubric, students, benches if arguments.benches else ()),
        *_papers(arguments, rubric, students, benches or ("1",)),
    ]
    put_all([file for one in told for file in one.files], replace=arguments.replace)
    queries = [remark.message for remark in roster.remarks if remark.weight is not Weight.NOTE]
    if arguments.json:
        written = [
            {"name": one.name, "holds": one.holds, "files": [str(file.path) for file in one.files]} for one in told
        ]
        account = {"practical": rubric.id, "written": written, "attention": queries}
        print(json.dumps({**account, **({"last_time": before} if before else {})}, ensure_ascii=False))
        return 1 if queries else 0
    if beside:
        print(f"Roster: {beside}.")
    for one in told:
        print(f"{one.name}: {one.holds}, {rubric.title}.")
    if filled := arguments.out or arguments.each:
        print(f"Once it is filled in: writeups mark {shlex.quote(filled)} --out results")
    print(*before, sep="\n", end="\n" if before else "")
    for message in queries:
        print(message, file=sys.stderr)
    return 1 if queries else 0


def _last_times(where: str | None, rubric: Rubric) -> list[str]:
    """Return what went wrong the last times, line by line, for the teacher and on no paper; empty without a record."""
    if where is None:
        return []
    from marking.commands.record_use import reading_record
    from marking.decided import (
        CellMended,
        SetRead,
        WorkMarked,
    )
    from marking.over_time import last_times
    from reports.wording import last_time_lines

    with reading_record(where) as record:
        kinds = (SetRead, WorkMarked, CellMended)
        decisions = [
            one for kind in kinds if record for one in record.all_decisions(about=kind.about, practical=rubric.id)
        ]
    return last_time_lines(last_times(decisions, rubric), rubric.title)


def _roster_beside(written: str | None) -> str | None:
    """Return the roster that lies where a workbook is to be written, as ``mark`` finds it; None where none does."""
    place = Path(written).parent / ROSTER_FILE if written else None
    return str(place) if place is not None and place.is_file() else None


def _roster(path: Path) -> Roster:
    """Return the roster.

    Raises:
        InputError: It cannot be read, or a code stands in it twice: two students would get one workbook.
    """
    roster = read_roster(path)
    if roster.doubled:
        said = f"{', '.join(roster.doubled)}: each code belongs to one student"
        raise InputError(path.name, said, "give one of them another code, or take the line out")
    return roster


def _practical(name: str | None) -> Rubric:
    rubrics = load_catalogue()
    if name is None:
        raise InputError("prepare", "no practical is named", f"use one of {', '.join(rubrics)}")
    if name not in rubrics and not Path(name).is_file():
        raise unknown_name(name, "no practical of this name is known", name, rubrics)
    return rubrics[name] if name in rubrics else read_rubric(Path(name))


def bench_names(students: Sequence[Student], count: int | None) -> tuple[str, ...]:
    """Return the benches of the roster, 2 before 10, with numbers after them up to *count*."""
    known = sorted({student.bench for student in students if student.bench}, key=lambda bench: (len(bench), bench))
    spare = (str(number) for number in range(1, (count or 0) + 1) if str(number) not in known)
    return (*known, *list(spare)[: max(0, (count or 0) - len(known))])


def _workbooks(
    arguments: argparse.Namespace, rubric: Rubric, students: Sequence[Student], benches: Sequence[str]
) -> Iterator[_Told]:
    if arguments.out:
        yield _one(
            arguments.out,
            partial(write_class_workbook, rubric=rubric, students=students, benches=benches),
            counted(len(students), "student"),
        )
    if arguments.each:
        names = file_names([student.code for student in students])
        files = tuple(
            Put(
                path=Path(arguments.each) / f"{names[student.code]}.xlsx",
                write=partial(write_student_workbook, rubric=rubric, student=student),
            )
            for student in students
        )
        yield _Told(name=arguments.each, holds=counted(len(students), "workbook"), files=files)


def _papers(
    arguments: argparse.Namespace, rubric: Rubric, students: Sequence[Student], benches: Sequence[str]
) -> Iterator[_Told]:
    if arguments.print:
        from reports.lesson import write_results_sheets

        yield _one(
            arguments.print,
            partial(write_results_sheets, rubric=rubric, students=students, double_sided=arguments.sides == "two"),
            counted(max(1, len(students)), "results sheet"),
        )
    if arguments.kit:
        from reports.lesson import write_kit

        yield _one(
            arguments.kit,
            partial(write_kit, rubric=rubric, benches=benches),
            f"technician's list, {_benches(len(benches))}",
        )
    if arguments.trials:
        from marking.intake.forms import write_trials_file

        yield _one(
            arguments.trials,
            partial(write_trials_file, rubric=rubric, benches=benches),
            f"trial values to fill in, {_benches(len(benches))}",
        )


def _one(name: str, write: Callable[[Path], object], holds: str) -> _Told:
    return _Told(name=name, holds=holds, files=(Put(path=Path(name), write=write),))


def _benches(count: int) -> str:
    return "1 bench" if count == 1 else f"{count} benches"
