"""``writeups prepare``: blank workbooks, ready to fill in."""

from __future__ import annotations

import argparse
from pathlib import Path

from marking.commands.counting import counted
from marking.commands.output_folder import file_names
from marking.intake import read_roster, write_class_workbook, write_student_workbook
from rubrics.errors import InputError
from rubrics.load import load_catalogue, read_rubric


def run(arguments: argparse.Namespace) -> int:
    """Write the blank workbooks; return the exit status."""
    rubrics = load_catalogue()
    name = arguments.practical
    if name not in rubrics and not Path(name).is_file():
        raise InputError(name, "no practical of this name is known", f"use one of {', '.join(rubrics)}")
    rubric = rubrics[name] if name in rubrics else read_rubric(Path(name))
    students = read_roster(Path(arguments.roster)).students
    if arguments.out is None and arguments.each is None:
        raise InputError(name, "nothing to write", "name a workbook after --out, or a folder after --each")
    if arguments.out is not None:
        out = Path(arguments.out)
        out.parent.mkdir(parents=True, exist_ok=True)
        write_class_workbook(out, rubric, students)
        print(f"{out}: {counted(len(students), 'student')}, {rubric.title}.")
    if arguments.each is not None:
        folder = Path(arguments.each)
        folder.mkdir(parents=True, exist_ok=True)
        names = file_names([student.code for student in students])
        for student in students:
            write_student_workbook(folder / f"{names[student.code]}.xlsx", rubric, student)
        print(f"{folder}: {counted(len(students), 'workbook')}, {rubric.title}.")
    return 0
