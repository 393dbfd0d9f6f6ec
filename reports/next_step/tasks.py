"""One thing to do next: a short paper with numbers of its own, the same for the same student."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from msgspec import Struct

from reports.next_step.drawing_lots import draw
from reports.wording import fill, wording
from rubrics.formulas import printed, rounded


class Question(Struct, frozen=True, kw_only=True):
    """One question of a task."""

    text: str
    answer: str
    """For the teacher's list only."""
    lines: int
    """Writing lines under it."""


class Task(Struct, frozen=True, kw_only=True):
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


def asked(kind: str, slots: Mapping[str, str], answer: str, lines: int = 3) -> Question:
    """Return a question of the sheet's own words for *kind*, which quote *slots*."""
    templates = wording("sheet")["next"][kind]
    text = fill([templates] if isinstance(templates, str) else templates, slots)
    return Question(text=text, answer=answer, lines=lines)


def question_of_set(about: str, seed: str, change: str = "") -> Question:
    """Return one question of the set *about*, for a step whose own numbers do not serve.

    Args:
        about: Name of the set.
        seed: What the numbers are drawn from.
        change: The change of unit that was missed, 'g>kg', where it is about one.
    """
    entries = wording("tasks")[about]["questions"]
    plain = [entry for entry in entries if change and entry.get("for") == change]
    plain = plain or [entry for entry in entries if "for" not in entry]
    number = draw(seed, len(plain))
    intro = wording("tasks")[about]["intro"]
    question = _question(plain[number], f"{seed}/{number}")
    return Question(text=f"{intro} {question.text}", answer=question.answer, lines=max(question.lines, 1))


def starter(about: str, practical: str) -> Task:
    """Return a task for a whole class: the set of questions *about*, with the same numbers each time."""
    return _set(about, f"{practical}/starter/{about}")


def _set(about: str, seed: str) -> Task:
    data = wording("tasks")[about]
    chosen = [entry for entry in data["questions"] if "for" not in entry]
    questions = [_question(entry, f"{seed}/{number}") for number, entry in enumerate(chosen)]
    return Task(about=about, intro=data["intro"], questions=tuple(questions))


def _question(entry: Mapping[str, Any], seed: str) -> Question:
    lines: Sequence[Sequence[str]] = entry.get("numbers", [[]])
    # Both sums of a comparison must draw the same line, so questions with equal numbers share a draw.
    drawn = lines[draw(f"{seed.rsplit('/', 1)[0]}/{lines}", len(lines))]
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
