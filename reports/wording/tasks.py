"""One thing to do next: a short paper with numbers of its own, the same for the same student."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from marking.findings import Script
from reports.wording.points import Point, points_to_mend
from reports.wording.printed_numbers import printed, rounded
from reports.wording.sentences import fill, wording
from rubrics.model import Rubric

_TICKED = "teacher-ticked"
"""Reason of a finding that says what a teacher decided."""
FEWEST_OF_A_KIND = 2
"""A change of unit with fewer questions of its own is practised with the general ones."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One question of a task."""

    text: str
    answer: str
    """For the teacher's list only."""
    lines: int
    """Writing lines under it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """The paper at the foot of a feedback sheet."""

    about: str
    """Name of the set of questions: a cause, or what the point is about."""
    intro: str
    questions: tuple[Question, ...]


Arithmetic = Callable[[Sequence[Decimal]], Decimal]

ARITHMETIC: Mapping[str, Arithmetic] = {
    "same": lambda n: n[0],
    "half": lambda n: n[0] / 2,
    "tenth": lambda n: n[0] / 10,
    "hundredth": lambda n: n[0] / 100,
    "thousandth": lambda n: n[0] / 1000,
    "tenfold": lambda n: n[0] * 10,
    "hundredfold": lambda n: n[0] * 100,
    "thousandfold": lambda n: n[0] * 1000,
    "sixtyfold": lambda n: n[0] * 60,
    "minutes": lambda n: n[0] * 60 + n[1],
    "cube": lambda n: n[0] * n[0] * n[0],
    "sum": lambda n: n[0] + n[1],
    "minus": lambda n: n[0] - n[1],
    "later-minus-earlier": lambda n: n[1] - n[0],
    "times": lambda n: n[0] * n[1],
    "over": lambda n: n[0] / n[1],
    "product": lambda n: n[0] * n[1] * n[2],
    "product-thousandth": lambda n: n[0] * n[1] * n[2] / 1000,
    "over-product": lambda n: n[0] / (n[1] * n[2]),
    "over-times": lambda n: n[0] / n[1] * n[2],
    "rough-over-times": lambda n: rounded(n[0] / n[1], 1) * n[2],
    "parallel": lambda n: n[0] * n[1] / (n[0] + n[1]),
    "gradient-from-axis": lambda n: (n[2] - n[0]) / n[1],
    "mean": lambda n: (n[0] + n[1] + n[2]) / 3,
    "mean-of-two": lambda n: (n[0] + n[1]) / 2,
    "two-places": lambda n: n[0].quantize(Decimal("0.01"), rounding=ROUND_HALF_UP),
}
"""Names in ``wording/tasks.toml`` to plain arithmetic on one line of numbers."""


def task_for(script: Script, rubric: Rubric) -> Task | None:
    """Return the task of one script; None for one that was not handed in."""
    return task_about(script, points_to_mend(script, rubric)) if script.write_up.is_handed_in else None


def task_about(script: Script, points: Sequence[Point]) -> Task:
    """Return a task about the first of *points*, else about how sure the result is."""
    # What a teacher ticked has no questions of its own: a slip that was named is practised first.
    own = [point for point in points if point.findings[0].reason != _TICKED] or points
    if own:
        return _task(own[0].task, script, own[0])
    return _task("waiting" if script.pending else "further", script, None)


def starter(about: str, practical: str) -> Task:
    """Return a task for a whole class: the set of questions *about*, with the same numbers each time."""
    return _set(about, f"{practical}/starter/{about}", None)


def _task(about: str, script: Script, point: Point | None) -> Task:
    return _set(about, f"{script.write_up.practical}/{script.write_up.student.code}/{about}", point)


def _set(about: str, seed: str, point: Point | None) -> Task:
    data = wording("tasks")[about]
    chosen = _of_the_kind(data["questions"], point)
    questions = [_question(entry, f"{seed}/{number}") for number, entry in enumerate(chosen)]
    if "redo" in data and point is not None:
        questions.append(_redo(data["redo"], point))
    return Task(about=about, intro=data["intro"], questions=tuple(questions))


def _of_the_kind(entries: Sequence[Mapping[str, Any]], point: Point | None) -> list[Mapping[str, Any]]:
    """Return the questions about the very change of unit that was missed, or the general ones."""
    kind = point.unit_change if point else ""
    special = [entry for entry in entries if kind and entry.get("for") == kind]
    return special if len(special) >= FEWEST_OF_A_KIND else [entry for entry in entries if "for" not in entry]


def _question(entry: Mapping[str, Any], seed: str) -> Question:
    lines: Sequence[Sequence[str]] = entry.get("numbers", [[]])
    # Both sums of a comparison must draw the same line, so questions with equal numbers share a draw.
    drawn = lines[_draw(f"{seed.rsplit('/', 1)[0]}/{lines}", len(lines))]
    slots = {letter: number.replace("-", "−") for letter, number in zip("abc", drawn, strict=False)}
    if "work" in entry:
        slots["x"] = _worked(entry["work"], [Decimal(number) for number in drawn], entry.get("figures"))
    return Question(
        text=fill([entry["ask"]], slots), answer=fill([entry["answer"]], slots), lines=int(entry.get("lines", 1))
    )


def _worked(work: str, numbers: Sequence[Decimal], figures: int | None) -> str:
    if work == "six-steps":
        step = (numbers[1] - numbers[0]) / 5
        return ", ".join(printed(_plain(numbers[0] + step * place)) for place in range(6))
    value = ARITHMETIC[work](numbers)
    return printed(value) if work == "two-places" else printed(_plain(value) if figures is None else value, figures)


def _plain(value: Decimal) -> Decimal:
    """Return *value* without zeros that arithmetic has left at its end."""
    short = value.normalize()
    return short.quantize(Decimal(1)) if short == short.to_integral_value() else short


def _draw(seed: str, count: int) -> int:
    """Return a number below *count* that depends on *seed* alone, on every machine."""
    return int.from_bytes(hashlib.sha256(seed.encode()).digest()[:8], "big") % count


def _redo(sentence: str, point: Point) -> Question:
    slots = {"quantity": point.quantity, "expected": point.expected}
    answer = fill(wording("sheet")["task"]["redo_answer"], slots)
    return Question(text=fill([sentence], slots), answer=answer, lines=2)
