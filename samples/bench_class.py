"""A class at the benches of ``benches/``: who stands where, what each one writes, which cells are untidy."""

from __future__ import annotations

from collections.abc import Callable
from random import Random

from marking.write_up import Student
from rubrics.model import CheckKind, Rubric
from samples.bench_answers import answer_all
from samples.bench_data import BenchData, bench_data
from samples.desk import SHARE_REPEATS, SHARE_UNIT_ONCE, Desk, read_off
from samples.habits import Habits, ordinary
from samples.messy import NUMBER, make_untidy
from samples.paper_boxes import fill_paper_boxes
from samples.recording import Written
from samples.scenario import Mess, SampleSet
from samples.sheet import WriteUp, rows_of

SLIP_RATE = 0.13
"""How often an answer is wrong."""
UNTIDY = ("decimal comma", "unit in the cell", "letter for a figure", "left blank")
"""What befalls one cell each of this many students."""


def fill_class(sample: SampleSet, rubric: Rubric) -> dict[str, WriteUp]:
    """Return the write-ups of a class by code, without those who handed nothing in."""
    data = bench_data()[sample.practical]
    here = [one for one in sample.students if not one.absent and one.code not in sample.nothing]
    works = {
        one.code: fill_desk(rubric, data, one, sample.seed, habits=ordinary, slip_rate=SLIP_RATE).work for one in here
    }
    chance = Random(f"{sample.seed}/mess")
    kinds = [*UNTIDY, *([NUMBER] if sample.form == "workbook" else [])]
    for code, kind in zip(chance.sample(list(works), len(kinds)), kinds, strict=True):
        _make_untidy(works[code], rubric, kind, chance)
    return works


def fill_desk(
    rubric: Rubric,
    data: BenchData,
    student: Student,
    seed: str,
    *,
    habits: Callable[[Random], Habits],
    slip_rate: float,
    uses_other_ways: bool = False,
) -> Desk:
    """Return the desk of one student, with all that was written there."""
    chance = Random(f"{seed}/{student.code}")
    number = int(student.bench) - 1
    kind = data.kinds[number % len(data.kinds)] if data.kinds else ""
    desk = Desk(
        rubric=rubric,
        data=data,
        kind=kind,
        chance=chance,
        habits=habits(chance),
        work=WriteUp(student=student.code, practical=rubric.id, chance=chance),
        stand=_stand(data, number, seed)
        | {f"constant {one.name}": chance.choice(one.values) * one.unit.factor for one in rubric.constants.values()},
        unit_once=chance.random() < SHARE_UNIT_ONCE,
        writes_repeats=Random(f"{seed}/{student.code}/repeats").random() < SHARE_REPEATS,
    )
    if kind and rubric.selector:
        choice = next(one for one in rubric.items[rubric.selector].choices if one.word == kind)
        desk.work.cells[rubric.selector] = (chance.choice((kind, kind, *choice.also[:2])), "")
    read_off(desk)
    answer_all(desk, slip_rate, uses_other_ways=uses_other_ways)
    words = Random(f"{seed}/{student.code}/words")  # a question more or less changes no figure
    fill_paper_boxes(rubric, desk.work, _graph_columns(desk), None, words)
    return desk


def _graph_columns(desk: Desk) -> dict[str, list[float]]:
    """Return the columns of the graph in the units of the rubric."""
    graph = desk.rubric.graph
    found = {}
    for name in (graph.x, graph.y) if graph else ():
        unit, figure = desk.rubric.items[name].unit, desk.si.get(name)
        if isinstance(figure, list):
            found[name] = [(one - unit.offset) / unit.factor for one in figure]
    return found


def _stand(data: BenchData, number: int, seed: str) -> dict[str, float]:
    chance = Random(f"{seed}/bench {number + 1}")
    return {
        name: values[number % len(values)] if name in data.by_bench else chance.uniform(*values)
        for name, values in data.stand.items()
    }


def _make_untidy(work: WriteUp, rubric: Rubric, kind: str, chance: Random) -> None:
    """Let one kind of mess befall a reading of this student; nothing where no reading can have it."""
    # Rows are counted: one that was set and not written down would be a mistake, and not only untidy.
    counted = {name for one in rubric.criteria if one.check is CheckKind.ROWS for name in one.items}
    slots = [
        (item, row, written)
        for item, cell in work.cells.items()
        if not rubric.items[item].is_words and rubric.items[item].formula is None and item not in counted
        if not (kind == "left blank" and rubric.items[item].repeat_of)  # nor would the mean follow without it
        for row, written in rows_of(cell).items()
        if _may_befall(kind, written)
    ]
    if not slots:
        return
    item, row, _ = chance.choice(slots)
    spoiled = [(row, item)] if kind != NUMBER else [(r, i) for i, r, _ in slots if i == item]
    mess = [Mess(student=work.student, item=item, row=row, kind=kind) for row, item in spoiled]
    make_untidy(work, mess)
    work.mess += mess


def _may_befall(kind: str, written: Written) -> bool:
    text, unit = written
    match kind:
        case "decimal comma":
            return "." in text
        case "unit in the cell":
            return bool(unit)
        case "letter for a figure":
            return any(figure in text for figure in "051")
        case _:
            return bool(text)
