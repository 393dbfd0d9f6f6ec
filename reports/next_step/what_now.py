"""What a student does now: one step of their own, set out and stopped before its answer, and one more of its kind."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from marking.findings import Finding, Script
from marking.reasons import Reason
from reports.next_step.graph_tasks import own_lines, own_ranges
from reports.next_step.next_one import next_one
from reports.next_step.own_numbers import (
    given_numbers,
    given_of,
    missing_reading,
    odd_reading,
    wanted_unit,
    with_what_is_there,
    without,
)
from reports.next_step.reading_tasks import MOST_PLACES, own_result, table_words
from reports.next_step.setting_out import Given, SetOut, name_words, set_out
from reports.next_step.tasks import Question, Task
from reports.wording import Point, Slots, as_print, explain, fill, points_to_mend, symbol_words, wording
from rubrics.formulas import printed
from rubrics.model import Item, Rubric

_UNWORKED = (Reason.NO_ANSWER, Reason.METHOD_NOT_DONE)
"""Nothing was worked out by this step yet."""
_UNIT_ALONE = (Reason.UNIT_MISSING, Reason.UNIT_OTHER_QUANTITY, Reason.UNIT_NOT_OF_NUMBER, Reason.READING_UNIT_WRONG)
"""The number stands, and its unit is all there is to mend."""


class Line(Struct, frozen=True, kw_only=True):
    """A line to be finished by hand: what stands before the gap, and the units behind it."""

    before: str
    after: str = ""
    last: str = ""
    """A second gap for the same value in this unit."""


class Now(Struct, frozen=True, kw_only=True):
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
    own = _own_lines(script, rubric, finding, item)
    words = wording("sheet")["now"]
    return Now(
        title=_title(point),
        said=_said(point, wording("reasons")[finding.reason], own),
        values=own.values,
        line=own.line,
        answer=own.answer or fill(words["own_answer"], {"expected": point.expected}),
        more=next_one(script, rubric, point, seed).question,
    )


def _title(point: Point) -> str:
    if point.findings[0].reason.startswith("scale-"):
        return fill(["{Graph}"], wording("sheet")["now"])
    return fill(["{Quantity}, {rows}", "{Quantity}"], {"quantity": point.quantity, "rows": point.rows})


def _further(script: Script, rubric: Rubric) -> Now:
    entries, words = wording("extensions"), wording("sheet")["now"]
    said = words["nothing_pending" if script.pending else "nothing"]
    entry = entries.get(rubric.id, entries["otherwise"])
    question = Question(text=entry["ask"], answer=entry["answer"], lines=3)
    return Now(title=words["further"], said=(said,), values=(), line=None, answer="", more=question, is_step=False)


Tasks = dict[tuple[str, str], Task]
"""Student and practical to the task, as far as sheets have been set: what is worked out for a sheet is not worked out
again for the teacher's list."""


def task_for(script: Script, rubric: Rubric) -> Task | None:
    """Return what one script is asked to do, with the answers; None for one that was not handed in."""
    if not script.write_up.is_handed_in:
        return None
    points = points_to_mend(script, rubric)
    return as_task(points, what_now(script, rubric, points))


def as_task(points: Sequence[Point], now: Now) -> Task:
    """Return the task that *now* is, which is the first thing to do about *points*."""
    if not points:
        return Task(about="further", intro=now.title, questions=(now.more,))
    before = now.line.before if now.line else ""
    own = Question(text=f"{now.title}: {before}".rstrip(": "), answer=now.answer, lines=1)
    return Task(about=points[0].task, intro=now.title, questions=(own, now.more))


# ---- what is said ----------------------------------------------------------------------------------------------


def _said(point: Point, reason: Mapping[str, Any], own: _Own) -> tuple[str, ...]:
    """Return what was written and what it is; never the answer that is asked for."""
    finding = point.findings[0]
    if finding.told:
        return (finding.told,)
    words, labels = wording("sheet")["now"], wording("sheet")["labels"]
    if finding.reason is Reason.NO_ANSWER:
        return (own.said or words["no_answer_plain"],)
    slots = Slots(finding, hides_answer=True)
    wrote = dict(point.card).get("You wrote", "")
    if finding.reason in (Reason.CHOICE_WRONG, Reason.NEAREST_OTHER):
        wrote = f"“{wrote}”"
    said = [fill(words["wrote"], {"wrote": _quoted(wrote)})] if wrote else []
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
    if finding.reason is not Reason.METHOD_NOT_DONE:
        said.append(own.said)
    return tuple(sentence for sentence in said if sentence)


def _quoted(wrote: str) -> str:
    """Return what a card says was written, inside a sentence."""
    return f"t{wrote[1:]}".rstrip(".") if wrote.startswith("The unit ") else wrote.rstrip(".")


# ---- the step in own numbers -----------------------------------------------------------------------------------


class _Own(Struct, frozen=True, kw_only=True):
    values: tuple[str, ...] = ()
    line: Line | None = None
    answer: str = ""
    said: str = ""
    """A sentence more about what to do."""


def own_step(script: Script, rubric: Rubric, finding: Finding) -> SetOut | None:
    """Return the step of a wrong or missing answer in the student's own numbers, where it works out."""
    item = rubric.items.get(finding.item)
    if item is None or item.formula is None or (finding.expected is None and finding.reason not in _UNWORKED):
        return None
    wanted = wanted_unit(script, item, finding)
    item, row = with_what_is_there(rubric, script.write_up, item, finding.row)
    given = without(
        given_numbers(rubric, script.write_up, item, row), odd_reading(rubric, script.write_up, item, finding)
    )
    return set_out(rubric, item, given, wanted, finding.expected)


