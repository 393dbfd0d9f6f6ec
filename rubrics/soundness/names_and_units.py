"""What can be wrong with a rubric that its keys alone do not show: names, dimensions, marks, cautions."""

from __future__ import annotations

import keyword
import re
from collections.abc import Collection, Iterator, Sequence

from rubrics.documents import RubricTable
from rubrics.faults import Complaint, FormulaError, Key
from rubrics.formulas import PI, Call, Formula, Kind, Name, Node, Number, Operation, kind_of, walk
from rubrics.model import Item, ResultInfo, Role, Rubric
from rubrics.soundness.sound_criteria import criterion_complaints
from rubrics.soundness.sound_estimates import estimate_complaints
from rubrics.soundness.sound_words import question_complaints, question_names, worked_complaints

_SECTIONS = ("readings", "answers", "constants")
_FUNCTION_OF_NUMBER = re.compile(r"(ln|sqrt|exp)_?([0-9]+)")


def complaints(rubric: Rubric, table: RubricTable, misread: Collection[Key] = ()) -> list[Complaint]:
    """Return everything wrong with *rubric*, whose checked file is *table*.

    Args:
        rubric: The practical.
        table: The checked file.
        misread: Keys of units and formulas that could not be understood; what only follows from one of
            these is not told as a fault of its own.
    """
    return [
        *_name_complaints(table),
        *_reserved_complaints(table),
        *_formula_complaints(rubric, misread),
        *criterion_complaints(rubric),
        *_reference_complaints(rubric),
        *_item_complaints(rubric, misread),
        *estimate_complaints(rubric),
        *question_complaints(rubric),
        *worked_complaints(rubric),
    ]


def _name_complaints(table: RubricTable) -> Iterator[Complaint]:
    for name in table.answers:
        if name in table.readings or name in table.constants:
            yield Complaint(("answers", name), f"{name} stands twice in the file", "give one of them another name")
    for name in table.questions:
        if name in table.readings or name in table.constants or name in table.answers:
            yield Complaint(("questions", name), f"{name} stands twice in the file", "give one of them another name")
    for name in table.constants:
        if name in table.readings:
            yield Complaint(("constants", name), f"{name} stands twice in the file", "give one of them another name")
    # V and v would be one heading on a results sheet.
    seen: dict[str, str] = {}
    for section, names in (("readings", table.readings), ("answers", table.answers), ("questions", table.questions)):
        for name in names:
            first = seen.setdefault(name.casefold(), name)
            if first != name:
                problem = f"{name} differs from {first} only by capitals"
                mend = f'rename one of them; symbol = "{name}" prints it as before'
                yield Complaint((section, name), problem, mend)


def _reserved_complaints(table: RubricTable) -> Iterator[Complaint]:
    keys = [("readings", name) for name in table.readings]
    keys += [("answers", name) for name in table.answers]
    keys += [("constants", name) for name in table.constants]
    for section, name in keys:
        # Python's own words do not parse as names, and pi is always the circle's.
        if keyword.iskeyword(name) or name == PI:
            yield Complaint((section, name), f"formulas cannot use {name} as a name", "choose another name")


def _formula_complaints(rubric: Rubric, misread: Collection[Key]) -> Iterator[Complaint]:
    kinds = {name: Kind(item.unit.dimension, bool(item.unit.offset)) for name, item in rubric.items.items()}
    kinds |= {n: Kind(one.unit.dimension, bool(one.unit.offset)) for n, one in rubric.constants.items()}
    for item in rubric.answers:
        formulas = [] if item.formula is None else [("formula", item.formula)]
        formulas += [("also", formula) for formula in item.also]
        for key, formula in formulas:
            units = [(part, name, "unit") for name in (item.name, *formula.names) for part in _SECTIONS]
            if not any(one in misread for one in [("answers", item.name, key), *units]):
                yield from _one_formula(rubric, item, formula, kinds, ("answers", item.name, key))
    for number, slip in enumerate(rubric.slips):
        yield from _unknown_names(rubric, slip.formula, f"the slip of {slip.answer}", ("slips", number, "formula"))
    yield from _circles(rubric)


