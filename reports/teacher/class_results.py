"""The results of a class beside the accepted value: every one of them on the line, or named."""

from __future__ import annotations

from collections.abc import Sequence

from marking.cohort.picture import ClassPicture
from marking.findings import Agrees
from reports.charts import DotPlot, names_of
from reports.page import SMALL, Block, Heading, Space, text
from reports.teacher.students_called import People
from reports.wording import as_print, fill, symbol_words, wording
from rubrics.formulas import printed
from rubrics.model import AcceptedValue, Rubric

_GAP = 13.0
_FEW = 12


def result_label(rubric: Rubric, seen: ClassPicture) -> str:
    """Return what the results are, for the number line: 'specific heat capacity c / J/(kg °C)'."""
    item = rubric.items.get(rubric.result.answer) if rubric.result is not None else None
    if item is None:
        return seen.result_unit
    symbol = symbol_words(item)
    quantity = (
        item.quantity if symbol in item.quantity.split() or symbol == item.quantity else f"{item.quantity} {symbol}"
    )
    return fill(wording("summary")["results"]["label"], {"quantity": quantity, "unit": seen.result_unit})


def result_blocks(rubric: Rubric, seen: ClassPicture, people: People, width: float) -> list[Block]:
    """Return the results as dots with the accepted band, and what they say; nothing where there is none."""
    if not seen.results:
        return []
    words, headings = wording("summary")["results"], wording("summary")["headings"]
    values = [result.value for result in seen.results]
    parts: list[DotPlot | Space] = []
    sentences = _result_sentences(rubric, seen, values, people)
    if len(values) > 1:
        plot = DotPlot(values, seen.accepted, width, result_label(rubric, seen))
        parts = [plot, Space(3)]
        beyond = [(one.student, printed(one.value, 3)) for one in seen.results if one.value in (*plot.low, *plot.high)]
        if beyond:
            sentences.insert(0, fill([words["beyond"]], {"named": people.with_each(words["beyond_one"], beyond)}))
    without = _without(seen, people)
    sentences += [fill([words["none"]], {"who": people.listed(without, _FEW)})] if without else []
    heading = Heading(headings["results" if seen.accepted else "results_only"])
    return [Block(parts=(heading, *parts, *(text(SMALL, sentence) for sentence in sentences)), gap=_GAP)]


def _without(seen: ClassPicture, people: People) -> list[str]:
    """Return who handed in and has no result."""
    told = {result.student for result in seen.results} | {*seen.missing, *seen.absent}
    return [code for code in people.codes if code not in told]


def _result_sentences(rubric: Rubric, seen: ClassPicture, values: Sequence[float], people: People) -> list[str]:
    words = wording("summary")["results"]
    unit = seen.result_unit or " "
    if len(values) == 1:
        (one,) = seen.results
        sentences = [
            fill([words["one"]], {"who": people.called(one.student), "value": printed(one.value, 3), "unit": unit})
        ]
    else:
        slots = {"count": str(len(values)), "lowest": printed(min(values), 3), "highest": printed(max(values), 3)}
        sentences = [fill([words["spread"]], {**slots, "unit": unit})]
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
    return fill([words["source"], words["source_plain"]], slots)


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
        above, below = sum(value > high for value in values), sum(value < low for value in values)
        # Only a clear lean is worth a sentence: two in three on one side.
        for name, count, why in (("above", above, rubric.result.too_high), ("below", below, rubric.result.too_low)):
            if 3 * count > 2 * len(values):
                sentences.append(fill([words[name]], {"count": str(count), "all": str(len(values)), "why": why or " "}))
    return sentences
