"""The results of a class beside the accepted value: every one of them on the line, or named."""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec.structs import replace

from marking.cohort.picture import ClassPicture, StudentResult
from marking.findings import Agrees, MarkedSet
from reports.charts import TICK_SIZE, ClassPoints, DotPlot, names_of
from reports.next_step import wanted_unit
from reports.page import SMALL, Block, Heading, Space, text
from reports.teacher.students_called import People
from reports.wording import as_print, fill, symbol_words, wording
from rubrics.formulas import printed
from rubrics.model import AcceptedValue, Item, Rubric

_GAP = 13.0
_FEW = 12
_PER_CENT = "%"
_FEWEST = 2
"""Students who must have a result for it to be what a class is shown."""


def with_results(marked: MarkedSet, seen: ClassPicture) -> ClassPicture:
    """Return a class with the results of its practical, also where the rubric names none to compare with a book's."""
    item = result_item(marked.rubric, marked)
    if seen.results or item is None or marked.rubric.result is not None:
        return seen
    own = _own_values(marked, item)
    results = tuple(StudentResult(student=code, value=value, agrees=Agrees.UNKNOWN) for code, value in own.items())
    return replace(seen, results=results, result_unit=item.unit.symbol)


def result_item(rubric: Rubric, marked: MarkedSet | None = None) -> Item | None:
    """Return what a practical is about: the rubric's result, else the last single answer that students have."""
    if rubric.result is not None:
        return rubric.items.get(rubric.result.answer)
    last = [
        item
        for item in rubric.answers
        if item.table is None and item.formula is not None and not item.is_words and not item.is_estimate
    ][::-1]
    last = sorted(last, key=lambda item: item.unit.symbol == _PER_CENT)  # how far off is no result
    if marked is None:
        return next(iter(last), None)
    return next((item for item in last if len(_own_values(marked, item)) >= _FEWEST), None)


def _own_values(marked: MarkedSet, item: Item) -> dict[str, float]:
    """Return student to what their own figures lead to, in the unit of the item."""
    found: dict[str, float] = {}
    for script in marked.scripts:
        for finding in script.as_found:
            if finding.item == item.name and finding.expected is not None and math.isfinite(finding.expected):
                factor = wanted_unit(script, item, finding).factor / item.unit.factor
                found.setdefault(script.write_up.student.code, finding.expected * factor)
    return found


def result_label(seen: ClassPicture, item: Item | None) -> str:
    """Return what the results are, for the number line: 'specific heat capacity c / J/(kg °C)'."""
    if item is None:
        return seen.result_unit
    symbol = symbol_words(item)
    quantity = (
        item.quantity if symbol in item.quantity.split() or symbol == item.quantity else f"{item.quantity} {symbol}"
    )
    return fill(wording("summary")["results"]["label"], {"quantity": quantity, "unit": seen.result_unit})


def result_blocks(marked: MarkedSet, seen: ClassPicture, people: People, width: float) -> list[Block]:
    """Return the results as dots with the accepted band, and what they say; nothing where there is none."""
    if not seen.results:
        return points_blocks(marked, people, width)
    rubric, words, headings = marked.rubric, wording("summary")["results"], wording("summary")["headings"]
    values = [result.value for result in seen.results]
    parts: list[DotPlot | Space] = []
    sentences = _result_sentences(rubric, seen, values, people)
    if len(values) > 1:
        plot = DotPlot(values, seen.accepted, width, result_label(seen, result_item(rubric, marked)))
        parts = [plot, Space(3)]
        beyond = [(one.student, printed(one.value, 3)) for one in seen.results if one.value in (*plot.low, *plot.high)]
        if beyond:
            sentences.insert(0, fill([words["beyond"]], {"named": people.with_each(words["beyond_one"], beyond)}))
    # Of several components each has its own answers: who has another one has no result to wait for.
    is_for_all = rubric.selector is None or bool(rubric.result and rubric.result.or_answers)
    without = _without(seen, people) if is_for_all else []
    sentences += [fill([words["none"]], {"who": people.listed(without, _FEW)})] if without else []
    heading = Heading(headings["results" if seen.accepted else "results_only"])
    return [Block(parts=(heading, *parts, *(text(SMALL, sentence) for sentence in sentences)), gap=_GAP)]