def _unknown_names(rubric: Rubric, formula: Formula, what: str, key: Key) -> Iterator[Complaint]:
    known = [name for name, item in rubric.items.items() if not item.is_words] + list(rubric.constants)
    for name in formula.names:
        if name not in known:
            problem = f"the formula of {what} names {name}, which is no item here (items: {', '.join(known)})"
            yield Complaint(key, problem, _named_otherwise(name, known))


def _named_otherwise(name: str, known: Sequence[str]) -> str:
    """Return what to do about a name that stands for nothing: ln2 is a function, K may be k."""
    if found := _FUNCTION_OF_NUMBER.fullmatch(name):
        return f"write {found[1]}({found[2]})"
    near = next((one for one in known if one.casefold() == name.casefold()), "")
    meant = f" ({near}?)" if near else ""
    return f"add it under readings, answers or constants, or mend the name{meant}"


def _one_formula(rubric: Rubric, item: Item, formula: Formula, kinds: dict[str, Kind], key: Key) -> Iterator[Complaint]:
    unknown = list(_unknown_names(rubric, formula, item.name, key))
    yield from unknown
    if unknown:
        return
    try:
        kind = kind_of(formula.tree, kinds)
    except FormulaError as error:
        yield Complaint(key, f"in the formula of {item.name}, {error}", "mend the formula, or the units of its items")
        return
    if kind.dimension != item.unit.dimension:
        yield Complaint(
            key,
            f"the formula of {item.name} does not give {item.unit.symbol or 'a pure number'}",
            "mend the formula, or the unit of the answer",
        )
    if item.unit.symbol == "%" and any(isinstance(one, Number) and one.value == 100 for one in _factors(formula)):
        problem = f"the formula of {item.name} multiplies by 100, and its unit % does so already"
        yield Complaint(key, problem, "leave out the 100")
    yield from _column_complaints(rubric, item, formula, key)


def _factors(formula: Formula) -> Iterator[Node]:
    """Yield what is multiplied anywhere in *formula*."""
    for node in walk(formula.tree):
        if isinstance(node, Operation) and node.sign == "*":
            yield from (node.left, node.right)


def _column_complaints(rubric: Rubric, item: Item, formula: Formula, key: Key) -> Iterator[Complaint]:
    inside = set()
    for node in walk(formula.tree):
        if isinstance(node, Call):
            for argument in node.columns:
                inside.add(id(argument))
                if isinstance(argument, Name) and _table_of(rubric, argument.name) is None:
                    problem = (
                        f"{node.function} in the formula of {item.name} needs a column, and {argument.name} is none"
                    )
                    yield Complaint(key, problem, "give the item a table, or leave the function out")
    for node in walk(formula.tree):
        if isinstance(node, Name) and id(node) not in inside:
            table = _table_of(rubric, node.name)
            if table is not None and table != item.table:
                problem = f"the formula of {item.name} uses the column {node.name} as if it were one value"
                yield Complaint(key, problem, f"give {item.name} the same table, or write mean({node.name})")


def _table_of(rubric: Rubric, name: str) -> str | None:
    return rubric.items[name].table if name in rubric.items else None


def _circles(rubric: Rubric) -> Iterator[Complaint]:
    for item in rubric.answers:
        seen: set[str] = set()
        waiting = list(item.formula.names) if item.formula else []
        while waiting:
            name = waiting.pop()
            if name == item.name:
                key = ("answers", item.name, "formula")
                yield Complaint(key, f"the formula of {item.name} leads back to itself", "work it out from readings")
                break
            other = rubric.items.get(name)
            if name not in seen and other is not None and other.formula is not None:
                seen.add(name)
                waiting += other.formula.names


