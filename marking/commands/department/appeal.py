"""``writeups appeal``: a student's question about one mark, its answer by another teacher, and the letter."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path

from marking.commands.department.department_use import department_classes
from marking.commands.mark import known_rubrics
from marking.commands.record_use import maker_of
from marking.decided import SetName
from marking.findings import CriterionMark
from marking.moderation.decisions import AppealOutcome, answer, appeals, ask
from marking.moderation.sampling import ClassMarks
from marking.record import (
    Record,
    open_record,
)
from reports.moderation import letter_sentences, write_appeal_letter
from reports.wording import fill, wording
from rubrics.faults import InputError


def run(arguments: argparse.Namespace) -> int:
    """Take a question or its answer down; return the exit status."""
    record = open_record(arguments.record, may_begin=True)
    try:
        classes = department_classes(arguments, known_rubrics(arguments.rubric), record)
        one, mark = _mark(classes, arguments.student, arguments.criterion)
        name = SetName(class_name=one.class_name, practical=one.marked.rubric.id)
        if arguments.outcome is None:
            return _ask(record, name, mark, arguments)
        return _answer(record, name, one, mark, arguments)
    finally:
        record.close()


def _ask(record: Record, name: SetName, mark: CriterionMark, arguments: argparse.Namespace) -> int:
    if arguments.released is None:
        raise InputError(arguments.student, "the window starts on the day of release", "say it after --released")
    ask(
        record,
        name,
        maker_of(arguments.by),
        student=arguments.student,
        criterion=mark.criterion.code,
        why=arguments.reason,
        released=arguments.released,
        window=arguments.window,
    )
    slots = {"student": arguments.student, "criterion": mark.criterion.code, "marks": str(mark.marks)}
    print(fill([wording("moderation")["appeal"]["asked"]], slots))
    return 0


def _answer(record: Record, name: SetName, one: ClassMarks, mark: CriterionMark, arguments: argparse.Namespace) -> int:
    was = mark.marks or 0
    outcome = _outcome(arguments.outcome)
    answer(
        record,
        name,
        maker_of(arguments.by),
        student=arguments.student,
        criterion=mark.criterion.code,
        outcome=outcome,
        marks=was if arguments.marks is None else arguments.marks,
        why=arguments.reason,
        first_marker=one.marker,
        was=was,
        out_of=mark.criterion.marks,
    )
    made = [
        each
        for each in appeals(record.decisions(name, about="appeal"))
        if (each.asked.student, each.asked.criterion) == (arguments.student, mark.criterion.code)
    ][-1]
    print("\n".join(letter_sentences(made, mark.criterion.point, mark.criterion.marks)))
    if arguments.letter:
        path = Path(arguments.letter)
        path.parent.mkdir(parents=True, exist_ok=True)
        write_appeal_letter(path, made, mark.criterion.point, mark.criterion.marks)
    return 0


def _outcome(said: str) -> AppealOutcome:
    known = {one.value: one for one in AppealOutcome}
    if said not in known:
        raise InputError(said, "a review has no such outcome", f"use one of {', '.join(known)}")
    return known[said]


def _mark(classes: Sequence[ClassMarks], student: str, criterion: str) -> tuple[ClassMarks, CriterionMark]:
    """Return the class of *student* and the mark in question.

    Raises:
        InputError: No such student, or no such criterion there.
    """
    for one in classes:
        for script in one.marked.scripts:
            if script.write_up.student.code == student:
                for mark in script.criteria:
                    if mark.criterion.code == criterion:
                        return one, mark
                codes = ", ".join(mark.criterion.code for mark in script.criteria) or "none: nothing was handed in"
                raise InputError(student, f"there is no mark {criterion}", f"use one of {codes}")
    raise InputError(student, "no class of the list has this student", "look the code up in the rosters")