def worked_line(script: Script, rubric: Rubric, finding: Finding) -> str:
    """Return the sum of one answer in the units that make it true, '0.100 × 0.0250'; empty where none does.

    With the expected value behind it, it is an equation that holds for numbers and units.
    """
    step = own_step(script, rubric, finding)
    if step is None or step.last_unit or not (step.formula or step.values):
        return ""
    changes = [line for line in step.values if line.count(" = ") > 1]
    working = step.working.partition(" = ")[2]
    return f"{', '.join(changes)}: {working}" if changes else working


def _own_lines(script: Script, rubric: Rubric, finding: Finding, item: Item | None) -> _Own:
    if finding.reason.startswith("scale-"):
        values, answer = own_ranges(script, rubric)
        return _Own(values=values, answer=answer, said=wording("sheet")["now"]["scale_step"])
    if item is None:
        return _Own()
    if wording("reasons")[finding.reason].get("names_cause") or finding.reason in _UNWORKED:
        return _step_lines(script, rubric, finding, item)
    return _own_words(script, rubric, finding, item)


def _step_lines(script: Script, rubric: Rubric, finding: Finding, item: Item) -> _Own:
    """Return the lines of an answer that is to be worked out."""
    words = wording("sheet")["now"]
    if item.choices:
        return _Own(answer=words["own_answer"][-1], said=fill([words["no_answer_choice"]], finding.facts))
    step = own_step(script, rubric, finding)
    if step is not None:
        formula = (step.formula,) if step.formula else ()
        ending = "" if step.working.endswith("=") else " ="
        line = Line(before=f"{step.working}{ending}", after=step.unit, last=step.last_unit)
        answer = f"{name_words(item)} = {step.answer()}"
        return _Own(values=(*formula, *step.values), line=line, answer=answer, said=words["no_answer"])
    lines = own_lines(script, rubric, item, finding)
    if lines is not None:
        line = Line(before=lines.before, after=item.unit.symbol)
        return _Own(values=lines.values, line=line, answer=lines.answer, said=words["no_answer_graph"])
    missing = missing_reading(rubric, script.write_up, item, finding.row)
    if missing is not None and finding.reason is Reason.NO_ANSWER:
        line = Line(before=f"{symbol_words(missing)} =", after=missing.unit.symbol)
        said = fill([words["no_answer_reading"]], {"quantity": missing.quantity})
        return _Own(line=line, answer=wording("sheet")["now"]["own_answer"][-1], said=said)
    return _Own(line=Line(before=f"{name_words(item)} =", after=item.unit.symbol))


def _own_words(script: Script, rubric: Rubric, finding: Finding, item: Item) -> _Own:
    """Return the lines of an answer whose value stands, or of a reading."""
    words, symbol = wording("sheet")["now"], name_words(item)
    if finding.reason in _UNIT_ALONE:
        line = Line(before=as_print(f"{symbol} = {finding.entry}".rstrip()))
        if not finding.facts.get("unit", item.unit.symbol):
            return _Own(line=line, answer=words["no_unit" if not item.unit.symbol else "unit_looked_at"])
        return _Own(line=line, answer=item.unit.symbol)
    if finding.reason.startswith("figures-"):
        line = Line(before=f"{symbol} =", after=wanted_unit(script, item, finding).symbol)
        return _Own(line=line, answer=_rounded(script, rubric, finding, item))
    if finding.reason is Reason.PLACES_MIXED:
        return _Own(answer=_to_places(script, finding, item))
    if finding.reason is Reason.NEAREST_OTHER:
        values = (own_result(script, rubric), fill([words["table"]], {"table": table_words(rubric, item)}))
        return _Own(values=tuple(filter(None, values)), answer=finding.facts.get("choice_expected", ""))
    return _Own(answer=finding.facts.get("choice_expected", ""))


def _entry_of(script: Script, finding: Finding, item: Item) -> Given | None:
    column = script.write_up.columns.get(item.name, {})
    entry = column.get(finding.row or 1) if item.table is not None else script.write_up.singles.get(item.name)
    return given_of(item, entry)


def _rounded(script: Script, rubric: Rubric, finding: Finding, item: Item) -> str:
    """Return the answer as it should have been rounded, for the teacher."""
    entry = _entry_of(script, finding, item)
    if entry is None or not entry.value:
        return ""
    low, high = item.figures
    figures = min(max(3, low), high)
    value = float(entry.value)
    if finding.reason is Reason.FIGURES_TOO_FEW:  # what was cut off is not to be had from what is left
        exact, step = finding.expected, own_step(script, rubric, replace(finding, reason=Reason.NO_ANSWER))
        exact = step.value if exact is None and step is not None else exact
        if exact is None:
            return ""
        value = exact
    slots = {"number": f"{name_words(item)} = {printed(value, figures)} {entry.unit.symbol}".strip()}
    slots["figures_wanted"] = Slots(finding)["figures_wanted"]
    return fill([wording("sheet")["now"]["rounded_answer"], "{number}"], slots)


def _to_places(script: Script, finding: Finding, item: Item) -> str:
    """Return a reading with the decimal places of the others, for the teacher."""
    entry, wanted = _entry_of(script, finding, item), finding.facts.get("places_wanted", "")
    if entry is None or not wanted.isdigit():
        return ""
    number = entry.value.quantize(Decimal(1).scaleb(-min(int(wanted), MOST_PLACES)), rounding=ROUND_HALF_UP)
    return f"{symbol_words(item)} = {printed(number)} {entry.unit.symbol}".strip()
