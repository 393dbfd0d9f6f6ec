"""A student asks for a review of one mark: the window, who may look, and what comes of it.

The mark may go down as well as up, and that is said beforehand. A review is seen: whoever looks has the explanation of
the mark and everything that was written.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from enum import StrEnum
from typing import Any

from msgspec import Struct, structs

from marking.decided import (
    AppealAnswered,
    AppealAsked,
    AppealPassedOn,
    Closed,
    Decision,
    MarkGiven,
    Reopened,
    SetName,
)
from marking.record import (
    Maker,
    Record,
    is_closed,
)
from rubrics.faults import InputError

WINDOW_DAYS = 10
"""School days after marks are released; five to ten are common practice, no source."""


_OPENED = "a student's question about one mark was answered"


class Outcome(StrEnum):
    """What a review comes to."""

    UPHELD = "upheld"
    RAISED = "raised"
    LOWERED = "lowered"
    UNCLEAR = "scheme-unclear"
    """The scheme does not settle it: everybody's mark for the criterion is looked at."""


class Appeal(Struct, frozen=True, kw_only=True):
    """One question about one mark, and what became of it."""

    asked: AppealAsked
    answered: AppealAnswered | None
    reviewer: str = ""
    """Who was asked to look; empty where nobody was."""


def school_days(first: datetime.date, last: datetime.date, closed: frozenset[datetime.date] = frozenset()) -> int:
    """Return the school days after *first* up to and with *last*: weekdays on which the school is not *closed*."""
    days = (first + datetime.timedelta(days=number) for number in range(1, (last - first).days + 1))
    return sum(day.weekday() < 5 and day not in closed for day in days)


def ask(
    record: Record,
    name: SetName,
    maker: Maker,
    *,
    student: str,
    criterion: str,
    why: str,
    released: datetime.date,
    window: int = WINDOW_DAYS,
) -> AppealAsked:
    """Take a question down.

    Args:
        record: The record of the department.
        name: The student's set.
        maker: Who takes it down.
        student: Code of the student.
        criterion: Code of the criterion; a review is about one mark.
        why: What the student says.
        released: The day on which marks were given back.
        window: School days that a question may be asked in.

    Raises:
        InputError: The window is over, or the same mark is being looked at already.
    """
    if not maker.who.strip():
        raise InputError(student, "a named person takes a question down", "say who after --by")
    today = datetime.date.fromisoformat(maker.now()[:10])
    if school_days(released, today) > window:
        problem = f"the window of {window} school days after {released.isoformat()} is over"
        raise InputError(student, problem, "take it to the head of department")
    before = _about(record.decisions(name, about=AppealAsked.about), student, criterion)
    if before and not isinstance(before[-1], AppealAnswered):
        raise InputError(student, f"{criterion} is being looked at already", "answer that question first")
    made = AppealAsked(
        id=maker.fresh(),
        who=maker.who,
        when=maker.now(),
        set=name,
        number=len(before) + 1,
        student=student,
        criterion=criterion,
        why=why,
        program=maker.program,
    )
    record.add([made])
    return made


def pass_on(
    record: Record,
    name: SetName,
    maker: Maker,
    *,
    student: str,
    criterion: str,
    reviewer: str,
    first_marker: str,
) -> AppealPassedOn:
    """Give a question to the teacher who is to look at the mark; who had it before has it no more.

    Raises:
        InputError: No question is open, nobody is named, or the first marker would judge.
    """
    before = _open_question(record, name, student, criterion)
    if not maker.who.strip():
        raise InputError(student, "a named person gives a question on", "say who after --by")
    _not_the_first(reviewer, first_marker, student)
    made = AppealPassedOn(
        id=maker.fresh(),
        who=maker.who,
        when=maker.now(),
        set=name,
        number=before[-1].number + 1,
        student=student,
        criterion=criterion,
        program=maker.program,
        reviewer=reviewer,
    )
    record.add([made])
    return made


