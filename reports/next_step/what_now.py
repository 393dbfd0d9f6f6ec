"""What a student does now: one step of their own, set out and stopped before its answer, and one more of its kind."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from marking.findings import Finding, Script
from marking.reasons import Reason
from reports.next_step.line_points import line_points
from reports.next_step.next_one import next_one
from reports.next_step.other_numbers import triangle
from reports.next_step.setting_out import NEAR_ENOUGH, SetOut, given_numbers, given_of, set_out, with_what_is_there
from reports.next_step.tasks import Question, Task
from reports.wording import Point, Slots, as_print, explain, fill, points_to_mend, symbol_words, wording
from rubrics.formulas import Call, Minus
from rubrics.model import Item, Rubric
from rubrics.units import Unit

_UNIT_ALONE = (Reason.UNIT_MISSING, Reason.UNIT_OTHER_QUANTITY, Reason.UNIT_NOT_OF_NUMBER, Reason.READING_UNIT_WRONG)
"""The number stands, and its unit is all there is to mend."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A line to be finished by hand: what stands before the gap, and the units behind it."""

    before: str
    after: str = ""
    last: str = ""
    """A second gap for the same value in this unit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Now:
    """The framed part of a sheet."""

    title: str
    said: tuple[str, ...]
    """What was written, what it is."""
    values: tuple[str, ...]
    """Formula and own numbers, line by line."""
    line: Line | None
    """Where the answer goes; None for a question in words."""
    answer: str
    """For the teacher."""
    more: Question
    """One more of its kind, or the only one where nothing is to mend."""
    is_step: bool = True
    """False where nothing is to mend."""
    rows: int = 1
    """Writing lines under the own step where there is no line to finish."""


def what_now(script: Script, rubric: Rubric, points: Sequence[Point]) -> Now:
    """Return what is first to do about *points*; where there are none, a question that goes on from this practical."""
    seed = f"{script.write_up.practical}/{script.write_up.student.code}"
    if not points:
        return _further(script, rubric)
    point = points[0]
    finding = point.findings[0]
    item = rubric.items.get(finding.item)
    reason = wording("reasons")[finding.reason]
    words = wording("sheet")["now"]
    title = fill(["{Quantity}, {rows}", "{Quantity}"], {"quantity": point.quantity, "rows": point.rows})
    step = (
        own_step(script, rubric, finding) if reason.get("names_cause") or finding.reason is Reason.NO_ANSWER else None
    )
    more = next_one(script, rubric, point, seed)
    shown = _own_lines(script, finding, item, step, reason)
    return Now(
        title=title,
        said=_said(point, reason),
        values=shown.values,
        line=shown.line,
        answer=shown.answer or fill(words["own_answer"], {"expected": point.expected}),
        more=more.question,
    )


def _further(script: Script, rubric: Rubric) -> Now:
    entries, words = wording("extensions"), wording("sheet")["now"]
    said = words["nothing_pending" if script.pending else "nothing"]
    entry = entries.get(rubric.id, entries["otherwise"])
    question = Question(text=entry["ask"], answer=entry["answer"], lines=3)
    return Now(title=words["further"], said=(said,), values=(), line=None, answer="", more=question, is_step=False)


def task_for(script: Script, rubric: Rubric) -> Task | None:
    """Return what one script is asked to do, with the answers; None for one that was not handed in."""
    if not script.write_up.is_handed_in:
        return None
    points = points_to_mend(script, rubric)
    now = what_now(script, rubric, points)
    if not points:
        return Task(about="further", intro=now.title, questions=(now.more,))
    before = now.line.before if now.line else ""
    own = Question(text=f"{now.title}: {before}".rstrip(": "), answer=now.answer, lines=1)
    return Task(about=points[0].task, intro=now.title, questions=(own, now.more))


# ---- what is said ----------------------------------------------------------------------------------------------


def _said(point: Point, reason: Mapping[str, Any]) -> tuple[str, ...]:
    """Return what was written and what it is; never the answer that is asked for."""
    finding = point.findings[0]
    labels = wording("sheet")["labels"]
    slots = Slots(finding, hides_answer=True)
    wrote = dict(point.card).get("You wrote", "")
    if finding.reason is Reason.NO_ANSWER:
        return (wording("sheet")["now"]["no_answer"],)
    if finding.reason is Reason.CHOICE_WRONG:
        wrote = f"“{wrote}”"
    said = [fill(wording("sheet")["now"]["wrote"], {"wrote": _quoted(wrote)})] if wrote else []
    if reason.get("names_cause"):
        return (*said, explain(finding, hides_answer=True))
    keeps = {labels["step"], "You have", "The point"}
    if reason.get("kind") == "figures":
        keeps.add("Your readings")
    for label, *sentences in reason.get("card", ()):
        if label in keeps:
            sentence = fill(sentences, slots)
            if label == "You have" and sentence:
                sentence = f"{label} {sentence[0].lower()}{sentence[1:]}"
            said.append(sentence)
    return tuple(sentence for sentence in said if sentence)


def _quoted(wrote: str) -> str:
    return wrote.rstrip(".")


# ---- the step in own numbers -----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class _Own:
    values: tuple[str, ...] = ()
    line: Line | None = None
    answer: str = ""


def own_step(script: Script, rubric: Rubric, finding: Finding) -> SetOut | None:
    """Return the step of a wrong or missing answer in the student's own numbers, where it works out."""
    item = rubric.items.get(finding.item)
    if item is None or item.formula is None or (finding.expected is None and finding.reason is not Reason.NO_ANSWER):
        return None
    wanted = wanted_unit(script, item, finding)
    item, row = with_what_is_there(rubric, script.write_up, item, finding.row)
    return set_out(rubric, item, given_numbers(rubric, script.write_up, item, row), wanted, finding.expected)


