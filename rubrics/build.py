"""From the checked tables of a rubric file to the records of ``rubrics/model.py``.

Units and formulas are understood here. What cannot be understood is noted as a complaint and replaced
by something harmless, so that the rest of the file is still looked through.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from msgspec.structs import replace

from rubrics.build_constants import settle_constants
from rubrics.build_graph import build_graph
from rubrics.build_questions import cures_beside, question_items
from rubrics.faults import Complaint, FormulaError, UnitError
from rubrics.formulas import Formula, Kind, kind_of, parse_formula
from rubrics.model import (
    CAUTION_END,
    AcceptedValue,
    Apparatus,
    Blank,
    CheckKind,
    Choice,
    Constant,
    Criterion,
    Item,
    NamedSlip,
    ResultInfo,
    Role,
    Rubric,
    Worked,
    usual_point,
    with_repeats,
)
from rubrics.units import Unit, define_unit

if TYPE_CHECKING:
    from rubrics.documents import (
        AnswerTable,
        ChoiceTable,
        ConstantTable,
        CriterionTable,
        ItemTable,
        ResultTable,
        RubricTable,
    )

_NOTHING = parse_formula("0")


def build_rubric(table: RubricTable, file: str, sha256: str, found: list[Complaint]) -> Rubric:
    """Return the rubric that *table* describes; what could not be understood is added to *found*."""
    constants = {name: _constant(name, one, found) for name, one in table.constants.items()}
    items: dict[str, Item] = {}
    for name, one in table.readings.items():
        reading = _reading(name, one, found)
        items |= with_repeats(reading, one.repeats) if one.repeats else {name: reading}
    for name, answer in table.answers.items():
        items[name] = _answer(name, answer, found)
    graph = build_graph(table.graph, items) if table.graph else None
    for name in table.graph.read_off or () if table.graph else ():
        if name in items:  # else told by rubrics/soundness_of_estimates.py
            items[name] = replace(items[name], is_read_off=True)
    for name, question in table.questions.items():
        items |= question_items(name, question, cures=cures_beside(name, table.questions))
    if table.selector in items:
        _settle_tested(items, items[table.selector].choices)
    settle_constants(items, constants)
    _settle_changes(items, constants)
    return Rubric(
        id=table.id,
        edition=table.edition,
        title=table.title,
        level=table.level,
        purpose=table.purpose,
        items=items,
        constants=constants,
        criteria=tuple(_criterion(one, items) for one in table.criteria),
        selector=table.selector,
        most_rows=table.most_rows,
        graph=graph,
        result=_result(table.result) if table.result else None,
        slips=tuple(
            NamedSlip(
                answer=slip.answer,
                formula=_formula(slip.formula, ("slips", number, "formula"), found),
                cause=slip.cause,
                detail=slip.detail,
            )
            for number, slip in enumerate(table.slips)
        ),
        cautions=_cautions(table.cautions),
        apparatus=tuple(
            Apparatus(name=one.name, range=one.range, each=one.each, shared=one.shared, consumable=one.consumable)
            for one in table.apparatus
        ),
        file=file,
        sha256=sha256,
        worked=tuple(Worked(entries=_texts(one.entries), answers=_texts(one.answers)) for one in table.worked),
    )


def _settle_tested(items: dict[str, Item], choices: Sequence[Choice]) -> None:
    # An answer may say itself what was tested: 'tilted on the ball'.
    words = tuple((choice.word, (choice.word, *choice.also)) for choice in choices)
    for name, item in items.items():
        if item.question is not None and any(source.when for source in item.question.sources):
            items[name] = replace(item, question=replace(item.question, tested=words))


def _texts(given: Mapping[str, str | list[str]]) -> dict[str, tuple[str, ...]]:
    return {name: (text,) if isinstance(text, str) else tuple(text) for name, text in given.items()}


def _settle_changes(items: dict[str, Item], constants: dict[str, Constant]) -> None:
    # An uncertainty of a temperature is no temperature either.
    for name, item in items.items():
        if item.uncertainty_of is not None and item.unit.offset:
            recorded_in = tuple(unit.as_change() for unit in item.recorded_in)
            items[name] = replace(item, unit=item.unit.as_change(), recorded_in=recorded_in)
    # A change of temperature has the unit of a temperature; only its formula tells that it is a change.
    for name, item in items.items():
        if item.formula is None or not item.unit.offset:
            continue
        kinds = {n: Kind(i.unit.dimension, bool(i.unit.offset)) for n, i in items.items()}
        kinds |= {n: Kind(c.unit.dimension, bool(c.unit.offset)) for n, c in constants.items()}
        try:
            is_point = kind_of(item.formula.tree, kinds).is_point
        except (FormulaError, KeyError):
            continue  # told as a fault of the formula, with better words, by rubrics/soundness.py
        if not is_point:
            recorded_in = tuple(unit.as_change() for unit in item.recorded_in)
            items[name] = replace(item, unit=item.unit.as_change(), recorded_in=recorded_in)


def _unit(text: str, key: tuple[str | int, ...], found: list[Complaint]) -> Unit:
    try:
        return define_unit(text)
    except UnitError as error:
        problem, _, mend = str(error).rpartition(": ")
        found.append(Complaint(key, problem, mend))
        return define_unit("")


def _units(unit: Unit, others: Sequence[str], key: tuple[str | int, ...], found: list[Complaint]) -> tuple[Unit, ...]:
    units = [unit]
    misread = {complaint.key for complaint in found}
    for text in others:
        other = _unit(text, key, found)
        if other.dimension != unit.dimension and (*key[:-1], "unit") not in misread:
            found.append(Complaint(key, f"{text} is not a unit of the same quantity as {unit.symbol}", "mend the list"))
        elif all(other.symbol != one.symbol for one in units):
            units.append(other)
    return tuple(units)


def _formula(text: str, key: tuple[str | int, ...], found: list[Complaint]) -> Formula:
    try:
        return parse_formula(text)
    except FormulaError as error:
        found.append(Complaint(key, str(error), "see the formula language in rubrics/catalogue/README.md"))
        return _NOTHING


def _choices(choices: Sequence[ChoiceTable]) -> tuple[Choice, ...]:
    return tuple(Choice(word=one.word, means=tuple(one.means), also=tuple(one.also)) for one in choices)


def _reading(name: str, table: ItemTable, found: list[Complaint]) -> Item:
    unit = _unit(table.unit, ("readings", name, "unit"), found)
    recorded_in = _units(unit, table.recorded_in, ("readings", name, "recorded_in"), found)
    if table.change:
        unit, recorded_in = unit.as_change(), tuple(one.as_change() for one in recorded_in)
    return Item(
        name=name,
        symbol=table.symbol or name,
        quantity=table.quantity,
        role=Role.READING,
        unit=unit,
        recorded_in=recorded_in,
        table=table.table,
        limits=(table.limits[0], table.limits[1]) if table.limits else None,
        instrument=table.instrument,
        resolution=table.resolution,
        headings=tuple(table.headings),
        formula=None,
        also=(),
        figures=(1, 9),
        choices=_choices(table.choices),
        curve=None,
        blank=Blank.WITHHELD,
        counted=tuple(table.counted),
        is_random=table.random,
        uncertainty=table.uncertainty,
    )


def _answer(name: str, table: AnswerTable, found: list[Complaint]) -> Item:
    key = ("answers", name)
    unit = _unit(table.unit, (*key, "unit"), found)
    return Item(
        name=name,
        symbol=table.symbol or name,
        quantity=table.quantity,
        role=Role.ANSWER,
        unit=unit,
        recorded_in=_units(unit, table.recorded_in, (*key, "recorded_in"), found),
        table=table.table,
        limits=(table.limits[0], table.limits[1]) if table.limits else None,
        instrument="",
        resolution=None,
        headings=tuple(table.headings),
        formula=_formula(table.formula, (*key, "formula"), found) if table.formula else None,
        also=tuple(_formula(text, (*key, "also"), found) for text in table.also),
        figures=(table.figures[0], table.figures[1]),
        choices=_choices(table.choices),
        curve=(table.curve[0], table.curve[1]) if table.curve else None,
        blank=Blank(table.blank),
        may_stand_alone=table.alone,
        counted=tuple(table.counted),
        uncertainty_of=table.uncertainty_of,
        turn_on=(table.turn_on[0], table.turn_on[1]) if table.turn_on else None,
    )


def _constant(name: str, table: ConstantTable, found: list[Complaint]) -> Constant:
    return Constant(
        name=name,
        symbol=table.symbol or name,
        quantity=table.quantity,
        unit=_unit(table.unit, ("constants", name, "unit"), found),
        values=tuple(table.values),
        source=table.source,
    )


def _cautions(given: Sequence[str]) -> tuple[str, ...]:
    is_closed = bool(given) and given[-1].rstrip(". ").endswith(CAUTION_END)
    return tuple(given) if is_closed else (*given, f"Before you start, {CAUTION_END}.")


def _criterion(table: CriterionTable, items: Mapping[str, Item]) -> Criterion:
    award = sorted(((int(lines), marks) for lines, marks in table.award.items()), reverse=True)
    return Criterion(
        code=table.code,
        point=table.point or usual_point(CheckKind(table.check), [items[n] for n in table.items if n in items]),
        marks=table.marks,
        check=CheckKind(table.check),
        items=tuple(table.items),
        award=tuple(award),
        rows=table.rows,
        span=table.span,
        each_way=table.each_way,
        near=(table.near[0], table.near[1], int(table.near[2])) if table.near else None,
        within=table.within,
        steps=table.steps,
        decides=table.decides,
        on_paper=table.on_paper,
        spares=tuple(table.spares),
        least=tuple(table.least.items()),
        lost_by=tuple(table.lost_by),
        when=tuple(table.when),
    )


def _result(table: ResultTable) -> ResultInfo:
    return ResultInfo(
        answer=table.answer,
        accepted=tuple(
            AcceptedValue(
                name=one.name,
                value=one.value,
                uncertainty=one.uncertainty,
                source=one.source,
                edition=one.edition,
                follows=one.follows,
            )
            for one in table.accepted
        ),
        expected=(table.expected[0], table.expected[1]) if table.expected else None,
        stop=(table.stop[0], table.stop[1]) if table.stop else None,
        too_high=table.too_high,
        too_low=table.too_low,
        or_answers=tuple(table.or_answers),
        use=table.use,
        each=table.each,
    )
