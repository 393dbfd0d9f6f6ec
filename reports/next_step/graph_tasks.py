"""Tasks about graphs: gradients, intercepts, values read off a curve, scales and shapes."""

from __future__ import annotations

import math
from decimal import Decimal

from msgspec import Struct

from marking.findings import Finding, Script
from reports.next_step.between_points import another_between, answer_of, between
from reports.next_step.drawing_lots import draw
from reports.next_step.fitted_lines import another_triangle, bracketed, lie_along, off_line, own_plot, triangle
from reports.next_step.line_points import line_points
from reports.next_step.own_numbers import given_of, wanted_unit
from reports.next_step.setting_out import NEAR_ENOUGH, changed, name_words
from reports.next_step.tasks import Question, asked
from reports.wording import fill, symbol_words, wording
from rubrics.formulas import printed
from rubrics.model import Item, Rubric

_SQUARES = 10
"""Large squares along an axis that is planned."""
_OTHER_RANGES = (0.6, 0.7, 0.8, 1.2, 1.4, 1.7)
_SHAPES = {
    "proportional": (1.0, 2.0, 3.0, 4.0, 5.0),
    "linear": (3.0, 4.0, 5.0, 6.0, 7.0),
    "flattening": (1.0, 1.5, 1.9, 2.2, 2.4),
    "threshold": (0.0, 0.0, 0.1, 2.0, 6.0),
}
"""What goes up at equal steps across, in a unit that is drawn."""
_UPS = (0.1, 0.2, 0.4)


class OwnLines(Struct, frozen=True, kw_only=True):
    """A step off a graph in the student's own numbers."""

    values: tuple[str, ...]
    before: str
    """What stands before the gap."""
    answer: str


# ---- the student's own ----------------------------------------------------------------------------------------


def own_lines(script: Script, rubric: Rubric, item: Item, finding: Finding) -> OwnLines | None:
    """Return the own step of an answer taken off a graph; None where the figures do not lead to what is expected."""
    return _own_line(script, rubric, item, finding) or _own_place(script, rubric, item, finding)


def _own_line(script: Script, rubric: Rubric, item: Item, finding: Finding) -> OwnLines | None:
    line = off_line(rubric, item)
    plot = own_plot(script, rubric, line) if line is not None else None
    points = line_points(plot) if plot is not None else None
    if line is None or plot is None or points is None:
        return None
    if not lie_along(plot):
        return None
    told, words = triangle(points), wording("sheet")["now"]
    value = told.intercept if line.is_intercept else -told.value if line.is_turned else told.value
    if not _is_expected(script, item, finding, value):
        return None
    slots = {"low": told.points[0], "high": told.points[1], "y": symbol_words(line.y), "x": symbol_words(line.x)}
    values = [fill([words["triangle" if plot is script.plot else "triangle_other"]], slots)]
    symbol, working = name_words(item), f"−[{told.working}]" if line.is_turned else told.working
    if line.is_intercept:
        values.append(f"gradient = {told.working}")
        working = f"{told.low[1]} − gradient × {bracketed(told.low[0])}"
    answer = f"{symbol} = {printed(value, 3)} {item.unit.symbol}".strip()
    return OwnLines(values=tuple(values), before=f"{symbol} = {working} =", answer=answer)


def _own_place(script: Script, rubric: Rubric, item: Item, finding: Finding) -> OwnLines | None:
    place = between(rubric, script.write_up, item)
    if place is None or not _lies_between(script, item, finding, (float(place.low[0]), float(place.high[0]))):
        return None
    said = fill([wording("sheet")["now"]["at_point" if place.is_at_point else "between"]], place.slots)
    symbol, expected = name_words(item), _expected(script, item, finding)
    value = place.read_off if expected is None else expected
    answer = f"{symbol} = {printed(value, 2)} {item.unit.symbol}".strip()
    return OwnLines(values=(said,), before=f"{symbol} =", answer=answer)


def _expected(script: Script, item: Item, finding: Finding) -> float | None:
    """Return what the figures lead to in the unit of the item, whatever unit the student wrote."""
    if finding.expected is None:
        return None
    return finding.expected * wanted_unit(script, item, finding).factor / item.unit.factor


def _is_expected(script: Script, item: Item, finding: Finding, value: float) -> bool:
    expected = _expected(script, item, finding)
    return expected is None or abs(value - expected) <= NEAR_ENOUGH * abs(expected)


def _lies_between(script: Script, item: Item, finding: Finding, ends: tuple[float, float]) -> bool:
    expected = _expected(script, item, finding)
    return expected is None or min(ends) <= expected <= max(ends)


# ---- another one ----------------------------------------------------------------------------------------------


def another_off_graph(script: Script, rubric: Rubric, item: Item, seed: str) -> Question | None:
    """Return an answer of the same kind to take off another line or curve; None for any other answer."""
    line = off_line(rubric, item)
    if line is None:
        place = between(rubric, script.write_up, item)
        if place is None:
            return None
        other = another_between(place, seed)
        return asked("between", other.slots, answer_of(other))
    plot = own_plot(script, rubric, line)
    made = another_triangle(plot, seed) if plot is not None else None
    if made is None:
        return None
    symbol = name_words(item)
    slots = {"x": line.x_words, "y": line.y_words, "low": made.points[0], "high": made.points[1], "symbol": symbol}
    value = made.intercept if line.is_intercept else -made.value if line.is_turned else made.value
    slots["unit_word"] = "unit" if item.unit.symbol else ""
    kind = "intercept" if line.is_intercept else "gradient_turned" if line.is_turned else "gradient"
    return asked(kind, slots, f"{symbol} = {printed(value, 3)} {item.unit.symbol}".strip())