def answer(
    record: Record,
    name: SetName,
    maker: Maker,
    *,
    student: str,
    criterion: str,
    outcome: Outcome,
    marks: int,
    why: str,
    first_marker: str,
    was: int,
    out_of: int,
    version: str = "",
) -> AppealAnswered:
    """Take the outcome of a review down; a mark that changes becomes a decision on the mark as well.

    Args:
        record: The record of the department.
        name: The student's set; where it is closed it is opened for this one mark and closed again, all at once.
        maker: Who has looked.
        student: Code of the student.
        criterion: Code of the mark.
        outcome: What comes of it.
        marks: What counts from now on.
        why: The reason.
        first_marker: Who gave the mark first.
        was: The mark until now.
        out_of: Marks of the criterion.
        version: Cell of decisions on this version of the work.

    Raises:
        InputError: Nothing was asked, another is to look, the first marker would judge, no reason, or a mark that is
            not the outcome's.
    """
    before = _open_question(record, name, student, criterion)
    _not_the_first(maker.who, first_marker, student)
    reviewer = next((one.reviewer for one in reversed(before) if isinstance(one, AppealPassedOn)), "")
    if reviewer not in ("", maker.who):
        raise InputError(student, f"this question was given to {reviewer}", f"let {reviewer} answer, or give it on")
    if not why.strip():
        raise InputError(student, "the answer has a reason", "say it after --reason")
    fits = {Outcome.RAISED: was < marks <= out_of, Outcome.LOWERED: 0 <= marks < was}.get(outcome, marks == was)
    if not fits:
        raise InputError(student, f"{marks} of {out_of} for {was} is not '{outcome.value}'", "mend mark or outcome")
    made = AppealAnswered(
        id=maker.fresh(),
        who=maker.who,
        when=maker.now(),
        set=name,
        number=before[-1].number + 1,
        student=student,
        criterion=criterion,
        was=str(was),
        why=why,
        program=maker.program,
        outcome=outcome.value,
        marks=marks,
    )
    record.add([made, *_new_mark(record, name, maker, made, was, version)])
    return made


def _open_question(record: Record, name: SetName, student: str, criterion: str) -> list[Decision]:
    """Return what was said so far about a mark, the open question first.

    Raises:
        InputError: No question about it is open.
    """
    before = _about(record.decisions(name, about=AppealAsked.about), student, criterion)
    if not before or isinstance(before[-1], AppealAnswered):
        raise InputError(student, f"no question about {criterion} is open", "take the question down first")
    last = max(place for place, one in enumerate(before) if isinstance(one, AppealAsked))
    return before[last:]


def _not_the_first(who: str, first_marker: str, student: str) -> None:
    if not who.strip() or who == first_marker:
        raise InputError(student, "a review is for a teacher who did not mark it first", "let another teacher look")


def _new_mark(
    record: Record, name: SetName, maker: Maker, made: AppealAnswered, was: int, version: str
) -> Iterable[Decision]:
    if made.marks == was:
        return
    steps = record.decisions(name, about=Closed.about)
    closed, number = is_closed(steps), max((one.number for one in steps), default=0)
    given = [
        one for one in record.decisions(name, about=MarkGiven.about) if _is_same(one, made) and one.cell == version
    ]
    shared: dict[str, Any] = {"who": made.who, "when": made.when, "set": name, "program": maker.program}
    if closed:
        # Nothing of the student stands here: the line is about the whole set, and outlasts an erasing.
        yield Reopened(id=maker.fresh(), number=number + 1, why=_OPENED, **shared)
    yield MarkGiven(
        id=maker.fresh(),
        number=max((one.number for one in given), default=0) + 1,
        student=made.student,
        criterion=made.criterion,
        cell=version,
        was=str(was),
        why=made.why,
        marks=made.marks,
        **shared,
    )
    if closed:
        yield Closed(id=maker.fresh(), number=number + 2, **shared)


def _is_same(one: Decision, made: Decision) -> bool:
    return (one.set, one.student, one.criterion) == (made.set, made.student, made.criterion)


def _about(decisions: Iterable[Decision], student: str, criterion: str) -> list[Decision]:
    return [one for one in decisions if (one.student, one.criterion) == (student, criterion)]


def appeals(decisions: Iterable[Decision]) -> tuple[Appeal, ...]:
    """Return the questions of one set or several with their answers, in the order in which they were asked."""
    found: list[Appeal] = []
    for one in decisions:
        if isinstance(one, AppealAsked):
            found.append(Appeal(asked=one, answered=None))
        elif isinstance(one, AppealAnswered | AppealPassedOn):
            place = max(number for number, each in enumerate(found) if _is_same(each.asked, one))
            found[place] = (
                structs.replace(found[place], answered=one)
                if isinstance(one, AppealAnswered)
                else structs.replace(found[place], reviewer=one.reviewer)
            )
    return tuple(found)
