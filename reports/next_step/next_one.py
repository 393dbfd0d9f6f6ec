"""One more of the same kind: a task from the formula, the items and the slip of the point that comes first."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from marking.findings import Cause, Finding, Plot, Script
from marking.reasons import Reason
from reports.next_step.drawing_lots import draw
from reports.next_step.other_numbers import Another, Triangle, another, another_triangle
from reports.next_step.setting_out import given_numbers, given_of, with_what_is_there
from reports.next_step.tasks import Question, question_of_set
from reports.wording import Point, fill, listed, printed, rounded, step_words, symbol_words, told_cause, wording
from rubrics.formulas import Call, Minus
from rubrics.model import Item, Rubric
from rubrics.units import Unit

_PLANNED = 6
"""Readings of a series that is planned."""
_DIGITS = (Cause.DIGITS_SWAPPED, Cause.COPYING)
_LONG = 7
"""Figures of a number as a calculator shows it."""
_SEVENTHS = (6 / 7, 8 / 7, 9 / 7, 11 / 7)
"""Factors that leave a number with digits without end."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Next:
    """The question, and whether it is made from the student's own step."""

    question: Question
    is_own: bool


def next_one(script: Script, rubric: Rubric, point: Point, seed: str) -> Next:
    """Return one more task of the kind of *point*; from the general ones where its own numbers do not serve."""
    finding = point.findings[0]
    item = rubric.items.get(finding.item)
    made = _made(script, rubric, item, finding, f"{seed}/{finding.item}/{finding.reason}") if item else None
    if made is not None:
        return Next(question=made, is_own=True)
    return Next(question=question_of_set(point.task, f"{seed}/{point.task}", point.unit_change), is_own=False)


def _made(script: Script, rubric: Rubric, item: Item, finding: Finding, seed: str) -> Question | None:
    reason = wording("reasons")[finding.reason]
    task = reason.get("task", "")
    if reason.get("names_cause") or finding.reason is Reason.NO_ANSWER:
        return _same_step(script, rubric, item, finding, seed)
    if task in ("unit-missing", "unit-wrong") and item.formula is not None:
        return _unit_of(script, rubric, item, finding, seed)
    if task == "significant-figures":
        return _figures_of(script, rubric, item, finding, seed)
    if task == "places":
        return _places_of(script, item, seed)
    if task == "readings" and item.table is not None:
        return _planned(script, item)
    return None


def _asked(kind: str, slots: dict[str, str], answer: str, lines: int = 3) -> Question:
    words = wording("sheet")["next"]
    templates = words[kind]
    return Question(
        text=fill([templates] if isinstance(templates, str) else templates, slots), answer=answer, lines=lines
    )


# ---- a step with other numbers ---------------------------------------------------------------------------------


def _another(script: Script, rubric: Rubric, item: Item, finding: Finding, seed: str) -> tuple[Another | None, Unit]:
    traced, row = with_what_is_there(rubric, script.write_up, item, finding.row or (1 if item.table else None))
    given = given_numbers(rubric, script.write_up, traced, row)
    column = script.write_up.columns.get(item.name, {})
    entry = column.get(finding.row or 1) if item.table is not None else script.write_up.singles.get(item.name)
    own = given_of(item, entry)
    wanted = own.unit if own is not None else item.unit
    return (another(rubric, traced, given, wanted, finding.expected, seed) if given else None), wanted


def _same_step(script: Script, rubric: Rubric, item: Item, finding: Finding, seed: str) -> Question | None:
    cause = told_cause(finding) if finding.explanations else Cause.UNEXPLAINED
    made, wanted = _another(script, rubric, item, finding, seed)
    if made is None:
        return _same_gradient(script, item, seed)
    slots = {"values": made.told, "symbol": made.symbol, "unit": wanted.symbol}
    if cause in _DIGITS:
        return _copied(made, wanted, seed)
    kind = cause.value if cause.value in wording("sheet")["next"] else "step"
    return _asked(kind, slots, made.answer)


def _copied(made: Another, wanted: Unit, seed: str) -> Question | None:
    right = printed(made.step.value, max(made.figures, 3))
    digits = [place for place, sign in enumerate(right) if sign.isdigit()]
    pairs = [(a, b) for a, b in pairwise(digits) if right[a] != right[b] and b == a + 1]
    pairs = [pair for pair in pairs if right[pair[1]] != "0" or pair[0] != digits[0]]
    if not pairs or "×" in right:
        return _asked("step", {"values": made.told, "symbol": made.symbol, "unit": wanted.symbol}, made.answer)
    first, second = pairs[draw(seed, len(pairs))]
    wrong = list(right)
    wrong[first], wrong[second] = wrong[second], wrong[first]
    slots = {
        "symbol": made.symbol,
        "right": f"{right} {wanted.symbol}".strip(),
        "wrong": f"{''.join(wrong)} {wanted.symbol}".strip(),
    }
    return _asked(
        "copied", slots, f"{right[first]} and {right[second]} are swapped: {made.symbol} = {slots['right']}", 1
    )


def _same_gradient(script: Script, item: Item, seed: str) -> Question | None:
    tree = item.formula.tree if item.formula else None
    call = tree.term if isinstance(tree, Minus) else tree
    if script.plot is None or not (isinstance(call, Call) and call.function in ("slope", "intercept")):
        return None
    made = another_triangle(script.plot, item.unit.symbol, seed)
    if made is None:
        return None
    if call.function == "intercept":
        return _intercept(script.plot, item, made)
    value = -made.value if isinstance(tree, Minus) else made.value
    slots = {
        "x": script.plot.x_label, "y": script.plot.y_label, "low": made.points[0], "high": made.points[1],
        "symbol": symbol_words(item),
    }  # fmt: skip
    kind = "gradient_turned" if isinstance(tree, Minus) else "gradient"
    return _asked(kind, slots, f"{symbol_words(item)} = {printed(value, 3)} {made.unit}".strip())


