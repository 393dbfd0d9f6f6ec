"""How answers get onto the sheet: worked out with care or with a slip, with or without their unit."""

from __future__ import annotations

from collections.abc import Iterable

from samples.answers import Question
from samples.mistakes import HABIT_KEPT, SHARE_BLANK, SHARE_UNIT_WRONG, wrong_column, wrong_value
from samples.recording import Way, Written, choose, write_answer
from samples.sheet import WriteUp, rows_of
from samples.words import conclude

HAND_DRAWN = 0.012
"""How far a line drawn with care strays from the fitted one, as a share of its gradient."""
SHARE_ODD_KEPT = 0.6
"""Of students with an odd point, who draw their line as if it were sound."""
DISPLAY_FIGURES = 8
"""What a calculator shows; it drops zeros at the end."""
MOST_FIGURES = 4
"""More than these are too many for readings of two or three figures."""
ROUGH = ("difference", "intercept")
"""Small differences, which careful students give to two figures."""


def answer(work: WriteUp, question: Question) -> None:
    """Answer a question once, or leave it blank."""
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
        text = write_answer(value, 3)
        work.plant(question.item, "value", slip.cause, slip.detail)
    else:
        value, way = right, choose(question.ways, chance)
        text = _careful_text(work, question, value * way.factor)
        _note_figures(work, question, [text])
    work.cells[question.item] = (text, _unit(work, question, way))
    # What comes next goes on with the figure on the paper or with the one in the calculator; a line stays as drawn.
    on_paper = wrong is not None or chance.random() < 0.5
    numbers.value[question.item] = float(text) / way.factor if on_paper and not question.is_drawn else right
    numbers.noted[question.item] = float(text)


def _careful_text(work: WriteUp, question: Question, value: float) -> str:
    """Return a right value as this student writes it."""
    if work.copies_display and work.chance.random() < HABIT_KEPT:
        return _display(value)
    return write_answer(value, 2 if question.item in ROUGH else 3)


def _display(value: float) -> str:
    text = write_answer(value, DISPLAY_FIGURES)
    return text.rstrip("0").rstrip(".") if "." in text else text


def _note_figures(work: WriteUp, question: Question, texts: Iterable[str]) -> None:
    digits = [text.replace(".", "").lstrip("-0") for text in texts]
    if any(len(one) > MOST_FIGURES for one in digits):
        work.plant(question.item, "figures", "significant-figures", "as many as the calculator shows")


def _unit(work: WriteUp, question: Question, way: Way) -> str:
    # Without its unit, or with a wrong one, a value in another unit than the usual one would be wrong as well.
    is_usual = way is question.ways[0]
    if is_usual and work.forgets_units and work.chance.random() < HABIT_KEPT:
        work.plant(question.item, "unit", "unit-missing", "")
        return ""
    if is_usual and work.chance.random() < SHARE_UNIT_WRONG:
        unit = work.chance.choice(question.wrong_units)
        work.plant(question.item, "unit", "unit-wrong", unit)
        return unit
    return work.chance.choice(way.spellings)


def answer_column(work: WriteUp, question: Question, odd_row: int) -> None:
    """Answer a question in every row of the table."""
    chance = work.chance
    rows = {row: numbers for row, numbers in work.rows.items() if numbers["I"]}
    wrong = wrong_column(question, rows, chance) if chance.random() < question.slip_rate else None
    values, slip = wrong if wrong is not None else ({}, None)
    if slip is not None:
        row = next(iter(values)) if len(values) == 1 else None
        work.plant(question.item, "value", slip.cause, slip.detail, row)
    shows_all = not values and work.copies_display and chance.random() < HABIT_KEPT
    unit = _unit(work, question, question.ways[0])
    cells: dict[int, Written] = {}
    for row, numbers in work.rows.items():
        if row not in rows:
            cells[row] = (chance.choice(("-", "", "very large")), "")  # nothing to divide by
            continue
        value = values.get(row, question.right(numbers))
        cells[row] = (_display(value) if shows_all else write_answer(value, 3), unit)
    work.cells[question.item] = cells
    if shows_all:
        _note_figures(work, question, [cells[row][0] for row in rows])
    off_the_line = {odd_row, *(values if len(values) == 1 else ())}
    _gather_columns(work, question.item, [row for row in rows if row not in off_the_line])
    if odd_row and not values:
        work.numbers.all_points = [(work.rows[row]["L"], float(cells[row][0])) for row in rows]


def _gather_columns(work: WriteUp, answer: str, kept: list[int]) -> None:
    """Keep the points that a careful student draws the line through, as they stand on the paper."""
    cells = rows_of(work.cells[answer])
    for item in work.rows[1].value:
        work.numbers.columns[item] = [work.rows[row].value[item] for row in kept]
        work.numbers.noted_columns[item] = [work.rows[row].noted[item] for row in kept]
    work.numbers.columns[answer] = [float(cells[row][0]) for row in kept]


def state_conclusion(work: WriteUp, kind: str) -> None:
    """Write the shape of the graph down, and whether it shows proportion."""
    for item, (text, is_right) in conclude(kind, work.chance).items():
        work.cells[item] = (text, "")
        if not is_right:
            work.plant(item, "choice", "unexplained", text)
