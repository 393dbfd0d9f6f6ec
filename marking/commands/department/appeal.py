"""``writeups appeal``: a student's question about one mark, its answer by another teacher, and the letter."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path

from msgspec import Struct

from marking.commands.department.department_use import department_classes
from marking.commands.mark import known_rubrics
from marking.commands.record_use import maker_of
from marking.decided import SetName, version_of
from marking.findings import CriterionMark, Script
from marking.moderation.decisions import AppealOutcome, answer, appeals, ask, pass_on
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
        classes = department_classes(arguments, known_rubrics(arguments.rubric), record, takes_down=True)
        asked = _asked(classes, arguments.student, arguments.criterion)
        if arguments.outcome is not None:
            return _answer(record, asked, arguments)
        return _ask(record, asked, arguments)
    finally:
        record.close()


class _Asked(Struct, frozen=True, kw_only=True):
    """The mark in question."""

    first_marker: str
    name: SetName
    """The set, as the record calls it."""
    script: Script
    mark: CriterionMark


def _ask(record: Record, one: _Asked, arguments: argparse.Namespace) -> int:
    """Take a question down, or give one that is open to whoever is to look."""
    words = wording("moderation")["appeal"]
    about = {"student": arguments.student, "criterion": one.mark.criterion.code}
    maker = maker_of(arguments.by)
    if arguments.released is not None:
        ask(
            record,
            one.name,
            maker,
            **about,
            why=arguments.reason,
            released=arguments.released,
            window=arguments.window,
        )
        print(fill([words["asked"]], {**about, "marks": str(one.mark.marks)}))
    elif arguments.reviewer is None:
        raise InputError(arguments.student, "the window starts on the day of release", "say it after --released")
    if arguments.reviewer is not None:
        pass_on(record, one.name, maker, **about, reviewer=arguments.reviewer, first_marker=one.first_marker)
        print(fill([words["passed_on"]], {**about, "reviewer": arguments.reviewer}))
    return 0


def _answer(record: Record, one: _Asked, arguments: argparse.Namespace) -> int:
    was, criterion = one.mark.marks or 0, one.mark.criterion
    answer(
        record,
        one.name,
        maker_of(arguments.by),
        student=arguments.student,
        criterion=criterion.code,
        outcome=_outcome(arguments.outcome),
        marks=was if arguments.marks is None else arguments.marks,
        why=arguments.reason,
        first_marker=one.first_marker,
        was=was,
        out_of=criterion.marks,
        version=version_of(one.script),
    )
    made = [
        each
        for each in appeals(record.decisions(one.name, about="appeal"))
        if (each.asked.student, each.asked.criterion) == (arguments.student, criterion.code)
    ][-1]
    print("\n".join(letter_sentences(made, criterion.point, criterion.marks)))
    if arguments.letter:
        path = Path(arguments.letter)
        path.parent.mkdir(parents=True, exist_ok=True)
        write_appeal_letter(path, made, criterion.point, criterion.marks)
    return 0


def _outcome(said: str) -> AppealOutcome:
    known = {one.value: one for one in AppealOutcome}
    if said not in known:
        raise InputError(said, "a review has no such outcome", f"use one of {', '.join(known)}")
    return known[said]


def _asked(classes: Sequence[ClassMarks], student: str, criterion: str) -> _Asked:
    """Return the mark in question.

    Raises:
        InputError: No such student, no such criterion there, or the mark waits for its teacher.
    """
    found = [(one, each) for one in classes for each in one.marked.scripts if each.write_up.student.code == student]
    if not found:
        raise InputError(student, "no class of the list has this student", "look the code up in the rosters")
    one, script = found[0]
    mark = next((each for each in script.criteria if each.criterion.code == criterion), None)
    if mark is None:
        codes = ", ".join(each.criterion.code for each in script.criteria) or "none: nothing was handed in"
        raise InputError(student, f"there is no mark {criterion}", f"use one of {codes}")
    if mark.marks is None:
        raise InputError(student, f"{criterion} waits for {one.marker}: there is no mark yet", "decide it first")
    name = SetName(class_name=one.kept_as or one.class_name, practical=one.marked.rubric.id)
    return _Asked(first_marker=one.marker, name=name, script=script, mark=mark)
