"""What else a student types of a write-up: answers in words, points and scales of the graph, a table value."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from random import Random

from rubrics.model import CheckKind, GraphInfo, Question, ResultInfo, Rubric
from samples.answers import fit_line
from samples.recording import write_answer
from samples.sheet import Cell, WriteUp
from samples.short_answers import answer_in_parts, answer_in_words

SHARE_NOT_TYPED = 0.03
"""Of students, who leave the boxes of the graph empty."""
SHARE_SMALL_TRIANGLE = 0.06
SHARE_POOR_SCALE = 0.08
SHARE_WRONG_MATERIAL = 0.08
SHARE_IN_PARTS = 0.8
"""Of students, who use the boxes for direction and reason; the others write one sentence."""
TURNED_ON = 0.03
"""Share of the largest current at which a diode is said to conduct."""
SQUARES = 8
"""Large squares along an axis, at the most."""
FIGURES = 3
FEWEST = 3
"""Points that a graph needs."""

Columns = Mapping[str, Sequence[float]]


def fill_paper_boxes(rubric: Rubric, work: WriteUp, columns: Columns, result: float | None, chance: Random) -> None:
    """Add what is typed beside readings and calculations to *work*.

    Args:
        rubric: The practical.
        work: What stands on the sheet so far.
        columns: The columns of the graph in the units of the rubric.
        result: The final value, in its unit; None where there is none.
        chance: Decides everything that is left to chance.
    """
    for item in rubric.items.values():
        if item.question is not None:
            _answer(rubric.id, item.name, item.question, work.cells, chance)
    if rubric.graph is not None:
        _of_graph(rubric, rubric.graph, work, columns, chance)
    for criterion in rubric.criteria:
        if criterion.check is CheckKind.NEAREST and result is not None and rubric.result is not None:
            _material(rubric.result, criterion.items[0], work, result, chance)


def _material(info: ResultInfo, item: str, work: WriteUp, result: float, chance: Random) -> None:
    nearest = min(info.accepted, key=lambda one: abs(one.value - result)).name
    others = [one.name for one in info.accepted if one.name != nearest]
    is_wrong = chance.random() < SHARE_WRONG_MATERIAL
    work.cells[item] = (chance.choice(others) if is_wrong else nearest, "")
    if is_wrong:
        work.plant(item, "choice", "unexplained", "another material than the nearest")


def add_comparison(rubric: Rubric, work: WriteUp, chance: Random) -> None:
    """Write down the table value and how far the result is from it, in per cent, where the practical asks for it."""
    if "percent_off" not in rubric.items or rubric.result is None:
        return
    own = work.numbers.value.get(rubric.result.answer)
    if own is None:
        return
    value = min(rubric.result.accepted, key=lambda one: abs(one.value - own)).value
    work.cells["ref"] = (f"{value:g}", rubric.items["ref"].unit.symbol)
    if chance.random() >= SHARE_NOT_TYPED:
        work.cells["percent_off"] = (write_answer(100 * (own - value) / value, 2), "%")


def add_own_readings(rubric: Rubric, work: WriteUp, chance: Random) -> None:
    """Write down what the apparatus of the seven practicals leaves out: repeats of a volume, a turn-on p.d."""
    volume = rubric.items.get("V")
    cell = work.cells.get("V")
    if volume is not None and volume.repeats and isinstance(cell, tuple):
        step = volume.resolution or 0.0
        for name, off in zip(volume.repeats, (-step, 0.0, step), strict=True):
            work.cells[name] = (f"{float(cell[0]) + off:.1f}", cell[1])
    if "V_on" in rubric.items and work.cells.get("component", ("", ""))[0] in ("diode", "Diode", "silicon diode"):
        pairs = sorted(zip(work.numbers.columns["V"], work.numbers.columns["I"], strict=True))
        most = max(current for _, current in pairs)
        first = next(pd for pd, current in pairs if current > TURNED_ON * most)
        if chance.random() >= SHARE_NOT_TYPED:
            work.cells["V_on"] = (f"{first:.2f}", "V")


def columns_of(rubric: Rubric, work: WriteUp) -> Columns:
    """Return the columns of the graph, every row of them, in the units of the rubric."""
    names = (rubric.graph.x, rubric.graph.y) if rubric.graph else ()
    if all(name in row.value for row in work.rows.values() for name in names):
        return {name: [work.rows[row].value[name] for row in sorted(work.rows)] for name in names}
    return work.numbers.columns


def _answer(practical: str, name: str, question: Question, cells: dict[str, Cell], chance: Random) -> None:
    if question.sources and question.way and chance.random() < SHARE_IN_PARTS:
        what, way, because = answer_in_parts(practical, name, question, chance)
        cells[name] = (what, "")
        cells[question.way] = (way, "")
        cells[question.because] = (because, "")
        return
    cells[name] = (answer_in_words(practical, name, question, chance), "")


def _of_graph(rubric: Rubric, graph: GraphInfo, work: WriteUp, columns: Columns, chance: Random) -> None:
    pairs = list(zip(columns.get(graph.x, ()), columns.get(graph.y, ()), strict=False))
    pairs = [pair for pair in pairs if all(math.isfinite(one) for one in pair)]
    if len(pairs) < FEWEST or chance.random() < SHARE_NOT_TYPED:
        return
    x, y = [pair[0] for pair in pairs], [pair[1] for pair in pairs]
    if graph.read_off and max(x) > min(x):
        units = [rubric.items[name].unit.symbol for name in graph.read_off]
        _points(graph.read_off, units, work.cells, (x, y), chance)
    for names, values in ((graph.axes[:3], x), (graph.axes[3:], y)):
        if names and max(values) > min(values):
            is_poor = chance.random() < SHARE_POOR_SCALE / 2
            scale = _scale(values, is_poor=is_poor)
            if is_poor:
                work.plant("", "scale", "unexplained", "points fill less than half of an axis")
            for name, value in zip(names, scale, strict=True):
                work.cells[name] = (f"{value:.6g}", rubric.items[name].unit.symbol)


def _points(
    names: Sequence[str],
    units: Sequence[str],
    cells: dict[str, Cell],
    points: tuple[list[float], list[float]],
    chance: Random,
) -> None:
    x, y = points
    slope, intercept = fit_line(x, y)
    span = max(x) - min(x)
    is_small = chance.random() < SHARE_SMALL_TRIANGLE
    ends = (0.35, 0.6) if is_small else (chance.uniform(0.02, 0.1), chance.uniform(0.88, 0.98))
    found = []
    for share in ends:
        at = float(write_answer(min(x) + share * span, FIGURES))
        found += [at, slope * at + intercept]
    for name, unit, value in zip(names, units, found, strict=True):
        cells[name] = (write_answer(value, FIGURES), unit)


def _scale(values: Sequence[float], *, is_poor: bool) -> tuple[float, float, float]:
    """Return start, end and large square of an axis that holds *values*; a poor one leaves half of it empty."""
    low, high = min(values), max(values)
    start_at_zero = 0 <= low <= 0.4 * high
    bottom = 0.0 if start_at_zero else low
    square = _easy((high - bottom) / (3.0 if is_poor else SQUARES) * (4.0 if is_poor else 1.0))
    start = 0.0 if start_at_zero else math.floor(low / square + 1e-9) * square
    end = math.ceil(high / square - 1e-9) * square
    return start, end + (2 * (end - start) if is_poor else 0.0), square


def _easy(least: float) -> float:
    """Return the smallest of 1, 2 and 5 times a power of ten that is not below *least*."""
    power = 10.0 ** math.floor(math.log10(least))
    return next(one * power for one in (1.0, 2.0, 5.0, 10.0) if one * power >= least * (1 - 1e-9))
