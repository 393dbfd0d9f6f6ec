"""Questions: a student asks for a review of one mark; who is to look, what they see, and the answer."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from marking.desk.pages import Written, about_mark, evidence_for, past, written
from marking.desk.shelf import HeldSet
from marking.findings import CriterionMark, Script
from marking.moderation.decisions import Appeal
from reports.moderation import letter_sentences
from reports.wording import total_note


class QuestionRow(Struct, frozen=True, kw_only=True):
    """One question in the list."""

    id: str
    student: str
    class_name: str
    title: str
    criterion: str
    day: str
    reviewer: str
    outcome: str
    """Empty while it is open."""
    is_mine: bool
    """Whether this person is to look at it now."""


class WriteUpRow(Struct, frozen=True, kw_only=True):
    """One write-up about which a question may be taken down."""

    sid: str
    at: int
    student: str
    name: str
    class_name: str
    title: str


class QuestionsPage(Struct, frozen=True, kw_only=True):
    """All questions that concern somebody."""

    rows: tuple[QuestionRow, ...]
    code: str
    """Of a student, as it was looked for."""
    found: tuple[WriteUpRow, ...]


class MarkAsked(Struct, frozen=True, kw_only=True):
    """One mark about which a question may be asked."""

    criterion: str
    point: str
    marks: int | None
    out_of: int


class AskingPage(Struct, frozen=True, kw_only=True):
    """The form that takes a question down."""

    at: int
    student: str
    name: str
    marks: tuple[MarkAsked, ...]
    released: str
    chosen: str
    why: str
    button: str
    refused: str


class QuestionPage(Struct, frozen=True, kw_only=True):
    """One question, with all that whoever looks has to see."""

    row: QuestionRow
    point: str
    marks: int | None
    out_of: int
    asked_by: str
    why: str
    """What the student says."""
    evidence: object
    written: Written
    """All of the student's work, not what this mark is about alone."""
    history: tuple[object, ...]
    ruled: str
    answer: tuple[str, ...]
    """The letter, in sentences; empty while the question is open."""
    people: tuple[str, ...]
    """To whom it may be given; empty where this person gives none on."""
    may_answer: bool
    seen: str
    button: str
    typed: str
    refused: str


def question_row(appeal: Appeal, title: str, *, who: str) -> QuestionRow:
    """Return a question for the list of *who*."""
    asked, answered = appeal.asked, appeal.answered
    return QuestionRow(
        id=asked.id,
        student=asked.student,
        class_name=asked.set.class_name,
        title=title,
        criterion=asked.criterion,
        day=asked.when[:10],
        reviewer=answered.who if answered is not None else appeal.reviewer,
        outcome=answered.outcome if answered is not None else "",
        is_mine=answered is None and appeal.reviewer == who,
    )


def write_ups_of(code: str, sets: Sequence[HeldSet]) -> tuple[WriteUpRow, ...]:
    """Return the marked write-ups of a student in *sets*."""
    wanted = code.strip().casefold()
    return tuple(
        WriteUpRow(
            sid=held.sid,
            at=at,
            student=script.write_up.student.code,
            name=script.write_up.student.name,
            class_name=held.name.class_name,
            title=held.rubric.title,
        )
        for held in sets
        for at, script in enumerate(held.marked.scripts)
        if script.criteria and script.write_up.student.code.casefold() == wanted
    )


def asking_page(
    script: Script, at: int, *, released: str, button: str, chosen: str = "", why: str = "", refused: str = ""
) -> AskingPage:
    """Return the form that takes a question about one of the marks of *script* down."""
    return AskingPage(
        at=at,
        student=script.write_up.student.code,
        name=script.write_up.student.name,
        marks=tuple(
            MarkAsked(
                criterion=mark.criterion.code,
                point=mark.criterion.point,
                marks=mark.marks,
                out_of=mark.criterion.marks,
            )
            for mark in script.criteria
        ),
        released=released,
        chosen=chosen,
        why=why,
        button=button,
        refused=refused,
    )


def question_page(
    row: QuestionRow,
    appeal: Appeal,
    held: HeldSet,
    script: Script,
    mark: CriterionMark,
    *,
    people: Sequence[str],
    button: str,
    typed: str = "",
    refused: str = "",
) -> QuestionPage:
    """Return one question; whoever looks sees everything that was written, found and decided."""
    letter = letter_sentences(appeal, mark.criterion.point, mark.criterion.marks) if appeal.answered else []
    return QuestionPage(
        row=row,
        point=mark.criterion.point,
        marks=mark.marks,
        out_of=mark.criterion.marks,
        asked_by=appeal.asked.who,
        why=appeal.asked.why,
        evidence=evidence_for(script, held.rubric, mark.criterion.code),
        written=written(held, script),
        history=tuple(past(one) for one in about_mark(held, script, mark.criterion.code)),
        ruled=total_note(script),
        answer=tuple(letter),
        people=tuple(people) if appeal.answered is None else (),
        may_answer=row.is_mine and mark.marks is not None,
        seen=seen_of(appeal, mark),
        button=button,
        typed=typed,
        refused=refused,
    )


def seen_of(appeal: Appeal, mark: CriterionMark) -> str:
    """Return what a form sends back, so that nobody answers about another mark than was seen."""
    return f"{mark.marks}/{appeal.reviewer}/{appeal.answered.number if appeal.answered else 0}"
