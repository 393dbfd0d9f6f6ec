"""One student's write-up: readings taken at the bench, written down, and worked on with or without a slip."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from random import Random

from samples.answers import QUESTIONS, RESISTANCE_FROM_GRAPH, Numbers, Question
from samples.apparatus import COMPONENTS, Readings
from samples.mistakes import (
    SHARE_BLANK,
    SHARE_PLACES_DROPPED,
    SHARE_TOO_MANY_FIGURES,
    SHARE_UNIT_MISSING,
    SHARE_UNIT_WRONG,
    Planted,
    wrong_column,
    wrong_value,
)
from samples.recording import DIODE_CURRENT, READING_WAYS, SAME_WAY, Way, Written, choose, write_answer, write_reading
from samples.words import component_called, conclude

SHARE_UNIT_ONCE = 0.3
"""Of students, who write the unit of a column in its first row only."""
HAND_DRAWN = 0.012
"""How far a line drawn with care strays from the fitted one, as a share of its gradient."""
MISREAD = 1.4
"""What stands in an odd row, for one that fits."""
SHARE_ODD_KEPT = 0.6
"""Of students with an odd point, who draw their line as if it were sound."""
TOO_MANY = 8
"""Figures of someone who copies the calculator's display."""

Cell = Written | dict[int, Written]


@dataclass(slots=True)
class WriteUp:
    """What one student hands in, while it is being written."""

    student: str
    practical: str
    chance: Random
    cells: dict[str, Cell] = field(default_factory=dict)
    planted: list[Planted] = field(default_factory=list)
    numbers: Numbers = field(default_factory=Numbers)
    rows: dict[int, Numbers] = field(default_factory=dict)

    def plant(self, item: str, lost: str, cause: str, detail: str, row: int | None = None) -> None:
        """Note a mistake."""
        one = Planted(student=self.student, item=item, row=row, lost=lost, cause=cause, detail=detail)
        self.planted.append(one)


def write_up(
    student: str, practical: str, readings: Readings, chance: Random, *, has_odd_row: bool, loses_minus: bool
) -> WriteUp:
    """Return the write-up of one student.

    Args:
        student: Code of the student.
        practical: Id of the practical.
        readings: What was read off the apparatus, in the units of the rubric.
        chance: Decides everything that is left to chance.
        has_odd_row: One p.d. of the table was misread.
        loses_minus: The currents of the reversed supply are written without their sign.
    """
    work = WriteUp(student=student, practical=practical, chance=chance)
    kind = COMPONENTS[int(_single(readings, "kind"))] if "kind" in readings else ""
    ways = _ways(practical, kind, chance)
    odd_row = len(_column(readings, "V")) - chance.randrange(2) if has_odd_row else 0
    for item, way in ways.items():
        value = readings[item]
        if isinstance(value, tuple):
            _write_column(work, item, value, way, odd_row if item == "V" else 0)
        else:
            _write_single(work, item, value, way)
    _drop_places(work, ways)
    if kind:
        work.cells["component"] = (component_called(kind, chance), "")
    for question in QUESTIONS[practical]:
        if question.in_table:
            _answer_column(work, question, odd_row)
        else:
            _answer(work, question)
    if loses_minus:
        _lose_minus(work)
    if kind == "fixed resistor":
        _answer(work, RESISTANCE_FROM_GRAPH)
    if kind:
        _conclude(work, kind)
    return work


def _single(readings: Readings, name: str) -> float:
    value = readings[name]
    assert isinstance(value, float)
    return value


def _column(readings: Readings, name: str) -> tuple[float, ...]:
    value = readings[name]
    assert isinstance(value, tuple)
    return value


def _ways(practical: str, kind: str, chance: Random) -> dict[str, Way]:
    """Return how this student writes each reading: one instrument, one unit."""
    chosen: dict[str, Way] = {}
    for item, ways in READING_WAYS[practical].items():
        alike = next((chosen[other] for group in SAME_WAY if item in group for other in group if other in chosen), None)
        offered = DIODE_CURRENT if kind == "diode" and item == "I" else ways
        chosen[item] = alike or choose(offered, chance)
    return chosen


def _write_single(work: WriteUp, item: str, value: float, way: Way) -> None:
    text = write_reading(value, way)
    work.cells[item] = (text, work.chance.choice(way.spellings))
    work.numbers.noted[item] = float(text)
    work.numbers.value[item] = float(text) / way.factor


def _write_column(work: WriteUp, item: str, values: tuple[float, ...], way: Way, odd_row: int) -> None:
    unit = work.chance.choice(way.spellings)
    unit_once = work.chance.random() < SHARE_UNIT_ONCE
    cells: dict[int, Written] = {}
    for row, value in enumerate(values, 1):
        text = write_reading(value * (MISREAD if row == odd_row else 1.0), way)
        cells[row] = (text, "" if unit_once and row > 1 else unit)
        numbers = work.rows.setdefault(row, Numbers())
        numbers.noted[item] = float(text)
        numbers.value[item] = float(text) / way.factor
    work.cells[item] = cells