def _intercept(plot: Plot, item: Item, made: Triangle) -> Question:
    x1, y1 = made.low
    value = y1 - made.value * x1
    slots = {
        "x": plot.x_label, "y": plot.y_label, "low": made.points[0], "high": made.points[1],
        "symbol": symbol_words(item),
    }  # fmt: skip
    return _asked("intercept", slots, f"{symbol_words(item)} = {printed(value, 3)} {made.unit}".strip())


# ---- units, figures, places ------------------------------------------------------------------------------------


def _unit_of(script: Script, rubric: Rubric, item: Item, finding: Finding, seed: str) -> Question | None:
    made, _ = _another(script, rubric, item, finding, seed)
    if made is None:
        return _same_gradient(script, item, seed) or _unit_alone(rubric, item)
    number = printed(made.step.value, max(made.figures, 2))
    slots = {"values": made.told, "symbol": made.symbol, "number": number}
    return _asked("unit", slots, made.answer, 1)


def _unit_alone(rubric: Rubric, item: Item) -> Question | None:
    """Return what unit an answer has, from the units of what goes into it."""
    names = [name for name in item.formula.names if name in rubric.items] if item.formula else []
    if not names or not all(rubric.items[name].unit.symbol for name in names):
        return None
    inputs = [f"{symbol_words(rubric.items[name])} in {rubric.items[name].unit.symbol}" for name in names]
    slots = {"symbol": symbol_words(item), "inputs": listed(inputs, len(inputs))}
    return _asked("unit_alone", slots, item.unit.symbol, 1)


def _figures_of(script: Script, rubric: Rubric, item: Item, finding: Finding, seed: str) -> Question | None:
    made, wanted = _another(script, rubric, item, finding, seed)
    if made is None:
        return _figures_alone(item, finding, wanted, seed)
    slots = {
        "values": made.told,
        "symbol": made.symbol,
        "long": f"{printed(made.step.value, _LONG)} {wanted.symbol}".strip(),
    }
    return _asked("figures", slots, made.answer, 1)


def _figures_alone(item: Item, finding: Finding, wanted: Unit, seed: str) -> Question | None:
    """Return a number to round where its own inputs cannot be told in a line: a gradient, say."""
    entry = finding.expected if finding.expected is not None else _number_in(finding.entry)
    if not entry:
        return None
    value = entry * _SEVENTHS[draw(seed, len(_SEVENTHS))]
    figures = min(max(item.figures[0], 3), item.figures[1])
    slots = {
        "symbol": symbol_words(item), "long": f"{printed(value, _LONG)} {wanted.symbol}".strip(),
        "count": str(figures),
    }  # fmt: skip
    answer = f"{symbol_words(item)} = {printed(value, figures)} {wanted.symbol}".strip()
    return _asked("figures_alone", slots, answer, 1)


def _number_in(text: str) -> float | None:
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return None


def _places_of(script: Script, item: Item, seed: str) -> Question | None:
    if item.resolution is None or not step_words(item) or "×" in step_words(item):
        return None
    step = Decimal(repr(item.resolution)).normalize()
    place = min(int(step.as_tuple().exponent), 0)
    entries = [script.write_up.singles.get(item.name), *script.write_up.columns.get(item.name, {}).values()]
    values = [given_of(item, entry) for entry in entries]
    size = next((one.value for one in values if one is not None and one.unit == item.unit and one.value > 0), None)
    if size is None or place == 0:
        return None
    base = (size / step).quantize(Decimal(1)) * step
    whole = rounded(base, 1) + draw(seed, 3) * step * 10
    between = base + step * Decimal("0.4")
    shown = [printed(_plain(one)) for one in (whole, between)]
    right = [printed(one.quantize(Decimal(1).scaleb(place))) for one in (whole, base)]
    said = f"{printed(_plain(step))} {item.unit.symbol}".strip()
    slots = {"step": said, "a": shown[0], "b": shown[1], "symbol": symbol_words(item)}
    return _asked("places", slots, " and ".join(right), 1)


def _planned(script: Script, item: Item) -> Question | None:
    """Return a series to plan over the range of the student's own readings."""
    entries = script.write_up.columns.get(item.name, {}).values()
    given = [given_of(item, entry) for entry in entries]
    values = [float(one.value) for one in given if one is not None and one.unit == item.unit]
    low, high = min(values, default=0.0), max(values, default=0.0)
    if len(values) < 2 or high <= low:
        return None
    least = (high - low) / (_PLANNED - 1)
    power = 10.0 ** math.floor(math.log10(least))
    step = next(factor * power for factor in (1, 2, 5, 10) if factor * power >= least * 0.999)
    start = math.floor(low / step + 1e-9) * step
    places = [float(f"{start + step * number:.10g}") for number in range(_PLANNED)]
    shown = [printed(place) for place in places]
    slots = {"symbol": symbol_words(item), "low": shown[0], "high": shown[-1], "unit": item.unit.symbol}
    return _asked("planned", slots, ", ".join(shown))


def _plain(value: Decimal) -> Decimal:
    short = value.normalize()
    return short.quantize(Decimal(1)) if short == short.to_integral_value() and abs(short.adjusted()) < 6 else short
