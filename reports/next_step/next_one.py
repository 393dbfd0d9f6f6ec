"""One more of the same kind: a task from the formula, the items and the slip of the point that comes first."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from itertools import pairwise

from msgspec import Struct

from marking.findings import Cause, Finding, Script
from marking.reasons import Reason
from reports.next_step import reading_tasks
from reports.next_step.drawing_lots import draw
from reports.next_step.graph_tasks import another_off_graph, another_scale, another_shape
from reports.next_step.other_numbers import CALCULATOR, Another, another
from reports.next_step.own_numbers import Odd, given_numbers, odd_reading, wanted_unit, with_what_is_there
from reports.next_step.setting_out import Given, name_words
from reports.next_step.tasks import Question, asked, question_of_set
from reports.wording import Point, symbol_words, told_cause, wording
from rubrics.formulas import listed, printed, printed_text
from rubrics.model import Item, Rubric

_DIGITS = (Cause.DIGITS_SWAPPED, Cause.COPYING)
_IN_WORDS = (Reason.TEACHER_TICKED, Reason.WORDS_EMPTY, Reason.NO_WORDS)
"""Points without a step to do again: thinking about the practical is asked for."""
_OTHERS = (0.9113579, 1.0857913, 1.1246719, 0.9419373)
"""Factors that leave a number with many digits."""


class Next(Struct, frozen=True, kw_only=True):
    """The question, and whether it is made from the student's own step."""

    question: Question
    is_own: bool


class _Asked(Struct, frozen=True, kw_only=True):
    """What a task is made from."""

    script: Script
    rubric: Rubric
    item: Item
    finding: Finding
    seed: str


def next_one(script: Script, rubric: Rubric, point: Point, seed: str) -> Next:
    """Return one more task of the kind of *point*; from the general ones where its own numbers do not serve."""
    finding = point.findings[0]
    item = rubric.items.get(finding.item)
    of_item = f"{seed}/{finding.item}/{finding.reason}"
    made = _of_item(_Asked(script=script, rubric=rubric, item=item, finding=finding, seed=of_item)) if item else None
    made = made or _of_practical(script, rubric, finding, of_item)
    if made is not None:
        return Next(question=made, is_own=True)
    return Next(question=question_of_set(point.task, f"{seed}/{point.task}", point.unit_change), is_own=False)


def _of_item(one: _Asked) -> Question | None:
    reason = wording("reasons")[one.finding.reason]
    if reason.get("names_cause") or one.finding.reason in (Reason.NO_ANSWER, Reason.METHOD_NOT_DONE):
        return _another_choice(one) if one.item.choices else _same_step(one) or _in_letters(one)
    if one.finding.reason in _BY_REASON:
        return _BY_REASON[one.finding.reason](one)
    by_task = _BY_TASK.get(reason.get("task", ""))
    return by_task(one) if by_task is not None else None


def _of_practical(script: Script, rubric: Rubric, finding: Finding, seed: str) -> Question | None:
    """Return a task about the graph as a whole, or about a point that only the teacher saw."""
    if finding.reason.startswith("scale-"):
        return another_scale(script, rubric, seed)
    entry = wording("extensions").get(rubric.id)
    if finding.reason in _IN_WORDS and entry is not None:
        return Question(text=entry["ask"], answer=entry["answer"], lines=3)
    return None


# ---- a step with other numbers ---------------------------------------------------------------------------------


def _another(one: _Asked, *, is_long: bool = False) -> Another | None:
    item = one.item
    traced, row = with_what_is_there(
        one.rubric, one.script.write_up, item, one.finding.row or (1 if item.table else None)
    )
    given = given_numbers(one.rubric, one.script.write_up, traced, row)
    wanted = wanted_unit(one.script, item, one.finding)
    if not given:
        return None
    told, odd = _with_odd_last(given, odd_reading(one.rubric, one.script.write_up, traced, one.finding))
    return another(one.rubric, traced, told, wanted, one.finding.expected, one.seed, is_long=is_long, odd=odd)


def _with_odd_last(
    given: Mapping[str, Given | Sequence[Given]], odd: Odd | None
) -> tuple[Mapping[str, Given | Sequence[Given]], Odd | None]:
    """Return the numbers with the odd one behind two others of its column, for of a long column a few are told."""
    numbers = given.get(odd.name) if odd is not None else None
    if odd is None or odd.place is None or numbers is None or isinstance(numbers, Given):
        return given, odd
    others = [one for place, one in enumerate(numbers) if place != odd.place][:2]
    return {**given, odd.name: [*others, numbers[odd.place]]}, Odd(name=odd.name, place=len(others))


def _same_step(one: _Asked) -> Question | None:
    cause = told_cause(one.finding) if one.finding.explanations else Cause.UNEXPLAINED
    made = _another(one)
    if made is None:
        return another_off_graph(one.script, one.rubric, one.item, one.seed)
    if cause in _DIGITS:
        return _copied(made, one.seed)
    kind = cause.value if cause.value in wording("sheet")["next"] else "step"
    return _step(made, kind)


def _step(made: Another, kind: str) -> Question:
    unit = made.step.last_unit or made.step.unit
    unit = "" if unit in made.symbol.split() else unit  # nobody works out '% change in %'
    return asked(kind, {"values": made.told, "symbol": made.symbol, "unit": unit}, made.answer)