def class_points(marked: MarkedSet, width: float, size: float = TICK_SIZE) -> ClassPoints | None:
    """Return the points of a class on one graph; None where the practical has a result, no graph, or one student."""
    plots = {one.write_up.student.code: one.plot for one in marked.scripts if one.plot is not None}
    chart = ClassPoints(plots, width, size)
    return chart if chart.is_drawable else None


def points_blocks(marked: MarkedSet, people: People, width: float) -> list[Block]:
    """Return the points of a class with who is off the scale; nothing where there are none."""
    chart, words = class_points(marked, width), wording("summary")
    if chart is None:
        return []
    said = [fill([words["results"]["points"]], {"count": str(chart.count)})]
    if chart.beyond:
        said.insert(0, fill([words["results"]["beyond"]], {"named": people.listed(chart.beyond, _FEW)}))
    heading = Heading(words["headings"]["results_only"])
    return [Block(parts=(heading, chart, Space(3), *(text(SMALL, sentence) for sentence in said)), gap=_GAP)]


def _without(seen: ClassPicture, people: People) -> list[str]:
    """Return who handed in and has no result."""
    told = {result.student for result in seen.results} | {*seen.missing, *seen.absent}
    return [code for code in people.codes if code not in told]


def _result_sentences(rubric: Rubric, seen: ClassPicture, values: Sequence[float], people: People) -> list[str]:
    words = wording("summary")["results"]
    unit = seen.result_unit
    if len(values) == 1:
        (one,) = seen.results
        sentences = [
            fill(words["one"], {"who": people.called(one.student), "value": printed(one.value, 3), "unit": unit})
        ]
    else:
        slots = {"count": str(len(values)), "lowest": printed(min(values), 3), "highest": printed(max(values), 3)}
        sentences = [fill(words["spread"], {**slots, "unit": unit})]
    accepted = [_source(one, unit) for one in sorted(seen.accepted, key=lambda one: one.value)]
    if len(accepted) > 1 and len(values) > 1:
        named = zip(names_of(seen.accepted), accepted, strict=True)
        accepted = [f"{name}: {sentence}" for name, sentence in named]
    return [*sentences, *accepted, *_agreement(rubric, seen, values)]


def _source(one: AcceptedValue, unit: str) -> str:
    words = wording("summary")["results"]
    slots = {"name": one.name, "value": printed(one.value), "unit": unit, "source": as_print(one.source)}
    if one.uncertainty:
        slots["spread"] = printed(float(f"{one.uncertainty:.2g}"))
    return fill([*(words["source"] if one.uncertainty else ()), *words["source_plain"]], slots)


def _agreement(rubric: Rubric, seen: ClassPicture, values: Sequence[float]) -> list[str]:
    words = wording("summary")["results"]
    sentences = []
    told = [result for result in seen.results if result.agrees is not Agrees.UNKNOWN]
    if len(values) == 1:
        return [words["differs_one" if told[0].agrees is Agrees.NO else "agrees_one"]] if told else []
    if told:
        count = sum(result.agrees is not Agrees.NO for result in told)
        sentences.append(fill([words["agree"]], {"count": str(count), "all": str(len(told))}))
    if len(seen.accepted) == 1 and rubric.result is not None:
        low, high = (seen.accepted[0].value + side * seen.accepted[0].uncertainty for side in (-1, 1))
        # Only a clear lean is worth a sentence: two in three on one side, by more than their own uncertainty.
        off = [result.value for result in seen.results if result.agrees in (Agrees.NO, Agrees.UNKNOWN)]
        above, below = sum(value > high for value in off), sum(value < low for value in off)
        for name, count, why in (("above", above, rubric.result.too_high), ("below", below, rubric.result.too_low)):
            if 3 * count > 2 * len(values):
                sentences.append(fill([words[name]], {"count": str(count), "all": str(len(values)), "why": why or " "}))
    return sentences