def _reference_complaints(rubric: Rubric) -> Iterator[Complaint]:
    if rubric.selector is not None and not _has_choices(rubric, rubric.selector):
        yield Complaint(("selector",), f"{rubric.selector} offers no choices", "name an item with choices")
    columns: list[tuple[Key, str]] = []
    if rubric.graph is not None:
        columns += [(("graph", "x"), rubric.graph.x), (("graph", "y"), rubric.graph.y)]
    columns += [(("answers", item.name, "curve"), name) for item in rubric.answers for name in item.curve or ()]
    for key, name in columns:
        if _table_of(rubric, name) is None:
            yield Complaint(key, f"{name} is no column here", "name a column of a table")
    if rubric.result is not None and not _is_result(rubric, rubric.result.answer):
        problem = f"{rubric.result.answer} is no answer with a formula"
        yield Complaint(("result", "answer"), problem, "name the final answer")
    if rubric.result is not None:
        yield from _result_complaints(rubric, rubric.result)
    for number, slip in enumerate(rubric.slips):
        if not _is_worked_out(rubric, slip.answer):
            yield Complaint(("slips", number, "answer"), f"{slip.answer} is no answer with a formula", "mend the name")


def _result_complaints(rubric: Rubric, info: ResultInfo) -> Iterator[Complaint]:
    for name in (*info.or_answers, *(one.follows for one in info.accepted if one.follows)):
        if not _is_worked_out(rubric, name):
            yield Complaint(("result",), f"{name} is no answer with a formula", "mend the name")
    known = [one.name for one in info.accepted]
    if info.use is not None and info.use not in known:
        problem = f"no accepted value is called {info.use!r} (there are: {', '.join(known)})"
        yield Complaint(("result", "use"), problem, "mend the name")


def _is_result(rubric: Rubric, name: str) -> bool:
    # What the points themselves lead to, as a turn-on p.d., stands beside an accepted value as well.
    item = rubric.items.get(name)
    return _is_worked_out(rubric, name) or (item is not None and item.turn_on is not None)


def _is_worked_out(rubric: Rubric, name: str) -> bool:
    # A formula that could not be read still stands here, as a harmless one.
    return name in rubric.items and rubric.items[name].formula is not None


def _has_choices(rubric: Rubric, name: str) -> bool:
    return name in rubric.items and bool(rubric.items[name].choices)


def _used_names(rubric: Rubric) -> set[str]:
    formulas = [formula for item in rubric.answers for formula in (item.formula, *item.also) if formula is not None]
    formulas += [slip.formula for slip in rubric.slips]
    used = {name for formula in formulas for name in formula.names}
    used |= {name for criterion in rubric.criteria for name in criterion.items}
    used |= {name for item in rubric.answers for name in item.curve or ()}
    used |= {item.uncertainty_of for item in rubric.answers if item.uncertainty_of is not None}
    used |= {name for item in rubric.answers for name in item.turn_on or ()}
    used |= question_names(rubric)
    used |= {rubric.graph.x, rubric.graph.y, *rubric.graph.read_off, *rubric.graph.axes} if rubric.graph else set()
    used |= {one.follows for one in rubric.result.accepted if one.follows} if rubric.result else set()
    return used | ({rubric.selector} if rubric.selector else set())


def _item_complaints(rubric: Rubric, misread: Collection[Key]) -> Iterator[Complaint]:
    used = _used_names(rubric)
    # What a formula that could not be read would have used is not known.
    all_read = not any({"formula", "also"} & set(key) for key in misread)
    for name in rubric.constants:
        if all_read and name not in used:
            yield Complaint(("constants", name), f"{name} is used by no formula", "use it, or leave it out")
    for item in rubric.items.values():
        if item.repeat_of or item.part_of:
            continue  # told of the reading, or the question, that the file names
        section = section_of(item)
        key: Key = (section, item.name)
        if all_read and item.name not in used:
            yield Complaint(key, f"{item.name} is used by no formula and no criterion", "use it, or leave it out")
        if item.limits is not None and item.limits[0] >= item.limits[1]:
            yield Complaint((*key, "limits"), f"the limits of {item.name} are the wrong way round", "smaller first")
        if item.figures[0] > item.figures[1]:
            yield Complaint((*key, "figures"), f"the figures of {item.name} are the wrong way round", "fewer first")
        if item.role is Role.ANSWER and item.formula is None and not (item.is_words or item.is_estimate):
            yield Complaint(key, f"{item.name} has neither a formula nor choices", "add one of them")


def section_of(item: Item) -> str:
    """Return the table of the file that *item* stands in."""
    is_reading = item.role is Role.READING or item.repeats
    return "questions" if item.question else "readings" if is_reading else "answers"