def _drop_places(work: WriteUp, ways: Mapping[str, Way]) -> None:
    """Leave the last zero of one reading out, as a tired hand does, where others of the instrument keep theirs."""
    if work.chance.random() >= SHARE_PLACES_DROPPED:
        return
    groups = [sorted(group & ways.keys()) for group in SAME_WAY] + [
        [i] for i in ways if isinstance(work.cells[i], dict)
    ]
    found = []
    for group in groups:
        texts = {(item, row): text for item in group for row, (text, _) in _rows(work.cells[item]).items()}
        zeros = [slot for slot, text in texts.items() if "." in text and text.endswith("0") and float(text)]
        if zeros and len(zeros) < len(texts):
            found += zeros
    if found:
        item, row = work.chance.choice(found)
        cell = work.cells[item]
        text, unit = _rows(cell)[row]
        short = (text[:-1].rstrip("."), unit)
        if isinstance(cell, dict):
            cell[row] = short
        else:
            work.cells[item] = short
        work.plant(item, "places", "significant-figures", f"{short[0]} for {text}", row or None)


def _lose_minus(work: WriteUp) -> None:
    cell = _rows(work.cells["I"])
    work.cells["I"] = {row: (text.removeprefix("-"), unit) for row, (text, unit) in cell.items()}
    for row, (text, _) in cell.items():
        if text.startswith("-"):
            work.plant("R", "value", "sign", "the current lost its minus", row)


def _rows(cell: Cell) -> dict[int, Written]:
    return cell if isinstance(cell, dict) else {0: cell}


def _answer(work: WriteUp, question: Question) -> None:
    chance, numbers = work.chance, work.numbers
    right = question.right(numbers)
    if question.is_drawn:
        right *= chance.gauss(1, HAND_DRAWN)
    if question.slip_rate and chance.random() < SHARE_BLANK:
        numbers.value[question.item] = right
        return
    rate = SHARE_ODD_KEPT if question.is_drawn and numbers.all_points else question.slip_rate
    wrong = wrong_value(question, numbers, chance) if chance.random() < rate else None
    if wrong is not None:
        value, slip = wrong
        way = question.ways[0]
        figures = 3
        work.plant(question.item, "value", slip.cause, slip.detail)
    else:
        value, way = right, choose(question.ways, chance)
        figures = _figures(work, question)
    text = write_answer(value * way.factor, figures)
    work.cells[question.item] = (text, _unit(work, question, way))
    # What comes next goes on with the figure on the paper or with the one in the calculator; a line stays as drawn.
    on_paper = wrong is not None or (figures == 3 and chance.random() < 0.5)
    numbers.value[question.item] = float(text) / way.factor if on_paper and not question.is_drawn else right
    numbers.noted[question.item] = float(text)


def _figures(work: WriteUp, question: Question) -> int:
    if question.item in ("difference", "intercept"):
        return 2
    if work.chance.random() < SHARE_TOO_MANY_FIGURES:
        work.plant(question.item, "figures", "significant-figures", "as many as the calculator shows")
        return TOO_MANY
    return 3


def _unit(work: WriteUp, question: Question, way: Way) -> str:
    luck = work.chance.random()
    if way is question.ways[0] and luck < SHARE_UNIT_MISSING:
        work.plant(question.item, "unit", "unit-missing", "")
        return ""
    if way is question.ways[0] and luck < SHARE_UNIT_MISSING + SHARE_UNIT_WRONG:
        unit = work.chance.choice(question.wrong_units)
        work.plant(question.item, "unit", "unit-wrong", unit)
        return unit
    return work.chance.choice(way.spellings)


def _answer_column(work: WriteUp, question: Question, odd_row: int) -> None:
    chance = work.chance
    rows = {row: numbers for row, numbers in work.rows.items() if numbers["I"]}
    wrong = wrong_column(question, rows, chance) if chance.random() < question.slip_rate else None
    values, slip = wrong if wrong is not None else ({}, None)
    if slip is not None:
        row = next(iter(values)) if len(values) == 1 else None
        work.plant(question.item, "value", slip.cause, slip.detail, row)
    figures = 3 if values else _figures(work, question)
    unit = _unit(work, question, question.ways[0])
    cells: dict[int, Written] = {}
    for row, numbers in work.rows.items():
        if row not in rows:
            cells[row] = (chance.choice(("-", "", "very large")), "")  # nothing to divide by
            continue
        value = values.get(row, question.right(numbers))
        cells[row] = (write_answer(value, figures), unit)
    work.cells[question.item] = cells
    off_the_line = {odd_row, *(values if len(values) == 1 else ())}
    _gather_columns(work, question.item, [row for row in rows if row not in off_the_line])
    if odd_row and not values:
        work.numbers.all_points = [(work.rows[row]["L"], float(cells[row][0])) for row in rows]


def _gather_columns(work: WriteUp, answer: str, kept: list[int]) -> None:
    """Keep the points that a careful student draws the line through, as they stand on the paper."""
    cells = _rows(work.cells[answer])
    for item in work.rows[1].value:
        work.numbers.columns[item] = [work.rows[row].value[item] for row in kept]
        work.numbers.noted_columns[item] = [work.rows[row].noted[item] for row in kept]
    work.numbers.columns[answer] = [float(cells[row][0]) for row in kept]


def _conclude(work: WriteUp, kind: str) -> None:
    for item, (text, is_right) in conclude(kind, work.chance).items():
        work.cells[item] = (text, "")
        if not is_right:
            work.plant(item, "choice", "unexplained", text)
