"""One student's write-up: readings taken at the bench, written down, and worked on with or without a slip."""

from __future__ import annotations

from random import Random

from samples.answers import QUESTIONS, RESISTANCE_FROM_GRAPH
from samples.apparatus import COMPONENTS, Readings
from samples.mistakes import SHARE_COPIES_DISPLAY, SHARE_FORGETS_UNITS
from samples.readings import choose_ways, drop_places, lose_minus, write_column, write_single
from samples.sheet import WriteUp
from samples.words import component_called
from samples.working import answer, answer_column, state_conclusion


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
    work.forgets_units = chance.random() < SHARE_FORGETS_UNITS
    work.copies_display = chance.random() < SHARE_COPIES_DISPLAY
    kind = COMPONENTS[int(_single(readings, "kind"))] if "kind" in readings else ""
    ways = choose_ways(practical, kind, chance)
    odd_row = len(_column(readings, "V")) - chance.randrange(2) if has_odd_row else 0
    for item, way in ways.items():
        value = readings[item]
        if isinstance(value, tuple):
            write_column(work, item, value, way, odd_row if item == "V" else 0)
        else:
            write_single(work, item, value, way)
    drop_places(work, ways)
    if kind:
        work.cells["component"] = (component_called(kind, chance), "")
    for question in QUESTIONS[practical]:
        if question.in_table:
            answer_column(work, question, odd_row)
        else:
            answer(work, question)
    if loses_minus:
        lose_minus(work)
    if kind == "fixed resistor":
        answer(work, RESISTANCE_FROM_GRAPH)
    if kind:
        state_conclusion(work, kind)
    return work


def _single(readings: Readings, name: str) -> float:
    value = readings[name]
    assert isinstance(value, float)
    return value


def _column(readings: Readings, name: str) -> tuple[float, ...]:
    value = readings[name]
    assert isinstance(value, tuple)
    return value