def _copied(made: Another, seed: str) -> Question:
    right = made.number
    digits = [place for place, sign in enumerate(right) if sign.isdigit()]
    pairs = [(a, b) for a, b in pairwise(digits) if right[a] != right[b] and b == a + 1]
    pairs = [pair for pair in pairs if right[pair[1]] != "0" or pair[0] != digits[0]]
    if not pairs or "×" in right:
        return _step(made, "step")
    first, second = pairs[draw(seed, len(pairs))]
    wrong = list(right)
    wrong[first], wrong[second] = wrong[second], wrong[first]
    unit = made.step.last_unit or made.step.unit
    slots = {"symbol": made.symbol, "right": f"{right} {unit}".strip(), "wrong": f"{''.join(wrong)} {unit}".strip()}
    answer = f"{right[first]} and {right[second]} are swapped: {made.symbol} = {slots['right']}"
    return asked("copied", slots, answer, 1)


def _in_letters(one: _Asked) -> Question | None:
    """Return the formula to write down, where no numbers serve."""
    item, rubric = one.item, one.rubric
    if item.formula is None:
        return None
    symbols = {name: symbol_words(source) for name, source in rubric.items.items()}
    symbols |= {name: constant.symbol for name, constant in rubric.constants.items()}
    slots = {"symbol": name_words(item), "quantity": item.quantity}
    return asked("letters", slots, f"{name_words(item)} = {printed_text(item.formula.tree, symbols)}", 2)


# ---- units and figures -----------------------------------------------------------------------------------------


def _unit_of(one: _Asked) -> Question | None:
    if one.item.formula is None:
        return reading_tasks.what_it_is_read_off(one.item)
    made = None if name_words(one.item) != symbol_words(one.item) else _another(one)
    if made is None:
        return another_off_graph(one.script, one.rubric, one.item, one.seed) or _unit_alone(one)
    if not made.step.unit:
        return _step(made, "step")
    return asked("unit", {"values": made.told, "symbol": made.symbol, "number": made.number}, made.answer, 1)


def _unit_alone(one: _Asked) -> Question | None:
    """Return what unit an answer has, from the units of what goes into it."""
    item, rubric = one.item, one.rubric
    names = [name for name in item.formula.names if name in rubric.items] if item.formula else []
    if not names or not all(rubric.items[name].unit.symbol for name in names):
        return None
    if name_words(item) != symbol_words(item):  # its name holds the unit
        made = _another(one)
        return _step(made, "step") if made is not None else _in_letters(one)
    inputs = [f"{symbol_words(rubric.items[name])} in {rubric.items[name].unit.symbol}" for name in names]
    return asked("unit_alone", {"symbol": symbol_words(item), "inputs": listed(inputs)}, item.unit.symbol, 1)


def _figures_of(one: _Asked) -> Question | None:
    made = _another(one, is_long=True)
    if made is None:
        return _figures_alone(one)
    unit = made.step.last_unit or made.step.unit
    slots = {"values": made.told, "symbol": made.symbol, "long": f"{_as_calculator(made.step.value)} {unit}".strip()}
    return asked("figures", slots, made.answer, 1)


def _figures_alone(one: _Asked) -> Question | None:
    """Return a number to round where its own inputs cannot be told in a line: a gradient, say."""
    item = one.item
    number = one.finding.expected if one.finding.expected is not None else _number_in(one.finding.entry)
    if not number:
        return None
    value = number * _OTHERS[draw(one.seed, len(_OTHERS))]
    figures = min(max(item.figures[0], 3), item.figures[1])
    symbol, unit = name_words(item), wanted_unit(one.script, item, one.finding).symbol
    slots = {"symbol": symbol, "long": f"{_as_calculator(value)} {unit}".strip(), "count": str(figures)}
    return asked("figures_alone", slots, f"{symbol} = {printed(value, figures)} {unit}".strip(), 1)


def _as_calculator(value: float) -> str:
    return printed(float(f"{value:.{CALCULATOR}g}"))


def _number_in(text: str) -> float | None:
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return None


# ---- by what was found -----------------------------------------------------------------------------------------


def _planned(one: _Asked) -> Question | None:
    if one.item.table is None:
        return reading_tasks.what_it_is_read_off(one.item)
    return reading_tasks.planned(one.script, one.item)


def _near(one: _Asked) -> Question | None:
    return reading_tasks.planned(one.script, one.item, reading_tasks.near_range(one.finding))


def _both_ways(one: _Asked) -> Question | None:
    return reading_tasks.planned(one.script, one.item, reading_tasks.both_ways(one.script, one.item))


def _places(one: _Asked) -> Question | None:
    return reading_tasks.places_alike(one.script, one.item, one.finding, one.seed)


def _agree(one: _Asked) -> Question | None:
    return reading_tasks.which_agree(one.script, one.item, one.finding, one.seed)


def _why_so_much(one: _Asked) -> Question | None:
    return reading_tasks.why_so_much(one.finding)


def _shape(one: _Asked) -> Question | None:
    return another_shape(one.script, one.rubric, one.item, one.seed)


def _nearest(one: _Asked) -> Question | None:
    return reading_tasks.another_nearest(one.rubric, one.item, one.seed)


def _another_choice(one: _Asked) -> Question | None:
    return _shape(one) or _nearest(one)


def _read_off(one: _Asked) -> Question | None:
    return reading_tasks.what_it_is_read_off(one.item)


_BY_REASON: dict[str, Callable[[_Asked], Question | None]] = {
    Reason.TOO_FEW_NEAR: _near,
    Reason.SIDE_MISSING: _both_ways,
    Reason.NOT_CONCORDANT: _agree,
    Reason.TOO_LITTLE: _why_so_much,
    Reason.CHOICE_WRONG: _shape,
    Reason.NEAREST_OTHER: _nearest,
    Reason.READING_UNIT_WRONG: _read_off,
}
_BY_TASK: dict[str, Callable[[_Asked], Question | None]] = {
    "unit-missing": _unit_of,
    "unit-wrong": _unit_of,
    "significant-figures": _figures_of,
    "places": _places,
    "readings": _planned,
}
