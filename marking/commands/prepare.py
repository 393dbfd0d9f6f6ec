"""``writeups prepare``: all that is needed before the lesson, and a start for a practical of one's own."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path

from marking.commands.counting import counted
from marking.commands.output_folder import file_names
from marking.intake.blank import write_class_workbook, write_student_workbook
from marking.intake.people import read_roster
from marking.write_up import Student
from rubrics.faults import InputError
from rubrics.load import load_catalogue, read_rubric
from rubrics.model import Rubric


def run(arguments: argparse.Namespace) -> int:
    """Write what is asked for; return the exit status."""
    if arguments.new is not None:
        from marking.commands.new_practical import start_practical

        return start_practical(arguments)
    rubric = _practical(arguments.practical)
    students = read_roster(Path(arguments.roster)).students if arguments.roster else ()
    wanted = (arguments.out, arguments.each, arguments.print, arguments.kit, arguments.trials)
    if not any(wanted):
        mend = "name a workbook after --out, a folder after --each, or a file after --print, --kit or --trials"
        raise InputError(rubric.id, "nothing to write", mend)
    if (arguments.out or arguments.each) and not students:
        raise InputError(rubric.id, "nobody to write a workbook for", "name the class after --roster")
    benches = bench_names(students, arguments.benches)
    if arguments.trials and not benches:
        raise InputError(
            rubric.id, "no benches to write a form for", "say how many after --benches, or name a --roster with benches"
        )
    _write_workbooks(arguments, rubric, students, benches if arguments.benches else ())
    _write_papers(arguments, rubric, students, benches or ("1",))
    return 0


def _practical(name: str | None) -> Rubric:
    rubrics = load_catalogue()
    if name is None:
        raise InputError("prepare", "no practical is named", f"use one of {', '.join(rubrics)}")
    if name not in rubrics and not Path(name).is_file():
        raise InputError(name, "no practical of this name is known", f"use one of {', '.join(rubrics)}")
    return rubrics[name] if name in rubrics else read_rubric(Path(name))


def bench_names(students: Sequence[Student], count: int | None) -> tuple[str, ...]:
    """Return the benches of the roster, 2 before 10, with numbers after them up to *count*."""
    known = sorted({student.bench for student in students if student.bench}, key=lambda bench: (len(bench), bench))
    spare = (str(number) for number in range(1, (count or 0) + 1) if str(number) not in known)
    return (*known, *list(spare)[: max(0, (count or 0) - len(known))])


def _write_workbooks(
    arguments: argparse.Namespace, rubric: Rubric, students: Sequence[Student], benches: Sequence[str]
) -> None:
    if arguments.out:
        out = _file(arguments.out)
        write_class_workbook(out, rubric, students, benches=benches)
        print(f"{out}: {counted(len(students), 'student')}, {rubric.title}.")
    if arguments.each:
        folder = Path(arguments.each)
        folder.mkdir(parents=True, exist_ok=True)
        names = file_names([student.code for student in students])
        for student in students:
            write_student_workbook(folder / f"{names[student.code]}.xlsx", rubric, student)
        print(f"{folder}: {counted(len(students), 'workbook')}, {rubric.title}.")


def _write_papers(
    arguments: argparse.Namespace, rubric: Rubric, students: Sequence[Student], benches: Sequence[str]
) -> None:
    if arguments.print:
        from reports.lesson import write_results_sheets

        out = _file(arguments.print)
        write_results_sheets(out, rubric, students)
        print(f"{out}: {counted(max(1, len(students)), 'results sheet')}, {rubric.title}.")
    if arguments.kit:
        from reports.lesson import write_kit

        out = _file(arguments.kit)
        write_kit(out, rubric, benches)
        print(f"{out}: technician's list, {_benches(len(benches))}, {rubric.title}.")
    if arguments.trials:
        from marking.intake.forms import write_trials_file

        out = _file(arguments.trials)
        write_trials_file(out, rubric, benches)
        print(f"{out}: trial values to fill in, {_benches(len(benches))}, {rubric.title}.")


def _benches(count: int) -> str:
    return "1 bench" if count == 1 else f"{count} benches"


def _file(name: str) -> Path:
    path = Path(name)
    path.parent.mkdir(parents=True, exist_ok=True)
    return path