# ---- scales ---------------------------------------------------------------------------------------------------


def graph_items(rubric: Rubric) -> tuple[Item, Item] | None:
    """Return what goes across and what goes up; None for a practical without a graph."""
    graph = rubric.graph
    return None if graph is None else (rubric.items[graph.x], rubric.items[graph.y])


def own_ranges(script: Script, rubric: Rubric) -> tuple[tuple[str, ...], str]:
    """Return from where to where each axis of the student's graph has to go, and axes that do it, for the teacher."""
    items, plot = graph_items(rubric), script.plot
    if items is None or plot is None:
        return (), ""
    words = wording("sheet")["now"]
    said, ends = [], []
    for item, numbers in zip(items, (plot.x, plot.y), strict=True):
        low, high = (float(f"{end:.3g}") for end in (min(numbers), max(numbers)))
        if not low < high:
            continue
        step, start = _scale(low, high)
        slots = {"symbol": symbol_words(item), "low": printed(low), "high": _valued(high, item)}
        said.append(fill([words["range"]], slots))
        end = start + step * math.ceil((high - start) / step - 1e-9)
        slots |= {"low": printed(_tidy(start)), "high": _valued(_tidy(end), item)}
        ends.append(fill([words["range_answer"]], slots))
    return tuple(said), "; ".join(ends)


def another_scale(script: Script, rubric: Rubric, seed: str) -> Question | None:
    """Return a scale to choose for another range of what goes across."""
    items, plot = graph_items(rubric), script.plot
    if items is None or plot is None or not max(plot.x) > min(plot.x):
        return None
    first = draw(seed, len(_OTHER_RANGES))
    ranges = [tuple(float(f"{end * factor:.2g}") for end in (min(plot.x), max(plot.x))) for factor in _OTHER_RANGES]
    if items[0].is_whole_count:
        ranges = [(math.floor(low), math.ceil(high)) for low, high in ranges]
    low, high = next((one for one in ranges[first:] + ranges[:first] if _fills_half(*one)), (0.0, 0.0))
    if not low < high:
        return None
    step, start = _scale(low, high)
    slots = {
        "symbol": symbol_words(items[0]), "low": printed(low), "high": _valued(high, items[0]),
        "squares": str(_SQUARES), "step": _valued(_tidy(step), items[0]), "start": _valued(_tidy(start), items[0]),
    }  # fmt: skip
    return asked("scale", slots, fill([wording("sheet")["next"]["scale_answer"]], slots), 2)


def _scale(low: float, high: float) -> tuple[float, float]:
    """Return the smallest easy step with which so many squares hold the range, and where the axis starts."""
    power = 10.0 ** math.floor(math.log10((high - low) / _SQUARES))
    for factor in (1, 2, 5, 10, 20):
        step = factor * power
        start = math.floor(low / step + 1e-9) * step
        if start + _SQUARES * step >= high * (1 - 1e-12):
            return step, start
    return 20 * power, math.floor(low / (20 * power)) * 20 * power


def _fills_half(low: float, high: float) -> bool:
    return low < high and high - low >= _SQUARES / 2 * _scale(low, high)[0]


def _tidy(number: float) -> float:
    return float(f"{number:.10g}")


def _valued(number: float, item: Item) -> str:
    return f"{printed(number)} {item.unit.symbol}".strip()


# ---- shapes ---------------------------------------------------------------------------------------------------


def another_shape(script: Script, rubric: Rubric, item: Item, seed: str) -> Question | None:
    """Return points of another shape, to be named by the words that the item offers."""
    known = {means: choice.word for choice in item.choices for means in choice.means if means in _SHAPES}
    if item.curve is None or not known:
        return None
    x, y = (rubric.items[name] for name in item.curve)
    shape = sorted(known)[draw(f"{seed}/shape", len(known))]
    step, unit = _step_of(script, x), _UPS[draw(f"{seed}/unit", len(_UPS))]
    across = ", ".join(printed(_tidy(step * number)) for number in range(1, 6))
    up = ", ".join(printed(_tidy(unit * height)) for height in _SHAPES[shape])
    slots = {
        "x": symbol_words(x), "y": symbol_words(y), "across": f"{across} {x.unit.symbol}".strip(),
        "up": f"{up} {y.unit.symbol}".strip(), "question": item.quantity,
        "words": "; ".join(dict.fromkeys(choice.word for choice in item.choices)),
    }  # fmt: skip
    return asked("shape_asked" if item.quantity.endswith("?") else "shape", slots, known[shape], 1)


def _step_of(script: Script, item: Item) -> float:
    """Return an easy step with which five readings cover about what the student's do."""
    entries = script.write_up.columns.get(item.name, {}).values()
    given = [one for one in (given_of(item, entry) for entry in entries) if one is not None]
    most = max((abs(float(changed(one, item.unit))) for one in given), default=0.0) or 5.0
    power = 10.0 ** math.floor(math.log10(most / 5))
    return float(Decimal(f"{min((1, 2, 5, 10), key=lambda one: abs(one * power - most / 5)) * power:.6g}"))
