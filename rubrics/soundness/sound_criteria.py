"""What can be wrong with the lines of a mark scheme."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from rubrics.faults import Complaint, Key
from rubrics.model import CheckKind, Criterion, Item, Role, Rubric

_ON_ANSWERS = {CheckKind.VALUE, CheckKind.UNIT, CheckKind.FIGURES, CheckKind.METHOD}
_ON_GRAPH = {CheckKind.SCALE, CheckKind.LINE}
_ON_READINGS = {CheckKind.READING}
_ON_NUMBERS = {CheckKind.UNIT, CheckKind.FIGURES, CheckKind.PLACES, CheckKind.ROWS}


def criterion_complaints(rubric: Rubric) -> Iterator[Complaint]:
    """Yield what is wrong with the mark scheme: codes, names, and checks that do not suit their items."""
    codes = Counter(criterion.code for criterion in rubric.criteria)
    for number, criterion in enumerate(rubric.criteria):
        key: Key = ("criteria", number)
        if codes[criterion.code] > 1:
            yield Complaint(
                (*key, "code"), f"the code {criterion.code} stands twice", "give each criterion its own code"
            )
        for name in criterion.items:
            if name not in rubric.items:
                known = ", ".join(rubric.items)
                problem = f"the criterion {criterion.code} names {name}, which is no item here (items: {known})"
                yield Complaint((*key, "items"), problem, "mend the name")
        if all(name in rubric.items for name in criterion.items):
            yield from _check_complaints(rubric, criterion, key)
        yield from _when_complaints(rubric, criterion, key)


def _check_complaints(rubric: Rubric, criterion: Criterion, key: Key) -> Iterator[Complaint]:
    items = [rubric.items[name] for name in criterion.items]
    check = criterion.check
    yield from _plain_complaints(criterion, items, key)
    if check not in _ON_GRAPH and check is not CheckKind.TEACHER and not items:
        yield Complaint(key, f"the criterion {criterion.code} has no items", "name the items that it looks at")
    wrong_role = (check in _ON_ANSWERS and any(item.role is not Role.ANSWER for item in items)) or (
        check in _ON_READINGS and any(item.role is not Role.READING and not item.repeats for item in items)
    )
    if wrong_role:
        wanted = "answers" if check in _ON_ANSWERS else "readings"
        yield Complaint((*key, "items"), f"the check {check} of {criterion.code} is for {wanted}", "choose other items")
    if check in (CheckKind.VALUE, CheckKind.METHOD) and any(
        item.formula is None and (not item.is_estimate or item.is_read_off) for item in items if not wrong_role
    ):
        yield Complaint((*key, "items"), f"{criterion.code} needs answers with a formula", "add one, or use teacher")
    if check is CheckKind.CHOICE and any(item.curve is None or not item.choices for item in items):
        yield Complaint((*key, "items"), f"{criterion.code} needs answers with choices and a curve", "add them")
    yield from _graph_complaints(rubric, criterion, key)
    if check is CheckKind.IDEAS and all(item.question is None for item in items):
        yield Complaint(
            (*key, "items"), f"{criterion.code} needs questions with ideas", "name a question, or use teacher"
        )
    if check is CheckKind.ROWS and any(item.table is None for item in items):
        yield Complaint((*key, "items"), f"{criterion.code} needs columns of a table", "give the items a table")
    if check in _ON_NUMBERS and any(item.is_words for item in items):
        yield Complaint((*key, "items"), f"{criterion.code} looks at words as if they were numbers", "use choice")
    if any(marks > criterion.marks for _, marks in criterion.award):
        yield Complaint((*key, "award"), f"{criterion.code} awards more than its {criterion.marks}", "mend the marks")
    yield from _rows_complaints(criterion, key)


def _plain_complaints(criterion: Criterion, items: Sequence[Item], key: Key) -> Iterator[Complaint]:
    if not criterion.point:
        yield Complaint(key, f"{criterion.code} does not say what earns it", 'add point = "what you look for"')
    if criterion.lost_by and criterion.check is not CheckKind.METHOD:
        yield Complaint((*key, "lost_by"), f"lost_by of {criterion.code} has no effect", "use the check method")
    if criterion.steps and criterion.check is not CheckKind.PLACES:
        yield Complaint((*key, "steps"), f"steps of {criterion.code} has no effect", "use the check places")
    if criterion.steps and all(item.resolution is None for item in items):
        problem = f"{criterion.code} asks for whole steps, and no item has a resolution"
        yield Complaint((*key, "items"), problem, "add resolution to the reading")


def _rows_complaints(criterion: Criterion, key: Key) -> Iterator[Complaint]:
    wishes = {
        "rows": criterion.rows,
        "span": criterion.span,
        "each_way": criterion.each_way,
        "within": criterion.within,
        "near": criterion.near,
    }
    set_ones = [name for name, wish in wishes.items() if wish is not None]
    if criterion.check is CheckKind.ROWS and not set_ones:
        # It would be awarded to an empty table.
        yield Complaint(key, f"{criterion.code} asks nothing of its columns", f"add one of {', '.join(wishes)}")
    if criterion.check is not CheckKind.ROWS:
        for name in set_ones:
            problem = f"{name} of {criterion.code} has no effect with the check {criterion.check}"
            yield Complaint((*key, name), problem, "use the check rows, or leave it out")


def _when_complaints(rubric: Rubric, criterion: Criterion, key: Key) -> Iterator[Complaint]:
    selector = rubric.items.get(rubric.selector or "")
    words = [choice.word for choice in selector.choices] if selector else []
    for word in criterion.when:
        if word not in words:
            problem = f"{criterion.code} applies to {word!r}, which the selector does not offer"
            yield Complaint((*key, "when"), problem, f"use one of {', '.join(words) or 'a selector with choices'}")


def _graph_complaints(rubric: Rubric, criterion: Criterion, key: Key) -> Iterator[Complaint]:
    graph = rubric.graph
    if criterion.check is CheckKind.SCALE and (graph is None or not graph.axes):
        yield Complaint(key, f"{criterion.code} needs boxes for the scales", "write axes = true under [graph]")
    if criterion.check is CheckKind.LINE and (graph is None or not graph.read_off):
        yield Complaint(
            key, f"{criterion.code} needs two points read off the line", "write points = true under [graph]"
        )
    if criterion.check is CheckKind.NEAREST:
        known = {one.name for one in rubric.result.accepted} if rubric.result else set()
        words = {choice.word for name in criterion.items for choice in rubric.items[name].choices}
        if not words or not words <= known:
            problem = f"{criterion.code} needs choices that are names of accepted values"
            yield Complaint((*key, "items"), problem, "name them alike")
    details = {slip.detail for slip in rubric.slips}
    for told in criterion.spares:
        if told not in details:
            yield Complaint(key, f"no slip has the detail {told!r}", "write it as it stands under [[slips]]")
    for name, _ in criterion.least:
        if name not in criterion.items:
            yield Complaint((*key, "least"), f"{name} is no item of {criterion.code}", "name it among its items")