def worked_line(script: Script, rubric: Rubric, finding: Finding) -> str:
    """Return the sum of one answer in the units that make it true, '0.100 × 0.0250'; empty where none does.

    With the expected value behind it, it is an equation that holds for numbers and units.
    """
    step = own_step(script, rubric, finding)
    if step is None or step.last_unit or not step.formula:
        return ""
    changes = [line for line in step.values if line.count(" = ") > 1]
    working = step.working.partition(" = ")[2]
    return f"{', '.join(changes)}: {working}" if changes else working


def wanted_unit(script: Script, item: Item, finding: Finding) -> Unit:
    """Return the unit that the answer is asked for in: the one that was written where it fits, else the usual one."""
    column = script.write_up.columns.get(item.name, {})
    entry = column.get(finding.row or 1) if item.table is not None else script.write_up.singles.get(item.name)
    given = given_of(item, entry)
    return given.unit if given is not None else item.unit


def _own_lines(
    script: Script, finding: Finding, item: Item | None, step: SetOut | None, reason: Mapping[str, Any]
) -> _Own:
    if step is not None:
        formula = (step.formula,) if step.formula else ()
        ending = "" if step.working.endswith("=") else " ="
        line = Line(before=f"{step.working}{ending}", after=step.unit, last=step.last_unit)
        answer = f"{symbol_words(item) if item else ''} = {step.answer()}"
        return _Own(values=(*formula, *step.values), line=line, answer=answer)
    if item is None:
        return _Own(line=None)
    symbol = symbol_words(item)
    if reason.get("names_cause") or finding.reason is Reason.NO_ANSWER:
        return _gradient_lines(script, finding, item) or _Own(line=Line(before=f"{symbol} =", after=item.unit.symbol))
    if finding.reason in (
        Reason.UNIT_MISSING,
        Reason.UNIT_OTHER_QUANTITY,
        Reason.UNIT_NOT_OF_NUMBER,
        Reason.READING_UNIT_WRONG,
    ):
        return _Own(line=Line(before=as_print(f"{symbol} = {finding.entry}".rstrip())), answer=item.unit.symbol)
    if finding.reason.startswith("figures-"):
        return _Own(line=Line(before=f"{symbol} =", after=item.unit.symbol))
    return _Own(line=None)


def _gradient_lines(script: Script, finding: Finding, item: Item) -> _Own | None:
    """Return the triangle of the drawn line, where the answer is its gradient and the figures say so."""
    tree = item.formula.tree if item.formula else None
    is_turned = isinstance(tree, Minus)
    call = tree.term if isinstance(tree, Minus) else tree
    if not (isinstance(call, Call) and call.function == "slope") or script.plot is None or finding.expected is None:
        return None
    points = line_points(script.plot)
    sign = -1 if is_turned else 1
    if points is None or abs(points.gradient * sign - finding.expected) > NEAR_ENOUGH * abs(finding.expected):
        return None
    told = triangle(points, item.unit.symbol)
    words = wording("sheet")["now"]
    values = (fill([words["triangle"]], {"low": told.points[0], "high": told.points[1]}),)
    working = f"−[{told.working}]" if is_turned else told.working
    line = Line(before=f"{symbol_words(item)} = {working} =", after=told.unit)
    answer = f"{symbol_words(item)} = {finding.facts.get('expected', '')}"
    return _Own(values=values, line=line, answer=answer)
